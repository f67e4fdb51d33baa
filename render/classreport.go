package render

import (
	"io"
	"path"
	"strconv"

	"loopdrill/exercises/classfigures"
	"loopdrill/exercises/sitting"
	"loopdrill/scenarios/diag"
)

// ClassReportPage is what the assessor reads about a class.
type ClassReportPage struct {
	Head   // of the course; Number and Code are not used
	Report sitting.Report
	Aside  []diag.Diagnostic // what was set aside or passed over
	// Links gives the addresses of a person's pages, seen from the report.
	Links func(*sitting.Work) PersonLinks
	// Queries and Moderation are the addresses of those pages.
	Queries, Moderation string
}

// PersonLinks are the pages of one person.
type PersonLinks struct{ Feedback, Record string }

// ClassReportOf makes the page of a report. The report has one work at least.
func ClassReportOf(r sitting.Report, aside []diag.Diagnostic) ClassReportPage {
	return ClassReportPage{Head: courseHead(r), Report: r, Aside: aside}
}

// courseHead is the head of a page about all forms of a sitting.
func courseHead(r sitting.Report) Head {
	h := HeadOf(r.Works[0].Form)
	h.Number, h.Code, h.Seed = 0, "", ""
	return h
}

// ClassReport writes a class report.
func (r *Renderer) ClassReport(w io.Writer, c ClassReportPage) error {
	p := newPage(r, "class-report", c.Head)
	p.print = printStrings{topLeft: c.CourseTitle, topMiddle: assessorOnly, topRight: "Class report", bottomLeft: "Class report"}
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the marks</a>\n<header class=\"cover\">\n<p class=\"keep\">", assessorOnly, "</p>\n<p class=\"kind\">Class report, ")
	p.text(string(c.Purpose))
	p.raw("</p>\n<h1>")
	p.text(c.CourseTitle)
	p.raw("</h1>\n<div class=\"title-block\">\n")
	rep := c.Report
	p.cell("Forms marked", strconv.Itoa(len(rep.Works)), "")
	p.cell("Marks", strconv.Itoa(rep.Marks), "")
	if rep.Pass > 0 {
		p.cell("Pass mark", passMark(rep.Marks, rep.PassPercent), "")
		p.cell("Passed", strconv.Itoa(rep.Passed), "")
		p.cell("Not yet", strconv.Itoa(rep.NotYet), "")
		p.cell("Not decided", strconv.Itoa(rep.Undecided), "")
	}
	p.raw("</div>\n")
	p.openWork(c)
	p.raw("</header>\n<main id=\"work\">\n")
	p.reportSummary(rep)
	p.reportPeople(c)
	p.reportQuestions(rep)
	p.reportSlips(rep)
	p.reportFaults(rep.Faults)
	p.reportFigures(rep)
	p.reportAside(c.Aside)
	p.raw("</main>\n")
	return p.finish(w, "Class report, assessor only: "+c.CourseTitle)
}

// openWork says what is still to be done by a person.
func (p *page) openWork(c ClassReportPage) {
	rep := c.Report
	p.raw("<ul class=\"to-do\">\n")
	item := func(n int, one, many, address, page string) {
		if n == 0 {
			return
		}
		p.raw("<li>", count(n, one, many), ": see ")
		p.link2(address, page)
		p.raw("</li>\n")
	}
	item(rep.OpenQueries, "answer waits for your decision", "answers wait for your decision", c.Queries, "the queries")
	item(rep.OpenJudged, "answer is to be marked by hand", "answers are to be marked by hand", c.Queries, "the queries")
	item(len(rep.Sample), "form is proposed for second marking", "forms are proposed for second marking", c.Moderation, "second marking")
	p.raw("</ul>\n")
}

// link2 writes a link, or its words where there is no address.
func (p *page) link2(address, words string) {
	if address == "" {
		p.text(words)
		return
	}
	p.raw("<a href=\"")
	p.attr(address)
	p.raw("\">")
	p.text(words)
	p.raw("</a>")
}

// reportSummary says what stands out, as far as so few people can show it.
func (p *page) reportSummary(r sitting.Report) {
	p.raw("<section><h2>What stands out</h2>\n<ul class=\"stands-out\">\n")
	said := 0
	for _, s := range r.Slips {
		best := 0
		for i, n := range s.Counts {
			if n > s.Counts[best] {
				best = i
			}
		}
		if s.Counts[best] < 2 || said == 4 {
			continue
		}
		said++
		q := r.Questions[best]
		p.raw("<li><b>")
		p.text(s.Name)
		p.raw("</b>: ", strconv.Itoa(s.Counts[best]), " of ", strconv.Itoa(len(r.Works)), " in question ")
		p.text(q.Name)
		p.raw(" (")
		p.text(q.Title)
		p.raw(")")
		if s.Total > s.Counts[best] {
			p.raw("; ", strconv.Itoa(s.Total), " times in all")
		}
		p.raw("</li>\n")
	}
	if said == 0 {
		p.raw("<li>No slip was made by two people in the same question.</li>\n")
	}
	weak := 0
	for _, q := range r.Questions {
		if high, ok := q.Interval.High.Value(); ok && high < 0.5 && weak < 4 {
			weak++
			p.raw("<li>Question ")
			p.text(q.Name)
			p.raw(" (")
			p.text(q.Title)
			p.raw("): ", strconv.Itoa(q.Full), " of ", strconv.Itoa(q.Settled()), " had it right; even the upper end of the interval lies below one half. ")
			p.raw("Teach it again, or look at the question.</li>\n")
		}
	}
	p.raw("</ul></section>\n")
}

// reportPeople is the table of marks with its chart.
func (p *page) reportPeople(c ClassReportPage) {
	rep := c.Report
	near := map[*sitting.Work]bool{}
	for _, w := range rep.Near {
		near[w] = true
	}
	p.raw("<section><h2>Marks</h2>\n<figure class=\"chart-figure\">\n")
	p.marksChart(rep)
	p.raw("</figure>\n")
	p.scroll("marks of everybody", false)
	p.raw("<table class=\"people\"><caption class=\"vh\">Marks of everybody</caption><thead><tr><th scope=\"col\">No.</th><th scope=\"col\">Who</th><th scope=\"col\">Form</th><th scope=\"col\">Marks</th><th scope=\"col\">Standing</th><th scope=\"col\">To look at</th><th scope=\"col\">Pages</th></tr></thead>\n<tbody>\n")
	for _, w := range rep.Works {
		p.raw("<tr><td class=\"n\">", strconv.Itoa(w.Form.Number), "</td><th scope=\"row\">")
		p.text(w.Name())
		p.raw("</th><td class=\"code\">")
		p.text(w.Form.Code)
		p.raw("</td><td class=\"n\">", marksWords(w.Result.Least, w.Result.Most), "</td><td>", standingWords(w.Standing()), "</td><td>")
		notes := workNotes(w)
		if near[w] {
			notes = append([]string{"near the pass mark"}, notes...)
		}
		for i, n := range notes {
			if i > 0 {
				p.raw("; ")
			}
			p.text(n)
		}
		p.raw("</td><td>")
		if c.Links != nil {
			l := c.Links(w)
			p.link2(l.Feedback, "feedback")
			p.raw(", ")
			p.link2(l.Record, "record")
		}
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table></div>\n")
	if rep.Pass > 0 {
		p.raw("<p class=\"note\">Near the pass mark: within ", strconv.FormatFloat(rep.Margin, 'f', 1, 64), " marks of ", strconv.Itoa(rep.Pass),
			", one standard error of the marks or 5&nbsp;% of them, whichever is more. Another form might have decided the other way.</p>\n")
	}
	p.raw("</section>\n")
}

// workNotes are what an assessor should know about a work beside its marks.
func workNotes(w *sitting.Work) []string {
	var out []string
	queries, judged := w.Open()
	if queries > 0 {
		out = append(out, count(queries, "query", "queries"))
	}
	if judged > 0 {
		out = append(out, strconv.Itoa(judged)+" to mark by hand")
	}
	if n := len(w.Result.Overrides); n > 0 {
		out = append(out, count(n, "override", "overrides"))
	}
	safety := 0
	for _, item := range w.Result.Items {
		for _, part := range item.Parts {
			if part.Safety {
				safety++
			}
		}
	}
	if safety > 0 {
		out = append(out, count(safety, "part", "parts")+" lost for safety")
	}
	if n := len(w.Strange); n > 0 {
		out = append(out, count(n, "answer", "answers")+" to boxes that the form does not have")
	}
	return out
}

// reportQuestions is the table of questions with counts and intervals.
func (p *page) reportQuestions(r sitting.Report) {
	p.raw("<section><h2>Questions</h2>\n")
	p.scroll("questions", false)
	p.raw("<table class=\"questions\"><caption class=\"vh\">Every question with its counts</caption><thead><tr><th scope=\"col\">Question</th><th scope=\"col\">Of</th><th scope=\"col\">All marks</th><th scope=\"col\">Some</th><th scope=\"col\">None</th><th scope=\"col\">of these blank</th><th scope=\"col\">Open</th>",
		"<th scope=\"col\">All marks, 95&nbsp;% interval</th><th scope=\"col\">With the rest</th></tr></thead>\n")
	number := 0
	for i, q := range r.Questions {
		if q.Number != number {
			if i > 0 {
				p.raw("</tbody>\n")
			}
			number = q.Number
			p.raw("<tbody><tr class=\"group\"><th colspan=\"9\" scope=\"rowgroup\"><b>", strconv.Itoa(q.Number), "</b> ")
			p.text(q.Title)
			p.raw("</th></tr>\n")
		}
		p.raw("<tr><th scope=\"row\">")
		p.text(q.Name)
		p.raw("</th><td class=\"n\">", strconv.Itoa(q.Marks), "</td>")
		for _, n := range []int{q.Full, q.Some, q.None, q.Blank, q.Open} {
			p.raw("<td class=\"n\">", strconv.Itoa(n), "</td>")
		}
		p.raw("<td>")
		p.text(intervalWords(q.Interval, q.TooFew()))
		p.raw("</td><td>")
		p.text(itemTotalWords(q, len(r.Works)))
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table></div>\n<p class=\"note\">Intervals are Wilson's for a share. “Too few to tell”: the interval is wider than one half. ",
		"“Look at this question”: those who did well in the rest did not do better in it; in a small class that can be chance.</p>\n</section>\n")
}

// intervalWords prints an interval of a share in percent.
func intervalWords(i classfigures.Interval, few bool) string {
	low, ok1 := i.Low.Value()
	high, ok2 := i.High.Value()
	if !ok1 || !ok2 {
		return classfigures.NotAvailable
	}
	s := strconv.Itoa(int(100*low+0.5)) + " to " + strconv.Itoa(int(100*high+0.5)) + " %"
	if few {
		s += ", too few to tell"
	}
	return s
}

// fewForItems is the class below which a question's correlation with the rest is
// not printed at all.
const fewForItems = 10

func itemTotalWords(q sitting.Question, people int) string {
	v, ok := q.ItemTotal.Value()
	switch {
	case q.Settled()+q.Open < people:
		return "not in every form"
	case !ok:
		return classfigures.NotAvailable
	case people < fewForItems:
		return "too few to tell"
	case v < 0:
		return q.ItemTotal.Text(2) + ", look at this question"
	}
	return q.ItemTotal.Text(2)
}

// reportSlips is the heat map of slips by question with its table.
func (p *page) reportSlips(r sitting.Report) {
	p.raw("<section><h2>Slips</h2>\n")
	if len(r.Slips) == 0 {
		p.raw("<p>No wrong answer was one that a known slip gives.</p>\n")
	} else {
		p.slipChart(r)
		p.slipTable(r)
	}
	n := 0
	for _, k := range r.Unnamed {
		n += k
	}
	p.raw("<p class=\"note\">People are counted, each once a slip and question. An answer that two slips give counts for neither. ",
		count(n, "question", "questions"), " of somebody had a wrong answer that no known slip gives; nothing is guessed about those.</p>\n</section>\n")
}

// slipTable lists each slip with the questions in which it was made, which stays
// readable on a small screen where a wide table would not.
func (p *page) slipTable(r sitting.Report) {
	p.scroll("slips by question", false)
	p.raw("<table class=\"slip-table\"><caption class=\"vh\">Slips by question</caption><thead><tr><th scope=\"col\">Slip</th><th scope=\"col\">Times</th><th scope=\"col\">In questions (people)</th><th scope=\"col\">Who, by number of the form</th></tr></thead>\n<tbody>\n")
	for _, s := range r.Slips {
		p.raw("<tr><th scope=\"row\">")
		p.text(s.Name)
		p.raw("</th><td class=\"n\">", strconv.Itoa(s.Total), "</td><td>")
		first := true
		for i, n := range s.Counts {
			if n == 0 {
				continue
			}
			if !first {
				p.raw(", ")
			}
			first = false
			p.text(r.Questions[i].Name)
			p.raw(" (", strconv.Itoa(n), ")")
		}
		p.raw("</td><td>")
		for i, w := range s.Who {
			if i > 0 {
				p.raw(", ")
			}
			p.int(w.Form.Number)
		}
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table></div>\n")
}

// reportFaults is the table of which fault was named for which.
func (p *page) reportFaults(c *sitting.Confusion) {
	p.raw("<section><h2>Faults taken for one another</h2>\n")
	if c == nil {
		p.raw("<p>No exercise of these forms asks for a fault by its name.</p></section>\n")
		return
	}
	p.scroll("faults taken for one another", false)
	p.raw("<table class=\"confusion\"><caption>What was put in (rows) and what was named (columns)</caption><thead><tr><td></td>")
	for _, f := range c.Classes {
		p.raw("<th scope=\"col\">")
		p.text(f)
		p.raw("</th>")
	}
	p.raw("<th scope=\"col\">nothing</th><th scope=\"col\">found</th></tr></thead>\n<tbody>\n")
	for i, row := range c.Counts {
		p.raw("<tr><th scope=\"row\">")
		p.text(c.Classes[i])
		p.raw("</th>")
		sum := 0
		for j, n := range row {
			sum += n
			class := "n"
			if i == j {
				class = "n same"
			}
			p.raw("<td class=\"", class, "\">")
			if n > 0 || i == j {
				p.raw(strconv.Itoa(n))
			}
			p.raw("</td>")
		}
		p.raw("<td class=\"n\">", strconv.Itoa(c.Blank[i]), "</td><td class=\"n\">", strconv.Itoa(row[i]), " of ", strconv.Itoa(sum), "</td></tr>\n")
	}
	p.raw("</tbody></table></div>\n<p class=\"note\">Named rightly: ", strconv.Itoa(c.Right), " of ", strconv.Itoa(c.All), ", ")
	low, ok1 := c.Interval.Low.Value()
	high, ok2 := c.Interval.High.Value()
	p.text(intervalWords(c.Interval, !ok1 || !ok2 || high-low > sitting.Wide))
	p.raw(" (Wilson, 95&nbsp;%). Rows with fewer than five people say nothing of a class.</p></section>\n")
}

// reportFigures says how far the marks can be trusted.
func (p *page) reportFigures(r sitting.Report) {
	p.raw("<section><h2>How far the marks can be trusted</h2>\n<dl class=\"figures\">\n")
	row := func(name, value, says string) {
		p.raw("<div><dt>", name, "</dt><dd><b>")
		p.text(value)
		p.raw("</b> <span>", says, "</span></dd></div>\n")
	}
	row("Mean of the marks", r.Mean.Text(1), "of "+strconv.Itoa(r.Marks))
	row("Standard deviation", r.Deviation.Text(1), "marks")
	alpha := r.Alpha.Text(2)
	says := "95&nbsp;% interval " + r.Feldt.Text(2) + " (Feldt)"
	if r.TooFewForAlpha() {
		says += ": too few to tell"
	}
	row("Cronbach’s alpha", alpha, says+"; over "+count(r.Exercises, "exercise", "exercises")+", since the parts of one feed each other")
	row("Standard error of the marks", r.Error.Text(1), "marks: a second form would give about this much more or less")
	p.raw("</dl>\n")
	if r.OpenQueries+r.OpenJudged > 0 {
		p.raw("<p class=\"note\">Answers that are not decided yet count as nothing in these figures.</p>\n")
	}
	p.raw("</section>\n")
}

// reportAside lists what was set aside.
func (p *page) reportAside(ds []diag.Diagnostic) {
	if len(ds) == 0 {
		return
	}
	p.raw("<section><h2>Set aside or passed over</h2>\n<ul class=\"aside\">\n")
	for _, d := range ds {
		p.raw("<li><b>")
		p.text(map[diag.Severity]string{diag.Error: "Set aside", diag.Warning: "Note"}[d.Severity])
		p.raw("</b> <code>")
		at := path.Base(d.At.File)
		if d.At.Line > 0 {
			at += ":" + strconv.Itoa(d.At.Line)
		}
		p.text(at)
		p.raw("</code> ")
		p.text(shown(d.Summary))
		if d.Hint != "" {
			p.raw(" <span class=\"hint\">")
			p.text(sentence(d.Hint))
			p.raw("</span>")
		}
		p.raw("</li>\n")
	}
	p.raw("</ul></section>\n")
}
