package pointto

import (
	"math"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

// The ways in which the output is known.
type known string

const (
	current  known = "current"  // in mA, the checker in series
	asError  known = "error"    // in percent of span, the checker in series
	volts    known = "volts"    // in V across the receiver
	resistor known = "resistor" // a current through a measured resistor
	shown    known = "shown"    // the value that a right receiver shows
)

// The reasons of this family for throwing a draw away.
const (
	rejectSolver exercises.Reject = "a needle that the solved loop puts elsewhere"
	rejectFaces  exercises.Reject = "fewer than three wrong faces that can be told apart"
	rejectBlame  exercises.Reject = "no resistor and current that pull the needle so"
)

// situation is one drawn situation.
type situation struct {
	level  string
	loop   *scenarios.Loop
	face   scenarios.Face
	set    nullbalance.Set
	known  known
	signal signal.Signal // that the checker compares
	x      int           // input, percent of range
	ring   int           // percent of span
	moved  int           // small marks by which the output moves the needle
	rest   int           // small marks
	needle loop.Needle

	output formula.Value // as given, in the unit of the signal; of a resistor the current in mA
	off    formula.Value // its error in percent of span; not of a resistor
	ohm    formula.Value // of the receiver's resistor
	cause  string        // what moves the needle, with a resistor
	seems  bool          // with a value shown: the needle says outside the tolerance
	truth  bool          // the loop is outside its tolerance
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	s, err := p.draw(pick)
	if err != nil {
		return exercises.Item{}, err
	}
	return p.build(pick, s)
}

func (p *plan) draw(pick *exercises.Picker) (*situation, error) {
	c := &p.exercise.Plant.Checker
	s := &situation{level: p.exercise.Level, face: c.Face, signal: signal.Current, known: current, ohm: formula.Int(nominalOhm)}
	var err error
	switch p.exercise.Level {
	case "easy":
		s.take(c, p.loops[pick.Int(len(p.loops))].loop)
		s.drawMoved(pick, false)
	case "usual":
		s.known = []known{current, asError, volts}[pick.Int(3)]
		s.take(c, p.loops[pick.Int(len(p.loops))].loop)
		s.drawMoved(pick, pick.Int(4) == 0)
	default:
		err = p.drawHard(pick, s)
	}
	if err != nil {
		return nil, err
	}
	s.set.Rest = s.rest
	return s, s.solve()
}

func (s *situation) take(c *scenarios.Checker, l *scenarios.Loop) {
	s.loop = l
	s.set = nullbalance.Set{Loop: l, Checker: c, Place: loop.SeriesField}
	if s.known == volts || s.known == resistor || s.known == shown {
		s.set.Place, s.signal = loop.AcrossReceiver, signal.Voltage
	}
}

// drawMoved draws the ring's point and the output at a whole small mark, with
// the rest for all but the easy level; onStop far enough to be off the scale.
func (s *situation) drawMoved(pick *exercises.Picker, onStop bool) {
	low := pick.Int(2) == 0
	rest := 0
	if s.level != "easy" {
		rest = pick.Between(leastRest, mostRest)
		if pick.Int(2) == 0 {
			rest = -rest
		}
	}
	s.setRing(5 * pick.Between(2, 18))
	s.moved = pick.Between(leastMoved, mostShown)
	if onStop {
		s.moved = pick.Between(s.face.Stop()+3, s.face.Stop()+15)
	}
	if low {
		s.moved = -s.moved
	}
	if n := max(s.moved+rest, -s.moved-rest); !onStop && n > mostShown || onStop && n < s.face.Stop()+3 {
		rest = -rest
	}
	s.rest = rest
	s.giveOutput()
}

func (s *situation) setRing(ring int) {
	s.ring = ring
	s.x = nullbalance.Ideal(s.loop, ring)
}

// giveOutput works out what is given from the ring and the small marks.
func (s *situation) giveOutput() {
	s.off = s.face.PerSmallMark.Mul(formula.Int(int64(s.moved)))
	at := formula.Int(int64(s.ring)).Add(s.off).Div(formula.Int(100))
	s.output = s.signal.Low.Add(at.Mul(s.signal.High.Sub(s.signal.Low)))
}

func (p *plan) drawHard(pick *exercises.Picker, s *situation) error {
	l := p.loops[pick.Int(len(p.loops))]
	s.known = resistor
	if l.step > 0 && pick.Int(2) == 0 {
		s.known = shown
	}
	s.take(&p.exercise.Plant.Checker, l.loop)
	if s.known == shown {
		s.seems, s.truth = pick.Int(2) == 1, pick.Int(2) == 1
		list := l.judged[index(s.seems)][index(s.truth)]
		s.setRing(5 * pick.Between(2, 18))
		m := list[pick.Int(len(list))]
		s.moved, s.rest = m.moved, m.rest
		s.giveOutput()
		return nil
	}
	s.cause = causes[pick.Int(len(causes))]
	s.rest = pick.Between(leastRest, mostRest)
	if pick.Int(2) == 0 {
		s.rest = -s.rest
	}
	s.setRing(5 * pick.Between(4, 19))
	return s.drawBlame(pick)
}

// causes are what can move the needle across the receiver, as options.
var causes = []string{"transmitter", "resistor", "same-way", "against"}

// drawBlame draws a current, in steps of 0.001 mA, and a resistor, in steps of
// 0.1 Ω, that together bring the needle near to a mark and pull as the cause
// says. Each pulls by six small marks at least, so that neither is a trifle.
func (s *situation) drawBlame(pick *exercises.Picker) error {
	side := 1
	if pick.Int(2) == 0 {
		side = -1
	}
	ideal := 4 + 16*float64(s.ring)/100 // mA
	perMark := s.voltsPerMark()
	ohmPerMark := perMark / ideal * 1000
	byCurrent, byResistor := 0, 0 // small marks
	switch s.cause {
	case "transmitter":
		byCurrent = side * pick.Between(leastMoved, 38)
	case "resistor":
		byResistor = side * pick.Between(leastMoved, 38)
	case "same-way":
		byCurrent, byResistor = side*pick.Between(6, 19), side*pick.Between(6, 19)
	default:
		byCurrent, byResistor = side*pick.Between(6, 40), -side*pick.Between(6, 40)
	}
	tenths := 10*nominalOhm + int(math.Round(float64(byResistor)*ohmPerMark*10))
	micro := 0 // 0.001 mA
	for i := 0; ; i++ {
		ohm := float64(tenths) / 10
		total := float64(byCurrent + byResistor)
		if s.cause == "resistor" {
			micro = int(math.Round(ideal * 1000))
			total = math.Round((ideal*ohm/1000 - (1 + 4*float64(s.ring)/100)) / perMark)
		} else {
			micro = int(math.Round((1 + 4*float64(s.ring)/100 + float64(total*perMark)) / ohm * 1e6))
		}
		s.moved = int(total)
		at := (float64(micro)*ohm/1e6 - (1 + 4*float64(s.ring)/100)) / perMark
		if math.Abs(at-total) < 0.25 {
			break
		}
		if i == 8 {
			return rejectBlame
		}
		tenths += side
	}
	n := s.moved + s.rest
	if max(s.moved, -s.moved) < leastMoved || max(n, -n) > mostShown {
		return rejectBlame
	}
	s.output, s.ohm = formula.Decimal(int64(micro), 3), formula.Decimal(int64(tenths), 1)
	return nil
}

func (s *situation) voltsPerMark() float64 { return s.face.PerSmallMark.Float64() / 100 * 4 }

// solve lets the loop solver move the needle and holds it against the marks
// drawn; the transmitter is given the zero error that makes the known output.
func (s *situation) solve() error {
	p := s.set.Params()
	p.Receiver.ShuntOhm = s.ohm.Float64()
	milliamp := s.output.Float64()
	if s.known == volts || s.known == shown {
		// As a voltmeter shows with the trigger released: its reading circuit
		// takes its share.
		r := p.Receiver.ShuntOhm * p.Receiver.InputOhm / (p.Receiver.ShuntOhm + p.Receiver.InputOhm)
		milliamp = s.output.Float64() / r * 1000
	}
	s.set.Zero = (milliamp-4)/16 - float64(s.ring)/100
	p.Transmitter.Zero = s.set.Zero
	point := p.Solve(float64(s.x)/100, true)
	if math.Abs(point.TransmitterMilliamp-milliamp) > 1e-6 {
		return nullbalance.RejectClipped
	}
	n, clear := p.Checker.Needle(point.Deflection)
	if !clear {
		return nullbalance.RejectEdge
	}
	want := s.moved + s.rest
	switch stop := s.face.Stop(); {
	case want > mostShown:
		if n.Code != stop {
			return rejectSolver
		}
	case want < -mostShown:
		if n.Code != -stop {
			return rejectSolver
		}
	case n.Code != want:
		return rejectSolver
	}
	s.needle = n
	return nil
}
