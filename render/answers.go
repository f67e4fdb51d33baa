package render

import (
	"slices"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// answer finds the right answer of a box.
func (x *exercise) answer(box string) (exercises.Answer, bool) {
	for _, part := range x.key.Parts {
		for _, a := range part.Answers {
			if a.Box == box {
				return a, true
			}
		}
	}
	return exercises.Answer{}, false
}

// box finds a box of the sheet.
func (x *exercise) box(id string) exercises.Box {
	for _, part := range x.sheet.Parts {
		for _, b := range part.Boxes {
			if b.ID == id {
				return b
			}
		}
	}
	return exercises.Box{ID: id, Name: id}
}

func (x *exercise) answerText(b exercises.Box, a exercises.Answer, unit bool) {
	switch b.Kind {
	case exercises.ChoiceBox:
		x.optionText(b, a.Option)
	case exercises.OrderBox:
		if a.Order != nil {
			x.p.text(letters(b, a.Order.Steps))
		}
	case exercises.JudgedBox:
		x.p.raw("judged by the assessor")
	default:
		x.numberOrStop(b, a.Value, a.Stop, unit)
	}
}

// letters lists the letters of options in the order of their ids.
func letters(b exercises.Box, ids []string) string {
	var out []string
	for _, id := range ids {
		out = append(out, optionLetter(b, id))
	}
	return strings.Join(out, ", ")
}

func (x *exercise) numberText(b exercises.Box, v formula.Value, unit bool) {
	u := ""
	if unit {
		u = boxUnit(b)
	}
	x.p.text(formula.WithUnit(v.Text(b.Decimals), u))
}

// optionText writes the letter of an option and its words; a picture may have
// none.
func (x *exercise) optionText(b exercises.Box, id string) {
	for i, o := range b.Options {
		if o.ID == id {
			x.p.raw(letter(i))
			if !o.Text.Empty() {
				x.p.raw(" ")
				x.p.inline(o.Text)
			}
			return
		}
	}
	x.p.text(id)
}

// fold writes the solution of a practice exercise, folded away.
func (x *exercise) fold(e SheetEntry) {
	p := x.p
	p.raw("<details class=\"solution\"><summary>Solution to exercise ", x.number, "</summary>\n<div class=\"solution-body\">\n")
	x.key = e.Solution
	for i, part := range e.Sheet.Parts {
		if i < len(x.key.Parts) {
			p.raw("<div class=\"part-solution\" data-part=\"")
			p.attr(part.Label)
			p.raw("\">\n<h4>Part (")
			p.text(part.Label)
			p.raw(")</h4>\n")
			x.partAnswers(part, x.key.Parts[i])
			x.working(x.key.Parts[i])
			x.slipsForApprentice(x.key.Parts[i])
			p.raw("</div>\n")
		}
	}
	x.chart()
	x.key = nil
	p.raw("</div></details>\n")
	x.compareData(e.Sheet, *e.Solution)
}

// partAnswers writes the answers of a part with what is accepted: in the
// part's own table where it has one, else a line for each box.
func (x *exercise) partAnswers(part exercises.Part, key exercises.PartKey) {
	p := x.p
	placed := map[string]bool{}
	if part.Table != nil {
		x.table(*part.Table, part.Boxes, "answers of part "+part.Label+" of exercise "+x.number)
		for _, row := range part.Table.Rows {
			for _, c := range row.Cells {
				placed[c.Box] = true
			}
		}
		x.tableTolerances(part, key, placed)
	}
	prompt := part.Prompt.Plain()
	for _, b := range part.Boxes {
		a, ok := x.answer(b.ID)
		if !ok || placed[b.ID] {
			continue
		}
		switch {
		case b.Kind == exercises.OrderBox && a.Order != nil:
			x.orderAnswer(b, *a.Order)
			continue
		case b.Kind == exercises.ChoiceBox && drawn(b) && x.inKey:
			x.drawnChoice(b, true, a.Option)
			continue
		}
		p.raw("<p class=\"right-answer\"><span class=\"what")
		if b.Name == prompt {
			p.raw(" vh")
		}
		p.raw("\">")
		p.text(b.Name)
		p.raw("</span> <b>")
		x.answerText(b, a, true)
		p.raw("</b>")
		if b.Kind == exercises.NumberBox && !a.Stop {
			p.raw(" <span class=\"accept\">")
			x.accept(b, a)
			p.raw("</span>")
		}
		p.raw("</p>\n")
	}
	// Where a tolerance comes from is the assessor's business; a workbook says
	// what is accepted.
	if x.inKey && !key.Why.Empty() {
		p.raw("<div class=\"why\">")
		p.prose(key.Why)
		p.raw("</div>\n")
	}
}

// accept writes the tolerance and the ends of what is accepted, ends included.
func (x *exercise) accept(b exercises.Box, a exercises.Answer) {
	places, _ := a.Tolerance.Places(max(b.Decimals, 6))
	k := max(places, b.Decimals)
	x.p.text("± " + formula.WithUnit(a.Tolerance.Text(k), boxUnit(b)) +
		": accept " + a.Value.Sub(a.Tolerance).Text(k) + " to " + a.Value.Add(a.Tolerance).Text(k))
}

// tableTolerances says once what holds for all numbers of a table, or for each
// tolerance which boxes it is for.
func (x *exercise) tableTolerances(part exercises.Part, key exercises.PartKey, placed map[string]bool) {
	type group struct {
		text  string
		names []string
	}
	var groups []group
next:
	for _, b := range part.Boxes {
		a, ok := x.answer(b.ID)
		if !ok || !placed[b.ID] || b.Kind != exercises.NumberBox || a.Stop {
			continue
		}
		places, _ := a.Tolerance.Places(max(b.Decimals, 6))
		text := "± " + formula.WithUnit(a.Tolerance.Text(max(places, b.Decimals)), boxUnit(b))
		for i := range groups {
			if groups[i].text == text {
				groups[i].names = append(groups[i].names, b.Name)
				continue next
			}
		}
		groups = append(groups, group{text, []string{b.Name}})
	}
	for _, g := range groups {
		x.p.raw("<p class=\"accept\">Accept each ")
		if len(groups) > 1 {
			x.p.text(sharedName(g.names) + " ")
		}
		x.p.raw("within ")
		x.p.text(g.text + ", ends included.")
		x.p.raw("</p>\n")
	}
}

// sharedName is what the names of several boxes have in common at their
// beginning ("error" of "error at 0 %" and "error at 25 %"), or all of them.
func sharedName(names []string) string {
	if len(names) == 1 {
		return "of " + names[0]
	}
	words := strings.Fields(names[0])
	n := len(words)
	for _, name := range names[1:] {
		other := strings.Fields(name)
		n = min(n, len(other))
		for i := range n {
			if words[i] != other[i] {
				n = i
				break
			}
		}
	}
	for n > 0 && words[n-1] == "at" {
		n--
	}
	if n == 0 {
		return "of " + strings.Join(names, ", ")
	}
	return strings.Join(words[:n], " ")
}

// working writes the worked solution of a part.
func (x *exercise) working(key exercises.PartKey) {
	if len(key.Working) == 0 {
		return
	}
	p := x.p
	p.raw("<ol class=\"steps\">\n")
	for _, s := range key.Working {
		p.raw("<li>")
		if !s.Text.Empty() {
			p.prose(s.Text)
		}
		if s.Def != nil {
			p.b = p.r.appendDefinition(p.b, *s.Def, s.Env)
		}
		if s.Rel != nil {
			p.b = p.r.appendRelation(p.b, *s.Rel, s.Env)
		}
		if s.Table != nil {
			x.table(*s.Table, nil, "working of part "+key.Label+" of exercise "+x.number)
		}
		p.raw("</li>\n")
	}
	p.raw("</ol>\n")
}

// shortAnswers is how many answers of a slip an apprentice is shown.
const shortAnswers = 2

// slipsForApprentice says what probably went wrong, answer by answer. There is
// room for two answers of a table; they are some that are wrong, since two
// right ones would show nothing of the slip.
func (x *exercise) slipsForApprentice(key exercises.PartKey) {
	if len(key.Slips) == 0 {
		return
	}
	p := x.p
	p.raw("<div class=\"slips-short\"><h5>Another answer?</h5>\n<ul>\n")
	for _, s := range key.Slips {
		p.raw("<li><b>")
		if len(s.Answers) > shortAnswers {
			s = wrongFirst(s, key.Answers)
		}
		x.slipAnswers(s, shortAnswers)
		p.raw("</b> <i>")
		p.inline(s.Feedback)
		p.raw("</i></li>\n")
	}
	p.raw("</ul></div>\n")
}

// wrongFirst is a slip whose answers that differ from the key stand before those
// that do not; otherwise their order stays.
func wrongFirst(s exercises.Slip, key []exercises.Answer) exercises.Slip {
	var wrong, right []exercises.SlipAnswer
	for _, a := range s.Answers {
		same := slices.ContainsFunc(key, func(k exercises.Answer) bool {
			return k.Box == a.Box && k.Order == nil && k.Option == a.Option && k.Stop == a.Stop && k.Value.Equal(a.Value)
		})
		if same {
			right = append(right, a)
		} else {
			wrong = append(wrong, a)
		}
	}
	s.Answers = append(wrong, right...)
	return s
}

// slipAnswers writes the answers that a slip gives, at most most of them, each
// with the name of its box where the slip has several.
func (x *exercise) slipAnswers(s exercises.Slip, most int) {
	p := x.p
	for i, a := range s.Answers {
		if i == most && len(s.Answers) > most {
			p.raw(" …")
			return
		}
		if i > 0 {
			p.raw(" ")
		}
		b := x.box(a.Box)
		if len(s.Answers) > 1 {
			p.raw("<span class=\"item\">")
			p.text(b.Name)
			p.raw(": ")
		}
		switch b.Kind {
		case exercises.ChoiceBox:
			x.optionText(b, a.Option)
		case exercises.OrderBox:
			p.text(letters(b, a.Order))
		default:
			x.numberOrStop(b, a.Value, a.Stop, true)
		}
		if i+1 < len(s.Answers) {
			p.raw(";")
		}
		if len(s.Answers) > 1 {
			p.raw("</span>")
		}
	}
}

// chart writes the error chart of the key.
func (x *exercise) chart() {
	if x.key.Chart == nil {
		return
	}
	p := x.p
	p.charts = true
	p.raw("<figure class=\"chart-figure\">\n")
	p.b = p.r.appendChart(p.b, *x.key.Chart, p.id(x.prefix, "chart"), p.head.Large, &p.firstChart)
	p.raw("\n</figure>\n")
}
