package tempinput

import (
	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The symbols of the exercises about a Pt100.
const (
	symPoint  formula.Sym = "p"
	symOhm    formula.Sym = "R"
	symRead   formula.Sym = "R_m"
	symFound  formula.Sym = "t_m"
	symMilli  formula.Sym = "I"
	symAdded  formula.Sym = "R_x"
	symFull   formula.Sym = "R_100"
	symCel    formula.Sym = "t"
	symLead1  formula.Sym = "r_1"
	symLead2  formula.Sym = "r_2"
	symLead3  formula.Sym = "r_3"
	symSeen   formula.Sym = "R_s"
	symTaken  formula.Sym = "t_s"
	symError  formula.Sym = "e"
	symLeft   formula.Sym = "d"
	symPermit formula.Sym = "e_m"
)

var (
	ohmHalf = formula.Decimal(1, 2) // rounding of the table, its bend, rounding on the way
	ohms    = formula.Lit{V: formula.Int(100), Unit: "Ω"}
	perK    = formula.Lit{V: formula.Decimal(385, 3), Unit: "Ω/°C"}
)

// straight is the rule of thumb with one slope for all temperatures.
func straight(celsius formula.Expr) formula.Expr {
	return formula.Add(ohms, formula.Mul(perK, celsius))
}

// carried is the tolerance of an answer with one decimal carried into percent or
// current with two, and half a unit of the last place there for its rounding.
func carried(half formula.Value, times, over int64) formula.Value {
	return upTo(exercises.Tolerance(half, 1).Mul(formula.Ratio(times, over)), 3).Add(formula.Decimal(5, 3))
}

// The states of a broken input, each with the current that follows.
var broken = []struct{ name, option string }{
	{"open-up", "fail-up"}, {"short", "limit-low"}, {"added", "limit-high"}, {"open-down", "fail-down"},
}

// rejectAlike: the two resistances of the exercise stand between the same
// figures.
const rejectAlike exercises.Reject = "both questions about one line of the table"

func (p *plan) easy(in *input, pick *exercises.Picker) (exercises.Item, error) {
	state := broken[pick.Int(len(broken))]
	fail := failUp
	if state.name == "open-down" || state.name != "open-up" && pick.Int(2) == 1 {
		fail = failDown
	}
	t := in.table
	point := formula.Int(in.points[pick.Int(len(in.points))])
	celsius := formula.Int(in.low).Add(point.Mul(formula.Ratio(in.high-in.low, 100)))
	i, ok := t.at(celsius)
	// The measured resistance stands between two other figures of the range.
	first, whole := int((in.low-t.low)/step), int((in.high-in.low)/step)
	j := first + pick.Int(whole-1)
	if j >= i {
		j++
	}
	if !ok || j == i {
		return exercises.Item{}, rejectAlike
	}
	rise := t.v[j+1].Sub(t.v[j]).Mul(formula.Int(100))
	most, _ := rise.Truncate(0)
	read := t.v[j].Add(formula.Decimal(int64(pick.Between(int(most)/10+1, int(most)*9/10)), 2))
	full := t.v[first+whole]
	over, _ := full.Sub(read).Truncate(0)
	added := formula.Int(over + int64(pick.Between(15, 60)))

	w := p.start(in, "point", exercises.Quantity(point, "%"), "fail", exercises.Quantity(fail, "mA"),
		"read", formula.WithUnit(read.Text(2), "Ω"), "added", exercises.Quantity(added, "Ω"))
	w.Row(w.Text("given.signal").Plain(), w.Text("given.signal-is").Plain())
	w.Row(w.Text("given.limits").Plain(), w.Text("given.limits-are").Plain())
	w.Row(w.Text("given.open").Plain(), exercises.Quantity(fail, "mA"))
	t.print(w, "extract.pt100")
	w.Env = w.Env.With(formula.Binding{Sym: symPoint, V: point, Unit: "%"})
	l := t.look(w, "", i)
	at := signal.At(signal.OfPercent(symPoint), symLow, symHigh)
	slips := []exercises.Told{
		{ID: "line-below", Name: "figure of the line below taken", X: l.v1},
		{ID: "ohm-a-degree", Name: "an ohm taken for a degree", X: formula.Add(l.v1, formula.Sub(at, l.t1))},
		{ID: "from-above", Name: "counted on from the line above", X: formula.Add(l.v2, formula.Sub(l.value(at), l.v1))},
		{ID: "one-slope", Name: "0.385 ohm a degree at every temperature", X: straight(at)},
	}
	if k, ok := t.at(point); ok {
		other := t.look(w, "p", k)
		slips = append([]exercises.Told{{ID: "percent-for-degrees", Name: "percent taken for degrees", X: other.value(symPoint)}}, slips...)
	}
	w.Ask("decade", formula.Definition{Sym: symOhm, Expr: l.value(at), Unit: "Ω", Decimals: 2}, "", ohmHalf, slips...)

	w.Env = w.Env.With(formula.Binding{Sym: symRead, V: read, Unit: "Ω", Decimals: 2})
	l = t.look(w, "", j)
	half := t.kelvin(ohmHalf)
	w.Ask("found", formula.Definition{Sym: symFound, Expr: l.celsius(symRead), Unit: "°C", Decimals: 1}, "", half, inverseSlips(l, symRead)...)
	w.Ask("current", formula.Definition{Sym: symMilli, Expr: current(symFound), Unit: "mA", Decimals: 2}, "",
		carried(half, 16, in.high-in.low), currentSlips(symFound)...)

	w.Env = w.Env.With(formula.Binding{Sym: symAdded, V: added, Unit: "Ω"}, formula.Binding{Sym: symFull, V: full, Unit: "Ω", Decimals: 2})
	w.Item.Key.Env, w.Item.Key.Fault = w.Env, w.Text("fault."+state.name).Plain()
	decide := []exercises.Decision{{Option: state.option}}
	if state.name == "added" {
		decide = []exercises.Decision{
			{Rel: &formula.Relation{A: formula.Add(symRead, symAdded), Op: formula.Greater, B: symFull}, Option: "limit-high"},
			{Option: "limit-low"},
		}
	}
	err := w.Choose(state.name, []string{"fail-down", "limit-low", "limit-high", "fail-up"}, decide, brokenSlips[state.name]...)
	if fail == failDown && state.name != "open-down" { // what is called the failure current is the other one
		swapFail(&w.Item.Key.Parts[3])
	}
	return w.Item, err
}

// inverseSlips are what goes wrong on the way from a figure back to degrees.
func inverseSlips(l lines, v formula.Expr) []exercises.Told {
	return []exercises.Told{
		{ID: "line-below", Name: "temperature of the line below taken", X: l.t1},
		{ID: "degree-an-ohm", Name: "a degree taken for an ohm", X: formula.Add(l.t1, formula.Sub(v, l.v1))},
		{ID: "from-above", Name: "counted on from the line above", X: formula.Add(l.t2, l.part(v))},
		{ID: "multiplied", Name: "multiplied by the ohms of a degree", X: formula.Add(l.t1, formula.Div(
			formula.Mul(formula.Sub(v, l.v1), formula.Sub(l.v2, l.v1)), formula.Sub(l.t2, l.t1)))},
		{ID: "one-slope", Name: "0.385 ohm a degree at every temperature", X: formula.Div(formula.Sub(v, ohms), perK)},
	}
}

// currentSlips are the old ones of the live zero.
func currentSlips(celsius formula.Expr) []exercises.Told {
	share := signal.Fraction(celsius, symLow, symHigh)
	return []exercises.Told{
		{ID: "live-zero-forgotten", Name: "live zero not added", X: formula.Mul(share, formula.Sub(i100, i0))},
		{ID: "dead-zero", Name: "zero taken for dead", X: formula.Mul(share, i100)},
		{ID: "ends-swapped", Name: "ends of the signal swapped", X: signal.Scale(celsius, symLow, symHigh, i100, i0)},
		{ID: "span-is-upper-end", Name: "upper end taken for the span", X: signal.At(formula.Div(celsius, symHigh), i0, i100)},
	}
}

// brokenSlips lead to the currents that a broken input does not bring. They
// are written for a transmitter that fails upwards; see swapFail.
var brokenSlips = map[string][]exercises.Misled{
	"open-up": {
		{ID: "direction-swapped", Name: "direction of the failure current swapped", Option: "fail-down"},
		{ID: "open-taken-for-cold", Name: "open sensor taken for no ohms", Option: "limit-low"},
		{ID: "open-taken-for-hot", Name: "open sensor taken for a very hot one", Option: "limit-high"},
	},
	"open-down": {
		{ID: "direction-swapped", Name: "direction of the failure current swapped", Option: "fail-up"},
		{ID: "open-taken-for-cold", Name: "open sensor taken for no ohms", Option: "limit-low"},
		{ID: "open-taken-for-hot", Name: "open sensor taken for a very hot one", Option: "limit-high"},
	},
	"short": {
		{ID: "short-taken-for-open", Name: "short taken for an open sensor", Option: "fail-up"},
		{ID: "unset-failure", Name: "a failure current taken that is not set", Option: "fail-down"},
		{ID: "ohms-backwards", Name: "fewer ohms taken for hotter", Option: "limit-high"},
	},
	"added": {
		{ID: "ohms-backwards", Name: "more ohms taken for colder", Option: "limit-low"},
		{ID: "added-taken-for-open", Name: "a bad terminal taken for an open sensor", Option: "fail-up"},
		{ID: "unset-failure", Name: "a failure current taken that is not set", Option: "fail-down"},
	},
}

// swapFail gives the slips that lead to the two failure currents each the
// other's option: the transmitter of this draw fails downwards.
func swapFail(key *exercises.PartKey) {
	other := map[string]string{"fail-up": "fail-down", "fail-down": "fail-up"}
	for i := range key.Slips {
		a := &key.Slips[i].Answers[0]
		if o, ok := other[a.Option]; ok {
			a.Option = o
		}
	}
}

// What two and three leads do to the loop's tolerance.
const (
	both    = "both"
	three   = "three"
	neither = "neither"
)

// leads draws three resistances in hundredths of an ohm for a verdict. room is
// what the tolerance is in hundredths of an ohm; the verdict stays a quarter
// of it clear.
func leads(pick *exercises.Picker, state string, room int) (r [3]int) {
	sign := 1 - 2*pick.Int(2)
	switch state {
	case both:
		sum := pick.Between(min(10, room*3/4), room*3/4)
		r[0] = sum / 2
		r[1] = sum - r[0]
		r[2] = r[0] - sign*pick.Between(4, max(4, min(r[0]-1, room/2)))
		if r[2] < 1 {
			r[2] = r[0] + 4
		}
	case three:
		sum := room*13/10 + pick.Between(20, 600)
		r[0] = sum/2 + pick.Between(-2, 2)
		r[1] = sum - r[0]
		r[2] = r[0] - sign*pick.Between(4, max(4, room*7/10))
	default:
		d := room*13/10 + pick.Between(4, 120)
		base := d*2/3 + pick.Between(5, 200)
		r = [3]int{base, base + pick.Between(0, 9), base}
		if sign > 0 {
			r[0] += d
		} else {
			r[2] += d
		}
	}
	return r
}

// rejectHot: the leads take the sensor's resistance out of the printed table.
const rejectHot exercises.Reject = "leads that lead out of the table"

// rejectFigure: what the transmitter sees is a figure of the table, so that one
// could take either pair of lines.
const rejectFigure exercises.Reject = "a resistance that is a figure of the table"

func (p *plan) usual(in *input, pick *exercises.Picker) (exercises.Item, error) {
	state := []string{both, three, neither}[pick.Int(3)]
	t := in.table
	r := leads(pick, state, int(kelvins(in.loop)*38))
	hundredths := func(n int) formula.Value { return formula.Decimal(int64(n), 2) }
	warmer := hundredths(10 * (r[0] + r[1])).Div(t.least).Float64()
	top := min(int(in.high)-(int(in.high-in.low)/20), int(float64(t.high())-warmer)-1)
	tens := pick.Between(int(in.low)/step+1, top/step-1)
	celsius := formula.Int(int64(tens*step + pick.Between(1, 9)))
	i, ok := t.at(celsius)
	if !ok {
		return exercises.Item{}, rejectHot
	}
	share := celsius.Sub(t.celsius(i)).Div(formula.Int(step))
	seen := t.v[i].Add(share.Mul(t.v[i+1].Sub(t.v[i]))).Add(hundredths(r[0] + r[1]))
	j, ok := t.of(seen)
	if !ok {
		return exercises.Item{}, rejectHot
	}
	for _, figure := range t.v[j : j+2] {
		if seen.Sub(figure).Abs().Sub(formula.Decimal(2, 2)).Sign() < 0 {
			return exercises.Item{}, rejectFigure
		}
	}

	w := p.start(in, "at", exercises.Quantity(celsius, "°C"), "tolerance-is", exercises.Quantity(in.loop.Tolerance, "%"))
	w.Env = w.Env.With(formula.Binding{Sym: symPermit, V: in.loop.Tolerance, Unit: "%", Decimals: places(in.loop.Tolerance)})
	w.Row(w.Text("given.tolerance").Plain(), w.Text("given.tolerance-is").Plain())
	w.Given("sensor-at", symCel, celsius, "°C", 0)
	w.Given("lead-1", symLead1, hundredths(r[0]), "Ω", 2)
	w.Given("lead-2", symLead2, hundredths(r[1]), "Ω", 2)
	w.Given("lead-3", symLead3, hundredths(r[2]), "Ω", 2)
	t.print(w, "extract.pt100")

	l := t.look(w, "", i)
	ohm := l.value(symCel)
	w.Ask("seen", formula.Definition{Sym: symSeen, Expr: formula.Add(formula.Add(ohm, symLead1), symLead2), Unit: "Ω", Decimals: 2}, "", ohmHalf,
		exercises.Told{ID: "one-lead", Name: "one lead counted", X: formula.Add(ohm, symLead1)},
		exercises.Told{ID: "leads-forgotten", Name: "leads forgotten", X: ohm},
		exercises.Told{ID: "leads-taken-off", Name: "leads taken off", X: formula.Sub(formula.Sub(ohm, symLead1), symLead2)},
		exercises.Told{ID: "third-lead", Name: "the third lead counted in a two-wire connection", X: formula.Add(formula.Add(formula.Add(ohm, symLead1), symLead2), symLead3)},
		exercises.Told{ID: "line-below", Name: "figure of the line below taken", X: formula.Add(formula.Add(l.v1, symLead1), symLead2)},
		exercises.Told{ID: "one-slope", Name: "0.385 ohm a degree at every temperature", X: formula.Add(formula.Add(straight(symCel), symLead1), symLead2)})

	l = t.look(w, "", j)
	half := t.kelvin(ohmHalf)
	extra := formula.Add(symLead1, symLead2)
	w.Ask("taken", formula.Definition{Sym: symTaken, Expr: l.celsius(symSeen), Unit: "°C", Decimals: 1}, "", half, append([]exercises.Told{
		{ID: "no-effect", Name: "leads taken to change nothing", X: symCel},
		{ID: "degree-for-ohm", Name: "a degree counted for each ohm of the leads", X: formula.Add(symCel, extra)},
		{ID: "reads-low", Name: "leads taken to make the reading fall", X: formula.Sub(symCel, formula.Div(formula.Mul(extra, formula.Sub(l.t2, l.t1)), formula.Sub(l.v2, l.v1)))},
	}, inverseSlips(l, symSeen)...)...)

	diff := formula.Sub(symTaken, symCel)
	w.Ask("error", formula.Definition{Sym: symError, Expr: signal.SpanError(symTaken, symCel, symLow, symHigh), Unit: "%", Decimals: 2}, "of span",
		carried(half, 100, in.high-in.low),
		exercises.Told{ID: "sign-swapped", Name: "true minus indicated", X: signal.SpanError(symCel, symTaken, symLow, symHigh)},
		exercises.Told{ID: "of-reading", Name: "percent of the temperature", X: formula.Mul(formula.Div(diff, symCel), formula.Percent100())},
		exercises.Told{ID: "degrees-for-percent", Name: "degrees given for percent", X: diff},
		exercises.Told{ID: "milliamps-for-percent", Name: "milliamps given for percent", X: formula.Mul(formula.Div(diff, formula.Sub(symHigh, symLow)), formula.Sub(i100, i0))},
		exercises.Told{ID: "ohms-for-percent", Name: "ohms given for percent", X: extra},
		exercises.Told{ID: "of-upper-end", Name: "percent of the upper end", X: formula.Mul(formula.Div(diff, symHigh), formula.Percent100())})

	l = t.look(w, "", i)
	kelvin := func(ohm formula.Expr) formula.Expr {
		return formula.Div(formula.Mul(ohm, formula.Sub(l.t2, l.t1)), formula.Sub(l.v2, l.v1))
	}
	uneven := formula.Sub(symLead1, symLead3)
	w.Ask("left", formula.Definition{Sym: symLeft, Expr: kelvin(uneven), Unit: "K", Decimals: 2}, "", formula.Decimal(3, 2),
		exercises.Told{ID: "sign-of-difference", Name: "the wrong lead taken off", X: kelvin(formula.Sub(symLead3, symLead1))},
		exercises.Told{ID: "cancels-all", Name: "three wires taken to cancel any lead", X: formula.Sub(symLead1, symLead1)},
		exercises.Told{ID: "leads-added", Name: "leads added instead of taken off", X: kelvin(formula.Add(symLead1, symLead3))},
		exercises.Told{ID: "as-two-wire", Name: "reckoned as in two-wire connection", X: kelvin(extra)},
		exercises.Told{ID: "ohms-for-kelvins", Name: "ohms given for kelvins", X: uneven},
		exercises.Told{ID: "times-slope", Name: "multiplied by the ohms of a degree", X: formula.Div(formula.Mul(uneven, formula.Sub(l.v2, l.v1)), formula.Sub(l.t2, l.t1))})

	w.Item.Key.Env, w.Item.Key.Fault = w.Env, w.Text("fault.leads").Plain()
	twoOK := formula.Relation{A: formula.Abs(symError), Op: formula.LessEq, B: symPermit}
	threeOK := formula.Relation{A: formula.Mul(formula.Div(formula.Abs(symLeft), formula.Sub(symHigh, symLow)), formula.Percent100()), Op: formula.LessEq, B: symPermit}
	err := w.Choose("verdict", []string{both, three, neither},
		[]exercises.Decision{{Rel: &twoOK, Option: both}, {Rel: &threeOK, Option: three}, {Option: neither}},
		exercises.Misled{ID: "leads-passed", Name: "leads left out of the verdict", Option: both},
		exercises.Misled{ID: "two-wire-never", Name: "two wires always taken for too few", Option: three, Rel: &twoOK},
		exercises.Misled{ID: "three-wire-cures-all", Name: "three wires taken to cure any lead", Option: three},
		exercises.Misled{ID: "no-lead-allowed", Name: "any error taken for too much", Option: neither})
	return w.Item, err
}

// places is how many decimals a value is printed with.
func places(v formula.Value) int { k, _ := v.Places(3); return k }
