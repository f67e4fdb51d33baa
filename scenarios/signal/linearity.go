package signal

import (
	"fmt"

	"loopdrill/scenarios/formula"
)

// LineKind says from which straight line the deviations of a curve are taken.
// The three are defined in ISA-51.1 and IEC 61298-2.
type LineKind string

// The kinds of line.
const (
	// TerminalBased goes through the first and the last point.
	TerminalBased LineKind = "terminal-based"
	// Independent is placed so that the largest deviation is as small as it
	// can be.
	Independent LineKind = "independent"
	// ZeroBased goes through the first point and has the slope that makes the
	// largest deviation as small as it can be.
	ZeroBased LineKind = "zero-based"
)

// Linearity is the deviation of a curve from a straight line.
type Linearity struct {
	Slope     formula.Value // of the line, unit of y over unit of x
	Intercept formula.Value // of the line at x = 0, unit of y

	// Worst is the largest deviation, in the unit of y. Terminal-based it
	// keeps its sign (point minus line, of two of equal size the positive
	// one); for the other two kinds the largest deviations to both sides are
	// equal or there is only one, and it is given without a sign.
	Worst formula.Value
}

// LinearityOf finds the line of a kind through the points (x, y) and the
// largest deviation from it. x must rise from point to point; at least two
// points are needed. Deviations in percent of span are Worst over the span of
// y, times 100.
//
// Both smallest largest deviations are found among all candidate lines, of
// which there are a few for every pair of points: exact, and quick enough for
// the points of a calibration (the work grows with the cube of their number).
func LinearityOf(kind LineKind, x, y []formula.Value) (Linearity, error) {
	if len(x) != len(y) || len(x) < 2 {
		return Linearity{}, fmt.Errorf("linearity needs as many readings as inputs and at least two, not %d and %d", len(y), len(x))
	}
	for i := 1; i < len(x); i++ {
		if c, err := x[i].Cmp(x[i-1]); err != nil {
			return Linearity{}, err
		} else if c <= 0 {
			return Linearity{}, fmt.Errorf("the inputs of a linearity must rise from point to point; point %d does not", i+1)
		}
	}
	last := len(x) - 1
	switch kind {
	case TerminalBased:
		slope := y[last].Sub(y[0]).Div(x[last].Sub(x[0]))
		line := Linearity{Slope: slope, Intercept: y[0].Sub(slope.Mul(x[0]))}
		low, high, err := extremes(residuals(slope, line.Intercept, x, y))
		if err != nil {
			return Linearity{}, err
		}
		line.Worst = high
		if c, err := low.Abs().Cmp(high.Abs()); err != nil {
			return Linearity{}, err
		} else if c > 0 {
			line.Worst = low
		}
		return line, nil
	case Independent:
		// The best line runs parallel to a line through two of the points
		// and halfway between its parallels through the extreme points.
		return best(pairSlopes(x, y), func(slope formula.Value) (Linearity, error) {
			low, high, err := extremes(residuals(slope, formula.Int(0), x, y))
			half := formula.Ratio(1, 2)
			return Linearity{slope, low.Add(high).Mul(half), high.Sub(low).Mul(half)}, err
		})
	case ZeroBased:
		// The best slope makes two deviations equal, of the same or of
		// opposite sign.
		var slopes []formula.Value
		for i := 1; i <= last; i++ {
			for j := 1; j <= i; j++ {
				dx, dy := x[i].Sub(x[0]).Add(x[j].Sub(x[0])), y[i].Sub(y[0]).Add(y[j].Sub(y[0]))
				slopes = append(slopes, dy.Div(dx))
			}
		}
		slopes = append(slopes, pairSlopes(x, y)...)
		return best(slopes, func(slope formula.Value) (Linearity, error) {
			intercept := y[0].Sub(slope.Mul(x[0]))
			low, high, err := extremes(residuals(slope, intercept, x, y))
			return Linearity{slope, intercept, formula.Eval(formula.Max(formula.Lit{V: low.Abs()}, formula.Lit{V: high.Abs()}), nil)}, err
		})
	}
	return Linearity{}, fmt.Errorf("there is no linearity called %q", kind)
}

// best tries every slope and keeps the line of smallest deviation, the first
// of several.
func best(slopes []formula.Value, at func(formula.Value) (Linearity, error)) (Linearity, error) {
	var least Linearity
	for i, slope := range slopes {
		line, err := at(slope)
		if err != nil {
			return Linearity{}, err
		}
		c := -1
		if i > 0 {
			if c, err = line.Worst.Cmp(least.Worst); err != nil {
				return Linearity{}, err
			}
		}
		if c < 0 {
			least = line
		}
	}
	return least, nil
}

// pairSlopes lists the slopes of the lines through every two points.
func pairSlopes(x, y []formula.Value) []formula.Value {
	var out []formula.Value
	for i := range x {
		for j := range i {
			out = append(out, y[i].Sub(y[j]).Div(x[i].Sub(x[j])))
		}
	}
	return out
}

// residuals lists point minus line.
func residuals(slope, intercept formula.Value, x, y []formula.Value) []formula.Value {
	out := make([]formula.Value, len(x))
	for i := range x {
		out[i] = y[i].Sub(slope.Mul(x[i])).Sub(intercept)
	}
	return out
}

// extremes gives the lowest and the highest of v.
func extremes(v []formula.Value) (low, high formula.Value, err error) {
	low, high = v[0], v[0]
	for _, w := range v[1:] {
		c, err := w.Cmp(low)
		if err != nil {
			return low, high, err
		}
		d, err := w.Cmp(high)
		if err != nil {
			return low, high, err
		}
		if c < 0 {
			low = w
		}
		if d > 0 {
			high = w
		}
	}
	return low, high, nil
}
