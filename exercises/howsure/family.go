// Package howsure is the family "how sure": what the uncertainty of a gauge and
// a checker leaves of a tolerance. The gauge's accuracy carried to the loop's
// span, the root of the sum of squares, the test uncertainty ratio, the guard
// band and the three verdicts; and which gauge of the cupboard may be used.
//
// Every stated accuracy is taken as an expanded uncertainty U95 with coverage
// factor k = 2, as it is said on each page and in scenarios.Standard and
// scenarios.Checker. That is common practice and our own convention; a real
// certificate says what its figure is. Sources: TUR as in ANSI/NCSL Z540.3,
// squares as in JCGM 100:2008 5.1.2, acceptance limit as in ILAC-G8:09/2019
// 4.2.2. The third verdict "cannot say" joins the two conditional ones of its
// 4.2.3 and is ours.
package howsure

import (
	_ "embed"
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/unit"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/howsure/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "how-sure",
		Purpose: "say how sure a check is: uncertainty of gauge and checker, test uncertainty ratio, guard band, verdict",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "one gauge: its uncertainty on the loop's span, the ratio, 4 to 1 or not"},
			{Name: "usual", Changes: "gauge and checker together, the acceptance limit, three verdicts on five points",
				Takes: "the same, and a checker whose accuracy the plant file gives"},
			{Name: "hard", Changes: "which gauge of four by range, date and ratio; the smallest tolerance; verdict with and without a guard band, and what follows",
				Takes: "the same as at usual, the tolerance at least 4.7 times the checker's accuracy"},
		},
		MinLoops: 1,
		Fits:     fits,
		Takes:    "loops with 4-20 mA whose input is a pressure, with a tolerance of at least 0.4 % of span and without a square root in the transmitter; test gauges of the plant in the unit of the loop's input are used beside invented ones",
	}
}

func fits(_ string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	switch {
	case l.Input.Unit.Dimension != unit.Pressure:
		return "has no pressure at its input, which a test gauge could give", false
	case l.Root == scenarios.RootTransmitter:
		return "takes the square root in the transmitter, so that an uncertainty of the input is not the same share of the output", false
	case l.Tolerance.Sub(formula.Ratio(4, 10)).Sign() < 0:
		return "has a tolerance under 0.4 % of span, which leaves no room for verdicts on a needle's reading", false
	case len(ranges(l.Input)) < 3:
		return "has a range for which there are no common test gauges", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "accuracies and errors", nil)
	c := e.Plant.Checker
	if e.Level != "easy" && c.Accuracy.Sign() <= 0 {
		ds = append(ds, exercises.At(e, diag.Error, "checker-accuracy", fmt.Sprintf("exercise %q asks how sure the checker of %s is, and its accuracy is not given", e.ID, e.Plant.Name),
			`give the checker its accuracy in the plant file, as "accuracy: 0.1 %span", or take level easy, which leaves the checker out`))
	}
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e, plant: e.Plant}
	for _, l := range s.Loops {
		b := bench{loop: l, tolerance: l.Tolerance.Float64(), ranges: ranges(l.Input), small: tooSmall(l.Input)}
		for _, r := range b.ranges {
			if r.Span().Sub(l.Input.Span().Mul(formula.Int(2))).Sign() >= 0 {
				b.wide = append(b.wide, r)
			}
		}
		if e.Level != "easy" {
			b.checker = c.Accuracy.Float64()
		}
		for _, x := range e.Plant.Standards {
			if x.Range.Unit == l.Input.Unit && !x.Range.Span().Equal(l.Input.Span()) {
				b.own = append(b.own, gauge{name: x.Name, id: x.ID, rng: x.Range, accuracy: x.Accuracy, due: x.Due})
			}
		}
		// What the checker alone takes of the tolerance must leave a gauge its
		// share, at level hard one that still gives 4 to 1.
		most := b.tolerance / 2
		if e.Level == "hard" {
			most = b.tolerance / 4.7
		}
		if b.checker <= most {
			p.benches = append(p.benches, b)
		}
	}
	if len(p.benches) == 0 {
		return nil, []diag.Diagnostic{exercises.At(e, diag.Error, "checker-accuracy",
			fmt.Sprintf("exercise %q has no loop whose tolerance leaves a gauge its share beside the checker of %s, which takes %s", e.ID, e.Plant.Name, exercises.Quantity(c.Accuracy, "% of span")),
			"name loops with a wider tolerance under \"loops\", or take a lower level")}
	}
	return p, nil
}

type plan struct {
	exercise *scenarios.Exercise
	plant    *scenarios.Plant
	benches  []bench
}

// bench is one loop with what may stand beside it.
type bench struct {
	loop      *scenarios.Loop
	tolerance float64      // percent of span, one side
	checker   float64      // U95, percent of span; 0 where it is left out
	ranges    []unit.Range // of gauges that cover the loop
	wide      []unit.Range // those of them at least twice as wide as the loop
	small     []unit.Range // of gauges that do not cover it
	own       []gauge      // of the plant, in the loop's unit
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	b := &p.benches[pick.Int(len(p.benches))]
	switch p.exercise.Level {
	case "easy":
		return p.easy(pick, b)
	case "usual":
		return p.usual(pick, b)
	}
	return p.hard(pick, b)
}
