package marking

import (
	"fmt"
	"strings"

	"loopdrill/exercises"
)

// FormResult is a marked form.
type FormResult struct {
	Items       []ItemResult // one an exercise, in the order of the form
	Least, Most int          // with overrides
	Marks       int          // to be had
	Overrides   []Override   // that were applied, in the order of the form
}

// Override is the mark that an assessor gives to a part instead of ours.
type Override struct {
	Part   string // as on paper: exercise number, a point, the part's label: "3.c"
	Mark   int
	Reason string
	By     string // initials
	Date   string
	// Was is what it replaces; set when it is applied.
	WasLeast, WasMost int
}

// PartName is the name of a part in tables: "3.c".
func PartName(exercise int, label string) string { return fmt.Sprintf("%d.%s", exercise, label) }

// MarkForm marks a whole form. answers and terms are by the number of the
// exercise; one that is missing is blank. The mark for figures is taken off
// once, in the first part that lost its figures and has a mark to lose. Then
// overrides take the place of the marks of their parts.
//
// An override of a part that the form does not have, or to a mark that the part
// cannot earn, is an error; nothing typed by an apprentice gives one.
func MarkForm(form *exercises.Form, answers map[int]map[string]string, terms map[int]Terms, overrides []Override) (FormResult, error) {
	var out FormResult
	figuresOff := false
	used := 0
	for _, d := range form.Items {
		n := d.Exercise.Number
		r, err := MarkItem(d.Item, answers[n], terms[n])
		if err != nil {
			return FormResult{}, fmt.Errorf("exercise %d: %w", n, err)
		}
		for i := range r.Parts {
			p := &r.Parts[i]
			if !figuresOff && p.lostFigures() && p.Most > 0 {
				p.FiguresOff, figuresOff = true, true
				p.Least, p.Most = max(0, p.Least-1), p.Most-1
			}
		}
		r.Least, r.Most = 0, 0
		for i := range r.Parts {
			p := &r.Parts[i]
			for _, o := range overrides {
				if o.Part != PartName(n, p.Label) {
					continue
				}
				if o.Mark < 0 || o.Mark > p.Marks {
					return FormResult{}, fmt.Errorf("part %s has %d marks, and the override gives it %d", o.Part, p.Marks, o.Mark)
				}
				used++
				o.WasLeast, o.WasMost = p.Least, p.Most
				p.Least, p.Most = o.Mark, o.Mark
				p.Override = &o
				out.Overrides = append(out.Overrides, o)
			}
			out.Marks += p.Marks
			r.Least, r.Most = r.Least+p.Least, r.Most+p.Most
		}
		out.Items = append(out.Items, r)
		out.Least, out.Most = out.Least+r.Least, out.Most+r.Most
	}
	if used != len(overrides) {
		var all []string
		for _, o := range overrides {
			all = append(all, o.Part)
		}
		return FormResult{}, fmt.Errorf("of the overrides of the parts %s some are of parts that the form does not have, or stand twice", strings.Join(all, ", "))
	}
	return out, nil
}

// lostFigures reports whether a right number of the part was given with too few
// or too many figures.
func (p PartResult) lostFigures() bool {
	for _, b := range p.Boxes {
		if b.worth() && b.FiguresLost {
			return true
		}
	}
	return false
}

// Queries lists the boxes that wait for a person, in the order of the exercise.
func (r ItemResult) Queries() []BoxResult {
	var out []BoxResult
	for _, p := range r.Parts {
		for _, b := range p.Boxes {
			if b.Verdict == Query {
				out = append(out, b)
			}
		}
	}
	return out
}

// Right reports whether the answer earns what it can: it is right, or right from
// the own earlier numbers, or marked by hand with full marks.
func (b BoxResult) Right() bool {
	if b.Verdict == ByHand {
		return b.Earned == b.Shares
	}
	return b.worth()
}
