package render

import (
	"cmp"
	"io"
	"strconv"
	"strings"

	"loopdrill/exercises/marking"
	"loopdrill/exercises/sitting"
)

// RecordPage is the record of one person to sign: written and observed evidence
// side by side, and every answer with what decided its mark.
type RecordPage struct {
	Head
	Work *sitting.Work
}

// RecordOf makes the record of a marked work.
func RecordOf(w *sitting.Work) RecordPage { return RecordPage{Head: HeadOf(w.Form), Work: w} }

// title is the heading that the evidence allows: without a passed observation,
// and without the written part passed, it is evidence only.
func (r RecordPage) title() string {
	if r.Work.Standing() != sitting.Passed {
		return "Evidence towards competence"
	}
	passed := len(r.Work.Observed) > 0
	for _, t := range r.Work.Observed {
		passed = passed && t.Outcome(r.PassMark) == sitting.TaskPassed
	}
	if passed {
		return "Record of competence"
	}
	return "Evidence towards competence"
}

// Record writes a record.
func (r *Renderer) Record(w io.Writer, c RecordPage) error {
	p := newPage(r, "record", c.Head)
	k := c.Work
	p.print = printStrings{topLeft: c.CourseTitle, topMiddle: assessorOnly, topRight: "Form " + c.Code, bottomLeft: c.title() + ": " + k.Name()}
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the evidence</a>\n<header class=\"cover\">\n<p class=\"kind\">")
	p.text(string(c.Purpose))
	p.raw("</p>\n<h1>")
	p.text(c.title())
	p.raw("</h1>\n")
	p.raw("<div class=\"title-block\">\n")
	p.cell("Name", k.Name(), "wide")
	p.cell("Name as written on the work", cmp.Or(k.Typed, "none"), "")
	p.cell("Course", c.CourseTitle, "wide")
	p.cell("Date of the work", cmp.Or(k.Date, "not said"), "")
	p.cell("Form code", c.Code, "code")
	p.cell("Made by", "loopdrill "+c.Version, "")
	p.cell("Answers came from", k.File, "")
	p.raw("</div>\n</header>\n<main id=\"work\">\n")
	p.raw("<div class=\"evidence\">\n<section><h2>Written</h2>\n")
	p.recordWritten(c)
	p.raw("</section>\n<section><h2>Observed</h2>\n")
	p.recordObserved(c)
	p.raw("</section>\n</div>\n")
	p.recordDecisions(k)
	p.raw("<div class=\"signatures\">\n")
	for _, who := range []string{"Assessed by", "Second marker", "Apprentice, seen"} {
		p.raw("<div class=\"signature\"><span class=\"field\">", who, "</span><span class=\"line\"></span><span class=\"field\">Date</span><span class=\"line short\"></span></div>\n")
	}
	p.raw("</div>\n")
	p.recordAnswers(k)
	p.raw("</main>\n")
	return p.finish(w, c.title()+", form "+c.Code+": "+c.CourseTitle)
}

func (p *page) recordWritten(c RecordPage) {
	k := c.Work
	p.standing(k)
	p.raw("<p><b>", marksWords(k.Result.Least, k.Result.Most), " of ", count(k.Result.Marks, "mark", "marks"), "</b>")
	if c.PassMark > 0 {
		p.raw("; pass mark ")
		p.text(passMark(k.Result.Marks, c.PassMark))
	}
	p.raw("</p>\n<table class=\"record-marks\"><caption class=\"vh\">Marks by exercise</caption><thead><tr><th scope=\"col\">Exercise</th><th scope=\"col\">Marks</th><th scope=\"col\">Of</th></tr></thead>\n<tbody>\n")
	for i, d := range k.Form.Items {
		p.raw("<tr><th scope=\"row\"><b>", strconv.Itoa(d.Exercise.Number), "</b> ")
		p.text(cmp.Or(d.Item.Sheet.Title, d.Exercise.Title))
		r := k.Result.Items[i]
		p.raw("</th><td class=\"n\">", marksWords(r.Least, r.Most), "</td><td class=\"n\">", strconv.Itoa(marksOf(d.Item.Sheet)), "</td></tr>\n")
	}
	p.raw("</tbody></table>\n")
}

func (p *page) recordObserved(c RecordPage) {
	k := c.Work
	if len(k.Observed) == 0 {
		p.raw("<p>No practical task was observed. What is written here shows what was known on paper; it does not show that a real loop was checked safely.</p>\n")
		return
	}
	for _, t := range k.Observed {
		outcome := t.Outcome(c.PassMark)
		p.raw("<h3>")
		p.text(t.Name)
		p.raw("</h3>\n<p class=\"standing ", map[sitting.Outcome]string{sitting.TaskPassed: "is-pass", sitting.TaskFailed: "is-not", sitting.TaskUndecided: "is-open"}[outcome], "\"><b>", strings.ToUpper(string(outcome)[:1])+string(outcome)[1:], "</b></p>\n<p>Observed by ")
		p.text(t.Assessor + ", " + t.Date)
		p.raw("</p>\n")
		p.taskFacts(t)
		p.raw("<table class=\"observed\"><caption class=\"vh\">Steps observed</caption><thead><tr><th scope=\"col\">Step</th><th scope=\"col\">Seen</th></tr></thead>\n<tbody>\n")
		for _, s := range t.Steps {
			p.raw("<tr><th scope=\"row\">")
			p.text(s.Text)
			if s.Critical {
				p.raw(" <b class=\"critical\">critical</b>")
			}
			p.raw("</th><td>")
			p.text(string(s.Result))
			if s.Words != "" {
				p.raw(": ")
				p.text("“" + s.Words + "”")
			}
			p.raw("</td></tr>\n")
		}
		p.raw("</tbody></table>\n")
		n := t.Counts()
		p.raw("<p class=\"note\">", strconv.Itoa(n[sitting.Done]), " done, ", strconv.Itoa(n[sitting.Prompted]), " after a prompt, ", strconv.Itoa(n[sitting.NotDone]), " not done, ", strconv.Itoa(n[sitting.NotSeen]),
			" not seen. A critical step that was prompted or not done fails the task whatever the rest.</p>\n")
	}
}

// taskFacts says what the observation sheet has beside the steps.
func (p *page) taskFacts(t sitting.Task) {
	facts := [][2]string{{"Identity", t.Identity}, {"Serial numbers", t.Serials}, {"Conditions", t.Conditions}, {"Arrangements", t.Arrangements}, {"Broken off", t.Stopped}}
	p.raw("<dl class=\"task-facts\">\n")
	for _, f := range facts {
		if f[1] == "" && f[0] == "Broken off" {
			continue
		}
		p.raw("<div><dt>", f[0], "</dt><dd>")
		p.text(cmp.Or(f[1], "not said"))
		p.raw("</dd></div>\n")
	}
	p.raw("</dl>\n")
}

// recordDecisions lists what people decided.
func (p *page) recordDecisions(k *sitting.Work) {
	var lines []string
	for i, d := range k.Form.Items {
		for _, part := range k.Result.Items[i].Parts {
			name := marking.PartName(d.Exercise.Number, part.Label)
			if o := part.Override; o != nil {
				lines = append(lines, "Part "+name+": "+strconv.Itoa(o.Mark)+" of "+strconv.Itoa(part.Marks)+" instead of "+marksWords(o.WasLeast, o.WasMost)+". "+o.Reason+" ("+o.By+", "+o.Date+")")
			}
			if part.Safety {
				lines = append(lines, "Part "+name+" earned nothing for safety")
			}
			for _, b := range part.Boxes {
				key := marking.PartName(d.Exercise.Number, b.Box)
				if h, ok := k.Hand[key]; ok {
					lines = append(lines, "Box "+key+": "+count(h.Mark, "mark", "marks")+" by hand ("+h.By+")")
				}
				if dec := k.Decisions[key]; dec.Used {
					what := "is " + dec.Verdict.Words()
					if dec.Reads != "" {
						what = "reads “" + shown(dec.Reads) + "”"
					}
					lines = append(lines, "Box "+key+": “"+shown(b.Text)+"” "+what+" ("+dec.By+")")
				}
			}
		}
	}
	if lines == nil {
		return
	}
	p.raw("<section class=\"decided\"><h2>Decided by a person</h2>\n<ul>\n")
	for _, l := range lines {
		p.raw("<li>")
		p.text(l)
		p.raw("</li>\n")
	}
	p.raw("</ul></section>\n")
}

// recordAnswers is every answer as it came, with what decided.
func (p *page) recordAnswers(k *sitting.Work) {
	p.raw("<section class=\"all-answers\"><h2>Every answer</h2>\n")
	p.scroll("every answer", false)
	p.raw("<table class=\"answers\"><caption class=\"vh\">Every answer with its verdict</caption><thead><tr><th scope=\"col\">Marks</th><th scope=\"col\">Box</th><th scope=\"col\">As it came</th><th scope=\"col\">Read as</th><th scope=\"col\">Verdict</th><th scope=\"col\">Rule</th><th scope=\"col\">Slip</th></tr></thead>\n")
	for i, d := range k.Form.Items {
		x := newExercise(p, d.Exercise.Number, d.Item.Sheet)
		x.key = &d.Item.Key
		for j, part := range k.Result.Items[i].Parts {
			p.raw("<tbody>\n")
			for n, b := range part.Boxes {
				p.raw("<tr>")
				if n == 0 {
					p.raw("<th scope=\"rowgroup\" rowspan=\"", strconv.Itoa(len(part.Boxes)), "\">", marksWords(part.Least, part.Most), " of ", strconv.Itoa(part.Marks))
					if part.Override != nil {
						p.raw(", override by ")
						p.text(part.Override.By)
					}
					p.raw("</th>")
				}
				p.raw("<td class=\"code\">")
				p.text(marking.PartName(d.Exercise.Number, b.Box))
				p.raw("</td><td>")
				x.asItCame(b)
				p.raw("</td><td>")
				for m, r := range b.Readings {
					if m > 0 {
						p.raw(" or ")
					}
					if len(d.Item.Sheet.Parts[j].Boxes[n].Options) > 0 && b.Order == nil {
						x.optionText(d.Item.Sheet.Parts[j].Boxes[n], r.Text)
					} else {
						p.text(r.Text)
					}
				}
				p.raw("</td><td>")
				p.text(b.Verdict.Words())
				p.raw("</td><td class=\"code\">")
				p.text(string(b.Rule))
				p.raw("</td><td>")
				for m, s := range b.Slips {
					if m > 0 {
						p.raw(" or ")
					}
					p.text(s.Name)
				}
				p.raw("</td></tr>\n")
			}
			p.raw("</tbody>\n")
		}
	}
	p.raw("</table></div>\n")
	if len(k.Strange) > 0 {
		p.raw("<p class=\"note\">The file also holds ", count(len(k.Strange), "answer", "answers"), " to boxes that the form does not have; they stand in the file as they came.</p>\n")
	}
	p.raw("</section>\n")
}

// asItCame writes the text of a box, its unit and its tick.
func (x *exercise) asItCame(b marking.BoxResult) {
	p := x.p
	text := strings.TrimSpace(b.Text)
	if text == "" && b.Unit == "" && !b.Ticked {
		p.raw("<span class=\"none\">nothing</span>")
		return
	}
	p.text(shown(text))
	if b.Unit != "" {
		p.raw(" <span class=\"unit\">")
		p.text(shown(b.Unit))
		p.raw("</span>")
	}
	if b.Ticked {
		p.raw(" <span class=\"stop\">ticked</span>")
	}
}
