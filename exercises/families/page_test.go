package families

import (
	"bytes"
	"flag"
	"fmt"
	"os"
	"slices"
	"strings"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

var update = flag.Bool("update", false, "rewrite the page of families, and the schema beside the shipped courses")

// shippedSchema is the schema that the shipped courses name in their first
// lines, for whoever edits them in this repository: what "loopdrill schema"
// prints. That they are valid by it is tested in scenarios.
const shippedSchema = "../../scenarios/shipped/loopdrill.json"

func TestShippedSchema(t *testing.T) {
	want, err := scenarios.Schema(Vocabulary())
	if err != nil {
		t.Fatal(err)
	}
	if *update {
		if err := os.WriteFile(shippedSchema, want, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	if got, err := os.ReadFile(shippedSchema); err != nil || !bytes.Equal(got, want) {
		t.Error("scenarios/shipped/loopdrill.json is stale; run: go test ./exercises/families -update")
	}
}

// TestPage holds README.md against the specs of the families; "go test
// ./exercises/families -update" writes it anew.
func TestPage(t *testing.T) {
	want := page()
	if *update {
		if err := os.WriteFile("README.md", []byte(want), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile("README.md")
	if err != nil || string(got) != want {
		t.Error("README.md is stale; run: go test ./exercises/families -update")
	}
}

func page() string {
	var b strings.Builder
	b.WriteString("<!-- made by \"go test ./exercises/families -update\" from the specs of the families; do not edit -->\n# Families of exercise\n\nWhat an exercise of a course may ask for with `family`, `level`, `loops`, `outputs`, `faults` and `place`; how these keys are written stands in scenarios/README.md.\n")
	for _, f := range All() {
		s := f.Spec()
		fmt.Fprintf(&b, "\n## %s\n\n%s%s.\n\n", s.Name, strings.ToUpper(s.Purpose[:1]), s.Purpose[1:])
		b.WriteString("| level | what changes | takes |\n|---|---|---|\n")
		for _, l := range s.Levels {
			takes := l.Takes
			if takes == "" {
				takes = s.Takes
			}
			if takes == "" {
				takes = probed(s, l.Name)
			}
			fmt.Fprintf(&b, "| `%s` | %s | %s |\n", l.Name, l.Changes, takes)
		}
		b.WriteString("\n")
		switch {
		case s.TakesLoops() && s.TakesOutputs():
			fmt.Fprintf(&b, "It needs %s and %s.", amount(s.MinLoops, "loop"), amount(s.MinOutputs, "output loop"))
		case s.TakesOutputs():
			fmt.Fprintf(&b, "It needs %s, and takes no key `loops`.", amount(s.MinOutputs, "output loop"))
		case s.TakesLoops():
			fmt.Fprintf(&b, "It needs %s.", amount(s.MinLoops, "loop"))
		default:
			b.WriteString("It takes no keys `loops` and `outputs`.")
		}
		if len(s.Faults) > 0 {
			fmt.Fprintf(&b, " Its faults: `%s`.", strings.Join(s.Faults, "`, `"))
		} else {
			b.WriteString(" It takes no key `faults`.")
		}
		if len(s.Places) > 0 {
			fmt.Fprintf(&b, " A course may choose the `place`: `%s`.", strings.Join(s.Places, "` or `"))
		}
		b.WriteString("\n")
	}
	return b.String()
}

// probed says what a family takes where its spec has no words for it: loops of
// every kind, signal, action and root are put to it, and the reasons for which
// it refuses some are told.
func probed(s scenarios.Spec, level string) string {
	switch {
	case !s.TakesLoops() && !s.TakesOutputs():
		return "no loops"
	case !s.TakesLoops():
		return "output loops"
	case s.Fits == nil:
		return "every loop"
	}
	span := func(low, high int64) unit.Range {
		return unit.Range{Low: formula.Int(low), High: formula.Int(high), Unit: unit.Must("kPa")}
	}
	var why []string
	for _, sig := range []signal.Signal{signal.Current, signal.Voltage, signal.PneumaticSI, signal.PneumaticUS} {
		for _, action := range []scenarios.Action{scenarios.Direct, scenarios.Reverse} {
			for _, root := range []scenarios.Root{scenarios.NoRoot, scenarios.RootTransmitter, scenarios.RootReceiver} {
				for _, tenths := range []int64{10, 5, 2} {
					l := &scenarios.Loop{Tag: "PT-1", Service: "pressure", Kind: scenarios.Pressure, Input: span(0, 40), Shows: span(0, 40), Action: action, Root: root, Signal: sig,
						Params: loop.Healthy(), Tolerance: formula.Ratio(tenths, 10), AdjustAt: formula.Ratio(tenths, 10)}
					if root != scenarios.NoRoot {
						l.Kind = scenarios.Flow
					}
					l.Params.Transmitter.ReverseActing = action == scenarios.Reverse
					reason, ok := s.Fits(level, l)
					if !ok && !slices.Contains(why, reason) {
						why = append(why, reason)
					}
				}
			}
		}
	}
	if len(why) == 0 {
		return "every loop"
	}
	return "every loop but one that " + strings.Join(why, "; or that ")
}

func amount(n int, what string) string {
	switch n {
	case 0:
		return "no " + what
	case 1:
		return "at least one " + what
	}
	return fmt.Sprintf("at least %d %ss", n, what)
}
