package loop

import "fmt"

// Setup is how the loop was arranged for a reading, other than as it stands in
// service. The zero value is a plain reading on a rising run.
type Setup struct {
	Falling        bool    // the point was approached from above
	AtPort         bool    // a known pressure straight to the transmitter's port, past the sensing lines
	RingOff        float64 // ring set off the point on purpose, fraction of span: the neighbouring point is 0.25
	SupplyRise     float64 // volts by which the supply was raised for the test
	Move           Place   // the checker was put here; 0 leaves it where the loop has it
	WithoutChecker bool    // the checker was taken off
}

// Reading says what is read where.
type Reading struct {
	Quantity Quantity
	X        float64 // the point, a fraction of span
	Setup    Setup
}

// Seen is a reading with what it showed, in whole steps of its instrument; a
// needle's code at a stop's mark means that it lies on the stop.
type Seen struct {
	Reading
	Code int
}

// Evidence is what was printed.
type Evidence []Seen

// At gives plain readings of one quantity at points.
func At(q Quantity, points ...float64) []Reading {
	out := make([]Reading, len(points))
	for i, x := range points {
		out[i] = Reading{Quantity: q, X: x}
	}
	return out
}

// FivePoints are the points of a five-point check.
func FivePoints() []float64 { return []float64{0, 0.25, 0.5, 0.75, 1} }

// check says what is wrong with a reading for an input or an output loop.
func (r *Reading) check(output bool) error {
	if err := checkPoint(r.X); err != nil {
		return err
	}
	q, s := r.Quantity, &r.Setup
	switch {
	case q >= quantities:
		return fmt.Errorf("quantity %d is unknown", q)
	case output && (q == ReceiverVolts || q == ReceiverDisplay || q == TransmitterVolts || q == SupplyVolts):
		return fmt.Errorf("%s cannot be read in an output loop", q)
	case !output && (q == CoilVolts || q == AirPressure || q == Stroke):
		return fmt.Errorf("%s can only be read in an output loop", q)
	case !(s.RingOff >= -1 && s.RingOff <= 1):
		return fmt.Errorf("ring off by %g is not between -1 and 1, fractions of span", s.RingOff)
	case !(s.SupplyRise >= 0 && s.SupplyRise <= mostVolt):
		return fmt.Errorf("supply raised by %g V is not between 0 and %d V", s.SupplyRise, mostVolt)
	case s.Move > CurrentAcrossReceiver || s.Move == Sending || s.Move == SendingNoShunt:
		return fmt.Errorf("the checker cannot be moved to place %d for a reading", s.Move)
	case output && (s.Falling || s.AtPort || s.SupplyRise != 0):
		return fmt.Errorf("an output loop has no falling run, port or supply to vary")
	}
	return nil
}

// before arranges what comes before a fault acts.
func (s *Setup) before(c *Checker) {
	if s.Move != NotConnected {
		c.Place = s.Move
	}
	if s.WithoutChecker {
		c.Place = NotConnected
	}
}

// after arranges what the apprentice does to a loop with its fault.
func (s *Setup) after(p *Params) {
	p.Checker.RingShift += s.RingOff
	if s.Falling {
		p.Transmitter.Falling = true
	}
	if s.AtPort {
		p.Input = Input{Gain: 1}
	}
	p.Supply.Volt += s.SupplyRise
}
