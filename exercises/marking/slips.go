package marking

import (
	"math/big"
	"slices"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// SlipMatch is a known slip that gives the answer.
type SlipMatch struct {
	ID, Name string
	// Carried says that it does so from the apprentice's own earlier numbers,
	// not from the right ones.
	Carried bool
}

// byWhole settles between several slips that give the answer of one box by the
// other boxes of its part: the one that gives all of them, if just one does.
// Which slip it was shows in a table as a whole where single cells would leave
// it open. Blanks say nothing; a box that a slip leaves out must be right.
func (m *marker) byWhole(key exercises.PartKey, boxes []BoxResult) {
	open := slices.ContainsFunc(boxes, func(r BoxResult) bool { return len(r.Slips) > 1 })
	if !open || len(boxes) < 2 {
		return
	}
	fits := ""
	for _, slip := range key.Slips {
		if !m.givesAll(slip, boxes) || slip.ID == fits {
			continue
		}
		if fits != "" {
			return // two give all
		}
		fits = slip.ID
	}
	for i := range boxes {
		if j := slices.IndexFunc(boxes[i].Slips, func(s SlipMatch) bool { return s.ID == fits }); j >= 0 {
			boxes[i].Slips = boxes[i].Slips[j : j+1]
		}
	}
}

// givesAll reports whether a slip gives every answer of a part.
func (m *marker) givesAll(slip exercises.Slip, boxes []BoxResult) bool {
	for _, r := range boxes {
		if r.Verdict == Blank {
			continue
		}
		gives, leftOut := false, true
		for _, a := range slip.Answers {
			if a.Box != r.Box {
				continue
			}
			leftOut = false
			if match, _ := m.slipped(m.boxes[r.Box], r, a); match {
				gives = true
			}
		}
		if leftOut && !r.worth() || !leftOut && !gives {
			return false
		}
	}
	return true
}

// slips lists the slips whose answer the wrong answer is, within the
// tolerance. One: that was it. Two or more, which can happen with carried
// numbers: all are possible. None: nothing is guessed. An answer with two
// readings has none.
func (m *marker) slips(b *box, r BoxResult) []SlipMatch {
	var out []SlipMatch
	for _, slip := range b.part.Slips {
		for _, a := range slip.Answers {
			if a.Box != b.answer.Box {
				continue
			}
			if match, carried := m.slipped(b, r, a); match {
				out = append(out, SlipMatch{slip.ID, slip.Name, carried})
				break
			}
		}
	}
	return out
}

func (m *marker) slipped(b *box, r BoxResult, a exercises.SlipAnswer) (match, carried bool) {
	switch {
	case b.kind == exercises.ChoiceBox:
		return a.Option != "" && len(r.Readings) == 1 && r.Readings[0].Text == a.Option, false
	case b.kind == exercises.OrderBox:
		return r.Order != nil && len(a.Order) > 0 && slices.Equal(r.Order.Given, a.Order), false
	case b.kind == exercises.JudgedBox:
		return false, false
	case a.Stop || r.Ticked:
		return a.Stop && r.Ticked, false
	}
	values := r.values()
	if len(values) != 1 || a.Def.Expr == nil {
		return false, false
	}
	if b.slipGives(a.Def, a.Env, values[0]) {
		return true, false
	}
	feed, err := m.feeders(a.Env, a.Def.Expr)
	if err != nil {
		return false, false // follow has reported it for the key
	}
	for _, env := range m.owned(a.Env, feed) {
		if b.slipGives(a.Def, env, values[0]) {
			return true, true
		}
	}
	return false, false
}

// slipGives reports whether a slip's formula gives x, within the tolerance of
// the box. Where the right answer is the tick there may be none, and x must be
// what the formula gives as it would be written down.
func (b *box) slipGives(def formula.Definition, env formula.Env, x *big.Rat) bool {
	tolerance := b.question.Number.Tolerance
	if b.answer.Stop {
		tolerance, _ = Exact(formula.Decimal(5, def.Decimals+1))
		if t, ok := Exact(b.answer.Tolerance); ok && t.Cmp(tolerance) > 0 {
			tolerance = t
		}
	}
	for _, key := range keysOf(def, env) {
		if near(x, key, tolerance) {
			return true
		}
	}
	return false
}
