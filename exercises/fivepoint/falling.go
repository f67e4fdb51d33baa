package fivepoint

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
)

// symGap is the hysteresis.
const symGap formula.Sym = "H"

// fallingTable is the part with the errors of the falling run.
func (b *item) fallingTable(label string) (exercises.Part, exercises.PartKey) {
	part := exercises.Part{Label: label, Prompt: b.Text("ask.falling", "eplaces", fmt.Sprint(errorPlace)), Marks: 4}
	tol := exercises.Tolerance(b.half, errorPlace)
	key := exercises.PartKey{Label: label,
		Why:    b.Text("tolerance.falling", "tolerance", exercises.Quantity(tol, errorUnit)),
		Credit: []exercises.Credit{{Marks: 4, For: b.Text("credit.falling")}}}
	t := &exercises.Table{Columns: []exercises.Column{
		{Head: "Input, % of range"}, {Head: "Input"}, {Head: "Needle"}, {Head: "Error found"},
	}}
	env := b.env
	for i, x := range stations(b.level) {
		if i < len(points) {
			continue
		}
		id := fmt.Sprintf("%s.%d", label, i-len(points)+1)
		def := b.errorDef(i)
		key.Answers = append(key.Answers, exercises.Answer{Box: id, Def: def, Env: b.env, Tolerance: tol})
		bound, _ := def.Bind(b.env, id) // exact, cannot fail
		env = env.With(bound)
		part.Boxes = append(part.Boxes, exercises.Box{ID: id, Kind: exercises.NumberBox,
			Name: fmt.Sprintf("error at %d %%, falling", x), Unit: errorUnit, Of: "of span", Decimals: errorPlace})
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{
			{Text: formula.WithUnit(fmt.Sprint(x), "%")}, {Text: nullbalance.InputText(b.loop, x)}, {Figure: stationID(i)}, {Box: id},
		}})
	}
	part.Table = t
	first := key.Answers[0].Def
	key.Working = []exercises.Step{{Text: b.Text("work.falling")}, {Def: &first, Env: b.env}}
	for _, w := range []struct {
		id, name string
		x        func(i int) formula.Expr
	}{
		{"sign", "sign swapped", func(i int) formula.Expr { return formula.Neg(b.errorDef(i).Expr) }},
		{"marks-as-divisions", "small marks counted as divisions", func(i int) formula.Expr {
			return formula.Mul(formula.Mul(b.deflection(i), formula.Num(int64(b.face.SmallPerDiv))), b.perDivision)
		}},
		{"divisions-as-percent", "divisions taken for percent", b.deflection},
		{"rest-left-in", "mechanical zero not taken off", func(i int) formula.Expr { return formula.Mul(symNeedle(i), b.perDivision) }},
		{"rest-added", "mechanical zero added", func(i int) formula.Expr {
			return formula.Mul(formula.Add(symNeedle(i), symRest), b.perDivision)
		}},
	} {
		s := exercises.Slip{ID: w.id, Name: w.name, Feedback: b.Text("slip." + w.id)}
		for j, a := range key.Answers {
			def := a.Def
			def.Expr = w.x(len(points) + j)
			s.Answers = append(s.Answers, exercises.SlipAnswer{Box: a.Box, Def: def, Env: a.Env})
		}
		key.Slips = append(key.Slips, s)
	}
	b.env = env
	return part, key
}

// hysteresis is the part that asks how far apart both runs are.
func (b *item) hysteresis(label string) (exercises.Part, exercises.PartKey) {
	gap := func(i int) formula.Expr { return formula.Sub(symError(8-i), symError(i)) }
	gaps := []formula.Expr{gap(0), gap(1), gap(2), gap(3)}
	def := formula.Definition{Sym: symGap, Expr: formula.Max(gaps...), Unit: errorUnit, Decimals: errorPlace}
	mark := b.half.Add(b.half) // half a mark in each of two readings
	key := b.NumberKey(label, def, b.env, mark, "hysteresis", "hysteresis")
	sum := formula.Add(formula.Add(gaps[1], gaps[2]), gaps[3])
	twice := key.Answers[0].Tolerance.Add(key.Answers[0].Tolerance)
	right := def.Eval(b.env)
	for _, s := range []exercises.Told{
		{ID: "gap-turned", Name: "rising less falling run", X: formula.Neg(def.Expr)},
		{ID: "gaps-added", Name: "gaps of all points added", X: sum},
		{ID: "gap-times-five", Name: "small marks of the gap counted as divisions", X: formula.Mul(def.Expr, formula.Num(5))},
		{ID: "gap-halved", Name: "half the gap given", X: formula.Div(def.Expr, formula.Num(2))},
		{ID: "gap-largest-error", Name: "largest error given for the hysteresis", X: b.worstDef().Expr},
	} {
		// Half the gap and the largest error come too close to it in some
		// draws; then such an answer is no worse than a careful reading.
		v := formula.Eval(s.X, b.env)
		if off := v.Sub(right).Abs(); off.Sub(twice).Sign() > 0 && !b.meets(key, v, twice) {
			b.NumberSlip(&key, s.ID, s.Name, s.X)
		}
	}
	part := b.Number(label, "hysteresis", def, "of span")
	return part, key
}

// meets says whether a slip of the key lies within a distance of a value.
func (b *item) meets(key exercises.PartKey, v, within formula.Value) bool {
	for _, s := range key.Slips {
		if s.Answers[0].Value.Sub(v).Abs().Sub(within).Sign() <= 0 {
			return true
		}
	}
	return false
}
