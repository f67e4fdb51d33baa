package bench

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// item is an exercise that is being built.
type item struct {
	exercises.Composer
	*task
	env formula.Env
	it  exercises.Item
}

func (p *plan) build(t *task) (exercises.Item, error) {
	b := &item{task: t}
	b.Prompts = prompts
	mid, low, top := t.points[len(t.points)/2], t.points[0], t.points[len(t.points)-1]
	b.Words = []string{"tag", t.loop.Tag, "service", t.loop.Service,
		"input", nullbalance.InputText(t.loop, 0) + " to " + nullbalance.InputText(t.loop, 100),
		"tolerance", "± " + exercises.Quantity(t.loop.Tolerance, "%"), "adjust", exercises.Quantity(t.loop.AdjustAt, "%"),
		"mark", exercises.Quantity(t.face().PerSmallMark, "%"), "perdivision", exercises.Quantity(nullbalance.PerDivision(t.face()), "%"),
		"mid", fmt.Sprint(mid), "low", fmt.Sprint(low), "top", fmt.Sprint(top), "checker", t.plant.Checker.ID}
	b.env = t.expected()
	b.sheet(p.exercise.Title)
	b.it.Add(b.restPart(b.label()))
	if t.level == "hard" {
		b.it.Add(b.cellPart(b.label()))
	}
	b.it.Add(b.foundPart(b.label()))
	switch t.level {
	case "hard":
		b.it.Add(b.needleCurrents(b.label()))
		b.it.Add(b.resistance(b.label()))
		b.it.Add(b.lost(b.label()))
		if err := b.add(b.which(b.label())); err != nil {
			return exercises.Item{}, err
		}
	default:
		b.it.Add(b.voltCurrents(b.label()))
		if err := b.add(b.verdict(b.label())); err != nil {
			return exercises.Item{}, err
		}
		if err := b.add(b.first(b.label())); err != nil {
			return exercises.Item{}, err
		}
	}
	b.it.Add(b.leftPart(b.label()))
	b.it.Key.Env = b.env
	b.it.Key.Fault, b.it.Key.FaultName = b.faultWords(), t.fault
	b.it.Key.Bench = b.benchCard()
	return b.it, nil
}

func (b *item) label() string { return string(rune('a' + len(b.it.Sheet.Parts))) }

func (b *item) add(part exercises.Part, key exercises.PartKey, err error) error {
	if err != nil {
		return exercises.RejectDraft
	}
	b.it.Add(part, key)
	return nil
}

// sheet is what every draw of a loop has alike, whatever was put into it.
func (b *item) sheet(title string) {
	s := &b.it.Sheet
	s.Title, s.Intro = title, b.Text("intro."+b.level)
	s.Cautions = append(nullbalance.Cautions(), "settle-each-point", "back-in-service")
	table := &exercises.Table{Columns: []exercises.Column{{Head: "Given"}, {Head: "Figure"}}}
	row := func(name, text string) {
		table.Rows = append(table.Rows, exercises.Row{Cells: []exercises.Cell{{Text: name}, {Text: text}}})
	}
	row("Loop", b.loop.Tag+", "+b.loop.Service)
	row("Range of the transmitter", nullbalance.InputText(b.loop, 0)+" to "+nullbalance.InputText(b.loop, 100))
	row("Signal", "4 to 20 mA, direct")
	row("Tolerance", "± "+exercises.Quantity(b.loop.Tolerance, "%")+" of span")
	row("The site adjusts beyond", exercises.Quantity(b.loop.AdjustAt, "%")+" of span")
	row("Receiver", "250 Ω, 1 to 5 V")
	row("Supply, as rated", exercises.Quantity(exact(b.loop.Params.Supply.Volt), "V"))
	row("Line and supply's own, by the loop sheet", formula.WithUnit(rounded(line(b.loop), 1).Text(1), "Ω")+" altogether")
	row("Checker", b.plant.Checker.ID+", in series at the transmitter; its own resistor 250 Ω")
	if s := b.standard(); s != "" {
		row("Known input from", s)
	}
	s.Figures = []exercises.Figure{{ID: "givens", Caption: b.Text("givens"), Table: table}}
}

// standard names the plant's instrument for the known input: the first that
// reads the unit of the loop over its whole range.
func (b *item) standard() string {
	for _, s := range b.plant.Standards {
		if s.Range.Unit.Symbol == b.loop.Input.Unit.Symbol &&
			s.Range.Low.Sub(b.loop.Input.Low).Sign() <= 0 && s.Range.High.Sub(b.loop.Input.High).Sign() >= 0 {
			return s.Name
		}
	}
	return ""
}

// restPart asks where the needle rests at first.
func (b *item) restPart(label string) (exercises.Part, exercises.PartKey) {
	right := [3]string{"left", "centre", "right"}[1+sign(b.rest)]
	key := b.ChoiceKey(label, right, exercises.Step{Text: b.Text("work.rest", "rest", b.restWords())})
	for _, o := range []string{"left", "centre", "right"} {
		switch {
		case o == right:
		case right == "centre":
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "seen-aslant", "needle looked at from the side", o))
		case o == "centre":
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "rest-not-looked-at", "mechanical zero not looked at", o))
		default:
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "rest-sides-swapped", "left and right swapped", o))
		}
	}
	return b.Choice(label, "rest", "left", "centre", "right"), key
}

func sign(n int) int {
	switch {
	case n < 0:
		return -1
	case n > 0:
		return 1
	}
	return 0
}

// cellPart asks for the cell check as it was at first.
func (b *item) cellPart(label string) (exercises.Part, exercises.PartKey) {
	right, wrong, slip, name := "reaches", "short", "cell-misread", "a good cell read as weak"
	if b.cell != 0 {
		right, wrong, slip, name = wrong, right, "cell-not-looked-at", "cell not checked"
	}
	n, _ := b.cellNeedle()
	key := b.ChoiceKey(label, right, exercises.Step{Text: b.Text("work.cell",
		"cell", nullbalance.Words(b.face(), n), "line", nullbalance.Words(b.face(), b.line()))})
	key.Slips = []exercises.Slip{b.ChoiceSlip(label, slip, name, wrong)}
	return b.Choice(label, "cell", "reaches", "short"), key
}

// foundPart is the table as found.
func (b *item) foundPart(label string) (exercises.Part, exercises.PartKey) {
	tol := b.tolerances()
	columns := []column{
		{"Needle", "needle", "div", "n", "N", needlePlace, tol.needle},
		{"Receiver", "receiver volts", "V", "u", "U", rxPlace, tol.rx},
		{"Transmitter", "transmitter volts", "V", "v", "V", txPlace, tol.tx},
	}
	before := b.env
	part, key := b.grid(label, "found", columns)
	key.Working = []exercises.Step{{Text: b.Text("work.found")}}
	for i := range columns {
		key.Working = append(key.Working, exercises.Step{Def: &key.Answers[i].Def, Env: before})
	}
	key.Why = b.Text("tolerance.found", b.toleranceWords(key)...)
	key.Credit = []exercises.Credit{{Marks: 1, For: b.Text("credit.needle")}, {Marks: 1, For: b.Text("credit.rx")}, {Marks: 1, For: b.Text("credit.tx")}}
	b.foundSlips(&key)
	return part, key
}

func (b *item) toleranceWords(key exercises.PartKey) []string {
	words := []string{"needle", exercises.Quantity(key.Answers[0].Tolerance, "div"), "rx", exercises.Quantity(key.Answers[1].Tolerance, "V")}
	if len(key.Answers) > 2 {
		words = append(words, "tx", exercises.Quantity(key.Answers[2].Tolerance, "V"))
	}
	return words
}

// leftPart is the table as left.
func (b *item) leftPart(label string) (exercises.Part, exercises.PartKey) {
	tol := b.tolerances()
	part, key := b.grid(label, b.byLevel("left"), []column{
		{"Needle", "needle as left", "div", "a", "", needlePlace, tol.needle},
		{"Receiver", "receiver volts as left", "V", "b", "", rxPlace, tol.rx},
	})
	work := "work.left-adjusted"
	switch {
	case b.level == "hard":
		work = "work.left-mended"
	case !b.adjusts():
		work = "work.left-alone"
	}
	key.Working = []exercises.Step{{Text: b.Text(work)}, {Def: &key.Answers[0].Def, Env: b.env}, {Def: &key.Answers[1].Def, Env: b.env}}
	key.Why = b.Text("tolerance.left", b.toleranceWords(key)...)
	key.Credit = []exercises.Credit{{Marks: 1, For: b.Text("credit.needle")}, {Marks: 1, For: b.Text("credit.rx")}}
	b.leftSlips(&key)
	return part, key
}

// byLevel names the text that fits the hard level, where nothing is adjusted,
// or the others.
func (b *item) byLevel(entry string) string {
	if b.level == "hard" {
		return entry + "-hard"
	}
	return entry
}

// line is the line of a good cell.
func (b *item) line() loop.Needle { return loop.Needle{Code: b.face().CellLineSmall} }

// mostOff is the largest error as found, percent of span, whatever its sign.
func (b *item) mostOff() formula.Expr {
	var sizes []formula.Expr
	for _, x := range b.points {
		sizes = append(sizes, formula.Abs(symAt("N", x)))
	}
	return formula.Mul(formula.Max(sizes...), symPer)
}

// verdict asks whether the transmitter is within its tolerance as found.
func (b *item) verdict(label string) (exercises.Part, exercises.PartKey, error) {
	within := formula.Relation{A: b.mostOff(), Op: formula.LessEq, B: symLimit}
	holds, err := within.Holds(b.env)
	right, wrong := "within", "outside"
	shown := within
	if !holds {
		right, wrong = wrong, right
		shown.Op = formula.Greater
	}
	key := b.ChoiceKey(label, right, exercises.Step{Text: b.Text("work.verdict")}, exercises.Step{Rel: &shown, Env: b.env})
	key.Answers[0].Env = b.env
	key.Answers[0].Decide = []exercises.Decision{{Rel: &within, Option: "within"}, {Option: "outside"}}
	var signed []formula.Expr
	for _, x := range b.points {
		signed = append(signed, symAt("N", x))
	}
	middle := symAt("N", b.points[len(b.points)/2])
	for _, w := range []struct {
		id, name string
		x        formula.Expr
	}{
		{"sign-compared", "errors compared with their signs", formula.Mul(formula.Max(signed...), symPer)},
		{"middle-compared", "only the middle compared", formula.Mul(formula.Abs(middle), symPer)},
		{"divisions-compared", "divisions compared with percent", formula.Div(b.mostOff(), symPer)},
	} {
		seems, err := (formula.Relation{A: w.x, Op: formula.LessEq, B: symLimit}).Holds(b.env)
		if err == nil && seems == (wrong == "within") {
			key.Slips = []exercises.Slip{b.ChoiceSlip(label, w.id, w.name, wrong)}
			break
		}
	}
	if len(key.Slips) == 0 {
		key.Slips = []exercises.Slip{b.ChoiceSlip(label, "verdict-turned", "verdict turned round", wrong)}
	}
	return b.Choice(label, "verdict", "within", "outside"), key, err
}

// first asks for the first step of adjustment, if any.
func (b *item) first(label string) (exercises.Part, exercises.PartKey, error) {
	options := []string{"leave", "raise-zero", "lower-zero"}
	low, top := symAt("N", b.points[0]), symAt("N", b.points[len(b.points)-1])
	compare := func(a formula.Expr, op formula.RelOp, c formula.Expr) *formula.Relation {
		return &formula.Relation{A: a, Op: op, B: c}
	}
	// A needle that a careful reader cannot tell from the centre: within a mark
	// and a half.
	near := formula.Lit{V: nullbalance.Divisions(b.face(), 3).Div(formula.Int(2)), Unit: "div"}
	decide := []exercises.Decision{
		{Rel: compare(b.mostOff(), formula.LessEq, symAdjust), Option: "leave"},
		{Rel: compare(low, formula.Less, formula.Neg(near)), Option: "raise-zero"},
		{Rel: compare(low, formula.Greater, near), Option: "lower-zero"},
	}
	if b.level != "easy" {
		options = append(options, "raise-span", "lower-span")
		decide = append(decide,
			exercises.Decision{Rel: compare(top, formula.Less, formula.Num(0)), Option: "raise-span"},
			exercises.Decision{Rel: compare(top, formula.Greater, formula.Num(0)), Option: "lower-span"})
	}
	right := ""
	var steps []exercises.Step
	for _, d := range decide {
		holds, err := d.Rel.Holds(b.env)
		if err != nil {
			return exercises.Part{}, exercises.PartKey{}, err
		}
		if holds {
			right = d.Option
			steps = []exercises.Step{{Text: b.Text("work.first-" + right)}, {Rel: d.Rel, Env: b.env}}
			break
		}
	}
	if right == "" {
		return exercises.Part{}, exercises.PartKey{}, exercises.RejectDraft
	}
	key := b.ChoiceKey(label, right, steps...)
	key.Answers[0].Env, key.Answers[0].Decide = b.env, decide
	turned := map[string]string{"raise-zero": "lower-zero", "lower-zero": "raise-zero", "raise-span": "lower-span", "lower-span": "raise-span"}
	for _, o := range options {
		switch {
		case o == right:
		case right == "leave":
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "adjusted-inside", "adjusted inside the limit", o))
		case o == "leave":
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "left-alone", "left alone beyond the limit", o))
		case o == turned[right]:
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "wrong-way", "right screw, wrong way", o))
		case right == "raise-zero" || right == "lower-zero":
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "span-first", "span before zero", o))
		default:
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "zero-by-habit", "zero turned though it is right", o))
		}
	}
	return b.Choice(label, "first", options...), key, nil
}
