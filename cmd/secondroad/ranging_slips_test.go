package secondroad

import "math"

// The apprentices of "level and flow": each knows the page and makes one slip.

var rangingSlips = map[string]apprentice{}

// tankSlip makes an apprentice of one wrong number about a vessel.
func tankSlip(wrong func(t tank) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		t, err := s.seeTank()
		return replies{p.boxes[0].id: {number: wrong(t)}}, err
	}
}

// meterSlip makes one of a wrong number about a flow.
func meterSlip(wrong func(m orifice) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		m, err := s.seeMeter()
		return replies{p.boxes[0].id: {number: wrong(m)}}, err
	}
}

// pointsSlip makes one of wrong pressures at all points.
func pointsSlip(wrong func(m orifice, percent float64) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		m, err := s.seeMeter()
		if err != nil {
			return nil, err
		}
		out := replies{}
		return out, p.eachFlow(out, func(x float64) float64 { return wrong(m, x) })
	}
}

func init() {
	// The two ends: the same slips with another level.
	for task, of := range map[string]func(t tank) (here, other float64){
		"lrv": func(t tank) (float64, float64) { return t.empty, t.full },
		"urv": func(t tank) (float64, float64) { return t.full, t.empty },
	} {
		end := func(name string, wrong func(t tank, level float64) float64) {
			rangingSlips[task+"/"+name] = tankSlip(func(t tank) float64 {
				level, _ := of(t)
				return wrong(t, level) / 1000
			})
		}
		// The pressures of both sides, each from a height down to the cell.
		high := func(t tank, level float64) float64 { return t.column(t.liquid, level, t.cell) }
		low := func(t tank) float64 {
			if !t.wet {
				return 0
			}
			return t.column(t.filling, t.leg, t.cell)
		}
		end("gravity-forgotten", func(t tank, level float64) float64 {
			t.liquid, t.filling = 1, 1
			return t.senses(level)
		})
		end("mount-forgotten", func(t tank, level float64) float64 { t.cell = 0; return t.senses(level) })
		end("mount-side", func(t tank, level float64) float64 { t.cell = -t.cell; return t.senses(level) })
		end("mount-one-side", func(t tank, level float64) float64 {
			return high(t, level) - t.column(t.filling, t.leg, 0)
		})
		end("line-of-water", func(t tank, level float64) float64 {
			return t.column(t.liquid, level, 0) + t.column(1, 0, t.cell)
		})
		end("gravity-divided", func(t tank, level float64) float64 { return t.column(1, level, t.cell) / t.liquid })
		end("metres-as-kpa", func(t tank, level float64) float64 { t.water = 1000; return t.senses(level) })
		end("zero-at-tap", func(t tank, level float64) float64 { return t.senses(0) })
		end("span-given", func(t tank, level float64) float64 { return t.senses(t.full) - t.senses(t.empty) })
		end("leg-forgotten", func(t tank, level float64) float64 { return high(t, level) })
		end("leg-added", func(t tank, level float64) float64 { return high(t, level) + low(t) })
		end("sides-swapped", func(t tank, level float64) float64 { return low(t) - high(t, level) })
		end("one-gravity", func(t tank, level float64) float64 { t.filling = t.liquid; return t.senses(level) })
		rangingSlips[task+"/ends-swapped"] = tankSlip(func(t tank) float64 {
			_, level := of(t)
			return t.senses(level) / 1000
		})
	}
	// Not every slip can be made at every end.
	delete(rangingSlips, "lrv/span-given")
	delete(rangingSlips, "urv/zero-at-tap")

	current := func(name string, wrong func(t tank) float64) { rangingSlips["current/"+name] = tankSlip(wrong) }
	current("dead-zero", func(t tank) float64 { return mix(0, 20, along(t.level, t.empty, t.full)) })
	current("low-forgotten", func(t tank) float64 { return mix(4, 20, along(t.level, 0, t.full)) })
	current("zero-not-added", func(t tank) float64 { return mix(0, 16, along(t.level, t.empty, t.full)) })
	current("upper-for-span", func(t tank) float64 { return mix(4, 20, along(t.level, t.empty, t.empty+t.full)) })
	current("reversed", func(t tank) float64 { return mix(20, 4, along(t.level, t.empty, t.full)) })

	level := func(name string, wrong func(t tank) float64) { rangingSlips["level/"+name] = tankSlip(wrong) }
	level("dead-zero", func(t tank) float64 { return mix(t.empty, t.full, along(t.sends, 0, 20)) })
	level("low-forgotten", func(t tank) float64 { return atCurrent(t.sends, 0, t.full) })
	level("low-not-added", func(t tank) float64 { return atCurrent(t.sends, 0, t.full-t.empty) })
	level("upper-for-span", func(t tank) float64 { return atCurrent(t.sends, t.empty, t.empty+t.full) })
	level("reversed", func(t tank) float64 { return atCurrent(t.sends, t.full, t.empty) })

	lost := func(name string, wrong func(t tank) float64) { rangingSlips["lost/"+name] = tankSlip(wrong) }
	lost("lost-sign", func(t tank) float64 { return t.legError(t.column(t.filling, t.leg-t.lost, t.leg)) })
	lost("filling-forgotten", func(t tank) float64 { return t.legError(t.column(1, t.lost, 0)) })
	lost("lost-one-gravity", func(t tank) float64 { return t.legError(t.column(t.liquid, t.lost, 0)) })
	lost("lost-of-level", func(t tank) float64 { return 100 * along(t.lost, 0, t.full) })
	lost("lost-of-leg", func(t tank) float64 { return 100 * along(t.lost, 0, t.leg) })
	lost("lost-of-lower", func(t tank) float64 {
		low, _ := t.ends()
		return 100 * along(t.column(t.filling, t.lost, 0)/1000, 0, math.Abs(low))
	})

	one := func(name string, wrong func(m orifice) float64) { rangingSlips[name] = meterSlip(wrong) }
	one("new-range/square-forgotten", func(m orifice) float64 { return mix(0, m.dp, m.newFlow/m.flow) })
	one("new-range/root-for-square", func(m orifice) float64 {
		return rises(func(p float64) float64 { return holds(p, m.dp, 1) }, m.newFlow/m.flow, 0, 9*m.dp)
	})
	one("new-range/ratio-turned", func(m orifice) float64 { return holds(m.flow, m.newFlow, m.dp) })
	one("new-range/range-kept", func(m orifice) float64 { return m.dp })
	one("new-range/square-doubled", func(m orifice) float64 { return m.dp + 2*m.dp*(m.newFlow-m.flow)/m.flow })

	points := func(name string, wrong func(m orifice, percent float64) float64) {
		rangingSlips["points/"+name] = pointsSlip(wrong)
	}
	points("points-linear", func(m orifice, x float64) float64 { return mix(0, m.newDP(), x/100) })
	points("points-rooted", func(m orifice, x float64) float64 {
		return mix(0, m.newDP(), rises(func(y float64) float64 { return holds(y, 1, 1) }, x/100, 0, 1))
	})
	points("points-twice", func(m orifice, x float64) float64 { return holds(holds(x, 100, 1), 1, m.newDP()) })
	points("points-old", func(m orifice, x float64) float64 { return holds(x, 100, m.dp) })

	one("flow/root-twice", func(m orifice) float64 {
		// Reads a flow off the signal as if it were a pressure still.
		return m.runsAt(mix(4, 20, m.runsAt(m.sends, 1, m.rooted)), m.newFlow, false)
	})
	one("flow/flow-squared", func(m orifice) float64 { return holds(m.runsAt(m.sends, 1, true), 1, m.newFlow) })
	one("flow/root-for-square", func(m orifice) float64 { return holds(m.runsAt(m.sends, 1, true), 1, m.newFlow) })
	one("flow/root-forgotten", func(m orifice) float64 { return m.runsAt(m.sends, m.newFlow, true) })
	one("flow/old-flow", func(m orifice) float64 { return m.runsAt(m.sends, m.flow, m.rooted) })
	one("flow/dead-zero", func(m orifice) float64 {
		return m.runsAt(mix(4, 20, m.sends/20), m.newFlow, m.rooted)
	})

	one("flow-error/error-carried", func(m orifice) float64 { return m.zero })
	one("flow-error/rooted-alone", func(m orifice) float64 { return m.shows(0, math.Abs(m.zero)) })
	one("flow-error/shown-given", func(m orifice) float64 { return m.shows(m.runs, m.zero) })
	one("flow-error/error-sign", func(m orifice) float64 { return m.runs - m.shows(m.runs, m.zero) })
	one("flow-error/of-reading", func(m orifice) float64 { return 100 * (m.shows(m.runs, m.zero)/m.runs - 1) })
	one("flow-error/flow-not-squared", func(m orifice) float64 {
		return m.shows(0, m.runs+m.zero) - m.shows(0, m.runs)
	})

	one("amount/hours-forgotten", func(m orifice) float64 { return m.counts(m.off(), m.newFlow, m.days, 1) })
	one("amount/amount-of-zero", func(m orifice) float64 { return m.counts(m.zero, m.newFlow, m.days, m.hours) })
	one("amount/amount-of-flow", func(m orifice) float64 {
		return m.counts(m.off(), m.newFlow*m.runs/100, m.days, m.hours)
	})
	one("amount/amount-old", func(m orifice) float64 { return m.counts(m.off(), m.flow, m.days, m.hours) })
	one("amount/one-day", func(m orifice) float64 { return m.counts(m.off(), m.newFlow, 1, m.hours) })
	one("amount/amount-sign", func(m orifice) float64 { return -m.counts(m.off(), m.newFlow, m.days, m.hours) })
}
