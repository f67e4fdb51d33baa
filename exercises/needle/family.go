// Package needle is the family "read the needle": one reading of the
// null-balance checker, from the needle to the verdict; with the mechanical
// zero off, and with the needle on its stop.
package needle

import (
	_ "embed"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/needle/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// faults are those of the transmitter that one reading can show.
var faults = []string{"low-zero", "high-zero", "span-low", "span-high", "zero-and-span"}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "read-the-needle",
		Purpose: "read a null-balance needle: direction, divisions, error, output, verdict",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "direction, divisions, error, output; in series at the transmitter where the course does not say otherwise, mechanical zero right"},
			{Name: "usual", Changes: "the verdict too; the mechanical zero may be off, the checker may stand across the receiver"},
			{Name: "hard", Changes: "as usual, and the needle may lie on its stop: what it says there, and what it does when the ring is clicked"},
		},
		Faults:   faults,
		MinLoops: 1,
		Fits:     fits,
		Takes:    "loops with 4-20 mA and a tolerance of at least 0.4 % of span, without a square root in the transmitter; a face of 10 divisions of 5 small marks, at most 0.1 % of span each",
		Places:   []string{scenarios.PlaceTransmitter, scenarios.PlaceReceiver},
	}
}

func fits(_ string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	if l.Root == scenarios.RootTransmitter {
		return "takes the square root in the transmitter, so that its output is not in proportion to its input", false
	}
	if l.Tolerance.Sub(formula.Ratio(2*nullbalance.Clear, 10)).Sign() < 0 {
		return "has a tolerance under 0.4 % of span, too near to the checker's smallest clear reading for a verdict", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 3 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "one needle reading", faults)
	ds = append(ds, nullbalance.ScreenFace(e)...)
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e, loops: s.Loops, faults: s.Faults}
	return p, nullbalance.Undrawable(e, p.faults, p.loops, "reading", p.drawable)
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []*scenarios.Loop
	faults   []string
}

// reading is one drawn situation.
type reading struct {
	plant  *scenarios.Plant
	loop   *scenarios.Loop
	face   scenarios.Face
	set    nullbalance.Set
	x      int // input, percent of range
	ring   int // percent of span
	marks  int // true deflection, small marks, as drawn
	rest   int
	needle loop.Needle
	down   bool // the next point of the ring is the one below
	signal signal.Signal
	fault  string
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	r, err := p.draw(pick)
	if err != nil {
		return exercises.Item{}, err
	}
	if r.needle.Stop != loop.NoStop {
		return p.stopItem(r), nil
	}
	return p.readingItem(r), nil
}

func (p *plan) draw(pick *exercises.Picker) (reading, error) {
	fault := p.faults[pick.Int(len(p.faults))]
	onStop := p.exercise.Level == "hard" && pick.Int(3) == 0
	within := pick.Int(2) == 0
	r := reading{plant: p.exercise.Plant, loop: p.loops[pick.Int(len(p.loops))], signal: signal.Current, fault: fault}
	r.face = p.exercise.Plant.Checker.Face
	r.set = nullbalance.Set{Loop: r.loop, Checker: &p.exercise.Plant.Checker, Place: loop.SeriesField}
	// The ring clicks every five percent. A span error shows in proportion to
	// the point; below a quarter of the span it would have to be absurd.
	r.ring = 5 * pick.Int(21)
	if fault != "low-zero" && fault != "high-zero" {
		r.ring = 5 * pick.Between(5, 20)
	}
	r.x = nullbalance.Ideal(r.loop, r.ring)
	if p.exercise.Level != "easy" {
		if !onStop && pick.Int(3) == 0 && p.exercise.Place != scenarios.PlaceTransmitter {
			r.set.Place, r.signal = loop.AcrossReceiver, signal.Voltage
		}
		if p.exercise.Level == "hard" || pick.Int(3) > 0 {
			r.rest = pick.Between(2, 10)
			if pick.Int(2) == 0 {
				r.rest = -r.rest
			}
		}
	}
	if p.exercise.Place == scenarios.PlaceReceiver {
		r.set.Place, r.signal = loop.AcrossReceiver, signal.Voltage
	}
	low := fault == "low-zero" || fault == "span-low" || fault == "zero-and-span" && pick.Int(2) == 0
	if p.narrowed(fault, r.loop) {
		low = r.side(low, p.exercise.Level == "hard")
	}
	size, err := r.size(pick, onStop, within, low)
	if err != nil {
		return r, err
	}
	r.marks = size
	if low {
		r.marks = -size
	}
	if err := r.solve(pick); err != nil {
		return r, err
	}
	if p.exercise.Level == "hard" {
		r.down = pick.Int(2) == 0 && r.ring > 0 || r.ring == 100
		if r.needle.Stop == loop.NoStop && (r.needle.Code > -2 && r.needle.Code < 2) {
			return r, rejectCentre
		}
	}
	return r, nil
}

// kind is how far the needle is asked to go.
type kind int

const (
	inside  kind = iota // within the tolerance
	outside             // outside it, on the face
	stopped             // on the stop
)

// size draws how many small marks the output is off.
func (r *reading) size(pick *exercises.Picker, onStop, within, low bool) (int, error) {
	want := outside
	switch {
	case onStop:
		want = stopped
	case within:
		want = inside
	}
	from, to := r.marksFor(want, low)
	if to < from && r.permitted(low) != nil {
		// The plant's own sizes do not reach there; what they do reach is
		// asked about instead.
		for k := inside; k <= stopped && to < from; k++ {
			if k != stopped || onStop {
				from, to = r.marksFor(k, low)
			}
		}
	}
	if to < from {
		return 0, nullbalance.RejectClipped
	}
	return pick.Between(from, to), nil
}

// marksFor gives the errors that put the needle where it is wanted, in small
// marks to one side: none where the first lies above the second.
func (r *reading) marksFor(want kind, low bool) (from, to int) {
	stop := r.face.Stop()
	limit := nullbalance.Marks(r.face, r.loop.Tolerance)
	// The transmitter saturates just outside its span: what is left of the
	// way to there, in small marks.
	t := r.loop.Params.Transmitter
	perMark := r.perMark()
	room := int(((t.HighMilliamp-4)/16-float64(r.ring)/100)/perMark - 0.5)
	if low {
		room = int((float64(r.ring)/100-(t.LowMilliamp-4)/16)/perMark - 0.5)
	}
	switch want {
	case stopped:
		from, to = stop+12, stop+60
	case inside:
		from, to = nullbalance.Least, limit-nullbalance.Clear
	default:
		from, to = limit+nullbalance.Clear, stop-1
	}
	to = min(to, room)
	if p := r.permitted(low); p != nil {
		from, to = max(from, p.From), min(to, p.To)
	}
	return from, to
}

// perMark is one small mark as a fraction of span.
func (r *reading) perMark() float64 { return r.face.PerSmallMark.Float64() / 100 }

// solve finds the size of the fault that brings the needle to the mark drawn,
// and takes the reading.
func (r *reading) solve(pick *exercises.Picker) error {
	r.set.Rest = r.rest
	target := float64(r.marks) * r.perMark()
	fraction := float64(r.ring) / 100
	spanShare := 0.0
	switch r.fault {
	case "span-low", "span-high":
		spanShare = 1
	case "zero-and-span":
		spanShare = float64(pick.Between(3, 7)) / 10
	}
	put := func(total float64) {
		r.set.Zero = total * (1 - spanShare)
		r.set.Span = 0
		if spanShare > 0 {
			r.set.Span = total * spanShare / fraction
		}
	}
	if !r.shared(spanShare) {
		return rejectSizes
	}
	// Across the receiver even a sound loop reads a little low (the reading
	// circuit and the movement load the resistor); one correction, exact
	// because the loop is linear in the fault, brings the needle onto the mark.
	put(target)
	p := r.set.Params()
	point := p.Solve(float64(r.x)/100, true)
	off := float64(r.marks+r.rest)*p.Checker.MarkDivision - point.Deflection
	if r.set.Place == loop.AcrossReceiver {
		put(target + off*r.perMark()*float64(r.face.SmallPerDiv))
	}
	n, err := r.set.Take(r.x)
	if err != nil {
		return err
	}
	r.needle = n
	if n.Stop == loop.NoStop && n.Code != r.marks+r.rest {
		return nullbalance.RejectEdge
	}
	onStop := r.marks > r.face.Stop() || r.marks < -r.face.Stop()
	if onStop != (n.Stop != loop.NoStop) {
		return rejectHalfOnStop
	}
	return nil
}

const rejectCentre exercises.Reject = "a needle too near to the centre to say where the next point puts it"

const rejectHalfOnStop exercises.Reject = "a needle pushed to or off its stop by the mechanical zero"
