package writeup

import (
	"fmt"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// Symbols of the last parts: b and c the days of the month of the last good
// check and of this one, L and M the days of the first month and of those
// between, n the days counted, F the flow's span, Q what was counted wrongly.
const (
	symFirst    formula.Sym = "b"
	symLength   formula.Sym = "L"
	symBetween  formula.Sym = "M"
	symLast     formula.Sym = "c"
	symMonths   formula.Sym = "m"
	symOrder    formula.Sym = "o"
	symDue      formula.Sym = "u"
	symDays     formula.Sym = "n"
	symFlow     formula.Sym = "F"
	symQuantity formula.Sym = "Q"
)

func (b *build) foundRun() run {
	return run{name: "found", errors: b.found, reading: symFound, error: symError, first: 1, n: 5}
}

func (b *build) easy() error {
	b.askErrors(b.foundRun())
	b.askWorst()
	if err := b.askVerdict([]string{inside, outside}); err != nil {
		return err
	}
	return b.finish(b.askTurn())
}

func (b *build) usual() error {
	found, left := b.foundRun(), run{name: "left", errors: b.left, reading: symAsLeft, error: symErrorLeft, first: 6, n: 5}
	found.instead, left.instead = left.reading, found.reading
	b.askErrors(found, left)
	b.askWorst()
	b.askWorstLeft()
	if err := b.askCall(); err != nil {
		return err
	}
	b.askEntry()
	b.askRemark()
	return b.finish(nil)
}

func (b *build) hard() error {
	up, down := b.foundRun(), run{name: "falling", errors: b.falling, reading: symFalling, error: symDown, first: 6, n: 4}
	up.name = "rising"
	up.instead, down.instead = symAsLeft, symAsLeft
	b.askErrors(up, down)
	b.askWorst()
	b.askHysteresis()
	if err := b.askVerdict([]string{inside, outside, void}); err != nil {
		return err
	}
	b.askDays()
	b.askQuantity()
	b.askRemark()
	return b.finish(nil)
}

func (b *build) finish(err error) error {
	b.Item.Key.Env = b.Env
	return err
}

// atMost is the relation that a size is at most a limit.
func atMost(size, limit formula.Expr) *formula.Relation {
	return &formula.Relation{A: size, Op: formula.LessEq, B: limit}
}

func beyond(size, limit formula.Expr) *formula.Relation {
	return &formula.Relation{A: size, Op: formula.Greater, B: limit}
}

// askVerdict asks for the verdict as found.
func (b *build) askVerdict(options []string) error {
	if b.verdict == void {
		return b.askVoid(options)
	}
	e := b.foundErrors()
	slips := []exercises.Misled{
		{ID: "verdict-signed", Name: "errors compared with their signs", Option: inside, Rel: atMost(formula.Max(e...), symLimit)},
		{ID: "verdict-mean", Name: "mean of the errors compared", Option: inside, Rel: atMost(formula.Abs(mean(e)), symLimit)},
		{ID: "verdict-limit", Name: "site's limit taken for the tolerance", Option: outside, Rel: beyond(symWorst, symAdjust)},
		{ID: "verdict-turned", Name: "verdict turned round", Option: inside},
		{ID: "verdict-turned", Name: "verdict turned round", Option: outside},
		{ID: "due-misread", Name: "due date held against the wrong day", Option: void},
	}
	return b.Choose("verdict", options, []exercises.Decision{{Rel: atMost(symWorst, symLimit), Option: inside}, {Option: outside}}, slips...)
}

// askVoid is the verdict where an instrument was past its due date: no figure
// decides, so no earlier answer is followed.
func (b *build) askVoid(options []string) error {
	label := string(rune('a' + len(b.Item.Sheet.Parts)))
	key := b.ChoiceKey(label, void, exercises.Step{Text: b.Text("work.void", "due", b.devices[0].due.String(), "name", b.devices[0].name)})
	byFigures := inside
	if b.call == report {
		byFigures = outside
	}
	key.Slips = append(key.Slips, b.ChoiceSlip(label, "due-not-checked", "due date not looked at", byFigures))
	other := map[string]string{inside: outside, outside: inside}[byFigures]
	key.Slips = append(key.Slips, b.ChoiceSlip(label, "due-and-verdict", "due date not looked at and verdict turned round", other))
	b.Item.Add(b.Choice(label, "verdict", options...), key)
	return nil
}

// askTurn asks whether the readings as found called for an adjustment.
func (b *build) askTurn() error {
	e := b.foundErrors()
	return b.Choose("call", []string{string(leave), string(turn)},
		[]exercises.Decision{{Rel: atMost(symWorst, symAdjust), Option: string(leave)}, {Option: string(turn)}},
		exercises.Misled{ID: "tolerance-for-limit", Name: "compared with the tolerance alone", Option: string(leave), Rel: atMost(symWorst, symLimit)},
		exercises.Misled{ID: "call-signed", Name: "errors compared with their signs", Option: string(leave), Rel: atMost(formula.Max(e...), symAdjust)},
		exercises.Misled{ID: "left-alone", Name: "left alone what has to be adjusted", Option: string(leave)},
		exercises.Misled{ID: "needless", Name: "adjusted what the site leaves alone", Option: string(turn)})
}

// askCall asks what the readings as found call for.
func (b *build) askCall() error {
	return b.Choose("call", []string{string(leave), string(adjust), string(report)},
		[]exercises.Decision{
			{Rel: atMost(symWorst, symAdjust), Option: string(leave)},
			{Rel: atMost(symWorst, symLimit), Option: string(adjust)},
			{Option: string(report)}},
		exercises.Misled{ID: "tolerance-for-limit", Name: "compared with the tolerance alone", Option: string(leave), Rel: atMost(symWorst, symLimit)},
		exercises.Misled{ID: "left-alone", Name: "left alone what has to be adjusted", Option: string(leave)},
		exercises.Misled{ID: "needless", Name: "adjusted what the site leaves alone", Option: string(adjust), Rel: atMost(symWorst, symAdjust)},
		exercises.Misled{ID: "report-forgotten", Name: "report back forgotten", Option: string(adjust)},
		exercises.Misled{ID: "reported-inside", Name: "reported what was inside its tolerance", Option: string(report)})
}

// askEntry asks which entry of the record cannot stand.
func (b *build) askEntry() {
	label := string(rune('a' + len(b.Item.Sheet.Parts)))
	key := b.ChoiceKey(label, b.entry, exercises.Step{Text: b.Text("work.entry." + b.entry)})
	for _, e := range entries {
		if e != b.entry {
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "saw-"+e, "saw in the record: "+b.Text("option."+e).Plain(), e))
		}
	}
	b.Item.Add(b.Choice(label, "entry", entries...), key)
}

// askHysteresis asks for the greatest difference between the two runs.
func (b *build) askHysteresis() {
	var diffs, signed []formula.Expr
	for i := range points[:4] {
		diffs = append(diffs, formula.Abs(formula.Sub(symDown(i), symError(i))))
		signed = append(signed, formula.Add(symDown(i), symError(i)))
	}
	most := formula.Max(diffs...)
	twice := half.Add(half) // two written errors go into it
	b.Ask("hysteresis", formula.Definition{Sym: symHysteresis, Expr: most, Unit: "%", Decimals: errorPlaces}, "of span", twice,
		exercises.Told{ID: "hysteresis-milliamps", Name: "difference given in mA", X: inMilliamps(most)},
		exercises.Told{ID: "hysteresis-halved", Name: "difference halved", X: formula.Div(most, formula.Num(2))},
		exercises.Told{ID: "worst-given", Name: "largest error given for the hysteresis", X: symWorst},
		exercises.Told{ID: "errors-added", Name: "errors of the two runs added", X: largest(signed)},
		exercises.Told{ID: "all-spread", Name: "highest and lowest error of all points compared", X: formula.Sub(formula.Max(b.foundErrors()...), formula.Min(b.foundErrors()...))})
}

// askDays asks for the days since the last good check.
func (b *build) askDays() {
	c := count(b.lastGood, b.done)
	bind := func(sym formula.Sym, n int) {
		b.Env = b.Env.With(formula.Binding{Sym: sym, V: formula.Int(int64(n)), Unit: "d"})
	}
	bind(symFirst, c.first)
	bind(symLength, c.length)
	bind(symBetween, c.between)
	bind(symLast, c.last)
	b.Env = b.Env.With(formula.Binding{Sym: symMonths, V: formula.Int(int64(c.months))})
	bind(symOrder, b.done.Number()-b.order.Number())
	bind(symDue, b.devices[0].due.Number()-b.done.Number())
	rest := formula.Sub(symLength, symFirst)
	days := formula.Add(formula.Add(rest, symBetween), symLast)
	b.Ask("days", formula.Definition{Sym: symDays, Expr: days, Unit: "d"}, "", formula.Int(0),
		exercises.Told{ID: "from-order", Name: "counted from the work order", X: symOrder},
		exercises.Told{ID: "to-order", Name: "counted to the work order", X: formula.Sub(days, symOrder)},
		exercises.Told{ID: "to-due", Name: "counted to the due date", X: formula.Add(days, symDue)},
		exercises.Told{ID: "first-month-whole", Name: "first month counted whole", X: formula.Add(formula.Add(symLength, symBetween), symLast)},
		exercises.Told{ID: "between-forgotten", Name: "months between forgotten", X: formula.Add(rest, symLast)},
		exercises.Told{ID: "thirty-each", Name: "every month taken as 30 days", X: formula.Add(
			formula.Mul(symMonths, formula.Lit{V: formula.Int(30), Unit: "d"}), formula.Sub(symLast, symFirst))})
}

// askQuantity asks how much was counted wrongly since the last good check.
func (b *build) askQuantity() {
	flow := b.Shows.Span()
	k, _ := flow.Places(3)
	unit := strings.TrimSuffix(b.Shows.Unit.Symbol, perHour)
	b.Env = b.Env.With(formula.Binding{Sym: symFlow, V: flow, Unit: b.Shows.Unit.Symbol, Decimals: k})
	decimals := 0
	if flow.Sub(formula.Int(50)).Sign() < 0 {
		decimals = 1
	}
	hours := formula.Lit{V: formula.Int(24), Unit: "h/d"}
	up, down := symError(b.at), symDown(b.at)
	middle := formula.Div(formula.Add(up, down), formula.Num(2))
	total := func(percent formula.Expr) formula.Expr {
		return formula.Mul(formula.Mul(formula.Mul(formula.Div(percent, formula.Percent100()), symFlow), symDays), hours)
	}
	// Half the last place of an error, over the whole time.
	days := formula.Int(int64(b.done.Number() - b.lastGood.Number()))
	off := half.Div(formula.Int(100)).Mul(flow).Mul(days).Mul(formula.Int(24))
	x := formula.Lit{V: formula.Int(int64(points[b.at])), Unit: "%"}
	b.Words = append(b.Words, "x", fmt.Sprint(points[b.at]))
	b.Ask("quantity", formula.Definition{Sym: symQuantity, Expr: total(middle), Unit: unit, Decimals: decimals}, "", off,
		exercises.Told{ID: "quantity-sign", Name: "over and under swapped", X: total(formula.Neg(middle))},
		exercises.Told{ID: "hours-forgotten", Name: "a day taken for an hour", X: formula.Mul(formula.Mul(formula.Div(middle, formula.Percent100()), symFlow), symDays)},
		exercises.Told{ID: "worst-counted", Name: "largest error counted", X: total(symWorst)},
		exercises.Told{ID: "of-flow", Name: "error of span taken of the flow that ran", X: total(formula.Mul(middle, formula.Div(x, formula.Percent100())))},
		exercises.Told{ID: "left-counted", Name: "error as left counted", X: total(ofSpan(symAsLeft(b.at), symRight(b.at), span))},
		exercises.Told{ID: "not-halved", Name: "errors of both runs added", X: total(formula.Add(up, down))},
		exercises.Told{ID: "rising-alone", Name: "rising run alone counted", X: total(up)},
		exercises.Told{ID: "falling-alone", Name: "falling run alone counted", X: total(down)})
}

// askRemark asks for the sentence for the record; a person judges it.
func (b *build) askRemark() {
	label := string(rune('a' + len(b.Item.Sheet.Parts)))
	name := b.level
	text := func(sym formula.Sym, unit string) string {
		v, _ := b.Env.Lookup(sym)
		return formula.WithUnit(v.V.Text(v.Decimals), unit)
	}
	words := []string{"worst", text(symWorst, "%"), "by", b.by}
	model := ""
	switch {
	case b.level == "usual":
		words = append(words, "left", text(symWorstLeft, "%"))
		model = string(b.call)
		if b.ends {
			model += "-out"
		}
	default:
		words = append(words, "days", text(symDays, "days"), "quantity", text(symQuantity, strings.TrimSuffix(b.Shows.Unit.Symbol, perHour)),
			"name", b.devices[0].name, "due", b.devices[0].due.String())
		model = b.verdict
	}
	key := exercises.PartKey{Label: label, Answers: []exercises.Answer{{Box: label}},
		Working: []exercises.Step{{Text: b.Text("work.remark-"+name+"."+model, words...)}},
		Credit:  []exercises.Credit{{Marks: 1, For: b.Text("credit.remark-found")}, {Marks: 1, For: b.Text("credit.remark-follows-" + name)}}}
	b.Item.Add(exercises.Part{Label: label, Prompt: b.Text("ask.remark-" + name), Marks: 2, Lines: 3,
		Boxes: []exercises.Box{{ID: label, Kind: exercises.JudgedBox, Name: b.Text("box.remark").Plain()}}}, key)
}
