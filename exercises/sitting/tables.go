package sitting

import (
	"fmt"
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/answerfile"
	"loopdrill/exercises/marking"
	"loopdrill/scenarios/diag"
)

// table takes the rows of a table that says something about work handed in.
func (c *collector) table(t *answerfile.Table) {
	for _, r := range t.Rows {
		form := r.Get("form")
		if form == "" {
			c.fault(answerfile.RuleValue, r.At, "this row names no form", "")
			continue
		}
		if c.empty(t.Kind, r) {
			continue
		}
		f, err := c.form(form)
		if err != nil {
			c.fault(answerfile.RuleForm, r.Place("form"), err.Error(), "look at the code on the paper")
			continue
		}
		w := c.byCode[f.Code]
		if w == nil {
			say, hint := "was not handed in", ""
			if c.aside[f.Code] {
				say, hint = "was set aside", "it counts once the answers of that form are marked"
			}
			c.warn(answerfile.RuleUnused, r.Place("form"), fmt.Sprintf("form %s %s, so this row says nothing yet", f.Code, say), hint)
			continue
		}
		switch t.Kind {
		case answerfile.Marks:
			c.mark(w, r)
		case answerfile.Decisions:
			c.decision(w, r)
		case answerfile.Overrides:
			c.override(w, r)
		case answerfile.Second:
			c.second(w, r)
		case answerfile.Observed:
			c.observed(w, r)
		}
	}
}

// empty says whether a row of a table to fill in was left as it was.
func (c *collector) empty(kind answerfile.Kind, r answerfile.Row) bool {
	for _, column := range map[answerfile.Kind][]string{
		answerfile.Marks:     {"mark", "initials"},
		answerfile.Decisions: {"reads", "verdict", "initials"},
		answerfile.Overrides: {"part", "mark", "reason"},
		answerfile.Second:    {"second mark"},
		answerfile.Observed:  {"result"},
	}[kind] {
		if r.Get(column) != "" {
			return false
		}
	}
	return true
}

// twice reports a second row about the same thing.
func (c *collector) twice(w *Work, what, column string, r answerfile.Row) bool {
	key := column + " " + what
	first, ok := w.places[key]
	if !ok {
		w.places[key] = r.Place(column)
		return false
	}
	c.notes = append(c.notes, diag.Diagnostic{Severity: diag.Error, Rule: answerfile.RuleTwice, At: r.Place(column), Second: &first, SecondIs: "first written here",
		Summary: fmt.Sprintf("%s of form %s stands twice; the first counts", what, w.Form.Code), Hint: "take one of the rows out"})
	return true
}

// signed reports a row without the initials of who decided.
func (c *collector) signed(r answerfile.Row, columns ...string) bool {
	for _, column := range columns {
		if r.Get(column) == "" {
			c.fault(answerfile.RuleUnsigned, r.Place(column), "this row has no "+column+" and is passed over", "whoever decides says so with initials; an override has its reason and date too")
			return false
		}
	}
	return true
}

// number reads a mark from 0 to most.
func (c *collector) number(r answerfile.Row, column string, most int) (int, bool) {
	n, err := strconv.Atoi(r.Get(column))
	if err != nil || n < 0 || n > most {
		c.fault(answerfile.RuleMark, r.Place(column), fmt.Sprintf("the mark %q is not a whole number from 0 to %d", r.Get(column), most), "")
		return 0, false
	}
	return n, true
}

func (c *collector) mark(w *Work, r answerfile.Row) {
	key := r.Get("box")
	d, p, b := boxOf(w.Form, key)
	switch {
	case b == nil:
		c.fault(answerfile.RuleBox, r.Place("box"), fmt.Sprintf("form %s has no box %q", w.Form.Code, key), "boxes are named like 3.d: exercise, point, box")
		return
	case b.Kind != exercises.JudgedBox:
		c.fault(answerfile.RuleBox, r.Place("box"), fmt.Sprintf("box %s is not judged by hand", key), "to give a part another mark, use a table of overrides")
		return
	}
	n, ok := c.number(r, "mark", handMarks(d, p, b))
	if ok && c.signed(r, "initials") && !c.twice(w, "the mark of box "+key, "box", r) {
		w.Hand[key] = Hand{n, oneLine(r.Get("initials"))}
	}
}

// handMarks is the most that a judged box can earn: its own marks, or those that
// the other boxes of the part leave it.
func handMarks(d *exercises.Drawn, p *exercises.Part, b *exercises.Box) int {
	for _, k := range d.Item.Key.Parts {
		if k.Label != p.Label {
			continue
		}
		for _, a := range k.Answers {
			if a.Box == b.ID && a.Marks > 0 {
				return a.Marks
			}
		}
	}
	return (p.Marks + len(p.Boxes) - 1) / len(p.Boxes)
}

// verdicts are the words by which an assessor settles a query.
var verdicts = func() map[string]marking.Verdict {
	m := map[string]marking.Verdict{}
	for _, v := range []marking.Verdict{marking.Correct, marking.Wrong, marking.WrongUnit, marking.UnitMissing, marking.Figures, marking.FollowThrough, marking.Blank} {
		m[v.Words()], m[strings.ToLower(string(v))] = v, v
	}
	m["right"] = marking.Correct
	return m
}()

func (c *collector) decision(w *Work, r answerfile.Row) {
	key := r.Get("box")
	if _, _, b := boxOf(w.Form, key); b == nil {
		c.fault(answerfile.RuleBox, r.Place("box"), fmt.Sprintf("form %s has no box %q", w.Form.Code, key), "boxes are named like 3.d: exercise, point, box")
		return
	}
	reads, word := strings.TrimSpace(r.Raw("reads")), folded(r.Get("verdict"))
	v, known := verdicts[word]
	switch {
	case reads != "" && word != "":
		c.fault(answerfile.RuleValue, r.Place("verdict"), "this row says how the answer reads and what it is; one of the two is enough", "with \"reads\" the program judges what you read")
	case word != "" && !known:
		c.fault(answerfile.RuleValue, r.Place("verdict"), fmt.Sprintf("%q is no verdict", r.Get("verdict")), "verdicts: correct, wrong, follow-through, blank, wrong unit, unit missing")
	case reads == "" && word == "":
		c.fault(answerfile.RuleValue, r.At, "this row is signed and decides nothing", "fill in \"reads\" or \"verdict\"")
	case c.signed(r, "initials") && !c.twice(w, "the decision on box "+key, "box", r):
		w.Decisions[key] = Decision{Settlement: marking.Settlement{Reads: reads, Verdict: v}, By: oneLine(r.Get("initials"))}
		w.places["decision "+key] = r.Place("box")
	}
}

func (c *collector) override(w *Work, r answerfile.Row) {
	name := r.Get("part")
	_, p := partOf(w.Form, name)
	if p == nil {
		c.fault(answerfile.RuleBox, r.Place("part"), fmt.Sprintf("form %s has no part %q", w.Form.Code, name), "parts are named like 3.c: exercise, point, part")
		return
	}
	n, ok := c.number(r, "mark", p.Marks)
	if ok && c.signed(r, "reason", "initials", "date") && !c.twice(w, "the override of part "+name, "part", r) {
		w.Overrides = append(w.Overrides, marking.Override{Part: name, Mark: n, Reason: oneLine(r.Get("reason")), By: oneLine(r.Get("initials")), Date: oneLine(r.Get("date"))})
	}
}

func (c *collector) second(w *Work, r answerfile.Row) {
	name := r.Get("part")
	_, p := partOf(w.Form, name)
	if p == nil {
		c.fault(answerfile.RuleBox, r.Place("part"), fmt.Sprintf("form %s has no part %q", w.Form.Code, name), "parts are named like 3.c: exercise, point, part")
		return
	}
	if n, ok := c.number(r, "second mark", p.Marks); ok && !c.twice(w, "the second mark of part "+name, "part", r) {
		w.Second[name] = n
	}
}
