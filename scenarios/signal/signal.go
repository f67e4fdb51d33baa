// Package signal holds the live-zero signals and the formulas that scale
// them: the formulas that the exercises use, and no others stand anywhere.
//
// For most uses take one of the four signals and [Scale].
package signal

import "loopdrill/scenarios/formula"

// Signal is a standard live-zero signal.
type Signal struct {
	Name   string        // as written in YAML and print: "4-20 mA"
	Low    formula.Value // at 0 %
	High   formula.Value // at 100 %
	Unit   string
	Letter string // of its symbol in formulas: I, U, p
}

// The four signals. 20-100 kPa and 3-15 psi are two signals, not one in two
// units: 3-15 psi is 20.68-103.42 kPa.
var (
	// Current is 4-20 mA, IEC 60381-1.
	Current = Signal{"4-20 mA", formula.Int(4), formula.Int(20), "mA", "I"}
	// Voltage is 1-5 V, IEC 60381-2.
	Voltage = Signal{"1-5 V", formula.Int(1), formula.Int(5), "V", "U"}
	// PneumaticSI is 20-100 kPa, IEC 60382.
	PneumaticSI = Signal{"20-100 kPa", formula.Int(20), formula.Int(100), "kPa", "p"}
	// PneumaticUS is 3-15 psi, ISA-S7.4.
	PneumaticUS = Signal{"3-15 psi", formula.Int(3), formula.Int(15), "psi", "p"}
)

// All lists the signals.
func All() []Signal { return []Signal{Current, Voltage, PneumaticSI, PneumaticUS} }

// Named finds a signal by the name it has in print.
func Named(name string) (Signal, bool) {
	for _, s := range All() {
		if s.Name == name {
			return s, true
		}
	}
	return Signal{}, false
}

// Sym is the symbol of the signal itself; Zero and Full are the symbols of its
// ends.
func (s Signal) Sym() formula.Sym  { return formula.Sym(s.Letter) }
func (s Signal) Zero() formula.Sym { return formula.Sym(s.Letter + "_0") }
func (s Signal) Full() formula.Sym { return formula.Sym(s.Letter + "_100") }

// Bind gives the ends of the signal as bindings.
func (s Signal) Bind() []formula.Binding {
	return []formula.Binding{
		{Sym: s.Zero(), V: s.Low, Unit: s.Unit},
		{Sym: s.Full(), V: s.High, Unit: s.Unit},
	}
}

// Fraction is the share of its span at which x stands, a number from 0 to 1:
//
//	(x − low) / (high − low)
//
// Outside the span it is below 0 or above 1; with high = low it is undefined.
func Fraction(x, low, high formula.Expr) formula.Expr {
	return formula.Div(formula.Sub(x, low), formula.Sub(high, low))
}

// Percent is [Fraction] in percent of span.
func Percent(x, low, high formula.Expr) formula.Expr {
	return formula.Mul(Fraction(x, low, high), formula.Percent100())
}

// At is the value at a fraction of a span:
//
//	low + fraction × (high − low)
//
// Swapped ends give a reverse-acting scale.
func At(fraction, low, high formula.Expr) formula.Expr {
	return formula.Add(low, formula.Mul(fraction, formula.Sub(high, low)))
}

// OfPercent turns a percentage into a fraction: x / 100 %.
func OfPercent(x formula.Expr) formula.Expr { return formula.Div(x, formula.Percent100()) }

// Scale carries x from one range to another, in proportion.
func Scale(x, fromLow, fromHigh, toLow, toHigh formula.Expr) formula.Expr {
	return At(Fraction(x, fromLow, fromHigh), toLow, toHigh)
}

// ScaleRoot carries x from one range to another through a square root, as a
// differential-pressure flow loop does. It is undefined below fromLow, and
// right only for constant density and a differential pressure that starts at
// zero.
func ScaleRoot(x, fromLow, fromHigh, toLow, toHigh formula.Expr) formula.Expr {
	return At(formula.Sqrt(Fraction(x, fromLow, fromHigh)), toLow, toHigh)
}

// ScaleSquare undoes [ScaleRoot]: from a flow back to its differential
// pressure signal.
func ScaleSquare(x, fromLow, fromHigh, toLow, toHigh formula.Expr) formula.Expr {
	return At(formula.Square(Fraction(x, fromLow, fromHigh)), toLow, toHigh)
}

// SpanError is the error in percent of span, sign kept:
//
//	(indicated − ideal) / (high − low) × 100 %
func SpanError(indicated, ideal, low, high formula.Expr) formula.Expr {
	return formula.Mul(formula.Div(formula.Sub(indicated, ideal), formula.Sub(high, low)), formula.Percent100())
}

// Drop is the voltage in V that a current in mA makes across a resistance in
// ohm.
func Drop(milliamp, ohm formula.Expr) formula.Expr {
	return formula.Div(formula.Mul(milliamp, ohm), formula.Num(1000))
}

// MaxLoad is the resistance in ohm that a loop can carry at a current in mA:
//
//	(supply − lift-off) / current
func MaxLoad(supplyVolt, liftOffVolt, milliamp formula.Expr) formula.Expr {
	return formula.Mul(formula.Div(formula.Sub(supplyVolt, liftOffVolt), milliamp), formula.Num(1000))
}
