package howsure

import (
	"math"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// The symbols of the family: A an accuracy in percent of a gauge's own span, a
// and b the ends of a range, U uncertainties in percent of the loop's span, TL
// the limits of the tolerance.
const (
	symAccuracy formula.Sym = "A"
	symGLow     formula.Sym = "a_G"
	symGHigh    formula.Sym = "b_G"
	symLLow     formula.Sym = "a_L"
	symLHigh    formula.Sym = "b_L"
	symAbs      formula.Sym = "u_G" // of the gauge, in the unit of its range
	symGauge    formula.Sym = "U_G"
	symChecker  formula.Sym = "U_C"
	symBoth     formula.Sym = "U"
	symLower    formula.Sym = "TL_low"
	symLimit    formula.Sym = "TL_high"
	symRatio    formula.Sym = "TUR"
	symAccept   formula.Sym = "AL"
	symReject   formula.Sym = "RL"
	symLeast    formula.Sym = "TL_min"
	symFound    formula.Sym = "e"
)

const (
	ofSpan    = "of the loop's span"
	ratioUnit = "to 1"
)

var (
	two      = formula.Num(2)
	four     = formula.Lit{V: formula.Int(4), Unit: ratioUnit}
	carried  = formula.Decimal(5, 4) // half the last place of an uncertainty, percent of span
	loopSpan = formula.Sub(symLHigh, symLLow)
)

func places(v formula.Value) int { k, _ := v.Places(4); return k }

// start begins an exercise with what its page says of the loop.
func (p *plan) start(b *bench, words ...string) *exercises.Draft {
	w := &exercises.Draft{}
	w.Prompts = prompts
	l := b.loop
	w.Words = append(words, "tag", l.Tag, "service", l.Service, "unit", l.Input.Unit.Symbol, "checker", p.plant.Checker.ID,
		"tolerance", "± "+exercises.Quantity(l.Tolerance, "%"))
	s := &w.Item.Sheet
	s.Title, s.Intro = p.exercise.Title, w.Text("intro."+p.exercise.Level)
	s.Cautions = []string{"practice-figures", "before-test-lead", "vent-and-isolate"}
	w.Item.Key.Fault = "nothing"
	bind(w, symLLow, symLHigh, l.Input)
	w.Row(w.Text("given.range").Plain(), l.Input.Text())
	w.Given("lower", symLower, l.Tolerance.Neg(), "%", places(l.Tolerance))
	w.Given("upper", symLimit, l.Tolerance, "%", places(l.Tolerance))
	return w
}

// bind binds the ends of a range, which stand in one cell of a table.
func bind(w *exercises.Draft, low, high formula.Sym, r unit.Range) {
	w.Env = w.Env.With(
		formula.Binding{Sym: low, V: r.Low, Unit: r.Unit.Symbol, Decimals: r.Decimals},
		formula.Binding{Sym: high, V: r.High, Unit: r.Unit.Symbol, Decimals: r.Decimals})
}

// giveGauge prints the one gauge of an exercise.
func giveGauge(w *exercises.Draft, g gauge) {
	name := g.id
	if name == "" {
		name = kindOf(g.rng) + " on loan"
	}
	w.Row(w.Text("given.gauge").Plain(), name)
	bind(w, symGLow, symGHigh, g.rng)
	w.Row(w.Text("given.gauge-range").Plain(), g.rng.Text())
	w.Given("gauge-accuracy", symAccuracy, g.accuracy, "%", places(g.accuracy))
}

// upper is x where all the upper ends it is made of lie above 0, else nothing:
// nobody takes 0 kPa for a span.
func upper(w *exercises.Draft, x formula.Expr, ends ...formula.Sym) formula.Expr {
	for _, s := range ends {
		if b, ok := w.Env.Lookup(s); !ok || b.V.Sign() <= 0 {
			return nil
		}
	}
	return x
}

// own is the span of a gauge.
func own(low, high formula.Sym) formula.Expr { return formula.Sub(high, low) }

// askShare asks for the gauge's uncertainty in percent of the loop's span, in
// one step.
func askShare(w *exercises.Draft, acc, low, high formula.Sym, more ...exercises.Told) {
	s := own(low, high)
	slips := append(more,
		exercises.Told{ID: "own-span", Name: "percent of the gauge's span taken for percent of the loop's", X: acc},
		exercises.Told{ID: "spans-turned", Name: "the two spans the wrong way round", X: signal.Referred(acc, loopSpan, s)},
		exercises.Told{ID: "half-width", Name: "halved, as if it were a whole width", X: formula.Div(signal.Referred(acc, s, loopSpan), two)},
		exercises.Told{ID: "both-sides", Name: "doubled, both sides counted", X: formula.Mul(two, signal.Referred(acc, s, loopSpan))},
		exercises.Told{ID: "upper-end", Name: "upper ends taken for spans", X: upper(w, signal.Referred(acc, high, symLHigh), high, symLHigh)})
	w.Ask("share", formula.Definition{Sym: symGauge, Expr: signal.Referred(acc, s, loopSpan), Unit: "%", Decimals: 3}, ofSpan, carried, slips...)
}

// askBoth asks for the uncertainty of gauge and checker together; acc is the
// accuracy as the gauge states it.
func askBoth(w *exercises.Draft, acc formula.Sym) {
	w.Ask("both", formula.Definition{Sym: symBoth, Expr: signal.Combined(symGauge, symChecker), Unit: "%", Decimals: 3}, ofSpan, carried,
		exercises.Told{ID: "added", Name: "added instead of the root of the sum of squares", X: formula.Add(symGauge, symChecker)},
		exercises.Told{ID: "root-forgotten", Name: "root forgotten", X: formula.Add(formula.Square(symGauge), formula.Square(symChecker))},
		exercises.Told{ID: "checker-forgotten", Name: "checker forgotten", X: symGauge},
		exercises.Told{ID: "gauge-forgotten", Name: "gauge forgotten", X: symChecker},
		exercises.Told{ID: "own-span-both", Name: "gauge not carried to the loop's span", X: signal.Combined(acc, symChecker)},
		exercises.Told{ID: "mean", Name: "mean of the two taken", X: formula.Div(formula.Add(symGauge, symChecker), two)})
}

// rounding is what half the last place of U does to a value that goes with
// ratio over it, rounded up to a hundredth.
func rounding(ratio, u float64) formula.Value {
	return formula.Decimal(int64(math.Ceil(ratio*0.0005/u*100)), 2)
}

// askRatio asks for the test uncertainty ratio with the uncertainty sym, that
// is about u.
func askRatio(w *exercises.Draft, b *bench, sym formula.Sym, u float64, more ...exercises.Told) {
	ratio := func(u formula.Expr) formula.Expr { return signal.UncertaintyRatio(symLower, symLimit, u) }
	slips := append([]exercises.Told{
		{ID: "one-side", Name: "tolerance not doubled", X: formula.Div(symLimit, formula.Mul(two, sym))},
		{ID: "u-not-doubled", Name: "uncertainty not doubled", X: formula.Div(formula.Sub(symLimit, symLower), sym)},
		{ID: "ratio-turned", Name: "ratio turned over", X: formula.Div(formula.Mul(two, sym), formula.Sub(symLimit, symLower))},
	}, more...)
	w.Ask("ratio", formula.Definition{Sym: symRatio, Expr: ratio(sym), Unit: ratioUnit, Decimals: 1}, "",
		rounding(b.tolerance/u, u), slips...)
}

// askAccept asks for the acceptance limit.
func askAccept(w *exercises.Draft) {
	w.Ask("accept", formula.Definition{Sym: symAccept, Expr: signal.AcceptanceLimit(symLimit, symBoth), Unit: "%", Decimals: 3}, ofSpan, carried,
		exercises.Told{ID: "guard-added", Name: "guard band added", X: formula.Add(symLimit, symBoth)},
		exercises.Told{ID: "no-guard", Name: "tolerance limit taken", X: formula.Add(symLimit, formula.Lit{Unit: "%"})},
		exercises.Told{ID: "half-guard", Name: "half the guard band", X: signal.AcceptanceLimit(symLimit, formula.Div(symBoth, two))},
		exercises.Told{ID: "double-guard", Name: "twice the guard band", X: signal.AcceptanceLimit(symLimit, formula.Mul(two, symBoth))},
		exercises.Told{ID: "gauge-guard", Name: "guard band of the gauge alone", X: signal.AcceptanceLimit(symLimit, symGauge)})
}
