package secondroad

import (
	"fmt"
	"slices"
)

// The apprentices of "may it go there": each makes one slip, built from the
// sentence that the key would say to him.
var gothereSlips = map[string]apprentice{}

// gothereNumber makes an apprentice of one slip with a number, gothereChoice of
// one with a choice.
func gothereNumber(name string, wrong func(n nameplates) float64) {
	gothereSlips[name] = func(s sheet, p part) (r replies, err error) {
		defer stumbles(&err)
		return replies{p.boxes[0].id: {number: wrong(s.seeNameplates())}}, nil
	}
}

func gothereChoice(name string, wrong func(n nameplates) string) {
	gothereSlips[name] = func(s sheet, p part) (r replies, err error) {
		defer stumbles(&err)
		return p.pick(wrong(s.seeNameplates()))
	}
}

func stumbles(err *error) {
	if p := recover(); p != nil {
		*err = fmt.Errorf("%v", p)
	}
}

// classBeside is the surface of another class: by so many after the right one.
func (n nameplates) classBeside(by int) float64 {
	_, _, class := n.marking()
	return n.of(fmt.Sprintf("T%d", int(class[1]-'0')+by), "°C")
}

func (n nameplates) ignition() float64 { return n.of("Ignition temperature of the gas", "°C") }

// alwaysSays gives an apprentice who always says the same.
func alwaysSays(text string) func(nameplates) string { return func(nameplates) string { return text } }

func init() {
	gothereNumber("margin/ambient-added", func(n nameplates) float64 {
		return degrees(n.classBeside(0)+n.of("Ambient temperature, highest", "°C"), n.ignition())
	})
	gothereNumber("margin/turned", func(n nameplates) float64 { return degrees(n.ignition(), n.classBeside(0)) })
	gothereNumber("margin/ambient-for-surface", func(n nameplates) float64 {
		return degrees(n.of("Ambient temperature, highest", "°C"), n.ignition())
	})
	gothereNumber("margin/class-hotter", func(n nameplates) float64 { return degrees(n.classBeside(-1), n.ignition()) })
	gothereNumber("margin/class-cooler", func(n nameplates) float64 { return degrees(n.classBeside(1), n.ignition()) })

	ends := func(n nameplates) (top, low float64) {
		l, t, from, to := n.ambient()
		return to - t, l - from
	}
	gothereNumber("reserve/larger", func(n nameplates) float64 { a, b := ends(n); return max(a, b) })
	gothereNumber("reserve/widths", func(n nameplates) float64 {
		l, t, from, to := n.ambient()
		return (to - from) - (t - l)
	})
	gothereNumber("reserve/reserve-turned", func(n nameplates) float64 { return -keeps(n.ambient()) })
	gothereNumber("reserve/standard-range", func(n nameplates) float64 {
		l, t, _, _ := n.ambient()
		return keeps(l, t, -20, 40)
	})

	for _, c := range []struct {
		task  string
		words map[string]string
		order []string // mildest first
		of    func(n nameplates) string
	}{
		{"groups", groupWords, []string{"IIA", "IIB", "IIC"}, func(n nameplates) string { _, g, _ := n.marking(); return g }},
		{"zones", zoneWords, []string{"ic", "ib", "ia"}, func(n nameplates) string { l, _, _ := n.marking(); return l }},
	} {
		by := func(step int) func(n nameplates) string {
			return func(n nameplates) string { return c.words[c.order[slices.Index(c.order, c.of(n))+step]] }
		}
		gothereChoice(c.task+"/"+c.task+"-turned", func(n nameplates) string {
			return c.words[c.order[2-slices.Index(c.order, c.of(n))]]
		})
		gothereChoice(c.task+"/"+c.task+"-one-more", by(1))
		gothereChoice(c.task+"/"+c.task+"-itself-out", by(-1))
		gothereChoice(c.task+"/"+c.task+"-ignored", alwaysSays(c.words[c.order[2]]))
	}

	for _, what := range []string{"hot", "ambient", "group", "zone"} {
		gothereChoice("place/"+what+"-unseen", alwaysSays(noObjection))
	}
	const tooHot, outside = "it may not: its surface can get too hot", "it may not: the place leaves its ambient limits"
	const otherGroup, lowLevel = "it may not: its group does not cover this gas", "it may not: its level is too low for the zone"
	gothereChoice("place/hot-turned", alwaysSays(tooHot))
	gothereChoice("place/ambient-on-top", func(n nameplates) string {
		if n.classBeside(0)+n.of("Ambient temperature, highest", "°C") >= n.ignition() {
			return tooHot
		}
		return noObjection
	})
	gothereChoice("place/judged-by-standard", func(n nameplates) string {
		if l, t, _, _ := n.ambient(); keeps(l, t, -20, 40) < 0 {
			return outside
		}
		return noObjection
	})
	gothereChoice("place/ambient-turned", alwaysSays(outside))
	gothereChoice("place/group-turned", func(n nameplates) string {
		if _, g, _ := n.marking(); slices.Contains(made[n["Group of the gas"]], g) {
			return noObjection // the gas is as hard as the group, or harder
		}
		return otherGroup
	})
	gothereChoice("place/group-in-hand", alwaysSays(otherGroup))
	gothereChoice("place/zone-turned", alwaysSays(lowLevel))
	gothereChoice("place/zone-in-hand", alwaysSays(lowLevel))

	pairSlips()
	whoSlips()
}

func pairSlips() {
	one := func(name string, wrong func(w wired) float64) {
		gothereNumber(name, func(n nameplates) float64 { return wrong(n.wired()) })
	}
	one("left/own-forgotten", func(w wired) float64 { return w.co })
	one("left/own-added", func(w wired) float64 { return w.co + w.ci[0] })
	one("left/other-group", func(w wired) float64 { return w.other - w.ci[0] })
	one("left/halved", func(w wired) float64 { return w.co/2 - w.ci[0] })
	one("left/hundred", func(w wired) float64 { return w.co/10 - w.ci[0] })

	one("by-c/own-forgotten-again", func(w wired) float64 { w.ci = nil; return w.byC(w.co) })
	one("by-c/there-and-back", func(w wired) float64 { w.perC *= 2; return w.byC(w.co) })
	one("by-c/kilometres", func(w wired) float64 { return w.byC(w.co) / 1000 })
	one("by-c/own-taken-twice", func(w wired) float64 { w.ci = append(w.ci, w.ci...); return w.byC(w.co) })

	one("by-l/li-forgotten", func(w wired) float64 { w.li = nil; return w.byL(w.lo) })
	one("by-l/li-added", func(w wired) float64 { w.li[0] *= -1; return w.byL(w.lo) })
	one("by-l/there-and-back", func(w wired) float64 { w.perL *= 2; return w.byL(w.lo) })
	one("by-l/kilometres", func(w wired) float64 { return w.byL(w.lo) / 1000 })
	one("by-l/other-group", func(w wired) float64 { return w.byL(w.otherL) })

	gothereChoice("limits/larger", func(n nameplates) string {
		if w := n.wired(); w.byC(w.co) > w.byL(w.lo) {
			return "its capacitance"
		}
		return "its inductance"
	})
	for _, what := range []string{"voltage-unseen", "current-unseen", "power-unseen"} {
		gothereChoice("pair/"+what, alwaysSays(noObjection))
	}
	gothereChoice("pair/larger-trusted", func(n nameplates) string {
		if w := n.wired(); max(w.byC(w.co), w.byL(w.lo)) >= w.length {
			return noObjection
		}
		return "it may not: too much capacitance"
	})
	gothereChoice("pair/power-prefix", func(n nameplates) string {
		if w := n.wired(); w.po > w.pi[0]/1000 {
			return "it may not: too much power"
		}
		return noObjection
	})
	// Who turns a comparison round asks that the barrier give more than is
	// stood, or that the cable be longer than it may be.
	turned := func(name string, less func(w wired) bool) {
		gothereChoice("pair/"+name+"-turned", func(n nameplates) string {
			if less(n.wired()) {
				return "it may not: too much " + name
			}
			return noObjection
		})
	}
	turned("voltage", func(w wired) bool { return w.uo < w.ui[0] })
	turned("current", func(w wired) bool { return w.io < w.ii[0] })
	turned("capacitance", func(w wired) bool { return w.length < w.byC(w.co) })
	turned("inductance", func(w wired) bool { return w.length < w.byL(w.lo) })
}

func whoSlips() {
	one := func(name string, wrong func(w wired) float64) {
		gothereNumber(name, func(n nameplates) float64 { return wrong(n.wired()) })
	}
	one("sum-u/source-forgotten", func(w wired) float64 { return w.uo })
	one("sum-u/sources-apart", func(w wired) float64 { return w.uo - w.uk })
	one("sum-u/limit-added", func(w wired) float64 { return w.uo + w.ui[2] })
	one("sum-i/source-forgotten", func(w wired) float64 { return w.io })
	one("sum-i/sources-apart", func(w wired) float64 { return w.io - w.ik })
	one("sum-i/limit-added", func(w wired) float64 { return w.io + w.ii[2] })
	one("all-c/checker-uncounted", func(w wired) float64 { return sumOf(w.ci[:2]) })
	one("all-c/indicator-uncounted", func(w wired) float64 { return w.ci[0] + w.ci[2] })
	one("all-c/transmitter-alone", func(w wired) float64 { return w.ci[0] })
	one("all-c/checker-twice", func(w wired) float64 { return sumOf(w.ci) + w.ci[2] })

	one("by-c-with/co-alone", func(w wired) float64 { return w.byC(w.co) })
	one("by-c-with/own-forgotten", func(w wired) float64 { w.ci = nil; return w.byC(w.allowedC) })
	one("by-c-with/there-and-back", func(w wired) float64 { w.perC *= 2; return w.byC(w.allowedC) })
	one("by-c-with/own-added", func(w wired) float64 { return w.byC(w.allowedC + 2*sumOf(w.ci)) })
	one("by-l-with/lo-alone", func(w wired) float64 { return w.byL(w.lo) })
	one("by-l-with/checker-uncounted", func(w wired) float64 { w.li = w.li[:2]; return w.byL(w.allowedL) })
	one("by-l-with/own-forgotten", func(w wired) float64 { w.li = nil; return w.byL(w.allowedL) })
	one("by-l-with/there-and-back", func(w wired) float64 { w.perL *= 2; return w.byL(w.allowedL) })

	gothereChoice("who/alone-unseen", alwaysSays(noObjection))
	gothereChoice("who/checker-unseen", alwaysSays(noObjection))
	gothereChoice("who/loop-blamed", alwaysSays(loopMayNot))
	gothereChoice("who/sound-forbidden", alwaysSays(loopMayNot))
	gothereChoice("who/checker-to-blame", func(n nameplates) string {
		return "the checker may not go in: too much " + n.wired().alone()
	})
	turned := func(name string, less func(w wired) bool) {
		gothereChoice("who/"+name+"-turned", func(n nameplates) string {
			if less(n.wired()) {
				return "the checker may not go in: too much " + name
			}
			return noObjection
		})
	}
	turned("voltage", func(w wired) bool { return w.uo+w.uk < slices.Min(w.ui) })
	turned("current", func(w wired) bool { return w.io+w.ik < slices.Min(w.ii) })
	turned("capacitance", func(w wired) bool { return w.length < w.byC(w.allowedC) })
	turned("inductance", func(w wired) bool { return w.length < w.byL(w.allowedL) })

	gothereChoice("cell/place-missed", alwaysSays(cellOut))
	gothereChoice("cell/named-refused", alwaysSays(cellFetch))
	gothereChoice("cell/cell-is-repair", alwaysSays(cellWorkshop))
	gothereChoice("cell/cell-inside", alwaysSays(cellHere))
	gothereChoice("cell/same-volts", alwaysSays(cellOut))
	gothereChoice("cell/damage-unseen-here", alwaysSays(cellHere))
	gothereChoice("cell/damage-unseen", alwaysSays(cellOut))
	gothereChoice("cell/cell-suspected", alwaysSays(cellFetch))
}
