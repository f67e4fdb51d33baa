package signal

import (
	"math"

	"loopdrill/scenarios/formula"
)

// UncertaintyRatio is the test uncertainty ratio after ANSI/NCSL Z540.3: the
// width of the tolerance over the width of the interval in which the true
// value lies with 95 % confidence,
//
//	(upper − lower) / (2 × U95)
//
// all in the same unit. Four and above is the usual wish.
func UncertaintyRatio(lower, upper, u95 formula.Expr) formula.Expr {
	return formula.Div(formula.Sub(upper, lower), formula.Mul(formula.Num(2), u95))
}

// Conformance is the probability, 0 to 1, that a quantity measured as y with
// the standard uncertainty u (not the expanded one, u > 0) lies below an upper
// limit, for a normal distribution (JCGM 106, ILAC-G8):
//
//	Φ((limit − y) / u)
//
// For a lower limit swap limit and y. The result is never exact; u = 0 gives
// an undefined value or a certainty.
func Conformance(y, u, limit formula.Value) formula.Value {
	z := limit.Sub(y).Div(u).Float64()
	return formula.Float(math.Erfc(-z/math.Sqrt2) / 2)
}
