package formula

import (
	"errors"
	"testing"

	"pgregory.net/rapid"
)

var percent = Definition{
	Sym:      "x",
	Expr:     Mul(Div(Sub(Sym("I"), Sym("I_0")), Sub(Sym("I_100"), Sym("I_0"))), Percent100()),
	Unit:     "%",
	Decimals: 2,
}

func liveZero(i Value, decimals int) Env {
	return Env{
		{Sym: "I", V: i, Unit: "mA", Decimals: decimals},
		{Sym: "I_0", V: Int(4), Unit: "mA"},
		{Sym: "I_100", V: Int(20), Unit: "mA"},
	}
}

func TestWorkingIsPrintedFromTheFormula(t *testing.T) {
	got := percent.Lines(liveZero(Decimal(855, 2), 2))
	want := []string{
		"x = (I \u2212 I_0) / (I_100 \u2212 I_0) × 100\u00a0%",
		"x = (8.55\u00a0mA \u2212 4\u00a0mA) / (20\u00a0mA \u2212 4\u00a0mA) × 100\u00a0%",
		"x = 28.4375\u00a0% ≈ 28.44\u00a0%",
	}
	for i := range want {
		if got[i] != want[i] {
			t.Errorf("line %d\n got %s\nwant %s", i, got[i], want[i])
		}
	}
}

// Digits before an ellipsis are cut off, not rounded.
func TestEllipsisCutsOff(t *testing.T) {
	for _, row := range []struct {
		x    Expr
		want string
	}{
		{Div(Num(20), Num(3)), "6.66666…\u00a0V ≈ 6.67\u00a0V"},
		{Div(Num(-2), Num(3)), "\u22120.66666…\u00a0V ≈ \u22120.67\u00a0V"},
		{Sqrt(Num(2)), "1.41421…\u00a0V ≈ 1.41\u00a0V"},
		{Div(Num(1), Num(8)), "0.125\u00a0V ≈ 0.13\u00a0V"},
		{Num(3), "3.00\u00a0V"},
	} {
		d := Definition{Sym: "U", Expr: row.x, Unit: "V", Decimals: 2}
		if got := d.Lines(nil)[2]; got != "U = "+row.want {
			t.Errorf("got %s, want %s", got, row.want)
		}
	}
}

func TestBrackets(t *testing.T) {
	a, b, c := Sym("a"), Sym("b"), Sym("c")
	env := Env{{Sym: "a", V: Int(-2)}, {Sym: "b", V: Int(3)}, {Sym: "c", V: Int(-5), Unit: "V"}}
	for _, row := range []struct {
		x                Expr
		symbols, numbers string
	}{
		{Sub(a, Sub(b, c)), "a − (b − c)", "−2 − (3 − (−5 V))"},
		{Div(a, Div(b, c)), "a / (b / c)", "−2 / (3 / (−5 V))"},
		{Mul(a, Div(b, c)), "a × b / c", "−2 × 3 / (−5 V)"},
		{Mul(Add(a, b), c), "(a + b) × c", "(−2 + 3) × (−5 V)"},
		{Neg(Add(a, b)), "−(a + b)", "−(−2 + 3)"},
		{Neg(a), "−a", "−(−2)"},
		{Square(c), "c²", "(−5 V)²"},
		{Sqrt(Div(a, b)), "√(a / b)", "√(−2 / 3)"},
		{Add(a, Abs(c)), "a + |c|", "−2 + |−5 V|"},
		{Max(a, b), "max(a; b)", "max(−2; 3)"},
	} {
		nb := func(s string) string {
			out := ""
			for _, r := range s {
				if r == '\u00a0' {
					r = ' '
				}
				out += string(r)
			}
			return out
		}
		if got := nb(ShapeOf(row.x, env, false).String()); got != row.symbols {
			t.Errorf("symbols: got %s, want %s", got, row.symbols)
		}
		if got := nb(ShapeOf(row.x, env, true).String()); got != row.numbers {
			t.Errorf("numbers: got %s, want %s", got, row.numbers)
		}
	}
}

func TestRoundHalfAwayFromZero(t *testing.T) {
	for _, row := range []struct {
		v        Value
		decimals int
		want     string
	}{
		{Decimal(125, 3), 2, "0.13"},
		{Decimal(-125, 3), 2, "−0.13"},
		{Decimal(-4, 3), 2, "0.00"}, // no negative zero in print
		{Ratio(2, 3), 3, "0.667"},
		{Int(7), 2, "7.00"},
		{Float(28.4375), 2, "28.44"},
	} {
		if got := row.v.Text(row.decimals); got != row.want {
			t.Errorf("%v to %d: got %s, want %s", row.v, row.decimals, got, row.want)
		}
	}
}

func TestEdgeIsRefused(t *testing.T) {
	if _, err := Float(0.125 + 1e-10).Round(2); !errors.Is(err, ErrEdge) {
		t.Errorf("a float on a rounding edge was rounded: %v", err)
	}
	if _, err := Float(2).Sqrt().Round(4); err != nil {
		t.Errorf("√2 is far from an edge: %v", err)
	}
	if _, err := Float(1).Cmp(Float(1 + 1e-9)); !errors.Is(err, ErrEdge) {
		t.Errorf("two floats next to each other were ordered: %v", err)
	}
	if v := Eval(Div(Num(1), Num(0)), nil); v.Defined() {
		t.Errorf("1/0 gave %v", v)
	}
	if v := Eval(Sym("nobody"), nil); v.Defined() {
		t.Errorf("an unknown symbol gave %v", v)
	}
}

func TestSqrtExact(t *testing.T) {
	v := Ratio(9, 16).Sqrt()
	if !v.Equal(Ratio(3, 4)) {
		t.Errorf("√(9/16) = %v", v)
	}
	if Ratio(-1, 4).Sqrt().Defined() {
		t.Error("root of a negative number is defined")
	}
}

// Against math/big through the float64 of both, over sizes that overflow
// int64 as well as small ones.
func TestArithmeticAgreesWithFloat(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		gen := rapid.Custom(func(t *rapid.T) Value {
			return Ratio(rapid.Int64Range(-1e12, 1e12).Draw(t, "n"), rapid.Int64Range(1, 1e9).Draw(t, "d"))
		})
		a, b := gen.Draw(t, "a"), gen.Draw(t, "b")
		near := func(name string, got Value, want float64) {
			scale := 1 + abs(want) + abs(a.Float64()) + abs(b.Float64())
			if d := abs(got.Float64() - want); d > 1e-12*scale {
				t.Fatalf("%s: got %v, want %v", name, got.Float64(), want)
			}
		}
		near("add", a.Add(b), a.Float64()+b.Float64())
		near("sub", a.Sub(b), a.Float64()-b.Float64())
		near("neg", a.Neg(), -a.Float64())
		if p := a.Float64() * b.Float64(); abs(a.Mul(b).Float64()-p) > 1e-12*(1+abs(p)) {
			t.Fatalf("mul: got %v, want %v", a.Mul(b).Float64(), p)
		}
		if b.Sign() != 0 {
			if q := a.Float64() / b.Float64(); abs(a.Div(b).Float64()-q) > 1e-12*(1+abs(q)) {
				t.Fatalf("div: got %v, want %v", a.Div(b).Float64(), q)
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

func FuzzParseDecimal(f *testing.F) {
	for _, s := range []string{"0", "-0.25", "+7.", ".5", "", "-", "1e3", "99999999999999999999", "12,5"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		v, err := ParseDecimal(s)
		if err == nil && (!v.Exact() || !v.Defined()) {
			t.Errorf("%q gave %v", s, v)
		}
	})
}
