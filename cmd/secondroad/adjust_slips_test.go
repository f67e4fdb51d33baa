package secondroad

import "math"

// turning makes an apprentice of one slip with a number.
func turning(wrong func(c *screwed, p part) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		c, err := s.seeScrews()
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: {number: wrong(c, p)}}, nil
	}
}

// waying makes an apprentice who turns the screws so.
func waying(wrong func(c *screwed, zero, span float64) (float64, float64)) apprentice {
	return says(func(s sheet) (string, error) {
		c, err := s.seeScrews()
		if err != nil {
			return "", err
		}
		zero := c.setZero(0, 0)
		return wayWords(wrong(c, zero, c.setSpan(zero, 0, 20))), nil
	})
}

// counting makes an apprentice who counts passes in a way of his own.
func counting(wrong func(c *screwed, right int, p part) int) apprentice {
	return func(s sheet, p part) (replies, error) {
		c, err := s.seeScrews()
		if err != nil {
			return nil, err
		}
		within, err := withinOf(p.prompt)
		if err != nil {
			return nil, err
		}
		r, err := p.choose(passWords(wrong(c, c.passes(within), p)))
		return replies{p.boxes[0].id: r}, err
	}
}

// The errors as found in percent of span, and what is left at the top once the
// zero is set.
func (c *screwed) low() float64    { return inPercent(c.found[0] - 4) }
func (c *screwed) high() float64   { return inPercent(c.found[100] - 20) }
func (c *screwed) spread() float64 { return c.high() - c.low() }
func (c *screwed) top() float64    { return c.found[100] - c.found[0] + 4 }

// pointOf is the point that a part asks about.
func pointOf(p part) float64 {
	x, _ := number(atPercent.FindStringSubmatch(p.prompt)[1])
	return x
}

var adjustSlips = map[string]apprentice{
	"ways/both-wrong-way":  waying(func(c *screwed, z, s float64) (float64, float64) { return -z, -s }),
	"ways/zero-wrong-way":  waying(func(c *screwed, z, s float64) (float64, float64) { return -z, s }),
	"ways/span-wrong-way":  waying(func(c *screwed, z, s float64) (float64, float64) { return z, -s }),
	"ways/span-by-the-top": waying(func(c *screwed, z, s float64) (float64, float64) { return z, -c.high() }),

	"spread/zero-left-in":    turning(func(c *screwed, p part) float64 { return c.high() }),
	"spread/zero-added":      turning(func(c *screwed, p part) float64 { return c.high() + c.low() }),
	"spread/sign":            turning(func(c *screwed, p part) float64 { return -c.spread() }),
	"spread/error-in-signal": turning(func(c *screwed, p part) float64 { return c.spread() * 16 / 100 }),
	"spread/of-upper":        turning(func(c *screwed, p part) float64 { return c.spread() * 16 / 20 }),

	"part-way/as-found": turning(func(c *screwed, p part) float64 {
		return inPercent(c.found[int(pointOf(p))] - mix(4, 20, pointOf(p)/100))
	}),
	"part-way/like-the-top":   turning(func(c *screwed, p part) float64 { return c.spread() }),
	"part-way/sign":           turning(func(c *screwed, p part) float64 { return -c.spread() * pointOf(p) / 100 }),
	"part-way/from-the-top":   turning(func(c *screwed, p part) float64 { return c.spread() * (1 - pointOf(p)/100) }),
	"part-way/zero-mends-all": turning(func(c *screwed, p part) float64 { return 0 }),

	"span-first/order-no-matter": turning(func(c *screwed, p part) float64 { return 0 }),
	"span-first/sign":            turning(func(c *screwed, p part) float64 { return c.low() }),
	"span-first/span-left":       turning(func(c *screwed, p part) float64 { return c.spread() }),
	"span-first/top-as-found":    turning(func(c *screwed, p part) float64 { return c.high() }),
	"span-first/error-in-signal": turning(func(c *screwed, p part) float64 { return 4 - c.found[0] }),

	"once/no-interaction":   turning(func(c *screwed, p part) float64 { return 0 }),
	"once/sign":             turning(func(c *screwed, p part) float64 { return c.share * c.spread() }),
	"once/moved-alike":      turning(func(c *screwed, p part) float64 { return -c.spread() }),
	"once/share-of-found":   turning(func(c *screwed, p part) float64 { return -c.share * c.high() }),
	"once/divided-by-share": turning(func(c *screwed, p part) float64 { return -c.spread() / c.share }),
	"once/zero-comes-back":  turning(func(c *screwed, p part) float64 { return c.low() }),

	"top/top-stays":         turning(func(c *screwed, p part) float64 { return c.found[100] }),
	"top/zero-added":        turning(func(c *screwed, p part) float64 { return c.found[100] + c.found[0] - 4 }),
	"top/top-in-proportion": turning(func(c *screwed, p part) float64 { return c.found[100] * 4 / c.found[0] }),
	"top/bottom-taken-off":  turning(func(c *screwed, p part) float64 { return c.found[100] - c.found[0] }),

	"bottom/no-interaction":    turning(func(c *screwed, p part) float64 { return 4 }),
	"bottom/ratio-turned":      turning(func(c *screwed, p part) float64 { return 4 * c.top() / 20 }),
	"bottom/moved-alike":       turning(func(c *screwed, p part) float64 { return 4 + 20 - c.top() }),
	"bottom/top-as-found":      turning(func(c *screwed, p part) float64 { return 4 * 20 / c.found[100] }),
	"bottom/bottom-as-found":   turning(func(c *screwed, p part) float64 { return c.found[0] * 20 / c.top() }),
	"bottom/bottom-part-alone": turning(func(c *screwed, p part) float64 { return 4*20/c.top() - 4 }),

	"leave/left-on-the-mark":  turning(func(c *screwed, p part) float64 { return 20 }),
	"leave/short-of-the-mark": turning(func(c *screwed, p part) float64 { return 40 - 16*c.top()/(c.top()-4) }),
	"leave/whole-error-over":  turning(func(c *screwed, p part) float64 { return 40 - c.top() }),
	"leave/fifth-over":        turning(func(c *screwed, p part) float64 { return 20 - (c.top()-20)/5 }),
	"leave/top-not-moved":     turning(func(c *screwed, p part) float64 { return c.top() }),

	"passes/one-by-habit":      counting(func(c *screwed, right int, p part) int { return 1 }),
	"passes/called-endless":    counting(func(c *screwed, right int, p part) int { return -1 }),
	"passes/check-counted":     counting(func(c *screwed, right int, p part) int { return min(right, 4) + 1 }),
	"passes/last-pass-missed":  counting(func(c *screwed, right int, p part) int { return min(right, 4) - 1 }),
	"passes/read-for-exact":    counting(func(c *screwed, right int, p part) int { n, _ := c.readForExact(p); return n }),
	"passes/zero-in-the-count": counting(func(c *screwed, right int, p part) int { n, _ := c.zeroInCount(p); return n }),
}

// limitOf is below what an error counts as right, in percent of span.
func limitOf(p part) float64 {
	if within, _ := withinOf(p.prompt); within(0.14) {
		return 0.15
	}
	return 0.1
}

// clearly counts passes to a limit, and says whether a slightly other limit
// gives the same count: close to it nobody can say what such a count gives.
func (c *screwed) clearly(limit float64) (n int, clear bool) {
	count := func(limit float64) int {
		return c.passes(func(err float64) bool { return math.Abs(err) <= limit })
	}
	return count(limit), count(limit*1.0801) == count(limit/1.0801)
}

// readForExact counts with the other meaning of "done".
func (c *screwed) readForExact(p part) (int, bool) { return c.clearly(0.25 - limitOf(p)) }

// zeroInCount counts as somebody does who thinks that the whole error at the
// top is still there once the zero is set.
func (c *screwed) zeroInCount(p part) (int, bool) {
	his := *c
	bottom, top := c.found[0], c.found[100]
	his.send = func(at, zero, span float64) float64 { return c.send(at, zero, span) + at*(bottom-4) }
	if c.hard {
		his.send = func(at, zero, span float64) float64 { return (mix(4, top, at) + zero) * math.Exp(span/20) }
	}
	return his.clearly(limitOf(p))
}

var adjustSeveral = map[string]func(s sheet, p part) ([]string, error){
	"passes/endless-missed": func(sheet, part) ([]string, error) {
		return []string{"one", "two", "three", "four or more"}, nil
	},
	"passes/remains-overrated":  rated(func(n, right int) bool { return n > right }),
	"passes/remains-underrated": rated(func(n, right int) bool { return n < right }),
}

// rated makes an apprentice who takes what a pass leaves for more, or for
// less, than it is: he may come to any count on that side that no other known
// mistake gives.
func rated(side func(n, right int) bool) func(s sheet, p part) ([]string, error) {
	return func(s sheet, p part) ([]string, error) {
		c, err := s.seeScrews()
		if err != nil {
			return nil, err
		}
		within, err := withinOf(p.prompt)
		if err != nil {
			return nil, err
		}
		right := min(c.passes(within), 4)
		taken := map[string]bool{passWords(1): true, passWords(right - 1): right > 1, passWords(right + 1): true}
		for _, count := range []func(part) (int, bool){c.readForExact, c.zeroInCount} {
			if n, clear := count(p); clear {
				taken[passWords(n)] = true
			}
		}
		var out []string
		for n := 1; n <= 4; n++ {
			if n != right && side(n, right) && !taken[passWords(n)] {
				out = append(out, passWords(n))
			}
		}
		return out, nil
	}
}
