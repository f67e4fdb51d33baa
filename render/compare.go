package render

import (
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/marking"
	"loopdrill/scenarios/formula"
)

// What the script of a practice workbook needs to compare an answer with the
// key, as inert JSON beside the solution that says the same in words. An
// assessment gets none.

// The letters are those of the script: k key, t tolerance, u unit, w of what a
// percentage is taken (whole), m that the unit is asked for, f figures, lo and hi
// what the instrument can show; o the right option; order, stop and judged; from
// the earlier boxes that feed the key; s the slips, each with its number in the
// part and what it answers here.
type comparePart struct {
	Part  string       `json:"part"`
	Boxes []compareBox `json:"boxes"`
}

type compareBox struct {
	ID        string        `json:"id"`
	Key       string        `json:"k,omitempty"` // exact: "-1.2" or "1/3"
	Tolerance string        `json:"t,omitempty"`
	Unit      string        `json:"u,omitempty"`
	Whole     string        `json:"w,omitempty"`
	UnitAsked int           `json:"m,omitempty"`
	Figures   int           `json:"f,omitempty"`
	Low       string        `json:"lo,omitempty"`
	High      string        `json:"hi,omitempty"`
	Option    string        `json:"o,omitempty"`
	Order     *compareOrder `json:"order,omitempty"`
	Stop      int           `json:"stop,omitempty"`
	Judged    int           `json:"judged,omitempty"`
	From      []string      `json:"from,omitempty"`
	Slips     []compareSlip `json:"s,omitempty"`
}

type compareOrder struct {
	Steps  [][]string  `json:"steps"` // of one id each
	Before [][2]string `json:"before,omitempty"`
	Safety [][2]string `json:"safety,omitempty"`
}

// compareSlip is the number of a slip and its answer: a number or an option in
// text, true for the tick, a list of steps.
type compareSlip [2]any

// compareData writes the data of one exercise.
func (x *exercise) compareData(sheet exercises.Sheet, key exercises.Key) {
	var parts []comparePart
	for i, part := range sheet.Parts {
		if i >= len(key.Parts) {
			break
		}
		out := comparePart{Part: part.Label}
		for _, b := range part.Boxes {
			for _, a := range key.Parts[i].Answers {
				if a.Box == b.ID {
					out.Boxes = append(out.Boxes, compared(b, a, key.Parts[i].Slips))
				}
			}
		}
		parts = append(parts, out)
	}
	data, err := json.Marshal(parts) // escapes what could end the script element
	if err != nil {
		return // texts and numbers only: cannot happen; the solution still serves
	}
	x.p.raw("<script type=\"application/json\" data-compare=\"", x.number, "\">", string(data), "</script>\n")
}

func compared(b exercises.Box, a exercises.Answer, slips []exercises.Slip) compareBox {
	out := compareBox{ID: b.ID}
	switch {
	case b.Kind == exercises.JudgedBox:
		return compareBox{ID: b.ID, Judged: 1}
	case b.Kind == exercises.OrderBox && a.Order != nil:
		o := &compareOrder{Before: a.Order.Before, Safety: a.Order.Safety}
		for _, s := range b.Options {
			o.Steps = append(o.Steps, []string{s.ID})
		}
		out.Order = o
	case b.Kind == exercises.ChoiceBox:
		out.Option = a.Option
	case a.Stop:
		out.Stop = 1
	default:
		out.Key, out.Tolerance, out.Unit, out.Whole, out.Figures = exactText(a.Value), exactText(a.Tolerance), b.Unit, b.Of, b.Figures
		if b.UnitAsked {
			out.UnitAsked = 1
		}
		if shows := marking.ShownBy(b, a); shows != nil {
			out.Low, out.High = exactText(shows.Low), exactText(shows.High)
		}
		out.From = feeders(a)
	}
	for i, s := range slips {
		for _, sa := range s.Answers {
			if sa.Box != b.ID {
				continue
			}
			c := compareSlip{i, sa.Option}
			switch {
			case sa.Stop:
				c[1] = true
			case b.Kind == exercises.OrderBox:
				c[1] = sa.Order
			case b.Kind == exercises.NumberBox:
				c[1] = exactText(sa.Value)
			}
			out.Slips = append(out.Slips, c)
		}
	}
	return out
}

// exactText writes a value as the page's script reads it: as a decimal where it
// is one, else as a fraction. What is not exact, which no printed value is, is
// written as printed to nine places.
func exactText(v formula.Value) string {
	if k, ok := v.Places(12); ok || !v.Exact() {
		return strings.ReplaceAll(v.Text(min(k, 12)), "\u2212", "-")
	}
	n, d, _ := v.Fraction()
	return strconv.FormatInt(n, 10) + "/" + strconv.FormatInt(d, 10)
}

// feeders lists the earlier boxes whose answers go into a key.
func feeders(a exercises.Answer) []string {
	if a.Def.Expr == nil {
		return nil
	}
	var out []string
	for _, s := range formula.Symbols(a.Def.Expr) {
		if b, ok := a.Env.Lookup(s); ok && b.From != "" && !slices.Contains(out, b.From) {
			out = append(out, b.From)
		}
	}
	return out
}
