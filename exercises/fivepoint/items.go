package fivepoint

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

// Symbols: n_25 the needle at 25 %, m where it rests, e_25 the error there,
// k the ring's point, E the worst error, Z and S zero and span error, tol and
// adj the two limits, c and l the cell reading and its line.
const (
	symRest       formula.Sym = "m"
	symRestTenths formula.Sym = "m_tenths" // as read by somebody who takes small marks for tenths
	symOut        formula.Sym = "I"
	symRing       formula.Sym = "k"
	symWorst      formula.Sym = "E"
	symZero       formula.Sym = "Z"
	symSpan       formula.Sym = "S"
	symLimit      formula.Sym = "tol"
	symAdjust     formula.Sym = "adj"
	symCell       formula.Sym = "c"
	symLine       formula.Sym = "l"
	errorUnit                 = "%"
	errorPlace                = 2
	outPlace                  = 3
)

// at is the index of a station in a symbol: its point, and "f" on the falling
// run.
func at(i int) string {
	if i < len(points) {
		return fmt.Sprint(points[i])
	}
	return fmt.Sprintf("%df", points[8-i])
}

func symNeedle(i int) formula.Sym { return formula.Sym("n_" + at(i)) }
func symTenths(i int) formula.Sym { return formula.Sym("n_" + at(i) + "tenths") }
func symError(i int) formula.Sym  { return formula.Sym("e_" + at(i)) }

// item builds one exercise.
type item struct {
	exercises.Composer
	*check
	level string
	// judgesCell says that the cell check is shown and readings may be void.
	judgesCell bool
	env        formula.Env // printed givens, then the answers of earlier parts
	sheet      exercises.Sheet
	key        exercises.Key

	perDivision formula.Expr
	half        formula.Value // half a small mark, percent of span
}

func (p *plan) build(c *check) exercises.Item {
	per := nullbalance.PerDivision(c.face)
	b := &item{check: c, level: p.exercise.Level, judgesCell: p.cell, perDivision: formula.Lit{V: per, Unit: "%/div"},
		half: c.face.PerSmallMark.Div(formula.Int(2))}
	b.Prompts = prompts
	b.Words = []string{
		"tag", c.loop.Tag, "service", c.loop.Service,
		"tolerance", "± " + exercises.Quantity(c.loop.Tolerance, "%"), "adjust", exercises.Quantity(c.loop.AdjustAt, "%"),
		"permark", exercises.Quantity(c.face.PerSmallMark, "%"), "perdivision", exercises.Quantity(per, "%"),
		"cell", nullbalance.Words(c.face, c.cell), "line", nullbalance.Words(c.face, loop.Needle{Code: c.face.CellLineSmall}),
		"rest", nullbalance.Words(c.face, loop.Needle{Code: c.rest}),
	}
	tk, _ := c.loop.Tolerance.Places(3)
	ak, _ := c.loop.AdjustAt.Places(3)
	b.env = formula.Env{
		{Sym: symLimit, V: c.loop.Tolerance, Unit: "%", Decimals: tk},
		{Sym: symAdjust, V: c.loop.AdjustAt, Unit: "%", Decimals: ak},
		{Sym: symCell, V: nullbalance.Divisions(c.face, c.cell.Code), Unit: "div", Decimals: 1},
		{Sym: symLine, V: nullbalance.Divisions(c.face, c.face.CellLineSmall), Unit: "div", Decimals: 1},
		{Sym: symRest, V: nullbalance.Divisions(c.face, c.rest), Unit: "div", Decimals: 1},
		{Sym: symRestTenths, V: nullbalance.Tenths(c.face, c.rest), Unit: "div", Decimals: 1},
	}.With(signal.Current.Bind()...)
	for i, n := range c.needles {
		b.env = b.env.With(
			formula.Binding{Sym: symNeedle(i), V: nullbalance.Divisions(c.face, n.Code), Unit: "div", Decimals: 1},
			formula.Binding{Sym: symTenths(i), V: nullbalance.Tenths(c.face, n.Code), Unit: "div", Decimals: 1})
	}
	b.figures(p.exercise.Title)
	var out exercises.Item
	label := func() string { return string(rune('a' + len(out.Sheet.Parts))) }
	out.Add(b.table(label()))
	if b.level == "hard" {
		out.Add(b.fallingTable(label()))
		out.Add(b.hysteresis(label()))
	}
	if asksWorst(b.level) {
		out.Add(b.worstPart(label()))
	}
	b.bindWorst()
	out.Add(b.verdict(label()))
	out.Add(b.zeroAndSpan(label()))
	out.Add(b.first(label()))
	b.sheet.Parts, b.key.Parts = out.Sheet.Parts, out.Key.Parts
	return exercises.Item{Sheet: b.sheet, Key: b.key}
}

func (b *item) figures(title string) {
	b.sheet.Title, b.sheet.Cautions = title, append(nullbalance.Cautions(), "as-found-first")
	intro := b.entry("intro")
	add := func(id, caption, lever string, ring int, n loop.Needle, words ...string) {
		b.sheet.Figures = append(b.sheet.Figures, exercises.Figure{ID: id, Caption: b.Text(caption, words...),
			Face: &exercises.Face{Design: b.face, Lever: lever, Ring: ring, Needle: n, CellLine: true}})
	}
	if b.level == "hard" {
		add("rest", "face.rest", "Rest", 0, loop.Needle{Code: b.rest})
	}
	if b.judgesCell {
		add("cell", "face.cell", "Cell", 0, b.cell)
	} else {
		intro = "intro.easy"
	}
	b.sheet.Intro = b.Text(intro)
	for i, x := range stations(b.level) {
		caption := "face.point"
		if i >= len(points) {
			caption = "face.falling"
		}
		add(stationID(i), caption, "Current", x, b.needles[i], "x", fmt.Sprint(x), "ring", fmt.Sprint(x))
	}
	grid := "grid"
	if b.level != "usual" {
		grid += "-" + b.level
	}
	b.sheet.Figures = append(b.sheet.Figures, exercises.Figure{ID: "grid", Caption: b.Text(grid),
		Grid: &exercises.Grid{Tolerance: b.loop.Tolerance}})

	b.key.Env = b.env
	b.key.Fault = nullbalance.FaultWords(b.meant(), b.face)
	b.key.FaultName = b.fault
	b.key.Chart = b.chart()
}

// stationID names the face of a station.
func stationID(i int) string { return "p" + at(i) }

func (b *item) chart() *exercises.Chart {
	chart := &exercises.Chart{Title: b.loop.Tag + " as found", Tolerance: b.loop.Tolerance, Worst: b.worst()}
	if b.alike() {
		chart.Worst = -1
	}
	point := func(i int) exercises.ChartPoint {
		return exercises.ChartPoint{Input: stations(b.level)[i], Error: b.face.PerSmallMark.Mul(formula.Int(int64(b.marks[i])))}
	}
	for i := range points {
		chart.Points = append(chart.Points, point(i))
	}
	if b.level == "hard" {
		falling := exercises.ChartSeries{Name: "falling, as found"}
		for i := range points { // from 0 % up, like the other run; both meet at 100 %
			falling.Points = append(falling.Points, point(8-i))
		}
		chart.Name, chart.More = "rising, as found", []exercises.ChartSeries{falling}
		if w := b.worst(); abs(b.marks[8-w]) > abs(b.marks[w]) {
			chart.WorstIn = 1
		}
	}
	return chart
}

// meant is the fault without the tenth of a mark that keeps readings away from
// the middle between two marks.
func (c *check) meant() nullbalance.Set {
	s := c.set
	if c.fault != weakCell {
		s.Zero = float64(c.zero) * c.face.PerSmallMark.Float64() / 100
	}
	return s
}

// errorDef is the error at a point; outDef the output there.
func (b *item) errorDef(i int) formula.Definition {
	return formula.Definition{Sym: symError(i), Unit: errorUnit, Decimals: errorPlace,
		Expr: formula.Mul(b.deflection(i), b.perDivision)}
}

// deflection is what the output moves the needle by; m is left out where the
// needle is said to rest at the centre.
func (b *item) deflection(i int) formula.Expr {
	if b.level != "hard" {
		return symNeedle(i)
	}
	return formula.Sub(symNeedle(i), symRest)
}

func outDef(percent formula.Expr) formula.Definition {
	s := signal.Current
	return formula.Definition{Sym: symOut, Unit: s.Unit, Decimals: outPlace,
		Expr: signal.At(signal.OfPercent(percent), s.Zero(), s.Full())}
}

func (b *item) ring(i int) formula.Binding {
	return formula.Binding{Sym: symRing, V: formula.Int(int64(points[i])), Unit: "%"}
}

// table is the part with the table as found: five errors, five outputs.
func (b *item) table(label string) (exercises.Part, exercises.PartKey) {
	work := b.entry("work.table")
	part := exercises.Part{Label: label, Prompt: b.Text("ask.table", "eplaces", fmt.Sprint(errorPlace), "oplaces", fmt.Sprint(outPlace)), Marks: 10}
	key := exercises.PartKey{Label: label}
	t := &exercises.Table{Columns: []exercises.Column{
		{Head: "Input, % of range"}, {Head: "Input"}, {Head: "Right output"}, {Head: "Needle"},
		{Head: "Error found"}, {Head: "Output found"},
	}}
	errTol := exercises.Tolerance(b.half, errorPlace)
	halfOut := b.half.Div(formula.Int(100)).Mul(signal.Current.High.Sub(signal.Current.Low))
	outTol := exercises.Tolerance(halfOut, outPlace)
	env := b.env
	var outs []exercises.Answer
	var outBoxes []exercises.Box
	for i, x := range points {
		eID, oID := fmt.Sprintf("%s.%d", label, i+1), fmt.Sprintf("%s.%d", label, i+6)
		def := b.errorDef(i)
		key.Answers = append(key.Answers, exercises.Answer{Box: eID, Def: def, Env: b.env, Tolerance: errTol})
		bound, _ := def.Bind(b.env, eID) // exact, cannot fail
		env = env.With(bound)
		oEnv := b.env.With(bound, b.ring(i))
		outs = append(outs, exercises.Answer{Box: oID, Def: outDef(formula.Add(symRing, symError(i))), Env: oEnv, Tolerance: outTol})
		part.Boxes = append(part.Boxes, exercises.Box{ID: eID, Kind: exercises.NumberBox, Name: fmt.Sprintf("error at %d %%", x),
			Unit: errorUnit, Of: "of span", Decimals: errorPlace})
		outBoxes = append(outBoxes, exercises.Box{ID: oID, Kind: exercises.NumberBox, Name: fmt.Sprintf("output at %d %%", x),
			Unit: signal.Current.Unit, Decimals: outPlace})
		right := signal.Current.Low.Add(formula.Ratio(int64(16*x), 100))
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{
			{Text: formula.WithUnit(fmt.Sprint(x), "%")}, {Text: nullbalance.InputText(b.loop, x)},
			{Text: exercises.Quantity(right, signal.Current.Unit)}, {Figure: stationID(i)}, {Box: eID}, {Box: oID},
		}})
	}
	part.Table = t
	part.Boxes = append(part.Boxes, outBoxes...)
	key.Answers = append(key.Answers, outs...)
	w := b.worst()
	eDef, oDef := b.errorDef(w), outs[w].Def
	key.Working = []exercises.Step{
		{Text: b.Text(work, "x", fmt.Sprint(points[w]))},
		{Def: &eDef, Env: b.env}, {Def: &oDef, Env: outs[w].Env},
	}
	key.Why = b.Text("tolerance.table", "tolerance", exercises.Quantity(errTol, errorUnit), "tolerance2", exercises.Quantity(outTol, signal.Current.Unit))
	key.Credit = []exercises.Credit{{Marks: 5, For: b.Text("credit.table-error")}, {Marks: 5, For: b.Text("credit.table-output")}}
	b.tableSlips(&key)
	b.env = env
	return part, key
}

// tenthsShow says whether counting small marks as tenths can be told from the
// right readings at one point at least.
func (b *item) tenthsShow(tolerance formula.Value) bool {
	per := nullbalance.PerDivision(b.face)
	twice := tolerance.Add(tolerance)
	for i, n := range b.needles[:len(points)] {
		wrong := nullbalance.Tenths(b.face, n.Code).Sub(nullbalance.Tenths(b.face, b.rest))
		off := nullbalance.Divisions(b.face, b.marks[i]).Sub(wrong).Mul(per).Abs()
		if off.Sub(twice).Sign() > 0 {
			return true
		}
	}
	return false
}

// tableSlips are carried through the whole table: a wrong error goes on into
// the output beside it.
func (b *item) tableSlips(key *exercises.PartKey) {
	five := formula.Num(int64(b.face.SmallPerDiv))
	wrong := func(id, name string, x func(i int) formula.Expr) {
		s := exercises.Slip{ID: id, Name: name, Feedback: b.Text("slip." + id)}
		for i := range points {
			e, o := key.Answers[i], key.Answers[i+5]
			eDef := e.Def
			eDef.Expr = x(i)
			oDef := o.Def
			oDef.Expr = outDef(formula.Add(symRing, eDef.Expr)).Expr
			s.Answers = append(s.Answers,
				exercises.SlipAnswer{Box: e.Box, Def: eDef, Env: e.Env},
				exercises.SlipAnswer{Box: o.Box, Def: oDef, Env: o.Env.With()})
		}
		key.Slips = append(key.Slips, s)
	}
	right := func(i int) formula.Expr { return formula.Mul(b.deflection(i), b.perDivision) }
	wrong("sign", "sign swapped", func(i int) formula.Expr { return formula.Neg(right(i)) })
	wrong("marks-as-divisions", "small marks counted as divisions", func(i int) formula.Expr { return formula.Mul(formula.Mul(b.deflection(i), five), b.perDivision) })
	wrong("divisions-as-percent", "divisions taken for percent", func(i int) formula.Expr { return b.deflection(i) })
	if b.tenthsShow(key.Answers[0].Tolerance) {
		wrong("marks-as-tenths", "small marks counted as tenths of a division", func(i int) formula.Expr {
			if b.level != "hard" {
				return formula.Mul(symTenths(i), b.perDivision)
			}
			return formula.Mul(formula.Sub(symTenths(i), symRestTenths), b.perDivision)
		})
	}
	if b.rest != 0 {
		wrong("rest-left-in", "mechanical zero not taken off", func(i int) formula.Expr { return formula.Mul(symNeedle(i), b.perDivision) })
		wrong("rest-added", "mechanical zero added", func(i int) formula.Expr {
			return formula.Mul(formula.Add(symNeedle(i), symRest), b.perDivision)
		})
	}
	s := exercises.Slip{ID: "output-wrong-way", Name: "went the wrong way to the output", Feedback: b.Text("slip.output-wrong-way")}
	for i := range points {
		o := key.Answers[i+5]
		def := o.Def
		def.Expr = outDef(formula.Sub(symRing, symError(i))).Expr
		s.Answers = append(s.Answers, exercises.SlipAnswer{Box: o.Box, Def: def, Env: o.Env})
	}
	key.Slips = append(key.Slips, s)
}

// zeroAndSpan is the part that asks for the two errors of the transmitter.
func (b *item) zeroAndSpan(label string) (exercises.Part, exercises.PartKey) {
	zeroID, spanID := label+".1", label+".2"
	zero := formula.Definition{Sym: symZero, Expr: symError(0), Unit: errorUnit, Decimals: errorPlace}
	span := formula.Definition{Sym: symSpan, Expr: formula.Sub(symError(4), symError(0)), Unit: errorUnit, Decimals: errorPlace}
	tol := exercises.Tolerance(b.half, errorPlace)
	part := exercises.Part{Label: label, Prompt: b.Text("ask.zerospan", "eplaces", fmt.Sprint(errorPlace)), Marks: 2, Lines: 1}
	part.Table = &exercises.Table{Columns: []exercises.Column{{Head: "Asked"}, {Head: "From the readings"}}}
	for _, row := range []struct{ id, name string }{{zeroID, "zero error"}, {spanID, "span error"}} {
		part.Boxes = append(part.Boxes, exercises.Box{ID: row.id, Kind: exercises.NumberBox, Name: row.name,
			Unit: errorUnit, Of: "of span", Decimals: errorPlace})
		part.Table.Rows = append(part.Table.Rows, exercises.Row{Cells: []exercises.Cell{{Text: row.name}, {Box: row.id}}})
	}
	key := exercises.PartKey{Label: label,
		Answers: []exercises.Answer{
			{Box: zeroID, Def: zero, Env: b.env, Tolerance: tol},
			{Box: spanID, Def: span, Env: b.env, Tolerance: tol},
		},
		Working: []exercises.Step{{Text: b.Text("work.zero")}, {Def: &zero, Env: b.env}, {Text: b.Text("work.span")}, {Def: &span, Env: b.env}},
		Why:     b.Text("tolerance.zerospan", "tolerance", exercises.Quantity(tol, errorUnit)),
		Credit:  []exercises.Credit{{Marks: 1, For: b.Text("credit.zero")}, {Marks: 1, For: b.Text("credit.span")}},
	}
	if b.fault == weakCell {
		key.Working = append(key.Working, exercises.Step{Text: b.Text("work.void")})
	}
	slip := func(id, name string, z, s formula.Expr) {
		zd, sd := zero, span
		zd.Expr, sd.Expr = z, s
		key.Slips = append(key.Slips, exercises.Slip{ID: id, Name: name, Feedback: b.Text("slip." + id),
			Answers: []exercises.SlipAnswer{{Box: zeroID, Def: zd, Env: b.env}, {Box: spanID, Def: sd, Env: b.env}}})
	}
	slip("zero-span-swapped", "zero and span error swapped", span.Expr, zero.Expr)
	slip("span-as-sum", "error at 100 % taken for the span error", zero.Expr, symError(4))
	slip("both-signs", "both signs swapped", formula.Neg(zero.Expr), formula.Sub(symError(0), symError(4)))
	if b.zero != 0 { // without a zero error it is the same as both signs swapped
		slip("span-turned", "span error the wrong way round", zero.Expr, formula.Sub(symError(0), symError(4)))
	}
	if b.zero != b.full { // without a span error the middle is as good
		slip("zero-mid-scale", "zero error taken at 50 %", symError(2), span.Expr)
	}
	return part, key
}
