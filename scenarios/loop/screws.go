package loop

import (
	"errors"
	"math"
)

// Screws says how a transmitter's zero and span screws act on one another. One
// pass sets the zero at 0 %, then the span at 100 %. Errors are fractions of
// span, e0 at 0 % and e1 at 100 %.
//
//	A  zero after the gain: y = z + s x. No interaction, one pass is enough.
//	B  zero before the gain: y = s (x + z) - Pivot. The gain turns about a
//	   point Pivot spans below the output's 0 %; a 4-20 mA output whose gain
//	   turns about 0 mA has Pivot 4/16.
//	C  linear cross effects: the zero screw moves the errors by
//	   (1, 1+ZeroOnSpan), the span screw by (SpanOnZero, 1).
//
// The zero value is model A. With all three set, it is not valid.
type Screws struct {
	Pivot      float64 // model B, spans, 0..1000
	SpanOnZero float64 // model C, -100..100
	ZeroOnSpan float64 // model C, -100..100
}

// Validate names what is impossible.
func (s Screws) Validate() error {
	var c checks
	c.in("Screws.Pivot", s.Pivot, 0, 1000)
	c.in("Screws.SpanOnZero", s.SpanOnZero, -100, 100)
	c.in("Screws.ZeroOnSpan", s.ZeroOnSpan, -100, 100)
	if s.Pivot != 0 && (s.SpanOnZero != 0 || s.ZeroOnSpan != 0) {
		c.errs = append(c.errs, errors.New("Screws.Pivot and Screws.SpanOnZero, ZeroOnSpan are two models, give one"))
	}
	return errors.Join(c.errs...)
}

// Ratio is the factor by which a pass takes what remains, r:
//
//	B  Pivot/(1+Pivot), which is I0/I100 for a gain that turns about 0 mA
//	C  SpanOnZero (1+ZeroOnSpan); from 1 upwards, either sign, it never ends
func (s Screws) Ratio() float64 {
	if s.Pivot != 0 {
		return s.Pivot / (1 + s.Pivot)
	}
	return s.SpanOnZero * (1 + s.ZeroOnSpan)
}

// Pass does one pass: zero at 0 %, then span at 100 %, each set exactly. A
// transmitter without any gain (e1-e0 = -1 or below, model B) cannot be set:
// the errors come back as they were.
func (s Screws) Pass(e0, e1 float64) (float64, float64) {
	if s.Pivot != 0 {
		gain := 1 + e1 - e0
		if !(gain > 0) {
			return e0, e1
		}
		zero := s.Pivot / gain            // y(0) = 0
		gain = (1 + s.Pivot) / (1 + zero) // y(1) = 1
		return float64(gain*zero) - s.Pivot, 0
	}
	e1 -= float64((1 + s.ZeroOnSpan) * e0)
	return -float64(s.SpanOnZero * e1), 0
}

// Remaining gives the errors after n passes, n from 0, in closed form:
//
//	A  0
//	B  1/s_n - 1 = r^n (1/s_0 - 1), s_0 = 1 + e1 - e0, e0_n = 1 - s_n
//	C  e0_n = -SpanOnZero r^(n-1) (e1 - (1+ZeroOnSpan) e0)
//
// The error at 100 % is 0 after any pass.
func (s Screws) Remaining(n int, e0, e1 float64) (float64, float64) {
	switch {
	case n <= 0:
		return e0, e1
	case s.Pivot != 0:
		gain := 1 + e1 - e0
		if !(gain > 0) {
			return e0, e1
		}
		// 1/s_n = 1 + d, so 1 - s_n = d/(1+d).
		d := float64(power(s.Ratio(), n) * ((1 - gain) / gain))
		return d / (1 + d), 0
	}
	g := e1 - float64((1+s.ZeroOnSpan)*e0)
	return float64(-s.SpanOnZero * power(s.Ratio(), n-1) * g), 0
}

// power is r to the n, n from 0, by squaring: the same on every platform.
func power(r float64, n int) float64 {
	p := 1.0
	for ; n > 0; n >>= 1 {
		if n&1 == 1 {
			p *= r
		}
		r *= r
	}
	return p
}

// mostPasses is where counting ends; nobody turns a screw so often.
const mostPasses = 1 << 20

// Passes is how many passes bring both errors within tolerance, a fraction of
// span above 0, exactly; 0 when they are within it already. The second result
// is false when no number of passes does:
//
//	B  n = max(1, ceil(ln(L/|1/s_0 - 1|)/ln r)), L = t/(1+t) for s_0 > 1, else t/(1-t)
//	C  n = 1 if |m g| <= t, else 1 + ceil(ln(t/|m g|)/ln |r|), never for |r| >= 1
//
// The count is found by the closed form of [Screws.Remaining], halving, not by
// logarithms, which differ in their last place between platforms.
func (s Screws) Passes(e0, e1, tolerance float64) (int, bool) {
	return s.count(e0, e1, func(e float64) bool { return math.Abs(e) <= tolerance })
}

// PassesAsRead is [Screws.Passes] with an instrument that is read to
// resolution: an error counts by what it reads, rounded to the nearest step,
// so that an apprentice may stop earlier than the exact count. A key must say
// which of the two it means.
func (s Screws) PassesAsRead(e0, e1, tolerance, resolution float64) (int, bool) {
	if !(resolution > 0) {
		return s.Passes(e0, e1, tolerance)
	}
	most, _ := roundClear(tolerance / resolution)
	return s.count(e0, e1, func(e float64) bool {
		steps, _ := roundClear(math.Abs(e) / resolution)
		return steps <= most
	})
}

// count finds the least number of passes after which both errors are within;
// what remains at 0 % never grows from the first pass on, unless it never ends.
func (s Screws) count(e0, e1 float64, within func(float64) bool) (int, bool) {
	if within(e0) && within(e1) {
		return 0, true
	}
	done := func(n int) bool {
		zero, span := s.Remaining(n, e0, e1)
		return within(zero) && within(span)
	}
	if done(1) {
		return 1, true
	}
	if r := math.Abs(s.Ratio()); !(r < 1) || !done(mostPasses) {
		return 0, false
	}
	low, high := 1, mostPasses
	for high-low > 1 {
		if mid := (low + high) / 2; done(mid) {
			high = mid
		} else {
			low = mid
		}
	}
	return high, true
}

// LeaveAt is the error to leave at 100 % in the first pass so that setting the
// zero once more ends at 0 at both points, model B:
//
//	e = -Pivot (s-1)/s,  s = 1 + e1 - e0
//
// Below 0 for a gain that was too high: the screw is turned past the mark.
func (s Screws) LeaveAt(e0, e1 float64) float64 {
	gain := 1 + e1 - e0
	if !(gain > 0) {
		return 0
	}
	return -s.Pivot * ((gain - 1) / gain)
}
