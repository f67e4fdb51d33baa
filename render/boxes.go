package render

import (
	"slices"
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// The boxes beyond a plain number and a plain choice: an order, words for a
// person to judge, a choice between drawings, the tick that no number can be
// read, the unit that is asked for.

// cannotRead are the words beside the tick of a box whose needle may lie on its
// stop.
const cannotRead = "cannot be read, on its stop"

// orderBox writes steps, each with a box for its number. On screen the script
// adds buttons that move a step and lets the pointer do it; the numbers stay.
func (x *exercise) orderBox(b exercises.Box, lone bool) {
	p := x.p
	p.raw("<fieldset class=\"order\" data-box=\"", x.number, ".")
	p.attr(b.ID)
	p.raw("\"><legend")
	if lone {
		p.raw(" class=\"vh\"")
	}
	p.raw(">")
	p.text(b.Name)
	p.raw("</legend>\n<p class=\"order-how\">Number the steps from 1 to ", strconv.Itoa(len(b.Options)), ".</p>\n<ol class=\"order-steps\">\n")
	for i, o := range b.Options {
		id := p.id(x.prefix, "step", b.ID, strconv.Itoa(i+1))
		p.raw("<li class=\"order-step\" data-step=\"")
		p.attr(o.ID)
		p.raw("\"><input class=\"box place\" id=\"", id, "\" type=\"text\" inputmode=\"numeric\" maxlength=\"2\" aria-label=\"number of step ", letter(i), "\" aria-describedby=\"", id, "-text\"><span class=\"letter\">", letter(i), "</span> <span class=\"option\" id=\"", id, "-text\">")
		p.inline(o.Text)
		p.raw("</span></li>\n")
	}
	p.raw("</ol></fieldset>\n")
}

// judgedBox writes ruled lines for words that a person will judge.
func (x *exercise) judgedBox(b exercises.Box, lines int, said bool) {
	p := x.p
	id := p.id(x.prefix, "box", b.ID)
	p.raw("<div class=\"judged\"><label for=\"", id, "\"")
	if said {
		p.raw(" class=\"vh\"")
	}
	p.raw(">")
	p.text(b.Name)
	p.raw("</label>\n")
	x.ruled(id, b.ID, "", lines)
	p.raw("</div>\n")
}

// ruled writes the lines themselves. label names them where no label element
// does.
func (x *exercise) ruled(id, box, label string, lines int) {
	p := x.p
	n := strconv.Itoa(lines)
	p.raw("<textarea class=\"lines\" id=\"", id, "\" name=\"", x.number, ".")
	p.attr(box)
	p.raw("\" rows=\"", n, "\" style=\"--rows:", n, "\" maxlength=\"4000\"")
	if label != "" {
		p.raw(" aria-label=\"")
		p.attr(label)
		p.raw("\"")
	}
	p.raw("></textarea>\n")
}

// fewestJudged is how many lines a judged box has at least.
const fewestJudged = 3

// judgedLines is how many ruled lines the judged boxes of a part get. Where
// they are all that the part asks for, they take its working space too.
func judgedLines(part exercises.Part) (each int, takesSpace bool) {
	n := 0
	for _, b := range part.Boxes {
		if b.Kind != exercises.JudgedBox {
			return fewestJudged, false
		}
		n++
	}
	if n == 0 {
		return fewestJudged, false
	}
	return max(fewestJudged, (part.Lines+n-1)/n), true
}

// stopTick writes the box to tick where the needle lies on its stop. short is
// for the cell of a table.
func (x *exercise) stopTick(b exercises.Box, short bool) {
	p := x.p
	p.raw("<label class=\"stop-tick\"><input class=\"tick-box\" type=\"checkbox\" name=\"", x.number, ".")
	p.attr(b.ID)
	p.raw(".stop\" value=\"stop\"> <span><span class=\"vh\">")
	p.text(b.Name)
	if short {
		p.raw(": cannot be read, </span>on its stop</span></label>")
	} else {
		p.raw(": </span>", cannotRead, "</span></label>")
	}
}

// unitBox writes the small box for a unit that is asked for.
func (x *exercise) unitBox(b exercises.Box) {
	p := x.p
	p.raw("<input class=\"box unit-box\" type=\"text\" name=\"", x.number, ".")
	p.attr(b.ID)
	p.raw(".unit\" maxlength=\"24\" aria-label=\"")
	p.attr("unit of " + b.Name)
	p.raw("\">")
	if b.Of != "" {
		p.raw(" <span class=\"unit\">")
		p.text(b.Of)
		p.raw("</span>")
	}
}

// drawnChoice writes options that are pictures, side by side, each with its
// letter. In a key the letters are no boxes, and right marks the one that is.
func (x *exercise) drawnChoice(b exercises.Box, lone bool, right string) {
	p := x.p
	answered := x.key != nil
	if answered {
		p.raw("<div class=\"choices drawn\" role=\"group\" aria-label=\"")
		p.attr(b.Name)
		p.raw("\">\n")
	} else {
		x.choiceOpen(b, lone, " drawn")
	}
	for i, o := range b.Options {
		id := p.id(x.prefix, "option", b.ID, letter(i))
		p.raw("<div class=\"drawn-option\">")
		x.optionFigure(o, id)
		if answered {
			if o.ID == right {
				p.raw("<p class=\"drawn-letter\"><b class=\"given-answer\">", letter(i), "</b> ")
			} else {
				p.raw("<p class=\"drawn-letter\">", letter(i), " ")
			}
			p.inline(o.Text)
			if o.ID == right {
				if !o.Text.Empty() {
					p.raw(" ")
				}
				p.raw("<b>right</b>")
			}
			p.raw("</p></div>\n")
			continue
		}
		x.option(b, i, id)
		p.raw("</div>\n")
	}
	if answered {
		p.raw("</div>\n")
	} else {
		p.raw("</fieldset>\n")
	}
}

// optionFigure draws the picture of an option.
func (x *exercise) optionFigure(o exercises.Option, id string) {
	for _, f := range x.sheet.Figures {
		if f.ID != o.Figure {
			continue
		}
		switch {
		case f.Face != nil:
			x.face(f, id, true)
		case f.Drawing != nil:
			x.drawing(*f.Drawing, id)
		}
	}
}

// drawn says whether the options of a box are pictures.
func drawn(b exercises.Box) bool {
	for _, o := range b.Options {
		if o.Figure != "" {
			return true
		}
	}
	return false
}

// orderAnswer writes the right order of an order box, and what else is right.
func (x *exercise) orderAnswer(b exercises.Box, o exercises.Order) {
	p := x.p
	p.raw("<ol class=\"right-order\">\n")
	for _, id := range o.Steps {
		p.raw("<li>")
		x.optionText(b, id)
		p.raw("</li>\n")
	}
	p.raw("</ol>\n")
	if isChain(o) {
		p.raw("<p class=\"accept\">No other order is right.</p>\n")
	} else {
		p.raw("<p class=\"accept\">Every order is right in which ")
		for i, pair := range append(o.Before[:len(o.Before):len(o.Before)], o.Safety...) {
			if i > 0 {
				p.raw("; ")
			}
			p.raw("<span class=\"item\">")
			p.text(optionLetter(b, pair[0]) + " comes before " + optionLetter(b, pair[1]))
			p.raw("</span>")
		}
		p.raw(".</p>\n")
	}
	for i, pair := range o.Safety {
		if slices.ContainsFunc(o.Safety[:i], func(q [2]string) bool { return q[1] == pair[1] }) {
			continue // said with the first that keeps the same step safe
		}
		var first []string
		for _, q := range o.Safety[i:] {
			if q[1] == pair[1] {
				first = append(first, optionLetter(b, q[0]))
			}
		}
		p.raw("<p class=\"safety-step\"><b>Keeps people safe:</b> ")
		p.text(strings.Join(first, ", ") + " before " + optionLetter(b, pair[1]) + ". Left out or too late, the part earns nothing.")
		p.raw("</p>\n")
	}
}

// isChain says whether the pairs leave one order only: each step must come
// before the next.
func isChain(o exercises.Order) bool {
	pairs := map[[2]string]bool{}
	for _, p := range o.Before {
		pairs[p] = true
	}
	for _, p := range o.Safety {
		pairs[p] = true
	}
	for i := 1; i < len(o.Steps); i++ {
		if !pairs[[2]string{o.Steps[i-1], o.Steps[i]}] {
			return false
		}
	}
	return true
}

// optionLetter is the letter of an option, or its id where the box has none
// such.
func optionLetter(b exercises.Box, id string) string {
	for i, o := range b.Options {
		if o.ID == id {
			return letter(i)
		}
	}
	return id
}

// asked says how a number is to be given: "2 decimals", "3 significant
// figures".
func asked(b exercises.Box) string {
	if b.Figures > 0 {
		return count(b.Figures, "significant figure", "significant figures")
	}
	return decimals(b.Decimals)
}

// numberOrStop writes what a number box holds: the number, or the words of the
// tick.
func (x *exercise) numberOrStop(b exercises.Box, v formula.Value, stop, unit bool) {
	if stop {
		x.p.raw("<span class=\"stop\">", cannotRead, "</span>")
		return
	}
	x.numberText(b, v, unit)
}
