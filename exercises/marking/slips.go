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
