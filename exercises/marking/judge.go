package marking

import (
	"fmt"
	"math/big"
	"slices"

	"loopdrill/scenarios/formula"
)

// asks are the questions to the assessor where a text has no reading at all.
var asks = map[Rule]string{
	RuleHidden:    "it holds hidden or control characters; what does it say?",
	RuleLong:      "it is longer than 64 characters; is there one answer in it?",
	RuleScripts:   "its digits are of two scripts; which number is meant?",
	RuleGrammar:   "it is not a number with a unit; which answer is meant?",
	RuleGroups:    "its digits are parted in no regular way; which number is meant?",
	RuleOneAnswer: "it is not one plain number; which answer is meant, if any?",
}

func unread(text string, rule Rule) Result { return query(text, rule, asks[rule]) }

func (n *Number) judge(text string) Result {
	t, rule, ok := tidy(text)
	switch {
	case !ok:
		return unread(text, rule)
	case isBlank(t):
		return Result{Text: text, Verdict: Blank, Rule: RuleBlank}
	case tooLong(t):
		return unread(text, RuleLong)
	}
	numbers, name, rule := scan(marks(t))
	if rule != "" {
		return unread(text, rule)
	}
	scales := []scale{{}} // none typed
	if name != "" && !n.isOwn(name) {
		scales = lookUp(name)
		if scales == nil {
			if manyAnswers(name) {
				return unread(text, RuleOneAnswer)
			}
			return query(text, RuleUnitUnknown, fmt.Sprintf("what does %q stand for?", name))
		}
	}
	var weighed []weighing
	for _, x := range numbers {
		for _, s := range scales {
			weighed = append(weighed, n.weigh(x, s, name != ""))
		}
	}
	weighed = n.plausible(weighed)
	return n.settle(text, weighed)
}

// isOwn reports whether a typed unit is that of the question letter by letter,
// for units that the table does not have, such as %/div.
func (n *Number) isOwn(name string) bool {
	own, _, _ := tidy(n.Unit)
	return name == own
}

// manyAnswers tells text behind a number that goes on with another number from
// text that may be an unknown unit.
func manyAnswers(rest string) bool {
	first := []rune(rest)[0]
	return slices.Contains([]rune("±/+-*=(_^<>~"), first) || first >= '0' && first <= '9' ||
		rest == "or" || len(rest) > 3 && rest[:3] == "or " || len(rest) > 3 && rest[:3] == "to "
}

// weighing is a reading with what is needed to choose between readings.
type weighing struct {
	Reading
	number typed
	prefix bool // its unit was read with another prefix than typed
	shown  bool // the instrument can show it
}

// weigh judges one reading.
func (n *Number) weigh(x typed, s scale, unitTyped bool) weighing {
	w := weighing{number: x, shown: true}
	name := s.name
	if s.factor == nil && unitTyped {
		name = n.Unit
	}
	w.Text = formula.WithUnit(x.String(), name)
	v, ok := x.value()
	if !ok {
		w.Verdict, w.Rule = Wrong, RuleExponent
		return w
	}
	w.Value = v
	if s.factor != nil {
		own := lookUp(n.Unit)
		if len(own) == 0 || !n.fits(s.unit, own[0].unit) {
			w.Verdict, w.Rule, w.UnitLost = WrongUnit, RuleUnitOther, true
			return w
		}
		if w.Value, ok = n.convert(v, s, own[0].unit); !ok {
			w.Verdict, w.Rule = Query, RuleUnitUnknown
			return w
		}
	}
	w.shown = n.Low == nil || w.Value.Cmp(n.Low) >= 0 && w.Value.Cmp(n.High) <= 0
	if !n.within(w.Value) {
		w.Verdict, w.Rule = Wrong, RuleOutside
		return w
	}
	w.Verdict, w.Rule = Correct, RuleWithin
	if least, most, some := x.figures(); some && n.Figures > 0 && (most < n.Figures || least > n.Figures+1) {
		w.Verdict, w.Rule, w.FiguresLost = Figures, RuleFigures, true
	}
	if !unitTyped && n.Mode == UnitRequired {
		w.Verdict, w.Rule, w.UnitLost = UnitMissing, RuleUnitMissing, true
	}
	return w
}

// within is |x − key| ≤ tolerance, closed and exact.
func (n *Number) within(x *big.Rat) bool { return near(x, n.Key, n.Tolerance) }

func near(x, key, tolerance *big.Rat) bool {
	d := new(big.Rat).Sub(x, key)
	return d.Abs(d).Cmp(tolerance) <= 0
}

// plausible drops readings that the instrument cannot show, then those that
// use another decimal mark than the course; never the last.
func (n *Number) plausible(all []weighing) []weighing {
	keep := func(all []weighing, f func(weighing) bool) []weighing {
		var out []weighing
		for _, w := range all {
			if f(w) {
				out = append(out, w)
			}
		}
		if out == nil {
			return all
		}
		return out
	}
	all = keep(all, func(w weighing) bool { return w.shown })
	if n.Mark != 0 {
		all = keep(all, func(w weighing) bool { return w.number.byComma == 0 || w.number.byComma == n.Mark })
	}
	return all
}

// settle gives the verdict on which all readings agree, or asks.
func (n *Number) settle(text string, weighed []weighing) Result {
	first := weighed[0]
	r := Result{Text: text, Verdict: first.Verdict, Rule: first.Rule, UnitLost: first.UnitLost, FiguresLost: first.FiguresLost}
	r.NumberRight = first.Value != nil && n.within(first.Value)
	agree, sameNumber := true, true
	for _, w := range weighed {
		r.Readings = append(r.Readings, w.Reading)
		right := w.Value != nil && n.within(w.Value)
		agree = agree && w.Verdict == r.Verdict && right == r.NumberRight &&
			w.UnitLost == r.UnitLost && w.FiguresLost == r.FiguresLost
		sameNumber = sameNumber && w.number == first.number
	}
	switch {
	case r.Verdict == Query && agree:
		return query(text, r.Rule, "its unit cannot be converted exactly; is it right?", r.Readings...)
	case agree:
		return r
	}
	rule := RuleTwoReadings
	if sameNumber {
		rule = RulePrefix
	}
	ask := "does it mean "
	for i, w := range weighed {
		if i > 0 {
			ask += " or "
		}
		ask += fmt.Sprintf("%s (%s)", w.Text, w.Verdict.Words())
	}
	return query(text, rule, ask+"?", r.Readings...)
}
