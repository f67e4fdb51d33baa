package writeup

import (
	"loopdrill/exercises"
	"loopdrill/exercises/calendar"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
)

// call is what the readings as found call for by the site's rules.
type call string

// The calls.
const (
	leave  call = "leave"  // inside the site's limit: record it
	adjust call = "adjust" // inside the tolerance, beyond the site's limit
	report call = "report" // outside the tolerance: report back to the last good check as well

	// turn is what the easy level calls both adjust and report: it asks nothing
	// about reporting.
	turn call = "turn"
)

// Options of a verdict.
const (
	inside  = "inside"
	outside = "outside"
	void    = "void" // an instrument was past its due date
)

// Entries of a record that cannot stand.
const (
	overwritten = "overwritten"
	noSerial    = "no-serial"
	pastDue     = "past-due"
	badVerdict  = "verdict"
	noUnit      = "no-unit"
	noInitials  = "no-initials"
)

var entries = []string{overwritten, noSerial, pastDue, badVerdict, noUnit, noInitials}

// points of the check, percent of the output's span with direct action.
var points = []int{0, 25, 50, 75, 100}

// The reasons for which the family throws a draw away.
const (
	rejectShape exercises.Reject = "readings that do not keep below their largest"
	rejectSmall exercises.Reject = "no point with an error that can be counted"
)

// Errors are drawn in thousandths of a mA, the last place of a reading: 0.00625
// % of span each.

// bounds are the least and the greatest size of the largest error.
type bounds struct{ from, to int }

// clear is how far the largest error keeps from a limit: 0.05 % of span, eight
// units of the last place of a reading, so that no rounding decides.
const clear = 8

// lowest is how far below 4 mA a transmitter still follows: 3.8 mA and a little.
const lowest = -190

// boundsOf gives the sizes at which each call can be drawn.
func boundsOf(l *scenarios.Loop) map[call]bounds {
	units := func(percent formula.Value) int { return int(percent.Float64()*160 + 0.5) }
	adj, tol := units(l.AdjustAt), units(l.Tolerance)
	out := map[call]bounds{leave: {20, adj - clear}, report: {tol + clear, max(tol+40, 2*tol)}}
	if adj+2*clear+10 <= tol {
		out[adjust] = bounds{adj + clear, tol - clear}
	}
	return out
}

// check is one drawn job.
type check struct {
	ready
	call    call
	verdict string // as found
	entry   string // of the record, usual level
	ends    bool   // the verdict as left is outside

	found, falling, left [5]int // errors, thousandths of a mA; falling[4] is found[4]
	devices              []device
	serials              []int
	done, lastGood       calendar.Day
	order                calendar.Day
	orderNo, tag         int
	by                   string
	at                   int // index of the point at which the line ran
	struck               int // index of the reading as left that was corrected
	wrote                int // what stood there, thousandths of a mA beside the right one
	lines                []int
}

var people = []string{"R. K.", "M. O.", "T. V.", "A. B.", "J. S."}

// calls says how often each call is drawn at a level, so that no option of the
// verdict and of what follows is right much oftener than another.
var calls = map[string][]call{
	"easy": {leave, report, leave, report, adjust, report, leave, report, leave, report, leave, report, adjust,
		leave, report, leave, report, leave, report, leave, adjust, leave, report, leave, report},
	"usual": {leave, report, adjust},
	// The last two are past a due date.
	"hard": {leave, report, adjust, report, leave, report, adjust, report, leave, report},
}

func (p *plan) draw(pick *exercises.Picker) (check, error) {
	var c check
	hard := p.exercise.Level == "hard"
	n := pick.Int(len(calls[p.exercise.Level]))
	c.call = calls[p.exercise.Level][n]
	past := hard && n >= 8
	if p.exercise.Level == "usual" {
		c.entry = entries[pick.Int(len(entries))]
		past = c.entry == pastDue
	}
	var can []ready
	for _, l := range p.loops {
		if _, ok := l.bounds[c.call]; ok {
			can = append(can, l)
		}
	}
	if len(can) == 0 {
		// No loop here has room between the two limits.
		c.call, can = leave, p.loops
	}
	c.ready = can[pick.Int(len(can))]
	c.devices = c.ready.devices
	if err := c.drawFound(pick, hard); err != nil {
		return c, err
	}
	c.drawLeft(pick)
	c.drawPage(pick, past)
	switch {
	case hard && past:
		c.verdict = void
	case c.call == report:
		c.verdict = outside
	default:
		c.verdict = inside
	}
	if hard {
		return c, c.drawPoint(pick)
	}
	return c, nil
}

// drawFound draws the errors as found: a zero and a span error, a little
// curvature, with a falling run hysteresis, shifted so that the largest has the
// size that the call wants.
func (c *check) drawFound(pick *exercises.Picker, falling bool) error {
	b := c.bounds[c.call]
	from, steep := b.from, 11
	if falling {
		// There must be a point between the ends with an error that counts.
		from, steep = max(from, 40), 8
	}
	size := pick.Between(min(from, b.to), b.to)
	if size%8 == 4 {
		size++ // not half way between two errors of two decimals
	}
	sign := 1
	if pick.Int(2) == 0 {
		sign = -1
	}
	// Without a slope all errors are alike, and few mistakes show.
	span := pick.Between(max(size/4, 8), max(size*steep/10, 9))
	if pick.Int(2) == 0 {
		span = -span
	}
	bow := pick.Between(-size/8, size/8)
	var raw [9]int // five rising, then the falling ones at 0 to 75 %
	for i := range points {
		raw[i] = span*i/4 + bow*i*(4-i)/4 + pick.Between(-3, 3)
	}
	n := len(points)
	if falling {
		h := pick.Between(14, 14+size/4)
		for i, share := range []int{2, 7, 10, 8} {
			raw[n+i] = raw[i] + h*share/10 + pick.Between(-1, 1)
		}
		n = len(raw)
	}
	most := sign * raw[0]
	for _, v := range raw[:n] {
		most = max(most, sign*v)
	}
	shift := size - most
	for i, v := range raw[:n] {
		v = sign*v + shift
		if v%8 == 4 || v%8 == -4 {
			v--
		}
		if v <= -size+3 {
			return rejectShape
		}
		raw[i] = sign * v
	}
	copy(c.found[:], raw[:5])
	c.falling = c.found
	if falling {
		copy(c.falling[:], raw[5:])
	}
	low := 0
	if c.Action == scenarios.Reverse {
		low = 4
	}
	if c.found[low] < lowest || c.falling[low] < lowest {
		for i := range points {
			c.found[i], c.falling[i] = -c.found[i], -c.falling[i]
		}
	}
	return nil
}

// drawLeft draws the errors as left: small, or now and then not small enough.
func (c *check) drawLeft(pick *exercises.Picker) {
	b := c.bounds[leave]
	size := pick.Between(13, min(b.to, 40))
	c.ends = c.call != leave && (pick.Int(2) == 0 && c.entry == badVerdict || pick.Int(8) == 0)
	if c.ends {
		tol := c.bounds[report].from
		size = pick.Between(tol, tol+16)
	}
	worst := pick.Int(5)
	for i := range points {
		v := size
		if i != worst {
			v = pick.Between(0, size*2/3)
		}
		if v%8 == 4 {
			v--
		}
		// An error beyond the lower limit is none that a transmitter could send.
		if pick.Int(2) == 0 && size < -lowest {
			v = -v
		}
		c.left[i] = v
	}
	c.struck = worst
	c.wrote = pick.Between(2, 9) * 10
	if pick.Int(2) == 0 {
		c.wrote = -c.wrote
	}
}

// drawPage draws what stands around the readings: dates, numbers, a name.
func (c *check) drawPage(pick *exercises.Picker, past bool) {
	// The first to run out decides; where an instrument shall be past its due
	// date it is the first one, which the record calls the standard.
	if past {
		c.done = c.devices[0].due.Add(pick.Between(3, 25))
	} else {
		first := c.devices[0].due
		for _, d := range c.devices {
			if d.due.Number() < first.Number() {
				first = d.due
			}
		}
		c.done = first.Add(-pick.Between(8, 140))
	}
	c.lastGood = c.done.Add(-pick.Between(60, 200))
	c.order = c.done.Add(-pick.Between(4, 18))
	c.orderNo = pick.Between(41000, 68999)
	c.tag = pick.Between(10200, 98999)
	for range c.devices {
		c.serials = append(c.serials, pick.Between(1103, 8988))
	}
	c.by = people[pick.Int(len(people))]
	c.lines = pick.Shuffle(8)
}

// drawPoint draws at which point the line ran: one with an error that counts.
func (c *check) drawPoint(pick *exercises.Picker) error {
	var can []int
	for i := 1; i < 4; i++ {
		if mean := c.found[i] + c.falling[i]; mean >= 30 || mean <= -30 {
			can = append(can, i)
		}
	}
	if len(can) == 0 {
		return rejectSmall
	}
	c.at = can[pick.Int(len(can))]
	return nil
}
