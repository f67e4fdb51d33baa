// Package adjust is the family "adjust": from readings as found, which way each
// screw is turned, what remains after a pass, and how many passes it takes
// where the span screw moves the zero.
package adjust

import (
	_ "embed"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/adjust/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "adjust",
		Purpose: "decide from readings as found how zero and span are set, and what a pass leaves",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "the screws do not act on each other"},
			{Name: "usual", Changes: "the span screw moves the zero by a share that is given"},
			{Name: "hard", Changes: "the span screw multiplies the whole output current; what to leave so that one pass is enough"},
		},
		Takes:    "loops with 4-20 mA and direct action, without a square root in the transmitter",
		MinLoops: 1,
		Fits:     fits,
	}
}

func fits(_ string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	if l.Root == scenarios.RootTransmitter {
		return "takes the square root in the transmitter, so that even points are not even for its output", false
	}
	if l.Action == scenarios.Reverse {
		return "is reverse-acting, for which this exercise has no wording yet", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "readings in mA", nil)
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e, loops: s.Loops}
	switch e.Level {
	case "usual":
		p.classes = usualClasses()
	case "hard":
		p.classes = hardClasses()
	}
	return p, nil
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []*scenarios.Loop
	classes  classes
}

// The numbers of passes, as options. What takes more than three is one class.
var (
	usualPasses = []string{"one", "two", "three", "four", "never"}
	hardPasses  = usualPasses[:4]
)

// start is a pair of screws and how far apart the errors at both ends are.
type start struct {
	share  int // of the span screw's movement that the zero follows, hundredths; not at the hard level
	spread int // error at 100 % less error at 0 %, 0.001 mA
}

// classes lists the starts by what "done" means (0 exactly, 1 as read), by the
// way of the span (0 too high, 1 too low), and by the option.
type classes [2][2]map[string][]start

// limits are how far an error may be off for "done", in fractions of span:
// 0.1 %, exactly, and what a meter that shows tenths of a percent rounds to
// 0.1 % or less.
var limits = [2]float64{0.001, 0.0015}

// margin keeps what remains after each pass clear of the limit, so that a
// rounded carry cannot turn a count.
const margin = 1.08

// classOf gives the option for a start, or false where it lies too near to a
// limit for a clear count.
func classOf(s loop.Screws, spread int, read int) (string, bool) {
	e := float64(spread) / microSpan
	n, ends := s.Passes(0, e, limits[read]/margin)
	m, ends2 := s.Passes(0, e, limits[read]*margin)
	switch {
	case !ends && !ends2:
		return "never", true
	case n != m || !ends || !ends2:
		return "", false
	}
	return hardPasses[min(max(n, 1), 4)-1], true
}

const (
	// microSpan is the span in steps of 0.001 mA, in which readings are drawn.
	microSpan = 16000
	// tenth is a tenth of a percent of span in such steps. At the levels with
	// five points errors are whole tenths, so that every reading is exact.
	tenth = microSpan / 1000
	// leastSpread and mostSpread bound the span error: less shows too little,
	// and far more upwards no transmitter can send.
	leastSpread, mostSpread = 4 * tenth, 18 * tenth
)

func newClasses() classes {
	var c classes
	for i := range c {
		for j := range c[i] {
			c[i][j] = map[string][]start{}
		}
	}
	return c
}

func (c *classes) add(s loop.Screws, st start) {
	low := 0
	if st.spread < 0 {
		low = 1
	}
	for read := range limits {
		if option, ok := classOf(s, st.spread, read); ok {
			c[read][low][option] = append(c[read][low][option], st)
		}
	}
}

func usualClasses() classes {
	c := newClasses()
	for _, share := range []int{5, 8, 10, 12, 15, 20, 25, 30, 35, 40, 50, 60, 70, 80, 100, 110, 120, 125, 150} {
		for spread := -40 * tenth; spread <= mostSpread; spread += tenth {
			if max(spread, -spread) >= leastSpread {
				c.add(loop.Screws{SpanOnZero: float64(share) / 100}, start{share, spread})
			}
		}
	}
	return c
}

// hardClasses are for a gain that turns about 0 mA, a quarter of the span below
// the live zero.
func hardClasses() classes {
	c := newClasses()
	for spread := -220 * tenth; spread <= mostSpread; spread++ {
		if max(spread, -spread) >= leastSpread {
			c.add(loop.Screws{Pivot: 0.25}, start{spread: spread})
		}
	}
	return c
}
