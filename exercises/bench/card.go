package bench

import (
	"fmt"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// benchCard is everything that instructor and assessor need beside the key.
func (b *item) benchCard() *exercises.Bench {
	c := &exercises.Bench{
		Loop:     b.loop.Tag + ", " + b.loop.Service,
		Cautions: append(nullbalance.Cautions(), "intrinsic-safety", "cell-outside", "back-in-service"),
		Rig:      b.rig(),
		Readings: []exercises.BenchTable{b.readyTable(), b.foundTable(), b.leftTable()},
		Stop:     b.Text("stop"),
	}
	for _, entry := range b.setup() {
		c.Setup = append(c.Setup, b.Text("setup."+entry, b.sizeWords()...))
	}
	for _, entry := range b.putBack() {
		c.PutBack = append(c.PutBack, b.Text("back."+entry))
	}
	for _, s := range b.watched() {
		c.Steps = append(c.Steps, exercises.BenchStep{Text: b.Text("step." + s.entry).Plain(), Critical: s.critical})
	}
	return c
}

// rig lists the parts of the loop on the bench, with what each may be off.
func (b *item) rig() exercises.Table {
	q := b.loop.Params
	t := exercises.Table{Columns: []exercises.Column{{Head: "Part"}, {Head: "On the bench"}, {Head: "May be off by"}}}
	row := func(part, what, off string) {
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: part}, {Text: what}, {Text: off}}})
	}
	ohms := func(x float64) string { return exercises.Quantity(rounded(x, 1), "Ω") }
	row("Supply", exercises.Quantity(exact(q.Supply.Volt), "V")+", "+ohms(q.Supply.InternalOhm)+" inside", exercises.Quantity(txPart, "V"))
	row("Line, out", ohms(q.Wiring.OutOhm)+"; a fixed resistor stands for the cable", "1 Ω")
	row("Line, back", ohms(q.Wiring.ReturnOhm)+"; a fixed resistor stands for the cable", "1 Ω")
	row("Transmitter", "two wires, 4 to 20 mA, limits "+exercises.Quantity(exact(q.Transmitter.LowMilliamp), "mA")+" and "+
		exercises.Quantity(exact(q.Transmitter.HighMilliamp), "mA")+", works from "+exercises.Quantity(exact(q.Transmitter.LiftOffVolt), "V")+" or less", "0.1 % of span")
	row("Receiver", ohms(q.Receiver.ShuntOhm)+", input "+exercises.Quantity(exact(q.Receiver.InputOhm/1e6), "MΩ")+" or more", "0.1 %")
	row("Checker", b.plant.Checker.ID+", in series at the transmitter's minus, 250 Ω", exercises.Quantity(b.plant.Checker.Accuracy, "%")+" of span")
	row("Voltmeter", "reads 1 mV on the receiver, 0.1 V on the transmitter; trigger released", "half its last place")
	if s := b.standard(); s != "" {
		row("Known input", s, "as its certificate says")
	} else {
		row("Known input", "a source for "+nullbalance.InputText(b.loop, 0)+" to "+nullbalance.InputText(b.loop, 100), "0.05 % of span")
	}
	return t
}

func rounded(x float64, decimals int) formula.Value {
	v, err := formula.Float(x).Rounded(decimals)
	if err != nil {
		n, _ := formula.Float(x + 1e-6).Round(decimals)
		return formula.Decimal(n, decimals)
	}
	return v
}

// sizeWords are the words of how much the fault is.
func (b *item) sizeWords() []string {
	low, top := 0, len(b.points)-1
	div := func(m *loop.Measured) string { return nullbalance.Words(b.face(), loop.Needle{Code: m.Needle.Code}) }
	percent := func(marks int) string {
		v := b.face().PerSmallMark.Mul(formula.Int(int64(marks)))
		s := exercises.Quantity(v, "%")
		if marks > 0 {
			s = "+" + s
		}
		return s
	}
	words := []string{"rest", b.restWords(), "zero", percent(b.zero), "span", percent(b.span), "atlow", div(&b.was[low]), "attop", div(&b.was[top])}
	tenths := formula.Decimal(int64(b.size10), 1)
	switch b.fault {
	case "corroded-terminal":
		words = append(words, "size", exercises.Quantity(tenths, "Ω"))
	case "moisture-across-transmitter":
		words = append(words, "size", exercises.Quantity(tenths, "kΩ"))
	case "drifted-resistor":
		words = append(words, "size", exercises.Quantity(formula.Int(250).Add(tenths), "Ω"))
	case "low-supply":
		words = append(words, "size", exercises.Quantity(exact(b.loop.Params.Supply.Volt).Sub(tenths), "V"))
	}
	if b.cell != 0 {
		words = append(words, "series", exercises.Quantity(formula.Int(int64(b.cell)), "Ω"), "cellvolt", exercises.Quantity(b.cellVolt(), "V"))
	}
	return append(words, "load", exercises.Quantity(exact(b.plant.Checker.Params.CellLoadMilliamp), "mA"),
		"good", exercises.Quantity(exact(b.plant.Checker.Params.GoodCellVolt), "V"))
}

// restWords say where the needle rests at first.
func (b *item) restWords() string {
	if b.rest == 0 {
		return "the centre"
	}
	return nullbalance.Words(b.face(), loop.Needle{Code: b.rest})
}

// faultWords tell the assessor in one line what was set up.
func (b *item) faultWords() string {
	var out []string
	size := ""
	for w := b.sizeWords(); len(w) > 1; w = w[2:] {
		if w[0] == "size" {
			size = w[1]
		}
	}
	switch b.fault {
	case "", weakCell:
	case "corroded-terminal":
		out = append(out, size+" in the line at the transmitter's plus")
	case "moisture-across-transmitter":
		out = append(out, size+" across the transmitter")
	case "drifted-resistor":
		out = append(out, size+" for the receiver's 250 Ω")
	case "low-supply":
		out = append(out, "supply at "+size)
	default:
		s := nullbalance.Set{Loop: b.loop, Checker: &b.plant.Checker, Place: loop.SeriesField}
		s.Zero, s.Span = float64(b.zero)*b.perMark(), float64(b.span)*b.perMark()
		out = append(out, nullbalance.FaultWords(s, b.face()))
	}
	if b.cell != 0 {
		out = append(out, "weak cell, "+exercises.Quantity(b.cellVolt(), "V")+" under load")
	}
	if out == nil {
		out = append(out, "nothing in the loop")
	}
	if b.rest != 0 {
		out = append(out, "mechanical zero off by "+b.restWords())
	}
	return strings.Join(out, "; ")
}

// setup lists what the instructor does, by the names of the texts.
func (b *item) setup() []string {
	out := []string{"place", "build", "sound"}
	switch b.fault {
	case "", weakCell:
		out = append(out, "nothing")
	case "low-zero", "high-zero":
		out = append(out, "zero")
	case "span-low", "span-high":
		out = append(out, "span")
	default:
		out = append(out, b.fault)
	}
	if b.cell != 0 {
		out = append(out, "cell")
	} else {
		out = append(out, "cell-good")
	}
	if b.rest != 0 {
		out = append(out, "rest")
	} else {
		out = append(out, "rest-centre")
	}
	return append(out, "measure", "hide")
}

// putBack lists what the instructor undoes.
func (b *item) putBack() []string {
	out := []string{"off"}
	switch {
	case b.level != "hard" && b.fault != "":
		out = append(out, "screws")
	case b.level == "hard" && b.fault != weakCell:
		out = append(out, b.fault)
	}
	if b.cell != 0 {
		out = append(out, "cell")
	}
	if b.rest != 0 {
		out = append(out, "rest")
	}
	return append(out, "prove", "card")
}

// readyTable is what the checker shows before anybody has made it ready.
func (b *item) readyTable() exercises.BenchTable {
	cell, _ := b.cellNeedle()
	words := nullbalance.Words(b.face(), cell)
	if cell.Stop == loop.NoStop {
		words += ", line at " + nullbalance.Words(b.face(), b.line())
	}
	rest := nullbalance.Words(b.face(), loop.Needle{Code: b.rest})
	t := exercises.Table{Columns: []exercises.Column{{Head: "Lever"}, {Head: "Needle"}}, Rows: []exercises.Row{
		{Cells: []exercises.Cell{{Text: "Rest, trigger released"}, {Text: rest}}},
		{Cells: []exercises.Cell{{Text: "Cell"}, {Text: words}}},
	}}
	return exercises.BenchTable{Caption: b.Text("table.ready"), Table: t, Within: b.Text("within.ready")}
}

// signedWords prints a needle's mark with its sign.
func (b *item) signedWords(m *loop.Measured) string {
	return nullbalance.Words(b.face(), loop.Needle{Code: m.Needle.Code})
}

func (b *item) foundTable() exercises.BenchTable {
	tol := b.tolerances()
	t := exercises.Table{Columns: []exercises.Column{{Head: "Input, % of range"}, {Head: "Input"}, {Head: "Needle"}, {Head: "Receiver"}, {Head: "Transmitter"}}}
	for i, x := range b.points {
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{
			{Text: formula.WithUnit(fmt.Sprint(x), "%")}, {Text: nullbalance.InputText(b.loop, x)}, {Text: b.signedWords(&b.was[i])},
			{Text: formula.WithUnit(stepped(b.was[i].Receiver, rxPlace).Text(rxPlace), "V")},
			{Text: formula.WithUnit(stepped(b.was[i].Transmitter, txPlace).Text(txPlace), "V")}}})
	}
	return exercises.BenchTable{Caption: b.Text("table.found"), Table: t, Within: b.Text("within.found",
		"needle", exercises.Quantity(exercises.Tolerance(tol.needle, needlePlace), "div"),
		"rx", exercises.Quantity(exercises.Tolerance(tol.rx, rxPlace), "V"), "tx", exercises.Quantity(exercises.Tolerance(tol.tx, txPlace), "V"))}
}

func (b *item) leftTable() exercises.BenchTable {
	tol := b.tolerances()
	t := exercises.Table{Columns: []exercises.Column{{Head: "Input, % of range"}, {Head: "Input"}, {Head: "Needle"}, {Head: "Receiver"}}}
	for i, x := range b.points {
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{
			{Text: formula.WithUnit(fmt.Sprint(x), "%")}, {Text: nullbalance.InputText(b.loop, x)}, {Text: b.signedWords(&b.is[i])},
			{Text: formula.WithUnit(stepped(b.is[i].Receiver, rxPlace).Text(rxPlace), "V")}}})
	}
	caption := "table.left-adjusted"
	switch {
	case b.level == "hard":
		caption = "table.left-mended"
	case !b.adjusts():
		caption = "table.left-alone"
	}
	return exercises.BenchTable{Caption: b.Text(caption), Table: t, Within: b.Text("within.left",
		"needle", exercises.Quantity(exercises.Tolerance(tol.needle, needlePlace), "div"), "rx", exercises.Quantity(exercises.Tolerance(tol.rx, rxPlace), "V"))}
}

// step is a step that is watched, by the name of its text.
type step struct {
	entry    string
	critical bool
}

// watched lists the steps in the order of the work. What keeps people safe, what
// makes readings worth anything and what cannot be made good afterwards is
// critical.
func (b *item) watched() []step {
	steps := []step{
		{"papers", false},
		{"operator", true},
		{"manual", true},
		{"zero-first", true},
		{"cell-first", true},
	}
	if b.cell != 0 {
		steps = append(steps, step{"cell-changed", true})
	}
	steps = append(steps, step{"series", false}, step{"points", false}, step{"trigger", false}, step{"voltmeter", false}, step{"found", true})
	switch {
	case b.level == "hard" && b.fault != weakCell:
		steps = append(steps, step{"one-test", false}, step{"said", false}, step{"mended", false})
	case b.level == "hard":
		steps = append(steps, step{"one-test", false}, step{"said-sound", false})
	case !b.adjusts():
		steps = append(steps, step{"screws-alone", false})
	case b.span != 0 && b.zero != 0:
		steps = append(steps, step{"zero-span", false}, step{"again", false})
	case b.span != 0:
		steps = append(steps, step{"span-only", false}, step{"again", false})
	default:
		steps = append(steps, step{"zero-only", false}, step{"again", false})
	}
	return append(steps, step{"left", false}, step{"leads-off", false}, step{"service", true}, step{"signed", false})
}
