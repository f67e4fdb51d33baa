package whatnext

// panel is a choice of tests, and the faults among which they choose.
type panel struct {
	tests []string    // offered
	seen  [][2]string // what was done, and the outcome; none: nothing yet
	pool  []string    // faults that can be on the list
}

// The pools. Each test of a panel tells most of some list of its faults.
var (
	rightAtZero = []string{"span-low", "span-high", "non-linearity", "hysteresis", "equalising-valve-leak", "drifted-resistor", "wrong-resistor", "corroded-terminal",
		"low-zero", "high-zero", "trapped-pressure", "mechanical-zero-off", "weak-cell", "checker-resistor-drifted"}
	misread = []string{"non-linearity", "hysteresis", "mechanical-zero-off", "checker-resistor-drifted", "weak-cell", "dead-cell", "trigger-not-held",
		"crossed-test-leads", "receiver-zero", "receiver-span", "low-zero", "high-zero", "span-low", "span-high", "trapped-pressure", "equalising-valve-leak"}
	starved = []string{"corroded-terminal", "cable-too-long", "low-supply", "supply-resistance", "supply-limiting", "test-lead-resistance",
		"wrong-resistor", "span-low", "low-zero", "equalising-valve-leak", "receiver-span", "weak-cell", "trigger-not-held"}
	stopped = []string{"low-zero", "trapped-pressure", "equalising-valve-leak", "corroded-terminal", "low-supply", "supply-resistance", "supply-limiting",
		"open-wire", "reversed-leads", "dead-supply", "crossed-test-leads", "test-lead-resistance", "fail-safe-high", "transmitter-short", "receiver-short"}
	unseen = []string{"trigger-not-held", "receiver-short", "minus-earth-leak", "drifted-resistor", "second-receiver", "low-input-impedance", "receiver-zero", "receiver-span",
		"low-zero", "high-zero", "span-low", "span-high", "trapped-pressure", "mechanical-zero-off", "checker-resistor-drifted"}
)

// panels are those of each level.
var panels = map[string][]panel{
	"easy": {
		{tests: []string{"zero", "port", "falling", "receiver-full"}, pool: []string{"low-zero", "high-zero", "weak-cell", "mechanical-zero-off",
			"span-low", "span-high", "trapped-pressure", "hysteresis", "non-linearity", "equalising-valve-leak"}},
		{tests: []string{"supply-zero", "transmitter-zero", "cell", "neighbour"}, pool: []string{"open-wire", "dead-supply", "reversed-leads", "crossed-test-leads",
			"fail-safe-high", "transmitter-short", "dead-cell", "weak-cell", "receiver-short", "low-supply", "trigger-not-held", "mechanical-zero-off", "low-zero"}},
		{tests: []string{"room", "shown-zero", "shown-full", "receiver-full"}, pool: []string{"trigger-not-held", "receiver-short", "receiver-zero", "receiver-span",
			"drifted-resistor", "second-receiver", "minus-earth-leak", "crossed-test-leads", "low-zero", "high-zero"}},
	},
	"usual": {atZero, byReceiver, atTop, onStop, allNull},
	"hard":  {atZero, byReceiver, atTop, allNull},
}

// Panels in which something was seen that rules some faults out.
var (
	atZero     = panel{tests: []string{"full", "falling", "port", "receiver-full"}, seen: [][2]string{{"zero", "centre"}}, pool: rightAtZero}
	byReceiver = panel{tests: []string{"zero", "full", "falling", "shown-full"}, seen: [][2]string{{"receiver-full", "good"}}, pool: misread}
	atTop      = panel{tests: []string{"half", "supply-full", "receiver-zero", "without"}, seen: [][2]string{{"full", "left-stop"}}, pool: starved}
	onStop     = panel{tests: []string{"port", "supply-zero", "transmitter-zero", "without"}, seen: [][2]string{{"half", "left-stop"}}, pool: stopped}
	allNull    = panel{tests: []string{"shown-zero", "shown-full", "receiver-zero", "receiver-full"}, seen: [][2]string{{"half", "centre"}, {"full", "centre"}}, pool: unseen}
)

// How many faults are on a list, and how many of them what was seen leaves. On a
// list of which some are ruled out as many are possible as not, on the whole.
const (
	listedEasy  = 5
	listedLeast = 7
	listedMost  = 8
	possible    = 4
)
