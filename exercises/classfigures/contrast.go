package classfigures

import (
	"math"
	"slices"
)

// UpperLower is, for each question, the mean mark of the best 27 % of people
// less that of the weakest 27 % (Kelley, Journal of Educational Psychology 30,
// 1939). The groups are round(0.27 n) people each, one at least; people tied
// across a group's edge share the places left in it. [CorrectedItemTotal] says
// more of a small class; this is for comparison with older reports. "n/a"
// below two people.
func UpperLower(s Scores) []Figure {
	out := make([]Figure, s.questions)
	n := len(s.marks)
	if n < 2 {
		return out
	}
	size := max(1, int(math.Round(0.27*float64(n))))
	total := s.Total()
	upper := shares(total, size)
	for i := range total {
		total[i] = -total[i]
	}
	lower := shares(total, size)
	for j := range out {
		var d float64
		for i, m := range s.column(j) {
			d += float64(m * (upper[i] - lower[i]))
		}
		out[j] = figureOf(d / float64(size))
	}
	return out
}

// shares gives each person's part, 0 to 1, in the group of the size best.
func shares(total []float64, size int) []float64 {
	sorted := slices.Sorted(slices.Values(total))
	edge := sorted[len(sorted)-size]
	var above, on int
	for _, t := range total {
		switch {
		case t > edge:
			above++
		case t == edge:
			on++
		}
	}
	out := make([]float64, len(total))
	for i, t := range total {
		switch {
		case t > edge:
			out[i] = 1
		case t == edge:
			out[i] = float64(size-above) / float64(on)
		}
	}
	return out
}
