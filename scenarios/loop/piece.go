package loop

import "math"

// shape says how a quantity runs along a piece.
type shape uint8

const (
	flat      shape = iota
	moebius         // y = (y0 (1-t) + bend y1 t)/((1-t) + bend t), monotone, bend > 0
	quadratic       // y = y0 (1-t) + y1 t + bend t (1-t)
)

// curve is one quantity along a piece, t running from 0 to 1 over its sizes.
// For flat, y0 and y1 are the least and the greatest value seen.
type curve struct {
	y0, y1, bend float64
	shape        shape
}

// samples are a function's values at the ends and three places between.
type samples struct{ t, y [5]float64 }

// Where the five samples lie: even for a range of sizes within a decade, and
// evenly by ratio for a wider one, so that none sits in a saturated tail.
func places(low, high float64) (t [5]float64) {
	t = [5]float64{0, 0.25, 0.5, 0.75, 1}
	if low > 0 && high > float64(10*low) {
		quarter := math.Sqrt(math.Sqrt(high / low))
		s := low
		for i := 1; i < 4; i++ {
			s = float64(s * quarter)
			t[i] = (s - low) / (high - low)
		}
	}
	return t
}

// fit finds the curve through the samples. The second result is false when
// none of the shapes passes through all five: then nothing may be concluded.
func (s *samples) fit() (curve, bool) {
	low, high := s.y[0], s.y[0]
	for _, y := range s.y[1:] {
		low, high = min(low, y), max(high, y)
	}
	scale := max(math.Abs(low), math.Abs(high))
	if high-low <= float64(1e-12*scale)+1e-14 {
		return curve{low, high, 0, flat}, true
	}
	c := curve{y0: s.y[0], y1: s.y[4], shape: moebius}
	t, y := s.t[2], s.y[2]
	c.bend = float64((1-t)*(y-c.y0)) / float64(t*(c.y1-y))
	if c.bend > 0 && c.bend <= math.MaxFloat64 && s.agrees(&c, scale) {
		return c, true
	}
	c.shape = quadratic
	c.bend = (y - float64(c.y0*(1-t)) - float64(c.y1*t)) / float64(t*(1-t))
	return c, s.agrees(&c, scale)
}

// agrees compares a curve with all samples, to 1e-11 of their size.
func (s *samples) agrees(c *curve, scale float64) bool {
	for i, t := range s.t {
		if !(math.Abs(c.at(t)-s.y[i]) <= float64(1e-11*scale)+1e-12) {
			return false
		}
	}
	return true
}

// at is the curve's value at t.
func (c *curve) at(t float64) float64 {
	switch c.shape {
	case moebius:
		u, v := 1-t, float64(c.bend*t)
		return (float64(c.y0*u) + float64(c.y1*v)) / (u + v)
	case quadratic:
		return float64(c.y0*(1-t)) + float64(c.y1*t) + float64(float64(c.bend*t)*(1-t))
	}
	return c.y0
}

// roots gives the t strictly inside at which the curve passes through y, in
// rising order.
func (c *curve) roots(y float64) (t [2]float64, n int) {
	a, b := c.y0-y, c.y1-y
	switch c.shape {
	case moebius:
		if (a < 0) != (b < 0) && a != 0 && b != 0 {
			// a (1-t) + bend b t = 0
			return [2]float64{a / (a - float64(c.bend*b))}, 1
		}
	case quadratic:
		// a (1-t) + b t + bend t (1-t) = 0, that is
		// -bend t² + (b - a + bend) t + a = 0
		p, q := -c.bend, b-a+c.bend
		disc := float64(q*q) - float64(4*p*a)
		if disc <= 0 {
			return t, 0
		}
		root := math.Sqrt(disc)
		h := -0.5 * (q + math.Copysign(root, q))
		for _, x := range [2]float64{h / p, a / h} {
			if x > 0 && x < 1 {
				t[n] = x
				n++
			}
		}
		if n == 2 && t[0] > t[1] {
			t[0], t[1] = t[1], t[0]
		}
	}
	return t, n
}

// within gives the at most two ranges of t in which low <= y <= high, for any
// of the shapes, in rising order.
func (c *curve) within(low, high float64) (out [2]Interval, n int) {
	if !(low <= high) {
		return out, 0
	}
	switch c.shape {
	case flat:
		if c.y1 >= low && c.y0 <= high {
			return [2]Interval{{0, 1}}, 1
		}
		return out, 0
	case moebius:
		a, b := c.y0, c.y1
		if a <= b {
			if b < low || a > high {
				return out, 0
			}
			out[0] = Interval{0, 1}
			if a < low {
				out[0].Low = c.inverse(low)
			}
			if b > high {
				out[0].High = c.inverse(high)
			}
		} else {
			if a < low || b > high {
				return out, 0
			}
			out[0] = Interval{0, 1}
			if a > high {
				out[0].Low = c.inverse(high)
			}
			if b < low {
				out[0].High = c.inverse(low)
			}
		}
		// A window narrower than rounding still has its size.
		out[0] = Interval{min(out[0].Low, out[0].High), max(out[0].Low, out[0].High)}
		return out, 1
	}
	// A parabola: the ends and the crossings of both levels cut [0, 1] into at
	// most five parts, each wholly inside or outside.
	cut := [6]float64{0}
	k := 1
	for _, level := range [2]float64{low, high} {
		r, m := c.roots(level)
		for _, t := range r[:m] {
			i := k
			for ; i > 1 && cut[i-1] > t; i-- {
				cut[i] = cut[i-1]
			}
			cut[i] = t
			k++
		}
	}
	cut[k] = 1
	for i := 0; i < k; i++ {
		if y := c.at(float64((cut[i] + cut[i+1]) / 2)); y >= low && y <= high {
			if n > 0 && out[n-1].High == cut[i] {
				out[n-1].High = cut[i+1]
			} else if n < 2 {
				out[n] = Interval{cut[i], cut[i+1]}
				n++
			}
		}
	}
	return out, n
}

// inverse is the t of a Moebius curve at y, which lies between its ends.
func (c *curve) inverse(y float64) float64 {
	a, b := y-c.y0, c.y1-y
	return a / (a + float64(c.bend*b))
}
