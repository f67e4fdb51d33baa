package render

import (
	"encoding/json"
	"slices"
	"strconv"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// What the script of a practice workbook needs to compare an answer with the
// key, as inert JSON beside the solution that says the same in words. An
// assessment gets none.

type comparePart struct {
	Part  string       `json:"part"`
	Boxes []compareBox `json:"boxes"`
}

// compareBox is one box: what is right, and what the slips answer. Exactly one
// of Number, Option, Order, Stop and Judged is set.
type compareBox struct {
	ID     string         `json:"id"`
	Number *compareNumber `json:"number,omitempty"`
	Option string         `json:"option,omitempty"`
	Order  *compareOrder  `json:"order,omitempty"`
	Stop   bool           `json:"stop,omitempty"`
	Judged bool           `json:"judged,omitempty"`
	From   []string       `json:"from,omitempty"` // earlier boxes that feed the key
	Slips  []compareSlip  `json:"slips,omitempty"`
}

// compareNumber has its numbers as exact fractions: "-6/5".
type compareNumber struct {
	Key       string `json:"key"`
	Tolerance string `json:"tolerance"`
	Unit      string `json:"unit,omitempty"`
	Of        string `json:"of,omitempty"`
	Mode      string `json:"mode,omitempty"`
	Figures   int    `json:"figures,omitempty"`
	Low       string `json:"low,omitempty"`
	High      string `json:"high,omitempty"`
}

type compareOrder struct {
	Steps  [][]string  `json:"steps"` // of one id each
	Before [][2]string `json:"before,omitempty"`
	Safety [][2]string `json:"safety,omitempty"`
}

// compareSlip is what slip number Slip of the part answers here.
type compareSlip struct {
	Slip   int      `json:"slip"`
	Value  string   `json:"value,omitempty"`
	Option string   `json:"option,omitempty"`
	Order  []string `json:"order,omitempty"`
	Stop   bool     `json:"stop,omitempty"`
}

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
		return compareBox{ID: b.ID, Judged: true}
	case b.Kind == exercises.OrderBox && a.Order != nil:
		o := &compareOrder{Before: a.Order.Before, Safety: a.Order.Safety}
		for _, s := range b.Options {
			o.Steps = append(o.Steps, []string{s.ID})
		}
		out.Order = o
	case b.Kind == exercises.ChoiceBox:
		out.Option = a.Option
	case a.Stop:
		out.Stop = true
	default:
		n := &compareNumber{Key: exactText(a.Value), Tolerance: exactText(a.Tolerance), Unit: b.Unit, Of: b.Of, Figures: b.Figures}
		if b.UnitAsked {
			n.Mode = "required"
		}
		if a.Shows != nil {
			n.Low, n.High = exactText(a.Shows.Low), exactText(a.Shows.High)
		}
		out.Number = n
		out.From = feeders(a)
	}
	for i, s := range slips {
		for _, sa := range s.Answers {
			if sa.Box != b.ID {
				continue
			}
			c := compareSlip{Slip: i, Option: sa.Option, Order: sa.Order, Stop: sa.Stop}
			if b.Kind == exercises.NumberBox && !sa.Stop {
				c.Value = exactText(sa.Value)
			}
			out.Slips = append(out.Slips, c)
		}
	}
	return out
}

// exactText writes a value as the page's script reads it. What is not exact,
// which no printed value is, is written as printed to nine places.
func exactText(v formula.Value) string {
	n, d, ok := v.Fraction()
	if !ok {
		k, _ := v.Places(9)
		w, err := v.Rounded(k)
		if err != nil {
			return "0"
		}
		if n, d, ok = w.Fraction(); !ok {
			return "0"
		}
	}
	if d == 1 {
		return strconv.FormatInt(n, 10)
	}
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
