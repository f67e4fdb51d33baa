package signal

import (
	"fmt"
	"math"

	"loopdrill/scenarios/formula"
)

// Thermocouple is a type of thermocouple by its letter.
type Thermocouple string

// The types. Emfs are in mV with the reference junction at 0 °C, ITS-90.
const (
	TypeJ Thermocouple = "J" // iron - copper-nickel, -210 to 1200 °C
	TypeK Thermocouple = "K" // nickel-chromium - nickel-aluminium, -270 to 1372 °C
	TypeT Thermocouple = "T" // copper - copper-nickel, -270 to 400 °C
)

// Thermocouples lists the types.
func Thermocouples() []Thermocouple { return []Thermocouple{TypeJ, TypeK, TypeT} }

// piece is a polynomial and the end of its range; it begins where the one
// before it ends. The constant comes first.
type piece struct {
	to float64
	c  []float64
}

// curve is the reference function of a type, °C to mV, and its approximate
// inverse, mV to °C.
type curve struct {
	from    float64 // °C
	forward []piece
	least   float64 // mV, where the inverse begins
	inverse []piece
	// bump is the exponential of type K above 0 °C: a0 exp(a1 (t − a2)²).
	bump [3]float64
}

// curves holds the coefficients of NIST Monograph 175 (1993), as the NIST
// ITS-90 thermocouple database (SRD 60) prints them, read in independent
// reprints that agree.
var curves = map[Thermocouple]curve{
	TypeJ: {
		from: -210,
		forward: []piece{
			{760, []float64{0, 0.503811878150e-1, 0.304758369300e-4, -0.856810657200e-7, 0.132281952950e-9, -0.170529583370e-12, 0.209480906970e-15, -0.125383953360e-18, 0.156317256970e-22}},
			{1200, []float64{0.296456256810e3, -0.149761277860e1, 0.317871039240e-2, -0.318476867010e-5, 0.157208190040e-8, -0.306913690560e-12}},
		},
		least: -8.095,
		inverse: []piece{
			{0, []float64{0, 1.9528268e1, -1.2286185, -1.0752178, -5.9086933e-1, -1.7256713e-1, -2.8131513e-2, -2.3963370e-3, -8.3823321e-5}},
			{42.919, []float64{0, 1.978425e1, -2.001204e-1, 1.036969e-2, -2.549687e-4, 3.585153e-6, -5.344285e-8, 5.099890e-10}},
			{69.553, []float64{-3.11358187e3, 3.00543684e2, -9.94773230, 1.70276630e-1, -1.43033468e-3, 4.73886084e-6}},
		},
	},
	TypeK: {
		from: -270,
		forward: []piece{
			{0, []float64{0, 0.394501280250e-1, 0.236223735980e-4, -0.328589067840e-6, -0.499048287770e-8, -0.675090591730e-10, -0.574103274280e-12, -0.310888728940e-14, -0.104516093650e-16, -0.198892668780e-19, -0.163226974860e-22}},
			{1372, []float64{-0.176004136860e-1, 0.389212049750e-1, 0.185587700320e-4, -0.994575928740e-7, 0.318409457190e-9, -0.560728448890e-12, 0.560750590590e-15, -0.320207200030e-18, 0.971511471520e-22, -0.121047212750e-25}},
		},
		bump:  [3]float64{0.118597600000, -0.118343200000e-3, 0.126968600000e3},
		least: -5.891,
		inverse: []piece{
			{0, []float64{0, 2.5173462e1, -1.1662878, -1.0833638, -8.9773540e-1, -3.7342377e-1, -8.6632643e-2, -1.0450598e-2, -5.1920577e-4}},
			{20.644, []float64{0, 2.508355e1, 7.860106e-2, -2.503131e-1, 8.315270e-2, -1.228034e-2, 9.804036e-4, -4.413030e-5, 1.057734e-6, -1.052755e-8}},
			{54.886, []float64{-1.318058e2, 4.830222e1, -1.646031, 5.464731e-2, -9.650715e-4, 8.802193e-6, -3.110810e-8}},
		},
	},
	TypeT: {
		from: -270,
		forward: []piece{
			{0, []float64{0, 0.387481063640e-1, 0.441944343470e-4, 0.118443231050e-6, 0.200329735540e-7, 0.901380195590e-9, 0.226511565930e-10, 0.360711542050e-12, 0.384939398830e-14, 0.282135219250e-16, 0.142515947790e-18, 0.487686622860e-21, 0.107955392700e-23, 0.139450270620e-26, 0.797951539270e-30}},
			{400, []float64{0, 0.387481063640e-1, 0.332922278800e-4, 0.206182434040e-6, -0.218822568460e-8, 0.109968809280e-10, -0.308157587720e-13, 0.454791352900e-16, -0.275129016730e-19}},
		},
		least: -5.603,
		inverse: []piece{
			{0, []float64{0, 2.5949192e1, -2.1316967e-1, 7.9018692e-1, 4.2527777e-1, 1.3304473e-1, 2.0241446e-2, 1.2668171e-3}},
			{20.872, []float64{0, 2.592800e1, -7.602961e-1, 4.637791e-2, -2.165394e-3, 6.048144e-5, -7.293422e-7}},
		},
	},
}

// Range is the range of the reference function in °C.
func (k Thermocouple) Range() (low, high float64) {
	c := curves[k]
	if len(c.forward) == 0 {
		return 0, 0
	}
	return c.from, c.forward[len(c.forward)-1].to
}

// Millivolt is the emf in mV between a junction at a temperature in °C and a
// reference junction at 0 °C. It is not exact (type K has an exponential in
// it), so that whoever prints it rounds it and meets [formula.ErrEdge] where
// another processor could round otherwise. Outside the range of the type, and
// for a type that is none, it is an error.
func (k Thermocouple) Millivolt(celsius formula.Value) (formula.Value, error) {
	c, ok := curves[k]
	if !ok {
		return formula.Value{}, fmt.Errorf("no thermocouple of type %q", string(k))
	}
	low, high := k.Range()
	t := celsius.Float64()
	if !celsius.Defined() || t < low || t > high {
		return formula.Value{}, fmt.Errorf("a thermocouple of type %s works from %g to %g °C, not at %s °C", k, low, high, celsius.Text(1))
	}
	e := onPiece(c.forward, t)
	if c.bump[0] != 0 && t > 0 {
		d := t - c.bump[2]
		e += float64(c.bump[0] * math.Exp(float64(c.bump[1]*float64(d*d))))
	}
	return formula.Float(e), nil
}

// Celsius is the temperature in °C at which a thermocouple gives an emf in mV
// with its reference junction at 0 °C, by the approximate inverse of NIST,
// which is within 0.06 °C of the reference function. It begins at -210 °C (J)
// or -200 °C (K, T).
func (k Thermocouple) Celsius(millivolt formula.Value) (formula.Value, error) {
	c, ok := curves[k]
	if !ok {
		return formula.Value{}, fmt.Errorf("no thermocouple of type %q", string(k))
	}
	e, most := millivolt.Float64(), c.inverse[len(c.inverse)-1].to
	if !millivolt.Defined() || e < c.least-0.001 || e > most+0.001 {
		return formula.Value{}, fmt.Errorf("a thermocouple of type %s gives %g to %g mV here, not %s mV", k, c.least, most, millivolt.Text(3))
	}
	return formula.Float(onPiece(c.inverse, e)), nil
}

// Compensated is the temperature in °C of the measuring junction, of which
// millivolt is measured while the reference junction is at reference °C:
//
//	E(t) = E measured + E(reference)
//
// Emfs are added, never temperatures.
func (k Thermocouple) Compensated(millivolt, reference formula.Value) (formula.Value, error) {
	r, err := k.Millivolt(reference)
	if err != nil {
		return formula.Value{}, err
	}
	return k.Celsius(millivolt.Add(r))
}

// onPiece evaluates the polynomial of the piece on which x lies, the last one
// beyond them all. Products are rounded one by one: a fused multiply-add would
// give another last bit on another processor.
func onPiece(pieces []piece, x float64) float64 {
	p := pieces[len(pieces)-1]
	for _, q := range pieces {
		if x <= q.to {
			p = q
			break
		}
	}
	var sum float64
	for i := len(p.c) - 1; i >= 0; i-- {
		sum = float64(sum*x) + p.c[i]
	}
	return sum
}
