// Package diagnose is the family "what is wrong?": one of several faults that
// look alike is in a loop, and the readings printed leave it alone.
package diagnose

import (
	_ "embed"
	"fmt"
	"slices"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/diagnose/prompts.md", promptsFile)

// The reason for which the family throws a draw away.
const (
	RejectOpen exercises.Reject = "no size of the fault that three tests would leave alone"
)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "what-is-wrong",
		Purpose: "find the one fault that explains every reading",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "five faults to choose from, of transmitter, wiring, receiver or checker"},
			{Name: "usual", Changes: "seven faults that look alike on the needle, the sensing lines and the receiver among them",
				Takes: "loops of pressure, level and flow with 4-20 mA, direct-acting and without a square root; a face of 10 divisions of 5 small marks, at most 0.1 % of span each"},
			{Name: "hard", Changes: "eight or nine faults: all that cuts the top off, or all that bends, shifts and tilts the line",
				Takes: "loops of pressure, level and flow with 4-20 mA, direct-acting and without a square root; a face of 10 divisions of 5 small marks, at most 0.1 % of span each"},
		},
		Takes:    "loops with 4-20 mA, direct-acting and without a square root; a face of 10 divisions of 5 small marks, at most 0.1 % of span each",
		MinLoops: 1,
		Fits:     fits,
	}
}

func fits(level string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	switch {
	case l.Root == scenarios.RootTransmitter || l.Root == scenarios.RootReceiver:
		return "has a square root in it", false
	case l.Action == scenarios.Reverse:
		return "is reverse-acting", false
	case level != "easy" && l.Kind == scenarios.Temperature:
		return "has no sensing lines to a pressure", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "readings along the loop", nil)
	ds = append(ds, nullbalance.ScreenFace(e)...)
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e, panels: panels[e.Level]}
	for _, l := range s.Loops {
		b, err := benchOf(e.Plant, l)
		if err != nil {
			return nil, []diag.Diagnostic{exercises.At(e, diag.Error, "loop-does-not-fit",
				fmt.Sprintf("exercise %q cannot use %s, in which not every fault can be: %v", e.ID, l.Tag, err), "")}
		}
		for _, list := range p.panels {
			faults := make([][]workable, len(list))
			for i := range faults {
				faults[i] = make([]workable, len(points))
			}
			b.sizes = append(b.sizes, faults)
		}
		p.benches = append(p.benches, b)
	}
	return p, nil
}

// bench is a loop with every fault that can be in it.
type bench struct {
	loop   *scenarios.Loop
	params loop.Params // when all is well
	bench  *loop.Bench
	faults []loop.Fault   // single ones and zero-and-span, with the sizes of the plant
	sizes  [][][]workable // by panel, fault and row of points
}

// benchOf prepares a loop with the checker in series at the transmitter.
func benchOf(plant *scenarios.Plant, l *scenarios.Loop) (bench, error) {
	p := l.Params
	p.Checker = plant.Checker.Params
	p.Checker.Place = loop.SeriesField
	out := bench{loop: l, params: p}
	for _, f := range loop.Faults() {
		if !f.OnInput() || l.Kind == scenarios.Temperature && slices.Contains(sensing, f.Name) {
			continue
		}
		f, _ = plant.FaultIn(f.Name, l)
		out.faults = append(out.faults, f)
	}
	var err error
	out.bench, err = loop.NewBench(p, out.faults)
	return out, err
}

func (b *bench) fault(name string) loop.Fault {
	return b.faults[slices.IndexFunc(b.faults, func(f loop.Fault) bool { return f.Name == name })]
}

type plan struct {
	exercise *scenarios.Exercise
	panels   [][]string
	benches  []bench
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	panel := pick.Int(len(p.panels))
	fault := pick.Int(len(p.panels[panel]))
	b := &p.benches[pick.Int(len(p.benches))]
	list := p.panels[panel]
	row := pick.Int(len(points))
	found, err := b.sizes[panel][fault][row].find(b.bench, b.fault(list[fault]), list, row)
	if err != nil {
		return exercises.Item{}, err
	}
	if len(found) == 0 {
		return exercises.Item{}, RejectOpen
	}
	return p.build(b, list, found[pick.Int(len(found))], pick), nil
}
