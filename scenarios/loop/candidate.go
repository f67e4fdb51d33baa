package loop

import "fmt"

// Candidate is a fault that would have printed the evidence.
type Candidate struct {
	Fault string
	// Sizes are the ranges of the size that would have; nil for a fault
	// without a size or with two.
	Sizes []Interval
	// Regions cover the sizes of a fault with two: every pair of sizes that
	// would have printed the evidence lies in one of them.
	Regions []Region
	// Certain is false where the search could not decide: then the fault is
	// not excluded, and no evidence may be called unique.
	Certain bool
}

// Region is a rectangle of two sizes.
type Region struct {
	First, Second Interval
	// Fits is a pair of sizes inside that would have printed the evidence, if
	// there is one clear of every rounding edge; both NaN where none was found.
	Fits [2]float64
}

// Candidates finds every fault of the bench, with every range of its size,
// that would have printed the evidence, in the order of the bench. Where only
// is given, faults that it refuses are left out. No fault and no range is
// missed, however narrow; see the comment in trace.go. A fault with two sizes
// is searched by halving the rectangle of its sizes and bounding each reading
// over each part. Errors are readings that the loop does not have.
func (b *Bench) Candidates(e Evidence, only func(*Fault) bool) ([]Candidate, error) {
	at, err := b.gather(e)
	if err != nil {
		return nil, err
	}
	var out []Candidate
	for i := range b.faults {
		f := &b.faults[i]
		if only != nil && !only(f) {
			continue
		}
		if c, ok := b.candidate(i, e, at); ok {
			out = append(out, c)
		}
	}
	return out, nil
}

// Fits is [Bench.Candidates] for one fault; false when it is excluded.
func (b *Bench) Fits(fault string, e Evidence) (Candidate, bool, error) {
	i := b.index(fault)
	if i < 0 {
		return Candidate{}, false, fmt.Errorf("fault %q is not on this bench", fault)
	}
	at, err := b.gather(e)
	if err != nil {
		return Candidate{}, false, err
	}
	c, ok := b.candidate(i, e, at)
	return c, ok, nil
}

// Sound says whether the loop without any fault would have printed the
// evidence.
func (b *Bench) Sound(e Evidence) (bool, error) {
	at, err := b.gather(e)
	if err != nil {
		return false, err
	}
	_, ok := b.candidate(len(b.faults), e, at)
	return ok, nil
}

// gather checks the evidence and finds the traces of each reading.
func (b *Bench) gather(e Evidence) ([]*traces, error) {
	at := make([]*traces, len(e))
	for k := range e {
		if err := e[k].check(b.isOutput); err != nil {
			return nil, err
		}
		at[k] = b.traces(probeOf(&e[k].Reading))
	}
	return at, nil
}

// candidate searches fault i; i = len(faults) is the sound loop.
func (b *Bench) candidate(i int, e Evidence, at []*traces) (Candidate, bool) {
	c := Candidate{Certain: true}
	if i < len(b.faults) {
		c.Fault = b.faults[i].Name
		if len(b.faults[i].Sizes) == 2 {
			return b.searchPair(i, e)
		}
	}
	// Three lists on the stack: what fits so far, what fits one reading, and
	// what fits both.
	var room [3][12]Interval
	fits, spare, searched := room[0][:0], room[1][:0], false
	for k := range e {
		t := &at[k].faults[i]
		if !t.certified {
			c.Certain = false
			continue
		}
		low, high := b.window(e[k].Quantity, e[k].Code)
		if !searched {
			fits, searched = t.sizes(fits, e[k].Quantity, low, high), true
		} else {
			both := intersect(spare[:0], fits, t.sizes(room[2][:0], e[k].Quantity, low, high))
			fits, spare = both, fits
		}
		if len(fits) == 0 {
			return c, false
		}
	}
	if i < len(b.faults) && len(b.faults[i].Sizes) == 1 {
		if !searched {
			fits = b.faults[i].Sizes[0].Branches
		}
		c.Sizes = append([]Interval(nil), fits...)
	}
	return c, true
}

// sizes appends the ranges of size in which quantity q lies in a window.
func (t *traced) sizes(out []Interval, q Quantity, low, high float64) []Interval {
	for i := range t.pieces {
		p := &t.pieces[i]
		w, n := p.curves[q].within(low, high)
		for _, part := range w[:n] {
			a, z := between(p.sizes.Low, p.sizes.High, part.Low), between(p.sizes.Low, p.sizes.High, part.High)
			if k := len(out); k > 0 && out[k-1].High == a {
				out[k-1].High = z
			} else {
				out = append(out, Interval{a, z})
			}
		}
	}
	return out
}

// intersect appends the common part of two rising lists of ranges.
func intersect(out, a, b []Interval) []Interval {
	for i, j := 0, 0; i < len(a) && j < len(b); {
		low, high := max(a[i].Low, b[j].Low), min(a[i].High, b[j].High)
		if low <= high {
			out = append(out, Interval{low, high})
		}
		if a[i].High < b[j].High {
			i++
		} else {
			j++
		}
	}
	return out
}
