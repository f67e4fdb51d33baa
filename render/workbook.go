package render

import (
	"io"
	"strconv"

	"loopdrill/exercises"
	"loopdrill/scenarios"
)

// WorkbookPage is a workbook. It is made of sheets; the workbook of an
// assessment is written from a value that holds no key anywhere.
type WorkbookPage struct {
	Head
	Person  exercises.Person // who it is for; zero leaves the name to be written
	Lessons []LessonEntry
	Faces   []FaceNote // of the checkers used, for the reference page
}

// LessonEntry is one lesson with the exercises that follow it.
type LessonEntry struct {
	Number   int // from 1
	Title    string
	Segments []scenarios.Segment // nil prints the exercises only
	Face     scenarios.Face      // of the checker that the lesson's pictures show
	Sheets   []SheetEntry
}

// SheetEntry is one exercise of a workbook.
type SheetEntry struct {
	Number   int // through the whole course, from 1
	Title    string
	Sheet    exercises.Sheet
	Solution *exercises.Key // folded away under the exercise; nil on assessments
	AtBench  bool           // a practical task of a practice workbook, which has no solution in it
}

// Marks adds up the marks of the exercise.
func (e SheetEntry) Marks() int { return marksOf(e.Sheet) }

func marksOf(s exercises.Sheet) int {
	n := 0
	for _, part := range s.Parts {
		n += part.Marks
	}
	return n
}

// FaceNote says whose face the reference page explains.
type FaceNote struct {
	Plant string
	Face  scenarios.Face
}

// WorkbookOf takes from a form what its workbook may show. A practice workbook
// gets the lessons and the solutions; an assessment gets the exercises only,
// and none of the form's keys.
func WorkbookOf(f *exercises.Form) WorkbookPage {
	p := WorkbookPage{Head: HeadOf(f), Person: f.Person, Faces: facesOf(f.Course)}
	for i, l := range f.Course.Lessons {
		e := LessonEntry{Number: i + 1, Title: l.Title, Face: lessonFace(f.Course)}
		if f.Purpose == exercises.Practice {
			e.Segments = l.Segments
		}
		for _, d := range f.Items {
			if d.Exercise.Lesson != l {
				continue
			}
			s := SheetEntry{Number: d.Exercise.Number, Title: d.Exercise.Title, Sheet: d.Item.Sheet}
			switch {
			case f.Purpose == exercises.Practice && d.Item.Key.Bench != nil:
				s.AtBench = true // what the loop shows stays with the bench card
			case f.Purpose == exercises.Practice:
				key := d.Item.Key
				s.Solution = &key
			}
			e.Sheets = append(e.Sheets, s)
		}
		if len(e.Segments) > 0 || len(e.Sheets) > 0 {
			p.Lessons = append(p.Lessons, e)
		}
	}
	return p
}

func facesOf(c *scenarios.Course) []FaceNote {
	var out []FaceNote
	for _, p := range c.Plants {
		out = append(out, FaceNote{Plant: p.Name, Face: p.Checker.Face})
	}
	return out
}

func lessonFace(c *scenarios.Course) scenarios.Face {
	if len(c.Plants) == 0 {
		return scenarios.Face{}
	}
	return c.Plants[0].Checker.Face
}

// Marks adds up the marks of the workbook.
func (p WorkbookPage) Marks() int {
	n := 0
	for _, l := range p.Lessons {
		for _, s := range l.Sheets {
			n += s.Marks()
		}
	}
	return n
}

// Workbook writes a workbook: cover, lessons with their exercises, reference
// page.
func (r *Renderer) Workbook(w io.Writer, wb WorkbookPage) error {
	p := newPage(r, "workbook", wb.Head)
	name := "Workbook " + strconv.Itoa(wb.Number)
	p.print = printStrings{
		topLeft:    wb.CourseTitle,
		topRight:   "Form " + wb.Code,
		bottomLeft: name + ", " + string(wb.Purpose),
	}
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the exercises</a>\n")
	p.cover(wb, name)
	p.raw("<main id=\"work\" spellcheck=\"false\">\n")
	for _, l := range wb.Lessons {
		p.lesson(l)
	}
	p.raw("</main>\n")
	p.reference(wb.Faces)
	p.toolbar()
	return p.finish(w, name+", form "+wb.Code+": "+wb.CourseTitle, "workbook.js")
}

// cover writes the first sheet: whose it is, what it is for, how to work in
// it, what to beware of, and what is in it.
func (p *page) cover(wb WorkbookPage, name string) {
	p.raw("<header class=\"cover\">\n<p class=\"kind\">")
	p.text(purposeWord(wb.Purpose) + " workbook " + strconv.Itoa(wb.Number))
	p.raw("</p>\n<h1>")
	p.text(wb.CourseTitle)
	p.raw("</h1>\n")
	p.lead(wb.CoursePurpose)
	p.titleBlock(wb)
	p.b = appendQR(p.b, wb.Code, "QR symbol of the form code "+wb.Code)
	p.howTo()
	p.raw("</header>\n")
	p.coverCautions(wb)
	p.contents(wb)
}

func purposeWord(u exercises.Purpose) string {
	if u == exercises.Assessment {
		return "Assessment"
	}
	return "Practice"
}

// titleBlock is the block of fields in the manner of a drawing.
func (p *page) titleBlock(wb WorkbookPage) {
	exerciseCount, marks := 0, wb.Marks()
	for _, l := range wb.Lessons {
		exerciseCount += len(l.Sheets)
	}
	p.raw("<div class=\"title-block\">\n")
	if wb.Person == (exercises.Person{}) {
		p.raw("<div class=\"cell wide\"><label for=\"who-name\">Name</label><input id=\"who-name\" name=\"who.name\" data-who=\"name\" type=\"text\" autocomplete=\"off\"></div>\n")
	} else {
		p.person(wb.Person)
	}
	p.raw("<div class=\"cell\"><label for=\"who-date\">Date</label><input id=\"who-date\" name=\"who.date\" data-who=\"date\" type=\"text\" autocomplete=\"off\"></div>\n")
	p.cell("Form code", wb.Code, "code")
	if wb.Sitting > 1 {
		p.cell("Sitting", strconv.Itoa(wb.Sitting), "")
	}
	p.cell("Exercises", strconv.Itoa(exerciseCount), "")
	p.cell("Marks", strconv.Itoa(marks), "")
	if wb.PassMark > 0 {
		p.cell("Pass mark", passMark(marks, wb.PassMark), "")
	}
	if wb.Minutes > 0 && wb.Purpose == exercises.Assessment {
		p.cell("Time allowed", strconv.Itoa(wb.Minutes)+"\u00a0min", "")
	}
	if wb.Seed != "" {
		p.cell("Seed", wb.Seed, "code")
	}
	if wb.Version != "" {
		p.cell("Made by", "loopdrill "+wb.Version, "")
	}
	p.raw("</div>\n")
}

func (p *page) cell(name, value, class string) {
	p.raw("<div class=\"cell")
	if class != "" {
		p.raw(" ", class)
	}
	p.raw("\"><span class=\"field\">", name, "</span><b>")
	p.text(value)
	p.raw("</b></div>\n")
}

// person says whose page it is.
func (p *page) person(who exercises.Person) {
	name := who.Name
	if name == "" {
		name = who.Number
	}
	p.raw("<div class=\"cell wide\"><span class=\"field\">Name</span><b><bdi>")
	p.text(name)
	p.raw("</bdi></b>")
	if who.Name != "" {
		p.raw(" <span class=\"who-number\"><bdi>")
		p.text(who.Number)
		p.raw("</bdi></span>")
	}
	p.raw("</div>\n")
}

// passMark gives the marks needed, rounded up to a whole mark, and what they
// are a percentage of.
func passMark(marks, percent int) string {
	return strconv.Itoa(passMarks(marks, percent)) + " of " + strconv.Itoa(marks) + " (" + strconv.Itoa(percent) + "\u00a0% of the marks)"
}

func passMarks(marks, percent int) int { return (marks*percent + 99) / 100 }

func (p *page) howTo() {
	p.raw("<section class=\"how-to\"><h2>How to work in this book</h2>\n<ul>\n",
		"<li>Write every number with its sign. The unit is printed behind the box, with what a percentage is taken of. Comma and point are both good decimal marks.</li>\n",
		"<li>Where there are lettered boxes, mark one of them.</li>\n",
		"<li>Show your working on the ruled lines: a right way with a slip in it earns marks.</li>\n",
		"<li>Faces are drawn to scale. Print at 100&nbsp;%, and read a needle to the nearest small mark.</li>\n",
		"</ul>\n<p class=\"ruler\"><i></i>On paper this line is 100 mm long. If it is not, the faces are not to scale either.</p></section>\n")
}

// coverCautions gathers the cautions of all exercises, each once.
func (p *page) coverCautions(wb WorkbookPage) {
	var ids []string
	seen := map[string]bool{}
	add := func(id string) {
		if !seen[id] {
			seen[id] = true
			ids = append(ids, id)
		}
	}
	add("practice-figures")
	for _, l := range wb.Lessons {
		for _, s := range l.Sheets {
			for _, c := range s.Sheet.Cautions {
				add(c)
			}
		}
	}
	p.raw("<section class=\"before\" id=\"before\" aria-labelledby=\"before-head\"><h2 id=\"before-head\">Before you work on a real loop</h2>\n")
	for _, id := range ids {
		p.caution(id)
	}
	p.raw("</section>\n")
}

// contents lists what is in the book.
func (p *page) contents(wb WorkbookPage) {
	p.raw("<nav class=\"contents\" aria-labelledby=\"contents-head\"><h2 id=\"contents-head\">In this book</h2>\n<ol class=\"plain\">\n")
	for _, l := range wb.Lessons {
		p.raw("<li><a href=\"#lesson-", strconv.Itoa(l.Number), "\">")
		p.raw("<b>Lesson ", strconv.Itoa(l.Number), "</b> ")
		p.text(l.Title)
		p.raw("</a>")
		if len(l.Sheets) > 0 {
			p.raw("\n<ol class=\"plain\">\n")
			for _, s := range l.Sheets {
				n := strconv.Itoa(s.Number)
				p.raw("<li><a href=\"#x", n, "\"><b>", n, "</b> ")
				p.text(titleOf(s))
				p.raw("</a> <span class=\"marks\">", count(s.Marks(), "mark", "marks"), "</span></li>\n")
			}
			p.raw("</ol>")
		}
		p.raw("</li>\n")
	}
	p.raw("<li><a href=\"#reference\"><b>Reference</b> formulas and signals</a></li>\n</ol></nav>\n")
}

func titleOf(s SheetEntry) string {
	if s.Sheet.Title != "" {
		return s.Sheet.Title
	}
	return s.Title
}

// toolbar is what the script fills with life; without script it stays hidden.
func (p *page) toolbar() {
	p.raw("<aside class=\"toolbar\" id=\"answers\" aria-label=\"Your answers\" hidden>\n",
		"<p id=\"answers-state\" role=\"status\"></p>\n<div class=\"buttons\">\n",
		"<button type=\"button\" id=\"answers-save\">Save<span class=\"long\"> answer file</span></button>\n",
		"<button type=\"button\" id=\"answers-open\">Open<span class=\"long\"> answer file</span></button>\n",
		"<input type=\"file\" id=\"answers-file\" accept=\".json,application/json\" aria-label=\"Answer file to open\" hidden>\n",
		"<button type=\"button\" id=\"answers-clear\">Clear</button>\n",
		"<button type=\"button\" id=\"answers-back\" hidden>Bring back</button>\n",
		"<label id=\"solutions-print\" hidden><input type=\"checkbox\"> print solutions</label>\n",
		"</div>\n</aside>\n")
}
