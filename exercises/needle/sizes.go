package needle

import (
	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
)

const rejectSizes exercises.Reject = "a zero or span error outside the sizes of the plant"

// narrowed says whether the plant narrows the sizes of a fault in a loop.
func (p *plan) narrowed(fault string, l *scenarios.Loop) bool {
	return p.exercise.Plant.Sizes(fault, l) != nil
}

// bounds gives the plant's bounds at the point of the ring, each part of the
// fault with its sign, or nil.
func (r *reading) bounds() []nullbalance.Marked {
	switch r.fault {
	case "low-zero", "high-zero":
		return nullbalance.SizeMarks(r.plant, r.loop, r.fault, 100)
	case "span-low", "span-high":
		return nullbalance.SizeMarks(r.plant, r.loop, r.fault, r.ring)
	}
	return nullbalance.SizeMarks(r.plant, r.loop, r.fault, 100, r.ring)
}

// permitted gives the errors that the plant's sizes allow at the point of the
// ring, in small marks to one side; nil where it does not narrow them.
func (r *reading) permitted(low bool) *nullbalance.Marked {
	b := r.bounds()
	switch len(b) {
	case 1: // the fault's name says to which side
		return &b[0]
	case 2:
		// Both parts go to the same side here, each 0.3 to 0.7 of the whole.
		sides := make([]nullbalance.Marked, 2)
		for i := range b {
			sides[i] = b[i]
			if low {
				sides[i] = nullbalance.Marked{From: -b[i].To, To: -b[i].From}
			}
			sides[i].From = max(sides[i].From, 0)
			if sides[i].To < sides[i].From {
				return &nullbalance.Marked{From: 1, To: 0}
			}
		}
		both := sides[0].Add(sides[1])
		for _, s := range sides {
			both.From = max(both.From, s.From*10/7)
			both.To = min(both.To, s.To*10/3)
		}
		return &both
	}
	return nil
}

// shared says whether the parts of the error drawn lie in the plant's bounds,
// share being the span's.
func (r *reading) shared(share float64) bool {
	b := r.bounds()
	if len(b) != 2 {
		return true
	}
	const slack = 1e-9
	total := float64(r.marks)
	for i, part := range []float64{total * (1 - share), total * share} {
		if part < float64(b[i].From)-slack || part > float64(b[i].To)+slack {
			return false
		}
	}
	return true
}

// side gives the side on which the plant's sizes leave something to draw.
func (r *reading) side(low, stops bool) bool {
	if r.fault == "zero-and-span" && !r.possible(low, stops) {
		return !low
	}
	return low
}

func (r *reading) possible(low, stops bool) bool {
	for k := inside; k <= stopped; k++ {
		if from, to := r.marksFor(k, low); from <= to && (k != stopped || stops) {
			return true
		}
	}
	return false
}

func (p *plan) drawable(fault string, l *scenarios.Loop) bool {
	r := reading{plant: p.exercise.Plant, loop: l, face: p.exercise.Plant.Checker.Face, fault: fault}
	for r.ring = 25; r.ring <= 100; r.ring += 5 {
		for _, low := range []bool{true, false} {
			wrong := low && (fault == "high-zero" || fault == "span-high") || !low && (fault == "low-zero" || fault == "span-low")
			if !wrong && r.possible(low, p.exercise.Level == "hard") {
				return true
			}
		}
	}
	return false
}
