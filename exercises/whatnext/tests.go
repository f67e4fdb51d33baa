package whatnext

import (
	"math"

	"loopdrill/scenarios/loop"
)

// test is something that can be done at the loop, one reading, and what is told
// apart of it.
type test struct {
	id      string // names its entries "test.ID" and "short.ID"
	reading loop.Reading
	kind    *kind
}

// kind is what is told apart on an instrument. The words of an outcome stand
// under "seen.OUTCOME", those of the limits under "told.KIND".
type kind struct {
	id       string
	outcomes []string // rising
	// cuts lie between the outcomes, in the unit of the reading; with about
	// they are counted from what the sound loop shows.
	cuts  []float64
	about bool
	// asked is how often each outcome is wanted where one is asked for, so that
	// what many faults show is not right too often.
	asked []int
}

// What is told apart. A needle within half a small mark of centre or stop is
// read as standing there; a voltmeter is not read finer than the question needs.
// FitsFace holds the face to 10 divisions of 5 small marks.
var (
	onNeedle   = &kind{id: "needle", outcomes: []string{"left-stop", "left", "centre", "right", "right-stop"}, cuts: []float64{-9.9, -0.1, 0.1, 9.9}, asked: []int{3, 2, 2, 3, 3}}
	onCell     = &kind{id: "cell", outcomes: []string{"short", "past"}, cuts: []float64{4}, asked: []int{2, 1}}
	ofVolts    = &kind{id: "volts", outcomes: []string{"low", "good"}, cuts: []float64{-1}, about: true, asked: []int{3, 2}}
	ofReceiver = &kind{id: "receiver", outcomes: []string{"low", "good", "high"}, cuts: []float64{-0.02, 0.02}, about: true, asked: []int{1, 1, 2}}
	onReceiver = &kind{id: "shown", outcomes: []string{"low", "good", "high"}, cuts: []float64{-0.2, 0.2}, about: true, asked: []int{3, 3, 4}}
)

// mostOutcomes is how many outcomes are told apart at the most.
const mostOutcomes = 5

func needle(x float64, s loop.Setup) loop.Reading {
	return loop.Reading{Quantity: loop.NeedleHeld, X: x, Setup: s}
}

func at(q loop.Quantity, x float64) loop.Reading { return loop.Reading{Quantity: q, X: x} }

// tests are all that exercises offer or print as done.
var tests = []test{
	{"zero", needle(0, loop.Setup{}), onNeedle},
	{"half", needle(0.5, loop.Setup{}), onNeedle},
	{"full", needle(1, loop.Setup{}), onNeedle},
	{"cell", at(loop.CellNeedle, 0), onCell},
	{"neighbour", needle(0.5, loop.Setup{RingOff: 0.25}), onNeedle},
	{"falling", needle(0.5, loop.Setup{Falling: true}), onNeedle},
	{"port", needle(0.5, loop.Setup{AtPort: true}), onNeedle},
	{"room", needle(1, loop.Setup{Move: loop.SeriesRoom}), onNeedle},
	{"supply-zero", at(loop.SupplyVolts, 0), ofVolts},
	{"supply-full", at(loop.SupplyVolts, 1), ofVolts},
	{"transmitter-zero", at(loop.TransmitterVolts, 0), ofVolts},
	{"receiver-zero", at(loop.ReceiverVolts, 0), ofReceiver},
	{"receiver-full", at(loop.ReceiverVolts, 1), ofReceiver},
	{"without", loop.Reading{Quantity: loop.ReceiverVolts, X: 1, Setup: loop.Setup{WithoutChecker: true}}, ofReceiver},
	{"shown-zero", at(loop.ReceiverDisplay, 0), onReceiver},
	{"shown-full", at(loop.ReceiverDisplay, 1), onReceiver},
}

// testNamed finds a test; a name that is none is a programmer's mistake.
func testNamed(id string) int {
	for i := range tests {
		if tests[i].id == id {
			return i
		}
	}
	panic("whatnext: no such test")
}

func testsNamed(ids []string) []int {
	var out []int
	for _, id := range ids {
		out = append(out, testNamed(id))
	}
	return out
}

// window is the range of the quantity that gives outcome o, the sound loop
// showing sound.
func (k *kind) window(o int, sound float64) (low, high float64) {
	cut := func(i int) float64 {
		if k.about {
			return sound + k.cuts[i]
		}
		return k.cuts[i]
	}
	low, high = math.Inf(-1), math.Inf(1)
	if o > 0 {
		low = cut(o - 1)
	}
	if o < len(k.cuts) {
		high = cut(o)
	}
	return low, high
}
