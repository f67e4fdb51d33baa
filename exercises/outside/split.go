package outside

import (
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

const (
	symAsked formula.Sym = "k_w"
	symSet   formula.Sym = "w"
	symSet0  formula.Sym = "w_0"
	symSet1  formula.Sym = "w_100"
	symOther formula.Sym = "w_n"
	symFlows formula.Sym = "I_m"
	symWrong formula.Sym = "d"
)

// middle is where the first valve ends and the second begins.
var middle = formula.Lit{V: formula.Int(12), Unit: "mA"}

// valve is one of the two of a split range.
type valve struct {
	letter    string
	close     bool
	low, high formula.Expr
}

func (v valve) sym() formula.Sym { return formula.Sym("y_" + v.letter) }

// split draws the usual exercise with two valves on one output.
func (p *plan) split(pick *exercises.Picker) (exercises.Item, error) {
	a := valve{"A", pick.Int(2) == 1, low, middle}
	c := valve{"B", pick.Int(2) == 1, middle, top}
	asked := []valve{a, c}[pick.Int(2)]
	b := newBase(p.outputs[pick.Int(len(p.outputs))], false)
	k := halves(pick, 4, 47)
	if pick.Int(2) == 1 {
		k = k.Add(formula.Int(49))
	}
	wanted := formula.Int(int64(pick.Between(5, 45)))
	if pick.Int(2) == 1 {
		wanted = wanted.Add(formula.Int(50))
	}
	come := wanted.Div(formula.Int(2))
	if asked.close {
		come = formula.Int(50).Sub(come)
	}
	if asked.letter == "B" {
		come = come.Add(formula.Int(50))
	}
	if !apart(k, come) {
		return exercises.Item{}, rejectAlike
	}
	b.env = b.env.With(b.outputAt(k), bound(symWanted, wanted, "%", 0))
	b.Words = append(b.Words, "k", exercises.Quantity(k, "%"), "wanted", exercises.Quantity(wanted, "%"),
		"actiona", action(a.close), "actionb", action(c.close), "restsa", rests(a.close), "restsb", rests(c.close), "valve", asked.letter)

	var it exercises.Item
	it.Sheet.Title, it.Sheet.Intro, it.Sheet.Cautions = p.exercise.Title, b.Text("intro.split"), cautions()
	it.Add(b.current("a"))
	it.Add(b.travel("b", a, c))
	it.Add(b.travel("c", c, a))
	it.Add(b.asked("d", asked, map[string]valve{"A": c, "B": a}[asked.letter]))
	it.Key.Env = b.env
	it.Key.Fault = "nothing; A " + action(a.close) + ", B " + action(c.close)
	return it, nil
}

// clip keeps a share between nothing and one: a valve at its end stays there.
func clip(x formula.Expr) formula.Expr {
	return formula.Max(formula.Num(0), formula.Min(formula.Num(1), x))
}

// travel asks how far one of the two valves is open.
func (b *base) travel(label string, v, other valve) (exercises.Part, exercises.PartKey) {
	share := signal.Fraction(symCurrent, v.low, v.high)
	def := formula.Definition{Sym: v.sym(), Expr: opening(clip(share), v.close), Unit: "%", Decimals: 1}
	more := []string{"valve", v.letter, "action", action(v.close)}
	key := b.NumberKey(label, def, b.env, halfTravel, "travel", "travel-"+word(v.close))
	key.Working[0].Text = b.Text("work.travel-"+word(v.close), more...)
	b.ToldSlip(&key, "action-missed", "action of the valve missed", opening(clip(share), !v.close))
	b.ToldSlip(&key, "whole-range", "the whole range taken for the part of one valve", opening(signal.Fraction(symCurrent, low, top), v.close))
	b.ToldSlip(&key, "other-part", "the part of the other valve taken", opening(clip(signal.Fraction(symCurrent, other.low, other.high)), v.close))
	b.ToldSlip(&key, "beyond-its-end", "valve taken beyond its end", opening(share, v.close))
	b.ToldSlip(&key, "dead-zero-part", "current taken as a share of the upper end of the part", opening(clip(formula.Div(symCurrent, v.high)), v.close))
	part := b.Number(label, "travel", def, ofTravel)
	part.Prompt = b.Text("ask.travel", more...)
	part.Boxes[0].Name = part.Prompt.Plain()
	return part, key
}

// asked asks for the controller's output at which a valve is open so far.
func (b *base) asked(label string, v, other valve) (exercises.Part, exercises.PartKey) {
	at := func(v valve, share formula.Expr) formula.Expr {
		return signal.Percent(signal.At(share, v.low, v.high), low, top)
	}
	share := stem(symWanted, v.close)
	def := formula.Definition{Sym: symAsked, Expr: at(v, share), Unit: "%", Decimals: 1}
	key := b.NumberKey(label, def, b.env, formula.Decimal(5, 2), "output", "asked-"+word(v.close))
	b.ToldSlip(&key, "action-missed", "action of the valve missed", at(v, stem(symWanted, !v.close)))
	b.ToldSlip(&key, "whole-range", "the whole range taken for the part of one valve", formula.Mul(share, formula.Percent100()))
	b.ToldSlip(&key, "other-part", "the part of the other valve taken", at(other, share))
	b.ToldSlip(&key, "dead-zero-output", "current taken as a share of 20 mA", formula.Mul(formula.Div(signal.At(share, v.low, v.high), top), formula.Percent100()))
	b.ToldSlip(&key, "milliamps-given", "the current given", signal.At(share, v.low, v.high))
	part := b.Number(label, "asked", def, ofOutput)
	part.Lines = 2
	return part, key
}

// setPoint draws the usual exercise in which the output is the set point of
// another controller.
func (p *plan) setPoint(pick *exercises.Picker) (exercises.Item, error) {
	b := newBase(p.outputs[pick.Int(len(p.outputs))], false)
	l := p.slaves[pick.Int(len(p.slaves))]
	s := &follower{base: b, loop: l, places: places(l)}
	k := halves(pick, 5, 45)
	if pick.Int(2) == 1 {
		k = k.Add(formula.Int(50))
	}
	wanted := formula.Int(int64(pick.Between(6, 94)))
	if !apart(k, wanted) || number(l.Tag) == number(b.output.Tag) {
		return exercises.Item{}, rejectAlike
	}
	off := pick.Between(8, 40) // hundredths of a mA
	if pick.Int(2) == 1 {
		off = -off
	}
	ideal := formula.Int(4).Add(k.Mul(formula.Ratio(16, 100)))
	flows := ideal.Add(formula.Decimal(int64(off), 2))
	r := l.Shows
	other, err := r.Low.Add(r.Span().Mul(wanted).Div(formula.Int(100))).Rounded(s.places)
	if err != nil {
		return exercises.Item{}, err
	}
	unit := r.Unit.Symbol
	ends := func(v formula.Value) int { k, _ := v.Places(6); return k }
	s.env = s.env.With(b.outputAt(k), bound(symSet0, r.Low, unit, ends(r.Low)), bound(symSet1, r.High, unit, ends(r.High)),
		bound(symOther, other, unit, s.places), bound(symFlows, flows, "mA", 2))
	s.Words = append(s.Words, "k", exercises.Quantity(k, "%"), "slave", controller(l), "what", l.Service,
		"low", exercises.Quantity(r.Low, unit), "high", exercises.Quantity(r.High, unit), "range", exercises.Quantity(r.Span(), unit),
		"other", formula.WithUnit(other.Text(s.places), unit), "flows", formula.WithUnit(flows.Text(2), "mA"), "unit", unit)

	var it exercises.Item
	it.Sheet.Title, it.Sheet.Intro, it.Sheet.Cautions = p.exercise.Title, s.Text("intro.set-point"), cautions()
	it.Add(s.current("a"))
	it.Add(s.set("b"))
	it.Add(s.back("c"))
	it.Add(s.wrong("d"))
	it.Key.Env = s.env
	it.Key.Fault = "output off by " + formula.WithUnit(formula.Decimal(int64(off), 2).Text(2), "mA")
	return it, nil
}

// number is what stands behind the letters of a tag: a controller does not give
// itself its set point.
func number(tag string) string {
	_, n, _ := strings.Cut(tag, "-")
	return n
}

// controller makes the tag of the controller of a loop from its transmitter's:
// LIC-3105 of LT-3105.
func controller(l *scenarios.Loop) string {
	for i, r := range l.Tag {
		if r == '-' && i > 0 {
			return l.Tag[:i-1] + "IC" + l.Tag[i:]
		}
	}
	return l.Tag
}

// follower is a controller that takes its set point from the output.
type follower struct {
	base
	loop   *scenarios.Loop
	places int
}

func (s *follower) at(share formula.Expr) formula.Expr { return signal.At(share, symSet0, symSet1) }

// set asks for the set point at the output.
func (s *follower) set(label string) (exercises.Part, exercises.PartKey) {
	share := signal.Fraction(symCurrent, low, top)
	def := formula.Definition{Sym: symSet, Expr: s.at(share), Unit: s.loop.Shows.Unit.Symbol, Decimals: s.places}
	key := s.NumberKey(label, def, s.env, formula.Decimal(5, s.places+1), "value", "set")
	s.ToldSlip(&key, "dead-zero-set", "current taken as a share of 20 mA", s.at(formula.Div(symCurrent, top)))
	s.ToldSlip(&key, "zero-left-on", "live zero not taken off", s.at(formula.Div(symCurrent, formula.Sub(top, low))))
	s.ToldSlip(&key, "wrong-end", "counted from the wrong end", signal.At(share, symSet1, symSet0))
	if !s.loop.Shows.Low.IsZero() {
		s.ToldSlip(&key, "range-low-not-added", "lower end of the range not added", formula.Mul(share, formula.Sub(symSet1, symSet0)))
		s.ToldSlip(&key, "share-of-upper", "share of the upper end of the range", formula.Mul(share, symSet1))
	}
	s.ToldSlip(&key, "upper-as-span-set", "20 mA taken for the span", s.at(formula.Div(formula.Sub(symCurrent, low), top)))
	return s.Number(label, "set", def, ""), key
}

// back asks for the output that asks for another set point.
func (s *follower) back(label string) (exercises.Part, exercises.PartKey) {
	share := signal.Fraction(symOther, symSet0, symSet1)
	percent := func(x formula.Expr) formula.Expr { return formula.Mul(x, formula.Percent100()) }
	def := formula.Definition{Sym: symAsked, Expr: percent(share), Unit: "%", Decimals: 1}
	key := s.NumberKey(label, def, s.env, formula.Decimal(5, 2), "output", "back")
	s.ToldSlip(&key, "wrong-end", "counted from the wrong end", formula.Sub(formula.Percent100(), percent(share)))
	s.ToldSlip(&key, "dead-zero-output", "current taken as a share of 20 mA", percent(formula.Div(signal.At(share, low, top), top)))
	s.ToldSlip(&key, "milliamps-given", "the current given", signal.At(share, low, top))
	s.ToldSlip(&key, "value-given", "the value itself given as percent", symOther)
	if !s.loop.Shows.Low.IsZero() && !s.loop.Shows.High.IsZero() {
		s.ToldSlip(&key, "range-low-left-on", "lower end of the range not taken off", percent(formula.Div(symOther, symSet1)))
	}
	return s.Number(label, "back", def, ofOutput), key
}

// wrong asks by how much a current that is off makes the set point wrong.
func (s *follower) wrong(label string) (exercises.Part, exercises.PartKey) {
	off := formula.Sub(symFlows, symCurrent)
	width, span := formula.Sub(top, low), formula.Sub(symSet1, symSet0)
	def := formula.Definition{Sym: symWrong, Expr: formula.Mul(formula.Div(off, width), span), Unit: s.loop.Shows.Unit.Symbol, Decimals: s.places}
	key := s.NumberKey(label, def, s.env, formula.Decimal(5, s.places+1), "value", "wrong")
	s.ToldSlip(&key, "sign", "sign swapped", formula.Neg(def.Expr))
	s.ToldSlip(&key, "percent-given", "error given in percent", formula.Mul(formula.Div(off, width), formula.Percent100()))
	s.ToldSlip(&key, "milliamp-error-given", "error given in mA", off)
	s.ToldSlip(&key, "of-upper", "error of the upper end", formula.Mul(formula.Div(off, top), span))
	s.ToldSlip(&key, "set-point-given", "the set point given, not what it is off", s.at(signal.Fraction(symFlows, low, top)))
	part := s.Number(label, "wrong", def, "")
	part.Lines = 2
	return part, key
}
