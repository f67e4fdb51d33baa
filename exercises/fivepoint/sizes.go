package fivepoint

import (
	"slices"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
)

const (
	// partMarks is how many small marks each part of a compound fault must
	// show at least: more than three.
	partMarks = 4
	// least is the smallest worst error, in small marks: below it, counting
	// marks as tenths gives the right figures.
	least = 3
	// mostBow is the greatest curvature, in small marks at 50 %. A real
	// transmitter has some; it decides nothing but which point is the worst.
	mostBow = 10
)

// The decisions that a check can end in.
const (
	leave   = iota // within the adjust limit
	within         // beyond it, and within the tolerance
	outside        // beyond the tolerance
	void           // the cell is weak
)

// share is how often each decision is drawn where all can be: in as many of a
// hundred draws. So every verdict and every first step gets its share. At hard
// a transmitter that is left alone and a weak cell both have their worst point
// at 100 %, so that they are rarer.
var share = map[string][4]int{
	"easy":  {leave: 24, within: 24, outside: 52, void: 18},
	"usual": {leave: 15, within: 28, outside: 42, void: 15},
	"hard":  {leave: 5, within: 32, outside: 43, void: 18},
}

// region is a closed span of sizes of the worst error, in small marks, that
// gives one decision clear of the limits; empty where from is above to.
type region struct{ from, to int }

// regions has one for each decision but void.
type regions [3]region

// regionsOf gives the regions of a loop.
func regionsOf(l *scenarios.Loop, f scenarios.Face) regions {
	tolerance, adjust := nullbalance.Marks(f, l.Tolerance), nullbalance.Marks(f, l.AdjustAt)
	return regions{
		leave:   {least, adjust - nullbalance.Clear},
		within:  {adjust + nullbalance.Clear, tolerance - nullbalance.Clear},
		outside: {max(tolerance, adjust) + nullbalance.Clear, f.Stop() - 2},
	}
}

// of is the decision for a size, or -1 for one too near to a limit.
func (r regions) of(size int) int {
	for i, x := range r {
		if x.from <= size && size <= x.to {
			return i
		}
	}
	return -1
}

// fitting counts the regions that are not empty.
func (r regions) fitting() int {
	n := 0
	for _, x := range r {
		if x.from <= x.to {
			n++
		}
	}
	return n
}

// shape is what is wrong with a transmitter, in small marks.
type shape struct {
	zero int // error at 0 %
	full int // error at 100 %
	bow  int // curvature at 50 %
	gap  int // hysteresis: falling less rising run at 50 %; even
}

// mark is the error at x percent, as the needle shows it. Like the transmitter
// of package loop: zero, span, and a curve 4 x (1-x) that is right at the ends.
// With the tenth of a mark that [check.read] adds, halves are rounded up.
func (s shape) mark(x int, falling bool) int {
	k := x / 25
	bend := s.bow - s.gap/2
	if falling {
		bend = s.bow + s.gap/2
	}
	quarters := 4*s.zero + (s.full-s.zero)*k + bend*k*(4-k)
	return floorDiv(quarters+2, 4)
}

func floorDiv(a, b int) int {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// cell is what one fault can be drawn with: the shapes that lead to one
// decision and one worst point.
type cell struct {
	decision int
	fault    string
	low      bool // the zero is low
	worst    int  // index into points; len(points): all alike
	shapes   []shape
}

// cellKey tells the cells of one fault apart.
type cellKey struct {
	decision, worst int
	low             bool
}

// worstWeight is how often each worst point is drawn beside the others that a
// fault can have. A weak cell and most span errors have it at 100 %, so that
// elsewhere it is made rare.
var worstWeight = [6]int{10, 10, 8, 5, 1, 4}

// prepared is a loop with all that can be drawn in it.
type prepared struct {
	loop    *scenarios.Loop
	regions regions
	cells   []cell
}

// prepare lists the cells of a loop.
func (p *plan) prepare(l *scenarios.Loop, faults []string) prepared {
	face := p.exercise.Plant.Checker.Face
	out := prepared{loop: l, regions: regionsOf(l, face)}
	stop := face.Stop() - 2
	t := l.Params.Transmitter
	perMark := face.PerSmallMark.Float64() / 100
	// How far the ends can go before the transmitter saturates.
	lowest := max(-stop, -int((4-t.LowMilliamp)/16/perMark-0.5))
	highest := min(stop, int((t.HighMilliamp-20)/16/perMark-0.5))
	level := p.exercise.Level
	index := map[cellKey]int{} // of the cells of one fault
	for _, fault := range faults {
		if fault == weakCell {
			from, to := weakMarks(p.exercise.Plant, l, 4)
			if level != "hard" {
				from, to = weakMarks(p.exercise.Plant, l, 0)
			}
			if from <= to {
				out.cells = append(out.cells, cell{decision: void, fault: fault, worst: len(points) - 1})
			}
			continue
		}
		clear(index)
		// A bend that no screw cures stays within the adjust limit: beyond it
		// the transmitter would have to be handed on.
		most := min(mostBow, nullbalance.Marks(face, l.AdjustAt))
		ends := bounds{p.exercise.Plant, l, fault, lowest, highest, stop, level == "easy"}
		ends.each(func(s shape) {
			for bow := -most; bow <= most; bow++ {
				if 2*abs(bow) > 4+max(abs(s.zero), abs(s.full)) {
					continue
				}
				s.bow = bow
				for _, s.gap = range gaps(level, s) {
					decision, worst, ok := out.regions.judge(s, level)
					if !ok || s.flat(level) {
						continue
					}
					key := cellKey{decision, worst, s.zero < 0}
					i, seen := index[key]
					if !seen {
						i = len(out.cells)
						index[key] = i
						out.cells = append(out.cells, cell{decision: decision, fault: fault, low: key.low, worst: worst})
					}
					out.cells[i].shapes = append(out.cells[i].shapes, s)
				}
			}
		})
	}
	return out
}

// gaps lists the hysteresis that a shape is tried with: none below hard, one
// each for the many shapes of a compound fault.
func gaps(level string, s shape) []int {
	all := []int{4, 6, 8, 10}
	switch {
	case level != "hard":
		return []int{0}
	case s.zero != 0 && s.zero != s.full:
		i := (abs(s.zero) + abs(s.full) + abs(s.bow)) % len(all)
		return all[i : i+1]
	}
	return all
}

// asksWorst says whether the worst point is asked for.
func asksWorst(level string) bool { return level != "easy" }

// judge says what a shape leads to: a decision that the ends alone lead to as
// well, so that a curvature or hysteresis decides nothing about screws, and one
// worst point. Not ok where two could be argued about.
func (r regions) judge(s shape, level string) (decision, worst int, ok bool) {
	c := check{shape: s}
	for i, x := range stations(level) {
		c.marks = append(c.marks, s.mark(x, i >= len(points)))
	}
	worst = c.worst()
	decision = r.of(c.farthest(worst))
	if decision < 0 || decision != r.of(max(abs(s.zero), abs(s.full))) || asksWorst(level) && !c.distinct() {
		return 0, 0, false
	}
	if c.alike() {
		worst = len(points)
	}
	return decision, worst, true
}

// flat leaves out shapes whose slips would run together: see the part on zero
// and span. An error at 50 % that is the zero error but for a mark or two, and
// zero and span errors of nearly the same size.
func (s shape) flat(level string) bool {
	span := s.full - s.zero
	near := func(a, b int) bool { d := abs(a - b); return d == 1 }
	mid := s.mark(50, false)
	if s.zero == 0 && mid == 0 {
		return true
	}
	return span != 0 && (near(mid, s.zero) || near(span, s.zero) || near(span, -s.zero) || near(s.full, span) && s.zero != 0 ||
		s.zero != 0 && near(2*span, 0))
}

// bounds is where the ends of one fault may lie.
type bounds struct {
	plant                 *scenarios.Plant
	loop                  *scenarios.Loop
	fault                 string
	lowest, highest, stop int
	trace                 bool // a fault of the zero may come with a mark of span error
}

// each calls f with the ends of every shape that the transmitter can send and
// the plant's own sizes allow.
func (b bounds) each(f func(shape)) {
	if b.fault == "zero-and-span" {
		b.compound(f)
		return
	}
	from, to := least, b.highest
	switch b.fault {
	case "low-zero":
		to = -b.lowest
	case "span-low":
		to = b.stop
	}
	if m := nullbalance.SizeMarks(b.plant, b.loop, b.fault, 100); m != nil {
		from, to = max(from, m[0].From), min(to, m[0].To)
	}
	for w := from; w <= to; w++ {
		one := map[string]shape{
			"low-zero": {zero: -w, full: -w}, "high-zero": {zero: w, full: w},
			"span-low": {full: -w}, "span-high": {full: w},
		}[b.fault]
		f(one)
		if b.trace && one.zero != 0 {
			// No transmitter's span is right to the last mark.
			one.full--
			f(one)
			one.full += 2
			f(one)
		}
	}
}

// compound goes through zero and span together. One end stays clear of the
// other in size, and each part shows by more than three small marks.
func (b bounds) compound(f func(shape)) {
	m := nullbalance.SizeMarks(b.plant, b.loop, b.fault, 100, 100)
	for zero := b.lowest; zero <= b.stop; zero++ {
		for full := -b.stop; full <= b.highest; full++ {
			apart := abs(abs(zero) - abs(full))
			if abs(zero) < partMarks || abs(full-zero) < partMarks || apart < nullbalance.Clear {
				continue
			}
			if m != nil && !(m[0].Has(zero) && m[1].Has(full-zero)) {
				continue
			}
			f(shape{zero: zero, full: full})
		}
	}
}

// outcome is a decision and the loops, by their index, that can lead to it.
type outcome struct {
	decision int
	loops    []int
}

// weigh lists the outcomes that the loops can have, as often as they are to be
// drawn.
func (p *plan) weigh() {
	for d, weight := range share[p.exercise.Level] {
		one := outcome{decision: d}
		for i, l := range p.loops {
			for _, c := range l.cells {
				if c.decision == d {
					one.loops = append(one.loops, i)
					break
				}
			}
		}
		for range weight {
			if len(one.loops) > 0 {
				p.outcomes = append(p.outcomes, one)
			}
		}
	}
}

// pickCell draws one cell of a decision: a fault first, then the side of the
// zero and the worst point. A fault that is always worst at 100 % is drawn half
// as often as others, zero and span together more than twice as often.
func pickCell(pick *exercises.Picker, cells []cell, decision int) cell {
	var faults, elsewhere []string
	for _, c := range cells {
		if c.decision != decision {
			continue
		}
		if !slices.Contains(faults, c.fault) {
			faults = append(faults, c.fault)
		}
		if c.worst != len(points)-1 && !slices.Contains(elsewhere, c.fault) {
			elsewhere = append(elsewhere, c.fault)
		}
	}
	faults = append(faults, elsewhere...)
	if slices.Contains(elsewhere, "zero-and-span") {
		faults = append(faults, "zero-and-span", "zero-and-span", "zero-and-span")
	}
	fault := faults[pick.Int(len(faults))]
	// Low zeros are few, since the transmitter saturates below: so the side is
	// drawn before the size.
	var sides []bool
	for _, c := range cells {
		if c.decision == decision && c.fault == fault && !slices.Contains(sides, c.low) {
			sides = append(sides, c.low)
		}
	}
	low := sides[pick.Int(len(sides))]
	var fit []cell
	for _, c := range cells {
		if c.decision == decision && c.fault == fault && c.low == low {
			for range worstWeight[c.worst] {
				fit = append(fit, c)
			}
		}
	}
	return fit[pick.Int(len(fit))]
}

// cellVolt is the cell without load that makes a good transmitter read this
// many small marks high at 100 %.
func cellVolt(checker *scenarios.Checker, full int) float64 {
	perMark := checker.Face.PerSmallMark.Float64() / 100
	params := checker.Params
	// The reference is low by the fraction d, which shows as 5 V × d at 100 %,
	// where the span is 4 V.
	d := float64(full) * perMark * 4 / 5
	return float64(params.RegulatorVolt*(1-d)) + params.DropOutVolt + float64(params.CellOhm*params.CellLoadMilliamp*1e-3)
}

// weakMarks gives the readings at 100 %, in small marks, that a weak cell can
// be drawn with. Errors go as 1:2:3:4:5, and the cell reading falls short of
// its line by what the regulator lost: far enough to be seen, with the
// mechanical zero in it too.
func weakMarks(plant *scenarios.Plant, l *scenarios.Loop, rest int) (from, to int) {
	checker := &plant.Checker
	face, p := checker.Face, checker.Params
	perMark := face.PerSmallMark.Float64() / 100
	perMarkBelow := perMark * 4 / 5 * p.RegulatorVolt / face.CellPerSmall.Float64()
	from = int(float64(nullbalance.Clear+abs(rest))/perMarkBelow) + 1
	// Read with it, a right 20 mA must not look like more than any transmitter
	// can send.
	to = min(face.Stop()-2, int((l.Params.Transmitter.HighMilliamp-20)/16/perMark-0.5))
	b := plant.Sizes(weakCell, l)
	if b == nil {
		return from, to
	}
	allowed := func(full int) bool {
		v := cellVolt(checker, full)
		return v >= b[0].Low.Float64() && v <= b[0].High.Float64()
	}
	for from <= to && !allowed(from) {
		from++
	}
	for to >= from && !allowed(to) {
		to--
	}
	return from, to
}
