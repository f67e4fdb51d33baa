// Package effort models how long an exercise takes. The model compares forms
// of one course with each other; it does not say how long an apprentice needs.
//
// It is a sum over what stands on the sheet and in its formulas, in seconds:
//
//	reading     2 words a second and one table cell a second
//	instruments 15 for each face to be read, 6 for one to be compared
//	arithmetic  8 for a sum or difference, 12 for a product or quotient,
//	            15 for a root or square, 4 for each value of a largest or
//	            smallest, 2 for a sign
//	deciding    8 for a choice and 4 for each option beyond the first, 5 for
//	            each comparison that leads to it, 12 for each step to be put
//	            in order
//	writing     6 for each number or choice, 3 for a unit, 90 for words that a
//	            person judges
//
// The seconds are our own estimates; no apprentice was timed. What the model
// leaves out: that the second exercise of a kind goes faster, that some
// numbers are awkward, and what somebody knows by heart.
package effort

import (
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
)

// Effort is modelled time by what it goes into, in seconds.
type Effort struct {
	Reading, Instruments, Arithmetic, Deciding, Writing int
}

// Seconds is the whole time.
func (e Effort) Seconds() int {
	return e.Reading + e.Instruments + e.Arithmetic + e.Deciding + e.Writing
}

// Add adds up two efforts.
func (e Effort) Add(o Effort) Effort {
	return Effort{e.Reading + o.Reading, e.Instruments + o.Instruments, e.Arithmetic + o.Arithmetic, e.Deciding + o.Deciding, e.Writing + o.Writing}
}

// Of is the effort of one drawn exercise, by whoever makes no mistake.
func Of(item *exercises.Item) Effort {
	m := model{options: map[string]bool{}}
	s := &item.Sheet
	for _, part := range s.Parts {
		for _, box := range part.Boxes {
			for _, o := range box.Options {
				if o.Figure != "" {
					m.options[o.Figure] = true
				}
			}
		}
	}
	m.text(s.Intro)
	for _, f := range s.Figures {
		m.figure(f)
	}
	for i := range s.Parts {
		m.part(&s.Parts[i], &item.Key.Parts[i])
	}
	m.Reading = (m.words + 1) / 2
	m.Reading += m.cells
	return m.Effort
}

// OfForm is the effort of a whole form.
func OfForm(f *exercises.Form) Effort {
	var all Effort
	for i := range f.Items {
		all = all.Add(Of(&f.Items[i].Item))
	}
	return all
}

// model adds up one exercise.
type model struct {
	Effort
	words, cells int
	options      map[string]bool // figures that stand for an option
}

func (m *model) text(t prose.Text) { m.words += len(strings.Fields(t.Plain())) }

func (m *model) figure(f exercises.Figure) {
	m.text(f.Caption)
	switch {
	case f.Face != nil && m.options[f.ID]:
		m.Instruments += 6
	case f.Face != nil:
		m.Instruments += 15
	case f.Table != nil:
		m.table(f.Table)
	case f.Drawing != nil:
		m.cells += len(f.Drawing.Labels)
	}
}

func (m *model) table(t *exercises.Table) {
	if t == nil {
		return
	}
	m.cells += len(t.Columns)
	for _, row := range t.Rows {
		for _, c := range row.Cells {
			if c.Text != "" {
				m.cells++
			}
		}
	}
}

func (m *model) part(part *exercises.Part, key *exercises.PartKey) {
	m.text(part.Prompt)
	m.table(part.Table)
	for i, box := range part.Boxes {
		a := &key.Answers[i]
		switch box.Kind {
		case exercises.NumberBox:
			m.Writing += 6
			if box.UnitAsked {
				m.Writing += 3
			}
			if a.Def.Expr != nil {
				m.arithmetic(a.Def.Expr)
			}
		case exercises.ChoiceBox:
			m.Writing += 6
			m.Deciding += 8 + 4*(len(box.Options)-1)
			for _, o := range box.Options {
				m.text(o.Text)
			}
			for _, d := range a.Decide {
				// All of them: to see that one holds is to see that the
				// others do not.
				if d.Rel != nil {
					m.relation(d.Rel)
				}
			}
		case exercises.OrderBox:
			m.Deciding += 12 * len(box.Options)
			for _, o := range box.Options {
				m.text(o.Text)
			}
		case exercises.JudgedBox:
			m.Writing += 90
		}
	}
	// A choice whose key does not say how it is decided has the comparison in
	// its working.
	if len(part.Boxes) == 1 && part.Boxes[0].Kind == exercises.ChoiceBox && len(key.Answers[0].Decide) == 0 {
		for _, s := range key.Working {
			if s.Rel != nil {
				m.relation(s.Rel)
			}
		}
	}
}

func (m *model) relation(r *formula.Relation) {
	m.Deciding += 5
	m.arithmetic(r.A)
	m.arithmetic(r.B)
}

// arithmetic is the time for working a formula out.
func (m *model) arithmetic(x formula.Expr) {
	switch x := x.(type) {
	case formula.Bin:
		switch x.Op {
		case formula.OpAdd, formula.OpSub:
			m.Arithmetic += 8
		default:
			m.Arithmetic += 12
		}
		m.arithmetic(x.A)
		m.arithmetic(x.B)
	case formula.Fn:
		switch x.Name {
		case formula.FnSqrt, formula.FnSquare:
			m.Arithmetic += 15
		default:
			m.Arithmetic += 2
		}
		m.arithmetic(x.A)
	case formula.Extreme:
		for _, t := range x.Terms {
			m.Arithmetic += 4
			m.arithmetic(t)
		}
	}
}
