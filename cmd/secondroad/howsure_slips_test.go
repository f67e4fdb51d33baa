package secondroad

import "fmt"

var sureSlips = map[string]apprentice{}

// only finds the gauge of the cupboard that one reason speaks against.
func (b *sure) only(against func(g measure) bool) (int, measure) {
	for i, g := range b.cupboard {
		if against(g) {
			return i, g
		}
	}
	return -1, measure{}
}

func (b *sure) late(g measure) bool  { return b.onScale(g) && g.due < b.job }
func (b *sure) short(g measure) bool { return !b.onScale(g) }
func (b *sure) rough(g measure) bool { return b.onScale(g) && g.due >= b.job && !b.enough(g) }
func (b *sure) spanL() float64       { return b.loop.high - b.loop.low }
func (b *sure) spanG() float64       { return b.gauge.high - b.gauge.low }

func init() {
	one := func(name string, wrong func(b *sure) float64) {
		sureSlips[name] = func(s sheet, p part) (replies, error) {
			b, err := s.seeSure()
			if err != nil {
				return nil, err
			}
			return replies{p.boxes[0].id: {number: wrong(b)}}, nil
		}
	}
	choose := func(name string, wrong func(b *sure) string) {
		sureSlips[name] = func(s sheet, p part) (replies, error) {
			b, err := s.seeSure()
			if err != nil {
				return nil, err
			}
			return p.pick(wrong(b))
		}
	}
	one("abs/loop-span", func(b *sure) float64 { b.loop.percent = b.gauge.percent; return b.loop.far() })
	one("abs/percent-left", func(b *sure) float64 { return b.gauge.percent * b.spanG() })
	one("abs/half-width", func(b *sure) float64 { return b.gauge.far() / 2 })
	one("abs/both-sides", func(b *sure) float64 { return b.gauge.far() * 2 })
	one("abs/upper-end-gauge", func(b *sure) float64 { b.gauge.low = 0; return b.gauge.far() })

	one("share-easy/own-span", func(b *sure) float64 { return b.abs / b.spanG() * 100 })
	one("share-easy/hundred-forgotten", func(b *sure) float64 { return b.percentOf(b.abs) / 100 })
	one("share-easy/unit-for-percent", func(b *sure) float64 { return b.abs })
	one("share-easy/upper-end-loop", func(b *sure) float64 { b.loop.low = 0; return b.percentOf(b.abs) })
	for _, task := range []string{"share", "share-easy"} {
		one(task+"/spans-turned", func(b *sure) float64 { return b.gauge.percent / b.spanG() * b.spanL() })
	}
	one("share/own-span", func(b *sure) float64 { return b.gauge.percent })
	one("share/half-width", func(b *sure) float64 { return b.percentOf(b.gauge.far()) / 2 })
	one("share/both-sides", func(b *sure) float64 { return b.percentOf(b.gauge.far()) * 2 })
	one("share/upper-end", func(b *sure) float64 { return b.gauge.percent * b.gauge.high / b.loop.high })
	for id, why := range map[string]func(b *sure, g measure) bool{"overdue": (*sure).late, "small": (*sure).short, "coarse": (*sure).rough} {
		one("share/"+id+"-share", func(b *sure) float64 {
			_, g := b.only(func(g measure) bool { return why(b, g) })
			return b.percentOf(g.far())
		})
		choose("gauge/"+id+"-taken", func(b *sure) string {
			i, _ := b.only(func(g measure) bool { return why(b, g) })
			return fmt.Sprintf("gauge no. %d", i+1)
		})
	}

	one("both/added", func(b *sure) float64 { return b.uG + b.checker })
	one("both/root-forgotten", func(b *sure) float64 { x := together(b.uG, b.checker); return x * x })
	one("both/checker-forgotten", func(b *sure) float64 { return b.uG })
	one("both/gauge-forgotten", func(b *sure) float64 { return b.checker })
	one("both/own-span-both", func(b *sure) float64 { return together(b.gauge.percent, b.checker) })
	one("both/mean", func(b *sure) float64 { return mix(b.uG, b.checker, 0.5) })

	one("ratio/one-side", func(b *sure) float64 { return b.fits(4 * b.uBoth) })
	one("ratio/u-not-doubled", func(b *sure) float64 { return b.fits(b.uBoth) })
	one("ratio/ratio-turned", func(b *sure) float64 { return 1 / b.fits(2*b.uBoth) })
	one("ratio/own-span-ratio", func(b *sure) float64 { return b.fits(2 * b.gauge.percent) })
	one("ratio/checker-left", func(b *sure) float64 { return b.fits(2 * b.uG) })
	one("ratio/added-ratio", func(b *sure) float64 { return b.fits(2 * (b.uG + b.checker)) })

	one("accept/guard-added", func(b *sure) float64 { return b.accept(-b.uBoth) })
	one("accept/no-guard", func(b *sure) float64 { return b.up })
	one("accept/half-guard", func(b *sure) float64 { return mix(b.up, b.up-b.uBoth, 0.5) })
	one("accept/double-guard", func(b *sure) float64 { return b.up - 2*b.uBoth })
	one("accept/gauge-guard", func(b *sure) float64 { return b.accept(b.uG) })

	one("least/one-side-least", func(b *sure) float64 { return b.least(b.uBoth) / 2 })
	one("least/whole-width", func(b *sure) float64 { return b.least(b.uBoth) * 2 })
	one("least/checker-left-least", func(b *sure) float64 { return b.least(b.uG) })
	one("least/added-least", func(b *sure) float64 { return b.least(b.uG + b.checker) })
	one("least/quarter", func(b *sure) float64 { return b.up / 4 })

	// Whether 4 to 1 is met.
	choose("four/own-span-judged", func(b *sure) string { return yesNo(b.fits(2*b.gauge.percent) >= 4) })
	choose("four/any-ratio", func(b *sure) string { return yesNo(b.fits(2*b.uG) > 1) })
	choose("four/one-side-judged", func(b *sure) string { return yesNo(b.fits(4*b.uG) >= 4) })
	choose("four/ratio-compared-turned", func(b *sure) string { return yesNo(b.fits(2*b.uG) < 4) })

	// The five points.
	judged := func(name string, wrong func(b *sure, e float64) string) {
		sureSlips["points/"+name] = func(s sheet, p part) (replies, error) {
			b, err := s.seeSure()
			if err != nil {
				return nil, err
			}
			return p.pickAll(func(i int) string { return wrong(b, b.found[i]) })
		}
	}
	turned := map[string]string{certainPass: certainFail, certainFail: certainPass, noVerdict: noVerdict}
	judged("guard-forgotten", func(b *sure, e float64) string { return b.verdict(e, 0) })
	judged("guard-outward", func(b *sure, e float64) string {
		if b.verdict(e, b.uBoth) == certainFail {
			return certainFail
		}
		return certainPass
	})
	judged("fails-at-once", func(b *sure, e float64) string {
		if b.verdict(e, b.uBoth) == certainPass {
			return certainPass
		}
		return certainFail
	})
	judged("never-fails", func(b *sure, e float64) string {
		if b.verdict(e, b.uBoth) == certainPass {
			return certainPass
		}
		return noVerdict
	})
	judged("sign-compared", func(b *sure, e float64) string {
		if e < 0 {
			return certainPass
		}
		return b.verdict(e, b.uBoth)
	})
	judged("verdicts-turned", func(b *sure, e float64) string { return turned[b.verdict(e, b.uBoth)] })
	judged("never-sure", func(*sure, float64) string { return noVerdict })

	// The largest error by two rules, and what is written down.
	alone := func(b *sure) string { return b.verdict(b.largest, 0) }
	guarded := func(b *sure) string { return b.verdict(b.largest, b.uBoth) }
	choose("rules/guard-ignored", func(b *sure) string { return ruled(alone(b), alone(b)) })
	choose("rules/sign-pass", func(b *sure) string {
		if b.largest < 0 {
			return ruled(certainPass, certainPass)
		}
		return ruled(alone(b), guarded(b))
	})
	choose("rules/guard-outside", func(b *sure) string {
		if guarded(b) == certainFail {
			return ruled(certainFail, certainFail)
		}
		return ruled(certainPass, certainPass)
	})
	choose("rules/rules-turned", func(b *sure) string { return ruled(turned[alone(b)], turned[guarded(b)]) })
	choose("rules/rules-turned-fail", func(b *sure) string { return ruled(turned[alone(b)], turned[guarded(b)]) })
	choose("rules/always-open-pass", func(b *sure) string { return ruled(alone(b), noVerdict) })
	choose("rules/always-open-fail", func(b *sure) string { return ruled(alone(b), noVerdict) })
	choose("rules/side-of-limit", func(*sure) string { return ruled(certainPass, noVerdict) })
	choose("rules/accept-as-limit", func(*sure) string { return ruled(certainFail, noVerdict) })
	choose("rules/open-as-fail", func(b *sure) string {
		if guarded(b) == certainPass {
			return ruled(certainPass, certainPass)
		}
		return ruled(certainFail, certainFail)
	})
	choose("record/inside-is-enough", func(b *sure) string { return recorded[alone(b)] })
	choose("record/doubt-passes", func(*sure) string { return recorded[certainPass] })
	choose("record/no-verdict-dared", func(*sure) string { return recorded[noVerdict] })
	choose("record/doubt-fails", func(b *sure) string {
		if guarded(b) == certainPass {
			return recorded[certainPass]
		}
		return recorded[certainFail]
	})
	choose("record/any-error-fails", func(*sure) string { return recorded[certainFail] })
}
