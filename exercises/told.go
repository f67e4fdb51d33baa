package exercises

import "loopdrill/scenarios/formula"

// ToldSlip adds a misconception that not every draw can show: the formulas
// that give its answers, one for each box of the part, all of them for numbers.
// It is added only where its answers, as they would be written down, are told
// from the right ones and from those of the slips before it, in one box at
// least, by more than both tolerances. Elsewhere such answers are right within
// the tolerance, or wrong without being explained.
func (c *Composer) ToldSlip(key *PartKey, id, name string, x ...formula.Expr) {
	s := Slip{ID: id, Name: name}
	told := func(y func(i int) formula.Value) bool {
		for i, a := range key.Answers[:len(x)] {
			if s.Answers[i].Value.Sub(y(i)).Abs().Sub(a.Tolerance.Add(a.Tolerance)).Sign() > 0 {
				return true
			}
		}
		return false
	}
	right := make([]formula.Value, len(x))
	for i := range x {
		a := key.Answers[i]
		right[i], _ = a.Def.Eval(a.Env).Rounded(a.Def.Decimals)
		a.Def.Expr = x[i]
		v, err := a.Def.Eval(a.Env).Rounded(a.Def.Decimals)
		if err != nil {
			return
		}
		s.Answers = append(s.Answers, SlipAnswer{Box: a.Box, Def: a.Def, Env: a.Env, Value: v})
	}
	if !told(func(i int) formula.Value { return right[i] }) {
		return
	}
	for _, o := range key.Slips {
		if !told(func(i int) formula.Value { return o.Answers[i].Value }) {
			return
		}
	}
	s.Feedback = c.Text("slip." + id)
	key.Slips = append(key.Slips, s)
}
