package unit

import (
	"errors"
	"math"
	"strings"
	"testing"

	"loopdrill/scenarios/formula"
)

// sp811 is NIST Special Publication 811 (2008 edition), Appendix B.8 and B.9:
// the printed factor to the coherent SI unit. Rows marked * are also confirmed
// through the copy of that table in the R package NISTunits 1.0.1;
// the others are from memory of the same table. digit is one unit of the last
// printed place; 0 means that the printed factor is exact.
var sp811 = []struct {
	name, si   string
	want       float64
	digit      float64
	provenance string
}{
	{"psi", "Pa", 6.894757e3, 1e-3, "*"},
	{"inHg", "Pa", 3.386389e3, 1e-3, "*"},
	{"mmHg", "Pa", 1.333224e2, 1e-4, "*"},
	{"kgf/cm2", "Pa", 9.80665e4, 0, "*"},
	{"bar", "Pa", 1e5, 0, "*"},
	{"mbar", "Pa", 1e2, 0, "*"},
	{"inH2O(conv)", "Pa", 2.490889e2, 1e-4, "*"},
	{"inH2O(4C)", "Pa", 2.49082e2, 1e-3, "*"},
	{"inH2O(60F)", "Pa", 2.4884e2, 1e-2, "*"},
	{"mmH2O(conv)", "Pa", 9.80665, 0, "memory"},
	{"mmH2O(4C)", "Pa", 9.80638, 1e-5, "memory, a tenth of the centimetre"},
	{"in", "m", 2.54e-2, 0, "memory"},
	{"ft", "m", 3.048e-1, 0, "memory"},
	{"lb", "kg", 4.535924e-1, 1e-7, "memory"},
	{"gal(US)", "m3", 3.785412e-3, 1e-9, "memory"},
	{"gpm(US)", "m3/s", 6.309020e-5, 1e-11, "memory"},
	{"lb/h", "kg/s", 1.259979e-4, 1e-10, "memory"},
	{"t", "kg", 1e3, 0, "memory"},
	{"L", "m3", 1e-3, 0, "*"},
}

func TestSP811(t *testing.T) {
	for _, c := range sp811 {
		t.Run(c.name, func(t *testing.T) {
			got, err := Quantity{V: formula.Int(1), Unit: Must(c.name)}.Convert(Must(c.si))
			if err != nil {
				t.Fatal(err)
			}
			if !got.Exact() {
				t.Error("not an exact fraction")
			}
			tol := c.digit / 2 * 1.0001
			if c.digit == 0 {
				tol = 1e-15 * c.want
			}
			if d := math.Abs(got.Float64() - c.want); d > tol {
				t.Errorf("%s is %.12g %s, printed %.12g", c.name, got.Float64(), c.si, c.want)
			}
		})
	}
}

func TestTemperatures(t *testing.T) {
	// SP 811 B.9: t/°C = (t/°F − 32)/1.8, T/K = t/°C + 273.15; exact.
	for _, c := range []struct {
		name, from, to string
		difference     bool
		want           string
	}{
		{"ice", "0 °C", "°F", false, "32.00"},
		{"steam", "212 °F", "°C", false, "100.00"},
		{"equal", "-40 °F", "°C", false, "\u221240.00"},
		{"absolute", "25 °C", "K", false, "298.15"},
		{"kelvin to fahrenheit", "0 K", "°F", false, "\u2212459.67"},
		{"difference", "5 °C", "°F", true, "9.00"},
		{"difference in kelvin", "9 °F", "K", true, "5.00"},
	} {
		t.Run(c.name, func(t *testing.T) {
			q, err := Parse(c.from)
			if err != nil {
				t.Fatal(err)
			}
			f := q.Convert
			if c.difference {
				f = q.ConvertDifference
			}
			v, err := f(Must(c.to))
			if err != nil || v.Text(2) != c.want || !v.Exact() {
				t.Errorf("%s is %s %s, want %s (%v)", c.from, v.Text(2), c.to, c.want, err)
			}
		})
	}
}

func TestConvertIsExactBetweenAllUnits(t *testing.T) {
	for _, a := range All() {
		for _, b := range All() {
			if a.Dimension != b.Dimension {
				if _, err := (Quantity{Unit: a}).Convert(b); err == nil {
					t.Errorf("%s became %s", a.Name(), b.Name())
				}
				continue
			}
			q := Quantity{V: formula.Decimal(1234, 2), Unit: a}
			there, err := q.Convert(b)
			if err != nil {
				t.Fatal(err)
			}
			back, err := Quantity{V: there, Unit: b}.Convert(a)
			if err != nil {
				t.Fatal(err)
			}
			if d := math.Abs(back.Float64() - 12.34); d > 1e-9 {
				t.Errorf("12.34 %s through %s came back as %v", a.Name(), b.Name(), back.Float64())
			}
		}
	}
}

func TestParse(t *testing.T) {
	for _, c := range []struct {
		in, plain, print string
		dim              Dimension
		decimals         int
	}{
		{"24 V", "24 V", "24\u00a0V", Voltage, 0},
		{"24V", "24 V", "24\u00a0V", Voltage, 0},
		{"0.5 %span", "0.5 %span", "0.5\u00a0% of span", PercentOfSpan, 1},
		{"0.5 % of span", "0.5 %span", "0.5\u00a0% of span", PercentOfSpan, 1},
		{"-7.7 kPa", "-7.7 kPa", "\u22127.7\u00a0kPa", Pressure, 1},
		{"\u22127.70 kPa", "-7.70 kPa", "\u22127.70\u00a0kPa", Pressure, 2},
		{"250 ohm", "250 ohm", "250\u00a0Ω", Resistance, 0},
		{"250\u00a0Ω", "250 ohm", "250\u00a0Ω", Resistance, 0},
		{"1 Mohm", "1 Mohm", "1\u00a0MΩ", Resistance, 0},
		{"4 \u03bcA", "4 uA", "4\u00a0µA", Current, 0},
		{"10 inH2O (60F)", "10 inH2O(60F)", "10\u00a0inH₂O (60 °F)", Pressure, 0},
		{"10 inH2O (60 °F)", "10 inH2O(60F)", "10\u00a0inH₂O (60 °F)", Pressure, 0},
		{"10 inH2O", "10 inH2O(conv)", "10\u00a0inH₂O (conventional)", Pressure, 0},
		{"70 %", "70 %", "70\u00a0%", Percent, 0},
		{"20 degC", "20 °C", "20\u00a0°C", Temperature, 0},
		{"350 gpm", "350 gpm(US)", "350\u00a0gal/min (US)", VolumeFlow, 0},
		{"5", "5", "5", Number, 0},
		{"+5", "5", "5", Number, 0},
	} {
		q, err := Parse(c.in)
		if err != nil {
			t.Errorf("%q: %v", c.in, err)
			continue
		}
		if q.String() != c.plain || q.Text() != c.print || q.Unit.Dimension != c.dim || q.Decimals != c.decimals {
			t.Errorf("%q gave %q, %q, %s, %d decimals", c.in, q.String(), q.Text(), q.Unit.Dimension, q.Decimals)
		}
	}
}

func TestParseRange(t *testing.T) {
	for _, c := range []struct{ in, plain, print string }{
		{"0..25 kPa", "0..25 kPa", "0 to 25\u00a0kPa"},
		{"4..20 mA", "4..20 mA", "4 to 20\u00a0mA"},
		{"-7.7..0 kPa", "-7.7..0.0 kPa", "\u22127.7 to 0.0\u00a0kPa"},
		{"0 .. 2.5 m", "0.0..2.5 m", "0.0 to 2.5\u00a0m"},
		{"0 kPa..25 kPa", "0..25 kPa", "0 to 25\u00a0kPa"},
		{"0…25 kPa", "0..25 kPa", "0 to 25\u00a0kPa"},
		{"25..0 kPa", "25..0 kPa", "25 to 0\u00a0kPa"},
		{"-20..-5 °C", "-20..-5 °C", "\u221220 to \u22125\u00a0°C"},
	} {
		r, err := ParseRange(c.in)
		if err != nil {
			t.Errorf("%q: %v", c.in, err)
			continue
		}
		if r.String() != c.plain || r.Text() != c.print {
			t.Errorf("%q gave %q and %q", c.in, r.String(), r.Text())
		}
	}
}

func TestMistakes(t *testing.T) {
	for _, c := range []struct {
		name, in   string
		rng        bool
		what, hint string
	}{
		{"comma", "0,5 V", false, "comma", "0.5"},
		{"thousands", "1,000 ohm", false, "comma", "1000"},
		{"blank in number", "10 000 ohm", false, "blank inside", "10000"},
		{"exponent", "1e3 ohm", false, "exponent", "write the number out"},
		{"no number", "kPa", false, "does not begin with a number", "24 V"},
		{"unit typo", "5 kPaa", false, `unknown unit, "kPaa"`, "did you mean kPa?"},
		{"capitals", "5 ma", false, `unknown unit, "ma"`, "did you mean mA?"},
		{"capitals, milli or mega", "5 MV", false, `unknown unit, "MV"`, "did you mean mV?"},
		{"swapped", "5 Kap", false, "unknown unit", "did you mean kPa?"},
		{"unknown", "5 furlongs", false, "unknown unit", "known units: mA"},
		{"gauge", "5 psig", false, "unknown unit", "write psi"},
		{"full scale", "0.5 %FS", false, "unknown unit", "%span"},
		{"range for one value", "0..5 V", false, "is a range", ""},
		{"empty", "  ", false, "there is no quantity", "24 V"},
		{"octal", "010 V", false, "leading zero", "leave out"},
		{"nan", ".nan", false, "", ""},
		{"inf", "-.inf V", false, "", ""},
		{"two points", "1.2.3 V", false, "plain decimal", "one point"},
		{"many digits", "1234567890123456789 V", false, "plain decimal", "15 digits"},
		{"not text", "5 \xff", false, "UTF-8", "UTF-8"},
		{"page", strings.Repeat("5", 4000), false, "too long", "24 V"},
		{"hyphen", "4-20 mA", true, "not a range", `"4..20 mA"`},
		{"dash", "0–25 kPa", true, "not a range", `"0..25 kPa"`},
		{"to", "0 to 25 kPa", true, "not a range", `"0..25 kPa"`},
		{"negative hyphen", "-5-20 kPa", true, "not a range", `"-5..20 kPa"`},
		{"one value", "25 kPa", true, "not a range", "0..25 kPa"},
		{"three ends", "0..5..9 V", true, "more than two", ""},
		{"three dots", "0...5 V", true, "more than two", ""},
		{"two units", "0 V..5 mA", true, "two units, V and mA", "same unit"},
		{"missing end", "..5 V", true, "does not begin with a number", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			var err error
			if c.rng {
				_, err = ParseRange(c.in)
			} else {
				_, err = Parse(c.in)
			}
			var m *Mistake
			if !errors.As(err, &m) {
				t.Fatalf("%q: %v", c.in, err)
			}
			if !strings.Contains(m.What, c.what) || !strings.Contains(m.Hint, c.hint) {
				t.Errorf("%q: %s (%s)", c.in, m.What, m.Hint)
			}
			if len(m.What) > 300 {
				t.Errorf("message of %d bytes", len(m.What))
			}
		})
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"24 V", "0..25 kPa", "-7.7..0 kPa", "4-20 mA", "1,5 V", "010", "5 inH2O (60 °F)", "e", "1e", "0…1 m", "..", "-"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		if q, err := Parse(s); err == nil {
			again, err := Parse(q.String())
			if err != nil || !again.V.Equal(q.V) || again.Unit != q.Unit || again.Decimals != q.Decimals {
				t.Errorf("%q printed as %q and came back as %v, %v", s, q.String(), again, err)
			}
		}
		if r, err := ParseRange(s); err == nil {
			again, err := ParseRange(r.String())
			if err != nil || !again.Low.Equal(r.Low) || !again.High.Equal(r.High) || again.Unit != r.Unit || again.Decimals != r.Decimals {
				t.Errorf("%q printed as %q and came back as %v, %v", s, r.String(), again, err)
			}
		}
	})
}
