package fivepoint

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// sizes lists the sizes of all errors at point i: of one run, or of both.
func (b *item) sizes(i int) []formula.Expr {
	out := []formula.Expr{formula.Abs(symError(i))}
	if back := 8 - i; back < len(b.marks) && back != i {
		out = append(out, formula.Abs(symError(back)))
	}
	return out
}

// worstPart asks for the point with the largest error.
func (b *item) worstPart(label string) (exercises.Part, exercises.PartKey) {
	ask := b.entry("ask.worst")
	box := exercises.Box{ID: label, Kind: exercises.ChoiceBox, Name: b.Text(ask).Plain()}
	for _, x := range points {
		box.Options = append(box.Options, exercises.Option{ID: pointID(x), Text: b.Text("option.point", "x", fmt.Sprint(x))})
	}
	if b.level != "hard" { // a falling run differs from the rising one
		box.Options = append(box.Options, exercises.Option{ID: "alike", Text: b.Text("option.alike")})
	}
	part := exercises.Part{Label: label, Prompt: b.Text(ask), Marks: 1, Boxes: []exercises.Box{box}}

	worst := b.worstDef()
	w := b.worst()
	right, work := pointID(points[w]), b.entry("work.worst")
	if b.alike() {
		right, work = "alike", "work.alike"
	}
	key := b.ChoiceKey(label, right, exercises.Step{Text: b.Text(work)}, exercises.Step{Def: &worst, Env: b.env})
	b.worstSlips(&key, label, right)
	key.Answers[0].Env, key.Answers[0].Decide = b.env, b.decideWorst()
	return part, key
}

// worstDef is the size of the largest error.
func (b *item) worstDef() formula.Definition {
	var all []formula.Expr
	for i := range points {
		all = append(all, b.sizes(i)...)
	}
	return formula.Definition{Sym: symWorst, Expr: formula.Max(all...), Unit: errorUnit, Decimals: errorPlace}
}

// bindWorst makes the largest error known to the parts that follow.
func (b *item) bindWorst() {
	bound, _ := b.worstDef().Derive(b.env) // exact, cannot fail
	b.env = b.env.With(bound)
}

// decideWorst leads from the errors to the worst point. Two that are equally
// large, in numbers of somebody's own, lead nowhere.
func (b *item) decideWorst() []exercises.Decision {
	var out []exercises.Decision
	if b.level != "hard" {
		var signed []formula.Expr
		for i := range points {
			signed = append(signed, symError(i))
		}
		out = append(out, exercises.Decision{Option: "alike",
			Rel: &formula.Relation{A: formula.Max(signed...), Op: formula.LessEq, B: formula.Min(signed...)}})
	}
	for i, x := range points {
		var others []formula.Expr
		for j := range points {
			if j != i {
				others = append(others, b.sizes(j)...)
			}
		}
		var here formula.Expr = formula.Max(b.sizes(i)...)
		if len(b.sizes(i)) == 1 {
			here = b.sizes(i)[0]
		}
		out = append(out, exercises.Decision{Option: pointID(x),
			Rel: &formula.Relation{A: here, Op: formula.Greater, B: formula.Max(others...)}})
	}
	return out
}

func pointID(x int) string { return fmt.Sprintf("p%d", x) }

// worstSlips gives each wrong option one misconception, the likeliest first.
func (b *item) worstSlips(key *exercises.PartKey, label, right string) {
	highest, lowest, smallest, second := 0, 0, 0, -1
	for i, m := range b.marks {
		if m > b.marks[highest] {
			highest = i
		}
		if m < b.marks[lowest] {
			lowest = i
		}
	}
	w := b.worst()
	for i := range points {
		if b.farthest(i) < b.farthest(smallest) {
			smallest = i
		}
		if i != w && (second < 0 || b.farthest(i) > b.farthest(second)) {
			second = i
		}
	}
	taken := map[string]bool{right: true}
	add := func(id, name, option string) {
		if !taken[option] {
			taken[option] = true
			key.Slips = append(key.Slips, b.ChoiceSlip(label, id, name, option))
		}
	}
	at := stations(b.level)
	if !b.alike() {
		add("highest-signed", "largest error taken with its sign", pointID(at[highest]))
		add("lowest-signed", "lowest error taken for the largest", pointID(at[lowest]))
		add("smallest", "smallest error taken", pointID(points[smallest]))
		add("runner-up", "second largest error taken", pointID(points[second]))
		if b.level != "hard" {
			add("alike-unequal", "unequal errors called alike", "alike")
		}
	}
	add("last-by-habit", "last point taken by habit", pointID(100))
	add("first-by-habit", "first point taken by habit", pointID(0))
	add("middle-by-habit", "middle taken by habit", pointID(50))
	for _, x := range points {
		add("sizes-not-compared", "sizes not compared", pointID(x))
	}
}

// cellFails is the comparison that decides whether the readings count.
func (b *item) cellFails() (formula.Relation, bool) {
	rel := formula.Relation{A: symCell, Op: formula.Less, B: symLine}
	if b.level == "hard" {
		rel.A = formula.Sub(symCell, symRest)
	}
	fails, _ := rel.Holds(b.env) // exact, cannot fail
	if !fails {
		rel.Op = formula.GreaterEq
	}
	return rel, fails
}

// entry names the text that fits the level.
func (b *item) entry(entry string) string {
	if b.level == "hard" {
		return entry + "-hard"
	}
	return entry
}

// verdict asks whether the transmitter is within its tolerance, as found.
func (b *item) verdict(label string) (exercises.Part, exercises.PartKey) {
	options := []string{"within", "outside", "void"}
	if !b.judgesCell {
		options = options[:2]
	}
	part := b.Choice(label, "verdict", options...)
	within := formula.Relation{A: symWorst, Op: formula.LessEq, B: symLimit}
	byNumbers, other := "within", "outside"
	if holds, _ := within.Holds(b.env); !holds {
		byNumbers, other = other, byNumbers
		within.Op = formula.Greater
	}
	cell, fails := b.cellFails()
	weak := cell
	weak.Op = formula.Less
	decide := []exercises.Decision{
		{Rel: &weak, Option: "void"}, // first, so that only a good cell is judged by numbers
		{Rel: &formula.Relation{A: symWorst, Op: formula.LessEq, B: symLimit}, Option: "within"},
		{Option: "outside"},
	}
	if fails {
		key := b.ChoiceKey(label, "void", exercises.Step{Text: b.Text(b.entry("work.cell"))}, exercises.Step{Rel: &cell, Env: b.env})
		key.Answers[0].Env, key.Answers[0].Decide = b.env, decide
		key.Slips = []exercises.Slip{
			b.ChoiceSlip(label, "cell-not-checked", "cell not checked", byNumbers),
			b.ChoiceSlip(label, "cell-and-size", "cell not checked, nor the worst error", other),
		}
		return part, key
	}
	if !b.judgesCell {
		key := b.ChoiceKey(label, byNumbers, exercises.Step{Text: b.Text("work.verdict")}, exercises.Step{Rel: &within, Env: b.env})
		key.Answers[0].Env, key.Answers[0].Decide = b.env, decide[1:]
		key.Slips = []exercises.Slip{b.turned(label, other)}
		return part, key
	}
	key := b.ChoiceKey(label, byNumbers,
		exercises.Step{Text: b.Text(b.entry("work.cell-good"))}, exercises.Step{Rel: &cell, Env: b.env},
		exercises.Step{Text: b.Text("work.verdict")}, exercises.Step{Rel: &within, Env: b.env})
	key.Answers[0].Env, key.Answers[0].Decide = b.env, decide
	key.Slips = []exercises.Slip{
		b.turned(label, other),
		b.ChoiceSlip(label, "cell-misread", "a good cell read as weak", "void"),
	}
	return part, key
}

// turned names the first misconception that gives the other verdict.
func (b *item) turned(label, other string) exercises.Slip {
	sum := formula.Expr(symError(0))
	signed := []formula.Expr{symError(0)}
	for i := 1; i < len(b.marks); i++ {
		sum = formula.Add(sum, symError(i))
		signed = append(signed, symError(i))
	}
	for _, w := range []struct {
		id, name string
		x        formula.Expr
	}{
		{"sign-compared", "errors compared with their signs", formula.Max(signed...)},
		{"zero-compared", "only the zero compared", formula.Abs(symError(0))},
		{"mean-compared", "mean of the errors compared", formula.Abs(formula.Div(sum, formula.Num(int64(len(b.marks)))))},
	} {
		seems, err := (formula.Relation{A: w.x, Op: formula.LessEq, B: symLimit}).Holds(b.env)
		if err == nil && seems == (other == "within") {
			return b.ChoiceSlip(label, w.id, w.name, other)
		}
	}
	return b.ChoiceSlip(label, "verdict-turned", "verdict turned round", other)
}

// first asks for the first step of adjustment, if any, and says which numbers
// lead to it.
func (b *item) first(label string) (exercises.Part, exercises.PartKey) {
	part, key := b.firstStep(label)
	weak, _ := b.cellFails()
	weak.Op = formula.Less
	compare := func(a formula.Expr, op formula.RelOp, c formula.Expr) *formula.Relation {
		return &formula.Relation{A: a, Op: op, B: c}
	}
	nothing := formula.Num(0)
	decide := []exercises.Decision{
		{Rel: &weak, Option: "replace-cell"},
		{Rel: compare(symWorst, formula.LessEq, symAdjust), Option: "leave"},
		{Rel: compare(symError(0), formula.Less, nothing), Option: "raise-zero"},
		{Rel: compare(symError(0), formula.Greater, nothing), Option: "lower-zero"},
		{Rel: compare(symError(4), formula.Less, nothing), Option: "raise-span"},
		{Rel: compare(symError(4), formula.Greater, nothing), Option: "lower-span"},
	}
	if !b.judgesCell {
		decide = decide[1:]
	}
	key.Answers[0].Env, key.Answers[0].Decide = b.env, decide
	return part, key
}

func (b *item) firstStep(label string) (exercises.Part, exercises.PartKey) {
	options := []string{"leave", "raise-zero", "lower-zero", "raise-span", "lower-span", "replace-cell"}
	if !b.judgesCell {
		options = options[:5]
	}
	part := b.Choice(label, "first", options...)
	cell, fails := b.cellFails()
	if fails {
		key := b.ChoiceKey(label, "replace-cell", exercises.Step{Text: b.Text(b.entry("work.cell"))}, exercises.Step{Rel: &cell, Env: b.env})
		for _, o := range options[:5] {
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "cell-not-checked", "cell not checked", o))
		}
		return part, key
	}
	due := formula.Relation{A: symWorst, Op: formula.Greater, B: symAdjust}
	nothing := formula.Num(0)
	if adjust, _ := due.Holds(b.env); !adjust {
		due.Op = formula.LessEq
		key := b.ChoiceKey(label, "leave", exercises.Step{Text: b.Text("work.leave")}, exercises.Step{Rel: &due, Env: b.env})
		for _, o := range options[1:5] {
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "adjusted-inside", "adjusted inside the limit", o))
		}
		b.cellMisread(&key, label)
		return part, key
	}
	screw, other, at := "zero", "span", symError(0)
	work, began := "work.zero-first", "span-first"
	if b.zero == 0 {
		screw, other, at = "span", "zero", symError(4)
		work, began = "work.span-first", "zero-first"
	}
	side := formula.Relation{A: at, Op: formula.Less, B: nothing}
	way, turned := "raise-", "lower-"
	if low, _ := side.Holds(b.env); !low {
		way, turned = turned, way
		side.Op = formula.Greater
	}
	key := b.ChoiceKey(label, way+screw,
		exercises.Step{Text: b.Text(work)}, exercises.Step{Rel: &due, Env: b.env}, exercises.Step{Rel: &side, Env: b.env})
	// Whoever begins with the other screw turns it the way that the error at
	// 100 % seems to ask for.
	otherWay, otherTurned := "raise-", "lower-"
	if b.full > 0 {
		otherWay, otherTurned = otherTurned, otherWay
	}
	key.Slips = []exercises.Slip{
		b.ChoiceSlip(label, "wrong-way", "right screw, wrong way", turned+screw),
		b.ChoiceSlip(label, began, "began with the "+other, otherWay+other),
		b.ChoiceSlip(label, "wrong-screw-and-way", "wrong screw and way", otherTurned+other),
		b.ChoiceSlip(label, "left-alone", "left alone beyond the limit", "leave"),
	}
	b.cellMisread(&key, label)
	return part, key
}

// cellMisread is the slip of somebody who changes a good cell.
func (b *item) cellMisread(key *exercises.PartKey, label string) {
	if b.judgesCell {
		key.Slips = append(key.Slips, b.ChoiceSlip(label, "cell-misread", "a good cell read as weak", "replace-cell"))
	}
}
