// Package outside is the family "output side": from a controller's output
// through current and air to the valve; split range, a set-point output, and
// which device of the chain is off.
package outside

import (
	_ "embed"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/outside/prompts.md", promptsFile)

// faults of the chain, each as often as it is listed by default: the kinds of
// fault, zero, span and a flat top, so come up in fair shares.
var (
	faults   = []string{"controller-output-off", "ip-zero", "ip-span", "positioner-zero", "positioner-span", "low-air"}
	weighted = []string{
		"controller-output-off", "controller-output-off", "controller-output-off", "ip-zero", "ip-zero", "positioner-zero", "positioner-zero",
		"ip-span", "ip-span", "ip-span", "positioner-span", "positioner-span", "positioner-span", "low-air", "low-air", "low-air", "low-air",
	}
)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "output-side",
		Purpose: "follow a controller's output through current and air to the valve, and find the device that is off",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "one valve, each step of the chain by itself, forwards and backwards"},
			{Name: "usual", Changes: "two valves in split range, or an output that is the set point of another controller",
				Takes: "output loops with at least 100 kPa of supply air; the plant's loops give the set points"},
			{Name: "hard", Changes: "readings along the chain at three outputs: which device is off, and how"},
		},
		Faults:     faults,
		Takes:      "output loops with at least 100 kPa of supply air",
		MinOutputs: 1,
		FitsOutput: fitsOutput,
	}
}

// airTop is the top of the converter's signal, 20-100 kPa after IEC 60382.
const airTop = 100

func fitsOutput(_ string, o *scenarios.Output) (string, bool) {
	if o.Params.IP.AirKilopascal < airTop {
		return "has too little supply air for a signal of 100 kPa", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "readings along an output loop", weighted)
	if e.Level != "hard" && len(e.Faults) > 0 {
		ds = append(ds, exercises.At(e, diag.Error, "fault-cannot-show", "exercise \""+e.ID+"\" of level "+e.Level+" takes no faults", "leave \"faults\" out, or take level hard"))
	}
	if len(e.Outputs) == 0 {
		ds = append(ds, exercises.At(e, diag.Error, "no-output", "exercise \""+e.ID+"\" has no output loop to ask about", "name output loops of the plant under \"outputs\""))
	}
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e, outputs: e.Outputs, faults: s.Faults}
	for _, l := range e.Plant.Loops {
		if places(l) <= mostPlaces {
			p.slaves = append(p.slaves, l)
		}
	}
	return p, nil
}

type plan struct {
	exercise *scenarios.Exercise
	outputs  []*scenarios.Output
	slaves   []*scenarios.Loop // whose controller can take its set point from an output
	faults   []string
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	switch p.exercise.Level {
	case "easy":
		return p.chain(pick)
	case "usual":
		if len(p.slaves) > 0 && pick.Int(3) == 0 {
			return p.setPoint(pick)
		}
		return p.split(pick)
	}
	return p.device(pick)
}

// mostPlaces is the most decimals with which a set point is given.
const mostPlaces = 4

// places is how many decimals a set point is given with: the least with which
// a step is at most a thousandth of the span.
func places(l *scenarios.Loop) int {
	step := l.Shows.Span().Div(formula.Int(1000))
	for k := 0; k <= mostPlaces; k++ {
		if step.Sub(formula.Decimal(1, k)).Sign() >= 0 {
			return k
		}
	}
	return mostPlaces + 1
}
