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

// Referred is an uncertainty, or an accuracy taken for one, carried from the
// span that it is stated of to another one:
//
//	u × own span / other span
//
// u in percent of a gauge's own span gives percent of the loop's span; both
// spans in the same unit, the other one not 0.
func Referred(u, ownSpan, otherSpan formula.Expr) formula.Expr {
	return formula.Div(formula.Mul(u, ownSpan), otherSpan)
}

// Combined is the uncertainty of two or more independent contributions, all of
// the same coverage factor and in the same unit: the root of the sum of their
// squares (JCGM 100:2008, 5.1.2, with sensitivity coefficients of 1).
func Combined(first formula.Expr, more ...formula.Expr) formula.Expr {
	sum := formula.Square(first)
	for _, u := range more {
		sum = formula.Add(sum, formula.Square(u))
	}
	return formula.Sqrt(sum)
}

// AcceptanceLimit is the tolerance limit less a guard band, AL = TL − w
// (ILAC-G8:09/2019, 4.2.2); here w is the expanded uncertainty U itself. A
// result at most that large passes; from there to TL + w nothing can be said
// with that confidence.
func AcceptanceLimit(limit, guard formula.Expr) formula.Expr { return formula.Sub(limit, guard) }
