package sending

import (
	"math"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

const (
	rejectArrives exercises.Reject = "volts that do not arrive as they are set"
	rejectSmall   exercises.Reject = "an error too small on what the receiver shows"
	rejectRange   exercises.Reject = "a value beyond what the receiver shows"
)

// sent is one drawn situation with one point.
type sent struct {
	level  string
	loop   *scenarios.Loop
	face   scenarios.Face
	places int // decimals of the receiver
	ring   int
	rest   int // small marks, of the usual level
	shown  formula.Value
}

// step is the last place that the receiver shows.
func (s *sent) step() formula.Value { return formula.Decimal(1, s.places) }

// stepPercent is that in percent of the receiver's span.
func (s *sent) stepPercent() formula.Value {
	return s.step().Div(s.loop.Shows.Span()).Mul(formula.Int(100))
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	if p.exercise.Level == "hard" {
		t, err := p.drawTwo(pick)
		if err != nil {
			return exercises.Item{}, err
		}
		return p.buildTwo(t), nil
	}
	s := &sent{level: p.exercise.Level, face: p.exercise.Plant.Checker.Face}
	outside := pick.Int(2) == 1
	low := pick.Int(2) == 1
	s.loop = p.loops[pick.Int(len(p.loops))]
	s.places = places(s.loop)
	s.ring = 5 * pick.Between(2, 19)
	if s.level == "usual" {
		s.rest = pick.Between(2, 10)
		if pick.Int(2) == 1 {
			s.rest = -s.rest
		}
	}
	// The error in tenths of the tolerance, clear of the limit.
	tenths := pick.Between(4, 8)
	if outside {
		tenths = pick.Between(12, 60)
	}
	if low {
		tenths = -tenths
	}
	off := s.loop.Tolerance.Mul(formula.Ratio(int64(tenths), 1000)).Mul(s.loop.Shows.Span())
	share := formula.Ratio(int64(s.ring), 100)
	if s.loop.Action == scenarios.Reverse {
		share = formula.Int(1).Sub(share)
	}
	if s.loop.Root == scenarios.RootReceiver {
		share = share.Sqrt()
	}
	var err error
	if s.shown, err = s.loop.Shows.Low.Add(s.loop.Shows.Span().Mul(share)).Add(off).Rounded(s.places); err != nil {
		return exercises.Item{}, nullbalance.RejectEdge
	}
	if s.shown.Sub(s.loop.Shows.Low).Sign() <= 0 {
		return exercises.Item{}, rejectRange
	}
	if err := s.arrives(&p.exercise.Plant.Checker); err != nil {
		return exercises.Item{}, err
	}
	return p.buildOne(s)
}

// arrives asks the loop solver whether the volts of the ring stand at the
// receiver's terminals, to what a voltmeter with three decimals shows.
func (s *sent) arrives(c *scenarios.Checker) error {
	p := nullbalance.Set{Loop: s.loop, Checker: c, Place: loop.SendingNoShunt}.Params()
	at := float64(s.ring) / 100
	if p.Transmitter.ReverseActing {
		at = 1 - at // the solver takes the input of the loop
	}
	if q := p.Solve(at, false); math.Abs(q.ReceiverVolt-(1+4*float64(s.ring)/100)) > 0.0005 {
		return rejectArrives
	}
	return nil
}

// two is one drawn situation of the hard level.
type two struct {
	sent
	fault  string
	size   float64 // ohm, fraction of span, or fraction of the reference lost
	points [2]point
}

// point is what is seen at one of the two points.
type point struct {
	ring                   int
	open, connected, shown formula.Value
}

func (p *plan) drawTwo(pick *exercises.Picker) (*two, error) {
	t := &two{fault: p.faults[pick.Int(len(p.faults))]}
	t.level, t.face = p.exercise.Level, p.exercise.Plant.Checker.Face
	t.loop = p.loops[pick.Int(len(p.loops))]
	t.places = places(t.loop)
	t.points[0].ring, t.points[1].ring = 5*pick.Between(3, 6), 5*pick.Between(16, 20)
	checker := &p.exercise.Plant.Checker
	set := nullbalance.Set{Loop: t.loop, Checker: checker, Place: loop.SendingNoShunt}
	q := set.Params()
	side := 1 - 2*float64(pick.Int(2))
	c := &q.Checker
	switch t.fault {
	case "low-input-impedance":
		t.size = float64(10 * pick.Between(6, 30))
		q.Receiver.InputOhm = t.size
	case "receiver-zero":
		t.size = side * float64(pick.Between(6, 40)) / 1000
		q.Receiver.Zero = t.size
	case "receiver-span":
		t.size = side * float64(pick.Between(8, 40)) / 1000
		q.Receiver.Span = t.size
	default:
		t.size = float64(pick.Between(8, 40)) / 1000
		c.CellVolt = (1-t.size)*c.RegulatorVolt + c.DropOutVolt + c.CellOhm*c.CellLoadMilliamp/1000
	}
	for i := range t.points {
		pt := &t.points[i]
		at := float64(pt.ring) / 100
		open := q
		open.Receiver.InputOhm = 1e7 // the voltmeter alone
		var err error
		if pt.open, err = formula.Float(open.Solve(at, false).ReceiverVolt).Rounded(3); err != nil {
			return nil, nullbalance.RejectEdge
		}
		s := q.Solve(at, false)
		if pt.connected, err = formula.Float(s.ReceiverVolt).Rounded(3); err != nil {
			return nil, nullbalance.RejectEdge
		}
		r := t.loop.Shows
		if pt.shown, err = r.Low.Add(r.Span().Mul(formula.Float(s.ReceiverPercent / 100))).Rounded(t.places); err != nil {
			return nil, nullbalance.RejectEdge
		}
	}
	off := func(i int) float64 {
		pt := t.points[i]
		return math.Abs(pt.shown.Sub(t.loop.Shows.Low).Div(t.loop.Shows.Span()).Float64() - float64(pt.ring)/100)
	}
	if off(1) < 0.004 {
		return nil, rejectSmall
	}
	return t, nil
}
