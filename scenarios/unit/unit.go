// Package unit knows the units of measurement that stand in scenarios, in
// exercises and in answers, with exact conversion factors.
package unit

import "loopdrill/scenarios/formula"

// Unit is one unit of measurement. The zero Unit is the pure number.
type Unit struct {
	Symbol    string // as printed: "mA", "kPa", "inH₂O (60 °F)"
	Dimension Dimension
	// key is the name under which the factor table holds the unit.
	key string
}

// Dimension is the kind of quantity a unit measures; only units of the same
// dimension convert into each other.
type Dimension string

// Quantity is a number with its unit, as somebody wrote it.
type Quantity struct {
	V        formula.Value
	Unit     Unit
	Decimals int // written after the decimal mark
}

// Range is a span of values in one unit, as somebody wrote it. Low may lie
// above High (a reverse range); whoever needs them in order checks.
type Range struct {
	Low, High formula.Value
	Unit      Unit
	Decimals  int // the larger of both ends' decimals
}

// Span returns High - Low.
func (r Range) Span() formula.Value { return r.High.Sub(r.Low) }
