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
	right := make([]formula.Expr, len(x))
	for i := range x {
		a := key.Answers[i]
		right[i] = a.Def.Expr
		a.Def.Expr = x[i]
		s.Answers = append(s.Answers, SlipAnswer{Box: a.Box, Def: a.Def, Env: a.Env})
	}
	told := func(y func(i int) formula.Expr) bool {
		for i, a := range key.Answers[:len(x)] {
			v, err := formula.Eval(x[i], a.Env).Rounded(a.Def.Decimals)
			if err != nil {
				return false
			}
			w, err := formula.Eval(y(i), a.Env).Rounded(a.Def.Decimals)
			if err == nil && v.Sub(w).Abs().Sub(a.Tolerance.Add(a.Tolerance)).Sign() > 0 {
				return true
			}
		}
		return false
	}
	if !told(func(i int) formula.Expr { return right[i] }) {
		return
	}
	for _, o := range key.Slips {
		if !told(func(i int) formula.Expr { return o.Answers[i].Def.Expr }) {
			return
		}
	}
	s.Feedback = c.Text("slip." + id)
	key.Slips = append(key.Slips, s)
}
