package secondroad

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// glance is how an apprentice reads a needle, in divisions.
type glance func(marks, perDiv int) float64

func rightly(marks, perDiv int) float64 { return float64(marks) / float64(perDiv) }

func marksAsDivisions(marks, perDiv int) float64 { return float64(marks) }

// marksAsTenths sees the numbers of the divisions rightly and takes each small
// mark beyond the last of them for a tenth: "2 and 3 marks" becomes 2.3.
func marksAsTenths(marks, perDiv int) float64 {
	d := math.Abs(float64(marks))
	whole := math.Floor(d / float64(perDiv))
	return math.Copysign(whole+(d-whole*float64(perDiv))/10, float64(marks))
}

// reading makes an apprentice of one slip in a part with one needle. div is
// the true deflection in divisions, err the error in percent of span.
func reading(wrong func(b bench, div, err float64) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		b, err := s.seeBench()
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: {number: wrong(b, b.off()/b.mark/float64(b.perDiv), percent(b.off()))}}, nil
	}
}

func (b bench) perDivision() float64 { return percent(b.mark) * float64(b.perDiv) }

// spanOf is the span of the signal that is asked about, and its live zero.
func (b bench) spanAndZero() (span, zero float64) {
	if b.volts {
		return 4, 1
	}
	return 16, 4
}

// at is the output at a percentage of span.
func (b bench) at(percent float64) float64 {
	span, zero := b.spanAndZero()
	return zero + percent/100*span
}

// inUnit turns an error in percent of span into the unit of the signal.
func (b bench) inUnit(percent float64) float64 {
	span, _ := b.spanAndZero()
	return percent * span / 100
}

// says makes an apprentice who marks one option.
func says(choose func(s sheet) (string, error)) apprentice {
	return func(s sheet, p part) (replies, error) {
		words, err := choose(s)
		if err != nil {
			return nil, err
		}
		r, err := p.choose(words)
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: r}, nil
	}
}

func always(words string) apprentice {
	return says(func(sheet) (string, error) { return words, nil })
}

// judges makes an apprentice who compares something else with the tolerance.
func judges(compare func(b bench) float64) apprentice {
	return says(func(s sheet) (string, error) {
		b, err := s.seeBench()
		if err != nil {
			return "", err
		}
		if compare(b) <= b.tol+1e-9 {
			return chooseWithin, nil
		}
		return chooseOutside, nil
	})
}

// needleSlips are those of a part with one reading, by the task of the part and
// the id of the slip.
var needleSlips = map[string]apprentice{
	"direction/direction-swapped": says(func(s sheet) (string, error) {
		b, err := s.seeBench()
		if b.off() < 0 {
			return "higher than it should be", err
		}
		return "lower than it should be", err
	}),

	"next/needle-with-ring": nextTo(func(b bench, p part) string { return b.nextPoint(p, -1) }),
	"next/needle-unmoved":   nextTo(func(b bench, p part) string { return b.nextPoint(p, 0) }),
	"next/stop-not-seen": nextTo(func(b bench, p part) string {
		return strings.NewReplacer("on its left stop", "left of the centre, on the scale", "on its right stop", "right of the centre, on the scale").Replace(b.nextPoint(p, 1))
	}),
	"next/stop-by-habit": nextTo(func(b bench, p part) string {
		if strings.Contains(p.prompt, "click the ring back") {
			return "on its right stop"
		}
		return "on its left stop"
	}),
	"next/stop-wrong-side": nextTo(func(b bench, p part) string {
		if strings.Contains(p.prompt, "click the ring back") {
			return "on its left stop"
		}
		return "on its right stop"
	}),
	"next/side-swapped": nextTo(func(b bench, p part) string {
		if strings.Contains(p.prompt, "click the ring back") {
			return "left of the centre, on the scale"
		}
		return "right of the centre, on the scale"
	}),
	"ring/ring-wrong-way": says(func(s sheet) (string, error) {
		b, err := s.seeBench()
		if b.off() < 0 {
			return "to higher points", err
		}
		return "to lower points", err
	}),

	"divisions/sign":               reading(func(b bench, div, err float64) float64 { return -div }),
	"divisions/marks-as-divisions": reading(func(b bench, div, err float64) float64 { return b.seen(marksAsDivisions) }),
	"divisions/marks-as-tenths":    reading(func(b bench, div, err float64) float64 { return b.seen(marksAsTenths) }),
	"divisions/from-the-end": reading(func(b bench, div, err float64) float64 {
		// The needle is counted from the end that it is nearest to, and what it
		// shows at rest is taken off as it should be.
		n := rightly(b.read, b.perDiv)
		return math.Copysign(10-math.Abs(n), n) - rightly(b.rest, b.perDiv)
	}),
	"divisions/rest-left-in": reading(func(b bench, div, err float64) float64 { return rightly(b.read, b.perDiv) }),
	"divisions/rest-added": reading(func(b bench, div, err float64) float64 {
		return rightly(b.read, b.perDiv) + rightly(b.rest, b.perDiv)
	}),

	"error/sign":                 reading(func(b bench, div, err float64) float64 { return -err }),
	"error/divisions-as-percent": reading(func(b bench, div, err float64) float64 { return div }),
	"error/error-in-signal":      reading(func(b bench, div, err float64) float64 { return b.inUnit(err) }),
	"error/marks-for-percent":    reading(func(b bench, div, err float64) float64 { return 5 * err }),

	"output/error-wrong-way":     reading(func(b bench, div, err float64) float64 { return b.at(float64(b.ring) - err) }),
	"output/live-zero-forgotten": reading(func(b bench, div, err float64) float64 { _, z := b.spanAndZero(); return b.at(float64(b.ring)+err) - z }),
	"output/percent-as-signal":   reading(func(b bench, div, err float64) float64 { return b.at(float64(b.ring)) + err }),
	"output/divisions-for-percent-out": reading(func(b bench, div, err float64) float64 {
		return b.at(float64(b.ring) + div)
	}),

	"verdict/sign-compared": judges(func(b bench) float64 { return percent(b.off()) }),
	"verdict/divisions-compared": judges(func(b bench) float64 {
		return math.Abs(b.off() / b.mark / float64(b.perDiv))
	}),
	"verdict/verdict-turned": func(s sheet, p part) (replies, error) {
		mine, err := s.work()
		if err != nil {
			return nil, err
		}
		id := p.boxes[0].id
		for _, o := range p.boxes[0].options {
			if o.value != mine[id].option {
				return replies{id: {option: o.value}}, nil
			}
		}
		return nil, fmt.Errorf("there is no other verdict")
	},
	"verdict/signal-compared": judges(func(b bench) float64 { return math.Abs(b.inUnit(percent(b.off()))) }),

	"limit/sign":            reading(func(b bench, div, err float64) float64 { return -err }),
	"limit/stop-divisions":  reading(func(b bench, div, err float64) float64 { return div }),
	"limit/error-in-signal": reading(func(b bench, div, err float64) float64 { return b.inUnit(err) }),
	"limit/rest-left-in": reading(func(b bench, div, err float64) float64 {
		return rightly(b.read, b.perDiv) * b.perDivision()
	}),
	"limit/rest-added": reading(func(b bench, div, err float64) float64 {
		return (rightly(b.read, b.perDiv) + rightly(b.rest, b.perDiv)) * b.perDivision()
	}),
}

func (b bench) seen(g glance) float64 { return g(b.read, b.perDiv) - g(b.rest, b.perDiv) }

func init() {
	for _, id := range []string{"error-wrong-way", "live-zero-forgotten", "percent-as-signal", "divisions-for-percent-out"} {
		needleSlips["limit output/"+id] = needleSlips["output/"+id]
	}
}

// filling makes an apprentice who fills the table with an error of his own at
// each point, and the outputs that follow from it.
func filling(wrong func(c check, i int) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		c, err := s.seeCheck()
		if err != nil {
			return nil, err
		}
		out := replies{}
		for i, st := range s.stations {
			e, box := wrong(c, i), st.boxes["Error found"]
			if !strings.HasPrefix(box.id, p.label) {
				continue // of the other run
			}
			out[box.id] = reply{number: e}
			if o := st.boxes["Output found"]; o != nil {
				out[o.id] = reply{number: c.points[i].right + e/100*16}
			}
		}
		return out, nil
	}
}

func (c check) err(i int) float64    { return percent(c.off(i)) }
func (c check) perDivision() float64 { return percent(c.mark) * float64(c.perDiv) }
func (c check) seen(i int, g glance) float64 {
	return (g(c.points[i].read, c.perDiv) - g(c.rest, c.perDiv)) * c.perDivision()
}

// farthest is the largest size of an error at a point of the rising run or at
// the same input of the falling one.
func (c check) farthest(i int) float64 {
	out := math.Abs(c.off(i))
	if back := 8 - i; back < len(c.points) {
		out = max(out, math.Abs(c.off(back)))
	}
	return out
}

// nextTo makes an apprentice who says where the needle goes at the next point.
func nextTo(where func(b bench, p part) string) apprentice {
	return func(s sheet, p part) (replies, error) {
		b, err := s.seeBench()
		if err != nil {
			return nil, err
		}
		r, err := p.choose(where(b, p))
		return replies{p.boxes[0].id: r}, err
	}
}

// gapped makes an apprentice of one slip about hysteresis.
func gapped(wrong func(c check) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		c, err := s.seeCheck()
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: {number: wrong(c)}}, nil
	}
}

func init() {
	for _, id := range []string{"sign", "marks-as-divisions", "divisions-as-percent", "rest-left-in", "rest-added"} {
		checkSlips["falling/"+id] = checkSlips["table/"+id]
	}
}

// twoErrors makes an apprentice of one slip about zero and span error.
func twoErrors(wrong func(c check) (zero, span float64)) apprentice {
	return func(s sheet, p part) (replies, error) {
		c, err := s.seeCheck()
		if err != nil {
			return nil, err
		}
		z, sp := wrong(c)
		out := replies{}
		for _, b := range p.boxes {
			out[b.id] = reply{number: map[string]float64{"zero error": z, "span error": sp}[b.row]}
		}
		return out, nil
	}
}

// deciding makes an apprentice who decides by what the check shows.
func deciding(f func(c check) (string, error)) apprentice {
	return says(func(s sheet) (string, error) {
		c, err := s.seeCheck()
		if err != nil {
			return "", err
		}
		return f(c)
	})
}

// pick gives the point with the highest rank; the first of equals.
func pick(rank func(e float64) float64) apprentice {
	return deciding(func(c check) (string, error) {
		best := 0
		for i := range c.points {
			if rank(c.err(i)) > rank(c.err(best))+1e-9 {
				best = i
			}
		}
		return atPoint(c.points[best].percent), nil
	})
}

// comparing makes an apprentice who compares one figure with the tolerance.
func comparing(figure func(c check) float64) apprentice {
	return deciding(func(c check) (string, error) {
		if figure(c) <= c.tol+1e-9 {
			return chooseWithin, nil
		}
		return chooseOutside, nil
	})
}

// blind does the part without a look at the cell.
func blind(p part, c check) ([]string, error) {
	size, _ := c.worst()
	if p.checkTask() == "verdict" {
		out, err := c.beyond(size, c.tol)
		return []string{map[bool]string{true: chooseOutside, false: chooseWithin}[out]}, err
	}
	// What is done first with such readings depends on who does it: every
	// step but changing the cell.
	return []string{chooseLeave, "raise the zero", "lower the zero", "raise the span", "lower the span"}, nil
}

var checkSlips = map[string]apprentice{
	"table/sign":               filling(func(c check, i int) float64 { return -c.err(i) }),
	"table/marks-as-divisions": filling(func(c check, i int) float64 { return c.seen(i, marksAsDivisions) }),
	"table/divisions-as-percent": filling(func(c check, i int) float64 {
		return rightly(c.points[i].read, c.perDiv) - rightly(c.rest, c.perDiv)
	}),
	"table/marks-as-tenths": filling(func(c check, i int) float64 { return c.seen(i, marksAsTenths) }),
	"table/rest-left-in":    filling(func(c check, i int) float64 { return rightly(c.points[i].read, c.perDiv) * c.perDivision() }),
	"table/rest-added": filling(func(c check, i int) float64 {
		return (rightly(c.points[i].read, c.perDiv) + rightly(c.rest, c.perDiv)) * c.perDivision()
	}),
	"table/output-wrong-way": func(s sheet, p part) (replies, error) {
		c, err := s.seeCheck()
		if err != nil {
			return nil, err
		}
		out := replies{}
		for i, st := range s.stations[:5] {
			out[st.boxes["Output found"].id] = reply{number: c.points[i].right - c.err(i)/100*16}
		}
		return out, nil
	},

	"worst/highest-signed": pick(func(e float64) float64 { return e }),
	"worst/lowest-signed":  pick(func(e float64) float64 { return -e }),
	"worst/smallest": deciding(func(c check) (string, error) {
		best := 0
		for i := range 5 {
			if c.farthest(i) < c.farthest(best)-1e-9 {
				best = i
			}
		}
		return atPoint(c.points[best].percent), nil
	}),
	"worst/alike-unequal":   always(chooseAlike),
	"worst/last-by-habit":   always(atPoint(100)),
	"worst/first-by-habit":  always(atPoint(0)),
	"worst/middle-by-habit": always(atPoint(50)),
	"worst/runner-up": deciding(func(c check) (string, error) {
		_, at := c.worst()
		second, size := 0, -1.0
		for i, p := range c.points {
			if v := math.Abs(c.off(i)); p.percent != at[0] && (v > size+1e-9 || v > size-1e-9 && p.percent < c.points[second].percent) {
				second, size = i, v
			}
		}
		return atPoint(c.points[second].percent), nil
	}),
	"hysteresis/gap-turned":        gapped(func(c check) float64 { return -slices.Max(c.gaps()) }),
	"hysteresis/gaps-added":        gapped(func(c check) float64 { g := c.gaps(); return g[0] + g[1] + g[2] + g[3] }),
	"hysteresis/gap-times-five":    gapped(func(c check) float64 { return 5 * slices.Max(c.gaps()) }),
	"hysteresis/gap-halved":        gapped(func(c check) float64 { return slices.Max(c.gaps()) / 2 }),
	"hysteresis/gap-largest-error": gapped(func(c check) float64 { size, _ := c.worst(); return percent(size) }),

	"verdict/cell-misread": always(chooseVoid),
	"verdict/sign-compared": comparing(func(c check) float64 {
		high := c.err(0)
		for i := range c.points {
			high = max(high, c.err(i))
		}
		return high
	}),
	"verdict/cell-and-size": deciding(func(c check) (string, error) {
		size, _ := c.worst()
		out, err := c.beyond(size, c.tol)
		return map[bool]string{false: chooseOutside, true: chooseWithin}[out], err
	}),
	"verdict/zero-compared": comparing(func(c check) float64 { return math.Abs(c.err(0)) }),
	"verdict/mean-compared": comparing(func(c check) float64 {
		sum := 0.0
		for i := range c.points {
			sum += c.err(i)
		}
		return math.Abs(sum) / float64(len(c.points))
	}),
	"verdict/verdict-turned": func(s sheet, p part) (replies, error) {
		c, err := s.seeCheck()
		if err != nil {
			return nil, err
		}
		r, err := c.verdict(p)
		if err != nil {
			return nil, err
		}
		within, err := p.choose(chooseWithin)
		if err != nil {
			return nil, err
		}
		if r == within {
			r, err = p.choose(chooseOutside)
		} else {
			r = within
		}
		return replies{p.boxes[0].id: r}, err
	},

	"zero and span/zero-span-swapped": twoErrors(func(c check) (float64, float64) { return c.err(4) - c.err(0), c.err(0) }),
	"zero and span/span-as-sum":       twoErrors(func(c check) (float64, float64) { return c.err(0), c.err(4) }),
	"zero and span/span-turned":       twoErrors(func(c check) (float64, float64) { return c.err(0), c.err(0) - c.err(4) }),
	"zero and span/both-signs":        twoErrors(func(c check) (float64, float64) { return -c.err(0), c.err(0) - c.err(4) }),
	"zero and span/zero-mid-scale":    twoErrors(func(c check) (float64, float64) { return c.err(2), c.err(4) - c.err(0) }),

	"first/cell-misread": always(chooseCell),
	"first/left-alone":   always(chooseLeave),
	"first/wrong-way":    deciding(func(c check) (string, error) { return c.screw(true, true) }),
	"first/span-first":   deciding(func(c check) (string, error) { return c.screw(false, false) }),
	"first/zero-first":   deciding(func(c check) (string, error) { return c.screw(false, false) }),
	"first/wrong-screw-and-way": deciding(func(c check) (string, error) {
		return c.screw(false, true)
	}),
}

// screw names a step: the due screw or the other one, turned the way that the
// reading asks for or the wrong way. The zero goes by the reading at 0 %, or,
// if that is right, by what is off at all; the span by the one at 100 %.
func (c check) screw(due, wrongWay bool) (string, error) {
	name := "zero"
	if (c.points[0].read == c.rest) == due {
		name = "span"
	}
	off := c.off(4)
	if name == "zero" && c.off(0) != 0 {
		off = c.off(0)
	}
	if off == 0 {
		return "", fmt.Errorf("no way to turn the %s", name)
	}
	if wrongWay {
		off = -off
	}
	return turn(name, off), nil
}
