package loop

import (
	"math"
	"testing"
)

// Source of the wanted codes: a small mark is 0.2 division, so d divisions
// are 5 d small marks; the stops lie at 10 divisions, 50 marks. By hand.
func TestNeedle(t *testing.T) {
	c := HealthyChecker()
	for _, row := range []struct {
		name     string
		division float64
		want     Needle
		clear    bool
	}{
		{"centre", 0, Needle{0, NoStop}, true},
		{"one mark right", 0.2, Needle{1, NoStop}, true},
		{"a division left", -1, Needle{-5, NoStop}, true},
		{"below the middle", 0.0999, Needle{0, NoStop}, true},
		{"above the middle", 0.1001, Needle{1, NoStop}, true},
		{"on the middle", 0.1, Needle{1, NoStop}, false},
		{"on the middle, left", -0.3, Needle{-1, NoStop}, false},
		{"last mark that can be read", 9.8, Needle{49, NoStop}, true},
		{"half a mark before the stop", 9.9, Needle{50, RightStop}, false},
		{"on the stop", 10, Needle{50, RightStop}, true},
		{"beyond the stop, on what would be a middle", 10.1, Needle{50, RightStop}, true},
		{"hard left", -170, Needle{-50, LeftStop}, true},
		{"no number", math.NaN(), Needle{}, false},
		{"infinite", math.Inf(1), Needle{50, RightStop}, true},
		{"far beyond what an int holds", -1e300, Needle{-50, LeftStop}, true},
	} {
		got, clear := c.Needle(row.division)
		if clear != row.clear || got != row.want && clear {
			t.Errorf("%s: Needle(%v) = %v, %v, want %v, %v", row.name, row.division, got, clear, row.want, row.clear)
		}
	}
	if LeftStop.String() != "on its left stop" || RightStop.String() != "on its right stop" {
		t.Error("the stops are not named as the issue prints them")
	}
}

// Source: the face as the brief sets it, 0.1 V a division with 6.6 V at +4
// divisions, hence +20 marks; 6.2 V lies 4 divisions lower. By hand.
func TestCellNeedle(t *testing.T) {
	c := HealthyChecker()
	for _, row := range []struct {
		cellVolt, rest float64
		want           Needle
	}{
		{6.6, 0, Needle{20, NoStop}},
		{6.2, 0, Needle{0, NoStop}},
		{6.26, 0, Needle{3, NoStop}},
		{8.98, 0, Needle{50, RightStop}},
		{3, 0, Needle{-50, LeftStop}},
		{6.6, -1, Needle{15, NoStop}},
	} {
		c.RestDivision = row.rest
		if got, ok := c.CellNeedle(row.cellVolt); got != row.want || !ok {
			t.Errorf("CellNeedle(%g V), needle resting at %g: %v, %v, want %v", row.cellVolt, row.rest, got, ok, row.want)
		}
	}
	c.CellVolt, c.CellOhm, c.CellLoadMilliamp = 6.62, 2, 10
	if v, good := c.CellUnderLoad(); math.Abs(v-6.6) > 1e-12 || v >= 6.6 != good {
		t.Errorf("6.62 V less 20 mV: %v V, good %v", v, good)
	}
	c.CellVolt = 6.5
	if _, good := c.CellUnderLoad(); good {
		t.Error("6.48 V under load passes for good")
	}
}
