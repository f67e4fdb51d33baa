package exercises

import (
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
)

// Composer puts parts and keys together from the texts of a family. Entries
// are named by what they are: "ask.NAME" a question, "option.NAME" an option,
// "work.NAME" a line of working, "tolerance.NAME" where a tolerance comes
// from, "credit.NAME" what earns a mark, "slip.NAME" the sentence for a slip.
type Composer struct {
	Prompts *prose.Library
	Words   []string // names and values in turn, for the slots of any entry
}

// Text fills an entry with those of the words it needs; more come first.
func (c *Composer) Text(entry string, more ...string) prose.Text {
	return Fill(c.Prompts, entry, append(more[:len(more):len(more)], c.Words...)...)
}

// Choice is a part with one choice between options, shown in the order given.
func (c *Composer) Choice(label, ask string, options ...string) Part {
	box := Box{ID: label, Kind: ChoiceBox, Name: c.Text("ask." + ask).Plain()}
	for _, o := range options {
		box.Options = append(box.Options, Option{ID: o, Text: c.Text("option." + o)})
	}
	return Part{Label: label, Prompt: c.Text("ask." + ask), Marks: 1, Boxes: []Box{box}}
}

// ChoiceKey is the key of such a part.
func (c *Composer) ChoiceKey(label, right string, working ...Step) PartKey {
	return PartKey{
		Label:   label,
		Answers: []Answer{{Box: label, Option: right}},
		Working: working,
		Credit:  []Credit{{Marks: 1, For: c.Text("credit.choice")}},
	}
}

// ChoiceSlip is a misconception that leads to an option.
func (c *Composer) ChoiceSlip(label, id, name, option string, more ...string) Slip {
	return Slip{ID: id, Name: name, Feedback: c.Text("slip."+id, more...),
		Answers: []SlipAnswer{{Box: label, Option: option}}}
}

// Number is a part with one number to give.
func (c *Composer) Number(label, ask string, def formula.Definition, of string) Part {
	return Part{
		Label: label, Prompt: c.Text("ask." + ask), Marks: 1, Lines: 1,
		Boxes: []Box{{ID: label, Kind: NumberBox, Name: c.Text("ask." + ask).Plain(),
			Unit: def.Unit, Of: of, Decimals: def.Decimals}},
	}
}

// NumberKey is the key of such a part. half is the reading error that the
// instrument leaves, in the unit of the answer; to it comes half a unit of the
// last place asked for.
func (c *Composer) NumberKey(label string, def formula.Definition, env formula.Env, half formula.Value, why, work string) PartKey {
	tolerance := Tolerance(half, def.Decimals)
	return PartKey{
		Label:   label,
		Answers: []Answer{{Box: label, Def: def, Env: env, Tolerance: tolerance}},
		Working: []Step{{Text: c.Text("work." + work)}, {Def: &def, Env: env}},
		Why: c.Text("tolerance."+why,
			"tolerance", Quantity(tolerance, def.Unit), "half", Quantity(half, def.Unit)),
		Credit: []Credit{{Marks: 1, For: c.Text("credit.value")}},
	}
}

// NumberSlip adds a misconception to a part with one number: the formula that
// gives its answer.
func (c *Composer) NumberSlip(key *PartKey, id, name string, x formula.Expr) {
	a := key.Answers[0]
	def := a.Def
	def.Expr = x
	v, _ := def.Eval(a.Env).Rounded(def.Decimals) // worked out again, and refused, when the item is settled
	key.Slips = append(key.Slips, Slip{ID: id, Name: name, Feedback: c.Text("slip." + id),
		Answers: []SlipAnswer{{Box: a.Box, Def: def, Env: a.Env, Value: v}}})
}

// Tolerance is a reading error and half a unit of the last of the decimals.
func Tolerance(half formula.Value, decimals int) formula.Value {
	return half.Add(formula.Decimal(5, decimals+1))
}

// Quantity prints an exact value with as many decimals as it has (six at the
// most) and its unit.
func Quantity(v formula.Value, unit string) string {
	k, _ := v.Places(6)
	return formula.WithUnit(v.Text(k), unit)
}

// Add appends a part and its key.
func (i *Item) Add(part Part, key PartKey) {
	i.Sheet.Parts = append(i.Sheet.Parts, part)
	i.Key.Parts = append(i.Key.Parts, key)
}
