package loop

import (
	"errors"
	"fmt"
)

// ParameterError says which parameter is impossible, and what would do.
type ParameterError struct {
	Name      string  // as written in Go, "Wiring.OutOhm"
	Value     float64 // NaN and infinities as they came
	Low, High float64 // permitted, both included
	Why       string  // more than the range, "at least the electronics' volts"; may be empty
}

// Error gives name, value and permitted range in one line.
func (e *ParameterError) Error() string {
	s := fmt.Sprintf("%s is %g, permitted is %g to %g", e.Name, e.Value, e.Low, e.High)
	if e.Why != "" {
		s += ": " + e.Why
	}
	return s
}

// checks gathers the errors of one set of parameters.
type checks struct{ errs []error }

// in wants low <= v <= high, which no NaN and no infinity is.
func (c *checks) in(name string, v, low, high float64) {
	c.because(name, v, low, high, "")
}

func (c *checks) because(name string, v, low, high float64, why string) {
	if !(v >= low && v <= high) {
		c.errs = append(c.errs, &ParameterError{name, v, low, high, why})
	}
}

// optional wants 0 (absent) or low <= v <= high.
func (c *checks) optional(name string, v, low, high float64) {
	if v != 0 {
		c.because(name, v, low, high, "or 0 for none")
	}
}

// Limits that keep every quotient of the solver finite.
const (
	leastOhm = 1e-3
	mostOhm  = 1e12
	mostVolt = 250
	leastAmp = 1e-3 // of a stated milliamp or microamp
)

// Validate gives all impossible parameters at once, joined, each a
// [ParameterError] that names it; nil when the loop can be solved.
func (p *Params) Validate() error {
	var c checks
	s := &p.Supply
	c.in("Supply.Volt", s.Volt, 0, mostVolt)
	c.in("Supply.InternalOhm", s.InternalOhm, 0, mostOhm)
	c.optional("Supply.LimitMilliamp", s.LimitMilliamp, leastAmp, 1000)
	c.in("Supply.LimitOhm", s.LimitOhm, 0, mostOhm)
	p.Wiring.check(&c)
	c.in("Input.Offset", p.Input.Offset, -2, 2)
	c.in("Input.Gain", p.Input.Gain, 0, 2)
	c.in("Input.BlockedAt", p.Input.BlockedAt, -2, 2)
	p.Transmitter.check(&c)
	r := &p.Receiver
	c.in("Receiver.ShuntOhm", r.ShuntOhm, leastOhm, mostOhm)
	c.in("Receiver.InputOhm", r.InputOhm, leastOhm, mostOhm)
	c.optional("Receiver.ParallelOhm", r.ParallelOhm, leastOhm, mostOhm)
	c.in("Receiver.Zero", r.Zero, -1, 1)
	c.in("Receiver.Span", r.Span, -0.99, 1)
	p.Checker.check(&c)
	return errors.Join(c.errs...)
}

func (w *Wiring) check(c *checks) {
	c.in("Wiring.OutOhm", w.OutOhm, 0, mostOhm)
	c.in("Wiring.ReturnOhm", w.ReturnOhm, 0, mostOhm)
	c.in("Wiring.TerminalOhm", w.TerminalOhm, 0, mostOhm)
	c.optional("Wiring.AcrossTransmitterOhm", w.AcrossTransmitterOhm, leastOhm, mostOhm)
	c.optional("Wiring.PlusEarthOhm", w.PlusEarthOhm, leastOhm, mostOhm)
	c.optional("Wiring.MinusEarthOhm", w.MinusEarthOhm, leastOhm, mostOhm)
	c.in("Wiring.EarthVolt", w.EarthVolt, -mostVolt, mostVolt)
}

func (t *Transmitter) check(c *checks) {
	c.in("Transmitter.Zero", t.Zero, -1, 1)
	c.in("Transmitter.Span", t.Span, -0.99, 1)
	c.in("Transmitter.NonLinearity", t.NonLinearity, -1, 1)
	c.in("Transmitter.Hysteresis", t.Hysteresis, 0, 1)
	c.in("Transmitter.LowMilliamp", t.LowMilliamp, 0, 4)
	c.because("Transmitter.HighMilliamp", t.HighMilliamp, max(t.LowMilliamp, 0), 50, "at least LowMilliamp")
	c.optional("Transmitter.FailSafeMilliamp", t.FailSafeMilliamp, leastAmp, 50)
	c.in("Transmitter.ElectronicsVolt", t.ElectronicsVolt, 0, 100)
	c.because("Transmitter.LiftOffVolt", t.LiftOffVolt, max(t.ElectronicsVolt, 0), 100, "at least ElectronicsVolt")
	c.in("Transmitter.LiftOffMilliamp", t.LiftOffMilliamp, leastAmp, 50)
	c.in("Transmitter.DeadOhm", t.DeadOhm, 1, mostOhm)
	c.in("Transmitter.DiodeVolt", t.DiodeVolt, 0, 10)
	c.in("Transmitter.DiodeOhm", t.DiodeOhm, 0, 1e6)
}

// Validate gives all impossible parameters of the checker at once, joined.
func (k *Checker) Validate() error {
	var c checks
	k.check(&c)
	return errors.Join(c.errs...)
}

func (k *Checker) check(c *checks) {
	c.because("Checker.Place", float64(k.Place), float64(NotConnected), float64(CurrentAcrossReceiver), "one of the places")
	c.in("Checker.ResistorOhm", k.ResistorOhm, leastOhm, 1e6)
	c.in("Checker.MovementOhm", k.MovementOhm, 1, 1e9)
	c.in("Checker.ReferenceOhm", k.ReferenceOhm, 0, 1e6)
	c.in("Checker.LeadOhm", k.LeadOhm, 0, mostOhm)
	c.in("Checker.MicroampPerDivision", k.MicroampPerDivision, leastAmp, 1e6)
	c.in("Checker.StopDivision", k.StopDivision, 0.1, 100)
	c.because("Checker.MarkDivision", k.MarkDivision, 1e-3, min(k.StopDivision, 100), "at most StopDivision")
	c.in("Checker.RestDivision", k.RestDivision, -100, 100)
	c.in("Checker.RingShift", k.RingShift, -1, 1)
	c.in("Checker.CellVolt", k.CellVolt, 0, 100)
	c.in("Checker.CellOhm", k.CellOhm, 0, 1e6)
	c.in("Checker.CellLoadMilliamp", k.CellLoadMilliamp, 0, 1000)
	c.in("Checker.RegulatorVolt", k.RegulatorVolt, 0.1, 100)
	c.in("Checker.DropOutVolt", k.DropOutVolt, 0, 100)
	c.in("Checker.GoodCellVolt", k.GoodCellVolt, 0, 100)
	c.in("Checker.CellVoltPerDivision", k.CellVoltPerDivision, 1e-3, 100)
	c.because("Checker.CellLineDivision", k.CellLineDivision, -min(k.StopDivision, 100), min(k.StopDivision, 100), "between the stops")
}

// Validate gives all impossible parameters of an output loop at once, joined.
func (o *OutputParams) Validate() error {
	var c checks
	k := &o.Controller
	c.in("Controller.Zero", k.Zero, -1, 1)
	c.in("Controller.Span", k.Span, -0.99, 1)
	c.in("Controller.LowMilliamp", k.LowMilliamp, 0, 4)
	c.because("Controller.HighMilliamp", k.HighMilliamp, max(k.LowMilliamp, 0), 50, "at least LowMilliamp")
	c.in("Controller.OpenVolt", k.OpenVolt, 0, mostVolt)
	c.in("Controller.SaturationOhm", k.SaturationOhm, 0, 1e6)
	o.Wiring.check(&c)
	for _, unused := range []struct {
		name string
		v    float64
	}{
		{"Wiring.AcrossTransmitterOhm", o.Wiring.AcrossTransmitterOhm},
		{"Wiring.PlusEarthOhm", o.Wiring.PlusEarthOhm},
		{"Wiring.MinusEarthOhm", o.Wiring.MinusEarthOhm},
		{"Wiring.EarthVolt", o.Wiring.EarthVolt},
	} {
		if unused.v != 0 {
			c.errs = append(c.errs, &ParameterError{unused.name, unused.v, 0, 0, "an output loop has none"})
		}
	}
	c.in("IP.CoilOhm", o.IP.CoilOhm, leastOhm, mostOhm)
	c.optional("IP.AcrossOhm", o.IP.AcrossOhm, leastOhm, mostOhm)
	c.in("IP.Zero", o.IP.Zero, -1, 1)
	c.in("IP.Span", o.IP.Span, -0.99, 1)
	c.in("IP.AirKilopascal", o.IP.AirKilopascal, 0, 1000)
	c.in("Positioner.Zero", o.Positioner.Zero, -1, 1)
	c.in("Positioner.Span", o.Positioner.Span, -0.99, 1)
	o.Checker.check(&c)
	if p := o.Checker.Place; p != NotConnected && p != SeriesField && p != SeriesRoom {
		c.errs = append(c.errs, &ParameterError{"Checker.Place", float64(p), float64(NotConnected), float64(SeriesRoom), "not connected or in series"})
	}
	return errors.Join(c.errs...)
}
