package scenarios_test

import (
	"math"
	"testing"

	"loopdrill/scenarios"
)

// TestCable holds the resistance of a conductor against figures worked by hand
// from IEC 60228: 1 mm², class 2, plain copper has 18.1 ohm/km at 20 °C, and
// 0.4 % more for each degree.
func TestCable(t *testing.T) {
	c, ds := scenarios.ReadCourse(readCase(t, "testdata/ok/cable.txt").fsys, vocabulary())
	if c == nil {
		t.Fatalf("%+v", ds)
	}
	for _, row := range []struct {
		name string
		loop int
		ohm  float64 // of one conductor
	}{
		{"850 m of 1 mm² at 35 °C: 18.1 x 0.85 x 1.06", 0, 16.3081},
		// 95 °F is 35 °C; 1500 ft are 457.2 m.
		{"1500 ft of 0.75 mm² at 95 °F: 24.5 x 0.4572 x 1.06", 1, 11.873484},
	} {
		l := c.Plants[0].Loops[row.loop]
		w := l.Params.Wiring
		if math.Abs(w.OutOhm-row.ohm) > 1e-9 || w.ReturnOhm != w.OutOhm || l.Cable == nil || !l.Cable.Ohm.Exact() {
			t.Errorf("%s: %v and %v, want %v each; cable %+v", row.name, w.OutOhm, w.ReturnOhm, row.ohm, l.Cable)
		}
	}
	if l := c.Plants[0].Loops[2]; l.Cable != nil || l.Params.Wiring.OutOhm != 20 {
		t.Errorf("a loop without a cable has %+v, %v ohm", l.Cable, l.Params.Wiring.OutOhm)
	}
}
