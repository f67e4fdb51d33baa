package writeup

import (
	"fmt"
	"slices"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/calendar"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
)

// build puts one exercise together.
type build struct {
	exercises.Draft
	*check
	level string
}

func (p *plan) start(c check) *build {
	b := &build{check: &c, level: p.exercise.Level}
	b.Prompts = prompts
	b.Words = []string{
		"tag", c.Tag, "service", c.Service,
		"tolerance", "± " + exercises.Quantity(c.Tolerance, "%"), "adjust", exercises.Quantity(c.AdjustAt, "%"),
		"good", c.lastGood.String(), "done", c.done.String(),
	}
	s := &b.Item.Sheet
	s.Title, s.Intro = p.exercise.Title, b.Text("intro."+b.level)
	s.Cautions = []string{"practice-figures", "as-found-first"}
	b.bindReadings()
	b.notebook()
	if b.level == "usual" {
		b.record()
	}
	b.Item.Key.Fault = b.fault()
	b.Item.Key.Chart = b.chart()
	return b
}

// fault says what stands in the record, for the assessor.
func (b *build) fault() string {
	words := map[call]string{leave: "inside the site's limit", adjust: "inside the tolerance, beyond the site's limit", report: "outside the tolerance"}[b.call] + " as found"
	if b.entry != "" {
		words += "; in the record: " + b.Text("option."+b.entry).Plain()
	}
	if b.verdict == void {
		words += "; an instrument past its due date"
	}
	return words
}

// readingOf is a reading that is off by so many thousandths of a mA.
func (c *check) readingOf(i, thousandths int) formula.Value {
	return c.rightAt(i).Add(formula.Decimal(int64(thousandths), 3))
}

// rightAt is the right output at a point, mA.
func (c *check) rightAt(i int) formula.Value {
	return formula.Int(4).Add(formula.Ratio(int64(16*nullbalance.Ideal(c.Loop, points[i])), 100))
}

// inputAt prints the input at a point. With the root in the transmitter it goes
// by the square, so that the outputs are a quarter of the span apart.
func (c *check) inputAt(i int) string {
	if c.Root != scenarios.RootTransmitter {
		return nullbalance.InputText(c.Loop, points[i])
	}
	v := c.Input.Low.Add(c.Input.Span().Mul(formula.Ratio(int64(points[i]*points[i]), 10000)))
	k, _ := v.Places(6)
	return formula.WithUnit(v.Text(k), c.Input.Unit.Symbol)
}

func (b *build) bindReadings() {
	var env formula.Env
	for i := range points {
		add := func(sym formula.Sym, v formula.Value) {
			env = append(env, formula.Binding{Sym: sym, V: v, Unit: "mA", Decimals: 3})
		}
		add(symRight(i), b.rightAt(i))
		add(symFound(i), b.readingOf(i, b.found[i]))
		if b.level != "easy" {
			add(symAsLeft(i), b.readingOf(i, b.left[i]))
		}
		if b.level == "hard" {
			add(symFalling(i), b.readingOf(i, b.falling[i]))
		}
	}
	limit := func(sym formula.Sym, v formula.Value) {
		k, _ := v.Places(3)
		env = append(env, formula.Binding{Sym: sym, V: v, Unit: "%", Decimals: k})
	}
	limit(symLimit, b.Tolerance)
	limit(symAdjust, b.AdjustAt)
	b.Env = env
}

// line is one line of the notebook or the record.
type line struct{ name, text string }

// entries prints lines as a figure.
func (b *build) entries(id string, list []line) {
	t := &exercises.Table{Columns: []exercises.Column{{Head: b.Text("head." + id).Plain()}, {Head: b.Text("head.entry").Plain()}}}
	for _, l := range list {
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: b.Text("line." + l.name).Plain()}, {Text: l.text}}})
	}
	b.Item.Sheet.Figures = append(b.Item.Sheet.Figures, exercises.Figure{ID: id, Caption: b.Text("caption." + id), Table: t})
}

// on and number print a day and a number so that no cell begins with a figure:
// such cells would be set as figures of a column, to the right.
func (b *build) on(d calendar.Day) string { return b.Text("line.on", "day", d.String()).Plain() }
func (b *build) number(n int) string      { return b.Text("line.number", "number", fmt.Sprint(n)).Plain() }

// instrument is a device with its serial number and due date.
func (b *build) instrument(i int) string {
	return b.Text("line.instrument", "name", b.devices[i].name, "serial", fmt.Sprint(b.serials[i]), "due", b.devices[i].due.String()).Plain()
}

// notebook prints the page, its lines in no order.
func (b *build) notebook() {
	list := []line{
		{"order", b.Text("line.order-of", "number", fmt.Sprint(b.orderNo), "day", b.order.String()).Plain()},
		{"done", b.on(b.done)},
		{"good", b.on(b.lastGood)},
		{"serial", b.number(b.tag)},
		{"by", b.by},
	}
	for i, d := range b.devices {
		name := "reads"
		if d.load {
			name = "gives"
		}
		list = append(list, line{name, b.instrument(i)})
	}
	if b.level == "hard" {
		list = append(list, line{"ran", b.Text("line.ran-at", "x", fmt.Sprint(points[b.at])).Plain()})
	}
	var mixed []line
	for _, i := range b.check.lines {
		if i < len(list) {
			mixed = append(mixed, list[i])
		}
	}
	if b.level == "hard" {
		mixed = append(mixed, line{"flow", b.Text("line.flow-from", "range", b.Shows.Text()).Plain()})
	}
	b.entries("notebook", mixed)
}

// correction is a reading as left that was struck through in the record.
func (b *build) correction(by string) string {
	i := b.struck
	mA := func(off int) string { return formula.WithUnit(b.readingOf(i, off).Text(3), "mA") }
	return b.Text("line.struck", "input", b.inputAt(i), "wrong", mA(b.left[i]+b.wrote), "right", mA(b.left[i]), "by", by).Plain()
}

// row prints readings from the first point to the last.
func (b *build) row(errors [5]int, unit bool) string {
	var out []string
	for i := range points {
		text := b.readingOf(i, errors[i]).Text(3)
		if unit {
			text = formula.WithUnit(text, "mA")
		}
		out = append(out, text)
	}
	return b.Text("line.readings", "low", b.inputAt(0), "high", b.inputAt(4), "list", strings.Join(out, ", ")).Plain()
}

// record prints what a colleague made of the page, with one entry that cannot
// stand.
func (b *build) record() {
	is := func(entry string) bool { return b.entry == entry }
	empty := b.Text("line.empty").Plain()
	found := b.row(b.found, !is(noUnit))
	if is(overwritten) {
		found = b.row(b.left, true)
	}
	serial := b.number(b.serials[0])
	if is(noSerial) {
		serial = empty
	}
	initials := b.Text("line.initials", "by", b.by).Plain()
	if is(noInitials) {
		initials = b.Text("line.no-initials").Plain()
	}
	verdict := inside
	if b.ends != is(badVerdict) {
		verdict = outside
	}
	list := []line{
		{"loop", b.Tag + ", " + b.Service},
		{"serial", b.number(b.tag)},
		{"done", b.on(b.done)},
		{"standard", b.devices[0].name},
		{"standard-serial", serial},
		{"standard-due", b.on(b.devices[0].due)},
	}
	if len(b.devices) > 1 {
		list = append(list, line{"reads", b.instrument(1)})
	}
	list = append(list,
		line{"found", found},
		line{"left", b.row(b.left, true)},
		line{"corrections", b.correction(initials)},
		line{"verdict-left", b.Text("verdict." + verdict).Plain()},
		line{"signed", b.by + ", " + b.done.String()},
	)
	b.entries("record", list)
}

// chart shows the runs for the assessor.
func (b *build) chart() *exercises.Chart {
	c := &exercises.Chart{Title: b.Tag, Tolerance: b.Tolerance, Worst: -1}
	if b.Root == scenarios.RootTransmitter {
		c.Title += " (points in percent of the flow)"
	}
	run := func(errors [5]int, n int) []exercises.ChartPoint {
		var out []exercises.ChartPoint
		for i, x := range points[:n] {
			v, _ := formula.Ratio(int64(errors[i]), 160).Rounded(2) // as it is written
			out = append(out, exercises.ChartPoint{Input: x, Error: v})
		}
		return out
	}
	c.Points = run(b.found, 5)
	if b.level == "easy" {
		c.Title += ", as found"
		return c
	}
	c.Name = "as found"
	if b.level == "hard" {
		c.Name = "rising, as found"
		c.More = append(c.More, exercises.ChartSeries{Name: "falling, as found", Points: run(b.falling, 5)})
	}
	c.More = append(c.More, exercises.ChartSeries{Name: "as left", Points: run(b.left, 5)})
	return c
}

// readings is the table of the points with the boxes for their errors: one
// column of boxes for each run that is asked for. Their unit stands in the head:
// beside each box it would make the table wider than the paper.
func (b *build) readings(label string, runs []run) *exercises.Table {
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Input"}, {Head: "Right output"}}}
	shown := runs
	if b.level == "hard" {
		shown = append(slices.Clone(runs), run{name: "left", errors: b.left})
	}
	for _, r := range shown {
		t.Columns = append(t.Columns, exercises.Column{Head: b.Text("run." + r.name).Plain(), Unit: "mA"})
	}
	for _, r := range runs {
		t.Columns = append(t.Columns, exercises.Column{Head: b.Text("run." + r.name + "-error").Plain(), Unit: "% of span"})
	}
	for i := range points {
		row := []exercises.Cell{{Text: b.inputAt(i)}, {Text: formula.WithUnit(b.rightAt(i).Text(3), "mA")}}
		for _, r := range shown {
			text := b.readingOf(i, r.errors[i]).Text(3)
			if r.name == "falling" && i == 4 {
				text = "–" // the run turns there
			}
			row = append(row, exercises.Cell{Text: text})
		}
		for _, r := range runs {
			row = append(row, exercises.Cell{Box: r.box(label, i)})
		}
		t.Rows = append(t.Rows, exercises.Row{Cells: row})
	}
	return t
}
