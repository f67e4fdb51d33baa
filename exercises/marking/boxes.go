package marking

import (
	"fmt"
	"math/big"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// The keys of the answers of an exercise: the id of a box, or with one of these
// behind it the second field of a box, or behind the label of a part its ruled
// lines. They are those of package answerfile, without the exercise.
const (
	unitKey    = ".unit"
	stopKey    = ".stop"
	workingKey = ".working"
)

// takes reports whether the exercise has a field of that key.
func (m *marker) takes(key string, sheet exercises.Sheet) bool {
	if m.boxes[key] != nil {
		return true
	}
	if b := m.boxes[strings.TrimSuffix(key, unitKey)]; b != nil {
		return b.sheet.UnitAsked
	}
	if b := m.boxes[strings.TrimSuffix(key, stopKey)]; b != nil {
		return b.sheet.MayStop
	}
	for _, p := range sheet.Parts {
		if key == p.Label+workingKey {
			return true
		}
	}
	return false
}

// Takes reports whether an exercise has a field of that key, for whoever sorts
// out strange answers before [MarkItem] refuses them.
func Takes(sheet exercises.Sheet, key string) bool {
	m := marker{boxes: map[string]*box{}}
	for _, p := range sheet.Parts {
		for _, b := range p.Boxes {
			m.boxes[b.ID] = &box{sheet: b}
		}
	}
	return m.takes(key, sheet)
}

// optionsOf gives the options of a box with what may be typed for them: id,
// words, and the letter that stands beside them on paper, unless another
// option has that letter for its id or its words.
func optionsOf(sheet exercises.Box) []Option {
	taken := map[string]bool{}
	for _, o := range sheet.Options {
		for _, name := range []string{o.ID, o.Text.Plain()} {
			t, _, _ := tidyWords(name)
			taken[t] = true
		}
	}
	var out []Option
	for i, o := range sheet.Options {
		option := Option{ID: o.ID}
		if text := o.Text.Plain(); text != "" {
			option.Names = append(option.Names, text)
		}
		if l := Letter(i); !taken[strings.ToLower(l)] {
			option.Names = append(option.Names, l)
		}
		out = append(out, option)
	}
	return out
}

// Letter names option i as paper does: A to Z, then A1, B1 and on.
func Letter(i int) string {
	s := string(rune('A' + i%26))
	if i >= 26 {
		s += fmt.Sprint(i / 26)
	}
	return s
}

func orderOf(sheet exercises.Box, a exercises.Answer) (*Order, error) {
	if a.Order == nil {
		return nil, fmt.Errorf("its key has no order")
	}
	return &Order{Steps: optionsOf(sheet), Before: a.Order.Before, Safety: a.Order.Safety}, nil
}

// number makes the question of a number box. Its key is the value as it is
// printed, rounded to the decimals asked for. A key that is the tick has no
// number; its question reads what is typed and finds nothing right.
func (m *marker) number(sheet exercises.Box, answer exercises.Answer) (*Number, error) {
	n := &Number{Unit: sheet.Unit, Of: sheet.Of, Mode: UnitGiven, Mark: m.terms.Mark, Figures: sheet.Figures}
	if answer.Stop {
		if !sheet.MayStop {
			return nil, fmt.Errorf("its key is a tick, and it has no box to tick")
		}
		n.Key, n.Tolerance = new(big.Rat), new(big.Rat)
		n.Figures = 0
	} else if err := n.keyOf(answer); err != nil {
		return nil, err
	}
	if sheet.UnitAsked && sheet.Unit != "" {
		n.Mode = UnitRequired
	}
	if s := ShownBy(sheet, answer); s != nil {
		low, ok1 := Exact(s.Low)
		high, ok2 := Exact(s.High)
		if !ok1 || !ok2 {
			return nil, fmt.Errorf("what its instrument can show is not exact")
		}
		n.Low, n.High = low, high
	}
	if r, ok := m.terms.Shows[sheet.ID]; ok {
		n.Low, n.High = r.Low, r.High
	}
	return n, nil
}

// ShownBy is what the instrument can show whose numbers go into a box: what the
// key says, else what a meter on a loop can show at the most, either way. No loop
// carries more than 24 mA, and no supply here gives a hundred volts, so that an
// ordinary 4,125 mA is read in one way. nil: nothing is known.
func ShownBy(sheet exercises.Box, answer exercises.Answer) *exercises.Shows {
	if answer.Shows != nil {
		return answer.Shows
	}
	switch sheet.Unit {
	case "mA":
		return &exercises.Shows{Low: formula.Int(-24), High: formula.Int(24)}
	case "V":
		return &exercises.Shows{Low: formula.Int(-100), High: formula.Int(100)}
	}
	return nil
}

func (n *Number) keyOf(answer exercises.Answer) error {
	if answer.Def.Expr == nil {
		return fmt.Errorf("its key has no formula")
	}
	v, err := answer.Def.Eval(answer.Env).Rounded(answer.Def.Decimals)
	if err != nil {
		return fmt.Errorf("its key cannot be worked out: %w", err)
	}
	n.Key, _ = Exact(v)
	tolerance, ok := Exact(answer.Tolerance)
	if !ok {
		return fmt.Errorf("its tolerance is not exact")
	}
	n.Tolerance = tolerance
	n.LastPlace, _ = Exact(formula.Decimal(1, answer.Def.Decimals))
	return nil
}

// stopWords are what is written instead of a tick.
var stopWords = map[string]bool{
	"stop": true, "on stop": true, "on the stop": true, "on its stop": true, "cannot be read": true,
	"cannot be read, on its stop": true, "can't be read": true, "off scale": true,
}

// ticks are what stands for a tick in a table typed in from paper, and in the
// answer file of a workbook.
var ticks = map[string]bool{"stop": true, "x": true, "yes": true, "1": true, "true": true, "on": true, "ticked": true, "✓": true, "✔": true, "☑": true}

// noTicks are what stands for a box left empty.
var noTicks = map[string]bool{"no": true, "0": true, "false": true, "off": true}

// mark judges one box against the true key, then follows errors through, then
// names slips. marks is what an order can earn.
func (m *marker) mark(sheet exercises.Box, answers map[string]string, marks int) (BoxResult, error) {
	b := m.boxes[sheet.ID]
	settled := m.terms.Settled[sheet.ID]
	r := BoxResult{Box: sheet.ID, Unit: answers[sheet.ID+unitKey]}
	text := answers[sheet.ID]
	read := withUnit(text, r.Unit)
	if settled.Reads != "" {
		read = settled.Reads
	}
	var err error
	switch {
	case b.kind == exercises.JudgedBox:
		r.Result = m.judged(sheet, text)
	case b.kind == exercises.NumberBox:
		tick := answers[sheet.ID+stopKey]
		if settled.Reads != "" {
			tick = ""
		}
		r.Result, r.Ticked = b.judgeNumber(read, tick)
	default:
		if b.kind == exercises.OrderBox {
			b.question.Order.Marks = marks
		}
		r.Result, err = Judge(b.question, read)
	}
	if err != nil {
		return BoxResult{}, err
	}
	r.Text = text
	if settled.Verdict != "" {
		r.Verdict, r.Rule, r.Ask = settled.Verdict, RuleAssessor, ""
		r.NumberRight = settled.Verdict == Correct
	} else if r.Verdict == Wrong || r.Verdict == WrongUnit && !r.NumberRight {
		if err := m.follow(b, &r, read); err != nil {
			return BoxResult{}, err
		}
	}
	if r.Verdict == Wrong || r.Verdict == WrongUnit && !r.NumberRight {
		r.Slips = m.slips(b, r)
	}
	b.result = &r
	return r, nil
}

// withUnit puts a number and the unit from the small box beside it together.
// A unit that is typed in both places counts once.
func withUnit(text, unit string) string {
	t, _, ok1 := tidy(text)
	u, _, ok2 := tidy(unit)
	if !ok1 || !ok2 || t == "" || isBlank(u) || strings.HasSuffix(t, u) {
		return text
	}
	return text + " " + unit
}

// judged is the result of a box that only a person can judge.
func (m *marker) judged(sheet exercises.Box, text string) Result {
	t, _, ok := tidy(text)
	r := Result{Text: text, Verdict: Query, Rule: RuleJudged, Ask: "it is to be judged by a person"}
	if _, marked := m.terms.Hand[sheet.ID]; marked {
		r.Verdict, r.Rule, r.Ask = ByHand, RuleByHand, ""
	} else if ok && isBlank(t) && !m.terms.Paper {
		r = Result{Text: text, Verdict: Blank, Rule: RuleBlank}
	}
	return r
}

// judgeNumber judges a number box with its tick.
func (b *box) judgeNumber(text, tick string) (r Result, ticked bool) {
	if !b.sheet.MayStop {
		return b.question.Number.judge(text), false
	}
	mark, _, ok := tidyWords(tick)
	ticked = ok && ticks[mark]
	if !ticked && !(ok && (isBlank(mark) || noTicks[mark])) {
		return query(text, RuleTick, fmt.Sprintf("%q stands where a tick is expected; is the box ticked?", tick)), false
	}
	words, _, ok := tidyWords(text)
	if ok && stopWords[words] {
		text, ticked = "", true
	}
	r = b.question.Number.judge(text)
	switch {
	case ticked && r.Verdict != Blank:
		return query(text, RuleTick, "it has a number, and the box that it cannot be read is ticked; which is meant?", r.Readings...), true
	case ticked:
		r = Result{Text: text, Verdict: Wrong, Rule: RuleStop, Readings: []Reading{{Text: "on its stop", Verdict: Wrong, Rule: RuleStop}}}
		if b.answer.Stop {
			r.Verdict, r.NumberRight, r.Readings[0].Verdict = Correct, true, Correct
		}
	case b.answer.Stop && r.Verdict != Blank && r.Rule != RuleUnitUnknown && r.Readings != nil:
		// Whatever the number, it is none that the needle shows.
		for i := range r.Readings {
			r.Readings[i].Verdict, r.Readings[i].Rule = Wrong, RuleStop
			r.Readings[i].UnitLost, r.Readings[i].FiguresLost = false, false
		}
		r.Verdict, r.Rule, r.Ask, r.NumberRight, r.UnitLost, r.FiguresLost = Wrong, RuleStop, "", false, false, false
	}
	return r, ticked
}
