package marking

import (
	"fmt"
	"math/big"
	"slices"

	"loopdrill/exercises"
)

// Terms are the terms on which an exercise is marked. The zero Terms will do.
type Terms struct {
	Mark  rune             // decimal mark that the course declares, or 0
	Shows map[string]Range // by box, in the place of what the key says: what the instrument can show, in the unit printed beside the box
	// Settled holds, by box, what the assessor decided.
	Settled map[string]Settlement
	// Hand holds, by box, the marks that a person gave to a judged box.
	Hand map[string]int
	// Paper says that the answers were typed in from paper: a judged box
	// without text then waits for its mark and is not blank.
	Paper bool
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
	// UnitLost says that an answer with a right number lost its unit. That
	// costs the unit's mark once an exercise, in the first part that has one,
	// and is taken off below.
	UnitLost bool
	// FiguresLost says that a right number was given with too few or too many
	// figures. That may cost one mark once a form: [MarkForm] takes it off.
	FiguresLost bool
	Least, Most int // marks; they differ while queries are open
}

// PartResult is a marked part.
type PartResult struct {
	Label string
	Marks int // to be had
	Boxes []BoxResult
	// Least and Most are the marks earned: those of the boxes added up and
	// rounded down. Least counts an open query as wrong, Most as right.
	Least, Most int
	// PerMark is how many shares of a box make one mark.
	PerMark int
	// UnitOff says that the unit's mark was taken off here, FiguresOff that
	// the form's mark for figures was.
	UnitOff, FiguresOff bool
	// Safety says that the part earns nothing because a step that keeps people
	// safe came too late or was left out.
	Safety bool
	Unit   int // of the marks, how many are the unit's
	// Override is set by [MarkForm] where the assessor gave another mark.
	Override *Override
}

// BoxResult is one judged answer of an exercise.
type BoxResult struct {
	Box string
	Result
	Unit    string // as typed into the box for the unit
	Ticked  bool   // "cannot be read, on its stop"
	Working string // on the ruled lines of the part, with its first box

	// Shares are those of the part's marks that the box can earn, Earned and
	// CanEarn what it has earned at least and at most; see
	// [PartResult.PerMark].
	Shares, Earned, CanEarn int

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
	question Question // of none of the kinds for a judged box
	kind     exercises.BoxKind
	unit     string
	sheet    exercises.Box
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
	for _, id := range keys(answers) {
		if !m.takes(id, item.Sheet) {
			return ItemResult{}, fmt.Errorf("there is an answer to box %q, which this exercise does not have", id)
		}
	}
	for _, ids := range [][]string{keys(terms.Settled), keys(terms.Hand)} {
		for _, id := range ids {
			if m.boxes[id] == nil {
				return ItemResult{}, fmt.Errorf("there is a decision on box %q, which this exercise does not have", id)
			}
		}
	}
	for _, id := range keys(terms.Settled) {
		if v := terms.Settled[id].Verdict; v != "" && (v == Query || v.Words() == string(v)) {
			return ItemResult{}, fmt.Errorf("box %q is settled as %q, which decides nothing", id, v)
		}
	}
	var out ItemResult
	unitOff := false
	for i, part := range item.Sheet.Parts {
		p, err := m.part(part, item.Key.Parts[i], answers)
		if err != nil {
			return ItemResult{}, err
		}
		for _, r := range p.Boxes {
			if r.worth() {
				out.FiguresLost = out.FiguresLost || r.FiguresLost
				out.UnitLost = out.UnitLost || r.UnitLost
				p.UnitOff = p.UnitOff || r.UnitLost && p.Unit > 0 && !unitOff
			}
		}
		if p.UnitOff {
			unitOff = true
			p.Least, p.Most = max(0, p.Least-p.Unit), max(0, p.Most-p.Unit)
		}
		out.Parts = append(out.Parts, p)
		out.Least, out.Most = out.Least+p.Least, out.Most+p.Most
	}
	return out, nil
}

// part marks the boxes of one part and adds their shares up.
func (m *marker) part(part exercises.Part, key exercises.PartKey, answers map[string]string) (PartResult, error) {
	n := len(part.Boxes)
	p := PartResult{Label: part.Label, Marks: part.Marks, Unit: key.UnitMark, PerMark: max(1, n)}
	own := slices.ContainsFunc(key.Answers, func(a exercises.Answer) bool { return a.Marks > 0 })
	got, can := 0, 0
	for i, b := range part.Boxes {
		shares := part.Marks
		if own {
			shares = key.Answers[i].Marks * n
		}
		r, err := m.mark(b, answers, shares/p.PerMark)
		if err != nil {
			return p, fmt.Errorf("box %s: %w", b.ID, err)
		}
		if i == 0 {
			r.Working = answers[part.Label+workingKey]
		}
		r.Shares = shares
		r.Earned, r.CanEarn = m.shares(r, p.PerMark)
		p.Safety = p.Safety || r.Rule == RuleSafety
		got, can = got+r.Earned, can+r.CanEarn
		p.Boxes = append(p.Boxes, r)
	}
	m.byWhole(key, p.Boxes)
	if p.Safety {
		got, can = 0, 0
	}
	p.Least, p.Most = min(part.Marks, got/p.PerMark), min(part.Marks, can/p.PerMark)
	return p, nil
}

// shares is what a box has earned, at least and at most.
func (m *marker) shares(r BoxResult, perMark int) (least, most int) {
	hand, byHand := m.terms.Hand[r.Box]
	switch {
	case r.Verdict == ByHand && byHand:
		return min(hand*perMark, r.Shares), min(hand*perMark, r.Shares)
	case r.Order != nil && r.Rule == RuleOrder:
		return min(r.Order.Marks*perMark, r.Shares), min(r.Order.Marks*perMark, r.Shares)
	case r.worth():
		return r.Shares, r.Shares
	case r.open():
		return 0, r.Shares
	}
	return 0, 0
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
		b := &box{kind: sheet.Kind, unit: sheet.Unit, answer: answer, part: key, sheet: sheet}
		switch sheet.Kind {
		case exercises.NumberBox:
			n, err := m.number(sheet, answer)
			if err != nil {
				return fmt.Errorf("box %s: %w", sheet.ID, err)
			}
			b.question = Question{Number: n}
		case exercises.ChoiceBox:
			c := &Choice{Right: answer.Option}
			c.Options = optionsOf(sheet)
			b.question = Question{Choice: c}
		case exercises.OrderBox:
			o, err := orderOf(sheet, answer)
			if err != nil {
				return fmt.Errorf("box %s: %w", sheet.ID, err)
			}
			b.question = Question{Order: o}
		case exercises.JudgedBox:
			m.boxes[sheet.ID] = b
			continue
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
