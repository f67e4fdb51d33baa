package generator

import (
	"fmt"
	"slices"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// RejectMarks is given for a draw whose parts have marks that the marks of the
// course are no multiple of.
const RejectMarks exercises.Reject = "marks of the parts that do not go into those of the course"

// marksOf adds up the marks of the parts of an item.
func marksOf(item *exercises.Item) int {
	n := 0
	for _, p := range item.Sheet.Parts {
		n += p.Marks
	}
	return n
}

// weigh makes a settled item worth so many marks: those of every part, and of
// every line of its marking guide, are multiplied alike, so that what is
// printed still adds up. 0 leaves the item as it is. An item whose own marks
// do not go into it is given back unchanged, with [RejectMarks].
func weigh(item *exercises.Item, marks int) error {
	own := marksOf(item)
	if marks == 0 || marks == own {
		return nil
	}
	if own == 0 || marks%own != 0 {
		return RejectMarks
	}
	times := marks / own
	// Families may share what follows between items.
	item.Sheet.Parts, item.Key.Parts = slices.Clone(item.Sheet.Parts), slices.Clone(item.Key.Parts)
	for i := range item.Sheet.Parts {
		item.Sheet.Parts[i].Marks *= times
	}
	for i := range item.Key.Parts {
		k := &item.Key.Parts[i]
		k.UnitMark *= times
		k.Answers, k.Credit = slices.Clone(k.Answers), slices.Clone(k.Credit)
		for j := range k.Answers {
			k.Answers[j].Marks *= times
		}
		for j := range k.Credit {
			k.Credit[j].Marks *= times
		}
	}
	return nil
}

// tried is how many draws of an exercise are looked at before the course is
// handed out: until one comes through, or with marks in the course all of them,
// to learn the marks that a family gives; those of one exercise differ in few
// ways.
const tried = 300

// tryOut reports an exercise that cannot be drawn at all, and marks of the
// course that those of the parts do not go into in every draw.
func tryOut(e *scenarios.Exercise, p exercises.Plan) []diag.Diagnostic {
	var own []int
	var tally Tally
	for _, u := range Points(1, tried) {
		item, err := Try(p, u)
		if r, ok := err.(exercises.Reject); ok {
			tally.note(e.ID, r)
		}
		if err != nil {
			continue
		}
		if n := marksOf(&item); !slices.Contains(own, n) {
			own = append(own, n)
		}
		if e.Marks == 0 {
			return nil
		}
	}
	if len(own) == 0 {
		at := diag.Place{File: e.File, Line: e.Line, Column: e.Column, Width: 1}
		why := "its family gives no reason"
		if r := tally.of(e.ID).Reasons; len(r) > 0 {
			why = "most of them for " + string(r[0].Reason)
		}
		return []diag.Diagnostic{{Severity: diag.Error, Rule: "cannot-be-drawn", At: at,
			Summary: fmt.Sprintf("exercise %q cannot be drawn: all of %d draws were thrown away, %s", e.ID, tried, why), Hint: "give it more loops or faults, or another level"}}
	}
	return checkMarks(e, own)
}

// checkMarks holds the marks that a course gives an exercise against those that
// its parts have in some draw.
func checkMarks(e *scenarios.Exercise, own []int) []diag.Diagnostic {
	least := 1 // the least number that all of them go into
	for _, n := range own {
		if n > 0 {
			least = least / gcd(least, n) * n
		}
	}
	if e.Marks%least == 0 {
		return nil
	}
	slices.Sort(own)
	at := e.MarksAt
	if at.Line == 0 {
		at = diag.Place{File: e.File, Line: e.Line, Column: e.Column, Width: 1}
	}
	var can []string
	for n := least; n <= 200 && len(can) < 5; n += least {
		can = append(can, fmt.Sprint(n))
	}
	have, hint := "have "+plural(own[0], "mark"), ""
	if len(own) > 1 {
		have = fmt.Sprintf("have %d to %d marks, from draw to draw", own[0], own[len(own)-1])
	}
	if len(can) > 0 {
		hint = "it can be worth " + strings.Join(can, ", ") + ", ..., or leave the key out"
	} else {
		hint = "leave the key out; each part then has its own marks"
	}
	return []diag.Diagnostic{{Severity: diag.Error, Rule: "marks", At: at,
		Summary: fmt.Sprintf("the parts of exercise %q %s, and %d is no multiple of that", e.ID, have, e.Marks), Hint: hint}}
}

func gcd(a, b int) int {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}
