package tempinput

import (
	"math"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
)

// Figures of published tables, as the extract must print them. That those of
// the function agree with IEC 60751 and NIST SRD 60 is held in scenarios/signal.
func TestExtract(t *testing.T) {
	for _, row := range []struct {
		name      string
		sensor    scenarios.Sensor
		low, high int64
		celsius   int64
		want      string
	}{
		{"Pt100 at 0 °C, by definition", scenarios.Pt100, -20, 80, 0, "100.00"},
		{"Pt100 at 100 °C, IEC 60751", scenarios.Pt100, 0, 150, 100, "138.51"},
		{"Pt100 at -50 °C, IEC 60751", scenarios.Pt100, -20, 80, -50, "80.31"},
		{"K at 100 °C, SRD 60", scenarios.ThermocoupleK, 0, 600, 100, "4.096"},
		{"J at 300 °C, SRD 60", scenarios.ThermocoupleJ, 0, 300, 300, "16.327"},
		{"T at 100 °C, SRD 60", scenarios.ThermocoupleT, 0, 350, 100, "4.279"},
	} {
		x := newTable(row.sensor, row.low, row.high)
		if x == nil {
			t.Fatalf("%s: no table", row.name)
		}
		if got := x.v[(row.celsius-x.low)/step].Text(x.decimals); got != row.want {
			t.Errorf("%s: %s, want %s", row.name, got, row.want)
		}
		if x.low > row.low || x.high() < row.high || x.low%rowStep != 0 || x.high()%rowStep != 0 {
			t.Errorf("%s: the table goes from %d to %d °C", row.name, x.low, x.high())
		}
	}
	if newTable(scenarios.ThermocoupleT, 0, 410) != nil {
		t.Error("a table of type T beyond 400 °C")
	}
}

// What the tolerances rest on, and the package comment says: a straight line
// between two rounded figures of the table is off by less than 0.007 ohm, or
// 0.002 mV, anywhere from -50 °C up.
func TestStraightLinesAreNear(t *testing.T) {
	for _, row := range []struct {
		sensor scenarios.Sensor
		high   int64
		most   float64
	}{{scenarios.Pt100, 850, 0.007}, {scenarios.ThermocoupleJ, 800, 0.002}, {scenarios.ThermocoupleK, 800, 0.002}, {scenarios.ThermocoupleT, 400, 0.002}} {
		x := newTable(row.sensor, -50, row.high)
		worst := 0.0
		for tenth := int64(-500); tenth < 10*row.high; tenth++ {
			c := formula.Decimal(tenth, 1)
			i, ok := x.at(c)
			if !ok {
				t.Fatalf("%s: %v °C is not in the table", row.sensor, c.Float64())
			}
			share := c.Sub(x.celsius(i)).Div(formula.Int(step))
			line := x.v[i].Add(share.Mul(x.v[i+1].Sub(x.v[i])))
			sent, err := row.sensor.Sends(c)
			if err != nil {
				t.Fatal(err)
			}
			worst = math.Max(worst, math.Abs(line.Float64()-sent.Float64()))
			if j, ok := x.of(line); !ok || j != i {
				t.Fatalf("%s: %v °C is found between other figures again", row.sensor, c.Float64())
			}
		}
		t.Logf("%s: at most %.4f %s", row.sensor, worst, x.unit)
		if worst > row.most {
			t.Errorf("%s: %.4f %s off, %v are allowed for", row.sensor, worst, x.unit, row.most)
		}
	}
}

// The ends of the table belong to it, what lies beside them does not.
func TestTableEnds(t *testing.T) {
	x := newTable(scenarios.Pt100, 0, 100)
	for _, row := range []struct {
		name    string
		celsius string
		i       int
		ok      bool
	}{
		{"the first figure", "0", 0, true},
		{"the last figure, above the last line but one", "100", 9, true},
		{"just below the first", "-0.1", 0, false},
		{"just above the last", "100.1", 9, false},
	} {
		c, err := formula.ParseDecimal(row.celsius)
		if err != nil {
			t.Fatal(err)
		}
		if i, ok := x.at(c); i != row.i || ok != row.ok {
			t.Errorf("%s: %d %v, want %d %v", row.name, i, ok, row.i, row.ok)
		}
		v, err := scenarios.Pt100.Sends(c)
		if err != nil {
			t.Fatal(err)
		}
		v, _ = v.Rounded(2)
		if i, ok := x.of(v); i != row.i || ok != row.ok {
			t.Errorf("%s, by its ohms: %d %v, want %d %v", row.name, i, ok, row.i, row.ok)
		}
	}
}
