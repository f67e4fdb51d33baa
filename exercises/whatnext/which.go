package whatnext

import (
	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// which asks for the test that tells most. bound is the average asked for
// before, from which and from those of the other tests the answer follows;
// elsewhere it has no symbol, and the decimals with which averages are printed.
func (it *item) which(out *exercises.Item, label string, bound formula.Binding) error {
	env := formula.Env{}
	var shown []string
	for i, t := range it.deal.tests {
		a := it.averageOf(t, false)
		b := bound
		if symAverage(i) != bound.Sym {
			full := it.counts(&a)
			if s := it.turning(); s != nil {
				share := it.share(s)
				if !it.askedAbove {
					share = formula.Int(1).Sub(share)
				}
				full = full.With(formula.Binding{Sym: symShare, V: share.Mul(formula.Int(100))})
			}
			v, err := formula.Eval(a.expr(), full).Rounded(bound.Decimals)
			if err != nil {
				return RejectLead
			}
			b = formula.Binding{Sym: symAverage(i), V: v, Unit: "faults", Decimals: bound.Decimals}
		}
		env = env.With(b)
		shown = append(shown, formula.WithUnit(b.V.Text(b.Decimals), "faults"))
	}
	part := exercises.Part{Label: label, Prompt: it.Text("ask.which"), Marks: 1}
	box := exercises.Box{ID: label, Kind: exercises.ChoiceBox, Name: part.Prompt.Plain()}
	var decide []exercises.Decision
	var right *formula.Relation
	for i, t := range it.deal.tests {
		var others []formula.Expr
		for j := range it.deal.tests {
			if j != i {
				others = append(others, symAverage(j))
			}
		}
		r := &formula.Relation{A: symAverage(i), Op: formula.Less, B: formula.Min(others...)}
		if i == it.right {
			right = r
		}
		decide = append(decide, exercises.Decision{Rel: r, Option: tests[t].id})
		box.Options = append(box.Options, exercises.Option{ID: tests[t].id, Text: it.Text("option.test", "number", number(i), "test", it.short(t))})
	}
	part.Boxes = []exercises.Box{box}
	best := it.deal.tests[it.right]
	key := it.ChoiceKey(label, tests[best].id,
		exercises.Step{Text: it.Text("work.which")},
		exercises.Step{Table: it.whichTable(shown)},
		exercises.Step{Rel: right, Env: env})
	if bound.From != "" {
		key.Answers[0].Env, key.Answers[0].Decide = env, decide
	}
	for i, t := range it.deal.tests {
		if i == it.right {
			continue
		}
		key.Slips = append(key.Slips, exercises.Slip{ID: "took-" + tests[t].id, Name: "chose " + it.short(t),
			Feedback: it.Text("slip.which", "test", it.short(t), "average", shown[i], "right", it.short(best), "best", shown[it.right], "outcomes", it.spread(it.groups(t, false), t)),
			Answers:  []exercises.SlipAnswer{{Box: label, Option: tests[t].id}}})
	}
	out.Add(part, key)
	return nil
}

// whichTable is what each outcome of each test leaves, with the average and with
// what the test tells in bits.
func (it *item) whichTable(shown []string) *exercises.Table {
	out := &exercises.Table{Columns: columns("Test", "What each outcome leaves", "On average", "It tells")}
	splits := it.deal.splits(it.hand, it.aboveShare())
	for i, t := range it.deal.tests {
		bits := formula.WithUnit(formula.Float(splits[i].information(nil)).Text(2), "bit")
		out.Rows = append(out.Rows, row(number(i)+": "+it.short(t), it.spread(it.groups(t, false), t), shown[i], bits))
	}
	return out
}

// aboveShare is the share of sizes above the turn, where there is one.
func (it *item) aboveShare() float64 {
	if s := it.turning(); s != nil {
		return it.share(s).Float64()
	}
	return 0
}
