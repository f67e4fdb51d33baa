package secondroad

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// The apprentices of "what next?".

// nextNamed is what the list calls a fault.
func nextNamed(f string) string {
	return strings.NewReplacer("non linearity", "non-linearity", "fail safe high", "fail-safe high").Replace(strings.ReplaceAll(f, "-", " "))
}

// nextFaults are those that some list has, nextTests what the tests are called.
var (
	nextFaults = []string{"low-zero", "high-zero", "span-low", "span-high", "non-linearity", "hysteresis", "fail-safe-high", "trapped-pressure", "equalising-valve-leak",
		"open-wire", "transmitter-short", "receiver-short", "reversed-leads", "corroded-terminal", "cable-too-long", "minus-earth-leak", "low-supply", "dead-supply",
		"supply-resistance", "supply-limiting", "wrong-resistor", "drifted-resistor", "low-input-impedance", "second-receiver", "receiver-zero", "receiver-span",
		"weak-cell", "dead-cell", "mechanical-zero-off", "test-lead-resistance", "trigger-not-held", "checker-resistor-drifted", "crossed-test-leads"}
	// nextNever are slips that cannot be made: the fault is always possible, or
	// always ruled out.
	nextNever = strings.Fields(`possible/crossed-fail-safe-high possible/crossed-high-zero possible/crossed-transmitter-short
		possible/kept-cable-too-long possible/kept-corroded-terminal possible/kept-crossed-test-leads possible/kept-dead-cell
		possible/kept-dead-supply possible/kept-drifted-resistor possible/kept-hysteresis possible/kept-low-input-impedance
		possible/kept-minus-earth-leak possible/kept-non-linearity possible/kept-open-wire possible/kept-receiver-zero
		possible/kept-reversed-leads possible/kept-second-receiver`)
	nextTests = map[string]string{"zero": "needle at 0 %", "half": "needle at 50 %", "full": "needle at 100 %",
		"cell": "cell check", "neighbour": "ring on the neighbouring point", "falling": "needle on the way down", "port": "input straight to the port",
		"room": "needle at the receiver's end", "supply-zero": "volts of the supply at 0 %", "supply-full": "volts of the supply at 100 %",
		"transmitter-zero": "volts across the transmitter at 0 %", "receiver-zero": "volts across the receiver at 0 %", "receiver-full": "volts across the receiver at 100 %",
		"without": "volts without the checker", "shown-zero": "what the receiver shows at 0 %", "shown-full": "what the receiver shows at 100 %"}
	nextOutcomes = map[string]string{"needle-left-stop": "left stop", "needle-left": "left", "needle-centre": "centre", "needle-right": "right", "needle-right-stop": "right stop",
		"cell-short": "short of the line", "cell-past": "past the line", "volts-low": "low", "volts-good": "as it should be",
		"receiver-low": "low", "receiver-good": "as it should be", "receiver-high": "high", "shown-low": "low", "shown-good": "as it should be", "shown-high": "high"}
)

func whatNextSlips() map[string]apprentice {
	all := map[string]apprentice{
		"share/other-side":    sharer(func(part, rest, _, _ float64) float64 { return rest / (part + rest) }),
		"share/from-zero":     sharer(func(part, _, high, from float64) float64 { return from / high }),
		"share/half-each":     sharer(func(_, _, _, _ float64) float64 { return 0.5 }),
		"share/part-to-part":  sharer(func(part, rest, _, _ float64) float64 { return part / rest }),
		"average/worst-case":  counter(worst),
		"average/crossed-out": counter(func(_ *nexting, c []map[string]float64, _ int) float64 { return float64(len(c)) - leaves(c) }),
		"average/even-split": counter(func(_ *nexting, c []map[string]float64, _ int) float64 {
			return float64(len(c)) / float64(len(outcomesOf(c)))
		}),
		"average/all-told":     counter(func(_ *nexting, c []map[string]float64, told int) float64 { return float64(len(c)) / float64(told) }),
		"average/not-divided":  counter(func(_ *nexting, c []map[string]float64, _ int) float64 { return leaves(c) * float64(len(c)) }),
		"average/half-of-it":   counter(func(_ *nexting, c []map[string]float64, _ int) float64 { return leaves(halved(c)) }),
		"average/both-whole":   counter(twice),
		"average/listed-still": everybody,
	}
	for id, words := range nextOutcomes {
		all["cell/saw-"+id] = func(_ sheet, p part) (replies, error) { return p.pick(words) }
	}
	for _, f := range nextFaults {
		name := nextNamed(f)
		for slip, a := range map[string]apprentice{
			"possible/kept-" + f:    func(_ sheet, p part) (replies, error) { return p.mark(name, "possible") },
			"possible/crossed-" + f: func(_ sheet, p part) (replies, error) { return p.mark(name, "ruled out") },
			"alone/left-" + f:       func(_ sheet, p part) (replies, error) { return p.pick(name) },
		} {
			if !slices.Contains(nextNever, slip) {
				all[slip] = a
			}
		}
	}
	for id, words := range nextTests {
		all["which/took-"+id] = func(_ sheet, p part) (replies, error) {
			for _, o := range p.boxes[0].options {
				if strings.HasSuffix(spaced(o.text), ": "+words) {
					return replies{p.boxes[0].id: {option: o.value}}, nil
				}
			}
			return nil, fmt.Errorf("no option says %q", words)
		}
	}
	return all
}

// sharer takes the wrong share; from is how far the asked side reaches from its
// far end, or for the lower side from 0.
func sharer(wrong func(part, rest, high, from float64) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		n, err := s.seeNext()
		if err != nil {
			return nil, err
		}
		side, x, err := n.side(p)
		if err != nil {
			return nil, err
		}
		part, rest, from := x.high-n.turn, n.turn-x.low, x.high-n.turn
		if side == 0 {
			part, rest, from = rest, part, n.turn
		}
		return replies{p.boxes[0].id: {number: 100 * wrong(part, rest, x.high, from)}}, nil
	}
}

// counter counts wrongly what the asked test leaves of the faults still
// possible; told is how many outcomes the page tells apart there.
func counter(wrong func(n *nexting, cases []map[string]float64, told int) float64) apprentice {
	return countingOf(func(n *nexting) []int { return n.possible }, wrong)
}

func countingOf(whom func(n *nexting) []int, wrong func(n *nexting, cases []map[string]float64, told int) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		n, err := s.seeNext()
		if err != nil {
			return nil, err
		}
		o, err := n.test(askedNumber.FindStringSubmatch(p.prompt)[1])
		if err != nil {
			return nil, err
		}
		cases, err := n.cases(whom(n), o)
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: {number: wrong(n, n.whole(cases, o.number), len(o.told))}}, nil
	}
}

// everybody counts those that are ruled out with the rest.
func everybody(s sheet, p part) (replies, error) {
	return countingOf(func(n *nexting) []int {
		var all []int
		for i := range n.list {
			all = append(all, i)
		}
		return all
	}, func(_ *nexting, c []map[string]float64, _ int) float64 { return leaves(c) })(s, p)
}

// outcomesOf is how many faults can show each outcome.
func outcomesOf(cases []map[string]float64) map[string]float64 {
	out := map[string]float64{}
	for _, c := range cases {
		for shows, times := range c {
			if times > 0 {
				out[shows]++
			}
		}
	}
	return out
}

func worst(_ *nexting, cases []map[string]float64, _ int) float64 {
	most := 0.0
	for _, can := range outcomesOf(cases) {
		most = math.Max(most, can)
	}
	return most
}

func twice(_ *nexting, cases []map[string]float64, _ int) float64 {
	sum := 0.0
	for _, can := range outcomesOf(cases) {
		sum += can * can
	}
	return sum / float64(len(cases))
}

func halved(cases []map[string]float64) []map[string]float64 {
	var out []map[string]float64
	for _, c := range cases {
		h := map[string]float64{}
		for shows := range c {
			h[shows] = 100 / float64(len(c))
		}
		out = append(out, h)
	}
	return out
}
