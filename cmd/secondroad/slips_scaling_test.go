package secondroad

import (
	"fmt"
	"math"
)

// An apprentice makes one slip in one part, and everything else right. What
// the slip is was taken from the name and the sentence of feedback that the
// page prints for it. The second result is false where this apprentice would
// not know what to write.
type apprentice func(s sheet, p part) (replies, error)

// ends are the ends of the range on which a quantity of a scaling part lies.
func (a asked) ends(kind, unit string) (low, high float64) {
	switch kind {
	case "percent":
		return 0, 100
	case "volts":
		return 1, 5
	case "signal", "second signal":
		return upper[unit] / 5, upper[unit]
	case "dp":
		return a.p.inLow, a.p.inHigh
	}
	return a.p.showLow, a.p.showHigh
}

// squared says whether a quantity goes with the square of the flow.
func (a asked) squared(kind string) bool {
	switch kind {
	case "dp":
		return true
	case "signal", "volts":
		return a.p.rootRx
	}
	return false
}

// falls says whether the answer falls when the given rises.
func (a asked) falls() bool {
	sent := func(kind string) bool { return kind == "signal" || kind == "volts" }
	return a.p.reverse && sent(a.kind.given) != sent(a.kind.want) &&
		a.kind.given != "percent" && a.kind.want != "percent" && a.kind.want != "second signal"
}

// hand is a scaling part as somebody works it step by step by the lesson.
type hand struct {
	given, low, high   float64 // and its range
	toLow, toHigh      float64 // range of the answer
	falls, root, power bool    // falls; a root, or a square, is to be taken
	right              float64 // the right answer
}

func (h hand) share() float64 { return (h.given - h.low) / (h.high - h.low) }

// bend takes the root or square that is due.
func (h hand) bend(share float64) float64 {
	switch {
	case h.root:
		return math.Sqrt(share)
	case h.power:
		return share * share
	}
	return share
}

// finish goes from a share of the given's range to the answer.
func (h hand) finish(share float64) float64 { return h.place(h.bend(share)) }

// place goes from a share of the answer's range, counted the due way, to the
// answer.
func (h hand) place(share float64) float64 {
	if h.falls {
		return h.toHigh - share*(h.toHigh-h.toLow)
	}
	return h.toLow + share*(h.toHigh-h.toLow)
}

func scaling(wrong func(h hand) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		a, err := s.understand(p)
		if err != nil {
			return nil, err
		}
		h := hand{given: a.given, falls: a.falls()}
		h.low, h.high = a.ends(a.kind.given, a.unit)
		h.toLow, h.toHigh = a.ends(a.kind.want, p.boxes[0].unit)
		from, to := a.squared(a.kind.given), a.squared(a.kind.want)
		h.root, h.power = from && !to, to && !from
		u, err := search(a.shows, a.given)
		if err != nil {
			return nil, err
		}
		h.right = a.wants(u)
		if v := h.finish(h.share()); math.Abs(v-h.right) > 1e-6*(1+math.Abs(v)) {
			return nil, fmt.Errorf("the right way gives %v by hand and %v by halving", v, h.right)
		}
		return replies{p.boxes[0].id: {number: wrong(h)}}, nil
	}
}

var scalingSlips = map[string]apprentice{
	"dead-zero":       scaling(func(h hand) float64 { return h.finish(h.given / h.high) }),
	"upper-as-span":   scaling(func(h hand) float64 { return h.finish((h.given - h.low) / h.high) }),
	"zero-left-on":    scaling(func(h hand) float64 { return h.finish(h.given / (h.high - h.low)) }),
	"ends-swapped":    scaling(func(h hand) float64 { return h.toLow + h.toHigh - h.right }),
	"reverse-missed":  scaling(func(h hand) float64 { return h.toLow + h.toHigh - h.right }),
	"lower-not-added": scaling(func(h hand) float64 { return h.right - h.toLow }),
	"upper-for-span": scaling(func(h hand) float64 {
		return h.toLow + (h.right-h.toLow)/(h.toHigh-h.toLow)*h.toHigh
	}),
	"dead-zero-out": scaling(func(h hand) float64 { return (h.right - h.toLow) / (h.toHigh - h.toLow) * h.toHigh }),
	"root-forgotten": scaling(func(h hand) float64 {
		h.root, h.power = false, false
		return h.finish(h.share())
	}),
	"root-and-square": scaling(func(h hand) float64 {
		h.root, h.power = h.power, h.root
		return h.finish(h.share())
	}),
	"rooted-twice":      scaling(func(h hand) float64 { return h.place(math.Sqrt(h.bend(h.share()))) }),
	"dead-zero-root":    scaling(func(h hand) float64 { return h.place(math.Sqrt(h.given / h.high)) }),
	"zero-left-on-root": scaling(func(h hand) float64 { return h.place(math.Sqrt(h.given / (h.high - h.low))) }),
}
