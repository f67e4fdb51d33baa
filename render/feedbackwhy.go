package render

import (
	"slices"
	"strconv"
	"strings"
	"unicode"

	"loopdrill/exercises"
	"loopdrill/exercises/marking"
	"loopdrill/exercises/sitting"
	"loopdrill/scenarios/formula"
)

// reasons says why a part was judged as it was: the slip, the order, the own
// numbers carried on, the mark for unit or figures, the override.
func (x *exercise) reasons(k *sitting.Work, part exercises.Part, key exercises.PartKey, r marking.PartResult) {
	p := x.p
	x.slipSentences(key, r)
	wrong := false
	for i, b := range r.Boxes {
		if b.Order != nil && b.Verdict != marking.Correct {
			x.orderReason(part.Boxes[i], *b.Order)
		}
		wrong = wrong || b.Verdict == marking.Wrong || b.Verdict == marking.Blank
	}
	if r.UnitOff {
		p.raw("<p class=\"because\">The unit is wrong or missing: ", count(r.Unit, "mark", "marks"), " lost, once an exercise.</p>\n")
	}
	if r.FiguresOff {
		p.raw("<p class=\"because\">Too few or too many significant figures: 1 mark lost, once for the whole workbook.</p>\n")
	}
	shown := false
	for i, b := range r.Boxes {
		if b.Follow == nil || shown || b.Verdict == marking.Correct {
			continue
		}
		shown = true // the first says how; the others of a table go the same way
		x.ownNumbers(part, key.Answers[i], b)
	}
	if wrong && len(key.Working) > 0 {
		p.raw("<div class=\"worked\"><h5>How it is worked</h5>\n")
		x.working(key)
		p.raw("</div>\n")
	}
	if o := r.Override; o != nil {
		p.override(*o, r.Marks)
	}
}

// override says which mark the assessor gave instead.
func (p *page) override(o marking.Override, marks int) {
	p.raw("<p class=\"override\"><b>The assessor gave ", strconv.Itoa(o.Mark), " of ", count(marks, "mark", "marks"), "</b> instead of ", marksWords(o.WasLeast, o.WasMost), ": ")
	p.text(o.Reason + " (" + o.By + ", " + o.Date + ")")
	p.raw("</p>\n")
}

// slipSentences writes the sentence of each slip that was made, once; of an
// answer that two slips give it names both as possible.
func (x *exercise) slipSentences(key exercises.PartKey, r marking.PartResult) {
	p := x.p
	var said []string
	for _, b := range r.Boxes {
		var ids []string
		for _, s := range b.Slips {
			ids = append(ids, s.ID)
		}
		what := strings.Join(ids, " ")
		if ids == nil || slices.Contains(said, what) {
			continue
		}
		said = append(said, what)
		p.raw("<div class=\"slip\">")
		if len(ids) > 1 {
			p.raw("<p>One of these may have happened:</p><ul>\n")
		}
		for _, id := range ids {
			i := slices.IndexFunc(key.Slips, func(s exercises.Slip) bool { return s.ID == id })
			if len(ids) > 1 {
				p.raw("<li>")
				p.inline(key.Slips[i].Feedback)
				p.raw("</li>\n")
			} else {
				p.prose(key.Slips[i].Feedback)
			}
		}
		if len(ids) > 1 {
			p.raw("</ul>")
		}
		p.raw("</div>\n")
	}
}

// orderReason says how the order can be put right.
func (x *exercise) orderReason(b exercises.Box, o marking.Ordering) {
	p := x.p
	for _, pair := range o.Broken {
		p.raw("<p class=\"because\"><b>For safety:</b> ")
		p.text(optionLetter(b, pair[0]) + " has to come before " + optionLetter(b, pair[1]) + "; it came later or was left out, so the part earns nothing.")
		p.raw("</p>\n")
	}
	if o.Move != nil {
		p.raw("<p class=\"because\">To put it right, move ")
		p.text(letters(b, o.Move))
		p.raw(". One right order: ")
		p.text(letters(b, o.Nearest))
		p.raw(".</p>\n")
	}
	if o.Omitted != nil {
		p.raw("<p class=\"because\">Left out: ")
		p.text(letters(b, o.Omitted))
		p.raw(".</p>\n")
	}
}

// ownNumbers works the answer out with the apprentice's own earlier numbers.
func (x *exercise) ownNumbers(part exercises.Part, a exercises.Answer, b marking.BoxResult) {
	p, f := x.p, b.Follow
	p.raw("<div class=\"own-numbers\"><h5>With your own ")
	if len(f.From) > 2 {
		p.raw("earlier answers")
	} else {
		var from []string
		for _, id := range f.From {
			from = append(from, "("+boxWords(id)+")")
		}
		p.text("answer to " + strings.Join(from, " and "))
	}
	p.raw("</h5>\n")
	switch {
	case a.Def.Expr != nil && f.Key != nil:
		p.b = p.r.appendDefinition(p.b, a.Def, f.Env)
	case f.Option != "":
		for _, d := range a.Decide {
			if d.Rel == nil {
				continue
			}
			if holds, err := d.Rel.Holds(f.Env); err == nil && holds {
				p.b = p.r.appendRelation(p.b, *d.Rel, f.Env)
				break
			}
		}
		p.raw("<p>That leads to <b>")
		x.optionText(x.box(a.Box), f.Option)
		p.raw("</b>.</p>\n")
	}
	switch {
	case b.Verdict == marking.FollowThrough:
		p.raw("<p>You carried it on rightly.</p>\n")
	case f.Refused == marking.RuleImpossible:
		p.raw("<p>No loop does that: it would have shown that something was wrong before.</p>\n")
	case f.Refused == marking.RuleTrivial:
		p.raw("<p>With a 0 carried on nothing was left to work out, so it earns no mark.</p>\n")
	}
	p.raw("</div>\n")
}

// boxWords names a box as paper does: "a", "a, box 3".
func boxWords(id string) string {
	label, n, ok := strings.Cut(id, ".")
	if !ok {
		return label
	}
	return label + ", box " + n
}

// readingWords lists the readings of a query with what each would be.
func (x *exercise) readingWords(b exercises.Box, q marking.BoxResult) {
	p := x.p
	if len(q.Readings) == 0 {
		p.raw("<span class=\"none\">no reading</span>")
		return
	}
	p.raw("<ul class=\"readings-list\">\n")
	for _, r := range q.Readings {
		p.raw("<li><b>")
		if b.Kind == exercises.ChoiceBox {
			x.optionText(b, r.Text)
		} else {
			p.text(r.Text)
		}
		p.raw("</b> would be ")
		p.text(r.Verdict.Words())
		p.raw("</li>\n")
	}
	p.raw("</ul>")
	if q.Follow != nil && q.Follow.Key != nil {
		k := q.Follow.Key.FloatString(b.Decimals)
		p.raw("<p>from the own earlier answer: ")
		p.text(formula.WithUnit(k, boxUnit(b)))
		p.raw("</p>")
	}
}

// hiddenRune tells characters that leave no mark on a page.
func hiddenRune(c rune) bool {
	return unicode.Is(unicode.C, c) || unicode.In(c, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector)
}
