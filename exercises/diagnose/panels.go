package diagnose

import "loopdrill/scenarios/loop"

// panels are the faults that an exercise of a level chooses from, one list an
// exercise: each is among others that look like it on the needle. Exactly one
// of them is at work, and the exercise says so.
var panels = map[string][][]string{
	"easy": {
		{"low-zero", "mechanical-zero-off", "open-wire", "dead-supply", "reversed-leads"},
		{"high-zero", "mechanical-zero-off", "weak-cell", "checker-resistor-drifted", "fail-safe-high"},
		{"trigger-not-held", "receiver-zero", "receiver-span", "receiver-short", "drifted-resistor"},
	},
	"usual": {
		{"open-wire", "dead-supply", "reversed-leads", "fail-safe-high", "transmitter-short", "crossed-test-leads", "weak-cell"},
		{"low-zero", "mechanical-zero-off", "trapped-pressure", "span-low", "equalising-valve-leak", "weak-cell", "checker-resistor-drifted"},
		{"trigger-not-held", "receiver-short", "receiver-zero", "receiver-span", "drifted-resistor", "second-receiver", "minus-earth-leak"},
	},
	"hard": {
		{"corroded-terminal", "low-supply", "supply-resistance", "supply-limiting", "test-lead-resistance", "wrong-resistor", "plus-earth-leak", "earth-loop"},
		{"low-zero", "mechanical-zero-off", "trapped-pressure", "span-low", "equalising-valve-leak", "non-linearity", "hysteresis", "weak-cell", "checker-resistor-drifted"},
	},
}

// sensing are the faults of the lines to a sensor, which a temperature loop
// does not have.
var sensing = []string{"trapped-pressure", "equalising-valve-leak", "lines-blocked", "leg-blocked", "changed-wet-leg"}

// test is something that can be done at the loop, and the readings it gives.
type test struct {
	id       string // names its entries "row.ID" and "shows.ID"
	readings []loop.Reading
}

// points are the inputs at which the needle is read, one row an exercise, as
// fractions of span; the ring clicks to each.
var points = [][]float64{
	{0, 0.25, 0.5, 0.75, 1},
	{0.1, 0.3, 0.5, 0.7, 0.9},
	{0, 0.2, 0.5, 0.8, 1},
	{0.05, 0.3, 0.5, 0.7, 0.95},
}

// needles is the first thing that is printed.
func needles(row int) test { return test{"needles", loop.At(loop.NeedleHeld, points[row]...)} }

// tests are what is chosen from for the rest; of two that would do the one that
// comes first is taken, for it is done with less.
var tests = []test{
	{"rest", loop.At(loop.NeedleAtRest, 0)},
	{"cell", loop.At(loop.CellNeedle, 0)},
	{"neighbour", []loop.Reading{{Quantity: loop.NeedleHeld, X: 0.5, Setup: loop.Setup{RingOff: 0.25}}}},
	{"falling", []loop.Reading{
		{Quantity: loop.NeedleHeld, X: 0.75, Setup: loop.Setup{Falling: true}},
		{Quantity: loop.NeedleHeld, X: 0.5, Setup: loop.Setup{Falling: true}},
		{Quantity: loop.NeedleHeld, X: 0.25, Setup: loop.Setup{Falling: true}}}},
	{"port", []loop.Reading{{Quantity: loop.NeedleHeld, X: 0.5, Setup: loop.Setup{AtPort: true}}}},
	{"supply", loop.At(loop.SupplyVolts, 0, 1)},
	{"without", []loop.Reading{{Quantity: loop.ReceiverVolts, X: 1, Setup: loop.Setup{WithoutChecker: true}}}},
	{"transmitter", loop.At(loop.TransmitterVolts, 0, 1)},
	{"shown", loop.At(loop.ReceiverDisplay, 0, 1)},
	{"receiver", loop.At(loop.ReceiverVolts, 0, 1)},
	{"room", []loop.Reading{{Quantity: loop.NeedleHeld, X: 0.5, Setup: loop.Setup{Move: loop.SeriesRoom}}}},
	{"raised", []loop.Reading{{Quantity: loop.NeedleHeld, X: 0.5, Setup: loop.Setup{SupplyRise: 5}}}},
}
