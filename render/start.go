package render

import (
	"io"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"loopdrill/exercises"
	"loopdrill/scenarios"
)

// StartPage is the instructor's page: what was made, what may be handed out
// and what is to be kept.
type StartPage struct {
	Head    // of the course; Number and Code are not used
	Plants  []StartPlant
	Forms   []StartForm
	Lessons []StartLesson
	// Observed is the address of the table into which observed steps are typed;
	// empty where the course has no practical task.
	Observed string
}

// StartPlant is a plant of the course and its loops.
type StartPlant struct {
	Name, Trade string
	Loops       []string // "LT-2104, level of the condensate drum"
}

// StartForm is one form with the addresses of its pages, seen from the start
// page.
type StartForm struct {
	Number                   int
	Code                     string
	Workbook, Key, MarkSheet string
	BenchCard, Observation   string // of its practical tasks; empty where it has none
}

// StartLesson is one lesson at a glance.
type StartLesson struct {
	Title     string
	Exercises []StartExercise
}

// StartExercise is one exercise at a glance.
type StartExercise struct {
	Number        int
	Title, Family string
	Level         string
	Marks         int // of the first form; 0 if there is none
}

// StartOf gathers the start page of a folder. address gives the addresses of a
// form's pages.
func StartOf(c *scenarios.Course, forms []*exercises.Form, address func(*exercises.Form) StartForm) StartPage {
	s := StartPage{}
	marks := map[*scenarios.Exercise]int{}
	if len(forms) > 0 {
		s.Head = HeadOf(forms[0])
		for _, d := range forms[0].Items {
			marks[d.Exercise] = marksOf(d.Item.Sheet)
		}
	} else {
		s.Head = HeadOf(&exercises.Form{Course: c})
	}
	for _, f := range forms {
		s.Forms = append(s.Forms, address(f))
	}
	for _, p := range c.Plants {
		plant := StartPlant{Name: p.Name, Trade: p.Trade}
		for _, l := range p.Loops {
			plant.Loops = append(plant.Loops, l.Tag+", "+l.Service)
		}
		s.Plants = append(s.Plants, plant)
	}
	for _, l := range c.Lessons {
		lesson := StartLesson{Title: l.Title}
		for _, e := range l.Exercises {
			lesson.Exercises = append(lesson.Exercises, StartExercise{
				Number: e.Number, Title: e.Title, Family: e.Family, Level: e.Level, Marks: marks[e]})
		}
		s.Lessons = append(s.Lessons, lesson)
	}
	return s
}

// Start writes the start page.
func (r *Renderer) Start(w io.Writer, s StartPage) error {
	p := newPage(r, "start", s.Head)
	p.head.Code = "" // no form of its own
	p.print = printStrings{topLeft: s.CourseTitle, topRight: "For the instructor: keep", bottomLeft: "Start page"}
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the pages</a>\n<header class=\"cover\">\n<p class=\"keep\">For the instructor: keep</p>\n<p class=\"kind\">")
	p.text(count(len(s.Forms), "copy", "copies") + " for " + string(s.Purpose))
	p.raw("</p>\n<h1>")
	p.text(s.CourseTitle)
	p.raw("</h1>\n")
	p.lead(s.CoursePurpose)
	p.raw("<div class=\"title-block\">\n")
	marks, exerciseCount := 0, 0
	for _, l := range s.Lessons {
		for _, e := range l.Exercises {
			marks += e.Marks
			exerciseCount++
		}
	}
	p.cell("Lessons", strconv.Itoa(len(s.Lessons)), "")
	p.cell("Exercises", strconv.Itoa(exerciseCount), "")
	p.cell("Marks", strconv.Itoa(marks), "")
	if s.PassMark > 0 {
		p.cell("Pass mark", passMark(marks, s.PassMark), "")
	}
	if s.Minutes > 0 {
		p.cell("Time for an assessment", strconv.Itoa(s.Minutes)+"\u00a0min", "")
	}
	if s.Seed != "" {
		p.cell("Seed", s.Seed, "code")
	}
	if s.Version != "" {
		p.cell("Made by", "loopdrill "+s.Version, "")
	}
	p.raw("</div>\n</header>\n<main id=\"work\">\n")
	p.startForms(s)
	p.startCourse(s)
	p.raw("</main>\n")
	return p.finish(w, s.CourseTitle+": start page")
}

// lead says what the course is for, as a sentence of its own.
func (p *page) lead(purpose string) {
	if purpose == "" {
		return
	}
	p.raw("<p class=\"lead\">")
	p.text(sentence(purpose))
	p.raw("</p>\n")
}

// sentence gives s a capital and a full stop where it has none.
func sentence(s string) string {
	first, n := utf8.DecodeRuneInString(s)
	s = string(unicode.ToUpper(first)) + s[n:]
	if last := s[len(s)-1]; last != '.' && last != '!' && last != '?' {
		s += "."
	}
	return s
}

// startForms keeps apart what may leave the room and what may not.
func (p *page) startForms(s StartPage) {
	p.raw("<div class=\"halves\">\n<section class=\"half hand-out\" aria-labelledby=\"hand-out-head\"><h2 id=\"hand-out-head\">Hand out</h2>\n",
		"<p>All of the folder <code>hand-out</code> may be given to apprentices, on paper or on a stick. ")
	if s.Purpose == exercises.Assessment {
		p.raw("It holds no answers.")
	} else {
		p.raw("Practice workbooks carry their solutions, folded away.")
	}
	p.raw("</p>\n<table>\n<caption class=\"vh\">Workbooks</caption>\n<thead><tr><th scope=\"col\">Copy</th><th scope=\"col\">Form code</th><th scope=\"col\">Page</th></tr></thead>\n<tbody>\n")
	for _, f := range s.Forms {
		p.formRow(f)
		p.link(f.Workbook, "Workbook", f.Number)
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table>\n</section>\n<section class=\"half keep-in\" aria-labelledby=\"keep-head\"><h2 id=\"keep-head\">Keep</h2>\n",
		"<p>The folder <code>keep</code> holds the answers. It stays with instructor and assessor, and so does this page.</p>\n",
		"<table>\n<caption class=\"vh\">Keys and mark sheets</caption>\n<thead><tr><th scope=\"col\">Copy</th><th scope=\"col\">Form code</th><th scope=\"col\">Pages</th></tr></thead>\n<tbody>\n")
	for _, f := range s.Forms {
		p.formRow(f)
		p.link(f.Key, "Key", f.Number)
		p.raw(" ")
		p.link(f.MarkSheet, "Mark sheet", f.Number)
		if f.BenchCard != "" {
			p.raw(" ")
			p.link(f.BenchCard, "Bench cards", f.Number)
			p.raw(" ")
			p.link(f.Observation, "Observation sheets", f.Number)
		}
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table>\n")
	if s.Observed != "" {
		p.raw("<p>Bench cards say how to set up the loops for the practical tasks; observation sheets are for the assessor. What was seen is typed into <a href=\"")
		p.attr(s.Observed)
		p.raw("\">observed.csv</a>, which goes to <code>loopdrill mark</code> with the answers.</p>\n")
	}
	p.raw("</section>\n</div>\n")
}

func (p *page) formRow(f StartForm) {
	p.raw("<tr><th scope=\"row\">", strconv.Itoa(f.Number), "</th><td class=\"code\">")
	p.text(f.Code)
	p.raw("</td><td class=\"links\">")
}

func (p *page) link(address, words string, number int) {
	p.raw("<a href=\"")
	p.attr(address)
	p.raw("\">", words, "<span class=\"vh\"> ", strconv.Itoa(number), "</span></a>")
}

// startCourse shows the course at a glance.
func (p *page) startCourse(s StartPage) {
	p.raw("<section class=\"glance\" aria-labelledby=\"glance-head\"><h2 id=\"glance-head\">The course at a glance</h2>\n")
	p.scroll("Lessons and exercises", false)
	p.raw("<table>\n<caption class=\"vh\">Lessons and exercises</caption>\n<thead><tr><th scope=\"col\">No.</th><th scope=\"col\">Exercise</th><th scope=\"col\">Kind</th><th scope=\"col\">Level</th><th scope=\"col\">Marks</th></tr></thead>\n")
	for i, l := range s.Lessons {
		p.raw("<tbody>\n<tr class=\"sum\"><th scope=\"rowgroup\" colspan=\"5\">Lesson ", strconv.Itoa(i+1), ": ")
		p.text(l.Title)
		p.raw("</th></tr>\n")
		for _, e := range l.Exercises {
			p.raw("<tr><td>", strconv.Itoa(e.Number), "</td><th scope=\"row\">")
			p.text(e.Title)
			p.raw("</th><td>")
			p.text(strings.ReplaceAll(e.Family, "-", " "))
			p.raw("</td><td>")
			p.text(e.Level)
			p.raw("</td><td>", strconv.Itoa(e.Marks), "</td></tr>\n")
		}
		p.raw("</tbody>\n")
	}
	p.raw("</table></div>\n")
	for _, plant := range s.Plants {
		p.raw("<div class=\"boxed\"><p class=\"boxed-head\">")
		p.text(plant.Name)
		p.raw("</p>\n<p>")
		p.text(plant.Trade)
		p.raw("</p>\n<ul>\n")
		for _, l := range plant.Loops {
			p.raw("<li>")
			p.text(l)
			p.raw("</li>\n")
		}
		p.raw("</ul></div>\n")
	}
	p.raw("</section>\n")
}
