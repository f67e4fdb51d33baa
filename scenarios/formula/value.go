// Package formula holds the arithmetic of every exercise as a small tree that
// is evaluated and printed from the same source, so that an answer key and its
// worked solution cannot drift apart.
//
// For most uses write an [Expr] once (with [Sym], [Num], [Add], [Div], ...),
// collect the givens of one exercise in an [Env], and call [Definition.Eval]
// for the answer and [Definition.Lines] for the working.
//
// Numbers are exact fractions of int64 as long as that is possible and fall
// back to float64 where a root or an overflow makes it impossible; rounding
// and comparing then refuse to decide anything that another processor's
// arithmetic could decide differently (see [Value.Round] and [Value.Cmp]).
package formula

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
	"strconv"
	"strings"
)

// ErrEdge says that a result that is not an exact fraction lies so close to a
// rounding edge or to another value that a last-bit difference between
// processors could decide it. Whoever draws exercises draws again.
var ErrEdge = errors.New("too close to a rounding edge to be decided safely")

// ErrUndefined says that a value does not exist: a division by zero or the
// root of a negative number.
var ErrUndefined = errors.New("value is not defined")

// Value is a number: an exact fraction, or a float64 once exactness was lost.
// The zero Value is the exact 0.
type Value struct {
	num, den int64 // den is 0 (meaning 1) or positive, lowest terms
	f        float64
	inexact  bool
}

// Int returns the exact value n.
func Int(n int64) Value { return Value{num: n, den: 1} }

// Decimal returns the exact value n × 10^-decimals, so Decimal(855, 2) is
// 8.55. decimals must lie in 0..18.
func Decimal(n int64, decimals int) Value {
	return Ratio(n, pow10(decimals))
}

// Ratio returns the exact value n/d. A zero d gives a value that every
// operation reports as [ErrUndefined].
func Ratio(n, d int64) Value {
	if d == 0 {
		return Value{f: math.NaN(), inexact: true}
	}
	if d < 0 {
		if d == math.MinInt64 || n == math.MinInt64 {
			return Float(float64(n) / float64(d))
		}
		n, d = -n, -d
	}
	if g := gcd(n, d); g > 1 {
		n, d = n/g, d/g
	}
	return Value{num: n, den: d}
}

// Float returns f as a value that is not exact.
func Float(f float64) Value { return Value{f: f, inexact: true} }

// ParseDecimal reads a plain decimal such as "-0.25" exactly. It takes no
// exponent, no unit and no blanks.
func ParseDecimal(s string) (Value, error) {
	t := s
	neg := strings.HasPrefix(t, "-")
	t = strings.TrimPrefix(strings.TrimPrefix(t, "-"), "+")
	whole, frac, _ := strings.Cut(t, ".")
	if len(frac) > 15 || (whole == "" && frac == "") {
		return Value{}, fmt.Errorf("%q is not a plain decimal number", s)
	}
	for _, r := range whole + frac {
		if r < '0' || r > '9' {
			return Value{}, fmt.Errorf("%q is not a plain decimal number", s)
		}
	}
	n, err := strconv.ParseInt(whole+frac, 10, 64)
	if err != nil {
		return Value{}, fmt.Errorf("%q has too many digits", s)
	}
	if neg {
		n = -n
	}
	return Decimal(n, len(frac)), nil
}

// Exact reports whether v is an exact fraction.
func (v Value) Exact() bool { return !v.inexact }

// Defined reports whether v is a number at all (not NaN, not infinite).
func (v Value) Defined() bool { return !v.inexact || !(math.IsNaN(v.f) || math.IsInf(v.f, 0)) }

// Float64 returns the nearest float64.
func (v Value) Float64() float64 {
	if v.inexact {
		return v.f
	}
	return float64(v.num) / float64(v.d())
}

// Fraction returns numerator and positive denominator of an exact value; ok is
// false for a value that is not exact.
func (v Value) Fraction() (num, den int64, ok bool) {
	return v.num, v.d(), !v.inexact
}

// Sign returns -1, 0 or +1.
func (v Value) Sign() int {
	if !v.inexact {
		return cmpInt(v.num, 0)
	}
	switch {
	case v.f > 0:
		return 1
	case v.f < 0:
		return -1
	}
	return 0
}

// IsZero reports whether v is the exact 0.
func (v Value) IsZero() bool { return !v.inexact && v.num == 0 }

func (v Value) d() int64 {
	if v.den == 0 {
		return 1
	}
	return v.den
}

// Add returns v + w.
func (v Value) Add(w Value) Value {
	if v.inexact || w.inexact {
		return Float(v.Float64() + w.Float64())
	}
	a, ok1 := mul(v.num, w.d())
	b, ok2 := mul(w.num, v.d())
	d, ok3 := mul(v.d(), w.d())
	s, ok4 := add(a, b)
	if !(ok1 && ok2 && ok3 && ok4) {
		return Float(v.Float64() + w.Float64())
	}
	return Ratio(s, d)
}

// Sub returns v - w.
func (v Value) Sub(w Value) Value { return v.Add(w.Neg()) }

// Mul returns v × w.
func (v Value) Mul(w Value) Value {
	if v.inexact || w.inexact {
		return Float(v.Float64() * w.Float64())
	}
	// Cross-cancel first, so that chains of scalings stay inside int64.
	a, d := Ratio(v.num, w.d()), Ratio(w.num, v.d())
	n, ok1 := mul(a.num, d.num)
	m, ok2 := mul(a.d(), d.d())
	if !ok1 || !ok2 {
		return Float(v.Float64() * w.Float64())
	}
	return Ratio(n, m)
}

// Div returns v / w; a zero w gives an undefined value.
func (v Value) Div(w Value) Value {
	if v.inexact || w.inexact {
		return Float(v.Float64() / w.Float64())
	}
	if w.num == 0 {
		return Ratio(0, 0)
	}
	return v.Mul(Ratio(w.d(), w.num))
}

// Neg returns -v.
func (v Value) Neg() Value {
	if v.inexact {
		return Float(-v.f)
	}
	if v.num == math.MinInt64 {
		return Float(-float64(v.num) / float64(v.d()))
	}
	return Value{num: -v.num, den: v.d()}
}

// Abs returns |v|.
func (v Value) Abs() Value {
	if v.Sign() < 0 {
		return v.Neg()
	}
	return v
}

// Sqrt returns the square root of v, exact where v is the square of a
// fraction, and an undefined value where v is negative.
func (v Value) Sqrt() Value {
	if v.Sign() < 0 {
		return Ratio(0, 0)
	}
	if !v.inexact {
		n, ok1 := isqrt(v.num)
		d, ok2 := isqrt(v.d())
		if ok1 && ok2 {
			return Ratio(n, d)
		}
	}
	return Float(math.Sqrt(v.Float64()))
}

// edge is the part of a unit of the last place within which a result that is
// not exact is not rounded or compared: 1e-6, some ten thousand times what
// fused multiply-add can shift.
const edge = 1e-6

// Round returns v rounded half away from zero (the rule taught at school and
// printed in the workbooks) as a whole number of 10^-decimals. A value that is
// not exact and lies within 1e-6 of the last place of a rounding edge gives
// [ErrEdge]; an undefined value or one too large gives [ErrUndefined].
func (v Value) Round(decimals int) (int64, error) {
	scaled := v.Mul(Int(pow10(decimals)))
	if !scaled.inexact {
		n, d := scaled.num, scaled.d()
		neg := n < 0
		if neg {
			if n == math.MinInt64 {
				return 0, ErrUndefined
			}
			n = -n
		}
		q, r := n/d, n%d
		if r >= d-r {
			q++
		}
		if neg {
			q = -q
		}
		return q, nil
	}
	x := scaled.f
	if math.IsNaN(x) || math.Abs(x) > 1e15 {
		return 0, ErrUndefined
	}
	whole := math.Floor(math.Abs(x) + 0.5)
	if gap := math.Abs(x) + 0.5 - whole; gap < edge || gap > 1-edge {
		return 0, ErrEdge
	}
	if x < 0 {
		whole = -whole
	}
	return int64(whole), nil
}

// Truncate returns v cut off after decimals, toward nothing, as a whole number
// of 10^-decimals: the digits that stand before an ellipsis. Like [Value.Round]
// it gives [ErrEdge] for a value that is not exact where another processor
// could cut it elsewhere.
func (v Value) Truncate(decimals int) (int64, error) {
	scaled := v.Mul(Int(pow10(decimals)))
	if !scaled.inexact {
		return scaled.num / scaled.d(), nil
	}
	x := scaled.f
	if math.IsNaN(x) || math.Abs(x) > 1e15 {
		return 0, ErrUndefined
	}
	whole := math.Trunc(x)
	if gap := math.Abs(x - whole); gap < edge || gap > 1-edge {
		return 0, ErrEdge
	}
	return int64(whole), nil
}

// Rounded returns v rounded to decimals as an exact value; see [Value.Round].
func (v Value) Rounded(decimals int) (Value, error) {
	n, err := v.Round(decimals)
	if err != nil {
		return Value{}, err
	}
	return Decimal(n, decimals), nil
}

// Cmp compares v with w: -1, 0 or +1. Two exact values compare exactly. With a
// value that is not exact, two that lie within a millionth of the larger one
// give [ErrEdge].
func (v Value) Cmp(w Value) (int, error) {
	if !v.Defined() || !w.Defined() {
		return 0, ErrUndefined
	}
	d := v.Sub(w)
	if !d.inexact {
		return d.Sign(), nil
	}
	if !v.inexact && !w.inexact { // the difference overflowed; the sign still holds
		return d.Sign(), nil
	}
	if math.Abs(d.f) <= edge*math.Max(math.Abs(v.Float64()), math.Abs(w.Float64())) {
		return 0, ErrEdge
	}
	return d.Sign(), nil
}

// Equal reports whether both values are exact and the same.
func (v Value) Equal(w Value) bool {
	return !v.inexact && !w.inexact && v.num == w.num && v.d() == w.d()
}

// Text prints v rounded to decimals, with a true minus sign (U+2212) and
// without a unit. It shows "undefined" for what is none.
func (v Value) Text(decimals int) string {
	n, err := v.Round(decimals)
	if err != nil {
		if !v.Defined() {
			return "undefined"
		}
		// Only a value that no draw lets through can come here; print the
		// plain rounding rather than nothing.
		n = int64(math.Round(v.Float64() * float64(pow10(decimals))))
	}
	return fixed(n, decimals)
}

// Places returns the number of decimals with which v prints exactly, or most
// if it needs more than most or is not exact.
func (v Value) Places(most int) (decimals int, exact bool) {
	if v.inexact {
		return most, false
	}
	d := v.d()
	for k := 0; k <= most; k++ {
		if pow10(k)%d == 0 {
			return k, true
		}
	}
	return most, false
}

func fixed(n int64, decimals int) string {
	sign := ""
	if n < 0 {
		sign, n = "\u2212", -n
	}
	s := strconv.FormatInt(n, 10)
	if decimals <= 0 {
		return sign + s
	}
	for len(s) <= decimals {
		s = "0" + s
	}
	return sign + s[:len(s)-decimals] + "." + s[len(s)-decimals:]
}

func pow10(k int) int64 {
	p := int64(1)
	for range max(0, min(k, 18)) {
		p *= 10
	}
	return p
}

func gcd(a, b int64) int64 {
	if a < 0 {
		a = -a
	}
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

func cmpInt(a, b int64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

func mul(a, b int64) (int64, bool) {
	if a == math.MinInt64 || b == math.MinInt64 {
		return 0, false
	}
	neg := (a < 0) != (b < 0)
	if a < 0 {
		a = -a
	}
	if b < 0 {
		b = -b
	}
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	if hi != 0 || lo > math.MaxInt64 {
		return 0, false
	}
	if neg {
		return -int64(lo), true
	}
	return int64(lo), true
}

func add(a, b int64) (int64, bool) {
	s := a + b
	return s, (s > a) == (b > 0)
}

func isqrt(n int64) (int64, bool) {
	r := int64(math.Sqrt(float64(n)))
	for _, c := range []int64{r - 1, r, r + 1} {
		if c >= 0 && c < 3e9 && c*c == n {
			return c, true
		}
	}
	return 0, false
}
