package signal

import (
	"fmt"

	"loopdrill/scenarios/formula"
)

// Traverses are the readings of a calibration: several cycles over the same
// points, each once upwards and once downwards. Readings, Ideal, Low and High
// carry the same unit.
type Traverses struct {
	Up, Down  [][]formula.Value // one row a cycle, in the order of Ideal; Down too
	Ideal     []formula.Value   // what should be read at each point
	Low, High formula.Value     // ends of the span, of which percentages are taken
}

// Check says what makes the figures impossible: no cycle, no point, rows of
// unequal length, another number of cycles down than up, or no span.
func (t Traverses) Check() error {
	if len(t.Ideal) == 0 || len(t.Up) == 0 {
		return fmt.Errorf("a calibration needs at least one cycle over at least one point")
	}
	if len(t.Up) != len(t.Down) {
		return fmt.Errorf("there are %d cycles up and %d down", len(t.Up), len(t.Down))
	}
	for i := range t.Up {
		if len(t.Up[i]) != len(t.Ideal) || len(t.Down[i]) != len(t.Ideal) {
			return fmt.Errorf("cycle %d has %d readings up and %d down at %d points", i+1, len(t.Up[i]), len(t.Down[i]), len(t.Ideal))
		}
	}
	if t.High.Equal(t.Low) {
		return fmt.Errorf("the span is zero")
	}
	return nil
}

// MaximumError is the error of largest size over all points, both directions
// and all cycles, in percent of span with its sign (indicated minus ideal); of
// two of equal size the positive one. 43 CFR 3175.135 (a)(1) (US regulation,
// which takes no sign) and IEC 61298-2, maximum measured error.
func (t Traverses) MaximumError() (formula.Value, error) {
	if err := t.Check(); err != nil {
		return formula.Value{}, err
	}
	var worst formula.Value
	for _, direction := range [][][]formula.Value{t.Up, t.Down} {
		for _, cycle := range direction {
			for i, reading := range cycle {
				e := reading.Sub(t.Ideal[i])
				c, err := e.Abs().Cmp(worst.Abs())
				if err != nil {
					return formula.Value{}, err
				}
				if c > 0 || c == 0 && e.Sign() > 0 {
					worst = e
				}
			}
		}
	}
	return t.percent(worst), nil
}

// Hysteresis is the largest gap between the reading downwards and the reading
// upwards at one point within one cycle, in percent of span, never negative:
// 43 CFR 3175.135 (a)(2), which compares the two tests of a pair. Name it where
// the figure is printed, for [Traverses.HysteresisOfMeans] differs.
func (t Traverses) Hysteresis() (formula.Value, error) {
	if err := t.Check(); err != nil {
		return formula.Value{}, err
	}
	var gaps []formula.Value
	for i := range t.Up {
		for j := range t.Ideal {
			gaps = append(gaps, t.Down[i][j].Sub(t.Up[i][j]).Abs())
		}
	}
	return t.largest(gaps)
}

// HysteresisOfMeans is the largest gap at one point between the mean of all
// cycles downwards and the mean of all cycles upwards, in percent of span,
// never negative: hysteresis after IEC 61298-2 (from memory).
func (t Traverses) HysteresisOfMeans() (formula.Value, error) {
	if err := t.Check(); err != nil {
		return formula.Value{}, err
	}
	var gaps []formula.Value
	for j := range t.Ideal {
		var sum formula.Value
		for i := range t.Up {
			sum = sum.Add(t.Down[i][j].Sub(t.Up[i][j]))
		}
		gaps = append(gaps, sum.Div(formula.Int(int64(len(t.Up)))).Abs())
	}
	return t.largest(gaps)
}

// Repeatability is the largest difference between two cycles at one point in
// the same direction, in percent of span, never negative; with one cycle it
// is 0. 43 CFR 3175.135 (a)(3).
func (t Traverses) Repeatability() (formula.Value, error) {
	if err := t.Check(); err != nil {
		return formula.Value{}, err
	}
	var gaps []formula.Value
	for _, direction := range [][][]formula.Value{t.Up, t.Down} {
		for j := range t.Ideal {
			for i := range direction {
				for k := range i {
					gaps = append(gaps, direction[i][j].Sub(direction[k][j]).Abs())
				}
			}
		}
	}
	return t.largest(gaps)
}

// largest gives the largest of gaps in percent of span, 0 for none.
func (t Traverses) largest(gaps []formula.Value) (formula.Value, error) {
	var most formula.Value
	for _, g := range gaps {
		c, err := g.Cmp(most)
		if err != nil {
			return formula.Value{}, err
		}
		if c > 0 {
			most = g
		}
	}
	return t.percent(most), nil
}

// percent is v in percent of span.
func (t Traverses) percent(v formula.Value) formula.Value {
	return v.Div(t.High.Sub(t.Low)).Mul(formula.Int(100))
}
