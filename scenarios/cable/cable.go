// Package cable holds the resistance of copper field cable, which a loop
// budget takes off the supply.
//
// For most uses take [OhmPerKm] as a given and write the resistance of both
// conductors with [Loop].
package cable

import "loopdrill/scenarios/formula"

// size is a nominal cross-section and its resistance.
type size struct{ mm2, ohmPerKm formula.Value }

// sizes is IEC 60228, class 2 (stranded), plain copper: maximum resistance of
// one conductor in ohm per km at 20 °C, read in independent reprints. The
// sizes are those that field cable is made in.
var sizes = []size{
	{formula.Decimal(5, 1), formula.Int(36)},
	{formula.Decimal(75, 2), formula.Decimal(245, 1)},
	{formula.Int(1), formula.Decimal(181, 1)},
	{formula.Decimal(15, 1), formula.Decimal(121, 1)},
	{formula.Decimal(25, 1), formula.Decimal(741, 2)},
	{formula.Int(4), formula.Decimal(461, 2)},
}

// Sizes lists the nominal cross-sections in mm², from the thinnest.
func Sizes() []formula.Value {
	out := make([]formula.Value, len(sizes))
	for i, s := range sizes {
		out[i] = s.mm2
	}
	return out
}

// OhmPerKm is the largest resistance that IEC 60228 permits one conductor of a
// nominal cross-section in mm², in ohm per km at 20 °C; ok is false for a
// cross-section that is not in [Sizes]. A sound cable has a little less.
func OhmPerKm(mm2 formula.Value) (ohm formula.Value, ok bool) {
	for _, s := range sizes {
		if s.mm2.Equal(mm2) {
			return s.ohmPerKm, true
		}
	}
	return formula.Value{}, false
}

// gauge is a size of the American wire gauge and its resistance.
type gauge struct {
	awg      int
	mm2      formula.Value // of the metal, rounded
	ohmPerKm formula.Value
}

// gauges is solid annealed copper, nominal resistance of one conductor at
// 20 °C: the ohms per 1000 ft of NBS Handbook 100, Copper Wire Tables, in
// brackets, from memory, over 0.3048 and rounded to four figures. A test holds
// them against the diameters of ASTM B258 and the resistivity of IEC 60028.
// Stranded conductors have some 2 % more. The sizes are those that field cable
// is made in.
var gauges = []gauge{
	{24, formula.Decimal(205, 3), formula.Decimal(8422, 2)},  // 25.67
	{22, formula.Decimal(326, 3), formula.Decimal(5295, 2)},  // 16.14
	{20, formula.Decimal(518, 3), formula.Decimal(3330, 2)},  // 10.15
	{18, formula.Decimal(823, 3), formula.Decimal(2095, 2)},  // 6.385
	{16, formula.Decimal(1309, 3), formula.Decimal(1318, 2)}, // 4.016
	{14, formula.Decimal(2081, 3), formula.Decimal(8284, 3)}, // 2.525
	{12, formula.Decimal(3309, 3), formula.Decimal(5210, 3)}, // 1.588
	{10, formula.Decimal(5261, 3), formula.Decimal(3277, 3)}, // 0.9989
}

// Gauges lists the sizes of the American wire gauge, from the thinnest.
func Gauges() []int {
	out := make([]int, len(gauges))
	for i, g := range gauges {
		out[i] = g.awg
	}
	return out
}

// Gauge gives the cross-section in mm² and the nominal resistance in ohm per km
// at 20 °C of one solid copper conductor of the American wire gauge; ok is
// false for a size that is not in [Gauges].
func Gauge(awg int) (mm2, ohmPerKm formula.Value, ok bool) {
	for _, g := range gauges {
		if g.awg == awg {
			return g.mm2, g.ohmPerKm, true
		}
	}
	return formula.Value{}, formula.Value{}, false
}

// perDegree is the rise of copper's resistance with temperature that IEC 60228
// uses, 0.4 % per degree of its resistance at 20 °C.
var perDegree = formula.Lit{V: formula.Decimal(4, 3)}

// Warmed is the factor by which a conductor at t °C has more resistance than
// at 20 °C:
//
//	1 + 0.004 × (t − 20)
//
// good between 5 and 90 °C, for which the standard prints its inverse.
func Warmed(t formula.Expr) formula.Expr {
	return formula.Add(formula.Num(1), formula.Mul(perDegree, formula.Sub(t, formula.Lit{V: formula.Int(20), Unit: "°C"})))
}

// Correction is the factor k_t of IEC 60228, which brings a resistance
// measured at t °C to 20 °C: the inverse of [Warmed].
func Correction(t formula.Expr) formula.Expr { return formula.Div(formula.Num(1), Warmed(t)) }

// Loop is the resistance in ohm of a cable of a length in m with both its
// conductors, of which one has ohmPerKm at 20 °C, at t °C:
//
//	2 × ohmPerKm × length / 1000 × (1 + 0.004 × (t − 20))
//
// The 2 is the way there and back; forgetting it is a known slip.
func Loop(ohmPerKm, lengthM, t formula.Expr) formula.Expr {
	there := formula.Div(formula.Mul(ohmPerKm, lengthM), formula.Num(1000))
	return formula.Mul(formula.Mul(formula.Num(2), there), Warmed(t))
}
