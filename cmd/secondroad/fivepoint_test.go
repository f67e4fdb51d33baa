package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
)

var adjustLimit = regexp.MustCompile(`the site adjusts when the worst point is off by more than (\d+(?:\.\d+)?) % of span`)

// check is what the page of a five-point check shows.
type check struct {
	rest        int
	cell, line  int // needle and line at Cell, small marks
	mark        float64
	perDiv      int
	points      []point5
	tol, adjust float64 // percent of span
}

type point5 struct {
	percent int
	read    int // small marks
	right   float64
}

// off is by how many volts the output is off at a point.
func (c check) off(i int) float64 { return float64(c.points[i].read-c.rest) * c.mark }

// cellFails: what the needle shows at Cell, less where it rests, is short of
// the line.
func (c check) cellFails() bool { return c.line != 0 && c.cell-c.rest < c.line }

func (s sheet) seeCheck() (check, error) { return recall(&s.memo.check, s.seeCheckAnew) }

func (s sheet) seeCheckAnew() (c check, err error) {
	var cell *seenFace
	for i := range s.faces {
		f := &s.faces[i]
		switch f.lever {
		case "Rest":
			c.rest = f.marks
			if f.stop != 0 {
				return c, fmt.Errorf("a needle that rests on its stop")
			}
		case "Cell":
			cell = f
		default:
			return c, fmt.Errorf("the lever stands at %q before the readings", f.lever)
		}
	}
	switch {
	case cell != nil:
		c.cell, c.line = cell.marks, cell.cell
	case !strings.Contains(s.intro, "with the lever at Cell it stood well past its line."):
		return c, fmt.Errorf("no cell check")
	}
	restKnown := len(s.faces) == 2 || strings.Contains(s.intro, "With the trigger released the needle rests at the centre")
	if !restKnown {
		return c, fmt.Errorf("nothing says where the needle rests")
	}
	if !strings.Contains(s.intro, "The checker stands at Current, in series at the transmitter.") {
		return c, fmt.Errorf("the introduction does not say where the checker is")
	}
	for _, r := range []struct {
		re *regexp.Regexp
		to *float64
	}{{tolerance, &c.tol}, {adjustLimit, &c.adjust}} {
		m := r.re.FindStringSubmatch(s.intro)
		if m == nil {
			return c, fmt.Errorf("the introduction does not give %v", r.re)
		}
		if *r.to, err = number(m[1]); err != nil {
			return c, err
		}
	}
	if c.adjust > c.tol {
		return c, fmt.Errorf("an adjust limit wider than the tolerance")
	}
	for _, st := range s.stations {
		var p point5
		if st.face.stop != 0 {
			return c, fmt.Errorf("a needle on its stop in a table")
		}
		if st.face.lever != "Current" {
			return c, fmt.Errorf("the lever stands at %q in a table", st.face.lever)
		}
		if n, err := fmt.Sscanf(st.facts["Input, % of range"], "%d %%", &p.percent); n != 1 {
			return c, err
		}
		if st.face.ring != p.percent {
			return c, fmt.Errorf("the ring stands at %d where %d is put in", st.face.ring, p.percent)
		}
		right, unit, err := quantity(st.facts["Right output"])
		if falling := len(c.points) >= 5; falling && st.facts["Right output"] == "" {
			right, unit, err = c.points[8-len(c.points)].right, "mA", nil // as at the same input, rising
		}
		if err != nil || unit != "mA" {
			return c, fmt.Errorf("a right output of %q", st.facts["Right output"])
		}
		if v := reference(p.percent) / resistor * 1000; math.Abs(v-right) > 1e-9 {
			return c, fmt.Errorf("at %d %% the right output is given as %v mA", p.percent, right)
		}
		p.right, p.read, c.perDiv = right, st.face.marks, st.face.scale.perDiv
		if c.mark, err = s.voltsPerMark(st.face); err != nil {
			return c, err
		}
		c.points = append(c.points, p)
	}
	runs := []int{0, 25, 50, 75, 100}
	if len(c.points) > len(runs) {
		runs = append(runs, 75, 50, 25, 0)
		if !strings.Contains(s.intro, "first rising to 100 % of range, then falling back to 0 % of range") {
			return c, fmt.Errorf("nothing says that the input falls")
		}
	}
	for i, want := range runs {
		if len(c.points) != len(runs) || c.points[i].percent != want {
			return c, fmt.Errorf("the points are not %v %%", runs)
		}
	}
	return c, nil
}

// worst is the largest size, in volts, and the inputs that have it, in percent.
func (c check) worst() (size float64, at []int) {
	for i := range c.points {
		v, x := math.Abs(c.off(i)), c.points[i].percent
		switch {
		case v > size+1e-9:
			size, at = v, []int{x}
		case v > size-1e-9 && !slices.Contains(at, x):
			at = append(at, x)
		}
	}
	return size, at
}

// gaps lists by how many percent of span the falling run stands above the
// rising one at 0, 25, 50 and 75 %.
func (c check) gaps() []float64 {
	var out []float64
	for i := range 4 {
		out = append(out, percent(c.off(8-i)-c.off(i)))
	}
	return out
}

// alike: all are off by the same, to the same side.
func (c check) alike() bool {
	for i := range c.points {
		if c.points[i].read != c.points[0].read {
			return false
		}
	}
	return true
}

// beyond says whether a size in volts is more than a limit in percent of span.
// Closer than half a small mark but not on it is an error: two good readers
// could then differ.
func (c check) beyond(size, limit float64) (bool, error) {
	edge := limit / 100 * (5 - 1)
	if d := math.Abs(size - edge); d > 1e-9 && d < c.mark/2 {
		return false, fmt.Errorf("a worst error of %.3f %% is too near to %v %%", percent(size), limit)
	}
	return size > edge+1e-9, nil
}

const (
	chooseLeave   = "record it and leave both screws alone"
	chooseCell    = "change the checker's cell and take all readings again"
	chooseWithin  = "yes, within"
	chooseOutside = "no, outside"
	chooseVoid    = "that cannot be said: the readings are void"
	chooseAlike   = "all five points are off alike"
)

func atPoint(percent int) string { return fmt.Sprintf("at %d %%", percent) }

// turn names the screw and the way that brings an output that is off back.
func turn(screw string, off float64) string {
	if off < 0 {
		return "raise the " + screw
	}
	return "lower the " + screw
}

// partTask says what a part of a check asks for.
func (p part) checkTask() string {
	for _, c := range []struct{ words, task string }{
		{"Fill in the error of the output at each point", "table"},
		{"The falling run of the same check.", "falling"},
		{"How large is the hysteresis: by how much does the falling run stand above the rising one", "hysteresis"},
		{"At which point is the error largest, whatever its sign?", "worst"},
		{"At which input is the error largest, whatever its sign and in whichever run?", "worst"},
		{"Is the transmitter within its tolerance", "verdict"},
		{"What do the readings give for the zero error and the span error?", "zero and span"},
		{"What do you do first?", "first"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// workCheck works a five-point check.
func (s sheet) workCheck() (replies, error) {
	c, err := s.seeCheck()
	if err != nil {
		return nil, err
	}
	out := replies{}
	for _, p := range s.parts {
		var r reply
		switch p.checkTask() {
		case "table":
			if len(p.boxes) != 10 {
				return nil, fmt.Errorf("(%s) has %d boxes", p.label, len(p.boxes))
			}
			for i, st := range s.stations[:5] {
				e, o := st.boxes["Error found"], st.boxes["Output found"]
				if e == nil || o == nil || e.unit != "% of span" || o.unit != "mA" {
					return nil, fmt.Errorf("(%s) lacks a box at %d %%", p.label, c.points[i].percent)
				}
				out[e.id] = reply{number: percent(c.off(i))}
				out[o.id] = reply{number: (reference(c.points[i].percent) + c.off(i)) / resistor * 1000}
			}
			continue
		case "falling":
			if len(p.boxes) != 4 || len(s.stations) != 9 {
				return nil, fmt.Errorf("(%s) has %d boxes", p.label, len(p.boxes))
			}
			for i, st := range s.stations[5:] {
				e := st.boxes["Error found"]
				if e == nil || e.unit != "% of span" {
					return nil, fmt.Errorf("(%s) lacks a box at %d %%", p.label, c.points[5+i].percent)
				}
				out[e.id] = reply{number: percent(c.off(5 + i))}
			}
			continue
		case "hysteresis":
			if b := p.boxes[0]; b.unit != "% of span" {
				return nil, fmt.Errorf("(%s) asks for %q", p.label, b.unit)
			}
			r = reply{number: slices.Max(c.gaps())}
		case "worst":
			_, at := c.worst()
			switch {
			case c.alike():
				r, err = p.choose(chooseAlike)
			case len(at) == 1:
				r, err = p.choose(atPoint(at[0]))
			default:
				err = fmt.Errorf("(%s): %d points are equally far off, and not all", p.label, len(at))
			}
		case "verdict":
			t := tolerance.FindStringSubmatch(p.prompt)
			if t == nil || t[1] != fmt.Sprint(c.tol) {
				return nil, fmt.Errorf("(%s) and the introduction differ in the tolerance", p.label)
			}
			r, err = c.verdict(p)
		case "zero and span":
			for _, b := range p.boxes {
				if b.unit != "% of span" {
					return nil, fmt.Errorf("(%s) asks for %s in %q", p.label, b.row, b.unit)
				}
				const last = 4
				switch b.row {
				case "zero error":
					out[b.id] = reply{number: percent(c.off(0))}
				case "span error":
					// How much further off the top is than the bottom: the
					// volts of the span as found against 4 V.
					found := reference(100) + c.off(last) - (reference(0) + c.off(0))
					out[b.id] = reply{number: found/(5-1)*100 - 100}
				default:
					return nil, fmt.Errorf("(%s) asks for %q", p.label, b.row)
				}
			}
			continue
		case "first":
			r, err = c.first(p)
		default:
			return nil, fmt.Errorf("(%s) asks for nothing known: %q", p.label, p.prompt)
		}
		if err != nil {
			return nil, err
		}
		out[p.boxes[0].id] = r
	}
	return out, nil
}

func (c check) verdict(p part) (reply, error) {
	if c.cellFails() {
		return p.choose(chooseVoid)
	}
	size, _ := c.worst()
	outside, err := c.beyond(size, c.tol)
	if err != nil {
		return reply{}, err
	}
	if outside {
		return p.choose(chooseOutside)
	}
	return p.choose(chooseWithin)
}

func (c check) first(p part) (reply, error) {
	if c.cellFails() {
		return p.choose(chooseCell)
	}
	size, _ := c.worst()
	due, err := c.beyond(size, c.adjust)
	switch {
	case err != nil:
		return reply{}, err
	case !due:
		return p.choose(chooseLeave)
	case c.points[0].read != c.rest:
		return p.choose(turn("zero", c.off(0)))
	case c.points[4].read == c.rest:
		return reply{}, fmt.Errorf("(%s): both ends are right, and something is to be adjusted", p.label)
	}
	return p.choose(turn("span", c.off(4)))
}
