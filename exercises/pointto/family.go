// Package pointto is the family "where will it point?": from a known output,
// and from how ring, lever and mechanical zero stand, to the needle; the
// needle is chosen among four drawn faces.
package pointto

import (
	_ "embed"
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/pointto/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "where-will-it-point",
		Purpose: "foretell where the needle points, from a known output and from how the checker stands",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "the output is given in mA, the checker in series, the mechanical zero right"},
			{Name: "usual", Changes: "the output may be given in volts or as an error, the mechanical zero is off, the needle may lie on its stop"},
			{Name: "hard", Changes: "across the receiver: from a current through a resistor that may have drifted, or from the value shown; and what moves the needle, or what somebody makes of it",
				Takes: "such loops with a receiver's resistor of 250 Ω; a face of 10 divisions of 5 small marks, at most 0.1 % of span each"},
		},
		Takes:    "loops with 4-20 mA, without a square root in the transmitter; a face of 10 divisions of 5 small marks, at most 0.1 % of span each",
		MinLoops: 1,
		Fits:     fits,
	}
}

// fits leaves out loops whose signal is 1-5 V: in series with 250 Ω the
// movement makes one division of 20 mV (see scenarios/loop, HealthyChecker),
// while across a source of volts without that resistance it would swing a
// quarter farther, and no scale is drawn for that.
func fits(level string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	if l.Root == scenarios.RootTransmitter {
		return "takes the square root in the transmitter, so that its output is not in proportion to its input", false
	}
	if level == "hard" && l.Params.Receiver.ShuntOhm != nominalOhm {
		return fmt.Sprintf("has a receiver whose resistor should not have %d Ω", nominalOhm), false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "a known output", nil)
	ds = append(ds, nullbalance.ScreenFace(e)...)
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e}
	for _, l := range s.Loops {
		p.loops = append(p.loops, prepareLoop(l, e.Plant.Checker.Face))
	}
	return p, nil
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []prepared
}

// prepared is a loop with what is worked out once a course.
type prepared struct {
	loop *scenarios.Loop
	// step is the least number of small marks for which the value shown is a
	// decimal of at most three places; 0 where there is none.
	step int
	// judged lists, by what the needle says and by what is true (both: outside
	// the tolerance or not), the movements and rests that show it clearly.
	judged [2][2][]moveRest
}

// moveRest is how far the output moves the needle and where it rests, in
// small marks.
type moveRest struct{ moved, rest int }

const (
	// nominalOhm is what a receiver's resistor should have.
	nominalOhm = 250
	// leastRest and mostRest bound a mechanical zero that is off.
	leastRest, mostRest = 2, 10
	// leastMoved keeps the wrong faces apart from the right one.
	leastMoved = 6
	// mostShown is the last mark at which a needle is drawn free: nearer to
	// the stop nobody could tell it from one that lies on it.
	mostShown = 48
	// shownPlaces is the most decimals that a receiver shows.
	shownPlaces = 3
)

func prepareLoop(l *scenarios.Loop, f scenarios.Face) prepared {
	p := prepared{loop: l}
	if l.Root == scenarios.NoRoot {
		perMark := l.Shows.Span().Mul(f.PerSmallMark).Div(formula.Int(100))
		for _, step := range []int{1, 2, 4, 5, 10} {
			if k, exact := perMark.Mul(formula.Int(int64(step))).Places(shownPlaces); exact && k <= shownPlaces {
				p.step = step
				break
			}
		}
	}
	if p.step == 0 {
		return p
	}
	limit := nullbalance.Marks(f, l.Tolerance)
	clear := func(n int) (outside, ok bool) {
		n = max(n, -n)
		return n > limit, n <= limit-nullbalance.Clear || n >= limit+nullbalance.Clear
	}
	for moved := -40; moved <= 40; moved++ {
		for rest := -mostRest; rest <= mostRest; rest++ {
			n := moved + rest
			if moved%p.step != 0 || max(moved, -moved) < 4 || max(rest, -rest) < leastRest || max(n, -n) > mostShown || max(n, -n) < 2 {
				continue
			}
			truth, ok := clear(moved)
			seems, ok2 := clear(n)
			if ok && ok2 {
				p.judged[index(seems)][index(truth)] = append(p.judged[index(seems)][index(truth)], moveRest{moved, rest})
			}
		}
	}
	for _, row := range p.judged {
		for _, list := range row {
			if len(list) == 0 {
				p.step = 0 // a tolerance at which some verdict cannot be drawn
			}
		}
	}
	return p
}

func index(b bool) int {
	if b {
		return 1
	}
	return 0
}
