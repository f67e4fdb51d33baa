package signal_test

import (
	"testing"

	"pgregory.net/rapid"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

func dec(s string) formula.Value {
	v, err := formula.ParseDecimal(s)
	if err != nil {
		panic(err)
	}
	return v
}

func decs(s ...string) []formula.Value {
	var out []formula.Value
	for _, x := range s {
		out = append(out, dec(x))
	}
	return out
}

func TestBandLimits(t *testing.T) {
	for _, row := range []struct {
		milliamp string
		want     signal.Band
	}{
		{"-1", signal.FailureLow},
		{"0", signal.FailureLow},
		{"3.6", signal.FailureLow},
		{"3.601", signal.Undefined},
		{"3.799", signal.Undefined},
		{"3.8", signal.UnderRange},
		{"3.999", signal.UnderRange},
		{"4", signal.Normal},
		{"20", signal.Normal},
		{"20.001", signal.OverRange},
		{"20.5", signal.OverRange},
		{"20.501", signal.Undefined},
		{"20.999", signal.Undefined},
		{"21", signal.FailureHigh},
		{"30", signal.FailureHigh},
	} {
		got, err := signal.BandOf(dec(row.milliamp))
		if err != nil || got != row.want {
			t.Errorf("%s mA: got %q (%v), want %q", row.milliamp, got, err, row.want)
		}
	}
	if _, err := signal.BandOf(formula.Float(3.6)); err != formula.ErrEdge {
		t.Errorf("a current that is not exact was placed on a limit: %v", err)
	}
	if _, err := signal.BandOf(formula.Ratio(1, 0)); err != formula.ErrUndefined {
		t.Errorf("an undefined current got a band: %v", err)
	}
}

// One point whose cycles lie apart: up 10, 12 and down 13, 11 on a span of
// 100. The pairs differ by 3 and 1, the means (11 and 12) by 1.
func TestHysteresisOfCyclesAndOfMeans(t *testing.T) {
	tr := signal.Traverses{
		Up:    [][]formula.Value{decs("10"), decs("12")},
		Down:  [][]formula.Value{decs("13"), decs("11")},
		Ideal: decs("11.5"), Low: dec("0"), High: dec("100"),
	}
	for _, row := range []struct {
		name string
		f    func() (formula.Value, error)
		want string
	}{
		{"single cycles", tr.Hysteresis, "3"},
		{"means", tr.HysteresisOfMeans, "1"},
		{"repeatability", tr.Repeatability, "2"},
		{"maximum error, of equal sizes the positive one", tr.MaximumError, "1.5"},
	} {
		if got, err := row.f(); err != nil || !got.Equal(dec(row.want)) {
			t.Errorf("%s: got %v (%v), want %s", row.name, got.Float64(), err, row.want)
		}
	}
}

func TestMaximumErrorKeepsItsSign(t *testing.T) {
	tr := signal.Traverses{
		Up: [][]formula.Value{decs("4.02", "19.9")}, Down: [][]formula.Value{decs("4.03", "19.92")},
		Ideal: decs("4", "20"), Low: dec("4"), High: dec("20"),
	}
	if got, err := tr.MaximumError(); err != nil || !got.Equal(dec("-0.625")) {
		t.Errorf("got %v (%v), want -0.625 %% of span", got.Float64(), err)
	}
}

func TestTraversesThatMakeNoFigure(t *testing.T) {
	good := signal.Traverses{
		Up: [][]formula.Value{decs("4", "20")}, Down: [][]formula.Value{decs("4", "20")},
		Ideal: decs("4", "20"), Low: dec("4"), High: dec("20"),
	}
	for _, row := range []struct {
		name string
		bend func(*signal.Traverses)
	}{
		{"no cycle", func(t *signal.Traverses) { t.Up, t.Down = nil, nil }},
		{"no point", func(t *signal.Traverses) { t.Ideal = nil }},
		{"one way only", func(t *signal.Traverses) { t.Down = nil }},
		{"a reading missing", func(t *signal.Traverses) { t.Up = [][]formula.Value{decs("4")} }},
		{"no span", func(t *signal.Traverses) { t.High = t.Low }},
	} {
		bent := good
		row.bend(&bent)
		for name, f := range map[string]func() (formula.Value, error){
			"maximum error": bent.MaximumError, "hysteresis": bent.Hysteresis,
			"hysteresis of means": bent.HysteresisOfMeans, "repeatability": bent.Repeatability,
		} {
			if v, err := f(); err == nil {
				t.Errorf("%s: %s is %v", row.name, name, v.Float64())
			}
		}
	}
	if v, err := good.Repeatability(); err != nil || !v.IsZero() {
		t.Errorf("repeatability of one cycle: %v, %v", v.Float64(), err)
	}
}

func TestLinearityRefuses(t *testing.T) {
	for _, row := range []struct {
		name string
		kind signal.LineKind
		x, y []formula.Value
	}{
		{"one point", signal.Independent, decs("1"), decs("1")},
		{"unequal numbers", signal.Independent, decs("1", "2"), decs("1")},
		{"inputs that fall", signal.ZeroBased, decs("2", "1"), decs("1", "2")},
		{"a kind that is none", "best-fit", decs("1", "2"), decs("1", "2")},
	} {
		if l, err := signal.LinearityOf(row.kind, row.x, row.y); err == nil {
			t.Errorf("%s: %+v", row.name, l)
		}
	}
}

// Second road for the two kinds that minimise: no line of the kind that is
// tried at random has a smaller largest deviation, and the line given has the
// one that it claims.
func TestLinearityIsTheSmallest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "points")
		var x, y []formula.Value
		at := int64(0)
		for range n {
			at += rapid.Int64Range(1, 30).Draw(t, "step")
			x = append(x, formula.Int(at))
			y = append(y, formula.Decimal(rapid.Int64Range(0, 200).Draw(t, "reading"), 1))
		}
		largest := func(slope, intercept float64) float64 {
			most := 0.0
			for i := range x {
				most = max(most, abs(y[i].Float64()-slope*x[i].Float64()-intercept))
			}
			return most
		}
		slope := rapid.Float64Range(-5, 5).Draw(t, "slope")
		intercept := rapid.Float64Range(-50, 50).Draw(t, "intercept")
		for _, kind := range []signal.LineKind{signal.TerminalBased, signal.Independent, signal.ZeroBased} {
			l, err := signal.LinearityOf(kind, x, y)
			if err != nil {
				t.Fatal(err)
			}
			claimed := abs(l.Worst.Float64())
			if got := largest(l.Slope.Float64(), l.Intercept.Float64()); abs(got-claimed) > 1e-9 {
				t.Fatalf("%s claims %v and deviates by %v", kind, claimed, got)
			}
			switch kind {
			case signal.Independent:
				// A random line, moved to its best height, and the two
				// others, which are lines as well.
				for _, s := range []float64{slope, l.Slope.Float64() + slope/100} {
					if got := largest(s, intercept); got < claimed-1e-9 {
						t.Fatalf("the line %v x + %v deviates by %v, less than %v", s, intercept, got, claimed)
					}
				}
				for _, other := range []signal.LineKind{signal.TerminalBased, signal.ZeroBased} {
					if o, err := signal.LinearityOf(other, x, y); err != nil || abs(o.Worst.Float64()) < claimed-1e-9 {
						t.Fatalf("%s deviates by %v, less than independent %v (%v)", other, o.Worst.Float64(), claimed, err)
					}
				}
			case signal.ZeroBased:
				for _, s := range []float64{slope, l.Slope.Float64() + slope/100, l.Slope.Float64() - slope/1e4} {
					if got := largest(s, y[0].Float64()-s*x[0].Float64()); got < claimed-1e-9 {
						t.Fatalf("slope %v through the first point deviates by %v, less than %v", s, got, claimed)
					}
				}
			}
		}
	})
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
