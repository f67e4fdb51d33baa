package scaleit

import (
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// side is one of the two ranges of a conversion: what is given, or what is
// asked for.
type side struct {
	sym, low, high formula.Sym
	lowV, highV    formula.Value
	unit           string
	of             string // of what a percentage is taken
	given, asked   int    // decimals with which a given is drawn and an answer asked for
	percent        bool
	signal         bool
}

var percentSide = side{
	sym: "x", lowV: formula.Int(0), highV: formula.Int(100),
	unit: "%", of: "of span", given: 1, asked: 1, percent: true,
}

// signalSide is a live-zero signal. Its givens stand in steps that a good
// meter shows; its answers so fine that rounding stays below the slips.
func signalSide(s signal.Signal) side {
	d := side{
		sym: s.Sym(), low: s.Zero(), high: s.Full(), lowV: s.Low, highV: s.High,
		unit: s.Unit, signal: true, given: 2, asked: 2,
	}
	if s.Unit == "V" {
		d.given, d.asked = 3, 3
	}
	if s.Unit == "kPa" {
		d.given = 1
	}
	return d
}

var letters = map[scenarios.Kind]formula.Sym{
	scenarios.Level: "L", scenarios.Flow: "Q", scenarios.Pressure: "P", scenarios.Temperature: "T",
}

// valueSide is the range that the receiver of a loop shows.
func valueSide(l *scenarios.Loop) side {
	sym := letters[l.Kind]
	return rangeSide(sym, l.Shows.Low, l.Shows.High, l.Shows.Unit.Symbol)
}

// inputSide is the range that the transmitter of a flow loop senses.
func inputSide(l *scenarios.Loop) side {
	return rangeSide("Δp", l.Input.Low, l.Input.High, l.Input.Unit.Symbol)
}

func rangeSide(sym formula.Sym, low, high formula.Value, unit string) side {
	s := side{sym: sym, low: sym + "_0", high: sym + "_100", lowV: low, highV: high, unit: unit}
	s.given = places(high.Sub(low), 500)
	s.asked = places(high.Sub(low), 1000)
	return s
}

// places is the least number of decimals that cuts the span into at least n
// steps.
func places(span formula.Value, n int64) int {
	step := span.Abs()
	for d := range 6 {
		if step.Sub(formula.Int(n)).Sign() >= 0 {
			return d
		}
		step = step.Mul(formula.Int(10))
	}
	return 6
}

func (s side) span() formula.Value { return s.highV.Sub(s.lowV) }

// bind gives the ends of the range as printed givens.
func (s side) bind() []formula.Binding {
	if s.percent {
		return nil
	}
	k, _ := s.lowV.Places(6)
	m, _ := s.highV.Places(6)
	return []formula.Binding{
		{Sym: s.low, V: s.lowV, Unit: s.unit, Decimals: k},
		{Sym: s.high, V: s.highV, Unit: s.unit, Decimals: m},
	}
}

// fraction is the share of the range at which the symbol stands.
func (s side) fraction() formula.Expr {
	if s.percent {
		return signal.OfPercent(s.sym)
	}
	return signal.Fraction(s.sym, s.low, s.high)
}

// at is the value at a fraction of the range.
func (s side) at(fraction formula.Expr) formula.Expr {
	if s.percent {
		return formula.Mul(fraction, formula.Percent100())
	}
	return signal.At(fraction, s.low, s.high)
}

// atFromTop is the value at a fraction counted down from the upper end.
func (s side) atFromTop(fraction formula.Expr) formula.Expr {
	if s.percent {
		return formula.Sub(formula.Percent100(), formula.Mul(fraction, formula.Percent100()))
	}
	return formula.Sub(s.high, formula.Mul(fraction, s.width()))
}

func (s side) width() formula.Expr {
	if s.percent {
		return formula.Percent100()
	}
	return formula.Sub(s.high, s.low)
}

func (s side) text(v formula.Value) string {
	k, _ := v.Places(6)
	return formula.WithUnit(v.Text(k), s.unit)
}
