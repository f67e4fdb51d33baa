package render

import (
	"io"
	"strconv"

	"loopdrill/exercises"
	"loopdrill/exercises/sitting"
)

// QueriesPage lists every answer that waits for the assessor, in the order that
// is quickest to go through.
type QueriesPage struct {
	Head
	Report sitting.Report
	// Table is the address of the table in which they are decided.
	Table, HandTable string
}

// QueriesOf makes the page of a report.
func QueriesOf(r sitting.Report) QueriesPage { return QueriesPage{Head: courseHead(r), Report: r} }

// Queries writes the page.
func (r *Renderer) Queries(w io.Writer, q QueriesPage) error {
	p := newPage(r, "queries", q.Head)
	p.print = printStrings{topLeft: q.CourseTitle, topMiddle: assessorOnly, topRight: "Queries", bottomLeft: "Queries"}
	queries, judge := q.Report.Queries(), q.Report.ToJudge()
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the queries</a>\n<header class=\"cover\">\n<p class=\"keep\">", assessorOnly, "</p>\n<p class=\"kind\">Queries</p>\n<h1>")
	p.text(q.CourseTitle)
	p.raw("</h1>\n<p class=\"lead\">", count(q.Report.OpenQueries, "answer", "answers"), " that the program would not judge, question by question, the same text together. ",
		"Until they are decided, totals are given as a range.</p>\n</header>\n<main id=\"work\">\n")
	if len(queries) == 0 {
		p.raw("<p>No query is open.</p>\n")
	} else {
		p.raw("<p>Decide them in ")
		p.link2(q.Table, "decisions.csv")
		p.raw(" (copy it beside the answers first): under <b>reads</b> write how the answer reads, and the program judges that; or under <b>verdict</b> what it is (correct, wrong, follow-through, blank, wrong unit, unit missing). Add your initials and mark again.</p>\n")
	}
	for _, g := range queries {
		p.queryGroup(g)
	}
	if len(judge) > 0 {
		p.raw("<h2 class=\"by-hand\">To mark by hand</h2>\n<p>Write the marks into ")
		p.link2(q.HandTable, "marks-by-hand.csv")
		p.raw(" (copy it beside the answers first) and mark again.</p>\n")
		for _, g := range judge {
			p.judgeGroup(g)
		}
	}
	p.raw("</main>\n")
	return p.finish(w, "Queries, assessor only: "+q.CourseTitle)
}

func (p *page) groupHead(g sitting.QueryGroup) {
	p.raw("<section class=\"query-group\"><h2><span class=\"key-no\">")
	p.text(g.Key)
	p.raw("</span> ")
	p.text(g.Title)
	p.raw("</h2>\n<p class=\"asked\">")
	p.text(g.Asked)
	p.raw("</p>\n")
}

// exerciseOf is the exercise of an open query, to write its answers with.
func (p *page) exerciseOf(q sitting.OpenQuery) *exercise {
	for i := range q.Work.Form.Items {
		d := &q.Work.Form.Items[i]
		for _, part := range d.Item.Sheet.Parts {
			for _, b := range part.Boxes {
				if strconv.Itoa(d.Exercise.Number)+"."+b.ID == q.Key {
					x := newExercise(p, d.Exercise.Number, d.Item.Sheet)
					x.key = &d.Item.Key
					return x
				}
			}
		}
	}
	return newExercise(p, 0, exercises.Sheet{})
}

func (p *page) queryGroup(g sitting.QueryGroup) {
	p.groupHead(g)
	for _, q := range g.Queries {
		x := p.exerciseOf(q)
		p.raw("<div class=\"query\"><p class=\"who\"><span>Form <span class=\"code\">")
		p.text(q.Work.Form.Code)
		p.raw("</span>, ")
		p.text(q.Work.Name())
		p.raw("</span> <span class=\"marks\">", count(q.Stake, "mark", "marks"), " of the part at stake</span></p>\n<p class=\"came\">It says <b class=\"typed\">")
		p.text(shown(q.Box.Text))
		p.raw("</b>")
		if q.Box.Unit != "" {
			p.raw(" with the unit <b class=\"typed\">")
			p.text(shown(q.Box.Unit))
			p.raw("</b>")
		}
		p.raw("</p>\n<div class=\"weighed\"><div><h3>Readings</h3>")
		x.readingWords(q.Sheet, q.Box)
		p.raw("</div>\n<div><h3>Right is</h3><p>")
		x.answerText(q.Sheet, q.Right, true)
		p.raw("</p></div></div>\n<p class=\"ask\"><b>To decide:</b> ")
		p.text(shown(q.Box.Ask))
		p.raw("</p></div>\n")
	}
	p.raw("</section>\n")
}

func (p *page) judgeGroup(g sitting.QueryGroup) {
	p.groupHead(g)
	first := true
	for _, q := range g.Queries {
		if first {
			first = false
			x := p.exerciseOf(q)
			for _, k := range x.key.Parts {
				for _, a := range k.Answers {
					if a.Box == q.Right.Box {
						x.credit(k)
					}
				}
			}
		}
		p.raw("<div class=\"query\"><p class=\"who\"><span>Form <span class=\"code\">")
		p.text(q.Work.Form.Code)
		p.raw("</span>, ")
		p.text(q.Work.Name())
		p.raw("</span> <span class=\"marks\">", count(q.Stake, "mark", "marks"), " at stake</span></p>\n<p class=\"came\">")
		if q.Box.Text == "" {
			p.raw("<span class=\"none\">on paper, or nothing</span>")
		} else {
			p.raw("<span class=\"typed\">")
			p.text(shown(q.Box.Text))
			p.raw("</span>")
		}
		p.raw("</p></div>\n")
	}
	p.raw("</section>\n")
}
