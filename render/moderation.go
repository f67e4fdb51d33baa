package render

import (
	"io"
	"strconv"
	"strings"

	"loopdrill/exercises/classfigures"
	"loopdrill/exercises/sitting"
)

// ModerationPage proposes who is marked a second time, and says how far a second
// marker agrees.
type ModerationPage struct {
	Head
	Report sitting.Report
	Table  string // address of the table for the second marker
}

// ModerationOf makes the page of a report.
func ModerationOf(r sitting.Report) ModerationPage {
	return ModerationPage{Head: courseHead(r), Report: r}
}

// Moderation writes the page.
func (r *Renderer) Moderation(w io.Writer, m ModerationPage) error {
	p := newPage(r, "moderation", m.Head)
	p.print = printStrings{topLeft: m.CourseTitle, topMiddle: assessorOnly, topRight: "Second marking", bottomLeft: "Second marking"}
	rep := m.Report
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the sample</a>\n<header class=\"cover\">\n<p class=\"keep\">", assessorOnly, "</p>\n<p class=\"kind\">Second marking</p>\n<h1>")
	p.text(m.CourseTitle)
	p.raw("</h1>\n<p class=\"lead\">", strconv.Itoa(len(rep.Sample)), " of ", count(len(rep.Works), "form is", "forms are"), " proposed.</p>\n</header>\n<main id=\"work\">\n<section><h2>Sample</h2>\n<p>Everybody near the pass mark, every form with an answer that a person had to settle, an override or a part that earned nothing for safety, and one in five of the rest, drawn by the form code so that nobody chooses. The second marker gets ")
	p.link2(m.Table, "second-marking.csv")
	p.raw(", which holds no marks of ours.</p>\n")
	p.scroll("sample for second marking", false)
	p.raw("<table class=\"sample\"><caption class=\"vh\">Sample</caption><thead><tr><th scope=\"col\">No.</th><th scope=\"col\">Form</th><th scope=\"col\">Who</th><th scope=\"col\">Why</th></tr></thead>\n<tbody>\n")
	for _, s := range rep.Sample {
		p.raw("<tr><td class=\"n\">", strconv.Itoa(s.Work.Form.Number), "</td><td class=\"code\">")
		p.text(s.Work.Form.Code)
		p.raw("</td><th scope=\"row\">")
		p.text(s.Work.Name())
		p.raw("</th><td>")
		p.text(strings.Join(s.Why, "; "))
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table></div></section>\n<section><h2>Agreement of two markers</h2>\n")
	p.agreement(rep.Second)
	p.raw("</section>\n</main>\n")
	return p.finish(w, "Second marking, assessor only: "+m.CourseTitle)
}

func (p *page) agreement(a *sitting.Agreed) {
	if a == nil {
		p.raw("<p>No marks of a second marker were given.</p>\n")
		return
	}
	p.raw("<p><b>", strconv.Itoa(a.Same), " of ", count(a.Parts, "part has", "parts have"), " the same mark</b>")
	if a.Parts > 0 {
		low, ok1 := a.Interval.Low.Value()
		high, ok2 := a.Interval.High.Value()
		p.raw(", 95&nbsp;% interval ")
		p.text(intervalWords(a.Interval, !ok1 || !ok2 || high-low > sitting.Wide))
	}
	p.raw(" (Wilson).")
	if a.Open > 0 {
		p.raw(" ", count(a.Open, "part is", "parts are"), " left out because the mark is not settled.")
	}
	p.raw("</p>\n<p>Beyond chance: kappa ")
	p.text(a.Kappa.Text(2))
	p.raw("; with each difference counted by its size ")
	p.text(a.Linear.Text(2))
	p.raw(".")
	if a.Kappa.Text(2) == classfigures.NotAvailable {
		p.raw(" It does not exist where both gave one and the same mark throughout.")
	}
	p.raw("</p>\n")
	if len(a.Differ) == 0 {
		return
	}
	p.scroll("parts on which the markers differ", false)
	p.raw("<table class=\"differ\"><caption>To talk about</caption><thead><tr><th scope=\"col\">Form</th><th scope=\"col\">Part</th><th scope=\"col\">First</th><th scope=\"col\">Second</th><th scope=\"col\">Of</th></tr></thead>\n<tbody>\n")
	for _, d := range a.Differ {
		p.raw("<tr><td class=\"code\">")
		p.text(d.Work.Form.Code)
		p.raw("</td><th scope=\"row\">")
		p.text(d.Part)
		p.raw("</th><td class=\"n\">", strconv.Itoa(d.First), "</td><td class=\"n\">", strconv.Itoa(d.Second), "</td><td class=\"n\">", strconv.Itoa(d.Marks), "</td></tr>\n")
	}
	p.raw("</tbody></table></div>\n")
}
