package scenarios_test

import (
	"math"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
)

// TestOutputs holds what is read of an output loop against figures worked by
// hand, and solves each: sound output loops go from 0 to 100 %.
func TestOutputs(t *testing.T) {
	c, ds := scenarios.ReadCourse(readCase(t, "testdata/ok/outputs.txt").fsys, vocabulary())
	if c == nil || len(c.Plants[0].Outputs) != 2 {
		t.Fatalf("%+v", ds)
	}
	full, bare := c.Plants[0].Outputs[0], c.Plants[0].Outputs[1]
	near := func(what string, got, want float64) {
		if math.Abs(got-want) > 1e-9 {
			t.Errorf("%s is %v, want %v", what, got, want)
		}
	}
	near("volts", full.Params.Controller.OpenVolt, 24)
	near("inside", full.Params.Controller.SaturationOhm, 60)
	near("low", full.Params.Controller.LowMilliamp, 3.6)
	near("high", full.Params.Controller.HighMilliamp, 21)
	near("conductor: 12.1 ohm/km x 0.3 km", full.Params.Wiring.OutOhm, 3.63)
	near("coil", full.Params.IP.CoilOhm, 180)
	near("air: 20 psi x 6.894757293168361 kPa, exact by the definitions of pound and inch", full.Params.IP.AirKilopascal, 137.89514586336722)
	if full.Stroke == nil || full.Stroke.String() != "40 mm" || bare.Stroke != nil || bare.Cable != nil {
		t.Errorf("stroke %v and %v", full.Stroke, bare.Stroke)
	}
	near("other conductor", bare.Params.Wiring.ReturnOhm, 12)
	for _, o := range c.Plants[0].Outputs {
		if err := o.Params.Validate(); err != nil {
			t.Errorf("%s: %v", o.Tag, err)
		}
		if o.Params.Checker.Place != loop.SeriesField {
			t.Errorf("%s: the checker is %s", o.Tag, o.Params.Checker.Place)
		}
		for _, x := range []float64{0, 0.25, 0.5, 0.75, 1} {
			p := o.Params.Solve(x, false)
			near(o.Tag+" current", p.OutputMilliamp, 4+16*x)
			near(o.Tag+" air", p.Kilopascal, 20+80*x)
			near(o.Tag+" stroke", p.StrokePercent, 100*x)
		}
	}
}
