package exercises

import (
	"loopdrill/scenarios/formula"
)

// Draft is an exercise that is being put together part by part, each part
// going on from the answers before it. Beside the entries that [Composer] names
// it wants "given.NAME" for the name of a given, and takes "tolerance.NAME"
// where there is one and "tolerance.value" elsewhere.
type Draft struct {
	Composer
	Env    formula.Env
	Item   Item
	givens *Table
}

// RejectDraft: a value of the draft does not exist or lies on an edge.
const RejectDraft Reject = "a value on an edge or without meaning"

// Given binds a given and prints it as a row of the table of givens, which is
// the first figure of the exercise. The text "given.NAME" names it.
func (d *Draft) Given(name string, sym formula.Sym, v formula.Value, unit string, decimals int) {
	d.Env = d.Env.With(formula.Binding{Sym: sym, V: v, Unit: unit, Decimals: decimals})
	d.Row(d.Text("given."+name).Plain(), formula.WithUnit(v.Text(decimals), unit))
}

// Row prints a row of the table of givens that binds nothing.
func (d *Draft) Row(name, text string) {
	if d.givens == nil {
		d.givens = &Table{Columns: []Column{{Head: "Given"}, {Head: "Figure"}}}
		d.Item.Sheet.Figures = append(d.Item.Sheet.Figures, Figure{ID: "givens", Caption: d.Text("givens"), Table: d.givens})
	}
	d.givens.Rows = append(d.givens.Rows, Row{Cells: []Cell{{Text: name}, {Text: text}}})
}

// Told is a misconception about a number: the formula that gives its answer.
// See [Composer.ToldSlip].
type Told struct {
	ID, Name string
	X        formula.Expr
}

// label is the letter of the next part.
func (d *Draft) label() string { return string(rune('a' + len(d.Item.Sheet.Parts))) }

// Ask adds a part with one number and binds its answer for the parts after it.
// half is the reading error that goes into its tolerance, in its own unit.
func (d *Draft) Ask(name string, def formula.Definition, of string, half formula.Value, slips ...Told) {
	label, why := d.label(), "value"
	if d.Prompts.Entry("tolerance."+name) != nil {
		why = name
	}
	key := d.NumberKey(label, def, d.Env, half, why, name)
	for _, s := range slips {
		if s.X != nil {
			d.ToldSlip(&key, s.ID, s.Name, s.X)
		}
	}
	part := d.Number(label, name, def, of)
	part.Lines = 2
	d.Item.Add(part, key)
	bound, err := def.Bind(d.Env, label)
	if err != nil {
		bound = formula.Binding{Sym: def.Sym, V: formula.Ratio(0, 0), From: label} // settle throws the draw away
	}
	d.Env = d.Env.With(bound)
}

// Misled is a misconception that leads to an option of a choice: always, or
// where Rel holds of the values at hand.
type Misled struct {
	ID, Name, Option string
	Rel              *formula.Relation
}

// Choose adds a choice that follows from the values so far. The right option is
// the first of decide whose relation holds. Of the misconceptions that lead to
// a wrong option the first that does so here is taken; the last of each option
// should need no relation.
func (d *Draft) Choose(name string, options []string, decide []Decision, slips ...Misled) error {
	label := d.label()
	steps := []Step{{Text: d.Text("work." + name)}}
	right := ""
	for _, c := range decide {
		holds := true
		if c.Rel != nil {
			var err error
			if holds, err = c.Rel.Holds(d.Env); err != nil {
				return RejectDraft
			}
			shown := *c.Rel
			if !holds {
				shown.Op = otherwise[shown.Op]
			}
			steps = append(steps, Step{Rel: &shown, Env: d.Env})
		}
		if holds {
			right = c.Option
			break
		}
	}
	key := d.ChoiceKey(label, right, steps...)
	key.Answers[0].Env, key.Answers[0].Decide = d.Env, decide
	for _, o := range options {
		for _, s := range slips {
			if o == right || s.Option != o {
				continue
			}
			if s.Rel != nil {
				if leads, err := s.Rel.Holds(d.Env); err != nil || !leads {
					continue
				}
			}
			key.Slips = append(key.Slips, d.ChoiceSlip(label, s.ID, s.Name, o))
			break
		}
	}
	d.Item.Add(d.Choice(label, name, options...), key)
	return nil
}

// otherwise is the comparison that holds where one does not.
var otherwise = map[formula.RelOp]formula.RelOp{
	formula.Less: formula.GreaterEq, formula.GreaterEq: formula.Less,
	formula.Greater: formula.LessEq, formula.LessEq: formula.Greater,
}
