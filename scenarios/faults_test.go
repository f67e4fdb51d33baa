package scenarios_test

import (
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
)

// TestFaultSizes reads the sizes of faults back as families ask for them.
func TestFaultSizes(t *testing.T) {
	var c *scenarios.Course
	for _, k := range cases(t, "testdata/ok/faults*.txt") {
		got, ds := scenarios.ReadCourse(k.fsys, vocabulary())
		if got == nil {
			t.Fatal(k.name, ds)
		}
		if k.name == "faults" {
			c = got
			continue
		}
		p, o := got.Plants[0], got.Plants[0].Outputs[0]
		f, _ := p.FaultInOutput("ip-zero", o)
		if f.Sizes[0].String() != "-3 to -0.5 % of span" {
			t.Errorf("ip-zero in %s: %s", o.Tag, &f.Sizes[0])
		}
		if f, _ := p.FaultInOutput("low-air", o); f.Sizes[0].String() != "60 to 90 kPa" {
			t.Errorf("low-air in %s: %s", o.Tag, &f.Sizes[0])
		}
		if p.Sizes("mechanical-zero-off", p.Loops[0]) == nil || p.Sizes("mechanical-zero-off", p.Loops[1]) != nil {
			t.Error("mechanical-zero-off is narrowed in the first loop alone")
		}
	}
	p := c.Plants[0]
	level, flow := p.Loops[0], p.Loops[1]
	rows := []struct {
		fault string
		loop  *scenarios.Loop
		want  []string
	}{
		{"low-zero", flow, []string{"0.5 to 3 % of span"}},
		{"low-zero", level, []string{"0.5 to 1.2 % of span"}}, // its own block goes before that for all
		{"zero-and-span", level, []string{"-2 to -0.5 % of span", "1 to 4 % of span"}},
		{"corroded-terminal", level, []string{"300 to 900 ohm"}}, // written in kohm
		{"corroded-terminal", flow, []string{"50 to 3000 ohm"}},  // not narrowed
		{"mechanical-zero-off", flow, []string{"-3 to -0.4 or 0.4 to 3 divisions"}},
		{"high-zero", level, []string{"0.3 to 8 % of span"}},
		{"weak-cell+low-zero", level, []string{"4 to 6 V", "1 to 1.2 % of span"}},
		{"open-wire", level, nil},
	}
	for _, r := range rows {
		f, ok := p.FaultIn(r.fault, r.loop)
		if !ok || len(f.Sizes) != len(r.want) {
			t.Fatalf("%s: %v, %d sizes", r.fault, ok, len(f.Sizes))
		}
		for i := range f.Sizes {
			if got := f.Sizes[i].String(); got != r.want[i] {
				t.Errorf("%s in %s: %s, wanted %s", r.fault, r.loop.Tag, got, r.want[i])
			}
		}
	}
	if _, ok := p.FaultIn("gremlins", level); ok {
		t.Error("a fault that there is not")
	}
	// A narrowed fault refuses what the plant leaves out, and the fault in the
	// list stays as it was.
	f, _ := p.FaultIn("low-zero", level)
	if _, err := f.Apply(loop.Healthy(), 2); err == nil {
		t.Error("2 % of low zero is permitted in the first loop")
	}
	if whole, _ := loop.FaultNamed("low-zero"); whole.Sizes[0].Branches[0].High != 8 {
		t.Error("the list of faults has changed")
	}
}
