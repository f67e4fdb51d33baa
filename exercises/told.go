package exercises

import "loopdrill/scenarios/formula"

// ToldSlip is [Composer.NumberSlip] for a misconception that not every draw
// can show: it is added only where its answer, as it would be written down, is
// told from the right one and from those of the slips before it by more than
// both tolerances. Elsewhere such an answer is right within the tolerance, or
// wrong without being explained. The key must have one number box.
func (c *Composer) ToldSlip(key *PartKey, id, name string, x formula.Expr) {
	a := key.Answers[0]
	written := func(x formula.Expr) (formula.Value, bool) {
		v, err := formula.Eval(x, a.Env).Rounded(a.Def.Decimals)
		return v, err == nil
	}
	v, ok := written(x)
	if !ok {
		return
	}
	twice := a.Tolerance.Add(a.Tolerance)
	told := func(other formula.Expr) bool {
		w, ok := written(other)
		return ok && v.Sub(w).Abs().Sub(twice).Sign() > 0
	}
	if !told(a.Def.Expr) {
		return
	}
	for _, s := range key.Slips {
		for _, sa := range s.Answers {
			if sa.Box == a.Box && !told(sa.Def.Expr) {
				return
			}
		}
	}
	c.NumberSlip(key, id, name, x)
}
