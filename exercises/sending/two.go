package sending

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// ends are the two points of the hard level, as subscripts and as words.
var ends = [2]struct{ sub, name string }{{"L", "lower"}, {"H", "upper"}}

func sym(letter string, i int) formula.Sym { return formula.Sym(letter + "_" + ends[i].sub) }

// pair is an item with two points.
type pair struct {
	base
	two *two
}

func (p *plan) buildTwo(t *two) exercises.Item {
	b := &pair{newBase(&t.sent), t}
	asked := fmt.Sprintf("to %d decimals", t.places)
	switch t.places {
	case 0:
		asked = "as whole numbers"
	case 1:
		asked = "to 1 decimal"
	}
	b.Words = append(b.Words, "asked", asked)
	for i, pt := range t.points {
		b.env = b.env.With(
			formula.Binding{Sym: sym("k", i), V: formula.Int(int64(pt.ring)), Unit: "%"},
			formula.Binding{Sym: sym("O", i), V: pt.open, Unit: "V", Decimals: 3},
			formula.Binding{Sym: sym("C", i), V: pt.connected, Unit: "V", Decimals: 3},
			formula.Binding{Sym: sym("v", i), V: pt.shown, Unit: b.unit, Decimals: t.places})
	}
	var it exercises.Item
	s := &it.Sheet
	s.Title, s.Intro, s.Cautions = p.exercise.Title, b.Text("intro.hard"), nullbalance.Cautions()
	s.Figures = []exercises.Figure{{ID: "seen", Caption: prompts.Text("seen"), Table: b.seen()}}
	it.Add(b.rights("a"))
	it.Add(b.errors("b"))
	it.Add(b.arrived("c"))
	it.Add(b.which("d"))
	it.Key.Env = b.env
	it.Key.FaultName = t.fault
	it.Key.Fault = map[string]string{
		"low-input-impedance": "the receiver draws current: " + formula.WithUnit(formula.Float(t.size).Text(0), "Ω"),
		"receiver-zero":       "receiver zero " + formula.WithUnit(formula.Float(100*t.size).Text(1), "%") + " of span",
		"receiver-span":       "receiver span " + formula.WithUnit(formula.Float(100*t.size).Text(1), "%") + " of span",
		"weak-cell":           "weak cell: the reference has lost " + formula.WithUnit(formula.Float(100*t.size).Text(1), "%"),
	}[t.fault]
	return it
}

func (b *pair) seen() *exercises.Table {
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Ring"}, {Head: "Voltmeter, leads off the receiver"}, {Head: "Voltmeter, leads on the receiver"}, {Head: "Receiver shows"}}}
	for _, pt := range b.two.points {
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{
			{Text: fmt.Sprintf("%d %%", pt.ring)}, {Text: formula.WithUnit(pt.open.Text(3), "V")},
			{Text: formula.WithUnit(pt.connected.Text(3), "V")}, {Text: formula.WithUnit(pt.shown.Text(b.places), b.unit)},
		}})
	}
	return t
}

// both builds a part that asks for one figure at both points.
func (b *pair) both(label, ask string, of, why string, half formula.Value, def func(i int) formula.Definition) (exercises.Part, exercises.PartKey) {
	part := exercises.Part{Label: label, Prompt: b.Text("ask." + ask), Marks: 2, Lines: 1,
		Table: &exercises.Table{Columns: []exercises.Column{{Head: "Ring"}, {Head: b.Text("head." + ask).Plain()}}}}
	key := exercises.PartKey{Label: label, Working: []exercises.Step{{Text: b.Text("work." + ask)}}}
	env := b.env
	for i, pt := range b.two.points {
		d, id := def(i), fmt.Sprintf("%s.%d", label, i+1)
		tolerance := exercises.Tolerance(half, d.Decimals)
		part.Boxes = append(part.Boxes, exercises.Box{ID: id, Kind: exercises.NumberBox, Of: of, Unit: d.Unit, Decimals: d.Decimals,
			Name: b.Text("head."+ask).Plain() + fmt.Sprintf(" at %d %%", pt.ring)})
		part.Table.Rows = append(part.Table.Rows, exercises.Row{Cells: []exercises.Cell{{Text: fmt.Sprintf("%d %%", pt.ring)}, {Box: id}}})
		key.Answers = append(key.Answers, exercises.Answer{Box: id, Def: d, Env: b.env, Tolerance: tolerance})
		key.Working = append(key.Working, exercises.Step{Def: &d, Env: b.env})
		key.Credit = append(key.Credit, exercises.Credit{Marks: 1, For: b.Text("credit.point", "point", fmt.Sprintf("%d %%", pt.ring))})
		key.Why = b.Text("tolerance."+why, "tolerance", exercises.Quantity(tolerance, d.Unit), "half", exercises.Quantity(half, d.Unit))
		if bound, err := d.Bind(b.env, id); err == nil {
			env = env.With(bound)
		}
	}
	b.env = env
	return part, key
}

// slip adds a misconception made at both points, where it can be told.
func (b *pair) slip(key *exercises.PartKey, id, name string, x func(i int) formula.Expr) {
	b.ToldSlip(key, id, name, x(0), x(1))
}

// rights asks what the receiver should show at both points.
func (b *pair) rights(label string) (exercises.Part, exercises.PartKey) {
	share := func(i int) formula.Expr { return signal.OfPercent(sym("k", i)) }
	volts := func(i int) formula.Expr { return signal.At(share(i), volt0, volt100) }
	part, key := b.both(label, "rights", "", "value", b.step().Div(formula.Int(2)), func(i int) formula.Definition {
		return formula.Definition{Sym: sym("w", i), Expr: at(share(i)), Unit: b.unit, Decimals: b.places}
	})
	b.slip(&key, "dead-zero-value", "volts taken as a share of 5 V", func(i int) formula.Expr { return at(formula.Div(volts(i), volt100)) })
	b.slip(&key, "wrong-end", "counted from the wrong end", func(i int) formula.Expr { return signal.At(share(i), symHigh, symLow) })
	b.slip(&key, "zero-left-on", "live zero not taken off the volts", func(i int) formula.Expr {
		return at(formula.Div(volts(i), formula.Sub(volt100, volt0)))
	})
	b.slip(&key, "right-by-volts", "worked from the volts at the terminals", func(i int) formula.Expr {
		return at(signal.Fraction(sym("C", i), volt0, volt100))
	})
	if !b.loop.Shows.Low.IsZero() {
		b.slip(&key, "range-low-not-added", "lower end of the range not added", func(i int) formula.Expr { return formula.Mul(share(i), valueSpan()) })
		b.slip(&key, "share-of-upper", "share of the upper end of the range", func(i int) formula.Expr { return formula.Mul(share(i), symHigh) })
	}
	return part, key
}

// errors asks how far off the receiver reads at both points.
func (b *pair) errors(label string) (exercises.Part, exercises.PartKey) {
	off := func(i int) formula.Expr { return formula.Sub(sym("v", i), sym("w", i)) }
	of := func(i int, whole formula.Expr) formula.Expr {
		return formula.Mul(formula.Div(off(i), whole), formula.Percent100())
	}
	part, key := b.both(label, "errors", "of span", "error", b.halfShown(), func(i int) formula.Definition {
		return formula.Definition{Sym: sym("e", i), Expr: of(i, valueSpan()), Unit: "%", Decimals: 2}
	})
	b.slip(&key, "sign", "sign swapped", func(i int) formula.Expr { return formula.Neg(of(i, valueSpan())) })
	b.slip(&key, "error-in-units", "error given in the unit of the value", off)
	b.slip(&key, "of-reading", "error of the reading", func(i int) formula.Expr { return of(i, sym("w", i)) })
	b.slip(&key, "of-upper", "error of the upper end", func(i int) formula.Expr { return of(i, symHigh) })
	b.slip(&key, "fraction", "share of one given, not percent", func(i int) formula.Expr { return formula.Div(off(i), valueSpan()) })
	return part, key
}

// arrived asks how far off the volts at the receiver's terminals are.
func (b *pair) arrived(label string) (exercises.Part, exercises.PartKey) {
	width := formula.Sub(volt100, volt0)
	set := func(i int) formula.Expr { return signal.At(signal.OfPercent(sym("k", i)), volt0, volt100) }
	of := func(volts formula.Expr, i int) formula.Expr {
		return formula.Mul(formula.Div(formula.Sub(volts, set(i)), width), formula.Percent100())
	}
	part, key := b.both(label, "arrived", "of span", "volts", formula.Ratio(2, 100), func(i int) formula.Definition {
		return formula.Definition{Sym: sym("u", i), Expr: of(sym("C", i), i), Unit: "%", Decimals: 2}
	})
	b.slip(&key, "dead-zero-volts", "volts taken as a share of 5 V", func(i int) formula.Expr {
		return formula.Sub(formula.Mul(formula.Div(sym("C", i), volt100), formula.Percent100()), sym("k", i))
	})
	b.slip(&key, "zero-left-on-volts", "live zero not taken off the volts", func(i int) formula.Expr {
		return formula.Sub(formula.Mul(formula.Div(sym("C", i), width), formula.Percent100()), sym("k", i))
	})
	b.slip(&key, "receiver-error-given", "the receiver's error given", func(i int) formula.Expr { return sym("e", i) })
	b.slip(&key, "sign", "sign swapped", func(i int) formula.Expr { return formula.Neg(of(sym("C", i), i)) })
	b.slip(&key, "open-volts", "the volts with the leads off taken", func(i int) formula.Expr { return of(sym("O", i), i) })
	b.slip(&key, "error-in-volts", "error given in V", func(i int) formula.Expr { return formula.Sub(sym("C", i), set(i)) })
	return part, key
}

// optionOf names the option of a fault.
var optionOf = map[string]string{"low-input-impedance": "loading", "weak-cell": "cell", "receiver-zero": "zero", "receiver-span": "span"}

// which asks what is the matter. The volts decide first: those that sag when
// the leads go on are loaded, those that are wrong without a load come from a
// weak cell; where they are right the receiver itself is off.
func (b *pair) which(label string) (exercises.Part, exercises.PartKey) {
	lit := func(v formula.Value, unit string) formula.Expr { return formula.Lit{V: v, Unit: unit} }
	sags := formula.Relation{A: formula.Sub(sym("O", 1), sym("C", 1)), Op: formula.Greater, B: lit(formula.Ratio(3, 1000), "V")}
	weak := formula.Relation{A: formula.Abs(sym("u", 1)), Op: formula.Greater, B: lit(formula.Ratio(2, 10), "%")}
	alike := formula.Relation{A: formula.Abs(formula.Sub(sym("e", 1), sym("e", 0))), Op: formula.Less, B: formula.Div(formula.Abs(sym("e", 1)), formula.Num(3))}
	right := optionOf[b.two.fault]
	steps := []exercises.Step{{Text: b.Text("work.sags")}}
	add := func(rel formula.Relation, not formula.RelOp) bool {
		holds, _ := rel.Holds(b.env)
		if !holds {
			rel.Op = not
		}
		steps = append(steps, exercises.Step{Rel: &rel, Env: b.env})
		return holds
	}
	if !add(sags, formula.LessEq) {
		steps = append(steps, exercises.Step{Text: b.Text("work.weak")})
		if !add(weak, formula.LessEq) {
			steps = append(steps, exercises.Step{Text: b.Text("work.alike")})
			add(alike, formula.GreaterEq)
		}
	}
	key := b.ChoiceKey(label, right, steps...)
	key.Answers[0].Env = b.env
	key.Answers[0].Decide = []exercises.Decision{
		{Rel: &sags, Option: "loading"}, {Rel: &weak, Option: "cell"}, {Rel: &alike, Option: "zero"}, {Option: "span"},
	}
	options := []string{"zero", "span", "loading", "cell"}
	names := map[string]string{"zero": "receiver's zero blamed", "span": "receiver's span blamed", "loading": "load blamed", "cell": "cell blamed"}
	for _, o := range options {
		if o != right {
			key.Slips = append(key.Slips, b.ChoiceSlip(label, o+"-blamed", names[o], o))
		}
	}
	return b.Choice(label, "which", options...), key
}
