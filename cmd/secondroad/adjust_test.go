package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
)

// The road of "adjust": a transmitter of our own whose screws are turned, as
// somebody would at the bench, until an ammeter shows what it should; nothing
// is solved for. Passes are counted by doing them.
var adjustRoad = &road{
	family:  "adjust",
	knows:   func(s sheet) bool { return len(s.parts) > 0 && s.parts[0].adjustTask() == "ways" },
	task:    func(p part) string { return p.adjustTask() },
	slips:   adjustSlips,
	several: adjustSeveral,
}

func init() {
	adjustRoad.work = sheet.workAdjust
	roads = append(roads, adjustRoad)
}

func TestAdjust(t *testing.T) { adjustRoad.travel(t, plantFiles(adjustRoad.family, widePlant, 2)) }

func (p part) adjustTask() string {
	for _, c := range []struct{ words, task string }{
		{"The zero is set at 0 % first, and then the span at 100 %. Which way do the screws", "ways"},
		{"The zero has been set, and nothing else. What is the error at 100 %", "spread"},
		{"And at ", "part-way"},
		{"Somebody does it the other way round", "span-first"},
		{"What is the error at 0 % after the first pass", "once"},
		{"The zero has been set, and nothing else. Which current flows at 100 %?", "top"},
		{"Then the span has been set as well", "bottom"},
		{"The job is done when at both ends", "passes"},
		{"The zero has been set once. Where do you leave the current", "leave"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// screwed is a transmitter with its two screws: what it sends at a point, in
// mA, with both screws turned by so much.
type screwed struct {
	found map[int]float64 // by percent
	send  func(at, zero, span float64) float64
	share float64 // of the usual level, for the slips alone
	hard  bool
}

var (
	foundWord = regexp.MustCompile(`^(\d+) %$`)
	shareWord = regexp.MustCompile(`by (\S+) % of span for each 1 % of span at 100 %\.`)
	atPercent = regexp.MustCompile(`And at (\d+) %`)
)

func (s sheet) seeScrews() (*screwed, error) {
	c := &screwed{found: map[int]float64{}}
	if len(s.tables) != 1 || strings.Join(s.tables[0].heads, "|") != "Point|Put in|Right output|As found" {
		return nil, fmt.Errorf("no table of what was found")
	}
	for _, row := range s.tables[0].rows {
		m := foundWord.FindStringSubmatch(row[0])
		if m == nil {
			return nil, fmt.Errorf("a point called %q", row[0])
		}
		var x int
		fmt.Sscan(m[1], &x)
		right, u1, err := quantity(row[2])
		if err != nil {
			return nil, err
		}
		got, u2, err := quantity(row[3])
		if err != nil {
			return nil, err
		}
		if u1 != "mA" || u2 != "mA" || math.Abs(right-mix(4, 20, float64(x)/100)) > 1e-9 {
			return nil, fmt.Errorf("a right output of %q at %d %%", row[2], x)
		}
		c.found[x] = got
	}
	bottom, top := c.found[0], c.found[100]
	// What the transmitter sends before a screw is touched is a line through
	// the readings; points between must lie on it.
	for x, got := range c.found {
		if math.Abs(got-mix(bottom, top, float64(x)/100)) > 0.0005 {
			return nil, fmt.Errorf("the reading at %d %% is not on the line", x)
		}
	}
	switch {
	case strings.Contains(s.intro, "The span screw moves the output in proportion to the point: it leaves 0 % where it is."):
		c.send = func(at, zero, span float64) float64 { return mix(bottom, top, at) + zero + span*at }
	case strings.Contains(s.intro, "The span screw multiplies the whole output current, at 0 % as at 100 %."):
		c.hard = true
		c.send = func(at, zero, span float64) float64 { return (mix(bottom, top, at) + zero) * math.Exp(span/20) }
	default:
		m := shareWord.FindStringSubmatch(s.intro)
		if m == nil {
			return nil, fmt.Errorf("nothing says what the span screw does")
		}
		share, err := number(m[1])
		if err != nil {
			return nil, err
		}
		c.share = share
		c.send = func(at, zero, span float64) float64 { return mix(bottom, top, at) + zero + span*mix(share, 1, at) }
	}
	return c, nil
}

// twist turns a screw until f is nothing; f rises with it.
func twist(f func(by float64) float64) float64 {
	a, b := -20.0, 20.0
	for range 60 {
		m := (a + b) / 2
		if f(m) < 0 {
			a = m
		} else {
			b = m
		}
	}
	return (a + b) / 2
}

func inPercent(milliamp float64) float64 { return milliamp / (20 - 4) * 100 }

// setZero turns the zero screw, from zero on, until 4 mA flow at 0 %; setSpan
// the span screw until target flows at 100 %.
func (c *screwed) setZero(zero, span float64) float64 {
	return zero + twist(func(by float64) float64 { return c.send(0, zero+by, span) - 4 })
}

func (c *screwed) setSpan(zero, span, target float64) float64 {
	return span + twist(func(by float64) float64 { return c.send(1, zero, span+by) - target })
}

// passes counts passes until both ends are within the limit; -1 where thirty
// do not do it.
func (c *screwed) passes(within func(err float64) bool) int {
	zero, span := 0.0, 0.0
	for n := 1; n <= 30; n++ {
		zero = c.setZero(zero, span)
		span = c.setSpan(zero, span, 20)
		if within(inPercent(c.send(0, zero, span)-4)) && within(inPercent(c.send(1, zero, span)-20)) {
			return n
		}
	}
	return -1
}

// asked reads what "done" means.
func withinOf(prompt string) (func(err float64) bool, error) {
	switch {
	case strings.Contains(prompt, "at most 0.1 % of span, exactly, however finely it is read"):
		return func(err float64) bool { return math.Abs(err) <= 0.1 }, nil
	case strings.Contains(prompt, "at most 0.1 % of span as read on a meter that shows whole tenths of a percent"):
		return func(err float64) bool { return math.Round(math.Abs(err)*10) <= 1 }, nil
	}
	return nil, fmt.Errorf("nothing says when the job is done: %q", prompt)
}

// passWords is the option that a count stands for.
func passWords(n int) string {
	switch {
	case n < 0:
		return "it never ends"
	case n > 3:
		return "four or more"
	}
	return counts[n+0]
}

func (s sheet) workAdjust() (replies, error) {
	c, err := s.seeScrews()
	if err != nil {
		return nil, err
	}
	out := replies{}
	zero := c.setZero(0, 0)
	span := c.setSpan(zero, 0, 20)
	for _, p := range s.parts {
		var r reply
		if want := map[string]string{"spread": "% of span", "part-way": "% of span", "span-first": "% of span", "once": "% of span",
			"top": "mA", "bottom": "mA", "leave": "mA"}[p.adjustTask()]; p.boxes[0].unit != want {
			return nil, fmt.Errorf("(%s) is in %q, not in %q", p.label, p.boxes[0].unit, want)
		}
		switch p.adjustTask() {
		case "ways":
			r, err = p.choose(wayWords(zero, span))
		case "spread":
			r.number = inPercent(c.send(1, zero, 0) - 20)
		case "part-way":
			var x float64
			fmt.Sscan(atPercent.FindStringSubmatch(p.prompt)[1], &x)
			r.number = inPercent(c.send(x/100, zero, 0) - mix(4, 20, x/100))
		case "span-first":
			first := c.setSpan(0, 0, 20)
			after := c.setZero(0, first)
			r.number = inPercent(c.send(1, after, first) - 20)
		case "once":
			r.number = inPercent(c.send(0, zero, span) - 4)
		case "top":
			r.number = c.send(1, zero, 0)
		case "bottom":
			r.number = c.send(0, zero, span)
		case "passes":
			var within func(float64) bool
			if within, err = withinOf(p.prompt); err == nil {
				r, err = p.choose(passWords(c.passes(within)))
			}
		case "leave":
			// The place of the top from which setting the zero ends right at
			// both ends.
			r.number = twist(func(by float64) float64 {
				span := c.setSpan(zero, 0, 20+by)
				return c.send(1, c.setZero(zero, span), span) - 20
			}) + 20
		default:
			err = fmt.Errorf("(%s) asks for nothing known: %q", p.label, p.prompt)
		}
		if err != nil {
			return nil, err
		}
		out[p.boxes[0].id] = r
	}
	return out, nil
}

func wayWords(zero, span float64) string {
	way := func(by float64) string {
		if by > 0 {
			return "up"
		}
		return "down"
	}
	return "the zero " + way(zero) + ", then the span " + way(span)
}
