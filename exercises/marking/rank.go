package marking

import (
	"cmp"
	"slices"
)

// Pairs counts how the pairs of a list run in two rankings. A pair that is
// tied in both counts in TiedX and in TiedY.
type Pairs struct {
	All            int // n (n − 1) / 2
	Alike, Against int // neither is tied in either ranking
	TiedX, TiedY   int
}

// Compare counts the pairs of two rankings of the same things. ok is false
// for lists of different length.
func Compare[T cmp.Ordered](x, y []T) (p Pairs, ok bool) {
	if len(x) != len(y) {
		return Pairs{}, false
	}
	for i := range x {
		for j := range i {
			a, b := cmp.Compare(x[i], x[j]), cmp.Compare(y[i], y[j])
			p.All++
			if a == 0 {
				p.TiedX++
			}
			if b == 0 {
				p.TiedY++
			}
			switch {
			case a*b > 0:
				p.Alike++
			case a*b < 0:
				p.Against++
			}
		}
	}
	return p, true
}

// LongestRun gives the indexes of a longest strictly increasing run of seq
// (its members need not be neighbours). What is not in it is the fewest that
// has to be moved to put seq in order. Of several such runs it is the one that
// begins furthest left and goes on furthest left.
func LongestRun(seq []int) []int {
	best := make([]int, len(seq)) // length of the longest run that begins here
	longest := 0
	for i := len(seq) - 1; i >= 0; i-- {
		best[i] = 1
		for j := i + 1; j < len(seq); j++ {
			if seq[j] > seq[i] {
				best[i] = max(best[i], best[j]+1)
			}
		}
		longest = max(longest, best[i])
	}
	var run []int
	for i := range seq {
		if best[i] == longest && (len(run) == 0 || seq[i] > seq[run[len(run)-1]]) {
			run = append(run, i)
			longest--
		}
	}
	return slices.Clip(run)
}
