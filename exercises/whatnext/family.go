// Package whatnext is the family "what next?": some faults are still possible,
// and the test is wanted that tells most of which of them it is.
package whatnext

import (
	_ "embed"
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/whatnext/prompts.md", promptsFile)

// The reasons for which the family throws a draw away.
const (
	RejectNoHand exercises.Reject = "no list of faults of which this test tells most in this loop"
	RejectLead   exercises.Reject = "a best test without enough of a lead"
	RejectPlain  exercises.Reject = "no test at which a fault shows either of two things"
	RejectTurn   exercises.Reject = "no round sizes on both sides of a turn"
)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "what-next",
		Purpose: "choose the test that leaves the fewest faults on the list",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "five faults, and a table of what each of four tests would show, but for one cell"},
			{Name: "usual", Changes: "seven or eight faults, of which readings rule all but four out; the table is complete"},
			{Name: "hard", Changes: "as usual, without the table, and one fault can show either of two things"},
		},
		Takes:    "loops of pressure, level and flow with 4-20 mA, direct-acting and without a square root; a face of 10 divisions of 5 small marks, at most 0.1 % of span each",
		MinLoops: 1,
		Fits:     fits,
	}
}

func fits(_ string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	switch {
	case l.Root == scenarios.RootTransmitter || l.Root == scenarios.RootReceiver:
		return "has a square root in it", false
	case l.Action == scenarios.Reverse:
		return "is reverse-acting", false
	case l.Kind == scenarios.Temperature:
		return "has no sensing lines to a pressure", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "what tests show along the loop", nil)
	ds = append(ds, nullbalance.ScreenFace(e)...)
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e}
	for _, l := range s.Loops {
		b, err := benchOf(e.Plant, l, everyFault(e.Level))
		if err == nil {
			err = b.dealAll(e.Level)
		}
		if err != nil {
			return nil, []diag.Diagnostic{exercises.At(e, diag.Error, "loop-does-not-fit",
				fmt.Sprintf("exercise %q cannot use %s: %v", e.ID, l.Tag, err), "")}
		}
		p.benches = append(p.benches, b)
	}
	return p, nil
}

// dealAll works out every panel of a level. A loop in which some test tells most
// of no list, because the plant narrows the sizes of its faults, is refused.
func (b *bench) dealAll(level string) error {
	faults := possible
	if level == "easy" {
		faults = listedEasy
	}
	for i := range panels[level] {
		d, err := b.deals(&panels[level][i], faults, level == "hard")
		if err != nil {
			return err
		}
		for t, h := range d.hands {
			if len(h) == 0 {
				return fmt.Errorf("no list of faults there makes the test %q the best", prompts.Text("short."+d.panel.tests[t]).Plain())
			}
		}
		b.worked = append(b.worked, d)
	}
	return nil
}

type plan struct {
	exercise *scenarios.Exercise
	benches  []*bench
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	panel := pick.Int(len(p.benches[0].worked))
	right := pick.Int(len(panels[p.exercise.Level][panel].tests))
	b := p.benches[pick.Int(len(p.benches))]
	d := b.worked[panel]
	if len(d.hands[right]) == 0 || p.exercise.Level != "hard" && len(d.alone[right]) == 0 {
		return exercises.Item{}, RejectNoHand
	}
	it := &item{bench: b, deal: d, right: right, level: p.exercise.Level}
	if it.level != "hard" {
		l := &d.alone[right][pick.Int(len(d.alone[right]))]
		n := pick.Int(len(l.hands))
		it.hand, it.aloneFault, it.aloneTest = &d.hands[right][l.hands[n]], l.fault, l.tests[n][pick.Int(len(l.tests[n]))]
	} else {
		it.hand = &d.hands[right][pick.Int(len(d.hands[right]))]
	}
	if err := it.draw(pick); err != nil {
		return exercises.Item{}, err
	}
	return it.build(p.exercise.Title, pick)
}
