// Package fivepoint is the family "five-point check": a transmitter as found
// at 0, 25, 50, 75 and 100 %, from five needles to the first step of
// adjustment.
package fivepoint

import (
	_ "embed"
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/fivepoint/prompts.md", promptsFile)

// points are the inputs of the check, in percent of range.
var points = [5]int{0, 25, 50, 75, 100}

const weakCell = "weak-cell"

var (
	faults     = []string{"low-zero", "high-zero", "span-low", "span-high", "zero-and-span", weakCell}
	easyFaults = faults[:4]
)

const (
	rejectNoRoom    exercises.Reject = "no size of this fault gives this verdict in this loop"
	rejectTie       exercises.Reject = "two points equally far off"
	rejectNearLimit exercises.Reject = "a curvature that moves the worst error across a limit"
	rejectMissed    exercises.Reject = "needles that do not follow the fault drawn"
	rejectCell      exercises.Reject = "a cell reading too near to its line"

	// partMarks is how many small marks each part of a compound fault must
	// show at least: more than three.
	partMarks = 4
	// least is the smallest worst error, in small marks: below it, counting
	// marks as tenths gives the right figures.
	least = 3
	// mostBow is the greatest curvature, in small marks at 50 %. A real
	// transmitter has some; it stays too small to decide anything but which
	// point is the worst.
	mostBow = 10
)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "five-point-check",
		Purpose: "check a transmitter at five points as found and decide on the first adjustment",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "zero or span alone is off"},
			{Name: "usual", Changes: "zero and span together, or the checker's own cell is weak"},
			{Name: "hard", Changes: "as usual, and the mechanical zero is off"},
		},
		Faults:   faults,
		MinLoops: 1,
		Fits:     fits,
		Takes:    "loops with 4-20 mA and direct action, without a square root in the transmitter; a face of 10 divisions of 5 small marks, at most 0.1 % of span each",
	}
}

func fits(_ string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	if l.Root == scenarios.RootTransmitter {
		return "takes the square root in the transmitter, so that five even points are not even for its output", false
	}
	if l.Action == scenarios.Reverse {
		return "is reverse-acting, for which this exercise has no wording yet", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	byDefault := faults
	if e.Level == "easy" {
		byDefault = easyFaults
	}
	s, ds := exercises.Screen(e, f.Spec(), "five needle readings and a cell check", byDefault)
	if why, ok := nullbalance.FitsFace(e.Plant.Checker.Face); !ok {
		ds = append(ds, exercises.At(e, diag.Error, "face-does-not-fit", fmt.Sprintf("exercise %q cannot use the checker of %s, which %s", e.ID, e.Plant.Name, why), ""))
	}
	p := &plan{exercise: e, faults: s.Faults}
	ds = append(ds, nullbalance.Undrawable(e, s.Faults, s.Loops, "check", p.drawable)...)
	for _, l := range s.Loops {
		r := regionsOf(l, e.Plant.Checker.Face)
		if len(r) < 2 {
			ds = append(ds, exercises.At(e, diag.Warning, "one-verdict",
				fmt.Sprintf("with a tolerance of %s and adjustment beyond %s of span, %s can only be drawn with one verdict in exercise %q",
					exercises.Quantity(l.Tolerance, "%"), exercises.Quantity(l.AdjustAt, "%"), l.Tag, e.ID),
				"let the adjust limit be at least 0.5 % of span, or equal to the tolerance"))
		}
		p.loops = append(p.loops, prepared{l, r})
	}
	return p, ds
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []prepared
	faults   []string
}

type prepared struct {
	loop    *scenarios.Loop
	regions []region
}

// region is a span of sizes of the worst error, in small marks, that gives one
// verdict clear of the limits.
type region struct{ from, to int }

// regionsOf lists the regions of a loop: inside the adjust limit, between it
// and the tolerance, and outside the tolerance, those that have room.
func regionsOf(l *scenarios.Loop, f scenarios.Face) []region {
	tolerance, adjust := nullbalance.Marks(f, l.Tolerance), nullbalance.Marks(f, l.AdjustAt)
	var out []region
	for _, r := range []region{
		{least, adjust - nullbalance.Clear},
		{adjust + nullbalance.Clear, tolerance - nullbalance.Clear},
		{max(tolerance, adjust) + nullbalance.Clear, f.Stop() - 2},
	} {
		if r.from <= r.to {
			out = append(out, r)
		}
	}
	return out
}

// check is one drawn check.
type check struct {
	plant   *scenarios.Plant
	loop    *scenarios.Loop
	face    scenarios.Face
	checker *scenarios.Checker
	fault   string
	zero    int // error at 0 %, small marks
	full    int // error at 100 %
	rest    int // mechanical zero, small marks
	bow     int // curvature, small marks at 50 %
	set     nullbalance.Set
	needles [5]loop.Needle // as printed
	cell    loop.Needle
	marks   [5]int // errors: needles less rest
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	c := check{plant: p.exercise.Plant, checker: &p.exercise.Plant.Checker, face: p.exercise.Plant.Checker.Face}
	c.fault = p.faults[pick.Int(len(p.faults))]
	l := p.loops[pick.Int(len(p.loops))]
	c.loop = l.loop
	// The range of a weak cell depends on where the needle rests; where it may
	// rest depends on the other faults.
	hard := p.exercise.Level == "hard"
	if hard && c.fault == weakCell {
		c.drawRest(pick)
	}
	if err := c.ends(pick, l.regions); err != nil {
		return exercises.Item{}, err
	}
	if hard && c.fault != weakCell {
		c.drawRest(pick)
	}
	c.curve(pick)
	if err := c.read(pick); err != nil {
		return exercises.Item{}, err
	}
	if err := c.distinct(l.regions); err != nil {
		return exercises.Item{}, err
	}
	return p.build(&c), nil
}

// ends draws the errors at both ends: which verdict first, then a size that
// gives it, so that every verdict gets its share.
func (c *check) ends(pick *exercises.Picker, regions []region) error {
	stop := c.face.Stop() - 2
	t := c.loop.Params.Transmitter
	perMark := c.face.PerSmallMark.Float64() / 100
	// How far the ends can go before the transmitter saturates.
	lowest := max(-stop, -int((4-t.LowMilliamp)/16/perMark-0.5))
	highest := min(stop, int((t.HighMilliamp-20)/16/perMark-0.5))
	if c.fault == weakCell {
		// Errors go as 1:2:3:4:5, and the cell reading falls short of its
		// line by what the regulator lost: far enough to be seen, with the
		// mechanical zero in it too.
		p := c.checker.Params
		perMarkBelow := perMark * 4 / 5 * p.RegulatorVolt / c.face.CellPerSmall.Float64()
		from := int(float64(nullbalance.Clear+abs(c.rest))/perMarkBelow) + 1
		// Read with it, a right 20 mA must not look like more than any
		// transmitter can send.
		from, to := c.cellMarks(from, highest)
		if from > to {
			return rejectCell
		}
		c.full = pick.Between(from, to)
		return nil
	}
	if c.fault == "zero-and-span" {
		return c.compound(pick, regions, lowest, highest, stop)
	}
	low, most := c.sizes(lowest, highest, stop)
	w, err := size(pick, regions, low, most)
	switch c.fault {
	case "low-zero":
		c.zero, c.full = -w, -w
	case "high-zero":
		c.zero, c.full = w, w
	case "span-low":
		c.full = -w
	case "span-high":
		c.full = w
	}
	return err
}

// size draws a verdict among those that a size from least to most can give,
// then a size that gives it.
func size(pick *exercises.Picker, regions []region, least, most int) (int, error) {
	var fit []region
	for _, r := range regions {
		r.from, r.to = max(r.from, least), min(r.to, most)
		if r.from <= r.to {
			fit = append(fit, r)
		}
	}
	if len(fit) == 0 {
		return 0, rejectNoRoom
	}
	r := fit[pick.Int(len(fit))]
	return pick.Between(r.from, r.to), nil
}

// compound draws zero and span together. The larger error is at one of the
// ends; the other end stays clear of it, and each part shows by more than
// three small marks.
func (c *check) compound(pick *exercises.Picker, regions []region, lowest, highest, stop int) error {
	atZero, low := pick.Int(2) == 0, pick.Int(2) == 0
	smallest, most := partMarks, stop
	switch {
	case atZero && low:
		most = -lowest
	case !atZero && !low:
		most = highest
	}
	if !atZero {
		smallest = partMarks + nullbalance.Clear // the other end is the zero
	}
	smallest, most = c.partsFrom(atZero, low, smallest, most)
	w, err := size(pick, regions, smallest, most)
	if err != nil {
		return err
	}
	if low {
		w = -w
	}
	var others []int
	reach := abs(w) - nullbalance.Clear
	for v := -reach; v <= reach; v++ {
		if abs(v-w) < partMarks || atZero && v > highest || !atZero && (v < lowest || abs(v) < partMarks) {
			continue
		}
		if !c.partsFit(atZero, w, v) {
			continue
		}
		others = append(others, v)
	}
	if len(others) == 0 {
		return rejectNoRoom
	}
	v := others[pick.Int(len(others))]
	c.zero, c.full = w, v
	if !atZero {
		c.zero, c.full = v, w
	}
	return nil
}

// drawRest draws the mechanical zero: two to four small marks, either way. With
// the same error N at all points, some would let the slips about it meet
// another slip: N and m added once or twice, against 2 N, −N and 5 N.
func (c *check) drawRest(pick *exercises.Picker) {
	level := c.fault != weakCell && c.zero == c.full
	var fit []int
	for m := -4; m <= 4; m++ {
		clear := abs(m) >= 2
		for _, once := range []int{c.zero, -2 * c.zero, 4 * c.zero} {
			if level && (abs(m-once) <= 1 || abs(2*m-once) <= 1) {
				clear = false
			}
		}
		if clear {
			fit = append(fit, m)
		}
	}
	if len(fit) == 0 {
		fit = []int{-2, 2}
	}
	c.rest = fit[pick.Int(len(fit))]
}

// curve draws a curvature, none in a third of the checks. With a zero error
// alone it must bend the same way and far enough, or two points would be
// equally far off.
func (c *check) curve(pick *exercises.Picker) {
	most := min(mostBow, 1+max(abs(c.zero), abs(c.full))/3)
	switch {
	case c.fault == weakCell || pick.Int(3) == 0:
	case c.zero != c.full:
		c.bow = pick.Between(-most, most)
	case most >= 3:
		c.bow = pick.Between(3, most)
		if c.zero < 0 {
			c.bow = -c.bow
		}
	}
}

// read puts the fault into the loop and takes the five readings and the cell
// check.
func (c *check) read(pick *exercises.Picker) error {
	perMark := c.face.PerSmallMark.Float64() / 100
	c.set = nullbalance.Set{Loop: c.loop, Checker: c.checker, Place: loop.SeriesField, Rest: c.rest}
	params := c.checker.Params
	line := c.face.CellLineSmall
	if c.fault == weakCell {
		c.set.CellVolt = c.cellVolt(c.full)
		c.zero = 0 // read below
	} else {
		// A tenth of a mark keeps the points between the ends away from the
		// middle between two marks.
		c.set.Zero = (float64(c.zero) + 0.1) * perMark
		c.set.Span = float64(c.full-c.zero) * perMark
		c.set.Bow = float64(c.bow) * perMark
		above := pick.Between(nullbalance.Clear+1+abs(c.rest), c.face.Stop()+8-line)
		c.set.CellVolt = params.GoodCellVolt + float64(float64(above)*c.face.CellPerSmall.Float64()) + float64(params.CellOhm*params.CellLoadMilliamp*1e-3)
	}
	for i, x := range points {
		n, err := c.set.Take(x)
		if err != nil {
			return err
		}
		if n.Stop != loop.NoStop {
			return rejectMissed
		}
		c.needles[i] = n
		c.marks[i] = n.Code - c.rest
	}
	if c.fault == weakCell {
		c.zero = c.marks[0]
	}
	if c.marks[0] != c.zero || c.marks[4] != c.full {
		return rejectMissed
	}
	var err error
	if c.cell, err = c.set.Cell(); err != nil {
		return err
	}
	// The needle must stand clear of the line, as read and with the
	// mechanical zero taken off, on the side where the cell is.
	for _, code := range []int{c.cell.Code, c.cell.Code - c.rest} {
		if c.cell.Stop == loop.NoStop && abs(code-line) < nullbalance.Clear || (code < line) != (c.fault == weakCell) {
			return rejectCell
		}
	}
	return nil
}

// distinct rejects checks whose answers could be argued about: a worst point
// that is one of two, a verdict near its limit, or a curvature without which
// the decision to adjust would be another.
func (c *check) distinct(regions []region) error {
	w := abs(c.marks[c.worst()])
	if c.fault != weakCell {
		in := func(size int) int {
			for i, r := range regions {
				if r.from <= size && size <= r.to {
					return i
				}
			}
			return -1
		}
		if in(w) < 0 || in(w) != in(max(abs(c.zero), abs(c.full))) {
			return rejectNearLimit
		}
	}
	if c.alike() {
		return nil
	}
	for i, m := range c.marks {
		if i != c.worst() && abs(m) == w {
			return rejectTie
		}
	}
	return nil
}

// worst is the index of the largest error, the first of equals.
func (c *check) worst() int {
	w := 0
	for i, m := range c.marks {
		if abs(m) > abs(c.marks[w]) {
			w = i
		}
	}
	return w
}

func (c *check) alike() bool {
	for _, m := range c.marks {
		if m != c.marks[0] {
			return false
		}
	}
	return true
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}
