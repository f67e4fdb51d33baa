// Package tempinput is the family "temperature inputs": what a Pt100 or a
// thermocouple gives a transmitter, worked on paper from an extract of the
// published table that stands on the page.
//
// The key is computed from the extract as it is printed, straight from one
// figure to the next. Tables after IEC 60751 and ITS-90 differ from that by
// their rounding (0.005 ohm, 0.0005 mV) and by the bend between two figures (at
// most 0.002 ohm and 0.0015 mV from -50 °C up); tolerances have room for both.
package tempinput

import (
	_ "embed"

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

var prompts = prose.MustLibrary("exercises/tempinput/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "temperature-inputs",
		Purpose: "work out what a Pt100 or a thermocouple gives its transmitter, and what leads, cables and junctions change",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "a Pt100: ohms for a point of the range, degrees and current for ohms, what a broken sensor does", Takes: "such loops with a Pt100"},
			{Name: "usual", Changes: "the leads of a Pt100 in two-wire and three-wire connection, and their error in percent of span", Takes: "such loops with a Pt100 and a tolerance of 0.5 to 4 °C"},
			{Name: "hard", Changes: "a thermocouple with its reference junction, forwards and backwards, and what copper instead of compensating cable does", Takes: "such loops with a thermocouple whose range begins between -20 and 0 °C and reaches 300 °C"},
		},
		Takes:    "loops with 4-20 mA and a key \"sensor\", direct action, from -50 °C, with a range in whole tens of °C and a span of 80 to 800 °C",
		MinLoops: 1,
		Fits:     fits,
	}
}

// ends are the ends of the range in whole °C; ok is false where they are not
// whole tens.
func ends(l *scenarios.Loop) (low, high int64, ok bool) {
	ten := formula.Int(step)
	a, b := l.Input.Low.Div(ten), l.Input.High.Div(ten)
	n, d, exact := a.Fraction()
	m, e, also := b.Fraction()
	return step * n, step * m, exact && also && d == 1 && e == 1
}

// kelvins is the tolerance of a loop in °C of its input.
func kelvins(l *scenarios.Loop) float64 {
	return l.Tolerance.Float64() * l.Input.Span().Float64() / 100
}

func fits(level string, l *scenarios.Loop) (string, bool) {
	_, couple := l.Sensor.Thermocouple()
	if l.Sensor == "" {
		return "does not say which sensor it has", false
	}
	if couple != (level == "hard") {
		return "has a " + string(l.Sensor), false
	}
	low, high, whole := ends(l)
	q := l.Params.Transmitter
	switch {
	case l.Signal.Name != signal.Current.Name:
		return "does not send 4-20 mA", false
	case l.Action != scenarios.Direct:
		return "works in reverse", false
	case l.Input.Unit != unit.Must("°C") || !whole:
		return "has a range that is not in whole tens of °C", false
	case low < -50:
		return "begins below -50 °C", false
	case high-low < 80 || high-low > 800:
		return "has a span that is not from 80 to 800 °C", false
	case q.LowMilliamp <= 3.6 || q.HighMilliamp >= 21:
		return "has limits that reach into the currents of a failure", false
	case level == "usual" && (kelvins(l) < 0.5 || kelvins(l) > 4):
		return "has a tolerance that is not from 0.5 to 4 °C", false
	case couple && (low < -20 || low > 0 || high < 300):
		return "has a range that does not begin between -20 and 0 °C and reach 300 °C", false
	case newTable(l.Sensor, low, high) == nil:
		return "has a range beyond the table of its sensor", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// input is a loop with what is printed of it in every form.
type input struct {
	loop      *scenarios.Loop
	low, high int64 // °C
	table     *table
	limits    [2]formula.Value // mA, of a measured value
	points    []int64          // percent of the range that lie between two figures of the table
}

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "a temperature input", nil)
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e}
	for _, l := range s.Loops {
		in := input{loop: l}
		in.low, in.high, _ = ends(l)
		in.table = newTable(l.Sensor, in.low, in.high)
		q := l.Params.Transmitter
		in.limits = [2]formula.Value{exact(q.LowMilliamp), exact(q.HighMilliamp)}
		in.points = points(in.low, in.high)
		p.inputs = append(p.inputs, in)
	}
	return p, nil
}

// exact is a figure of the plant file again as the decimal that it was written
// as; three decimals are enough for a current in mA.
func exact(x float64) formula.Value {
	v, err := formula.Float(x).Rounded(3)
	if err != nil {
		n, _ := formula.Float(x + 1e-7).Round(3)
		return formula.Decimal(n, 3)
	}
	return v
}

// points lists the percentages of a range that lie at least 1 °C beside every
// figure of the table: in steps of 5 where those are enough, else of 1.
func points(low, high int64) []int64 {
	for _, by := range []int64{5, 1} {
		var out []int64
		for p := int64(5); p <= 95; p += by {
			// hundredths of a degree above a figure
			if over := (100*low + p*(high-low)) % (100 * step); over%10 == 0 && (over+1000)%1000 >= 100 && (over+1000)%1000 <= 900 {
				out = append(out, p)
			}
		}
		if len(out) >= 8 {
			return out
		}
	}
	return nil
}

type plan struct {
	exercise *scenarios.Exercise
	inputs   []input
}

// The currents at which a transmitter reports a failure, beyond the limits of
// NAMUR NE 43 on either side. [ours]
var (
	failUp   = formula.Decimal(215, 1) // mA
	failDown = formula.Decimal(35, 1)  // mA
)

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	in := &p.inputs[pick.Int(len(p.inputs))]
	switch p.exercise.Level {
	case "easy":
		return p.easy(in, pick)
	case "usual":
		return p.usual(in, pick)
	}
	return p.hard(in, pick)
}

// The symbols that all levels share.
const (
	symLow  formula.Sym = "t_0"
	symHigh formula.Sym = "t_100"
)

var (
	i0, i100 = signal.Current.Zero(), signal.Current.Full()
	mA       = func(n int64) formula.Expr { return formula.Lit{V: formula.Int(n), Unit: "mA"} }
)

// start begins a sheet with the loop's own givens.
func (p *plan) start(in *input, more ...string) *exercises.Draft {
	w := &exercises.Draft{}
	w.Prompts = prompts
	couple, _ := in.loop.Sensor.Thermocouple()
	w.Words = append([]string{"tag", in.loop.Tag, "service", in.loop.Service, "type", string(couple),
		"lowest", exercises.Quantity(in.limits[0], "mA"), "highest", exercises.Quantity(in.limits[1], "mA"),
		"up", exercises.Quantity(failUp, "mA"), "down", exercises.Quantity(failDown, "mA")}, more...)
	s := &w.Item.Sheet
	s.Title, s.Intro = p.exercise.Title, w.Text("intro."+p.exercise.Level)
	s.Cautions = []string{"practice-figures", "before-test-lead", "open-loop"}
	w.Given("low", symLow, formula.Int(in.low), "°C", 0)
	w.Given("high", symHigh, formula.Int(in.high), "°C", 0)
	w.Env = w.Env.With(signal.Current.Bind()...)
	w.Item.Key.Fault = "nothing"
	return w
}

// current is what the transmitter sends for a temperature.
func current(celsius formula.Expr) formula.Expr {
	return signal.Scale(celsius, symLow, symHigh, i0, i100)
}
