package render

import (
	"strconv"
	"strings"
	"unicode/utf8"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// exercise is an exercise being written: its sheet, the figures that stand in
// cells of tables or for options, and the beginning of its ids.
type exercise struct {
	p      *page
	number string
	prefix string // "x3"
	sheet  exercises.Sheet
	placed map[string]bool // figures drawn in a cell or as an option
	key    *exercises.Key  // fills the boxes; nil leaves them to the apprentice
	inKey  bool            // the page is a key
}

func newExercise(p *page, number int, s exercises.Sheet) *exercise {
	n := strconv.Itoa(number)
	x := &exercise{p: p, number: n, prefix: "x" + n, sheet: s, placed: map[string]bool{}}
	for _, f := range s.Figures {
		x.cellsOf(f.Table)
	}
	for _, part := range s.Parts {
		x.cellsOf(part.Table)
		for _, b := range part.Boxes {
			for _, o := range b.Options {
				if o.Figure != "" {
					x.placed[o.Figure] = true
				}
			}
		}
	}
	return x
}

func (x *exercise) cellsOf(t *exercises.Table) {
	if t == nil {
		return
	}
	for _, row := range t.Rows {
		for _, c := range row.Cells {
			if c.Figure != "" {
				x.placed[c.Figure] = true
			}
		}
	}
}

// sheetEntry writes one exercise of a workbook.
func (p *page) sheetEntry(e SheetEntry) {
	x := newExercise(p, e.Number, e.Sheet)
	x.open(titleOf(e), e.Marks())
	p.cautionsShort(e.Sheet.Cautions)
	x.givens()
	for i, part := range e.Sheet.Parts {
		x.part(i, part)
	}
	if e.Solution != nil {
		x.fold(e)
	}
	if e.AtBench {
		p.raw("<p class=\"at-bench\">This task is worked and marked at the bench. What the loop there shows is not in this book.</p>\n")
	}
	x.close()
}

// open begins an exercise. On paper its heading comes back on every sheet that
// the exercise goes on to.
func (x *exercise) open(title string, marks int) {
	p := x.p
	p.raw("<section class=\"exercise\" id=\"", x.prefix, "\" aria-labelledby=\"", x.prefix, "-head\">\n",
		"<div class=\"xhead\"><div class=\"xhead-line\"><h3 id=\"", x.prefix, "-head\"><span class=\"num\"><span class=\"vh\">Exercise </span>", x.number, "</span> ")
	p.text(title)
	p.raw("</h3><p class=\"marks\">", count(marks, "mark", "marks"), "</p></div></div>\n<div class=\"xbody\">\n")
}

func (x *exercise) close() { x.p.raw("</div>\n</section>\n") }

// givens writes the introduction and the figures that stand on their own.
func (x *exercise) givens() {
	p := x.p
	if !x.sheet.Intro.Empty() {
		p.raw("<div class=\"intro\">")
		p.prose(x.sheet.Intro)
		p.raw("</div>\n")
	}
	open := false
	for _, f := range x.sheet.Figures {
		if x.placed[f.ID] {
			continue
		}
		// Faces stand side by side where there is room.
		if face := f.Face != nil; face != open {
			if face {
				p.raw("<div class=\"faces\">\n")
			} else {
				p.raw("</div>\n")
			}
			open = face
		}
		x.figure(f)
	}
	if open {
		p.raw("</div>\n")
	}
}

func (x *exercise) figure(f exercises.Figure) {
	p := x.p
	if f.Grid != nil && x.inKey {
		return // the key has the chart itself
	}
	id := p.id(x.prefix, f.ID)
	class := "given"
	switch {
	case f.Face != nil:
		class = "face-figure"
	case f.Grid != nil:
		class = "grid-figure"
	case f.Drawing != nil:
		class = "drawing-figure"
	}
	p.raw("<figure class=\"", class, "\"")
	captioned := !f.Caption.Empty()
	if captioned && f.Table != nil {
		p.raw(" aria-labelledby=\"", id, "-caption\"")
	}
	p.raw(">\n")
	switch {
	case f.Face != nil:
		x.face(f, id, false)
	case f.Table != nil:
		x.table(*f.Table, nil, "givens of exercise "+x.number)
	case f.Grid != nil:
		p.b = p.r.appendBlankGrid(p.b, f.Grid.Tolerance)
	case f.Drawing != nil:
		x.drawing(*f.Drawing, id)
	}
	if captioned {
		p.raw("\n<figcaption id=\"", id, "-caption\">")
		p.inline(f.Caption)
		p.raw("</figcaption>")
	}
	p.raw("\n</figure>\n")
}

// face draws a meter face. In a key it is small and says in words where the
// needle stands.
func (x *exercise) face(f exercises.Figure, id string, small bool) {
	p := x.p
	p.b = p.r.appendFace(p.b, *f.Face, faceOptions{ID: id, Small: small || x.inKey, Large: p.head.Large && !x.inKey, Shared: &p.scales})
	if x.inKey {
		p.raw("<p class=\"stood\">")
		p.text(sentence(FaceWords(*f.Face)))
		p.raw("</p>")
	}
}

// part writes part number i with its answer boxes.
func (x *exercise) part(i int, part exercises.Part) {
	p := x.p
	id := p.id(x.prefix, part.Label)
	p.raw("<div class=\"part\" role=\"group\" aria-labelledby=\"", id, "-label\">\n<h4 class=\"label\" id=\"", id, "-label\"><span class=\"vh\">Exercise ", x.number, ", part </span>(")
	p.text(part.Label)
	p.raw(")</h4>\n<div class=\"ask\">")
	p.prose(part.Prompt)
	p.raw("</div>\n")
	if part.Marks > 0 {
		p.raw("<p class=\"marks\">", count(part.Marks, "mark", "marks"), "</p>\n")
	}
	p.raw("<div class=\"reply\">\n")
	x.reply(i, part)
	if _, taken := judgedLines(part); part.Lines > 0 && x.key == nil && !taken {
		x.ruled(id+"-working", part.Label+".working", "Working", part.Lines)
	}
	p.raw("</div>\n</div>\n")
}

// reply lays out the boxes of a part: first those in its table, then the rest.
func (x *exercise) reply(i int, part exercises.Part) {
	placed := map[string]bool{}
	if part.Table != nil {
		x.table(*part.Table, part.Boxes, "table of part "+part.Label+" of exercise "+x.number)
		for _, row := range part.Table.Rows {
			for _, c := range row.Cells {
				placed[c.Box] = true
			}
		}
	}
	prompt := part.Prompt.Plain()
	for _, b := range part.Boxes {
		if placed[b.ID] {
			continue
		}
		switch b.Kind {
		case exercises.ChoiceBox:
			x.choice(b, len(part.Boxes) == 1)
		case exercises.OrderBox:
			x.orderBox(b, len(part.Boxes) == 1)
		case exercises.JudgedBox:
			lines, _ := judgedLines(part)
			x.judgedBox(b, lines, b.Name == prompt)
		default:
			x.numberBox(b, b.Name == prompt)
		}
	}
}

// numberBox writes a box for a number, with its name before it and its unit
// behind it. said means that the prompt has just said the name.
func (x *exercise) numberBox(b exercises.Box, said bool) {
	p := x.p
	id := p.id(x.prefix, "box", b.ID)
	p.raw("<div class=\"answer\"><label for=\"", id, "\"")
	if said {
		p.raw(" class=\"vh\"")
	}
	p.raw(">")
	p.text(b.Name)
	p.raw("</label> <span class=\"entry\">")
	x.input(b, id, "")
	if b.UnitAsked {
		x.unitBox(b)
		p.raw("</span> <span class=\"decimals\" id=\"", id, "-unit\">", asked(b), ", with its unit</span>")
	} else {
		p.raw("<span class=\"unit\" id=\"", id, "-unit\">")
		p.text(boxUnit(b))
		p.raw("</span></span> <span class=\"decimals\">", asked(b), "</span>")
	}
	if b.MayStop {
		p.raw(" ")
		x.stopTick(b, false)
	}
	p.raw("</div>\n")
}

// input writes the box itself. label names it where no label element does.
func (x *exercise) input(b exercises.Box, id, label string) {
	p := x.p
	p.raw("<input class=\"box\" type=\"text\" id=\"", id, "\" name=\"", x.number, ".")
	p.attr(b.ID)
	p.raw("\" maxlength=\"64\"")
	if label != "" {
		p.raw(" aria-label=\"")
		p.attr(label)
		p.raw("\"")
	} else {
		p.raw(" aria-describedby=\"", id, "-unit\"")
	}
	p.raw(">")
}

func decimals(n int) string {
	if n == 0 {
		return "whole number"
	}
	return count(n, "decimal", "decimals")
}

// boxUnit says what stands behind a box: "% of span".
func boxUnit(b exercises.Box) string {
	switch {
	case b.Of == "":
		return b.Unit
	case b.Unit == "":
		return b.Of
	}
	return b.Unit + " " + b.Of
}

// choice writes lettered boxes, one to be marked. lone says that the prompt
// alone asks the question, so that the name need not be seen.
func (x *exercise) choice(b exercises.Box, lone bool) {
	if drawn(b) {
		x.drawnChoice(b, lone, "")
		return
	}
	x.choiceOpen(b, lone, "")
	for i := range b.Options {
		x.option(b, i, "")
		x.p.raw("\n")
	}
	x.p.raw("</fieldset>\n")
}

func (x *exercise) choiceOpen(b exercises.Box, lone bool, class string) {
	p := x.p
	p.raw("<fieldset class=\"choices", class, "\"><legend")
	if lone {
		p.raw(" class=\"vh\"")
	}
	p.raw(">")
	p.text(b.Name)
	p.raw("</legend>\n")
}

// option writes the box of option i with its letter and words. shown is the id
// of the picture that stands for it, if there is one.
func (x *exercise) option(b exercises.Box, i int, shown string) {
	p, o := x.p, b.Options[i]
	p.raw("<label class=\"choice\"><span class=\"letter-box\"><input type=\"radio\" name=\"", x.number, ".")
	p.attr(b.ID)
	p.raw("\" value=\"")
	p.attr(o.ID)
	if shown != "" {
		p.raw("\" aria-describedby=\"", shown)
	}
	p.raw("\"><span class=\"letter\">", letter(i), "</span></span> <span class=\"option\">")
	p.inline(o.Text)
	p.raw("</span></label>")
}

// letter names the i-th option: A to Z, then A1, B1 and on.
func letter(i int) string {
	s := string(rune('A' + i%26))
	if i >= 26 {
		s += strconv.Itoa(i / 26)
	}
	return s
}

// stations writes a table that has faces in it as one block for each row: the
// face at its full size, which no column could give it, and beside it the other
// cells with the heads of their columns.
func (x *exercise) stations(t exercises.Table, boxes []exercises.Box, caption string) {
	p := x.p
	p.raw("<div class=\"stations\" role=\"group\" aria-label=\"")
	p.attr(caption)
	p.raw("\">\n")
	for _, row := range t.Rows {
		p.raw("<div class=\"station\">\n")
		for _, c := range row.Cells {
			x.cellFace(c)
		}
		p.raw("<dl>")
		for i, c := range row.Cells {
			if c.Figure != "" {
				continue
			}
			var column exercises.Column
			if i < len(t.Columns) {
				column = t.Columns[i]
			}
			p.raw("<div><dt>")
			p.text(column.Head)
			p.raw("</dt><dd>")
			x.cellBox(c, boxes, false)
			p.text(formula.WithUnit(c.Text, unitOfText(c, column)))
			p.raw("</dd></div>")
		}
		p.raw("</dl></div>\n")
	}
	p.raw("</div>\n")
}

// unitOfText is the unit of a printed cell; boxes bring their own.
func unitOfText(c exercises.Cell, column exercises.Column) string {
	if c.Text == "" {
		return ""
	}
	return column.Unit
}

func hasFaces(t exercises.Table) bool {
	for _, row := range t.Rows {
		for _, c := range row.Cells {
			if c.Figure != "" {
				return true
			}
		}
	}
	return false
}

// withoutFaces leaves the faces out, and the columns that held nothing else.
func withoutFaces(t exercises.Table) exercises.Table {
	keep := make([]bool, len(t.Columns))
	for i := range t.Columns {
		for _, row := range t.Rows {
			keep[i] = keep[i] || i < len(row.Cells) && row.Cells[i].Figure == ""
		}
	}
	var out exercises.Table
	for i, c := range t.Columns {
		if keep[i] {
			out.Columns = append(out.Columns, c)
		}
	}
	for _, row := range t.Rows {
		var cells []exercises.Cell
		for i, c := range row.Cells {
			if i >= len(keep) || keep[i] {
				c.Figure = ""
				cells = append(cells, c)
			}
		}
		out.Rows = append(out.Rows, exercises.Row{Cells: cells})
	}
	return out
}

// table writes a table of givens or of boxes.
func (x *exercise) table(t exercises.Table, boxes []exercises.Box, caption string) {
	if hasFaces(t) {
		if x.key == nil || x.inKey {
			x.stations(t, boxes, caption)
			return
		}
		t = withoutFaces(t) // a solution stands below its faces
	}
	p := x.p
	p.scroll(caption, len(boxes) > 0 && x.key == nil)
	p.raw("<table>\n<caption class=\"vh\">")
	p.text(caption)
	p.raw("</caption>\n")
	if len(t.Columns) > 0 {
		p.raw("<thead><tr>")
		for _, c := range t.Columns {
			if c.Head == "" && c.Unit == "" {
				p.raw("<td></td>") // the corner above the names of the rows
				continue
			}
			p.raw("<th scope=\"col\">")
			p.text(c.Head)
			if c.Unit != "" {
				p.raw(" <span class=\"unit\">")
				p.text(c.Unit)
				p.raw("</span>")
			}
			p.raw("</th>")
		}
		p.raw("</tr></thead>\n")
	}
	p.raw("<tbody>\n")
	for _, row := range t.Rows {
		p.raw("<tr>")
		for i, c := range row.Cells {
			x.cell(c, i, t, boxes)
		}
		p.raw("</tr>\n")
	}
	p.raw("</tbody></table></div>\n")
}

func (x *exercise) cell(c exercises.Cell, i int, t exercises.Table, boxes []exercises.Box) {
	p := x.p
	if c.Box == "" && c.Text == "" {
		p.raw("<td class=\"empty\"></td>")
		return
	}
	if i == 0 && c.Box == "" {
		class := numberClass(c.Text)
		if class == "" && utf8.RuneCountInString(c.Text) <= 12 {
			class = ` class="nb"` // tags and points stay whole
		}
		p.raw("<th scope=\"row\"", class, ">")
		p.text(c.Text)
		p.raw("</th>")
		return
	}
	if c.Box != "" {
		p.raw("<td class=\"box-cell\">")
	} else {
		p.raw("<td", numberClass(c.Text), ">")
	}
	x.cellBox(c, boxes, i < len(t.Columns) && t.Columns[i].Unit != "")
	p.value(c.Text)
	p.raw("</td>")
}

// cellFace draws the face that a cell asks for.
func (x *exercise) cellFace(c exercises.Cell) {
	for _, f := range x.sheet.Figures {
		if f.ID == c.Figure && f.Face != nil {
			x.p.raw("<div class=\"face-cell\">")
			x.face(f, x.p.id(x.prefix, f.ID), true)
			x.p.raw("</div>\n")
		}
	}
}

// cellBox writes the box that a cell asks for.
func (x *exercise) cellBox(c exercises.Cell, boxes []exercises.Box, unitAbove bool) {
	for _, b := range boxes {
		if c.Box != "" && b.ID == c.Box {
			x.boxInCell(b, unitAbove)
		}
	}
}

// numberClass sets what begins like a number to the right, so that figures
// stand under figures.
func numberClass(s string) string {
	rest := strings.TrimLeft(s, "+\u2212-")
	if rest != "" && rest[0] >= '0' && rest[0] <= '9' {
		return ` class="n"`
	}
	return ""
}

// boxInCell writes a box in a cell, or its answer where the key is at hand.
// unitAbove says that the head of the column names the unit.
func (x *exercise) boxInCell(b exercises.Box, unitAbove bool) {
	p := x.p
	if x.key != nil {
		p.raw("<b class=\"given-answer\">")
		if a, ok := x.answer(b.ID); ok {
			x.answerText(b, a, !unitAbove)
		}
		p.raw("</b>")
		return
	}
	id := p.id(x.prefix, "box", b.ID)
	switch b.Kind {
	case exercises.ChoiceBox:
		x.choice(b, true)
		return
	case exercises.OrderBox:
		x.orderBox(b, true)
		return
	case exercises.JudgedBox:
		x.ruled(id, b.ID, b.Name, 2)
		return
	}
	label := b.Name
	if u := boxUnit(b); u != "" && !b.UnitAsked {
		label += ", in " + u
	}
	x.input(b, id, label)
	if b.UnitAsked {
		p.raw(" ")
		x.unitBox(b)
	} else if u := boxUnit(b); u != "" && !unitAbove {
		p.raw(" <span class=\"unit\">")
		p.text(u)
		p.raw("</span>")
	}
	if b.MayStop {
		p.raw(" ")
		x.stopTick(b, true)
	}
}
