package cable

import (
	"testing"

	"loopdrill/scenarios/formula"
)

// The rows that are not among the published figures of the signal package:
// IEC 60228 class 2 plain copper as printed in two independent reprints.
func TestOhmPerKm(t *testing.T) {
	for _, row := range []struct{ mm2, ohm formula.Value }{
		{formula.Decimal(75, 2), formula.Decimal(245, 1)},
		{formula.Decimal(15, 1), formula.Decimal(121, 1)},
		{formula.Int(4), formula.Decimal(461, 2)},
	} {
		if got, ok := OhmPerKm(row.mm2); !ok || !got.Equal(row.ohm) {
			t.Errorf("%v mm²: got %v, want %v ohm/km", row.mm2.Float64(), got.Float64(), row.ohm.Float64())
		}
	}
	if _, ok := OhmPerKm(formula.Decimal(12, 1)); ok {
		t.Error("1.2 mm² is a size")
	}
	for i, mm2 := range Sizes() {
		ohm, ok := OhmPerKm(mm2)
		if !ok {
			t.Fatalf("size %d has no resistance", i)
		}
		// No conductor may have less metal than its name says by more than
		// the standard allows: resistivity 17.241 ohm mm²/km of annealed
		// copper (IEC 60028) bounds every row from below.
		if product := ohm.Mul(mm2).Float64(); product < 17.241 || product > 18.6 {
			t.Errorf("%v mm² and %v ohm/km make %v ohm mm²/km", mm2.Float64(), ohm.Float64(), product)
		}
	}
}

// By hand: 300 m of 1.5 mm² at 45 °C: 2 × 12.1 × 0.3 × 1.1 = 7.986 ohm.
func TestLoop(t *testing.T) {
	got := formula.Eval(Loop(formula.Lit{V: formula.Decimal(121, 1)}, formula.Num(300), formula.Num(45)), nil)
	if !got.Equal(formula.Decimal(7986, 3)) {
		t.Errorf("got %v ohm, want 7.986", got.Float64())
	}
}
