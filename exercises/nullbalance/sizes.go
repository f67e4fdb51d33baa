package nullbalance

import (
	"fmt"
	"math"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
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

// Undrawable reports faults of which no reading or check (what) could be asked
// for: in a loop whose plant narrows their sizes too far, or, where the course
// names the fault, in any loop of the exercise. drawable tries a fault in a
// loop.
func Undrawable(e *scenarios.Exercise, faults []string, loops []*scenarios.Loop, what string, drawable func(fault string, l *scenarios.Loop) bool) []diag.Diagnostic {
	var ds []diag.Diagnostic
	for _, fault := range faults {
		shows := false
		var narrow []string
		for _, l := range loops {
			if drawable(fault, l) {
				shows = true
			} else if e.Plant.Sizes(fault, l) != nil {
				narrow = append(narrow, l.Tag)
			}
		}
		if len(narrow) > 0 {
			shows = true // said of these loops
			ds = append(ds, exercises.At(e, diag.Error, "sizes-leave-nothing",
				fmt.Sprintf("the sizes that %s gives for %q leave exercise %q no %s of %s to ask for at level %s", e.Plant.Name, fault, e.ID, what, strings.Join(narrow, ", "), e.Level),
				"let other sizes in under \"faults\" of the plant file, or leave the fault out of the exercise"))
		}
		if !shows && len(e.Faults) > 0 && len(loops) > 0 {
			ds = append(ds, exercises.At(e, diag.Error, "fault-cannot-show",
				fmt.Sprintf("the fault %q cannot show in exercise %q at level %s: its loops leave no size of it that can be read and judged", fault, e.ID, e.Level),
				"leave the fault out, or look at the tolerance and at the lowest and highest current of the transmitters"))
		}
	}
	return ds
}
