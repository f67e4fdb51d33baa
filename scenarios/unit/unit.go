// Package unit knows the units of measurement that stand in scenarios, in
// exercises and in answers, with exact conversion factors.
//
// For most uses call [Parse] or [ParseRange] on what somebody wrote and
// [Quantity.Convert] or [Range.Convert] to carry it into another unit. Factors
// are exact wherever the unit is defined exactly; see the table in factors.go
// for the source of each.
package unit

import (
	"fmt"
	"strings"

	"loopdrill/scenarios/formula"
)

// Unit is one unit of measurement. The zero Unit is the pure number.
type Unit struct {
	Symbol    string // as printed: "mA", "kPa", "inH₂O (60 °F)"
	Dimension Dimension
	// key is the name under which the factor table holds the unit.
	key string
}

// Name is the unit as it is written in a scenario: "kgf/cm2", "%span". It is
// empty for the pure number.
func (u Unit) Name() string { return u.key }

// Dimension is the kind of quantity a unit measures; only units of the same
// dimension convert into each other.
type Dimension string

// The dimensions. The text is what a sentence calls the quantity.
const (
	Number        Dimension = "" // the pure number
	Current       Dimension = "current"
	Voltage       Dimension = "voltage"
	Resistance    Dimension = "resistance"
	Pressure      Dimension = "pressure"
	Temperature   Dimension = "temperature"
	Length        Dimension = "length"
	Area          Dimension = "area"
	Volume        Dimension = "volume"
	Mass          Dimension = "mass"
	VolumeFlow    Dimension = "volume flow"
	MassFlow      Dimension = "mass flow"
	Time          Dimension = "time"
	Percent       Dimension = "percentage"
	PercentOfSpan Dimension = "percentage of span"
	Scale         Dimension = "scale divisions"
)

// String says the dimension in words; the pure number is "plain number".
func (d Dimension) String() string {
	if d == Number {
		return "plain number"
	}
	return string(d)
}

// Quantity is a number with its unit, as somebody wrote it.
type Quantity struct {
	V        formula.Value
	Unit     Unit
	Decimals int // written after the decimal mark
}

// Text prints q as a page shows it: "−7.7 kPa" with a true minus sign and a
// no-break space.
func (q Quantity) Text() string {
	return formula.WithUnit(q.V.Text(q.Decimals), q.Unit.Symbol)
}

// String prints q as it would be written in a scenario: "-7.7 kPa".
func (q Quantity) String() string { return join(plain(q.V, q.Decimals), q.Unit.key) }

// Range is a span of values in one unit, as somebody wrote it. Low may lie
// above High (a reverse range); whoever needs them in order checks.
type Range struct {
	Low, High formula.Value
	Unit      Unit
	Decimals  int // the larger of both ends' decimals
}

// Span returns High - Low.
func (r Range) Span() formula.Value { return r.High.Sub(r.Low) }

// Text prints r as a page shows it: "0 to 25 kPa", with no-break spaces around
// the unit only.
func (r Range) Text() string {
	return r.Low.Text(r.Decimals) + " to " + formula.WithUnit(r.High.Text(r.Decimals), r.Unit.Symbol)
}

// String prints r as it would be written in a scenario: "0..25 kPa".
func (r Range) String() string {
	return join(plain(r.Low, r.Decimals)+".."+plain(r.High, r.Decimals), r.Unit.key)
}

// Convert carries the value of q into another unit of the same dimension:
//
//	(q × factor(from) + offset(from) − offset(to)) / factor(to)
//
// A temperature is converted as a point on the scale, so that 0 °C is 32 °F;
// for a span or an error use [Quantity.ConvertDifference]. Units of different
// dimensions give an error that names both.
func (q Quantity) Convert(to Unit) (formula.Value, error) {
	return convert(q.V, q.Unit, to, true)
}

// ConvertDifference is [Quantity.Convert] for a difference of two values: a
// span, an error, a tolerance. 5 °C is then 9 °F.
func (q Quantity) ConvertDifference(to Unit) (formula.Value, error) {
	return convert(q.V, q.Unit, to, false)
}

// Convert carries both ends of r into another unit of the same dimension. The
// decimals stay as they were written.
func (r Range) Convert(to Unit) (Range, error) {
	low, err := convert(r.Low, r.Unit, to, true)
	if err != nil {
		return Range{}, err
	}
	high, err := convert(r.High, r.Unit, to, true)
	if err != nil {
		return Range{}, err
	}
	return Range{Low: low, High: high, Unit: to, Decimals: r.Decimals}, nil
}

func convert(v formula.Value, from, to Unit, point bool) (formula.Value, error) {
	if from.Dimension != to.Dimension {
		return formula.Value{}, &Mistake{
			What: fmt.Sprintf("%s is a %s and %s is a %s; they do not convert into each other",
				from.named(), from.Dimension, to.named(), to.Dimension),
		}
	}
	f, t := factorOf(from), factorOf(to)
	if from.key == to.key {
		return v, nil
	}
	if !point || (f.offset.IsZero() && t.offset.IsZero()) {
		return v.Mul(f.factor.Div(t.factor)), nil
	}
	return v.Mul(f.factor).Add(f.offset).Sub(t.offset).Div(t.factor), nil
}

func (u Unit) named() string {
	if u.key == "" {
		return "a number without a unit"
	}
	return u.key
}

func plain(v formula.Value, decimals int) string {
	k, exact := v.Places(max(decimals, 6))
	if !exact || k < decimals {
		k = decimals
	}
	s := v.Text(k)
	if rest, ok := strings.CutPrefix(s, "\u2212"); ok {
		return "-" + rest
	}
	return s
}

func join(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + " " + unit
}
