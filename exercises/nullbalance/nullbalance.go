// Package nullbalance takes the readings that exercises print: it puts a fault
// into a plant's loop, lets the loop solver work, and rounds to what the
// checker's movement shows.
//
// For most uses call [Take].
package nullbalance

import (
	"fmt"
	"math"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// The reasons for which a reading throws a draw away.
const (
	RejectEdge    exercises.Reject = "a needle in the middle between two marks"
	RejectClipped exercises.Reject = "a current at the transmitter's limit, or a loop short of volts"
)

// Set is a loop with a checker put in and a fault of the transmitter or the
// cell at work.
type Set struct {
	Loop     *scenarios.Loop
	Checker  *scenarios.Checker
	Place    loop.Place
	Zero     float64 // zero error of the transmitter, fraction of span
	Span     float64 // span error of the transmitter, fraction of span
	Bow      float64 // non-linearity of the transmitter at mid-scale, terminal-based, fraction of span
	Gap      float64 // hysteresis of the transmitter: falling less rising run at mid-scale, fraction of span
	Falling  bool    // the point is approached from above
	Rest     int     // mechanical zero, small marks
	CellVolt float64 // cell without load; 0 means the checker's own good cell
}

// Params gives the loop's parameters for the solver.
func (s Set) Params() loop.Params {
	p := s.Loop.Params
	p.Checker = s.Checker.Params
	p.Checker.Place = s.Place
	p.Checker.RestDivision = float64(s.Rest) * p.Checker.MarkDivision
	p.Transmitter.Zero = s.Zero
	p.Transmitter.Span = s.Span
	p.Transmitter.NonLinearity = s.Bow
	p.Transmitter.Hysteresis, p.Transmitter.Falling = s.Gap, s.Falling
	if s.CellVolt != 0 {
		p.Checker.CellVolt = s.CellVolt
	}
	return p
}

// Take gives the needle at an input of x percent with the trigger held. It
// rejects a reading in the middle between two marks, and one where the loop
// does not carry the current that the transmitter asks for: such loops are
// another lesson.
func (s Set) Take(x int) (loop.Needle, error) {
	p := s.Params()
	fraction := float64(x) / 100
	point := p.Solve(fraction, true)
	if wanted := p.DemandMilliamp(fraction); math.Abs(point.TransmitterMilliamp-wanted) > 1e-6 {
		return loop.Needle{}, RejectClipped
	}
	n, clear := p.Checker.Needle(point.Deflection)
	if !clear {
		return n, RejectEdge
	}
	return n, nil
}

// Cell gives the needle in the cell position.
func (s Set) Cell() (loop.Needle, error) {
	p := s.Params()
	volt, _ := p.Checker.CellUnderLoad()
	n, clear := p.Checker.CellNeedle(volt)
	if !clear {
		return n, RejectEdge
	}
	return n, nil
}

// PerDivision is percent of span of one division of the checker's face.
func PerDivision(f scenarios.Face) formula.Value {
	return f.PerSmallMark.Mul(formula.Int(int64(f.SmallPerDiv)))
}

// Divisions turns small marks into divisions.
func Divisions(f scenarios.Face, marks int) formula.Value {
	return formula.Ratio(int64(marks), int64(f.SmallPerDiv))
}

// Tenths is the reading of somebody who counts whole divisions rightly and each
// small mark beyond them as a tenth of a division.
func Tenths(f scenarios.Face, marks int) formula.Value {
	whole, rest := marks/f.SmallPerDiv, marks%f.SmallPerDiv
	return formula.Decimal(int64(10*whole+rest), 1)
}

// Words prints where a needle stands, in divisions with their sign, as it is
// read.
func Words(f scenarios.Face, n loop.Needle) string {
	d := formula.WithUnit(Divisions(f, n.Code).Text(1), "div")
	if n.Code > 0 {
		d = "+" + d
	}
	switch n.Stop {
	case loop.LeftStop:
		return "the left stop (" + d + ")"
	case loop.RightStop:
		return "the right stop (" + d + ")"
	}
	return d
}

// FaultWords tells the assessor what was put into the loop.
func FaultWords(s Set, f scenarios.Face) string {
	var out []string
	add := func(what string, fraction float64) {
		if fraction != 0 {
			out = append(out, what+" "+formula.WithUnit(formula.Float(fraction*100).Text(2), "%")+" of span")
		}
	}
	add("zero error", s.Zero)
	add("span error", s.Span)
	add("curvature at 50 %", s.Bow)
	add("hysteresis at 50 %", s.Gap)
	if volt, good := s.cellVolt(); !good {
		out = append(out, "weak cell, "+formula.WithUnit(formula.Float(volt).Text(2), "V")+" under load")
	}
	if s.Rest != 0 {
		out = append(out, "mechanical zero off by "+Words(f, loop.Needle{Code: s.Rest}))
	}
	return strings.Join(out, "; ")
}

func (s Set) cellVolt() (float64, bool) {
	p := s.Params()
	return p.Checker.CellUnderLoad()
}

// Marks turns percent of span into small marks, rounded down.
func Marks(f scenarios.Face, percent formula.Value) int {
	q := percent.Div(f.PerSmallMark)
	n, d, ok := q.Fraction()
	if !ok {
		return int(q.Float64())
	}
	return int(n / d)
}

// Clear is how far, in small marks, an error must stay from a limit that
// decides a verdict, so that half a mark of reading error cannot turn it.
const Clear = 2

// Least is the smallest error, in small marks, that an exercise asks about:
// below it, slips and key run together.
const Least = 2

// Fits says whether a loop can be checked with the checker in its current
// loop.
func Fits(l *scenarios.Loop) (why string, ok bool) {
	if l.Signal.Name != "4-20 mA" {
		return "has no 4-20 mA signal for the checker to measure", false
	}
	return "", true
}

// FitsFace says whether the exercises can be read on a face: their sentences
// count five small marks to a division, their answers are exact to the
// decimals asked for, and the chart to draw in ends at 5 % of span.
func FitsFace(f scenarios.Face) (why string, ok bool) {
	if f.Divisions != 10 || f.SmallPerDiv != 5 {
		return fmt.Sprintf("has %d divisions of %d small marks, and these exercises are worded for 10 of 5", f.Divisions, f.SmallPerDiv), false
	}
	if k, exact := f.PerSmallMark.Places(2); !exact || k > 2 || f.PerSmallMark.Sub(formula.Ratio(1, 10)).Sign() > 0 {
		return "has small marks that are not whole hundredths of a percent of span, or more than 0.1 %", false
	}
	return "", true
}

// ScreenFace refuses an exercise in whose plant the checker has a face that
// does not fit: see [FitsFace].
func ScreenFace(e *scenarios.Exercise) []diag.Diagnostic {
	why, ok := FitsFace(e.Plant.Checker.Face)
	if ok {
		return nil
	}
	return []diag.Diagnostic{exercises.At(e, diag.Error, "face-does-not-fit",
		fmt.Sprintf("exercise %q cannot use the checker of %s, which %s", e.ID, e.Plant.Name, why), "")}
}

// Cautions lists what stands before every exercise with a live loop.
func Cautions() []string {
	return []string{"practice-figures", "before-test-lead", "open-loop"}
}

// InputText prints the input of a loop at x percent of its range.
func InputText(l *scenarios.Loop, x int) string {
	v := l.Input.Low.Add(l.Input.Span().Mul(formula.Ratio(int64(x), 100)))
	k, _ := v.Places(4)
	return formula.WithUnit(v.Text(k), l.Input.Unit.Symbol)
}

// Ideal is the percentage at which the output should stand for an input of x
// percent: x, or 100 - x with reverse action. With a root in the transmitter
// it is not linear; such loops are left out by [Fits]' callers.
func Ideal(l *scenarios.Loop, x int) int {
	if l.Action == scenarios.Reverse {
		return 100 - x
	}
	return x
}
