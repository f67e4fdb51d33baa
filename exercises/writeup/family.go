// Package writeup is the family "write it up": from a technician's notebook
// page to the record of a check. The errors as found and as left, the verdict,
// what the site's rules call for, which entry of a record cannot stand, and how
// much was counted wrongly since the last good check.
//
// A five-point check (package fivepoint) is read off a face; here the readings
// stand in mA, and the work is what becomes of them.
package writeup

import (
	_ "embed"
	"fmt"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/calendar"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/writeup/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "write-it-up",
		Purpose: "make the record of a check from a notebook page: as found, as left, verdict, what follows, and whether the record can stand",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "five readings as found; errors, verdict, and whether it is adjusted or left alone"},
			{Name: "usual", Changes: "as found and as left; whether it is reported back; which entry of the record that a colleague made cannot stand; the remark"},
			{Name: "hard", Changes: "a rising and a falling run with hysteresis; due dates; how long, and how much, was counted wrongly; the remark",
				Takes: "flow loops of 4-20 mA with direct action whose signal runs straight with the flow (the root, if there is one, in the transmitter), shown from 0 in a unit per hour with a span of 5 to 5000"},
		},
		Takes:    "loops of 4-20 mA that are adjusted beyond 0.2 % of span or more and may be off by 2 % at most, in a plant whose checker or a standard that fits has a due date",
		MinLoops: 1,
		Fits:     fits,
	}
}

func fits(level string, l *scenarios.Loop) (string, bool) {
	switch {
	case l.Signal.Name != signal.Current.Name:
		return "does not send 4-20 mA", false
	case l.AdjustAt.Sub(formula.Ratio(1, 5)).Sign() < 0:
		return "is adjusted beyond less than 0.2 % of span, too little for an error to be told from none", false
	case l.Tolerance.Sub(formula.Int(2)).Sign() > 0:
		return "may be off by more than 2 % of span, which a transmitter at its lower limit cannot show", false
	case level != "hard":
		return "", true
	case l.Kind != scenarios.Flow:
		return "measures no flow", false
	case l.Root == scenarios.RootReceiver:
		return "takes the root in its receiver, so that an error of the signal is another error of flow at each point", false
	case l.Action == scenarios.Reverse:
		return "acts in reverse", false
	case !strings.HasSuffix(l.Shows.Unit.Symbol, perHour):
		return fmt.Sprintf("shows its flow in %s, which is not per hour", l.Shows.Unit.Symbol), false
	case !l.Shows.Low.IsZero():
		return "shows a flow that does not begin at 0", false
	case l.Shows.Span().Sub(formula.Int(5)).Sign() < 0 || l.Shows.Span().Sub(formula.Int(5000)).Sign() > 0:
		return "shows a flow whose span is not 5 to 5000", false
	}
	return "", true
}

// perHour ends the units of flow that can be counted over days.
const perHour = "/h"

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "a notebook page", nil)
	for _, l := range s.Loops {
		if len(devicesOf(e.Plant, l)) == 0 {
			ds = append(ds, exercises.At(e, diag.Error, "no-due-date",
				fmt.Sprintf("exercise %q needs a due date for %s: neither the checker of %s nor a standard that fits has one", e.ID, l.Tag, e.Plant.Name),
				"write \"due: 2028-06-30\" into the checker of the plant"))
		}
	}
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e}
	for _, l := range s.Loops {
		p.loops = append(p.loops, ready{Loop: l, devices: devicesOf(e.Plant, l), bounds: boundsOf(l)})
	}
	return p, nil
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []ready
}

// ready is a loop with what every form of it needs.
type ready struct {
	*scenarios.Loop
	devices []device
	bounds  map[call]bounds // sizes of the largest error; a call without an entry cannot be drawn
}

// device is a test instrument as the record names it.
type device struct {
	name string
	due  calendar.Day
	load bool // it gives the input; otherwise it reads the output
}

// devicesOf lists what a check of l is done with, as far as it has a due date:
// a standard that covers its input, and one for mA or the checker.
func devicesOf(p *scenarios.Plant, l *scenarios.Loop) []device {
	var out []device
	covers := func(s scenarios.Standard, low, high formula.Value) bool {
		return s.Range.Low.Sub(low).Sign() <= 0 && s.Range.High.Sub(high).Sign() >= 0
	}
	add := func(name, due string, load bool) bool {
		d, ok := calendar.Parse(due)
		if ok {
			out = append(out, device{name: name, due: d, load: load})
		}
		return ok
	}
	for _, s := range p.Standards {
		if s.Range.Unit == l.Input.Unit && covers(s, l.Input.Low, l.Input.High) && add(s.Name, s.Due, true) {
			break
		}
	}
	for _, s := range p.Standards {
		if s.Range.Unit.Symbol == signal.Current.Unit && covers(s, formula.Int(0), signal.Current.High) && add(s.Name, s.Due, false) {
			return out
		}
	}
	add("null-balance checker "+p.Checker.ID, p.Checker.Due, false)
	return out
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	c, err := p.draw(exercises.NewPicker(u))
	if err != nil {
		return exercises.Item{}, err
	}
	b := p.start(c)
	switch p.exercise.Level {
	case "easy":
		err = b.easy()
	case "usual":
		err = b.usual()
	default:
		err = b.hard()
	}
	return b.Item, err
}
