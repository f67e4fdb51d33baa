package main

import (
	"flag"
	"fmt"
	"os"
	"strings"
	"testing"

	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/shipped"
)

var updateGolden = flag.Bool("update", false, "rewrite the golden of the shipped loops' confusion classes")

// TestShippedConfusionClasses pins, for two 4-20 mA loops of every shipped plant,
// the one with the most cable and the one with the least, which faults five needle readings cannot tell apart, and which
// remain with receiver volts, transmitter volts, cell check and supply volts.
// Loops with the same electrical parameters give one entry.
//
// Against the loop of the separating study (scenarios/loop's own golden) the
// classes are the same; a change of parameters moves only at which sizes a
// loop runs short of volts. The test of the classes themselves against the
// study's page is in scenarios/loop.
func TestShippedConfusionClasses(t *testing.T) {
	t.Parallel()
	var b strings.Builder
	seen := map[loop.Params]bool{}
	for _, name := range shipped.Names() {
		fsys, err := shipped.Course(name)
		if err != nil {
			t.Fatal(err)
		}
		course, _ := scenarios.ReadCourse(fsys, families.Vocabulary())
		if course == nil {
			t.Fatalf("%s cannot be read", name)
		}
		for _, p := range course.Plants {
			for _, l := range longAndShort(p) {
				params := l.Params
				params.Checker = p.Checker.Params
				params.Checker.Place = loop.SeriesField
				if seen[params] {
					continue
				}
				seen[params] = true
				describeConfusions(t, &b, p.ID+" "+l.Tag, params)
			}
		}
	}
	const file = "testdata/confusion.golden"
	if *updateGolden {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	got := strings.Split(b.String(), "\n")
	for i, line := range strings.Split(string(want), "\n") {
		if i >= len(got) || got[i] != line {
			t.Fatalf("line %d differs from the golden (-update rewrites it)\n got %q\nwant %q", i+1, append(got, "")[min(i, len(got))], line)
		}
	}
	if len(got) != len(strings.Split(string(want), "\n")) {
		t.Error("the golden is shorter than what is worked out now")
	}
}

// longAndShort picks the loops of a plant with the most and the least cable.
func longAndShort(p *scenarios.Plant) []*scenarios.Loop {
	var least, most *scenarios.Loop
	for _, l := range p.Loops {
		if l.Signal.Name != "4-20 mA" {
			continue
		}
		if least == nil || l.Params.Wiring.ReturnOhm < least.Params.Wiring.ReturnOhm {
			least = l
		}
		if most == nil || l.Params.Wiring.ReturnOhm > most.Params.Wiring.ReturnOhm {
			most = l
		}
	}
	return []*scenarios.Loop{least, most}
}

func describeConfusions(t *testing.T, b *strings.Builder, name string, p loop.Params) {
	t.Helper()
	bench, err := loop.NewBench(p, loop.Faults())
	if err != nil {
		t.Fatal(err)
	}
	confusions, err := bench.Confusions(loop.ReadingSets())
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range confusions {
		invisible, classes := c.Classes()
		visible, alone := 0, 0.0
		for _, f := range c.Faults {
			if f.Visible > 0 {
				visible++
				alone += float64(f.Alone) / float64(f.Visible)
			}
		}
		fmt.Fprintf(b, "%s, %s: %d faults; one answer in %.0f %% of what shows\n", name, c.Set, len(c.Faults), 100*alone/float64(visible))
		fmt.Fprintf(b, "  do not show: %s\n", strings.Join(invisible, ", "))
		for _, k := range classes {
			fmt.Fprintf(b, "  one class: %s\n", strings.Join(k, ", "))
		}
	}
}
