package nullbalance

import (
	"math"

	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
)

// Marked is a closed range of whole small marks.
type Marked struct{ From, To int }

// Has says whether n lies in the range.
func (m Marked) Has(n int) bool { return n >= m.From && n <= m.To }

// Add gives all sums of a number of each range.
func (m Marked) Add(n Marked) Marked { return Marked{m.From + n.From, m.To + n.To} }

// SizeMarks gives, in small marks of the checker's face, the bounds within
// which a plant lets a fault be drawn in a loop: one for each of the fault's
// sizes, all of which must be in percent of span. share is the part of the size
// that shows at the point, of a hundred: 100 for a zero error, 25 for a span
// error at 25 %. Marks that lie half outside are outside. It gives nil where
// the plant leaves all sizes of the fault; every draw is then the family's own
// choice.
func SizeMarks(p *scenarios.Plant, l *scenarios.Loop, fault string, share ...int) []Marked {
	sizes := p.Sizes(fault, l)
	if len(sizes) != len(share) {
		return nil
	}
	out := make([]Marked, len(sizes))
	for i, s := range sizes {
		marks := func(v formula.Value) float64 {
			return v.Mul(formula.Ratio(int64(share[i]), 100)).Div(p.Checker.Face.PerSmallMark).Float64()
		}
		// Exact fractions of small numbers: a whole number of marks is whole
		// as a float64, too.
		out[i] = Marked{int(math.Ceil(marks(s.Low))), int(math.Floor(marks(s.High)))}
	}
	return out
}
