package diagnose

import (
	"slices"
	"sync"

	"loopdrill/scenarios/loop"
)

// finding is a fault at work, what all tests show of it, and a smallest set of
// tests that leaves it alone among the faults of its panel.
type finding struct {
	fault  loop.Fault
	sizes  []float64
	shown  []loop.Evidence // by test; the last is that of the needles
	chosen []int           // of tests, rising
}

// evidence joins what some tests show to what the needles show.
func (f *finding) evidence(chosen ...int) loop.Evidence {
	e := slices.Clone(f.shown[len(tests)])
	for _, t := range chosen {
		e = append(e, f.shown[t]...)
	}
	return e
}

// observe reads every test; false where a reading lies on a rounding edge.
func observe(b *loop.Bench, f loop.Fault, sizes []float64, row int) (*finding, bool, error) {
	out := &finding{fault: f, sizes: sizes}
	for _, t := range append(slices.Clone(tests), needles(row)) {
		e, clear, err := b.Observe(f.Name, sizes, t.readings)
		if err != nil || !clear {
			return nil, false, err
		}
		out.shown = append(out.shown, e)
	}
	return out, true, nil
}

// mostTests is how many tests are printed with the needles at the most.
const mostTests = 3

// settle finds the smallest set of tests that, with the needles, leaves the
// fault alone among those of its panel. It fails where the needles alone do, or
// where no set does.
func (f *finding) settle(b *loop.Bench, panel []string) (bool, error) {
	start, err := b.Candidates(f.evidence(), func(x *loop.Fault) bool { return slices.Contains(panel, x.Name) })
	if err != nil || len(start) < 2 {
		return false, err
	}
	var rivals []string
	for _, c := range start {
		if c.Fault != f.fault.Name {
			rivals = append(rivals, c.Fault)
		}
	}
	// What all tests together leave, no few of them rule out.
	var every []int
	for t := range tests {
		every = append(every, t)
	}
	for _, r := range rivals {
		if _, fits, err := b.Fits(r, f.evidence(every...)); fits || err != nil {
			return false, err
		}
	}
	for size := 1; size <= mostTests; size++ {
		for set := range sets(len(tests), size) {
			e, alone := f.evidence(set...), true
			for _, r := range rivals {
				_, fits, err := b.Fits(r, e)
				if err != nil {
					return false, err
				}
				if fits {
					alone = false
					break
				}
			}
			if alone {
				f.chosen = slices.Clone(set)
				return true, nil
			}
		}
	}
	return false, nil
}

// sets goes through the rising sets of k of the numbers below n. The set is
// reused.
func sets(n, k int) func(yield func([]int) bool) {
	return func(yield func([]int) bool) {
		set := make([]int, k)
		var from func(at, least int) bool
		from = func(at, least int) bool {
			if at == k {
				return yield(set)
			}
			for v := least; v < n; v++ {
				set[at] = v
				if !from(at+1, v+1) {
					return false
				}
			}
			return true
		}
		from(0, 0)
	}
}

// workable is the sizes of one fault that tests leave alone in one loop, found
// when they are first wanted.
type workable struct {
	once     sync.Once
	findings []*finding
	err      error
}

// sizesTried is how many sizes of a fault are tried, spread evenly over the
// branches of its range.
const sizesTried = 120

func (w *workable) find(b *loop.Bench, f loop.Fault, panel []string, row int) ([]*finding, error) {
	w.once.Do(func() {
		sizes := [][]float64{nil}
		for _, s := range f.Sizes {
			sizes = nil
			for _, br := range s.Branches {
				n := sizesTried / len(s.Branches)
				for k := range n {
					at := float64(k) / float64(n-1)
					sizes = append(sizes, []float64{float64(br.Low*(1-at)) + float64(br.High*at)})
				}
			}
		}
		for _, size := range sizes {
			got, clear, err := observe(b, f, size, row)
			if err == nil && clear {
				if clear, err = got.settle(b, panel); clear {
					w.findings = append(w.findings, got)
				}
			}
			if err != nil {
				w.err = err
				return
			}
		}
	})
	return w.findings, w.err
}
