package secondroad

import (
	"fmt"
	"math"

	"loopdrill/scenarios/loop"
)

// Apprentices at the bench who do or read one thing wrongly. They stand before
// the loop built from the card, turn its screws the wrong way, read the wrong
// instrument, or reckon wrongly from what they wrote down.

// tabled is a slip that goes through a whole table.
func tabled(change func(s sheet, p part, i int, r readings) readings) apprentice {
	return func(s sheet, p part) (replies, error) {
		all := s.stood(s.rig.found)
		if p.benchTask() == "left" {
			all = s.stood(s.rig.left)
		}
		for i := range all {
			all[i] = change(s, p, i, all[i])
		}
		his := replies{}
		p.fill(his, all)
		return his, nil
	}
}

// rebuilt is a slip that leaves the loop in another state.
func rebuilt(change func(s sheet) loop.Params) apprentice {
	return func(s sheet, p part) (replies, error) {
		his := replies{}
		p.fill(his, s.stood(change(s)))
		return his, nil
	}
}

// each is a slip in the boxes of a part that asks for numbers at points.
func each(f func(s sheet, x float64, r readings) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		his := replies{}
		for _, b := range p.boxes {
			v, _, err := quantity(b.row)
			if err != nil {
				return nil, err
			}
			his[b.id] = reply{number: f(s, v, shows(s.rig.found, v))}
		}
		return his, nil
	}
}

// marked is a slip that marks an option.
func marked(words string) apprentice {
	return func(s sheet, p part) (replies, error) {
		r, err := p.choose(words)
		return replies{p.boxes[0].id: r}, err
	}
}

// other marks the one of two options that the road does not.
func other(s sheet, p part) (replies, error) {
	right, err := s.judge("verdict")
	if err != nil {
		return nil, err
	}
	if right == "yes, within" {
		return marked("no, outside")(s, p)
	}
	return marked("yes, within")(s, p)
}

// benchScrews are the options that turn a screw, as far as the page has them.
func benchScrews(_ sheet, p part) ([]string, error) {
	var out []string
	for _, o := range p.boxes[0].options {
		if o.text != "record it and leave the screws alone" {
			out = append(out, o.text)
		}
	}
	return out, nil
}

// current is what the loop carries, as written down by the needle.
func current(x float64, r readings) float64 { return rounded(amps(x, r.needle), 2) }

// leftOver is what the supply has more than what is counted.
func leftOver(s sheet, x float64, r readings, tx, rx, checker float64) float64 {
	return s.rig.supply - tx*r.tx - rx*r.rx - checker*current(x, r)/4 - current(x, r)/1000*s.rig.ohms
}

var benchSlips = map[string]apprentice{
	"rest/rest-not-looked-at": marked("on the centre"),
	"rest/rest-sides-swapped": func(s sheet, p part) (replies, error) {
		if s.rig.rest < 0 {
			return marked("right of the centre")(s, p)
		}
		return marked("left of the centre")(s, p)
	},
	"cell/cell-not-looked-at": marked("at the line or to the right of it"),
	"cell/cell-misread":       marked("left of the line"),

	"found/meters-swapped": tabled(func(_ sheet, _ part, _ int, r readings) readings { return readings{r.needle, r.tx, r.rx} }),
	"found/milliamps-for-volts": tabled(func(_ sheet, _ part, _ int, r readings) readings {
		return readings{r.needle, 4 * r.rx, r.tx}
	}),
	"found/supply-for-transmitter": tabled(func(s sheet, _ part, _ int, r readings) readings {
		return readings{r.needle, r.rx, s.rig.supply}
	}),
	"found/sides-swapped":         tabled(func(_ sheet, _ part, _ int, r readings) readings { return readings{-r.needle, r.rx, r.tx} }),
	"found/marks-as-divisions":    tabled(func(_ sheet, _ part, _ int, r readings) readings { return readings{r.needle / 0.2, r.rx, r.tx} }),
	"found/percent-for-divisions": tabled(func(_ sheet, _ part, _ int, r readings) readings { return readings{r.needle / 2, r.rx, r.tx} }),
	"found/rest-left-in": rebuilt(func(s sheet) loop.Params {
		p := s.rig.found
		p.Checker.RestDivision = s.rig.rest
		return p
	}),
	"found/cell-not-changed": rebuilt(func(s sheet) loop.Params {
		p := s.rig.found
		p.Checker.CellVolt, p.Checker.CellOhm, p.Checker.CellLoadMilliamp = s.rig.weak, 0, 0
		return p
	}),

	"volts/live-zero-lost":         each(func(_ sheet, _ float64, r readings) float64 { return r.rx/250*1000 - 4 }),
	"volts/share-of-five":          each(func(_ sheet, _ float64, r readings) float64 { return r.rx / 5 * 16 }),
	"volts/transmitter-volts-used": each(func(_ sheet, _ float64, r readings) float64 { return r.tx / 250 * 1000 }),
	"volts/both-resistors":         each(func(_ sheet, _ float64, r readings) float64 { return r.rx / 500 * 1000 }),

	"needle/live-zero-lost":  each(func(_ sheet, x float64, r readings) float64 { return amps(x, r.needle) - 4 }),
	"needle/share-of-twenty": each(func(_ sheet, x float64, r readings) float64 { return 20 * (x + r.needle/2) / 100 }),
	"needle/upper-as-span":   each(func(_ sheet, x float64, r readings) float64 { return 4 + 20*(x+r.needle/2)/100 }),
	"needle/needle-ignored":  each(func(_ sheet, x float64, _ readings) float64 { return amps(x, 0) }),
	"needle/needle-sign":     each(func(_ sheet, x float64, r readings) float64 { return amps(x, -r.needle) }),
	"needle/divisions-as-percent": each(func(_ sheet, x float64, r readings) float64 {
		return amps(x, 2*r.needle)
	}),

	"resistance/transmitter-volts-used": each(func(_ sheet, x float64, r readings) float64 { return r.tx / current(x, r) * 1000 }),
	"resistance/zero-off-current":       each(func(_ sheet, x float64, r readings) float64 { return r.rx / (current(x, r) - 4) * 1000 }),
	"resistance/zero-off-volts":         each(func(_ sheet, x float64, r readings) float64 { return (r.rx - 1) / current(x, r) * 1000 }),
	"resistance/milli-lost":             each(func(_ sheet, x float64, r readings) float64 { return r.rx / current(x, r) }),

	"lost/checker-forgotten":     each(func(s sheet, x float64, r readings) float64 { return leftOver(s, x, r, 1, 1, 0) }),
	"lost/transmitter-forgotten": each(func(s sheet, x float64, r readings) float64 { return leftOver(s, x, r, 0, 1, 1) }),
	"lost/five-at-each":          each(func(s sheet, x float64, r readings) float64 { return leftOver(s, x, r, 1, 1, 0) - 5 }),
	"lost/both-forgotten":        each(func(s sheet, x float64, r readings) float64 { return leftOver(s, x, r, 1, 0, 0) }),

	"verdict/sign-compared": other, "verdict/middle-compared": other, "verdict/divisions-compared": other, "verdict/verdict-turned": other,

	"first/left-alone": marked("record it and leave the screws alone"),
	"first/wrong-way": func(s sheet, p part) (replies, error) {
		right, err := s.judge("first")
		if err != nil {
			return nil, err
		}
		turned := map[string]string{"raise the zero": "lower the zero", "lower the zero": "raise the zero", "raise the span": "lower the span", "lower the span": "raise the span"}[right]
		if turned == "" {
			return nil, fmt.Errorf("nothing to turn: %q", right)
		}
		return marked(turned)(s, p)
	},

	"which/taken-for-none":     marked("nothing: the loop is sound"),
	"which/taken-for-terminal": marked("a resistance in the line"),
	"which/taken-for-supply":   marked("a supply below its rating"),
	"which/taken-for-leak":     marked("a leak across the transmitter"),
	"which/taken-for-resistor": marked("the receiver's resistor"),

	"left/found-for-left": rebuilt(func(s sheet) loop.Params { return s.rig.found }),
	"left/turned-wrong-way": rebuilt(func(s sheet) loop.Params {
		p := s.rig.found
		p.Transmitter.Zero, p.Transmitter.Span = 2*p.Transmitter.Zero, 2*p.Transmitter.Span
		return p
	}),
	"left/span-turned-at-top": rebuilt(func(s sheet) loop.Params {
		p := s.rig.found
		x := s.benchPart("found").points()
		top := x[len(x)-1] / 100
		p.Transmitter.Span = -p.Transmitter.Zero / top
		return p
	}),
	"left/zero-turned-at-top": rebuilt(func(s sheet) loop.Params {
		p := s.rig.found
		x := s.benchPart("found").points()
		p.Transmitter.Zero = -p.Transmitter.Span * x[len(x)-1] / 100
		return p
	}),
	"left/zero-only": rebuilt(func(s sheet) loop.Params {
		p := s.rig.found
		p.Transmitter.Zero = 0
		return p
	}),
	"left/milliamps-for-volts": tabled(func(_ sheet, _ part, _ int, r readings) readings { return readings{r.needle, 4 * r.rx, r.tx} }),
	"left/transmitter-for-receiver": tabled(func(s sheet, _ part, i int, r readings) readings {
		return readings{r.needle, s.stood(s.rig.found)[i].tx, r.tx}
	}),
	"left/volts-without-zero": tabled(func(s sheet, _ part, i int, r readings) readings {
		return readings{r.needle, math.Round(50*s.benchPart("found").points()[i]) / 1000, r.tx}
	}),
}
