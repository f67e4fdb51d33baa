package ranging

import (
	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The symbols of levels.
const (
	symWater    formula.Sym = "w"     // kPa of a metre of water
	symGravity  formula.Sym = "d"     // specific gravity of the liquid
	symLow      formula.Sym = "h_0"   // m, level at 0 %, above the lower tap
	symHigh     formula.Sym = "h_100" // m, level at 100 %
	symMount    formula.Sym = "z"     // m, transmitter below or above the lower tap
	symLeg      formula.Sym = "H"     // m, upper tap above the lower tap
	symFilling  formula.Sym = "d_L"   // specific gravity of the leg's filling
	symLost     formula.Sym = "b"     // m of filling lost
	symLevel    formula.Sym = "h"     // m above the lower tap
	symCurrent  formula.Sym = "I"
	symLRV      formula.Sym = "p_0"
	symURV      formula.Sym = "p_100"
	symLegError formula.Sym = "e" // percent of span
)

// waterKPa is the pressure of a metre of water of the conventional density
// (1000 kg/m³ at 9.80665 m/s²), kPa: NIST SP 811, Appendix B.9, "meter of water,
// conventional". At the temperatures of a plant water is up to 2 % lighter.
var waterKPa = formula.Decimal(980665, 5)

var (
	zeroMA  = formula.Lit{V: signal.Current.Low, Unit: signal.Current.Unit}
	fullMA  = formula.Lit{V: signal.Current.High, Unit: signal.Current.Unit}
	spanMA  = formula.Lit{V: signal.Current.High.Sub(signal.Current.Low), Unit: signal.Current.Unit}
	halfKPa = formula.Decimal(2, 2) // kPa: 9.81 taken for 9.80665 over six metres of water
	cents   = formula.Decimal(1, 2)
	tenth   = formula.Decimal(1, 1)
)

// vessel is what the drawing shows: where the transmitter is and what its low
// side has.
type vessel struct {
	above bool // the transmitter is above the lower tap
	leg   leg
}

type leg string

const (
	noLeg  leg = "open" // an open tank; the low side is open to the air
	dryLeg leg = "dry"
	wetLeg leg = "wet"
)

func (v vessel) mount() string {
	if v.above {
		return "above"
	}
	return "below"
}

// over is a height above the lower tap as height above the transmitter.
func (v vessel) over(h formula.Expr) formula.Expr {
	if v.above {
		return formula.Sub(h, symMount)
	}
	return formula.Add(h, symMount)
}

// under is over with the transmitter on the wrong side of the tap.
func (v vessel) under(h formula.Expr) formula.Expr { return vessel{above: !v.above}.over(h) }

// pressure of metres of water, kPa.
func pressure(metres formula.Expr) formula.Expr { return formula.Mul(symWater, metres) }

// dry is the differential pressure of a level with nothing on the low side.
func (v vessel) dry(h formula.Expr) formula.Expr {
	return pressure(signal.LevelDry(v.over(h), symGravity))
}

// wet is that of a level against a filled leg, both from the transmitter up.
func (v vessel) wet(h formula.Expr) formula.Expr {
	return pressure(signal.LevelWet(v.over(h), symGravity, v.over(symLeg), symFilling))
}

// drawn are the heights and liquids, of hundredths.
type drawn struct {
	vessel
	gravity, filling             int64
	low, high, mount, leg, level int64 // cm
}

// draw draws a vessel. No column of either liquid weighs more than six metres of water, so that
// 9.81 for 9.80665 stays inside the tolerance.
func (p *plan) draw(pick *exercises.Picker, v vessel) drawn {
	d := drawn{vessel: v}
	d.gravity = int64(pick.Between(70, 94))
	if pick.Int(2) == 1 {
		d.gravity += 36 // 1.06 to 1.30
	}
	d.low = int64(5 * pick.Between(4, 12))
	d.high = d.low + int64(5*pick.Between(24, 48))
	if v.above {
		// Below the level at 0 %, or the line would hang full above the liquid,
		// which no tank open to the air keeps up.
		d.mount = int64(5 * pick.Between(3, 8))
		d.low, d.high = d.low+d.mount, d.high+d.mount
	} else {
		d.mount = int64(5 * pick.Between(6, 20))
	}
	d.level = d.low + (d.high-d.low)*int64(pick.Between(15, 85))/100
	return d
}

func (d drawn) givens(w *exercises.Draft) {
	w.Given("water", symWater, waterKPa, "kPa/m", 5)
	w.Given("gravity", symGravity, formula.Decimal(d.gravity, 2), "", 2)
	w.Given("low", symLow, formula.Decimal(d.low, 2), "m", 2)
	w.Given("high", symHigh, formula.Decimal(d.high, 2), "m", 2)
	w.Given(d.vessel.mount(), symMount, formula.Decimal(d.mount, 2), "m", 2)
	if d.vessel.leg == wetLeg {
		w.Given("leg", symLeg, formula.Decimal(d.leg, 2), "m", 2)
		w.Given("filling", symFilling, formula.Decimal(d.filling, 2), "", 2)
	}
}

// easy: an open tank or a dry leg.
func (p *plan) easy(pick *exercises.Picker, l *scenarios.Loop) (exercises.Item, error) {
	v := []vessel{{leg: noLeg}, {leg: noLeg, above: true}, {leg: dryLeg}}[pick.Int(3)]
	d := p.draw(pick, v)
	w := p.start(l, string(v.leg), "practice-figures", "vent-and-isolate")
	d.givens(w)
	if v.leg == dryLeg {
		w.Row(w.Text("given.gas").Plain(), exercises.Quantity(formula.Int(int64(10*pick.Between(5, 60))), "kPa"))
	}
	d.draw(w)
	one := func(h formula.Expr, more ...exercises.Told) []exercises.Told {
		return append(more,
			exercises.Told{ID: "gravity-forgotten", Name: "specific gravity forgotten", X: pressure(v.over(h))},
			exercises.Told{ID: "mount-forgotten", Name: "height of the transmitter forgotten", X: pressure(formula.Mul(h, symGravity))},
			exercises.Told{ID: "mount-side", Name: "transmitter put on the other side of the tap", X: pressure(formula.Mul(v.under(h), symGravity))},
			exercises.Told{ID: "line-of-water", Name: "the line taken for full of water", X: pressure(v.over(formula.Mul(h, symGravity)))},
			exercises.Told{ID: "gravity-divided", Name: "divided by the specific gravity", X: formula.Div(pressure(v.over(h)), symGravity)},
			exercises.Told{ID: "metres-as-kpa", Name: "metres of water written down as kPa", X: formula.Mul(v.over(h), symGravity)})
	}
	range0(w, v.dry(symLow), one(symLow, exercises.Told{ID: "ends-swapped", Name: "ends swapped", X: v.dry(symHigh)},
		exercises.Told{ID: "zero-at-tap", Name: "0 % taken to lie at the tap", X: v.dry(formula.Num(0))})...)
	range100(w, v.dry(symHigh), one(symHigh, exercises.Told{ID: "ends-swapped", Name: "ends swapped", X: v.dry(symLow)},
		exercises.Told{ID: "span-given", Name: "the span given for the upper end", X: pressure(formula.Mul(formula.Sub(symHigh, symLow), symGravity))})...)
	bind(w, "level", symLevel, formula.Decimal(d.level, 2), "m", 2)
	askCurrent(w)
	w.Item.Key.Env = w.Env
	return w.Item, nil
}

func range0(w *exercises.Draft, x formula.Expr, slips ...exercises.Told) {
	w.Ask("lrv", formula.Definition{Sym: symLRV, Expr: x, Unit: "kPa", Decimals: 2}, "", halfKPa, slips...)
}

func range100(w *exercises.Draft, x formula.Expr, slips ...exercises.Told) {
	w.Ask("urv", formula.Definition{Sym: symURV, Expr: x, Unit: "kPa", Decimals: 2}, "", halfKPa, slips...)
}

// askCurrent asks for the current at a level.
func askCurrent(w *exercises.Draft) {
	x := signal.Fraction(symLevel, symLow, symHigh)
	w.Ask("current", formula.Definition{Sym: symCurrent, Expr: signal.At(x, zeroMA, fullMA), Unit: "mA", Decimals: 2}, "", cents,
		exercises.Told{ID: "dead-zero", Name: "dead zero", X: formula.Mul(x, fullMA)},
		exercises.Told{ID: "low-forgotten", Name: "level at 0 % forgotten", X: signal.At(formula.Div(symLevel, symHigh), zeroMA, fullMA)},
		exercises.Told{ID: "zero-not-added", Name: "live zero not added", X: formula.Mul(x, spanMA)},
		exercises.Told{ID: "upper-for-span", Name: "upper level taken for the span", X: signal.At(formula.Div(formula.Sub(symLevel, symLow), symHigh), zeroMA, fullMA)},
		exercises.Told{ID: "reversed", Name: "ends swapped", X: signal.At(x, fullMA, zeroMA)})
}

// usual: a filled leg on the low side.
func (p *plan) usual(pick *exercises.Picker, l *scenarios.Loop) (exercises.Item, error) {
	v := vessel{leg: wetLeg, above: pick.Int(2) == 1}
	d := p.draw(pick, v)
	d.leg = d.high + int64(5*pick.Between(2, 10))
	// Another liquid in the leg, told from the vessel's by 0.08 and more.
	d.filling = int64(pick.Between(98, 112))
	if gap := d.filling - d.gravity; gap > -8 && gap < 8 {
		d.filling = d.gravity - 8 - int64(pick.Between(0, 8))
	}
	lost := int64(pick.Between(10, 40))
	w := p.start(l, string(wetLeg), "practice-figures", "wet-leg", "vent-and-isolate")
	d.givens(w)
	d.draw(w)
	column := func(h, gravity formula.Expr) formula.Expr { return formula.Mul(h, gravity) }
	minus := func(a, b formula.Expr) formula.Expr { return pressure(formula.Sub(a, b)) }
	legs := column(v.over(symLeg), symFilling)
	one := func(h, other formula.Expr) []exercises.Told {
		liquid := column(v.over(h), symGravity)
		return []exercises.Told{
			{ID: "leg-forgotten", Name: "filled leg forgotten", X: pressure(liquid)},
			{ID: "leg-added", Name: "filled leg added", X: pressure(formula.Add(liquid, legs))},
			{ID: "sides-swapped", Name: "high and low side swapped", X: minus(legs, liquid)},
			{ID: "one-gravity", Name: "the vessel's specific gravity taken for the leg", X: minus(liquid, column(v.over(symLeg), symGravity))},
			{ID: "gravity-forgotten", Name: "specific gravity forgotten", X: minus(v.over(h), v.over(symLeg))},
			{ID: "mount-forgotten", Name: "height of the transmitter forgotten", X: minus(column(h, symGravity), column(symLeg, symFilling))},
			{ID: "mount-one-side", Name: "height of the transmitter taken on one side only", X: minus(liquid, column(symLeg, symFilling))},
			{ID: "mount-side", Name: "transmitter put on the other side of the tap", X: minus(column(v.under(h), symGravity), column(v.under(symLeg), symFilling))},
			{ID: "ends-swapped", Name: "ends swapped", X: v.wet(other)},
			{ID: "metres-as-kpa", Name: "metres of water written down as kPa", X: formula.Sub(liquid, legs)},
		}
	}
	range0(w, v.wet(symLow), one(symLow, symHigh)...)
	range100(w, v.wet(symHigh), one(symHigh, symLow)...)

	bind(w, "current", symCurrent, formula.Decimal(int64(400+2*pick.Between(120, 680)), 2), "mA", 2)
	x := signal.Fraction(symCurrent, zeroMA, fullMA)
	w.Ask("level", formula.Definition{Sym: symLevel, Expr: signal.At(x, symLow, symHigh), Unit: "m", Decimals: 2}, "", cents,
		exercises.Told{ID: "dead-zero", Name: "dead zero", X: signal.At(formula.Div(symCurrent, fullMA), symLow, symHigh)},
		exercises.Told{ID: "low-forgotten", Name: "level at 0 % forgotten", X: formula.Mul(x, symHigh)},
		exercises.Told{ID: "low-not-added", Name: "level at 0 % not added", X: formula.Mul(x, formula.Sub(symHigh, symLow))},
		exercises.Told{ID: "upper-for-span", Name: "upper level taken for the span", X: formula.Add(symLow, formula.Mul(x, symHigh))},
		exercises.Told{ID: "reversed", Name: "ends swapped", X: signal.At(x, symHigh, symLow)})

	bind(w, "lost", symLost, formula.Decimal(lost, 2), "m", 2)
	share := func(metres formula.Expr) formula.Expr {
		return formula.Mul(formula.Div(pressure(metres), formula.Sub(symURV, symLRV)), formula.Percent100())
	}
	right := share(column(symLost, symFilling))
	w.Ask("lost", formula.Definition{Sym: symLegError, Expr: right, Unit: "%", Decimals: 1}, "of span", tenth,
		exercises.Told{ID: "lost-sign", Name: "sign swapped", X: formula.Neg(right)},
		exercises.Told{ID: "filling-forgotten", Name: "specific gravity of the filling forgotten", X: share(symLost)},
		exercises.Told{ID: "lost-one-gravity", Name: "the vessel's specific gravity taken for the leg", X: share(column(symLost, symGravity))},
		exercises.Told{ID: "lost-of-level", Name: "metres of filling taken for metres of level", X: formula.Mul(formula.Div(symLost, symHigh), formula.Percent100())},
		exercises.Told{ID: "lost-of-leg", Name: "taken of the leg instead of the span", X: formula.Mul(formula.Div(symLost, symLeg), formula.Percent100())},
		exercises.Told{ID: "lost-of-lower", Name: "taken of the lower end instead of the span", X: formula.Mul(formula.Div(pressure(column(symLost, symFilling)), formula.Abs(symLRV)), formula.Percent100())})
	w.Item.Key.Env = w.Env
	return w.Item, nil
}
