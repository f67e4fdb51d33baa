// Package sending is the family "source to the receiver": the checker sends
// 1-5 V into a receiver, and what that shows is held against what it should;
// whether the receiver is off, or loads the checker.
package sending

import (
	_ "embed"
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/sending/prompts.md", promptsFile)

// faults are what can be the matter at the hard level. A low impedance stands
// for all that draws current: a second receiver, a resistor left in.
var faults = []string{"low-input-impedance", "receiver-zero", "receiver-span", "weak-cell"}

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "send-to-receiver",
		Purpose: "send a signal into a receiver and judge what it shows",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "a receiver that shows the value in proportion to its volts"},
			{Name: "usual", Changes: "reverse-acting loops and loops with a square root too; backwards from what is shown",
				Takes: "loops with 4-20 mA and a tolerance of at least 0.4 % of span, reverse-acting ones and those with a square root too; a face of 10 divisions of 5 small marks, at most 0.1 % of span each"},
			{Name: "hard", Changes: "two points with volts at the terminals: does the receiver load the checker, is it off itself, or is the cell weak"},
		},
		Faults:   faults,
		Takes:    "loops with 4-20 mA and a tolerance of at least 0.4 % of span, direct-acting and without a square root; a face of 10 divisions of 5 small marks, at most 0.1 % of span each",
		MinLoops: 1,
		Fits:     fits,
	}
}

func fits(level string, l *scenarios.Loop) (string, bool) {
	if l.Signal.Name != "4-20 mA" {
		return "has no receiver with a resistor that makes 1-5 V of 4-20 mA", false
	}
	if level != "usual" && l.Root != scenarios.NoRoot {
		return "has a square root in it", false
	}
	if level != "usual" && l.Action == scenarios.Reverse {
		return "is reverse-acting", false
	}
	if l.Root != scenarios.NoRoot && (l.Action == scenarios.Reverse || !l.Shows.Low.IsZero()) {
		return "has a square root and a range that does not begin at zero", false
	}
	if places(l) > mostPlaces {
		return fmt.Sprintf("has a receiver that would have to show more than %d decimals", mostPlaces), false
	}
	if l.Tolerance.Sub(formula.Ratio(2, 5)).Sign() < 0 {
		return "has a tolerance under 0.4 % of span, too near to what a receiver shows", false
	}
	return "", true
}

// mostPlaces is the most decimals that a receiver is taken to show.
const mostPlaces = 4

// places is how many decimals a receiver shows: the least with which a step is
// at most a thousandth of its span.
func places(l *scenarios.Loop) int {
	step := l.Shows.Span().Div(formula.Int(1000))
	for k := 0; k <= mostPlaces; k++ {
		if step.Sub(formula.Decimal(1, k)).Sign() >= 0 {
			return k
		}
	}
	return mostPlaces + 1
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "what a receiver shows", faults)
	ds = append(ds, nullbalance.ScreenFace(e)...)
	if e.Level != "hard" && len(e.Faults) > 0 {
		ds = append(ds, exercises.At(e, diag.Error, "fault-cannot-show", fmt.Sprintf("exercise %q of level %s takes no faults", e.ID, e.Level), "leave \"faults\" out, or take level hard"))
	}
	if len(ds) > 0 {
		return nil, ds
	}
	return &plan{exercise: e, loops: s.Loops, faults: s.Faults}, nil
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []*scenarios.Loop
	faults   []string
}
