package render

import (
	"cmp"
	"io"
	"strconv"

	"loopdrill/exercises"
	"loopdrill/scenarios/prose"
)

// BenchPage holds the practical tasks of one form, for bench cards and for
// observation sheets. Both are made of keys and never for an apprentice.
type BenchPage struct {
	Head
	Person exercises.Person // zero leaves the name to be written
	Tasks  []BenchEntry
}

// BenchEntry is one practical task.
type BenchEntry struct {
	Number int
	Name   string // as in the table of observed steps
	Title  string
	Fault  string // what is put into the loop, in a line
	Bench  exercises.Bench
}

// BenchOf takes the practical tasks of a form; it has none where the course asks
// for none.
func BenchOf(f *exercises.Form) BenchPage {
	b := BenchPage{Head: HeadOf(f), Person: f.Person}
	for _, d := range f.Items {
		if d.Item.Key.Bench != nil {
			b.Tasks = append(b.Tasks, BenchEntry{Number: d.Exercise.Number, Name: d.BenchTask(), Title: titleOf(SheetEntry{Title: d.Exercise.Title, Sheet: d.Item.Sheet}),
				Fault: d.Item.Key.Fault, Bench: *d.Item.Key.Bench})
		}
	}
	return b
}

// BenchCard writes the cards by which the instructor sets the loops up.
func (r *Renderer) BenchCard(w io.Writer, b BenchPage) error {
	p := newPage(r, "bench", b.Head)
	p.benchOpen(b, "Bench cards", "How to set up the loops for the practical tasks of this form, and what should then be read on them. Measure each loop yourself before an apprentice works on it.")
	for _, t := range b.Tasks {
		p.benchCard(t)
	}
	p.raw("</main>\n")
	return p.finish(w, "Bench cards, form "+b.Code+", assessor only: "+b.CourseTitle)
}

// Observation writes the sheets on which the assessor ticks what was done.
func (r *Renderer) Observation(w io.Writer, b BenchPage) error {
	p := newPage(r, "bench observation", b.Head)
	p.benchOpen(b, "Observation sheets", "Tick each step once, when you have seen it, in the words of this sheet. A prompt is anything that tells the apprentice what to do next; write it down as you said it.")
	for _, t := range b.Tasks {
		p.observation(b, t)
	}
	p.raw("</main>\n")
	return p.finish(w, "Observation sheets, form "+b.Code+", assessor only: "+b.CourseTitle)
}

func (p *page) benchOpen(b BenchPage, name, lead string) {
	p.print = printStrings{topLeft: b.CourseTitle, topMiddle: assessorOnly, topRight: "Form " + b.Code, bottomLeft: name + " " + strconv.Itoa(b.Number) + ", " + string(b.Purpose)}
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the tasks</a>\n<header class=\"bench-top\">\n<p class=\"keep\">", assessorOnly, "</p>\n<p class=\"kind\">")
	p.text(name + " to " + string(b.Purpose) + " workbook " + strconv.Itoa(b.Number))
	p.raw("</p>\n<h1>")
	p.text(b.CourseTitle)
	p.raw("</h1>\n<p class=\"bench-form\">Form <b class=\"code\">")
	p.text(b.Code)
	p.raw("</b>")
	if b.Person != (exercises.Person{}) {
		p.raw(" for <b><bdi>")
		p.text(cmp.Or(b.Person.Name, b.Person.Number))
		p.raw("</bdi></b>")
	}
	if b.Version != "" {
		p.raw(", made by loopdrill ")
		p.text(b.Version)
	}
	p.raw("</p>\n<p>")
	p.text(lead)
	p.raw("</p>\n</header>\n<main id=\"work\">\n")
}

// benchHead begins a task on a sheet of paper of its own.
func (p *page) benchHead(t BenchEntry, name string) {
	n := strconv.Itoa(t.Number)
	p.raw("<section class=\"bench-task\" id=\"t", n, "\" aria-labelledby=\"t", n, "-head\">\n<p class=\"kind\">", name, "</p>\n<h2 id=\"t", n, "-head\"><span class=\"num\"><span class=\"vh\">Exercise </span>", n, "</span> ")
	p.text(t.Title)
	p.raw("</h2>\n<p class=\"bench-loop\">")
	p.text(t.Bench.Loop)
	p.raw("</p>\n")
}

func (p *page) benchCard(t BenchEntry) {
	p.benchHead(t, "Bench card")
	p.raw("<p class=\"fault\"><span class=\"what\">Set up</span> <b>")
	p.text(t.Fault)
	p.raw("</b></p>\n")
	if p.cautionsList(t.Bench.Cautions) {
		p.raw("<p>Faults are set up in the workshop only. The site's rules, the makers' instructions and the local codes decide.</p></div>\n")
	}
	p.raw("<h3>The loop on the bench</h3>\n")
	p.plainTable("rig", "What the loop is made of", t.Bench.Rig)
	p.steps("How to set it up", t.Bench.Setup)
	p.raw("<h3>What should then be read</h3>\n<p>Expected: worked out for the loop above. Measured: what you read on yours, before the apprentice comes.</p>\n")
	for _, r := range t.Bench.Readings {
		p.readings(r)
	}
	p.steps("Put back afterwards", t.Bench.PutBack)
	p.raw("<div class=\"signatures\">\n")
	p.sign("Set up and measured by")
	p.sign("Put back by")
	p.raw("</div>\n</section>\n")
}

func (p *page) sign(who string) {
	p.raw("<div class=\"signature\"><span class=\"field\">", who, "</span><span class=\"line\"></span><span class=\"field\">Date</span><span class=\"line short\"></span></div>\n")
}

func (p *page) steps(head string, steps []prose.Text) {
	p.raw("<section class=\"bench-steps\"><h3>", head, "</h3>\n<ol>\n")
	for _, s := range steps {
		p.raw("<li><span class=\"box\" aria-hidden=\"true\"></span> <span>")
		p.inline(s)
		p.raw("</span></li>\n")
	}
	p.raw("</ol></section>\n")
}

func (p *page) plainTable(class, caption string, t exercises.Table) {
	p.scroll(caption, false)
	p.raw("<table class=\"", class, "\"><caption class=\"vh\">")
	p.text(caption)
	p.raw("</caption>\n<thead><tr>")
	for _, c := range t.Columns {
		p.raw("<th scope=\"col\">")
		p.text(c.Head)
		p.raw("</th>")
	}
	p.raw("</tr></thead>\n<tbody>\n")
	for _, r := range t.Rows {
		p.raw("<tr>")
		for i, c := range r.Cells {
			if i == 0 {
				p.raw("<th scope=\"row\">")
				p.text(c.Text)
				p.raw("</th>")
				continue
			}
			p.raw("<td>")
			p.text(c.Text)
			p.raw("</td>")
		}
		p.raw("</tr>\n")
	}
	p.raw("</tbody></table></div>\n")
}

// readings writes the expected readings, and beside each an empty box for what
// the instructor has measured. Columns that say where a reading is taken are not
// measured: the first, and "Input".
func (p *page) readings(r exercises.BenchTable) {
	p.raw("<section class=\"expected\">\n<h4>")
	p.inline(r.Caption)
	p.raw("</h4>\n")
	p.scroll(r.Caption.Plain(), false)
	p.raw("<table><caption class=\"vh\">")
	p.text(r.Caption.Plain())
	p.raw("</caption>\n<thead><tr>")
	given := 1
	for i, c := range r.Table.Columns {
		if i > 0 && c.Head == "Input" {
			given = i + 1
		}
	}
	for i, c := range r.Table.Columns {
		p.raw("<th scope=\"", []string{"colgroup", "col"}[min(1, max(0, given-i))], "\"", []string{" colspan=\"2\"", " rowspan=\"2\""}[min(1, max(0, given-i))], ">")
		p.text(c.Head)
		p.raw("</th>")
	}
	p.raw("</tr>\n<tr>")
	for range r.Table.Columns[given:] {
		p.raw("<th scope=\"col\">expected</th><th scope=\"col\">measured</th>")
	}
	p.raw("</tr></thead>\n<tbody>\n")
	for _, row := range r.Table.Rows {
		p.raw("<tr>")
		for i, c := range row.Cells {
			switch {
			case i == 0:
				p.raw("<th scope=\"row\">")
				p.text(c.Text)
				p.raw("</th>")
			case i < given:
				p.raw("<td>")
				p.text(c.Text)
				p.raw("</td>")
			default:
				p.raw("<td class=\"n\"><b>")
				p.text(c.Text)
				p.raw("</b></td><td><span class=\"box\"></span></td>")
			}
		}
		p.raw("</tr>\n")
	}
	p.raw("</tbody></table></div>\n<p class=\"note\">")
	p.inline(r.Within)
	p.raw("</p>\n</section>\n")
}

// seenColumns are what can be seen of a step, as in the table of observed steps.
var seenColumns = []string{"done", "prompted", "not done", "not seen"}

func (p *page) observation(b BenchPage, t BenchEntry) {
	p.benchHead(t, "Observation sheet")
	p.raw("<div class=\"title-block\">\n")
	if b.Person == (exercises.Person{}) {
		p.blank("Apprentice", "wide")
	} else {
		p.person(b.Person)
	}
	p.blank("Date", "")
	p.blank("How it was made sure who it is", "wide")
	for _, f := range []string{"Assessor", "Serial numbers: checker, voltmeter, known input", "Conditions: where, energised or not", "Arrangements: sitting, reader, scribe, extra time"} {
		p.blank(f, "")
	}
	p.raw("</div>\n")
	p.scroll("Steps to be seen", false)
	p.raw("<table class=\"watched\"><caption class=\"vh\">Steps to be seen</caption>\n<thead><tr><th scope=\"col\">Step</th>")
	for i, c := range seenColumns {
		p.raw("<th scope=\"col\" class=\"seen-head\">")
		p.text([]string{"Done, unprompted", "Done after a prompt", "Not done", "Not seen"}[i])
		p.raw(" <span class=\"type-as\">", c, "</span></th>")
	}
	p.raw("<th scope=\"col\">Words of the prompt, or a remark</th></tr></thead>\n<tbody>\n")
	for _, s := range t.Bench.Steps {
		p.raw("<tr><th scope=\"row\">")
		p.text(s.Text)
		if s.Critical {
			p.raw(" <b class=\"critical\">critical</b>")
		}
		p.raw("</th>")
		for range seenColumns {
			p.raw("<td class=\"seen\"><span class=\"box\"></span></td>")
		}
		p.raw("<td class=\"remark\"></td></tr>\n")
	}
	p.raw("</tbody></table></div>\n<p class=\"bench-stop\"><b>When to stop.</b> ")
	p.inline(t.Bench.Stop)
	p.raw("</p>\n<p class=\"stopped\"><span class=\"tick\"><span class=\"box\"></span> broken off, because</span> <span class=\"line\"></span></p>\n<p>A critical step that was prompted or not done fails the task, whatever the rest; so does a task that was broken off.")
	if b.PassMark > 0 {
		p.raw(" Otherwise it is passed with ", strconv.Itoa(b.PassMark), "\u00a0% of the steps seen done unprompted, if at least half were seen.")
	}
	p.raw("</p>\n<p class=\"result\"><span class=\"tick\"><span class=\"box\"></span> passed</span> <span class=\"tick\"><span class=\"box\"></span> not yet</span> <span class=\"tick\"><span class=\"box\"></span> undecided</span></p>\n")
	p.raw("<p class=\"note\">To have it in the record: in <code>observed.csv</code> of the keep folder the rows of this task are there already, under the name <b>")
	p.text(t.Name)
	p.raw("</b>. Fill in result, words, assessor and date, and give the table to <code>loopdrill mark</code> with the answers.</p>\n<div class=\"signatures\">\n")
	p.sign("Observed by")
	p.sign("Apprentice, seen")
	p.raw("</div>\n</section>\n")
}
