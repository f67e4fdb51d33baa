package render

import (
	"cmp"
	"io"
	"strconv"

	"loopdrill/exercises"
)

// KeyPage is the key of one form. It is for the assessor only and says so on
// every sheet.
type KeyPage struct {
	Head
	Entries []KeyEntry
}

// KeyEntry is one exercise of a key.
type KeyEntry struct {
	Number int
	Title  string
	Lesson string
	Sheet  exercises.Sheet
	Key    exercises.Key
}

// KeyOf takes the key from a form.
func KeyOf(f *exercises.Form) KeyPage {
	k := KeyPage{Head: HeadOf(f)}
	for _, d := range f.Items {
		e := KeyEntry{Number: d.Exercise.Number, Title: d.Exercise.Title, Sheet: d.Item.Sheet, Key: d.Item.Key}
		if d.Exercise.Lesson != nil {
			e.Lesson = d.Exercise.Lesson.Title
		}
		k.Entries = append(k.Entries, e)
	}
	return k
}

const assessorOnly = "Assessor only"

// Key writes a key.
func (r *Renderer) Key(w io.Writer, k KeyPage) error {
	p := newPage(r, "key", k.Head)
	name := "Key " + strconv.Itoa(k.Number)
	p.print = printStrings{
		topLeft:    k.CourseTitle,
		topMiddle:  assessorOnly,
		topRight:   "Form " + k.Code,
		bottomLeft: name + ", " + string(k.Purpose),
	}
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the answers</a>\n<header class=\"cover\">\n<p class=\"keep\">", assessorOnly, "</p>\n<p class=\"kind\">")
	p.text("Key to " + string(k.Purpose) + " workbook " + strconv.Itoa(k.Number))
	p.raw("</p>\n<h1>")
	p.text(k.CourseTitle)
	p.raw("</h1>\n<div class=\"title-block\">\n")
	p.cell("Form code", k.Code, "code")
	marks := 0
	for _, e := range k.Entries {
		marks += marksOf(e.Sheet)
	}
	p.cell("Exercises", strconv.Itoa(len(k.Entries)), "")
	p.cell("Marks", strconv.Itoa(marks), "")
	if k.PassMark > 0 {
		p.cell("Pass mark", passMark(marks, k.PassMark), "")
	}
	if k.Seed != "" {
		p.cell("Seed", k.Seed, "code")
	}
	if k.Version != "" {
		p.cell("Made by", "loopdrill "+k.Version, "")
	}
	p.raw("</div>\n<p>Answers are right within the tolerance given, ends included. A wrong answer carried on correctly earns the marks of the later part.</p>\n</header>\n<main id=\"work\">\n")
	lesson := ""
	for i, e := range k.Entries {
		if i == 0 || e.Lesson != lesson {
			lesson = e.Lesson
			p.raw("<h2 class=\"key-lesson\">")
			p.text(cmp.Or(lesson, "Answers"))
			p.raw("</h2>\n")
		}
		p.keyEntry(e)
	}
	p.raw("</main>\n")
	return p.finish(w, name+", form "+k.Code+", assessor only: "+k.CourseTitle)
}

func (p *page) keyEntry(e KeyEntry) {
	x := newExercise(p, e.Number, e.Sheet)
	x.inKey = true
	title := e.Title
	if e.Sheet.Title != "" {
		title = e.Sheet.Title
	}
	x.open(title, marksOf(e.Sheet))
	if e.Key.Fault != "" {
		p.raw("<p class=\"fault\"><span class=\"what\">What was wrong</span> <b>")
		p.text(e.Key.Fault)
		p.raw("</b></p>\n")
	}
	x.givens()
	x.key = &e.Key
	for i, part := range e.Sheet.Parts {
		if i < len(e.Key.Parts) {
			x.keyPart(part, e.Key.Parts[i])
		}
	}
	x.chart()
	x.close()
}

func (x *exercise) keyPart(part exercises.Part, key exercises.PartKey) {
	p := x.p
	id := p.id(x.prefix, part.Label)
	p.raw("<div class=\"part\" role=\"group\" aria-labelledby=\"", id, "-label\">\n<h4 class=\"label\" id=\"", id, "-label\"><span class=\"vh\">Exercise ", x.number, ", part </span>(")
	p.text(part.Label)
	p.raw(")</h4>\n<div class=\"ask\">")
	p.prose(part.Prompt)
	p.raw("</div>\n<p class=\"marks\">", count(part.Marks, "mark", "marks"), "</p>\n<div class=\"reply\">\n")
	x.partAnswers(part, key)
	x.working(key)
	x.credit(key)
	x.slips(key)
	p.raw("</div>\n</div>\n")
}

// credit says what each mark is for.
func (x *exercise) credit(key exercises.PartKey) {
	if len(key.Credit) == 0 {
		return
	}
	p := x.p
	p.raw("<ul class=\"credit\">\n")
	for _, c := range key.Credit {
		p.raw("<li><b>", count(c.Marks, "mark", "marks"), "</b> ")
		p.inline(c.For)
		p.raw("</li>\n")
	}
	p.raw("</ul>\n")
}

// fewAnswers is how many answers of a slip fit into a column of their own.
const fewAnswers = 3

// slips lists the misconceptions with what they answer.
func (x *exercise) slips(key exercises.PartKey) {
	if len(key.Slips) == 0 {
		return
	}
	p := x.p
	p.scroll("Slips", false)
	p.raw("<table class=\"slips\">\n<caption>Slips and what they answer</caption>\n<thead><tr><th scope=\"col\">Slip</th><th scope=\"col\">Answers</th><th scope=\"col\">To say to the apprentice</th></tr></thead>\n<tbody>\n")
	for _, s := range key.Slips {
		p.raw("<tr><th scope=\"row\">")
		p.text(s.Name)
		if len(s.Answers) > fewAnswers {
			// A whole table of answers runs on across both columns.
			p.raw("</th><td colspan=\"2\"><p>")
			p.inline(s.Feedback)
			p.raw("</p><p class=\"many\">")
			x.slipAnswers(s, len(s.Answers))
			p.raw("</p></td></tr>\n")
			continue
		}
		p.raw("</th><td>")
		x.slipAnswers(s, len(s.Answers))
		p.raw("</td><td>")
		p.inline(s.Feedback)
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table></div>\n")
}
