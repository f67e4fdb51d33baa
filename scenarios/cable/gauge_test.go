package cable

import (
	"math"
	"testing"
)

// TestGauges holds the wire gauge against two roads.
//
// ASTM B258: the diameter of size n is 0.127 mm × 92^((36−n)/39). IEC 60028:
// annealed copper has 17.241 ohm mm²/km at 20 °C.
//
// NEC chapter 9, table 8 (from memory): ohm per 1000 ft of solid uncoated copper
// at 75 °C, in three figures; copper rises by 0.393 % of its 20 °C value a
// degree (IEC 60028).
func TestGauges(t *testing.T) {
	nec := map[int]float64{18: 7.77, 16: 4.89, 14: 3.07, 12: 1.93, 10: 1.21}
	for _, awg := range Gauges() {
		mm2, ohm, ok := Gauge(awg)
		if !ok {
			t.Fatalf("%d AWG has no resistance", awg)
		}
		d := 0.127 * math.Pow(92, float64(36-awg)/39)
		area := math.Pi / 4 * d * d
		if math.Abs(mm2.Float64()-area) > 0.0006 {
			t.Errorf("%d AWG: %v mm², by the diameter %.4f", awg, mm2.Float64(), area)
		}
		if want := 17.241 / area; math.Abs(ohm.Float64()/want-1) > 0.0006 {
			t.Errorf("%d AWG: %v ohm/km, by the diameter %.3f", awg, ohm.Float64(), want)
		}
		if want, known := nec[awg]; known {
			if got := ohm.Float64() * 0.3048 * (1 + 0.00393*55); math.Abs(got-want) > 0.006+0.001*want {
				t.Errorf("%d AWG: %.3f ohm per 1000 ft at 75 °C, table %v", awg, got, want)
			}
		}
	}
	if _, _, ok := Gauge(17); ok {
		t.Error("17 AWG is a size of field cable")
	}
}
