package howsure

import (
	"fmt"
	"math"
	"slices"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The three verdicts, and the points of a check.
const (
	passes = "pass"
	open   = "open"
	fails  = "fail"
)

var (
	verdicts = []string{passes, open, fails}
	points   = []int{0, 25, 50, 75, 100}
)

func symPoint(i int) formula.Sym { return formula.Sym(fmt.Sprintf("e_%d", points[i])) }

// usual asks about gauge and checker together and judges five points.
func (p *plan) usual(pick *exercises.Picker, b *bench) (exercises.Item, error) {
	from, to := leastMissed, float64(mostMissed)
	if b.checker*1.1 < b.tolerance/leastMet && pick.Int(2) == 0 {
		from, to = leastMet, mostMet
	}
	g, err := b.within(pick, from, to, b.ranges)
	if err != nil {
		return exercises.Item{}, err
	}
	found, err := b.run(pick, b.all(g))
	if err != nil {
		return exercises.Item{}, err
	}
	w := p.start(b, "which", "the gauge")
	giveGauge(w, g)
	w.Given("checker", symChecker, p.plant.Checker.Accuracy, "%", places(p.plant.Checker.Accuracy))
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Input, % of range"}, {Head: "Error found", Unit: "% of span"}}}
	for i, x := range points {
		w.Env = w.Env.With(formula.Binding{Sym: symPoint(i), V: found[i], Unit: "%", Decimals: 2})
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: fmt.Sprint(x)}, {Text: found[i].Text(2)}}})
	}
	w.Item.Sheet.Figures = append(w.Item.Sheet.Figures, exercises.Figure{ID: "found", Caption: w.Text("found"), Table: t})

	askShare(w, symAccuracy, symGLow, symGHigh)
	askBoth(w, symAccuracy)
	askRatio(w, b, symBoth, b.all(g),
		exercises.Told{ID: "checker-left", Name: "checker forgotten", X: signal.UncertaintyRatio(symLower, symLimit, symGauge)},
		exercises.Told{ID: "added-ratio", Name: "uncertainties added", X: signal.UncertaintyRatio(symLower, symLimit, formula.Add(symGauge, symChecker))})
	askAccept(w)
	w.Item.Key.Env = w.Env
	return w.Item, judge(w, found)
}

// clear is how far a found error stays away from the limits, percent of span.
const clear = 0.004

// zone lists the sizes of error, in twentieths of a percent, at which a verdict
// is certain with the uncertainty u. The tolerance itself is left out.
func (b *bench) zone(verdict string, u float64) []int {
	low, high := 0.0, b.tolerance-u-clear
	switch verdict {
	case open:
		low, high = b.tolerance-u+clear, b.tolerance+u-clear
	case fails:
		low, high = b.tolerance+u+clear, b.tolerance+u+0.6
	}
	var out []int
	for n := 1; n <= 60; n++ {
		e := float64(n) / 20
		if e >= low && e <= high && math.Abs(e-b.tolerance) > clear {
			out = append(out, n)
		}
	}
	return out
}

// patterns are the ways in which verdicts can follow one another along a run
// whose errors grow: so many points pass, so many are open, the rest fails.
// Five open points are left out; with them the middle one would be open too
// often.
var patterns = func() (out [][]string) {
	for pass := range len(points) + 1 {
		for o := range len(points) - pass + 1 {
			if o == len(points) {
				continue
			}
			var run []string
			for i := range points {
				switch {
				case i < pass:
					run = append(run, passes)
				case i < pass+o:
					run = append(run, open)
				default:
					run = append(run, fails)
				}
			}
			out = append(out, run)
		}
	}
	return out
}()

// run draws five errors as a transmitter shows them that drifts along its
// range: all to one side, and growing or falling from end to end.
func (b *bench) run(pick *exercises.Picker, u float64) ([]formula.Value, error) {
	sign := int64(1 - 2*pick.Int(2))
	falling := pick.Int(2) == 0
	var sizes []int
	for _, verdict := range patterns[pick.Int(len(patterns))] {
		z := b.zone(verdict, u)
		if len(z) == 0 {
			return nil, rejectPoint
		}
		sizes = append(sizes, z[pick.Int(len(z))])
	}
	slices.Sort(sizes)
	if falling {
		slices.Reverse(sizes)
	}
	var out []formula.Value
	for _, n := range sizes {
		out = append(out, formula.Decimal(sign*int64(5*n), 2))
	}
	return out, nil
}

// rule leads from an error to a verdict: the first whose relation holds.
type rule func(e formula.Expr) []exercises.Decision

func when(a formula.Expr, op formula.RelOp, b formula.Expr, verdict string) exercises.Decision {
	return exercises.Decision{Rel: &formula.Relation{A: a, Op: op, B: b}, Option: verdict}
}

// reject is the limit beyond which a point certainly fails.
var reject = formula.Add(symLimit, symBoth)

// rightRule is the rule with the guard band to both sides of the tolerance.
func rightRule(e formula.Expr) []exercises.Decision {
	return []exercises.Decision{
		when(formula.Abs(e), formula.LessEq, symAccept, passes),
		when(formula.Abs(e), formula.Greater, reject, fails),
		{Option: open}}
}

// wrongRules are those that somebody may have in mind. Between them they lead
// to every wrong verdict on every point.
var wrongRules = []struct {
	id, name string
	rule     rule
}{
	{"guard-forgotten", "guard band forgotten", func(e formula.Expr) []exercises.Decision {
		return []exercises.Decision{when(formula.Abs(e), formula.LessEq, symLimit, passes), {Option: fails}}
	}},
	{"guard-outward", "guard band put outside the tolerance", func(e formula.Expr) []exercises.Decision {
		return []exercises.Decision{when(formula.Abs(e), formula.LessEq, reject, passes), {Option: fails}}
	}},
	{"fails-at-once", "failed as soon as it does not pass", func(e formula.Expr) []exercises.Decision {
		return []exercises.Decision{when(formula.Abs(e), formula.LessEq, symAccept, passes), {Option: fails}}
	}},
	{"never-fails", "nothing ever called failed", func(e formula.Expr) []exercises.Decision {
		return []exercises.Decision{when(formula.Abs(e), formula.LessEq, symAccept, passes), {Option: open}}
	}},
	{"sign-compared", "error compared with its sign", func(e formula.Expr) []exercises.Decision {
		return []exercises.Decision{when(e, formula.LessEq, symAccept, passes), when(e, formula.Greater, reject, fails), {Option: open}}
	}},
	{"verdicts-turned", "pass and fail turned round", func(e formula.Expr) []exercises.Decision {
		return []exercises.Decision{when(formula.Abs(e), formula.LessEq, symAccept, fails), when(formula.Abs(e), formula.Greater, reject, passes), {Option: open}}
	}},
	{"never-sure", "everything called open", func(formula.Expr) []exercises.Decision {
		return []exercises.Decision{{Option: open}}
	}},
}

// lead follows decisions to the first whose relation holds.
func lead(decide []exercises.Decision, env formula.Env) (string, error) {
	for _, d := range decide {
		if d.Rel != nil {
			if holds, err := d.Rel.Holds(env); err != nil {
				return "", exercises.RejectDraft
			} else if !holds {
				continue
			}
		}
		return d.Option, nil
	}
	return "", exercises.RejectDraft
}

// judge adds the part that judges the five points, one choice each.
func judge(w *exercises.Draft, found []formula.Value) error {
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	part := exercises.Part{Label: label, Prompt: w.Text("ask.points"), Marks: len(points)}
	key := exercises.PartKey{Label: label, Credit: []exercises.Credit{{Marks: len(points), For: w.Text("credit.points")}}}
	limit := formula.Definition{Sym: symReject, Expr: reject, Unit: "%", Decimals: 3}
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Input, % of range"}, {Head: "Size of the error", Unit: "% of span"}, {Head: "Verdict"}}}
	var right []string
	for i, x := range points {
		box := exercises.Box{ID: fmt.Sprintf("%s.%d", label, i+1), Kind: exercises.ChoiceBox, Name: w.Text("point", "x", fmt.Sprint(x), "error", formula.WithUnit(found[i].Text(2), "%")).Plain()}
		for _, v := range verdicts {
			box.Options = append(box.Options, exercises.Option{ID: v, Text: w.Text("option." + v)})
		}
		part.Boxes = append(part.Boxes, box)
		decide := rightRule(symPoint(i))
		v, err := lead(decide, w.Env)
		if err != nil {
			return err
		}
		right = append(right, v)
		key.Answers = append(key.Answers, exercises.Answer{Box: box.ID, Option: v, Env: w.Env, Decide: decide})
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: fmt.Sprint(x)}, {Text: found[i].Abs().Text(2)}, {Text: w.Text("option." + v).Plain()}}})
	}
	key.Working = []exercises.Step{{Text: w.Text("work.points")}, {Def: &limit, Env: w.Env}, {Table: t}}
	seen := [][]string{right}
	for _, r := range wrongRules {
		var his []string
		s := exercises.Slip{ID: r.id, Name: r.name, Feedback: w.Text("slip." + r.id)}
		for i, box := range part.Boxes {
			v, err := lead(r.rule(symPoint(i)), w.Env)
			if err != nil {
				return err
			}
			his = append(his, v)
			s.Answers = append(s.Answers, exercises.SlipAnswer{Box: box.ID, Option: v})
		}
		if slices.ContainsFunc(seen, func(o []string) bool { return slices.Equal(o, his) }) {
			continue
		}
		seen = append(seen, his)
		key.Slips = append(key.Slips, s)
	}
	w.Item.Add(part, key)
	return nil
}
