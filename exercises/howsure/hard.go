package howsure

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/calendar"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The parts that gauges of a cupboard play: one may be used, three may not,
// each for one reason of its own.
const (
	usable  = iota // covers the range, in date, 4 to 1 or better
	overdue        // would do, but its date has passed
	small          // does not cover the range
	coarse         // covers it, in date, and takes too much of the tolerance
	roles
)

// cupboard is four gauges in the order in which they are printed.
type cupboard struct {
	gauges [roles]gauge
	role   [roles]int // of each
	job    calendar.Day
}

// at is the place of the gauge that plays a part.
func (c *cupboard) at(role int) int {
	for i, r := range c.role {
		if r == role {
			return i
		}
	}
	return 0
}

func (c *cupboard) of(role int) *gauge { return &c.gauges[c.at(role)] }

// open draws a cupboard: now and then one of its gauges is the plant's own, in
// the part that its range, accuracy and date give it.
func (b *bench) open(pick *exercises.Picker, checkerDue string) (*cupboard, error) {
	c := &cupboard{}
	last, ok := calendar.Parse(checkerDue)
	if !ok {
		last = calendar.Day{Year: 2028, Month: 6, Day: 30}
	}
	c.job = last.MonthEnd(-pick.Between(2, 13))
	c.job.Day = pick.Between(3, 27)
	for i, r := range pick.Shuffle(roles) {
		c.role[i] = r
	}
	var filled [roles]bool
	if len(b.own) > 0 && pick.Int(4) == 0 {
		g := b.own[pick.Int(len(b.own))]
		if r, ok := b.part(g, c.job); ok {
			*c.of(r) = g
			filled[r] = true
		}
	}
	numbers := pick.Shuffle(80)
	for role := range roles {
		if filled[role] {
			continue
		}
		var g gauge
		var err error
		switch role {
		case coarse:
			// Its percent of its own span looks as good as any.
			g, err = b.made(pick, 1.5, mostMissed, b.wide)
		case small:
			g, err = b.made(pick, leastMet, mostMet, b.small)
		default:
			g, err = b.made(pick, leastMet, mostMet, b.ranges)
		}
		if err != nil {
			return nil, err
		}
		g.id = fmt.Sprintf("G-%d", 11+numbers[role])
		g.due = c.job.MonthEnd(pick.Between(0, 11)).String()
		if role == overdue {
			g.due = c.job.MonthEnd(-pick.Between(1, 5)).String()
		}
		*c.of(role) = g
	}
	return c, nil
}

// part says which part a gauge of the plant plays on the day of a job. One that
// has no single reason against it plays none.
func (b *bench) part(g gauge, job calendar.Day) (int, bool) {
	late, r := g.due < job.String(), b.ratio(g)
	switch fit := covers(g.rng, b.loop.Input); {
	case g.due == "":
	case !fit && !late:
		return small, r >= leastMet && b.share(g) >= leastShare
	case fit && late:
		return overdue, r >= leastMet && b.share(g) >= leastShare
	case fit && r >= leastMet && b.share(g) >= leastShare:
		return usable, true
	case fit && !late:
		return coarse, r <= mostMissed
	}
	return 0, false
}

// The cases of an error: which the tolerance alone and the guard band say.
const (
	bothPass = "both-pass"
	passOpen = "pass-open"
	failOpen = "fail-open"
	bothFail = "both-fail"
)

// hard asks for the gauge first, and goes on from there.
func (p *plan) hard(pick *exercises.Picker, b *bench) (exercises.Item, error) {
	// A certain verdict twice as often as each of the uncertain ones, so that
	// what goes into the record is each of three things equally often.
	state := []string{bothPass, passOpen, bothFail, bothPass, failOpen, bothFail}[pick.Int(6)]
	c, err := b.open(pick, p.plant.Checker.Due)
	if err != nil {
		return exercises.Item{}, err
	}
	u := b.all(*c.of(usable))
	found, err := b.one(pick, state, u)
	if err != nil {
		return exercises.Item{}, err
	}
	w := p.start(b, "which", "the gauge that may be used")
	w.Given("checker", symChecker, p.plant.Checker.Accuracy, "%", places(p.plant.Checker.Accuracy))
	if p.plant.Checker.Due != "" {
		w.Row(w.Text("given.checker-due").Plain(), p.plant.Checker.Due)
	}
	w.Row(w.Text("given.job").Plain(), c.job.String())
	w.Given("found", symFound, found, "%", 2)
	c.print(w)

	i := c.at(usable)
	if err := c.choose(w, b); err != nil {
		return exercises.Item{}, err
	}
	askShare(w, symAcc(i), symLow(i), symHigh(i), c.others(i)...)
	askBoth(w, symAcc(i))
	w.Ask("least", formula.Definition{Sym: symLeast, Expr: formula.Mul(formula.Num(4), symBoth), Unit: "%", Decimals: 3}, ofSpan, formula.Decimal(2, 3),
		exercises.Told{ID: "one-side-least", Name: "one side of the tolerance compared with both of the uncertainty", X: formula.Mul(two, symBoth)},
		exercises.Told{ID: "whole-width", Name: "whole width given for one side", X: formula.Mul(formula.Num(8), symBoth)},
		exercises.Told{ID: "checker-left-least", Name: "checker forgotten", X: formula.Mul(formula.Num(4), symGauge)},
		exercises.Told{ID: "quarter", Name: "a quarter of the tolerance taken", X: formula.Div(symLimit, formula.Num(4))},
		exercises.Told{ID: "added-least", Name: "uncertainties added", X: formula.Mul(formula.Num(4), formula.Add(symGauge, symChecker))})
	askAccept(w)
	w.Item.Key.Env = w.Env
	if err := twoRules(w); err != nil {
		return exercises.Item{}, err
	}
	return w.Item, record(w)
}

// one draws an error in the zone of a case.
func (b *bench) one(pick *exercises.Picker, state string, u float64) (formula.Value, error) {
	var list []int
	switch state {
	case bothPass:
		list = b.zone(passes, u)
	case bothFail:
		list = b.zone(fails, u)
	default:
		for _, n := range b.zone(open, u) {
			if (float64(n)/20 < b.tolerance) == (state == passOpen) {
				list = append(list, n)
			}
		}
	}
	if len(list) == 0 {
		return formula.Value{}, rejectPoint
	}
	n := int64(5 * list[pick.Int(len(list))])
	return formula.Decimal(n*int64(1-2*pick.Int(2)), 2), nil
}

func symAcc(i int) formula.Sym  { return formula.Sym(fmt.Sprintf("A_%d", i+1)) }
func symLow(i int) formula.Sym  { return formula.Sym(fmt.Sprintf("a_%d", i+1)) }
func symHigh(i int) formula.Sym { return formula.Sym(fmt.Sprintf("b_%d", i+1)) }
func gaugeID(i int) string      { return fmt.Sprintf("g%d", i+1) }

// print prints the cupboard and binds what stands in it.
func (c *cupboard) print(w *exercises.Draft) {
	t := &exercises.Table{Columns: []exercises.Column{{Head: "No."}, {Head: "Gauge"}, {Head: "Range"}, {Head: "Accuracy", Unit: "% of its own span"}, {Head: "Due"}}}
	k := 0 // one number of decimals for the whole column
	for _, g := range c.gauges {
		k = max(k, places(g.accuracy))
	}
	for i, g := range c.gauges {
		bind(w, symLow(i), symHigh(i), g.rng)
		w.Env = w.Env.With(formula.Binding{Sym: symAcc(i), V: g.accuracy, Unit: "%", Decimals: k})
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: fmt.Sprint(i + 1)}, {Text: kindOf(g.rng) + " " + g.id},
			{Text: g.rng.Text()}, {Text: g.accuracy.Text(k)}, {Text: g.due}}})
	}
	w.Item.Sheet.Figures = append(w.Item.Sheet.Figures, exercises.Figure{ID: "cupboard", Caption: w.Text("cupboard"), Table: t})
}

// all is the uncertainty of gauge i and the checker, from the printed figures.
func all(i int) formula.Expr {
	return signal.Combined(signal.Referred(symAcc(i), own(symLow(i), symHigh(i)), loopSpan), symChecker)
}

// choose asks which gauge may be used. It follows from the table, not from an
// earlier answer.
func (c *cupboard) choose(w *exercises.Draft, b *bench) error {
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	var options []string
	for i := range c.gauges {
		options = append(options, gaugeID(i))
	}
	part := w.Choice(label, "gauge", options...)
	key := w.ChoiceKey(label, gaugeID(c.at(usable)), exercises.Step{Text: w.Text("work.gauge", "job", c.job.String())})
	t := &exercises.Table{Columns: []exercises.Column{{Head: "No."}, {Head: "Range covers"}, {Head: "In date"}, {Head: "With the checker", Unit: "% of the loop's span"}, {Head: "TUR", Unit: ratioUnit}}}
	yes := map[bool]string{true: "yes", false: "no"}
	for i, g := range c.gauges {
		u := formula.Definition{Sym: symBoth, Expr: all(i), Unit: "%", Decimals: 3}
		r := formula.Definition{Sym: symRatio, Expr: signal.UncertaintyRatio(symLower, symLimit, all(i)), Unit: ratioUnit, Decimals: 1}
		for _, d := range []formula.Definition{u, r} {
			if _, err := d.Eval(w.Env).Rounded(d.Decimals); err != nil {
				return exercises.RejectDraft
			}
		}
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: fmt.Sprint(i + 1)}, {Text: yes[covers(g.rng, b.loop.Input)]},
			{Text: yes[g.due >= c.job.String()]}, {Text: u.Eval(w.Env).Text(3)}, {Text: r.Eval(w.Env).Text(1)}}})
	}
	ratio := formula.Relation{A: signal.UncertaintyRatio(symLower, symLimit, all(c.at(usable))), Op: formula.GreaterEq, B: four}
	if holds, err := ratio.Holds(w.Env); err != nil || !holds {
		return exercises.RejectDraft
	}
	key.Working = append(key.Working, exercises.Step{Table: t}, exercises.Step{Rel: &ratio, Env: w.Env})
	for _, s := range []struct {
		role     int
		id, name string
	}{
		{overdue, "overdue-taken", "due date not looked at"},
		{small, "small-taken", "range not looked at"},
		{coarse, "coarse-taken", "percent of its own span compared"},
	} {
		key.Slips = append(key.Slips, w.ChoiceSlip(label, s.id, s.name, gaugeID(c.at(s.role))))
	}
	w.Item.Add(part, key)
	return nil
}

// others are the shares of the gauges that may not be used, as slips of the
// next part: whoever took one of them goes on with it.
func (c *cupboard) others(right int) []exercises.Told {
	told := func(role int, id, name string) exercises.Told {
		i := c.at(role)
		return exercises.Told{ID: id, Name: name, X: signal.Referred(symAcc(i), own(symLow(i), symHigh(i)), loopSpan)}
	}
	return []exercises.Told{
		told(overdue, "overdue-share", "gone on with the gauge past its date"),
		told(small, "small-share", "gone on with the gauge that does not cover the range"),
		told(coarse, "coarse-share", "gone on with the gauge that takes too much"),
	}
}

// twoRules asks what the tolerance alone and the guard band say of the error.
func twoRules(w *exercises.Draft) error {
	size := formula.Abs(symFound)
	rel := func(a formula.Expr, op formula.RelOp, b formula.Expr) *formula.Relation {
		return &formula.Relation{A: a, Op: op, B: b}
	}
	return w.Choose("rules", []string{bothPass, passOpen, failOpen, bothFail},
		[]exercises.Decision{
			{Rel: rel(size, formula.LessEq, symAccept), Option: bothPass},
			{Rel: rel(size, formula.LessEq, symLimit), Option: passOpen},
			{Rel: rel(size, formula.LessEq, reject), Option: failOpen},
			{Option: bothFail}},
		exercises.Misled{ID: "guard-ignored", Name: "guard band left out of the second rule", Option: bothPass, Rel: rel(size, formula.LessEq, symLimit)},
		exercises.Misled{ID: "sign-pass", Name: "error compared with its sign", Option: bothPass, Rel: rel(symFound, formula.LessEq, symAccept)},
		exercises.Misled{ID: "guard-outside", Name: "guard band put outside the tolerance", Option: bothPass, Rel: rel(size, formula.LessEq, reject)},
		exercises.Misled{ID: "rules-turned", Name: "pass and fail turned round", Option: bothPass},
		exercises.Misled{ID: "always-open-pass", Name: "the guard band thought never to settle anything", Option: passOpen, Rel: rel(size, formula.LessEq, symLimit)},
		exercises.Misled{ID: "side-of-limit", Name: "the wrong side of the tolerance", Option: passOpen},
		exercises.Misled{ID: "always-open-fail", Name: "the guard band thought never to settle anything", Option: failOpen, Rel: rel(size, formula.Greater, symLimit)},
		exercises.Misled{ID: "accept-as-limit", Name: "acceptance limit taken for the tolerance", Option: failOpen},
		exercises.Misled{ID: "open-as-fail", Name: "what is open called failed", Option: bothFail, Rel: rel(size, formula.Greater, symAccept)},
		exercises.Misled{ID: "rules-turned-fail", Name: "pass and fail turned round", Option: bothFail})
}

// record asks what is written down and what follows.
func record(w *exercises.Draft) error {
	size := formula.Abs(symFound)
	return w.Choose("record", []string{"record-pass", "record-open", "record-fail"},
		[]exercises.Decision{
			{Rel: &formula.Relation{A: size, Op: formula.LessEq, B: symAccept}, Option: "record-pass"},
			{Rel: &formula.Relation{A: size, Op: formula.LessEq, B: reject}, Option: "record-open"},
			{Option: "record-fail"}},
		exercises.Misled{ID: "inside-is-enough", Name: "inside the tolerance taken to be enough", Option: "record-pass", Rel: &formula.Relation{A: size, Op: formula.LessEq, B: symLimit}},
		exercises.Misled{ID: "doubt-passes", Name: "passed in doubt", Option: "record-pass"},
		exercises.Misled{ID: "no-verdict-dared", Name: "a certain verdict left open", Option: "record-open"},
		exercises.Misled{ID: "doubt-fails", Name: "failed in doubt", Option: "record-fail", Rel: &formula.Relation{A: size, Op: formula.Greater, B: symAccept}},
		exercises.Misled{ID: "any-error-fails", Name: "any error called a failure", Option: "record-fail"})
}
