// Package bench is the family "at the bench": a practical task on a real loop.
// The instructor sets a loop up by a bench card, the apprentice works a sheet
// that names no fault, and the assessor watches. What should be read on the
// loop comes from the loop solver, to the resolution of each instrument.
package bench

import (
	_ "embed"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/bench/prompts.md", promptsFile)

// The faults that a bench can be given: the screws of the transmitter, a decade
// box in series or across, a supply turned down, a cell made weak by a resistor.
// Faults that push the loop to its limits are left out: where a transmitter runs
// short of volts depends on the one that stands on the bench.
var (
	zeroFaults  = []string{"low-zero", "high-zero"}
	screwFaults = []string{"low-zero", "high-zero", "span-low", "span-high", "zero-and-span"}
	loopFaults  = []string{"corroded-terminal", "low-supply", "moisture-across-transmitter", "drifted-resistor", weakCell}
)

const weakCell = "weak-cell"

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "at-the-bench",
		Purpose: "check a real loop under an assessor's eyes: ready the checker, read as found, put right, read as left, give it back",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "three points; the transmitter is right or its zero is off"},
			{Name: "usual", Changes: "five points; zero and span may be off, alone or together"},
			{Name: "hard", Changes: "five points; the transmitter is right, and a fault sits in the loop or in the checker's cell"},
		},
		Faults:   append(append([]string(nil), screwFaults...), loopFaults...),
		MinLoops: 1,
		Fits:     fits,
		Takes:    "loops with 4-20 mA and direct action, a receiver of 250 ohm and a tolerance of at least 0.5 % of span, adjusted beyond 0.5 % at the earliest, without a square root in the transmitter, with room for 80 ohm and a tenth of the supply's volts more with the checker in; a face of 10 divisions of 5 small marks, at most 0.1 % of span each",
	}
}

func fits(_ string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	q := l.Params
	switch {
	case l.Root == scenarios.RootTransmitter:
		return "takes the square root in the transmitter, so that its output is not in proportion to its input", false
	case l.Action == scenarios.Reverse:
		return "is reverse-acting, for which this exercise has no wording yet", false
	case q.Receiver.ShuntOhm != 250:
		return "has no receiver of 250 ohm", false
	case l.AdjustAt.Sub(leastLimit).Sign() < 0:
		return "is adjusted beyond less than 0.5 % of span, too near to what a bench can be set to", false
	case room(l) < max(0.020*80, q.Supply.Volt/10):
		return "has too little supply for a fault in it that can be set up on a bench", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// faultsOf are the faults of a level.
func faultsOf(level string) []string {
	switch level {
	case "easy":
		return zeroFaults
	case "usual":
		return screwFaults
	}
	return loopFaults
}

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	spec := f.Spec()
	spec.Faults = faultsOf(e.Level)
	s, ds := exercises.Screen(e, spec, "a loop at the bench at level "+e.Level, spec.Faults)
	ds = append(ds, nullbalance.ScreenFace(e)...)
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e, faults: s.Faults}
	for _, l := range s.Loops {
		p.loops = append(p.loops, prepare(e.Plant, l))
	}
	return p, nullbalance.Undrawable(e, p.faults, s.Loops, "set-up", p.drawable)
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []prepared
	faults   []string
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	t, err := p.draw(exercises.NewPicker(u))
	if err != nil {
		return exercises.Item{}, err
	}
	return p.build(t)
}
