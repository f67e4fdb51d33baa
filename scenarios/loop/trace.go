package loop

// How a bench knows that it misses nothing.
//
// Hold a fault, a point and a setup fixed, and let the fault's size s run over
// a branch. While no part of the loop changes its state - demand clipped or
// not, ring at its end or not, regulator dropped out or not, supply limiting or
// not, transmitter dead, dropped out, in control or conducting backwards - the
// loop is one linear network in which s is a single element or enters the
// sources alone. By Cramer's rule every quantity is then a quotient of two
// polynomials in s: of degree one each where s is an element (a resistance is
// in one row of the nodal equations), a polynomial of degree one where s is in
// the sources, two where it passes through the bow of a non-linear
// transmitter. The same holds for the margins, by which each part tells how
// far it is from changing its state: a margin is a difference of two such
// quantities of the network, for the characteristic's corners are fixed points
// of volt and current.
//
// So the branch is cut, margin by margin in the order in which one depends on
// the other, at the roots of the margin, which are found in closed form. Two
// quotients of degree one that agree at four places are the same, so that a
// curve through three samples that passes through two more is exact; a
// quantity that did not pass is not certified, and its fault is reported as not
// excluded instead of being left out. Within a piece each curve is monotone or
// a parabola; the sizes of one reading are then intervals with ends in closed
// form, however narrow.
//
// Rounding moves an end by some 1e-10 of a step; the windows of the readings
// are widened by 5e-7 of a step to hold it. Evidence lies [Edge], twice as
// much, away from any rounding edge, so the widening admits nothing new.
const slack = 5e-7

// piece is a range of sizes along which the loop does not change its state.
type piece struct {
	sizes  Interval
	curves [quantities]curve
}

// probe is an operating point of the loop, whatever is read at it.
type probe struct {
	x     float64
	setup Setup
	held  bool
}

// traced is one fault at one probe.
type traced struct {
	pieces    []piece
	certified bool
}

// run is a loop with a fault of running size at one probe.
type run struct {
	bench *Bench
	fault *Fault // nil for the sound loop
	at    probe

	// The parameters at the last sizes asked for, kept here so that a call
	// takes no memory.
	inputNow  Params
	outputNow OutputParams
}

// input gives the parameters at the sizes a, b, until the next call.
func (r *run) input(a, b float64) *Params {
	p := &r.inputNow
	*p = r.bench.input
	r.at.setup.before(&p.Checker)
	if r.fault != nil {
		r.fault.input(p, a, b)
	}
	r.at.setup.after(p)
	return p
}

// output gives the parameters of an output loop at the sizes a, b, until the
// next call.
func (r *run) output(a, b float64) *OutputParams {
	o := &r.outputNow
	*o = r.bench.output
	r.at.setup.before(&o.Checker)
	if r.fault != nil {
		r.fault.output(o, a, b)
	}
	o.Checker.RingShift += r.at.setup.RingOff
	return o
}

// values gives all quantities at the sizes a, b.
func (r *run) values(a, b float64) values {
	if r.bench.isOutput {
		o := r.output(a, b)
		q := o.Solve(r.at.x, r.at.held)
		return outputValues(o, &q)
	}
	p := r.input(a, b)
	q := p.Solve(r.at.x, r.at.held)
	return inputValues(p, &q)
}

// trace cuts the fault's branches into pieces.
func (r *run) trace() traced {
	out := traced{certified: true}
	if r.fault == nil || len(r.fault.Sizes) == 0 {
		out.pieces = []piece{r.single(0)}
		return out
	}
	margins, margin := inputMargins, r.inputMargin
	if r.bench.isOutput {
		margins, margin = outputMargins, r.outputMargin
	}
	for _, branch := range r.fault.Sizes[0].Branches {
		if branch.Low == branch.High {
			out.pieces = append(out.pieces, r.single(branch.Low))
			continue
		}
		cuts := []float64{branch.Low, branch.High}
		for m := range margins {
			cuts = r.cut(cuts, m, margin, &out.certified)
		}
		for i := 1; i < len(cuts); i++ {
			out.pieces = append(out.pieces, r.piece(cuts[i-1], cuts[i], &out.certified))
		}
	}
	return out
}

// single is a piece of one size.
func (r *run) single(size float64) piece {
	p := piece{sizes: Interval{size, size}}
	for q, v := range r.values(size, 0) {
		p.curves[q] = curve{v, v, 0, flat}
	}
	return p
}

// cut adds the roots of margin m to the cuts.
func (r *run) cut(cuts []float64, m int, margin func(m int, size float64) float64, certified *bool) []float64 {
	out := cuts[:1:1]
	for i := 1; i < len(cuts); i++ {
		low, high := cuts[i-1], cuts[i]
		s := samples{t: places(low, high)}
		for k, t := range s.t {
			s.y[k] = margin(m, between(low, high, t))
		}
		c, ok := s.fit()
		if !ok {
			*certified = false
		}
		if c.shape != flat {
			roots, n := c.roots(0)
			for _, t := range roots[:n] {
				if at := between(low, high, t); at > out[len(out)-1] && at < high {
					out = append(out, at)
				}
			}
		}
		out = append(out, high)
	}
	return out
}

// piece fits all quantities between two cuts.
func (r *run) piece(low, high float64, certified *bool) piece {
	p := piece{sizes: Interval{low, high}}
	t := places(low, high)
	var v [5]values
	for k := range t {
		v[k] = r.values(between(low, high, t[k]), 0)
	}
	for q := range p.curves {
		s := samples{t: t}
		for k := range v {
			s.y[k] = v[k][q]
		}
		var ok bool
		if p.curves[q], ok = s.fit(); !ok {
			*certified = false
		}
	}
	return p
}

// between is the size at t of a range.
func between(low, high, t float64) float64 {
	switch t {
	case 0:
		return low
	case 1:
		return high
	}
	return min(max(low+float64(t*(high-low)), low), high)
}
