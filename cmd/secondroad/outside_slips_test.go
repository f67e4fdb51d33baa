package secondroad

import "math"

// outSlip makes an apprentice of one slip with a number. c has the output and
// what is wanted filled in.
func outSlip(wrong func(c *chained, p part) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		c, err := s.seeChain()
		if err != nil {
			return nil, err
		}
		for _, q := range s.parts {
			if q.outTask() == "current" {
				c.output, _ = outOf(q.prompt, "stands at ")
			}
		}
		return replies{p.boxes[0].id: {number: wrong(c, p)}}, nil
	}
}

// told reads a number of the prompt.
func told(p part, after string) float64 {
	v, _ := outOf(p.prompt, after)
	return v
}

// turned is what is left of the whole for a valve that is air to close.
func turned(open float64, close bool) float64 {
	if close {
		return 100 - open
	}
	return open
}

func (c *chained) now() float64        { return milliamps(c.output) }
func (c *chained) share() float64      { return c.output / 100 }
func gauge(p part) float64             { return told(p, "shows ") }
func (c *chained) stem(p part) float64 { return turned(told(p, "opens the valve to "), c.close) / 100 }

// part of the signal that a split valve has come, as a share, unclipped.
func (v strokes) come(i float64) float64 { return (i - v.first) / (v.last - v.first) }

func within01(x float64) float64 { return math.Max(0, math.Min(1, x)) }

// the other valve of a split range.
func (c *chained) otherOf(p part) strokes {
	if c.nameOf(p) == "A" {
		return c.b
	}
	return c.a
}

// stemAsked is the share of its part at which a split valve is open as asked.
func (c *chained) stemAsked(p part) float64 {
	return turned(told(p, c.nameOf(p)+" "), c.valveOf(p).close) / 100
}

func (v strokes) at(share float64) float64 { return mix(v.first, v.last, share) }

func asOutput(milliamp float64) float64 { return (milliamp - 4) / 16 * 100 }

func (c *chained) setShare(p part) float64 {
	return (told(p, "would the set point be ") - c.low) / (c.high - c.low)
}
func (c *chained) flows(p part) float64 { return told(p, "milliammeter shows ") }

// chainSlip makes an apprentice of one slip about the three devices.
func chainSlip(wrong func(c *chained, r [4]float64) [3]float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		c, err := s.seeChain()
		if err != nil {
			return nil, err
		}
		out := replies{}
		for i, v := range wrong(c, c.top()) {
			out[p.boxes[i].id] = reply{number: v}
		}
		return out, nil
	}
}

var outSlips = map[string]apprentice{
	"current/dead-zero":       outSlip(func(c *chained, p part) float64 { return 20 * c.share() }),
	"current/lower-not-added": outSlip(func(c *chained, p part) float64 { return 16 * c.share() }),
	"current/upper-as-span":   outSlip(func(c *chained, p part) float64 { return 4 + 20*c.share() }),
	"current/wrong-end":       outSlip(func(c *chained, p part) float64 { return 24 - c.now() }),

	"air/lower-not-added":   outSlip(func(c *chained, p part) float64 { return 80 * c.share() }),
	"air/dead-zero-air":     outSlip(func(c *chained, p part) float64 { return 20 + 80*c.now()/20 }),
	"air/upper-as-span-air": outSlip(func(c *chained, p part) float64 { return 20 + 100*c.share() }),
	"air/psi-signal":        outSlip(func(c *chained, p part) float64 { return mix(3, 15, c.share()) }),
	"air/wrong-end":         outSlip(func(c *chained, p part) float64 { return mix(100, 20, c.share()) }),

	"open/action-missed":      outSlip(func(c *chained, p part) float64 { return turned((gauge(p)-20)/80*100, !c.close) }),
	"open/dead-zero-open":     outSlip(func(c *chained, p part) float64 { return turned(gauge(p), c.close) }),
	"open/zero-left-on":       outSlip(func(c *chained, p part) float64 { return turned(gauge(p)/80*100, c.close) }),
	"open/upper-as-span-open": outSlip(func(c *chained, p part) float64 { return turned(gauge(p)-20, c.close) }),

	"needs/action-missed":   outSlip(func(c *chained, p part) float64 { return mix(4, 20, 1-c.stem(p)) }),
	"needs/dead-zero":       outSlip(func(c *chained, p part) float64 { return 20 * c.stem(p) }),
	"needs/lower-not-added": outSlip(func(c *chained, p part) float64 { return 16 * c.stem(p) }),
	"needs/upper-as-span":   outSlip(func(c *chained, p part) float64 { return 4 + 20*c.stem(p) }),

	"travel/action-missed": outSlip(func(c *chained, p part) float64 {
		v := c.valveOf(p)
		return turned(100*within01(v.come(c.now())), !v.close)
	}),
	"travel/whole-range": outSlip(func(c *chained, p part) float64 { return turned(c.output, c.valveOf(p).close) }),
	"travel/other-part": outSlip(func(c *chained, p part) float64 {
		return turned(100*within01(c.otherOf(p).come(c.now())), c.valveOf(p).close)
	}),
	"travel/beyond-its-end": outSlip(func(c *chained, p part) float64 { return turned(100*c.valveOf(p).come(c.now()), c.valveOf(p).close) }),
	"travel/dead-zero-part": outSlip(func(c *chained, p part) float64 {
		v := c.valveOf(p)
		return turned(100*within01(c.now()/v.last), v.close)
	}),

	"asked/action-missed":    outSlip(func(c *chained, p part) float64 { return asOutput(c.valveOf(p).at(1 - c.stemAsked(p))) }),
	"asked/whole-range":      outSlip(func(c *chained, p part) float64 { return 100 * c.stemAsked(p) }),
	"asked/other-part":       outSlip(func(c *chained, p part) float64 { return asOutput(c.otherOf(p).at(c.stemAsked(p))) }),
	"asked/dead-zero-output": outSlip(func(c *chained, p part) float64 { return c.valveOf(p).at(c.stemAsked(p)) / 20 * 100 }),
	"asked/milliamps-given":  outSlip(func(c *chained, p part) float64 { return c.valveOf(p).at(c.stemAsked(p)) }),

	"set/dead-zero-set":       outSlip(func(c *chained, p part) float64 { return mix(c.low, c.high, c.now()/20) }),
	"set/zero-left-on":        outSlip(func(c *chained, p part) float64 { return mix(c.low, c.high, c.now()/16) }),
	"set/wrong-end":           outSlip(func(c *chained, p part) float64 { return mix(c.high, c.low, c.share()) }),
	"set/range-low-not-added": outSlip(func(c *chained, p part) float64 { return c.share() * (c.high - c.low) }),
	"set/share-of-upper":      outSlip(func(c *chained, p part) float64 { return c.share() * c.high }),
	"set/upper-as-span-set":   outSlip(func(c *chained, p part) float64 { return mix(c.low, c.high, (c.now()-4)/20) }),

	"back/wrong-end":         outSlip(func(c *chained, p part) float64 { return 100 - 100*c.setShare(p) }),
	"back/dead-zero-output":  outSlip(func(c *chained, p part) float64 { return milliamps(100*c.setShare(p)) / 20 * 100 }),
	"back/milliamps-given":   outSlip(func(c *chained, p part) float64 { return milliamps(100 * c.setShare(p)) }),
	"back/value-given":       outSlip(func(c *chained, p part) float64 { return told(p, "would the set point be ") }),
	"back/range-low-left-on": outSlip(func(c *chained, p part) float64 { return told(p, "would the set point be ") / c.high * 100 }),

	"wrong/sign":                 outSlip(func(c *chained, p part) float64 { return (c.now() - c.flows(p)) / 16 * (c.high - c.low) }),
	"wrong/percent-given":        outSlip(func(c *chained, p part) float64 { return (c.flows(p) - c.now()) / 16 * 100 }),
	"wrong/milliamp-error-given": outSlip(func(c *chained, p part) float64 { return c.flows(p) - c.now() }),
	"wrong/of-upper":             outSlip(func(c *chained, p part) float64 { return (c.flows(p) - c.now()) / 20 * (c.high - c.low) }),
	"wrong/set-point-given":      outSlip(func(c *chained, p part) float64 { return mix(c.low, c.high, (c.flows(p)-4)/16) }),

	"steps/sign": chainSlip(func(c *chained, r [4]float64) [3]float64 {
		own := c.own(r)
		return [3]float64{-own[0], -own[1], -own[2]}
	}),
	"steps/against-the-output": chainSlip(func(c *chained, r [4]float64) [3]float64 {
		return [3]float64{(r[1]-4)/16*100 - r[0], (r[2]-20)/80*100 - r[0], c.offAt(r)}
	}),
	"steps/dead-zero-steps": chainSlip(func(c *chained, r [4]float64) [3]float64 {
		return [3]float64{r[1]/20*100 - r[0], r[2] - r[1]/20*100, r[3] - turned(r[2], c.close)}
	}),
	"steps/action-missed": chainSlip(func(c *chained, r [4]float64) [3]float64 {
		own := c.own(r)
		return [3]float64{own[0], own[1], r[3] - turned((r[2]-20)/80*100, !c.close)}
	}),
	"steps/of-upper-steps": chainSlip(func(c *chained, r [4]float64) [3]float64 {
		own := c.own(r)
		return [3]float64{own[0] * 16 / 20, own[1] * 80 / 100, own[2]}
	}),
	"steps/in-signals": chainSlip(func(c *chained, r [4]float64) [3]float64 {
		own := c.own(r)
		return [3]float64{own[0] * 16 / 100, own[1] * 80 / 100, own[2]}
	}),

	"kind/called-zero": always(offAlike),
	"kind/called-span": always(offGrows),
	"kind/called-flat": always(offFlat),

	"which/controller-blamed": always(isOutput),
	"which/converter-blamed":  always(isConvert),
	"which/positioner-blamed": always(isValve),
	"which/air-blamed":        always(isAir),

	"way/way-turned": wayWrong,
	"way/way-by-air": wayWrong,
}

// wayWrong marks the other way; by air, where the valve shuts with it.
var wayWrong = says(func(s sheet) (string, error) {
	c, err := s.seeChain()
	if err != nil {
		return "", err
	}
	if c.offAt(c.top()) > 0 {
		return wayShut, nil
	}
	return wayOpen, nil
})
