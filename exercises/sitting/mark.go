package sitting

import (
	"fmt"
	"maps"
	"slices"

	"loopdrill/exercises/answerfile"
	"loopdrill/exercises/marking"
	"loopdrill/scenarios/diag"
)

// Mark marks every work. Notes are decisions that were about nothing. An error
// is a fault of the course's own exercises.
func Mark(works []*Work, s Setting) (notes []diag.Diagnostic, err error) {
	for _, w := range works {
		if err := w.mark(s); err != nil {
			return nil, fmt.Errorf("form %s: %w", w.Form.Code, err)
		}
		for _, key := range slices.Sorted(maps.Keys(w.Decisions)) {
			if !w.Decisions[key].Used {
				notes = append(notes, diag.Diagnostic{Severity: diag.Warning, Rule: answerfile.RuleUnused, At: w.places["decision "+key],
					Summary: fmt.Sprintf("box %s of form %s is no query, so nothing is decided here", key, w.Form.Code),
					Hint:    "to give a part another mark, use a table of overrides"})
			}
		}
	}
	return diag.Sort(notes), nil
}

// mark marks a work, then again for as long as a decision settles a query: what
// follows from it may be a query of its own.
func (w *Work) mark(s Setting) error {
	hand := map[int]map[string]int{}
	for key, h := range w.Hand {
		d, _, b := boxOf(w.Form, key)
		n := d.Exercise.Number
		if hand[n] == nil {
			hand[n] = map[string]int{}
		}
		hand[n][b.ID] = h.Mark
	}
	terms := map[int]marking.Terms{}
	for _, d := range w.Form.Items {
		n := d.Exercise.Number
		terms[n] = marking.Terms{Mark: s.Mark, Paper: w.Paper, Hand: hand[n], Settled: map[string]marking.Settlement{}}
	}
	for {
		r, err := marking.MarkForm(w.Form, w.Answers, terms, w.Overrides)
		if err != nil {
			return err
		}
		w.Result = r
		settled := false
		for i, item := range r.Items {
			n := w.Form.Items[i].Exercise.Number
			for _, q := range item.Queries() {
				key := marking.PartName(n, q.Box)
				d, ok := w.Decisions[key]
				if !ok || d.Used || q.Rule == marking.RuleJudged {
					continue
				}
				d.Used, settled = true, true
				w.Decisions[key] = d
				terms[n].Settled[q.Box] = d.Settlement
			}
		}
		if !settled {
			return nil
		}
	}
}

// Open counts the answers that wait for a person: queries, and judged boxes
// without a mark.
func (w *Work) Open() (queries, judged int) {
	for _, item := range w.Result.Items {
		for _, q := range item.Queries() {
			if q.Rule == marking.RuleJudged {
				judged++
			} else {
				queries++
			}
		}
	}
	return queries, judged
}

// PassMarks gives the marks that pass, rounded up to a whole mark.
func PassMarks(marks, percent int) int { return (marks*percent + 99) / 100 }

// Standing is where a work stands against the pass mark.
type Standing string

// The standings. Undecided: open queries decide.
const (
	Passed    Standing = "passed"
	NotYet    Standing = "not yet"
	Undecided Standing = "undecided"
	NoPass    Standing = "no pass mark"
)

// Standing compares the marks with the pass mark of the course.
func (w *Work) Standing() Standing {
	percent := w.Form.Course.PassMark
	need := PassMarks(w.Result.Marks, percent)
	switch {
	case percent <= 0:
		return NoPass
	case w.Result.Least >= need:
		return Passed
	case w.Result.Most < need:
		return NotYet
	}
	return Undecided
}
