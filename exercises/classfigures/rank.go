package classfigures

import (
	"math"

	"loopdrill/exercises/marking"
)

// Kendall is Kendall's τ_b of two rankings of the same things,
//
//	τ_b = (C − D) / √((n₀ − n_x)(n₀ − n_y))
//
// with n₀ pairs, of which C run alike and D against each other, n_x are tied
// in x and n_y in y (Kendall, Biometrika 33, 1945). Without ties it is plain
// τ. "n/a" for lists of different length or where either side is tied
// throughout. (The module we take other statistics from has a Kendall of its
// own that is wrong with ties.)
func Kendall(x, y []float64) Figure {
	p, ok := marking.Compare(x, y)
	if !ok {
		return Figure{}
	}
	left := float64(p.All-p.TiedX) * float64(p.All-p.TiedY)
	if left == 0 {
		return Figure{}
	}
	return figureOf(float64(p.Alike-p.Against) / math.Sqrt(left))
}
