package ranging

import (
	"fmt"
	"math"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The symbols of flows.
const (
	symDP      formula.Sym = "P"   // upper end of the differential pressure, old range
	symFlow    formula.Sym = "Q"   // flow at it
	symNewFlow formula.Sym = "Q_n" // flow at 100 % of the new range
	symNewDP   formula.Sym = "P_n" // differential pressure at it
	symIs      formula.Sym = "q"   // flow at a current
	symTrue    formula.Sym = "x"   // true flow, percent of flow span
	symZero    formula.Sym = "z"   // zero error, percent of the differential pressure's span
	symOff     formula.Sym = "e"   // error of flow, percent of flow span
	symDays    formula.Sym = "N"   // days
	symAmount  formula.Sym = "V"   // amount wrongly counted
)

// newDP is the differential pressure at the upper end of a new flow range:
//
//	P × (Q_n / Q)²
//
// for the same plate and density.
func newDP() formula.Expr {
	return formula.Mul(symDP, formula.Square(formula.Div(symNewFlow, symFlow)))
}

// pointDP is the differential pressure at a share of the new flow range.
func pointDP(share formula.Expr) formula.Expr {
	return formula.Mul(symNewDP, formula.Square(share))
}

// flowAt is the flow of a current; rooted says that the transmitter has taken
// the root.
func flowAt(rooted bool) formula.Expr {
	x := signal.Fraction(symCurrent, zeroMA, fullMA)
	if !rooted {
		x = formula.Sqrt(x)
	}
	return formula.Mul(symNewFlow, x)
}

// shown is the share of the flow span that is shown where the differential
// pressure has a zero error:
//
//	√((x / 100 %)² + z / 100 %)
//
// x is the true flow in percent of its span, z the zero error in percent of the
// span of differential pressure; undefined where the error takes it below 0.
func shown() formula.Expr {
	return formula.Sqrt(formula.Add(formula.Square(signal.OfPercent(symTrue)), signal.OfPercent(symZero)))
}

// checkFlows are the flows of the check, percent of the new range; 0 and 100 %
// are the ends of the range and asked for before.
var checkFlows = []int64{25, 50, 75}

// places is how many decimals a value of a range needs so that a unit of the last
// is a thousandth of its upper end or less, at most 3.
func places(upper float64) int {
	k := 3 - int(math.Floor(math.Log10(upper)+1e-9))
	return max(0, min(k, 3))
}

// exactly is how many decimals an exact value has, at most 4.
func exactly(v formula.Value) int { k, _ := v.Places(4); return k }

// hard: flow by differential pressure.
func (p *plan) hard(pick *exercises.Picker, l *scenarios.Loop) (exercises.Item, error) {
	intro := "root-receiver"
	if l.Root == scenarios.RootTransmitter {
		intro = "root-transmitter"
	}
	w := p.start(l, intro, "practice-figures", "manifold", "vent-and-isolate")
	dp, flow := l.Input.Unit.Symbol, l.Shows.Unit.Symbol
	w.Given("dp", symDP, l.Input.High, dp, exactly(l.Input.High))
	w.Given("flow", symFlow, l.Shows.High, flow, exactly(l.Shows.High))

	// A new range of 60 to 85 or 115 to 140 % of the old one.
	half := 120 + pick.Int(51)
	if pick.Int(2) == 1 {
		half += 110
	}
	newFlow := l.Shows.High.Mul(formula.Ratio(int64(half), 200))
	k := max(0, places(newFlow.Float64())-1)
	newFlow, err := newFlow.Rounded(k)
	if err != nil {
		return exercises.Item{}, err
	}
	w.Given("new-flow", symNewFlow, newFlow, flow, k)
	drawPipe(w, l.Root)
	p.askNewRange(w, l)
	p.askPoints(w, l)
	p.askFlow(w, pick, l, newFlow)
	return p.askZero(w, pick, l, newFlow)
}

// mostAmount is the most that a whole flow span adds up to over the days; of it
// an error takes a twenty-fifth.
const mostAmount = 2.4e7

// askNewRange asks for the differential pressure at the new upper end.
func (p *plan) askNewRange(w *exercises.Draft, l *scenarios.Loop) {
	ratio := formula.Div(symNewFlow, symFlow)
	k := places(l.Input.High.Float64())
	half := formula.Decimal(1, k)
	w.Ask("new-range", formula.Definition{Sym: symNewDP, Expr: newDP(), Unit: l.Input.Unit.Symbol, Decimals: k}, "", half,
		exercises.Told{ID: "square-forgotten", Name: "differential pressure taken in proportion to flow", X: formula.Mul(symDP, ratio)},
		exercises.Told{ID: "root-for-square", Name: "root taken where the square is needed", X: formula.Mul(symDP, formula.Sqrt(ratio))},
		exercises.Told{ID: "ratio-turned", Name: "old and new range swapped", X: formula.Mul(symDP, formula.Square(formula.Div(symFlow, symNewFlow)))},
		exercises.Told{ID: "range-kept", Name: "the old range kept", X: symDP},
		exercises.Told{ID: "square-doubled", Name: "the change doubled instead of squared", X: formula.Mul(symDP, formula.Sub(formula.Mul(formula.Num(2), ratio), formula.Num(1)))})
}

// askPoints asks for the differential pressures of a check, as a table.
func (p *plan) askPoints(w *exercises.Draft, l *scenarios.Loop) {
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	k := places(l.Input.High.Float64())
	tolerance := exercises.Tolerance(formula.Decimal(1, k), k)
	dp := l.Input.Unit.Symbol
	part := exercises.Part{Label: label, Prompt: w.Text("ask.points"), Marks: len(checkFlows), Lines: 2,
		Table: &exercises.Table{Columns: []exercises.Column{{Head: w.Text("head.flow").Plain()}, {Head: w.Text("head.dp").Plain()}}}}
	key := exercises.PartKey{Label: label, Working: []exercises.Step{{Text: w.Text("work.points")}},
		Why: w.Text("tolerance.value", "tolerance", exercises.Quantity(tolerance, dp), "half", exercises.Quantity(formula.Decimal(1, k), dp))}
	var shares []formula.Expr
	for i, x := range checkFlows {
		id := fmt.Sprintf("%s.%d", label, i+1)
		name := w.Text("point", "x", fmt.Sprint(x)).Plain()
		part.Boxes = append(part.Boxes, exercises.Box{ID: id, Kind: exercises.NumberBox, Name: name, Unit: dp, Decimals: k})
		part.Table.Rows = append(part.Table.Rows, exercises.Row{Cells: []exercises.Cell{{Text: formula.WithUnit(fmt.Sprint(x), "%")}, {Box: id}}})
		share := signal.OfPercent(formula.Lit{V: formula.Int(x), Unit: "%"})
		shares = append(shares, share)
		def := formula.Definition{Sym: formula.Sym(fmt.Sprintf("P_%d", x)), Expr: pointDP(share), Unit: dp, Decimals: k}
		key.Answers = append(key.Answers, exercises.Answer{Box: id, Def: def, Env: w.Env, Tolerance: tolerance})
		key.Working = append(key.Working, exercises.Step{Def: &def, Env: w.Env})
	}
	key.Credit = []exercises.Credit{{Marks: part.Marks, For: w.Text("credit.points")}}
	all := func(id, name string, x func(share formula.Expr) formula.Expr) {
		var xs []formula.Expr
		for _, s := range shares {
			xs = append(xs, x(s))
		}
		w.ToldSlip(&key, id, name, xs...)
	}
	all("points-linear", "differential pressure taken in proportion to flow", func(s formula.Expr) formula.Expr { return formula.Mul(symNewDP, s) })
	all("points-rooted", "root taken where the square is needed", func(s formula.Expr) formula.Expr { return formula.Mul(symNewDP, formula.Sqrt(s)) })
	all("points-twice", "squared twice", func(s formula.Expr) formula.Expr { return formula.Mul(symNewDP, formula.Square(formula.Square(s))) })
	all("points-old", "points of the old range", func(s formula.Expr) formula.Expr { return formula.Mul(symDP, formula.Square(s)) })
	w.Item.Add(part, key)
}

// askFlow asks for the flow at a current; where the root is taken decides how.
func (p *plan) askFlow(w *exercises.Draft, pick *exercises.Picker, l *scenarios.Loop, newFlow formula.Value) {
	bind(w, "current", symCurrent, formula.Decimal(int64(400+2*pick.Between(120, 680)), 2), "mA", 2)
	k := places(newFlow.Float64())
	x := signal.Fraction(symCurrent, zeroMA, fullMA)
	def := formula.Definition{Sym: symIs, Expr: flowAt(l.Root == scenarios.RootTransmitter), Unit: l.Shows.Unit.Symbol, Decimals: k}
	dead := formula.Div(symCurrent, fullMA)
	if l.Root == scenarios.RootTransmitter {
		slips := []exercises.Told{
			{ID: "root-twice", Name: "root taken twice", X: formula.Mul(symNewFlow, formula.Sqrt(x))},
			{ID: "flow-squared", Name: "squared once too often", X: formula.Mul(symNewFlow, formula.Square(x))},
			{ID: "dead-zero", Name: "dead zero", X: formula.Mul(symNewFlow, dead)},
			{ID: "old-flow", Name: "the old range taken", X: formula.Mul(symFlow, x)},
		}
		w.Ask("flow-linear", def, "", formula.Decimal(1, k), slips...)
		return
	}
	slips := []exercises.Told{
		{ID: "root-forgotten", Name: "root forgotten", X: formula.Mul(symNewFlow, x)},
		{ID: "root-twice", Name: "root taken twice", X: formula.Mul(symNewFlow, formula.Sqrt(formula.Sqrt(x)))},
		{ID: "root-for-square", Name: "squared where the root is needed", X: formula.Mul(symNewFlow, formula.Square(x))},
		{ID: "dead-zero", Name: "dead zero", X: formula.Mul(symNewFlow, formula.Sqrt(dead))},
		{ID: "old-flow", Name: "the old range taken", X: formula.Mul(symFlow, formula.Sqrt(x))},
	}
	w.Ask("flow-root", def, "", formula.Decimal(1, k), slips...)
}

// askZero asks what a zero error of the differential pressure does to the flow,
// and to the total over some days.
func (p *plan) askZero(w *exercises.Draft, pick *exercises.Picker, l *scenarios.Loop, newFlow formula.Value) (exercises.Item, error) {
	low := int64(pick.Between(12, 30))
	zero := int64(pick.Between(2, 8)) // tenths of a percent; little enough that no flow below 8 % is shown
	if pick.Int(2) == 1 {
		zero = -zero
	}
	bind(w, "true", symTrue, formula.Int(low), "%", 0)
	bind(w, "zero", symZero, formula.Decimal(zero, 1), "%", 1)
	x, z := signal.OfPercent(symTrue), signal.OfPercent(symZero)
	shown := shown()
	in100 := func(x formula.Expr) formula.Expr { return formula.Mul(x, formula.Percent100()) }
	right := in100(formula.Sub(shown, x))
	w.Ask("flow-error", formula.Definition{Sym: symOff, Expr: right, Unit: "%", Decimals: 2}, "of flow span", cents,
		exercises.Told{ID: "error-carried", Name: "error of the differential pressure taken for that of the flow", X: symZero},
		exercises.Told{ID: "rooted-alone", Name: "the zero error rooted alone", X: in100(formula.Sqrt(formula.Abs(z)))},
		exercises.Told{ID: "shown-given", Name: "what is shown given for the error", X: in100(shown)},
		exercises.Told{ID: "error-sign", Name: "sign swapped", X: formula.Neg(right)},
		exercises.Told{ID: "of-reading", Name: "taken of the flow instead of the span", X: in100(formula.Div(formula.Sub(shown, x), x))},
		exercises.Told{ID: "flow-not-squared", Name: "flow not squared before the zero error came to it", X: in100(formula.Sub(formula.Sqrt(formula.Add(x, z)), formula.Sqrt(x)))})

	day := daily[l.Shows.Unit.Name()]
	// So many days that the amount stays readable.
	most := min(45, int(mostAmount/(newFlow.Float64()*float64(day.times))))
	days := int64(pick.Between(5, most))
	w.Env = w.Env.With(formula.Binding{Sym: symDays, V: formula.Int(days), Unit: "d"})
	w.Words = append(w.Words, "days", fmt.Sprint(days), "perday", map[string]string{"h/d": "hours", "min/d": "minutes"}[day.unit])
	times := formula.Lit{V: formula.Int(day.times), Unit: day.unit}
	whole := newFlow.Mul(formula.Int(days * day.times))
	// A hundredth of a percent of the span, the last place of the error, over
	// all days.
	half, err := whole.Mul(formula.Ratio(1, 10000)).Rounded(2)
	if err != nil {
		return exercises.Item{}, err
	}
	k := max(0, 1-int(math.Floor(math.Log10(whole.Float64()/1000)+1e-9)))
	k = min(k, 2)
	total := func(percent formula.Expr) formula.Expr {
		return formula.Mul(formula.Mul(formula.Mul(signal.OfPercent(percent), symNewFlow), times), symDays)
	}
	w.Ask("amount", formula.Definition{Sym: symAmount, Expr: total(symOff), Unit: day.amount, Decimals: k}, "", half,
		exercises.Told{ID: "hours-forgotten", Name: "units of time in a day forgotten", X: formula.Mul(formula.Mul(signal.OfPercent(symOff), symNewFlow), symDays)},
		exercises.Told{ID: "amount-of-zero", Name: "reckoned with the error of the differential pressure", X: total(symZero)},
		exercises.Told{ID: "amount-of-flow", Name: "error taken of the flow instead of the span", X: formula.Mul(total(symOff), x)},
		exercises.Told{ID: "amount-old", Name: "the old range taken", X: formula.Mul(formula.Mul(formula.Mul(signal.OfPercent(symOff), symFlow), times), symDays)},
		exercises.Told{ID: "one-day", Name: "one day only", X: formula.Mul(formula.Mul(signal.OfPercent(symOff), symNewFlow), times)},
		exercises.Told{ID: "amount-sign", Name: "sign swapped", X: formula.Neg(total(symOff))})
	w.Item.Key.Env = w.Env
	return w.Item, nil
}
