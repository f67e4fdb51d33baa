package loop

import (
	"fmt"
	"math"
)

// Quantity is what an instrument shows.
type Quantity uint8

// The quantities. Voltmeter, milliammeter and display are read with the
// checker's trigger released, for holding it can move receiver volts by more
// than a volt in a sick loop.
const (
	NeedleHeld       Quantity = iota // the checker's needle with the trigger held
	NeedleAtRest                     // the checker's needle with the trigger released
	CellNeedle                       // the checker's needle in the cell position
	CellVolts                        // of the cell under load, 0.1 V
	LoopCurrent                      // in the loop, 0.01 mA
	ReceiverVolts                    // across the receiver, 1 mV
	ReceiverDisplay                  // what the receiver shows, 0.1 % of span
	TransmitterVolts                 // across the transmitter, 0.1 V
	SupplyVolts                      // at the supply's terminals, 0.1 V
	CoilVolts                        // output loop: across the I/P converter's coil, 0.01 V
	AirPressure                      // output loop: behind the I/P converter, 0.1 kPa
	Stroke                           // output loop: of the valve, 0.1 %
	quantities
)

// names of the quantities and their units, and the resolution with which they
// are read; the needle's is the checker's small mark.
var quantityFacts = [quantities]struct {
	name, unit string
	perUnit    float64 // readings are whole numbers of 1/perUnit; 0: small marks
}{
	NeedleHeld:       {"needle", "small marks", 0},
	NeedleAtRest:     {"needle at rest", "small marks", 0},
	CellNeedle:       {"cell check", "small marks", 0},
	CellVolts:        {"cell volts", "V", 10},
	LoopCurrent:      {"loop current", "mA", 100},
	ReceiverVolts:    {"receiver volts", "V", 1000},
	ReceiverDisplay:  {"receiver reading", "% of span", 10},
	TransmitterVolts: {"transmitter volts", "V", 10},
	SupplyVolts:      {"supply volts", "V", 10},
	CoilVolts:        {"coil volts", "V", 100},
	AirPressure:      {"air", "kPa", 10},
	Stroke:           {"stroke", "%", 10},
}

// String names the quantity.
func (q Quantity) String() string {
	if q >= quantities {
		return "unknown quantity"
	}
	return quantityFacts[q].name
}

// Unit is the unit in which the quantity is read.
func (q Quantity) Unit() string {
	if q >= quantities {
		return ""
	}
	return quantityFacts[q].unit
}

// IsNeedle says whether the quantity is read on the checker's face and so has
// end stops.
func (q Quantity) IsNeedle() bool { return q <= CellNeedle }

// PerUnit is how many steps of the instrument make one unit, 1000 for a
// voltmeter of 1 mV; 0 for the needle, which is read in small marks.
func (q Quantity) PerUnit() int {
	if q >= quantities {
		return 0
	}
	return int(quantityFacts[q].perUnit)
}

// Rounded is one reading as the instrument gives it, with what was rounded.
type Rounded struct {
	Exact float64 // in the quantity's unit; divisions for a needle, as if there were no stops
	Code  int     // whole steps of the instrument; small marks for a needle
	Stop  Stop    // of a needle
	Clear bool    // not within [Edge] of a rounding edge
}

// step is the size of one step of the instrument in the unit of Exact.
func step(q Quantity, c *Checker) float64 {
	if q.IsNeedle() {
		return c.MarkDivision
	}
	return 1 / quantityFacts[q].perUnit
}

// read rounds v as the instrument of q does.
func read(q Quantity, c *Checker, v float64) Rounded {
	if q.IsNeedle() {
		n, ok := c.Needle(v)
		return Rounded{v, n.Code, n.Stop, ok}
	}
	code, ok := roundClear(float64(v * quantityFacts[q].perUnit))
	return Rounded{v, code, NoStop, ok}
}

// values are all quantities of one operating point; those that the loop does
// not have are 0.
type values [quantities]float64

// spread fills in the quantities that do not depend on the operating point.
func (c *Checker) spread(v *values) {
	cell := c.cellVolt()
	v[NeedleAtRest] = c.RestDivision
	v[CellVolts] = cell
	v[CellNeedle] = c.CellLineDivision + (cell-c.GoodCellVolt)/c.CellVoltPerDivision + c.RestDivision
}

func inputValues(p *Params, q *Point) (v values) {
	p.Checker.spread(&v)
	v[NeedleHeld] = q.Deflection
	v[LoopCurrent] = q.LoopMilliamp
	v[ReceiverVolts] = q.ReceiverVolt
	v[ReceiverDisplay] = q.ReceiverPercent
	v[TransmitterVolts] = q.TransmitterVolt
	v[SupplyVolts] = q.SupplyVolt
	return v
}

func outputValues(o *OutputParams, q *OutputPoint) (v values) {
	o.Checker.spread(&v)
	v[NeedleHeld] = q.Deflection
	v[LoopCurrent] = q.OutputMilliamp
	v[CoilVolts] = q.CoilVolt
	v[AirPressure] = q.Kilopascal
	v[Stroke] = q.StrokePercent
	return v
}

// Measured is one point of a loop as an apprentice sees it, and unrounded.
type Measured struct {
	X        float64 // fraction of span
	Needle   Rounded // trigger held
	Current  Rounded // 0.01 mA
	Receiver Rounded // 1 mV
	Display  Rounded // 0.1 % of span
	// Transmitter and Supply are read to 0.1 V.
	Transmitter, Supply Rounded
	Cell                Rounded // under load, 0.1 V
	CellNeedle          Rounded
	CellGood            bool
	Held, Released      Point // every quantity, unrounded
}

// Clear says whether no reading lies within [Edge] of a rounding edge.
func (m *Measured) Clear() bool {
	for _, r := range []Rounded{m.Needle, m.Current, m.Receiver, m.Display, m.Transmitter, m.Supply, m.Cell, m.CellNeedle} {
		if !r.Clear {
			return false
		}
	}
	return true
}

// Measure reads all instruments at the points given, in their order. The error
// is that of [Params.Validate], or names a point that is no number.
func (p *Params) Measure(points ...float64) ([]Measured, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	c := &p.Checker
	out := make([]Measured, 0, len(points))
	for _, x := range points {
		if err := checkPoint(x); err != nil {
			return nil, err
		}
		m := Measured{X: x, Held: p.Solve(x, true), Released: p.Solve(x, false)}
		v := inputValues(p, &m.Released)
		m.Needle = read(NeedleHeld, c, m.Held.Deflection)
		m.Current = read(LoopCurrent, c, v[LoopCurrent])
		m.Receiver = read(ReceiverVolts, c, v[ReceiverVolts])
		m.Display = read(ReceiverDisplay, c, v[ReceiverDisplay])
		m.Transmitter = read(TransmitterVolts, c, v[TransmitterVolts])
		m.Supply = read(SupplyVolts, c, v[SupplyVolts])
		m.Cell = read(CellVolts, c, v[CellVolts])
		m.CellNeedle = read(CellNeedle, c, v[CellNeedle])
		_, m.CellGood = c.CellUnderLoad()
		out = append(out, m)
	}
	return out, nil
}

// MeasuredOutput is one point of an output loop as an apprentice sees it.
type MeasuredOutput struct {
	X        float64 // fraction of span
	Needle   Rounded
	Current  Rounded // 0.01 mA
	Coil     Rounded // 0.01 V
	Air      Rounded // 0.1 kPa
	Stroke   Rounded // 0.1 %
	CellGood bool
	Held     OutputPoint
	Released OutputPoint
}

// Measure is [Params.Measure] for an output loop.
func (o *OutputParams) Measure(points ...float64) ([]MeasuredOutput, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	c := &o.Checker
	out := make([]MeasuredOutput, 0, len(points))
	for _, x := range points {
		if err := checkPoint(x); err != nil {
			return nil, err
		}
		m := MeasuredOutput{X: x, Held: o.Solve(x, true), Released: o.Solve(x, false)}
		m.Needle = read(NeedleHeld, c, m.Held.Deflection)
		m.Current = read(LoopCurrent, c, m.Released.OutputMilliamp)
		m.Coil = read(CoilVolts, c, m.Released.CoilVolt)
		m.Air = read(AirPressure, c, m.Released.Kilopascal)
		m.Stroke = read(Stroke, c, m.Released.StrokePercent)
		_, m.CellGood = c.CellUnderLoad()
		out = append(out, m)
	}
	return out, nil
}

// checkPoint refuses a point far outside the range.
func checkPoint(x float64) error {
	if !(math.Abs(x) <= 2) {
		return fmt.Errorf("point %g is not between -2 and 2, fractions of span", x)
	}
	return nil
}
