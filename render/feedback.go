package render

import (
	"cmp"
	"io"
	"slices"
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/marking"
	"loopdrill/exercises/sitting"
)

// FeedbackPage is what one apprentice gets back: what was right, where the first
// error came in, what it probably was, their own numbers carried on, and what to
// practise next.
type FeedbackPage struct {
	Head
	Work *sitting.Work
	// Practice is the address of a practice workbook of the same course, seen
	// from the page; empty: there is none to link to.
	Practice string
}

// FeedbackOf makes the page of a marked work.
func FeedbackOf(w *sitting.Work, practice string) FeedbackPage {
	return FeedbackPage{Head: HeadOf(w.Form), Work: w, Practice: practice}
}

// Feedback writes a feedback page.
func (r *Renderer) Feedback(w io.Writer, f FeedbackPage) error {
	p := newPage(r, "feedback", f.Head)
	k := f.Work
	p.print = printStrings{topLeft: f.CourseTitle, topRight: "Form " + f.Code, bottomLeft: "Feedback for " + k.Name()}
	p.raw("<a class=\"skip\" href=\"#work\">Skip to the answers</a>\n<header class=\"cover\">\n<p class=\"kind\">")
	p.text("Feedback on " + string(f.Purpose) + " workbook " + strconv.Itoa(f.Number))
	p.raw("</p>\n<h1>")
	p.text(f.CourseTitle)
	p.raw("</h1>\n<div class=\"title-block\">\n")
	p.cell("Name", k.Name(), "wide")
	p.cell("Date of the work", cmp.Or(k.Date, "not said"), "")
	p.cell("Form code", f.Code, "code")
	p.cell("Marks", marksWords(k.Result.Least, k.Result.Most)+" of "+strconv.Itoa(k.Result.Marks), "")
	if f.PassMark > 0 {
		p.cell("Pass mark", passMark(k.Result.Marks, f.PassMark), "")
	}
	p.raw("</div>\n")
	p.standing(k)
	p.raw("</header>\n<main id=\"work\">\n")
	p.feedbackSummary(f)
	for i, d := range k.Form.Items {
		p.feedbackItem(k, d, k.Result.Items[i])
	}
	p.raw("</main>\n")
	return p.finish(w, "Feedback, form "+f.Code+": "+f.CourseTitle)
}

// marksWords prints marks that may still be open: "12", "12 to 15".
func marksWords(least, most int) string {
	if least == most {
		return strconv.Itoa(least)
	}
	return strconv.Itoa(least) + " to " + strconv.Itoa(most)
}

func standingWords(s sitting.Standing) string {
	switch s {
	case sitting.Passed:
		return "Passed"
	case sitting.NotYet:
		return "Not yet passed"
	case sitting.Undecided:
		return "Not decided yet"
	}
	return "No pass mark is set"
}

// standing says how the work stands, with a shape and in words.
func (p *page) standing(k *sitting.Work) {
	s := k.Standing()
	if s == sitting.NoPass {
		return
	}
	p.raw("<p class=\"standing ", map[sitting.Standing]string{sitting.Passed: "is-pass", sitting.NotYet: "is-not", sitting.Undecided: "is-open"}[s], "\"><b>", standingWords(s), "</b>")
	if s == sitting.Undecided {
		p.raw(": the assessor has some answers still to decide.")
	}
	p.raw("</p>\n")
}

// feedbackSummary lists what was right in one breath, then what to practise.
func (p *page) feedbackSummary(f FeedbackPage) {
	type lost struct {
		number, marks int
		title         string
		atBench       bool
	}
	var right []string
	var practise []lost
	for i, d := range f.Work.Form.Items {
		item, all := f.Work.Result.Items[i], marksOf(d.Item.Sheet)
		title := cmp.Or(d.Item.Sheet.Title, d.Exercise.Title)
		if item.Least == all {
			right = append(right, strconv.Itoa(d.Exercise.Number)+" "+title)
		} else if item.Most < all {
			practise = append(practise, lost{d.Exercise.Number, all - item.Most, title, d.Item.Key.Bench != nil})
		}
	}
	if right != nil {
		p.raw("<section class=\"all-right\"><h2>All right</h2>\n<ul>\n")
		for _, t := range right {
			p.raw("<li>")
			p.text(t)
			p.raw("</li>\n")
		}
		p.raw("</ul></section>\n")
	}
	if practise == nil {
		return
	}
	slices.SortStableFunc(practise, func(a, b lost) int { return cmp.Compare(b.marks, a.marks) })
	p.raw("<section class=\"practise\"><h2>What to practise next</h2>\n<ol>\n")
	for _, l := range practise[:min(4, len(practise))] {
		p.raw("<li>")
		n := strconv.Itoa(l.number)
		link := f.Practice != "" && !l.atBench
		if link {
			p.raw("<a href=\"")
			p.attr(f.Practice)
			p.raw("#x", n, "\">")
		}
		p.text("Exercise " + n + ", " + l.title)
		if link {
			p.raw("</a>")
		}
		if l.atBench {
			p.raw(", at the bench")
		}
		p.raw(" <span class=\"marks\">", count(l.marks, "mark", "marks"), " to gain</span></li>\n")
	}
	p.raw("</ol>\n")
	if f.Practice != "" {
		p.raw("<p>The links lead to a practice workbook with other numbers. Its solutions are folded away under each exercise.</p>\n")
	}
	p.raw("</section>\n")
}

// feedbackItem writes what became of an exercise: a line where all was right,
// else part by part.
func (p *page) feedbackItem(k *sitting.Work, d exercises.Drawn, r marking.ItemResult) {
	all := marksOf(d.Item.Sheet)
	first := firstError(r)
	if r.Least == all && first == "" && !overridden(r) {
		return // it stands among those that are all right
	}
	x := newExercise(p, d.Exercise.Number, d.Item.Sheet)
	x.key = &d.Item.Key
	p.raw("<section class=\"exercise\" id=\"", x.prefix, "\" aria-labelledby=\"", x.prefix, "-head\">\n<div class=\"xhead\"><div class=\"xhead-line\"><h3 id=\"", x.prefix, "-head\"><span class=\"num\"><span class=\"vh\">Exercise </span>", x.number, "</span> ")
	p.text(cmp.Or(d.Item.Sheet.Title, d.Exercise.Title))
	p.raw("</h3><p class=\"marks\">", marksWords(r.Least, r.Most), " of ", count(all, "mark", "marks"), "</p></div></div>\n<div class=\"xbody\">\n")
	if first != "" {
		p.raw("<p class=\"first-error\">The first error came in at <b>")
		p.text(first)
		p.raw("</b>.")
		if followed(r) {
			p.raw(" What you worked out from it afterwards was carried on rightly and has its marks.")
		}
		p.raw("</p>\n")
	}
	if d.Item.Key.Fault != "" && r.Least < all {
		p.raw("<p class=\"fault\"><span class=\"what\">What was wrong in the loop</span> <b>")
		p.text(d.Item.Key.Fault)
		p.raw("</b></p>\n")
	}
	var fine []string
	for i, part := range d.Item.Sheet.Parts {
		if plainlyRight(r.Parts[i]) {
			fine = append(fine, "("+part.Label+")")
		}
	}
	if fine != nil {
		p.raw("<p class=\"verdict is-right\">Right: ")
		p.text(strings.Join(fine, ", "))
		p.raw("</p>\n")
	}
	for i, part := range d.Item.Sheet.Parts {
		if !plainlyRight(r.Parts[i]) {
			x.feedbackPart(k, part, d.Item.Key.Parts[i], r.Parts[i])
		}
	}
	p.raw("</div>\n</section>\n")
}

// plainlyRight says that there is nothing to say about a part.
func plainlyRight(r marking.PartResult) bool {
	return r.Least == r.Marks && r.Override == nil &&
		!slices.ContainsFunc(r.Boxes, func(b marking.BoxResult) bool { return b.Verdict != marking.Correct && b.Verdict != marking.ByHand })
}

// overridden says that the assessor gave a part another mark.
func overridden(r marking.ItemResult) bool {
	return slices.ContainsFunc(r.Parts, func(p marking.PartResult) bool { return p.Override != nil })
}

// firstError names the first box that is wrong by its own doing.
func firstError(r marking.ItemResult) string {
	for _, p := range r.Parts {
		for i, b := range p.Boxes {
			if b.Verdict == marking.Wrong || b.Verdict == marking.WrongUnit && !b.NumberRight {
				if len(p.Boxes) == 1 {
					return "part (" + p.Label + ")"
				}
				return "part (" + p.Label + "), box " + strconv.Itoa(i+1)
			}
		}
	}
	return ""
}

func followed(r marking.ItemResult) bool {
	for _, p := range r.Parts {
		for _, b := range p.Boxes {
			if b.Verdict == marking.FollowThrough {
				return true
			}
		}
	}
	return false
}

// feedbackPart writes the answers of a part with what became of them, then why.
func (x *exercise) feedbackPart(k *sitting.Work, part exercises.Part, key exercises.PartKey, r marking.PartResult) {
	p := x.p
	p.raw("<div class=\"fed-part\">\n<h4>(")
	p.text(part.Label)
	p.raw(") <span class=\"marks\">", marksWords(r.Least, r.Most), " of ", count(r.Marks, "mark", "marks"), "</span></h4>\n<div class=\"ask\">")
	p.prose(part.Prompt)
	p.raw("</div>\n")
	if len(r.Boxes) == 1 {
		p.raw("<dl class=\"fed-one\"><div><dt>Your answer</dt><dd>")
		x.given(part.Boxes[0], r.Boxes[0])
		p.raw("</dd></div><div><dt>Judged</dt><dd>")
		p.verdict(r.Boxes[0])
		p.raw("</dd></div><div><dt>Right</dt><dd>")
		x.rightFor(part.Boxes[0], key.Answers[0])
		p.raw("</dd></div></dl>\n")
		x.reasons(k, part, key, r)
		p.raw("</div>\n")
		return
	}
	p.scroll("answers to part "+part.Label+" of exercise "+x.number, false)
	p.raw("<table class=\"fed\"><thead><tr><th scope=\"col\">Asked</th><th scope=\"col\">Your answer</th><th scope=\"col\">Judged</th><th scope=\"col\">Right</th></tr></thead>\n<tbody>\n")
	for i, b := range r.Boxes {
		sheet := part.Boxes[i]
		p.raw("<tr><th scope=\"row\">")
		p.text(askedFor(part, sheet, i))
		p.raw("</th><td>")
		x.given(sheet, b)
		p.raw("</td><td>")
		p.verdict(b)
		p.raw("</td><td>")
		x.rightFor(sheet, key.Answers[i])
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table></div>\n")
	x.reasons(k, part, key, r)
	p.raw("</div>\n")
}

// rightFor writes the right answer of a box, if there is one.
func (x *exercise) rightFor(b exercises.Box, a exercises.Answer) {
	if b.Kind == exercises.JudgedBox {
		x.p.raw("judged by a person")
		return
	}
	x.answerText(b, a, true)
}

// askedFor is a short name of a box; the prompt stands above already.
func askedFor(part exercises.Part, b exercises.Box, i int) string {
	if b.Name == "" || b.Name == part.Prompt.Plain() {
		return strconv.Itoa(i + 1)
	}
	return b.Name
}

// given writes an answer as it was given.
func (x *exercise) given(b exercises.Box, r marking.BoxResult) {
	p := x.p
	text := strings.TrimSpace(r.Text)
	switch {
	case r.Ticked && (text == "" || len(r.Readings) == 1 && r.Verdict != marking.Query):
		p.raw("<span class=\"stop\">", cannotRead, "</span>")
	case text == "":
		p.raw("<span class=\"none\">nothing</span>")
	case b.Kind == exercises.ChoiceBox && len(r.Readings) == 1:
		x.optionText(b, r.Readings[0].Text)
	case b.Kind == exercises.OrderBox && r.Order != nil:
		p.text(letters(b, r.Order.Given))
	default:
		p.raw("<span class=\"typed\">")
		p.text(shown(text))
		p.raw("</span>")
		if r.Unit != "" {
			p.raw(" ")
			p.text(shown(r.Unit))
		}
	}
}

// shown makes a text from outside visible: hidden characters as their numbers,
// long ones cut.
func shown(s string) string {
	const most = 400
	var b strings.Builder
	n := 0
	for _, c := range s {
		if n++; n > most {
			return b.String() + " …"
		}
		if c == '\n' || c == '\t' {
			c = ' '
		}
		if hiddenRune(c) {
			b.WriteString("[U+" + strings.ToUpper(strconv.FormatInt(int64(c), 16)) + "]")
			continue
		}
		b.WriteRune(c)
	}
	return b.String()
}

// verdict writes what an answer is, with a shape before the word.
func (p *page) verdict(b marking.BoxResult) {
	class, words := "is-wrong", b.Verdict.Words()
	switch b.Verdict {
	case marking.Correct:
		class = "is-right"
	case marking.FollowThrough:
		class, words = "is-right", "right from your own earlier answer"
	case marking.Query:
		class, words = "is-open", "the assessor decides"
		if b.Rule == marking.RuleJudged {
			words = "to be marked by a person"
		}
	case marking.Blank:
		class = "is-blank"
	case marking.UnitMissing:
		class, words = "is-part", "number right, unit missing"
	case marking.Figures:
		class, words = "is-part", "right, but too few or too many figures"
	case marking.WrongUnit:
		if b.NumberRight {
			class, words = "is-part", "number right, wrong unit"
		}
	case marking.ByHand:
		class = "is-part"
		if b.Earned == b.Shares {
			class = "is-right"
		}
	case marking.Wrong:
		if b.Order != nil && b.Order.Marks > 0 {
			class, words = "is-part", "right in part"
		}
	}
	p.raw("<span class=\"verdict ", class, "\">")
	p.text(words)
	p.raw("</span>")
}
