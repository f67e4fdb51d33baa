package render

import (
	"io"
	"strconv"

	"loopdrill/exercises"
)

// MarkSheetPage is the sheet on which a marker writes the marks of one form.
// It is made of sheets and so holds no answer.
type MarkSheetPage struct {
	Head
	Person  exercises.Person // whose work is marked; zero leaves the name to be written
	Entries []SheetEntry
}

// MarkSheetOf takes from a form what its mark sheet shows.
func MarkSheetOf(f *exercises.Form) MarkSheetPage {
	m := MarkSheetPage{Head: HeadOf(f), Person: f.Person}
	for _, d := range f.Items {
		m.Entries = append(m.Entries, SheetEntry{Number: d.Exercise.Number, Title: d.Exercise.Title, Sheet: d.Item.Sheet})
	}
	return m
}

// MarkSheet writes a mark sheet.
func (r *Renderer) MarkSheet(w io.Writer, m MarkSheetPage) error {
	p := newPage(r, "marksheet", m.Head)
	name := "Mark sheet " + strconv.Itoa(m.Number)
	p.print = printStrings{
		topLeft:    m.CourseTitle,
		topRight:   "Form " + m.Code,
		bottomLeft: name + ", " + string(m.Purpose),
	}
	marks := 0
	for _, e := range m.Entries {
		marks += e.Marks()
	}
	p.raw("<header class=\"cover\">\n<p class=\"kind\">")
	p.text("Mark sheet, " + string(m.Purpose) + " workbook " + strconv.Itoa(m.Number))
	p.raw("</p>\n<h1>")
	p.text(m.CourseTitle)
	p.raw("</h1>\n<div class=\"title-block\">\n")
	if m.Person == (exercises.Person{}) {
		p.blank("Name", "wide")
	} else {
		p.person(m.Person)
	}
	p.blank("Date of the work", "")
	p.cell("Form code", m.Code, "code")
	if m.Sitting > 1 {
		p.cell("Sitting", strconv.Itoa(m.Sitting), "")
	}
	p.cell("Marks", strconv.Itoa(marks), "")
	if m.PassMark > 0 {
		p.cell("Pass mark", passMark(marks, m.PassMark), "")
	}
	p.raw("</div>\n</header>\n<main>\n<table class=\"marking\">\n<caption class=\"vh\">Marks by exercise and part</caption>\n",
		"<thead><tr><th scope=\"col\">Exercise</th><th scope=\"col\">Part</th><th scope=\"col\">Marks</th><th scope=\"col\">Given</th><th scope=\"col\">Remarks</th></tr></thead>\n")
	for _, e := range m.Entries {
		n := strconv.Itoa(e.Number)
		p.raw("<tbody>\n")
		for i, part := range e.Sheet.Parts {
			p.raw("<tr>")
			if i == 0 {
				p.raw("<th scope=\"rowgroup\" rowspan=\"", strconv.Itoa(len(e.Sheet.Parts)), "\"><b>", n, "</b> ")
				p.text(titleOf(e))
				p.raw("</th>")
			}
			p.raw("<th scope=\"row\">(")
			p.text(part.Label)
			p.raw(")</th><td>", strconv.Itoa(part.Marks), "</td><td><span class=\"box\"></span></td><td class=\"remark\"></td></tr>\n")
		}
		if len(e.Sheet.Parts) > 1 {
			p.raw("<tr class=\"sum\"><th scope=\"row\" colspan=\"2\">Exercise ", n, "</th><td>", strconv.Itoa(e.Marks()), "</td><td><span class=\"box\"></span></td><td></td></tr>\n")
		}
		p.raw("</tbody>\n")
	}
	p.raw("<tbody class=\"grand\"><tr><th scope=\"row\" colspan=\"2\">All exercises</th><td>", strconv.Itoa(marks), "</td><td><span class=\"box\"></span></td><td></td></tr></tbody>\n</table>\n")
	if m.PassMark > 0 {
		p.raw("<p class=\"result\">Passed with ", strconv.Itoa(passMarks(marks, m.PassMark)), " marks or more. <span class=\"tick\"><span class=\"box\"></span> passed</span> <span class=\"tick\"><span class=\"box\"></span> not yet</span></p>\n")
	}
	p.raw("<div class=\"signatures\">\n")
	for _, who := range []string{"Marked by", "Second marker", "Apprentice, seen"} {
		p.raw("<div class=\"signature\"><span class=\"field\">", who, "</span><span class=\"line\"></span><span class=\"field\">Date</span><span class=\"line short\"></span></div>\n")
	}
	p.raw("</div>\n</main>\n")
	return p.finish(w, name+", form "+m.Code+": "+m.CourseTitle)
}

// blank writes an empty field of the title block.
func (p *page) blank(name, class string) {
	p.raw("<div class=\"cell ", class, "\"><span class=\"field\">", name, "</span><b>&nbsp;</b></div>\n")
}
