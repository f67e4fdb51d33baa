// Package ranging is the family "level-and-flow": which differential pressure
// a transmitter is ranged for. Levels go by heights times specific gravity,
// with the transmitter off its tap and with a dry or a filled leg; flows go by
// the square, so that a new range, the points of a check, and what a small zero
// error does at a low flow have to be worked out and not felt.
package ranging

import (
	_ "embed"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/ranging/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	const level = "level loops with 4-20 mA and direct action; the transmitter goes to another vessel, whose heights are drawn"
	return scenarios.Spec{
		Name:    "level-and-flow",
		Purpose: "work out the range of a differential-pressure transmitter for a level with its legs, or for a flow with its root",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "an open tank, or a closed one with a dry leg; both ends of the range, the current at a level", Takes: level},
			{Name: "usual", Changes: "a filled leg on the low side; both ends, the level at a current, what a leg that lost filling does", Takes: level},
			{Name: "hard", Changes: "flow: a new range, the points of a check, flow at a current, what a zero error does at low flow and to the total",
				Takes: "flow loops with 4-20 mA, direct action and a root, whose differential pressure and flow begin at 0"},
		},
		MinLoops: 1,
		Fits:     fits,
	}
}

func fits(level string, l *scenarios.Loop) (string, bool) {
	switch {
	case l.Signal.Name != signal.Current.Name:
		return "does not send 4-20 mA", false
	case l.Action == scenarios.Reverse:
		return "acts in reverse", false
	case level != "hard" && l.Kind != scenarios.Level:
		return "measures no level", false
	case level != "hard":
		return "", true
	case l.Kind != scenarios.Flow:
		return "measures no flow", false
	case l.Root == scenarios.NoRoot:
		return "has no square root", false
	case !l.Input.Low.IsZero() || !l.Shows.Low.IsZero():
		return "has a range that does not begin at 0", false
	case l.Input.Unit.Dimension != unit.Pressure:
		return "senses no pressure", false
	case daily[l.Shows.Unit.Name()].amount == "":
		return "shows flow in a unit that is not added up over days here", false
	case 14*l.Shows.High.Float64()*float64(daily[l.Shows.Unit.Name()].times) > mostAmount:
		return "adds up to numbers with too many digits in ten days", false
	case l.Input.High.Float64() < 1 || l.Input.High.Float64() > 9999 || l.Shows.High.Float64() < 1 || l.Shows.High.Float64() > 9999:
		return "has a range that prints badly: its upper ends should lie between 1 and 9999", false
	}
	return "", true
}

// perDay is what a flow adds up to: the unit of the amount, and how many of the
// flow's units of time a day has.
type perDay struct {
	amount string
	times  int64
	unit   string // of times
}

var daily = map[string]perDay{
	"m3/h": {"m³", 24, "h/d"}, "L/h": {"L", 24, "h/d"}, "kg/h": {"kg", 24, "h/d"}, "t/h": {"t", 24, "h/d"}, "lb/h": {"lb", 24, "h/d"},
	"L/min": {"L", 1440, "min/d"}, "gpm(US)": {"gal (US)", 1440, "min/d"},
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "a loop without a fault", nil)
	if len(ds) > 0 {
		return nil, ds
	}
	return &plan{exercise: e, loops: s.Loops}, nil
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []*scenarios.Loop
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	l := p.loops[pick.Int(len(p.loops))]
	switch p.exercise.Level {
	case "easy":
		return p.easy(pick, l)
	case "usual":
		return p.usual(pick, l)
	}
	return p.hard(pick, l)
}

// start begins an exercise about a loop.
func (p *plan) start(l *scenarios.Loop, intro string, cautions ...string) *exercises.Draft {
	w := &exercises.Draft{}
	w.Prompts = prompts
	// What stands in brackets behind a service tells of the vessel that the
	// loop has now: "level of the drum (wet leg)".
	service, _, _ := strings.Cut(l.Service, " (")
	w.Words = []string{"tag", l.Tag, "service", service}
	s := &w.Item.Sheet
	s.Title, s.Intro, s.Cautions = p.exercise.Title, w.Text("intro."+intro), cautions
	return w
}

// bind makes a value known that a question prints and no table.
func bind(w *exercises.Draft, word string, sym formula.Sym, v formula.Value, in string, decimals int) {
	w.Env = w.Env.With(formula.Binding{Sym: sym, V: v, Unit: in, Decimals: decimals})
	w.Words = append(w.Words, word, formula.WithUnit(v.Text(decimals), in))
}
