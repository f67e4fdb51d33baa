package signal

import (
	"fmt"

	"loopdrill/scenarios/formula"
)

// Pt100 after IEC 60751 (ITS-90, Callendar and Van Dusen), R0 = 100 ohm:
//
//	t ≥ 0 °C:  R = R0 (1 + A t + B t²)
//	t < 0 °C:  R = R0 (1 + A t + B t² + C (t − 100 °C) t³)
//
// The coefficients are exact as the standard prints them.
var (
	pt100R0 = formula.Int(100)
	pt100A  = formula.Decimal(39083, 7)  // per °C
	pt100B  = formula.Decimal(-5775, 10) // per °C²
	pt100C  = formula.Decimal(-4183, 15) // per °C⁴
	pt100Lo = formula.Int(-200)          // °C
	pt100Hi = formula.Int(850)           // °C
)

// Pt100Ohm is the resistance in ohm of a Pt100 at a temperature in °C, -200 to
// 850 °C; elsewhere it is an error.
func Pt100Ohm(celsius formula.Value) (formula.Value, error) {
	if !within(celsius, pt100Lo, pt100Hi) {
		return formula.Value{}, fmt.Errorf("a Pt100 after IEC 60751 works from -200 to 850 °C, not at %s °C", celsius.Text(1))
	}
	t2 := celsius.Mul(celsius)
	r := formula.Int(1).Add(pt100A.Mul(celsius)).Add(pt100B.Mul(t2))
	if celsius.Sign() < 0 {
		r = r.Add(pt100C.Mul(celsius.Sub(formula.Int(100))).Mul(t2).Mul(celsius))
	}
	return pt100R0.Mul(r), nil
}

// Pt100Celsius undoes [Pt100Ohm]: the temperature in °C at which a Pt100 has a
// resistance in ohm, 18.52 to 390.48 ohm; elsewhere it is an error. At and
// above 100 ohm the quadratic is solved,
//
//	t = (−A + √(A² − 4 B (1 − R/R0))) / (2 B)
//
// below, the fourth-degree one is halved down to 1e-9 °C. The result is not
// exact.
func Pt100Celsius(ohm formula.Value) (formula.Value, error) {
	least, _ := Pt100Ohm(pt100Lo)
	most, _ := Pt100Ohm(pt100Hi)
	hundredth := formula.Decimal(1, 2) // the ends as tables print them
	if !within(ohm, least.Sub(hundredth), most.Add(hundredth)) {
		return formula.Value{}, fmt.Errorf("a Pt100 after IEC 60751 has %s to %s ohm, not %s ohm", least.Text(2), most.Text(2), ohm.Text(2))
	}
	if ohm.Sub(pt100R0).Sign() >= 0 {
		c := formula.Int(1).Sub(ohm.Div(pt100R0))
		root := pt100A.Mul(pt100A).Sub(formula.Int(4).Mul(pt100B).Mul(c)).Sqrt()
		return root.Sub(pt100A).Div(formula.Int(2).Mul(pt100B)), nil
	}
	a, b, c, want := pt100A.Float64(), pt100B.Float64(), pt100C.Float64(), ohm.Float64()
	return formula.Float(halve(-200.5, 0, want, func(t float64) float64 {
		square := float64(t * t)
		return 100 * (1 + float64(a*t) + float64(b*square) + float64(float64(c*(t-100))*float64(square*t)))
	})), nil
}

// halve searches the argument between low and high at which a rising function
// gives want.
func halve(low, high, want float64, of func(float64) float64) float64 {
	for high-low > 1e-9 {
		middle := (low + high) / 2
		if of(middle) < want {
			low = middle
		} else {
			high = middle
		}
	}
	return (low + high) / 2
}

// within says whether low ≤ v ≤ high, in float64: ranges of validity are no
// decisions that a page prints.
func within(v, low, high formula.Value) bool {
	x := v.Float64()
	return v.Defined() && x >= low.Float64()-1e-9 && x <= high.Float64()+1e-9
}
