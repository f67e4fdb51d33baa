package signal_test

import (
	"math"
	"testing"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The inverse leads back to the temperature, over the whole range. For the
// thermocouples the errors are those that NIST prints beside the inverse
// coefficients (from memory), rounded up.
func TestSensorsThereAndBack(t *testing.T) {
	for c := -200; c <= 850; c++ {
		ohm, err := signal.Pt100Ohm(formula.Int(int64(c)))
		if err != nil {
			t.Fatal(err)
		}
		back, err := signal.Pt100Celsius(ohm)
		if err != nil || math.Abs(back.Float64()-float64(c)) > 1e-6 {
			t.Errorf("Pt100 at %d °C: %v ohm, and back %v °C (%v)", c, ohm.Float64(), back.Float64(), err)
		}
		if _, err := ohm.Rounded(2); err != nil {
			t.Errorf("Pt100 at %d °C lies on a rounding edge", c)
		}
	}
	for _, row := range []struct {
		k         signal.Thermocouple
		low, high int
		tol       float64
	}{{signal.TypeJ, -210, 1200, 0.05}, {signal.TypeK, -200, 1372, 0.06}, {signal.TypeT, -200, 400, 0.05}} {
		for c := row.low; c <= row.high; c++ {
			e, err := row.k.Millivolt(formula.Int(int64(c)))
			if err != nil {
				t.Fatal(err)
			}
			back, err := row.k.Celsius(e)
			if err != nil || math.Abs(back.Float64()-float64(c)) > row.tol {
				t.Errorf("type %s at %d °C: %v mV, and back %v °C (%v)", row.k, c, e.Float64(), back.Float64(), err)
			}
		}
	}
}

// Emfs are added: 4.096 mV is type K at 100 °C (SRD 60), of which 1.000 mV
// (25 °C) is missing when the reference junction is at 25 °C. Adding
// temperatures would give 100.8 °C.
func TestReferenceJunction(t *testing.T) {
	got, err := signal.TypeK.Compensated(dec("3.096"), dec("25"))
	if err != nil || math.Abs(got.Float64()-100) > 0.06 {
		t.Errorf("got %v °C (%v), want 100 °C", got.Float64(), err)
	}
}

func TestSensorsRefuse(t *testing.T) {
	for _, row := range []struct {
		name string
		f    func() (formula.Value, error)
	}{
		{"Pt100 too cold", func() (formula.Value, error) { return signal.Pt100Ohm(dec("-201")) }},
		{"Pt100 too hot", func() (formula.Value, error) { return signal.Pt100Ohm(dec("851")) }},
		{"Pt100 shorted", func() (formula.Value, error) { return signal.Pt100Celsius(dec("0")) }},
		{"Pt100 open", func() (formula.Value, error) { return signal.Pt100Celsius(dec("1000")) }},
		{"Pt100 at no temperature", func() (formula.Value, error) { return signal.Pt100Ohm(formula.Ratio(1, 0)) }},
		{"type J too hot", func() (formula.Value, error) { return signal.TypeJ.Millivolt(dec("1201")) }},
		{"type T too cold", func() (formula.Value, error) { return signal.TypeT.Millivolt(dec("-271")) }},
		{"type K, too many millivolts", func() (formula.Value, error) { return signal.TypeK.Celsius(dec("60")) }},
		{"a type that is none", func() (formula.Value, error) { return signal.Thermocouple("Z").Millivolt(dec("20")) }},
		{"a type that is none, back", func() (formula.Value, error) { return signal.Thermocouple("Z").Celsius(dec("1")) }},
		{"a reference junction too cold", func() (formula.Value, error) { return signal.TypeT.Compensated(dec("1"), dec("-300")) }},
	} {
		if v, err := row.f(); err == nil {
			t.Errorf("%s: %v", row.name, v.Float64())
		}
	}
}
