package fivepoint

import (
	"math"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
)

// sizes gives the least and the greatest worst error of a fault with one part,
// in small marks: what the transmitter can send, less what the plant's own
// sizes leave out.
func (c *check) sizes(lowest, highest, stop int) (from, to int) {
	switch c.fault {
	case "low-zero":
		to = -lowest
	case "span-low":
		to = stop
	default:
		to = highest
	}
	from = least
	if b := nullbalance.SizeMarks(c.plant, c.loop, c.fault, 100); b != nil {
		from, to = max(from, b[0].From), min(to, b[0].To)
	}
	return from, to
}

// parts gives the plant's bounds for zero and span of a compound fault, or nil.
func (c *check) parts() []nullbalance.Marked {
	return nullbalance.SizeMarks(c.plant, c.loop, c.fault, 100, 100)
}

// partsFrom narrows the size of the larger of both ends of a compound fault to
// what the plant's sizes allow; low says that it is a negative error.
func (c *check) partsFrom(atZero, low bool, from, to int) (int, int) {
	b := c.parts()
	if b == nil {
		return from, to
	}
	end := b[0] // at 0 % the zero alone
	if !atZero {
		end = b[0].Add(b[1])
	}
	if low {
		end = nullbalance.Marked{From: -end.To, To: -end.From}
	}
	return max(from, end.From), min(to, end.To)
}

// partsFit says whether a compound fault with the error w at its larger end and
// v at the other one has zero and span within the plant's sizes.
func (c *check) partsFit(atZero bool, w, v int) bool {
	b := c.parts()
	if b == nil {
		return true
	}
	zero, full := w, v
	if !atZero {
		zero, full = v, w
	}
	return b[0].Has(zero) && b[1].Has(full-zero)
}

// cellVolt is the cell without load that makes a good transmitter read this
// many small marks high at 100 %.
func (c *check) cellVolt(full int) float64 {
	perMark := c.face.PerSmallMark.Float64() / 100
	params := c.checker.Params
	// The reference is low by the fraction d, which shows as 5 V × d at 100 %,
	// where the span is 4 V.
	d := float64(full) * perMark * 4 / 5
	return float64(params.RegulatorVolt*(1-d)) + params.DropOutVolt + float64(params.CellOhm*params.CellLoadMilliamp*1e-3)
}

// cellMarks narrows the reading at 100 % of a weak cell to what the plant's
// sizes, volts without load, allow.
func (c *check) cellMarks(from, to int) (int, int) {
	b := c.plant.Sizes(weakCell, c.loop)
	if b == nil {
		return from, to
	}
	within := func(full int) bool {
		v := c.cellVolt(full)
		return v >= b[0].Low.Float64() && v <= b[0].High.Float64()
	}
	for from <= to && !within(from) {
		from++
	}
	for to >= from && !within(to) {
		to--
	}
	return from, to
}

// drawable tries points spread over the draw space: the first that gives errors
// at both ends proves that there are some.
func (p *plan) drawable(fault string, l *scenarios.Loop) bool {
	const tries = 400
	regions := regionsOf(l, p.exercise.Plant.Checker.Face)
	for i := range uint64(tries) {
		c := check{plant: p.exercise.Plant, loop: l, checker: &p.exercise.Plant.Checker, face: p.exercise.Plant.Checker.Face, fault: fault}
		pick := exercises.NewPicker(i * (math.MaxUint64 / tries))
		if p.exercise.Level == "hard" && fault == weakCell {
			c.drawRest(pick)
		}
		if c.ends(pick, regions) == nil {
			return true
		}
	}
	return false
}
