package classfigures

import (
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Wilson is the score interval of a share of hits out of n,
//
//	(p + z²/2n ± z √(p(1 − p)/n + z²/4n²)) / (1 + z²/n)
//
// without continuity correction (Wilson, JASA 22, 1927; Newcombe, Statistics
// in Medicine 17, 1998, method 3). It stays inside 0 to 1 and ends there
// exactly for no hits and for all. "n/a" for n below 1, hits outside 0 to n, or
// a confidence outside 0 to 1, both excluded.
func Wilson(hits, n int, confidence float64) Interval {
	if n < 1 || hits < 0 || hits > n || !inside(confidence) {
		return Interval{}
	}
	z := distuv.UnitNormal.Quantile(1 - (1-confidence)/2)
	size, p := float64(n), float64(hits)/float64(n)
	middle := p + z*z/(2*size)
	half := z * math.Sqrt(p*(1-p)/size+z*z/(4*size*size))
	whole := 1 + z*z/size
	low, high := (middle-half)/whole, (middle+half)/whole
	if hits == 0 {
		low = 0
	}
	if hits == n {
		high = 1
	}
	return intervalOf(low, high)
}
