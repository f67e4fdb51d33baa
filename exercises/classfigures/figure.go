// Package classfigures computes the figures of a class report from marks that
// are already given: how hard a question was, how well the questions hang
// together, how far two markers agree, which faults are taken for which.
//
// For most uses put the marks into [Scores] and call [Alpha], [Feldt],
// [StandardError], [CorrectedItemTotal]; counts go to [Wilson], tables of two
// markers or of fault against answer to [Kappa], [Recall], [Precision].
//
// What cannot be worked out (one person, no spread, an empty row) is a
// [Figure] that says "n/a"; it is never 0. Figures are float64 and may differ
// in their last bits between processors: print three significant figures at
// the most. All results were held against R 4.2.2 (testdata/statistics.json
// names the call for each).
package classfigures

import (
	"math"
	"strconv"
)

// NotAvailable is what a page prints for a figure that does not exist.
const NotAvailable = "n/a"

// Figure is a number that may not exist. The zero Figure does not.
type Figure struct {
	value  float64
	exists bool
}

// figureOf takes what is not finite (0/0, a spread of nothing) as missing.
func figureOf(v float64) Figure {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return Figure{}
	}
	return Figure{value: v, exists: true}
}

// Value gives the number; ok is false, and the number 0, where there is none.
func (f Figure) Value() (v float64, ok bool) { return f.value, f.exists }

// Text prints f with a number of decimals, or "n/a". A negative figure has a
// true minus sign; what rounds to nothing has none.
func (f Figure) Text(decimals int) string {
	if !f.exists {
		return NotAvailable
	}
	s := strconv.FormatFloat(math.Abs(f.value), 'f', max(0, decimals), 64)
	if f.value < 0 {
		if zero, _ := strconv.ParseFloat(s, 64); zero != 0 {
			return "\u2212" + s
		}
	}
	return s
}

// Interval is a confidence interval. Both ends exist or neither does.
type Interval struct {
	Low, High Figure
}

// Text prints both ends, "0.26 to 0.37", or "n/a".
func (i Interval) Text(decimals int) string {
	if !i.Low.exists || !i.High.exists {
		return NotAvailable
	}
	return i.Low.Text(decimals) + " to " + i.High.Text(decimals)
}

func intervalOf(low, high float64) Interval {
	i := Interval{figureOf(low), figureOf(high)}
	if !i.Low.exists || !i.High.exists {
		return Interval{}
	}
	return i
}
