package whatnext

import (
	"slices"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// cell asks what a test shows with one fault at work.
func (it *item) cell(label string) (exercises.Part, exercises.PartKey) {
	t := it.deal.tests[it.openTest]
	k, s := tests[t].kind, &it.list[it.openFault]
	words := []string{"number", number(it.openTest), "fault", plain(s.fault.Name), "does", does(&s.fault), "shows", it.outcome(t, s.above[t])}
	part := exercises.Part{Label: label, Prompt: it.Text("ask.cell", words...), Marks: 1}
	box := exercises.Box{ID: label, Kind: exercises.ChoiceBox, Name: part.Prompt.Plain()}
	key := it.ChoiceKey(label, k.id+"-"+k.outcomes[s.above[t]], exercises.Step{Text: it.Text("work.cell", words...)})
	for o := range k.outcomes {
		id := k.id + "-" + k.outcomes[o]
		box.Options = append(box.Options, exercises.Option{ID: id, Text: it.Text("seen." + id)})
		if o == s.above[t] {
			continue
		}
		entry, of := "slip.saw", ""
		for i := range it.list {
			if it.list[i].above[t] == o {
				entry, of = "slip.saw-other", plain(it.list[i].fault.Name)
				break
			}
		}
		if o == it.soundOutcome(t) {
			entry = "slip.saw-sound"
		}
		key.Slips = append(key.Slips, exercises.Slip{ID: "saw-" + id, Name: "took the test to show: " + it.outcome(t, o),
			Feedback: it.Text(entry, append(words, "other", of, "took", it.outcome(t, o))...),
			Answers:  []exercises.SlipAnswer{{Box: label, Option: id}}})
	}
	part.Boxes = []exercises.Box{box}
	return part, key
}

// alone asks which fault an outcome leaves as the only one.
func (it *item) alone(label string) (exercises.Part, exercises.PartKey) {
	i := slices.IndexFunc(it.list, func(s suspect) bool { return s.fault.Name == it.aloneFault })
	t, s := it.deal.tests[it.aloneTest], &it.list[i]
	words := []string{"number", number(it.aloneTest), "shows", it.outcome(t, s.above[t]), "fault", plain(s.fault.Name)}
	part := exercises.Part{Label: label, Prompt: it.Text("ask.alone", words...), Marks: 1}
	box := exercises.Box{ID: label, Kind: exercises.ChoiceBox, Name: part.Prompt.Plain()}
	key := it.ChoiceKey(label, s.fault.Name, exercises.Step{Text: it.Text("work.alone", words...)})
	for i := range it.list {
		o := &it.list[i]
		box.Options = append(box.Options, exercises.Option{ID: o.fault.Name, Text: it.Text("option.fault", "fault", plain(o.fault.Name))})
		if o.fault.Name == s.fault.Name {
			continue
		}
		entry := "slip.alone"
		if o.above[t] == s.above[t] {
			entry = "slip.alone-out" // it shows the same, and is ruled out already
		}
		key.Slips = append(key.Slips, exercises.Slip{ID: "left-" + o.fault.Name, Name: "thought it leaves " + plain(o.fault.Name),
			Feedback: it.Text(entry, append(words, "other", plain(o.fault.Name), "its", it.outcome(t, o.above[t]))...),
			Answers:  []exercises.SlipAnswer{{Box: label, Option: o.fault.Name}}})
	}
	part.Boxes = []exercises.Box{box}
	return part, key
}

// possible asks of each fault whether what was seen leaves it possible.
func (it *item) possible(label string) (exercises.Part, exercises.PartKey) {
	part := exercises.Part{Label: label, Prompt: it.Text("ask.possible"), Marks: 2,
		Table: &exercises.Table{Columns: columns("Fault", "After what was seen")}}
	key := exercises.PartKey{Label: label, Credit: []exercises.Credit{{Marks: 2, For: it.Text("credit.possible")}}}
	seen := &exercises.Table{Columns: columns("Fault")}
	for _, d := range it.deal.panel.seen {
		seen.Columns = append(seen.Columns, exercises.Column{Head: it.short(testNamed(d[0]))})
	}
	seen.Columns = append(seen.Columns, exercises.Column{Head: "So it is"})
	for i := range it.list {
		s := &it.list[i]
		id := label + "." + number(i)
		name := plain(s.fault.Name)
		part.Boxes = append(part.Boxes, exercises.Box{ID: id, Kind: exercises.ChoiceBox, Name: name, Options: []exercises.Option{
			{ID: "possible", Text: it.Text("option.possible")}, {ID: "out", Text: it.Text("option.out")}}})
		part.Table.Rows = append(part.Table.Rows, exercises.Row{Cells: []exercises.Cell{{Text: name}, {Box: id}}})
		r := row(name)
		against, shown := "", ""
		for _, d := range it.deal.panel.seen {
			t := testNamed(d[0])
			shows := it.shows(s, t)
			r.Cells = append(r.Cells, exercises.Cell{Text: shows})
			if o, _ := s.single(t); tests[t].kind.outcomes[o] != d[1] && against == "" {
				against, shown = it.short(t), shows
			}
		}
		right, wrong, slip, words := "possible", "out", "crossed", "crossed out "
		if !s.possible {
			right, wrong, slip, words = "out", "possible", "kept", "kept "
		}
		r.Cells = append(r.Cells, exercises.Cell{Text: it.Text("option." + right).Plain()})
		seen.Rows = append(seen.Rows, r)
		key.Answers = append(key.Answers, exercises.Answer{Box: id, Option: right})
		key.Slips = append(key.Slips, exercises.Slip{ID: slip + "-" + s.fault.Name, Name: words + name,
			Feedback: it.Text("slip."+slip, "fault", name, "does", does(&s.fault), "test", against, "shows", shown),
			Answers:  []exercises.SlipAnswer{{Box: id, Option: wrong}}})
	}
	key.Working = []exercises.Step{{Text: it.Text("work.possible")}, {Table: seen}}
	return part, key
}

const (
	symLow  = formula.Sym("b_1")
	symHigh = formula.Sym("b_2")
	symTurn = formula.Sym("b_t")
)

// addShare asks for the share of a suspect's sizes that shows one of the two
// things at a test, and gives it back for the formulas after it.
func (it *item) addShare(out *exercises.Item, label string, asked int) (formula.Binding, error) {
	s, t := it.turning(), it.deal.tests[asked]
	o, side := s.below[t], "below"
	if it.askedAbove {
		o, side = s.above[t], "above"
	}
	it.Words = append(it.Words, "turning", plain(s.fault.Name), "sizes", s.sizes(), "turn", s.turnText(), "number", number(asked),
		"shows", it.outcome(t, o), "low", s.low.Text(s.decimals), "high", s.high.Text(s.decimals))
	unit := unitOf(s.fault.Sizes[0].Unit)
	env := formula.Env{{Sym: symLow, V: s.low, Unit: unit, Decimals: s.decimals}, {Sym: symHigh, V: s.high, Unit: unit, Decimals: s.decimals},
		{Sym: symTurn, V: s.turn, Unit: unit, Decimals: s.turnDecimals}}
	whole := formula.Sub(symHigh, symLow)
	under, over := formula.Sub(symTurn, symLow), formula.Sub(symHigh, symTurn)
	percent := func(a, b formula.Expr) formula.Expr { return formula.Mul(formula.Div(a, b), formula.Percent100()) }
	part, rest := over, under
	fromZero := percent(over, symHigh)
	if !it.askedAbove {
		part, rest, fromZero = under, over, percent(symTurn, symHigh)
	}
	def := formula.Definition{Sym: symShare, Expr: percent(part, whole), Unit: "%"}
	key := it.NumberKey(label, def, env, formula.Int(0), "share", "share-"+side)
	it.ToldSlip(&key, "other-side", "took the sizes on the other side of the turn", percent(rest, whole))
	it.ToldSlip(&key, "from-zero", "took the range as beginning at 0", fromZero)
	it.ToldSlip(&key, "half-each", "took half of the sizes for each of two outcomes", formula.Div(formula.Percent100(), formula.Num(2)))
	it.ToldSlip(&key, "part-to-part", "divided one part of the range by the other", percent(part, rest))
	ask := it.Number(label, "share", def, it.Text("of.share").Plain())
	ask.Lines = 2
	out.Add(ask, key)
	return def.Bind(env, label)
}

// addAverage asks how many faults a test leaves on average, and binds it. The
// test is one at which a fault can show either of two things.
func (it *item) addAverage(out *exercises.Item, label string, asked int, share formula.Binding) formula.Binding {
	t := it.deal.tests[asked]
	a, all := it.averageOf(t, false), it.averageOf(t, true)
	env := append(append(formula.Env{share}, it.counts(&a)...), it.counts(&all)...)
	def := formula.Definition{Sym: symAverage(asked), Expr: a.expr(), Unit: "faults", Decimals: 2}
	// Half a percent of the share, carried through the formula.
	var above, below int64
	for _, g := range a.groups {
		if g.above {
			above = int64(g.certain)
		}
		if g.below {
			below = int64(g.certain)
		}
	}
	half := formula.Ratio(above-below, 200*int64(possible)).Abs()
	it.Words = append([]string{"number", number(asked), "outcomes", it.spread(a.groups, t)}, it.Words...)
	bound, err := def.Bind(env, label)
	if err != nil {
		bound = formula.Binding{Sym: def.Sym, V: formula.Ratio(0, 0), From: label} // settle throws the draw away
	}
	n := formula.Expr(symFaults)
	key := it.NumberKey(label, def, env, half, "average", "average")
	key.Working = slices.Insert(key.Working, 1, exercises.Step{Table: it.groupTable(a.groups, t)})
	for _, s := range []exercises.Told{
		{ID: "worst-case", Name: "took the worst case for the average", X: formula.Max(a.sizes()...)},
		{ID: "crossed-out", Name: "counted what the test rules out, not what it leaves", X: formula.Sub(n, a.expr())},
		{ID: "even-split", Name: "took each outcome to leave as many as the next", X: formula.Div(n, formula.Num(int64(len(a.groups))))},
		{ID: "listed-still", Name: "counted faults that are ruled out already", X: all.expr()},
		{ID: "half-of-it", Name: "put half of the sizes on either side", X: formula.Div(a.sum(formula.Div(formula.Num(1), formula.Num(2))), n)},
		{ID: "both-whole", Name: "counted the fault that may show either in full on both sides", X: a.bothWhole()},
		{ID: "not-divided", Name: "did not divide by the number of faults", X: a.sum(shareGiven())},
		{ID: "all-told", Name: "divided by the outcomes that are told apart", X: formula.Div(n, formula.Num(int64(len(tests[t].kind.outcomes))))},
	} {
		it.ToldSlip(&key, s.ID, s.Name, s.X)
	}
	part := it.Number(label, "average", def, "")
	part.Lines = 2
	out.Add(part, key)
	return bound
}

// bothWhole is the average of those who count the fault that may show either
// fully on both sides.
func (a *average) bothWhole() formula.Expr {
	var sum formula.Expr
	for _, x := range a.sizes() {
		if sum == nil {
			sum = formula.Square(x)
		} else {
			sum = formula.Add(sum, formula.Square(x))
		}
	}
	return formula.Div(sum, a.n)
}

// names lists the faults of a group.
func (it *item) names(g group, t int) string {
	var out []string
	for i := range it.list {
		s := &it.list[i]
		if !s.possible {
			continue
		}
		if o, ok := s.single(t); ok && o == g.outcome {
			out = append(out, plain(s.fault.Name))
		} else if !ok && (s.above[t] == g.outcome || s.below[t] == g.outcome) {
			out = append(out, plain(s.fault.Name)+" (some sizes)")
		}
	}
	return strings.Join(out, ", ")
}

// spread tells what each outcome leaves, in a line.
func (it *item) spread(groups []group, t int) string {
	var out []string
	for _, g := range groups {
		out = append(out, it.outcome(t, g.outcome)+": "+it.names(g, t))
	}
	return strings.Join(out, "; ")
}

// groupTable is the same as a table, with the symbols of the formula.
func (it *item) groupTable(groups []group, t int) *exercises.Table {
	out := &exercises.Table{Columns: columns("If the test shows", "these are left", "for certain, whatever their size")}
	for k, g := range groups {
		out.Rows = append(out.Rows, row(it.outcome(t, g.outcome), it.names(g, t),
			formula.SymShape(symGroup(k)).String()+" = "+formula.Int(int64(g.certain)).Text(0)))
	}
	return out
}
