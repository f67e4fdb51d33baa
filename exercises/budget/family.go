// Package budget is the family "will it drive it": the volts and ohms of a
// loop. What the cable takes, what is left for the transmitter, how long the
// cable may be, and whether the loop runs short only while the checker is in it.
package budget

import (
	_ "embed"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/cable"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/budget/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "will-it-drive-it",
		Purpose: "reckon whether the supply can drive the loop, and what the checker in it changes",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "a cable at 20 °C; ohms of the loop, volts left for the transmitter, enough or not"},
			{Name: "usual", Changes: "a warm cable; the same with the checker in the loop, and who is to blame"},
			{Name: "hard", Changes: "backwards: the most ohms, the longest cable, the highest current with the checker in"},
		},
		Takes:    "loops with 4-20 mA whose supply leaves at least 90 ohm for cable and barrier beside receiver and checker",
		MinLoops: 1,
		Fits:     fits,
	}
}

// exact is a figure of the plant file again as the decimal that it was written
// as; three decimals are enough for volts and ohms.
func exact(x float64) formula.Value {
	v, err := formula.Float(x).Rounded(3)
	if err != nil {
		n, _ := formula.Float(x + 1e-7).Round(3)
		return formula.Decimal(n, 3)
	}
	return v
}

var checkerOhm = formula.Int(250)

// room is what the supply leaves for cable and barrier at 21 mA, ohm, with
// receiver and checker in the loop.
func room(l *scenarios.Loop) float64 {
	q := l.Params
	return (q.Supply.Volt-q.Transmitter.LiftOffVolt)/0.021 - q.Supply.InternalOhm - q.Receiver.ShuntOhm - checkerOhm.Float64()
}

func fits(_ string, l *scenarios.Loop) (string, bool) {
	switch {
	case l.Signal.Name != signal.Current.Name:
		return "does not send 4-20 mA", false
	case room(l) < 90:
		return "has too little supply for cable, barrier and checker together", false
	case room(l) > 2000:
		return "has so much supply that no cable is too long", false
	}
	return "", true
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

// The cases of a loop: enough volts with and without the checker, short only
// while it is in, short without it too.
const (
	both    = "both"
	blame   = "checker-only"
	neither = "neither"
)

// rejectRoom: the drawn cable leaves nothing for the barrier.
const rejectRoom exercises.Reject = "a cable that leaves no room for the barrier"

// drawn is a loop with its new cable and a barrier.
type drawn struct {
	loop           *scenarios.Loop
	volt, lift     formula.Value // V
	supply, rx     formula.Value // ohm
	barrier        formula.Value // ohm
	most           formula.Value // mA
	perKm          formula.Value // ohm, of one conductor at 20 °C
	length, warmth formula.Value // m, °C
}

// draw takes the case first and solves for the barrier.
func (p *plan) draw(pick *exercises.Picker, state string, warm bool) (drawn, error) {
	l := p.loops[pick.Int(len(p.loops))]
	q := l.Params
	d := drawn{loop: l, volt: exact(q.Supply.Volt), lift: exact(q.Transmitter.LiftOffVolt),
		supply: exact(q.Supply.InternalOhm), rx: exact(q.Receiver.ShuntOhm), warmth: formula.Int(20)}
	d.most = []formula.Value{formula.Decimal(205, 1), formula.Int(21)}[pick.Int(2)]
	d.length = formula.Int(int64(10 * pick.Between(30, 120)))
	if warm {
		d.warmth = formula.Int(int64(pick.Between(30, 70)))
	}
	sizes := cable.Sizes()[1:4] // 0.75 to 1.5 mm²
	d.perKm, _ = cable.OhmPerKm(sizes[pick.Int(len(sizes))])
	if l.Cable != nil {
		d.perKm = l.Cable.OhmPerKm
	}
	max := d.volt.Sub(d.lift).Div(d.most).Float64() * 1000
	rest := d.supply.Float64() + d.rx.Float64()
	wire := 2 * d.perKm.Float64() * d.length.Float64() / 1000 * (1 + 0.004*(d.warmth.Float64()-20))
	var low, high float64 // of all ohms without the checker
	switch state {
	case both:
		low, high = rest+wire+10, max-250-12
	case blame:
		low, high = max-250+12, max-12
	default:
		low, high = max+12, max+90
	}
	least, most := int(low-rest-wire)+1, int(high-rest-wire)
	if p.exercise.Level == "hard" {
		// The longest cable is asked for: there must be one.
		most = min(most, int(max-rest-wire/d.length.Float64()*60))
	}
	if least < 10 {
		least = 10
	}
	if most < least {
		return d, rejectRoom
	}
	d.barrier = formula.Int(int64(pick.Between(least, min(most, least+240))))
	return d, nil
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	switch p.exercise.Level {
	case "easy":
		state := []string{blame, neither, both, neither}[pick.Int(4)]
		d, err := p.draw(pick, state, false)
		if err != nil {
			return exercises.Item{}, err
		}
		return p.easy(d)
	case "usual":
		d, err := p.draw(pick, []string{both, blame, neither}[pick.Int(3)], true)
		if err != nil {
			return exercises.Item{}, err
		}
		return p.usual(d)
	}
	d, err := p.draw(pick, []string{both, blame, neither}[pick.Int(3)], true)
	if err != nil {
		return exercises.Item{}, err
	}
	return p.hard(d)
}
