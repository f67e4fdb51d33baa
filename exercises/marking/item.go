package marking

import (
	"fmt"
	"math/big"
	"slices"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// Terms are the terms on which an exercise is marked. The zero Terms will do.
type Terms struct {
	Mark  rune             // decimal mark that the course declares, or 0
	Shows map[string]Range // by box: what the instrument can show, in the unit printed beside it
	// Settled holds, by box, what the assessor decided.
	Settled map[string]Settlement
}

// Range is a closed range in the unit of a box.
type Range struct{ Low, High *big.Rat }

// Settlement is an assessor's decision on one answer: how it reads, which is
// then judged in its place, or the verdict itself. A verdict is final; the
// answer's number, where it has one reading, is still carried on.
type Settlement struct {
	Reads   string
	Verdict Verdict
}

// ItemResult is a marked exercise.
type ItemResult struct {
	Parts []PartResult
	// UnitLost and FiguresLost say that some answer with a right number lost
	// its unit or its figures: the first costs the unit's mark once an
	// exercise, the second may cost one mark once a form. The key of an
	// exercise does not say which of its marks that is, so neither is taken
	// off below.
	UnitLost, FiguresLost bool
	Least, Most           int // marks; they differ while queries are open
}

// PartResult is a marked part.
type PartResult struct {
	Label string
	Marks int // to be had
	Boxes []BoxResult
	// Least and Most are the marks earned: the boxes of a part share its
	// marks evenly, rounded down. Least counts an open query as wrong, Most
	// as right.
	Least, Most int
}

// BoxResult is one judged answer of an exercise.
type BoxResult struct {
	Box string
	Result
	Slips []SlipMatch // that give this wrong answer
	// Follow is set where the answer is not right by the key and an earlier
	// wrong answer feeds it.
	Follow *Follow
	// Waits are the earlier boxes with an open query on which it depends
	// whether a wrong answer follows.
	Waits []string
}

// worth says whether the number (or choice) of the answer is paid for.
func (b BoxResult) worth() bool {
	switch b.Verdict {
	case Correct, FollowThrough, UnitMissing, Figures:
		return true
	case WrongUnit:
		return b.NumberRight
	}
	return false
}

func (b BoxResult) open() bool { return b.Verdict == Query || len(b.Waits) > 0 }

// wrong says that the answer differs from the key and gives a number to carry
// on.
func (b BoxResult) wrong() bool {
	return (b.Verdict == Wrong || b.Verdict == FollowThrough || b.Verdict == WrongUnit && !b.NumberRight) && len(b.values()) > 0
}

// values are the numbers that the answer may stand for, each once.
func (b BoxResult) values() []*big.Rat {
	var out []*big.Rat
	for _, r := range b.Readings {
		if r.Value != nil && !slices.ContainsFunc(out, func(v *big.Rat) bool { return v.Cmp(r.Value) == 0 }) {
			out = append(out, r.Value)
		}
	}
	return out
}

// box is one box with its question and its key.
type box struct {
	question Question
	kind     exercises.BoxKind
	unit     string
	answer   exercises.Answer
	part     *exercises.PartKey
	result   *BoxResult // nil before it is marked
}

// marker marks one exercise, box after box.
type marker struct {
	terms Terms
	boxes map[string]*box
}

// MarkItem marks what was typed into the boxes of an exercise; a box that is
// missing from answers is blank. Errors are faults of the exercise (its key
// cannot be worked out, its boxes do not fit its answers) or an answer to a
// box that it does not have; nothing typed gives one.
func MarkItem(item exercises.Item, answers map[string]string, terms Terms) (ItemResult, error) {
	m := marker{terms: terms, boxes: map[string]*box{}}
	if len(item.Sheet.Parts) != len(item.Key.Parts) {
		return ItemResult{}, fmt.Errorf("the sheet has %d parts and its key %d", len(item.Sheet.Parts), len(item.Key.Parts))
	}
	for i := range item.Sheet.Parts {
		if err := m.prepare(item.Sheet.Parts[i], &item.Key.Parts[i]); err != nil {
			return ItemResult{}, fmt.Errorf("part %s: %w", item.Sheet.Parts[i].Label, err)
		}
	}
	for _, ids := range [][]string{keys(answers), keys(terms.Settled)} {
		for _, id := range ids {
			if m.boxes[id] == nil {
				return ItemResult{}, fmt.Errorf("there is an answer to box %q, which this exercise does not have", id)
			}
		}
	}
	for _, id := range keys(terms.Settled) {
		if v := terms.Settled[id].Verdict; v != "" && (v == Query || v.Words() == string(v)) {
			return ItemResult{}, fmt.Errorf("box %q is settled as %q, which decides nothing", id, v)
		}
	}
	var out ItemResult
	for _, part := range item.Sheet.Parts {
		p := PartResult{Label: part.Label, Marks: part.Marks}
		got, open := 0, 0
		for _, b := range part.Boxes {
			r, err := m.mark(b.ID, answers[b.ID])
			if err != nil {
				return ItemResult{}, fmt.Errorf("box %s: %w", b.ID, err)
			}
			p.Boxes = append(p.Boxes, r)
			switch {
			case r.worth():
				got++
				out.UnitLost = out.UnitLost || r.UnitLost
				out.FiguresLost = out.FiguresLost || r.FiguresLost
			case r.open():
				open++
			}
		}
		if n := len(part.Boxes); n > 0 {
			p.Least, p.Most = part.Marks*got/n, part.Marks*(got+open)/n
		}
		out.Parts = append(out.Parts, p)
		out.Least, out.Most = out.Least+p.Least, out.Most+p.Most
	}
	return out, nil
}

func keys[V any](m map[string]V) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// prepare makes the questions of a part.
func (m *marker) prepare(part exercises.Part, key *exercises.PartKey) error {
	if len(part.Boxes) != len(key.Answers) {
		return fmt.Errorf("%d boxes and %d answers", len(part.Boxes), len(key.Answers))
	}
	for i, sheet := range part.Boxes {
		answer := key.Answers[i]
		if answer.Box != sheet.ID || m.boxes[sheet.ID] != nil {
			return fmt.Errorf("box %q has the answer of box %q, or is there twice", sheet.ID, answer.Box)
		}
		b := &box{kind: sheet.Kind, unit: sheet.Unit, answer: answer, part: key}
		switch sheet.Kind {
		case exercises.NumberBox:
			n, err := m.number(sheet, answer)
			if err != nil {
				return fmt.Errorf("box %s: %w", sheet.ID, err)
			}
			b.question = Question{Number: n}
		case exercises.ChoiceBox:
			c := &Choice{Right: answer.Option}
			for _, o := range sheet.Options {
				option := Option{ID: o.ID}
				if text := o.Text.Plain(); text != "" {
					option.Names = []string{text}
				}
				c.Options = append(c.Options, option)
			}
			b.question = Question{Choice: c}
		default:
			return fmt.Errorf("box %s is of kind %q, which cannot be marked", sheet.ID, sheet.Kind)
		}
		if err := b.question.Check(); err != nil {
			return fmt.Errorf("box %s: %w", sheet.ID, err)
		}
		m.boxes[sheet.ID] = b
	}
	return nil
}

// number makes the question of a number box. Its key is the value as it is
// printed, rounded to the decimals asked for.
func (m *marker) number(sheet exercises.Box, answer exercises.Answer) (*Number, error) {
	if answer.Def.Expr == nil {
		return nil, fmt.Errorf("its key has no formula")
	}
	v, err := answer.Def.Eval(answer.Env).Rounded(answer.Def.Decimals)
	if err != nil {
		return nil, fmt.Errorf("its key cannot be worked out: %w", err)
	}
	n := &Number{Unit: sheet.Unit, Of: sheet.Of, Mode: UnitGiven, Mark: m.terms.Mark}
	n.Key, _ = Exact(v)
	tolerance, ok := Exact(answer.Tolerance)
	if !ok {
		return nil, fmt.Errorf("its tolerance is not exact")
	}
	n.Tolerance = tolerance
	n.LastPlace, _ = Exact(formula.Decimal(1, answer.Def.Decimals))
	if r, ok := m.terms.Shows[sheet.ID]; ok {
		n.Low, n.High = r.Low, r.High
	}
	return n, nil
}

// mark judges one box against the true key, then follows errors through, then
// names slips.
func (m *marker) mark(id, text string) (BoxResult, error) {
	b := m.boxes[id]
	settled := m.terms.Settled[id]
	read := text
	if settled.Reads != "" {
		read = settled.Reads
	}
	result, err := Judge(b.question, read)
	if err != nil {
		return BoxResult{}, err
	}
	r := BoxResult{Box: id, Result: result}
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
