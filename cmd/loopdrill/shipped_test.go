package main

import (
	"bytes"
	"fmt"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/generator"
	"loopdrill/render"
	"loopdrill/scenarios"
	"loopdrill/scenarios/shipped"
	"loopdrill/scenarios/signal"
)

// TestShippedCoursesAreSilent reads every shipped course with the real
// families, prepares it, draws twenty forms, and writes the workbook of each:
// no diagnostic of any severity, no form that cannot be drawn, and no two
// forms alike.
func TestShippedCoursesAreSilent(t *testing.T) {
	t.Parallel()
	for _, name := range shipped.Names() {
		fsys, err := shipped.Course(name)
		if err != nil {
			t.Fatal(err)
		}
		course, ds := scenarios.ReadCourse(fsys, families.Vocabulary())
		for _, d := range ds {
			t.Errorf("%s/%s:%d:%d: %s: %s", name, d.At.File, d.At.Line, d.At.Column, d.Severity, d.Summary)
		}
		if course == nil {
			t.Errorf("%s cannot be read", name)
			continue
		}
		drawer, ds := generator.Prepare(course, families.Named)
		for _, d := range ds {
			t.Errorf("%s/%s:%d:%d: %s: %s", name, d.At.File, d.At.Line, d.At.Column, d.Severity, d.Summary)
		}
		if drawer == nil {
			t.Errorf("%s cannot be prepared", name)
			continue
		}
		forms := map[string]int{}
		for n := 1; n <= 20; n++ {
			form, err := drawer.Form(generator.Source{Seed: "silent"}, exercises.Practice, n, nil)
			if err != nil {
				t.Errorf("%s, form %d: %v", name, n, err)
				continue
			}
			key := answers(form)
			if before := forms[key]; before != 0 {
				t.Errorf("%s: forms %d and %d have the same answers", name, before, n)
			}
			forms[key] = n
			var b bytes.Buffer
			if err := render.NewRenderer().Workbook(&b, render.WorkbookOf(form)); err != nil {
				t.Errorf("%s, form %d: %v", name, n, err)
			}
		}
	}
}

// answers lists the right answers of a form in order.
func answers(f *exercises.Form) string {
	var b strings.Builder
	for _, d := range f.Items {
		for _, p := range d.Item.Key.Parts {
			for _, a := range p.Answers {
				fmt.Fprintf(&b, "%s %s %s;", a.Box, a.Option, a.Value.Text(6))
			}
		}
	}
	return b.String()
}

// TestShippedPlantsHoldEverySort counts, over the plants of all shipped
// courses, what an instructor will look for in them: three plants with five
// loops each, and every sort of loop that the language knows.
func TestShippedPlantsHoldEverySort(t *testing.T) {
	t.Parallel()
	plants, sorts := map[string]int{}, map[string]int{}
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
			plants[p.ID] = len(p.Loops)
			sorts["output loop"] += len(p.Outputs)
			for _, l := range p.Loops {
				for sort, is := range sortsOf(l) {
					if is {
						sorts[sort]++
					}
				}
			}
		}
	}
	if len(plants) < 3 {
		t.Errorf("plants %v, want three at least", plants)
	}
	for id, n := range plants {
		if n < 5 {
			t.Errorf("plant %s has %d loops, want five at least", id, n)
		}
	}
	for _, sort := range []string{
		"reverse action", "root in the transmitter", "root in the receiver", "wet leg", "range off zero", "long cable", "US units", "output loop",
		signal.Voltage.Name, signal.PneumaticSI.Name, signal.PneumaticUS.Name,
	} {
		if sorts[sort] == 0 {
			t.Errorf("no loop of the sort %q in any shipped plant", sort)
		}
	}
}

func sortsOf(l *scenarios.Loop) map[string]bool {
	us := map[string]bool{"psi": true, "inH2O(60F)": true, "°F": true}
	return map[string]bool{
		"reverse action":          l.Action == scenarios.Reverse,
		"root in the transmitter": l.Root == scenarios.RootTransmitter,
		"root in the receiver":    l.Root == scenarios.RootReceiver,
		"wet leg":                 l.Kind == scenarios.Level && l.Input.Low.Sign() < 0,
		"range off zero":          l.Input.Low.Sign() > 0,
		// A pair of a kilometre of 1 mm² copper has some 36 Ω.
		"long cable":  l.Cable != nil && l.Params.Wiring.OutOhm+l.Params.Wiring.ReturnOhm > 36,
		"US units":    us[l.Input.Unit.Name()],
		l.Signal.Name: true,
	}
}
