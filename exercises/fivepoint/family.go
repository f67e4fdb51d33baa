// Package fivepoint is the family "five-point check": a transmitter as found
// at 0, 25, 50, 75 and 100 %, from five needles to the first step of
// adjustment.
package fivepoint

import (
	_ "embed"
	"fmt"
	"slices"

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
	rejectNothing exercises.Reject = "no size of any fault gives a verdict in these loops"
	rejectTie     exercises.Reject = "two points equally far off"
	rejectMissed  exercises.Reject = "needles that do not follow the fault drawn"
	rejectCell    exercises.Reject = "a cell reading too near to its line"
)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "five-point-check",
		Purpose: "check a transmitter at five points as found and decide on the first adjustment",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "zero or span alone is off; the cell is known to be good"},
			{Name: "usual", Changes: "zero and span together, or the checker's own cell is weak; the worst point is asked for"},
			{Name: "hard", Changes: "as usual, with a falling run and hysteresis, and the mechanical zero is off"},
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
func (Family) Version() int { return 2 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	byDefault := faults
	if e.Level == "easy" {
		byDefault = easyFaults
	}
	s, ds := exercises.Screen(e, f.Spec(), "five needle readings and a cell check", byDefault)
	ds = append(ds, nullbalance.ScreenFace(e)...)
	p := &plan{exercise: e, cell: e.Level != "easy" || slices.Contains(s.Faults, weakCell)}
	for _, l := range s.Loops {
		p.loops = append(p.loops, p.prepare(l, s.Faults))
	}
	drawable := func(fault string, l *scenarios.Loop) bool {
		for _, q := range p.loops {
			if q.loop == l {
				return slices.ContainsFunc(q.cells, func(c cell) bool { return c.fault == fault })
			}
		}
		return false
	}
	ds = append(ds, nullbalance.Undrawable(e, s.Faults, s.Loops, "check", drawable)...)
	for _, q := range p.loops {
		if l := q.loop; q.regions.fitting() < 2 {
			ds = append(ds, exercises.At(e, diag.Warning, "one-verdict",
				fmt.Sprintf("with a tolerance of %s and adjustment beyond %s of span, %s can only be drawn with one verdict in exercise %q",
					exercises.Quantity(l.Tolerance, "%"), exercises.Quantity(l.AdjustAt, "%"), l.Tag, e.ID),
				"let the adjust limit be at least 0.5 % of span, or equal to the tolerance"))
		}
	}
	p.weigh()
	return p, ds
}

type plan struct {
	exercise *scenarios.Exercise
	cell     bool // a cell check is shown, and readings may be void
	loops    []prepared
	outcomes []outcome // each as often as it has weight
}

// check is one drawn check.
type check struct {
	loop    *scenarios.Loop
	face    scenarios.Face
	checker *scenarios.Checker
	fault   string
	shape
	rest    int // mechanical zero, small marks
	set     nullbalance.Set
	needles []loop.Needle // as printed, rising and then falling
	cell    loop.Needle
	marks   []int // errors: needles less rest
}

// stations lists the inputs of a check in the order in which they are taken.
func stations(level string) []int {
	if level == "hard" {
		return []int{0, 25, 50, 75, 100, 75, 50, 25, 0}
	}
	return []int{0, 25, 50, 75, 100}
}

// Item implements exercises.Plan. What is to be decided is drawn first, then a
// loop and a fault with which it is, then the worst point, and the sizes last.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	if len(p.outcomes) == 0 {
		return exercises.Item{}, rejectNothing
	}
	pick := exercises.NewPicker(u)
	want := p.outcomes[pick.Int(len(p.outcomes))]
	l := p.loops[want.loops[pick.Int(len(want.loops))]]
	c := check{checker: &p.exercise.Plant.Checker, face: p.exercise.Plant.Checker.Face, loop: l.loop}
	one := pickCell(pick, l.cells, want.decision)
	c.fault = one.fault
	hard := p.exercise.Level == "hard"
	if c.fault == weakCell {
		// What a weak cell must lack to be seen depends on where the needle rests.
		if hard {
			c.drawRest(pick)
			c.gap = 4
		}
		from, to := weakMarks(p.exercise.Plant, l.loop, c.rest)
		if from > to {
			return exercises.Item{}, rejectCell
		}
		c.full = pick.Between(from, to)
	} else {
		c.shape = one.shapes[pick.Int(len(one.shapes))]
		if hard {
			c.drawRest(pick)
		}
	}
	if err := c.read(pick, stations(p.exercise.Level)); err != nil {
		return exercises.Item{}, err
	}
	if asksWorst(p.exercise.Level) && !c.distinct() {
		return exercises.Item{}, rejectTie
	}
	return p.build(&c), nil
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

// read puts the fault into the loop and takes the readings and the cell check.
func (c *check) read(pick *exercises.Picker, at []int) error {
	perMark := c.face.PerSmallMark.Float64() / 100
	c.set = nullbalance.Set{Loop: c.loop, Checker: c.checker, Place: loop.SeriesField, Rest: c.rest, Gap: float64(c.gap) * perMark}
	params := c.checker.Params
	line := c.face.CellLineSmall
	if c.fault == weakCell {
		c.set.CellVolt = cellVolt(c.checker, c.full)
		if c.gap != 0 {
			c.set.Zero = 0.05 * perMark // as below
		}
	} else {
		// A tenth of a mark keeps the points between the ends away from the
		// middle between two marks.
		c.set.Zero = (float64(c.zero) + 0.1) * perMark
		c.set.Span = float64(c.full-c.zero) * perMark
		c.set.Bow = float64(c.bow) * perMark
		above := pick.Between(nullbalance.Clear+1+abs(c.rest), c.face.Stop()+8-line)
		c.set.CellVolt = params.GoodCellVolt + float64(float64(above)*c.face.CellPerSmall.Float64()) + float64(params.CellOhm*params.CellLoadMilliamp*1e-3)
	}
	for i, x := range at {
		c.set.Falling = i >= len(points)
		n, err := c.set.Take(x)
		if err != nil {
			return err
		}
		if n.Stop != loop.NoStop || c.fault != weakCell && n.Code-c.rest != c.mark(x, c.set.Falling) {
			return rejectMissed
		}
		c.needles, c.marks = append(c.needles, n), append(c.marks, n.Code-c.rest)
	}
	c.set.Falling = false
	if c.zero = c.marks[0]; c.marks[4] != c.full {
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

// farthest is the largest size of an error at point i, in either run.
func (c *check) farthest(i int) int {
	out := abs(c.marks[i])
	if back := 8 - i; back < len(c.marks) {
		out = max(out, abs(c.marks[back]))
	}
	return out
}

// distinct says whether one point is worse than all others, or all are alike.
func (c *check) distinct() bool {
	w := c.worst()
	for i := range points {
		if i != w && c.farthest(i) == c.farthest(w) {
			return c.alike()
		}
	}
	return true
}

// worst is the point with the largest error, the first of equals.
func (c *check) worst() int {
	w := 0
	for i := range points {
		if c.farthest(i) > c.farthest(w) {
			w = i
		}
	}
	return w
}

// alike says that the readings of a check are all off by the same.
func (c *check) alike() bool {
	return !slices.ContainsFunc(c.marks, func(m int) bool { return m != c.marks[0] })
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}
