package sitting

import (
	"loopdrill/exercises"
	"loopdrill/exercises/marking"
)

// Row is one field of a form that is typed in from paper.
type Row struct {
	Key   string // "3.a", "3.a.stop"
	Asked string
	Unit  string
}

// Rows lists the fields of a form that are typed in from paper, in the order in
// which they stand on it. What a person judges on the paper has none.
func Rows(f *exercises.Form) []Row {
	var out []Row
	for _, d := range f.Items {
		for _, p := range d.Item.Sheet.Parts {
			for _, b := range p.Boxes {
				key := marking.PartName(d.Exercise.Number, b.ID)
				row := Row{Key: key, Asked: b.Name}
				switch b.Kind {
				case exercises.JudgedBox:
					continue
				case exercises.ChoiceBox:
					row.Asked += " (letter)"
				case exercises.OrderBox:
					row.Asked += " (letters in order, or the number beside each step)"
				default:
					row.Unit = b.Unit
					if b.Of != "" {
						row.Unit += " " + b.Of
					}
				}
				if b.UnitAsked {
					row.Unit = ""
				}
				out = append(out, row)
				if b.UnitAsked {
					out = append(out, Row{Key: key + ".unit", Asked: "unit of " + b.Name})
				}
				if b.MayStop {
					out = append(out, Row{Key: key + ".stop", Asked: b.Name + ": cannot be read, on its stop (x if ticked)"})
				}
			}
		}
	}
	return out
}

// JudgedRow is a judged box of a form.
type JudgedRow struct {
	Key   string
	Asked string
	Most  int
	Guide []exercises.Credit // what earns the marks
}

// Judged lists the judged boxes of a form.
func Judged(f *exercises.Form) []JudgedRow {
	var out []JudgedRow
	for i := range f.Items {
		d := &f.Items[i]
		for j := range d.Item.Sheet.Parts {
			p := &d.Item.Sheet.Parts[j]
			for k := range p.Boxes {
				if b := &p.Boxes[k]; b.Kind == exercises.JudgedBox {
					out = append(out, JudgedRow{Key: marking.PartName(d.Exercise.Number, b.ID), Asked: b.Name, Most: handMarks(d, p, b), Guide: d.Item.Key.Parts[j].Credit})
				}
			}
		}
	}
	return out
}
