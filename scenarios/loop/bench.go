package loop

import (
	"errors"
	"fmt"
	"math"
	"sync"
)

// Bench is one loop with the faults that may be in it, prepared for searches.
// What depends on the loop alone is worked out the first time that it is
// needed and kept, so that the thousandth search costs what the second does.
// A Bench may be used by many goroutines at once.
type Bench struct {
	input    Params
	output   OutputParams
	isOutput bool
	checker  Checker
	faults   []Fault

	mu     sync.RWMutex
	probes map[probe]*traces
}

// traces are all faults at one probe; the last is the sound loop.
type traces struct {
	once   sync.Once
	faults []traced
}

// mostProbes bounds what a bench keeps; probes beyond are worked out each time.
const mostProbes = 1024

// NewBench prepares an input loop with the given faults, of which those that
// belong to output loops only are left out. The errors are those of
// [Params.Validate], and of a fault whose sizes make the loop impossible.
func NewBench(p Params, faults []Fault) (*Bench, error) {
	if err := p.Validate(); err != nil {
		return nil, err
	}
	b := &Bench{input: p, checker: p.Checker, probes: map[probe]*traces{}}
	return b, b.admit(faults)
}

// NewOutputBench is [NewBench] for an output loop.
func NewOutputBench(o OutputParams, faults []Fault) (*Bench, error) {
	if err := o.Validate(); err != nil {
		return nil, err
	}
	b := &Bench{output: o, isOutput: true, checker: o.Checker, probes: map[probe]*traces{}}
	return b, b.admit(faults)
}

// admit takes the faults of this kind of loop, after trying their ends.
func (b *Bench) admit(faults []Fault) error {
	var errs []error
	for i := range faults {
		f := faults[i]
		if b.isOutput && !f.OnOutput() || !b.isOutput && !f.OnInput() {
			continue
		}
		if b.index(f.Name) >= 0 {
			errs = append(errs, fmt.Errorf("fault %s is given twice", f.Name))
			continue
		}
		for _, ends := range f.corners() {
			if err := b.try(&f, ends[0], ends[1]); err != nil {
				errs = append(errs, fmt.Errorf("%s cannot be in this loop: %w", f.Name, err))
				break
			}
		}
		b.faults = append(b.faults, f)
	}
	return errors.Join(errs...)
}

// corners are the ends of all branches, for two sizes in all combinations.
func (f *Fault) corners() [][2]float64 {
	ends := [2][]float64{{0}, {0}}
	for i := range f.Sizes {
		ends[i] = nil
		for _, br := range f.Sizes[i].Branches {
			ends[i] = append(ends[i], br.Low, br.High)
		}
	}
	var out [][2]float64
	for _, a := range ends[0] {
		for _, c := range ends[1] {
			out = append(out, [2]float64{a, c})
		}
	}
	return out
}

func (b *Bench) try(f *Fault, a, c float64) error {
	if b.isOutput {
		o := b.output
		f.output(&o, a, c)
		return o.Validate()
	}
	p := b.input
	f.input(&p, a, c)
	return p.Validate()
}

// Faults lists the faults of the bench, in the order given.
func (b *Bench) Faults() []Fault { return append([]Fault(nil), b.faults...) }

// index finds a fault by name, -1 when the bench does not have it.
func (b *Bench) index(name string) int {
	for i := range b.faults {
		if b.faults[i].Name == name {
			return i
		}
	}
	return -1
}

// probeOf says where a reading is taken.
func probeOf(r *Reading) probe {
	return probe{r.X, r.Setup, r.Quantity == NeedleHeld}
}

// run is fault i at a probe; i = len(faults) is the sound loop.
func (b *Bench) run(i int, at probe) *run {
	r := &run{bench: b, at: at}
	if i < len(b.faults) {
		r.fault = &b.faults[i]
	}
	return r
}

// traces gives the faults at a probe.
func (b *Bench) traces(at probe) *traces {
	b.mu.RLock()
	t := b.probes[at]
	b.mu.RUnlock()
	if t == nil {
		b.mu.Lock()
		if t = b.probes[at]; t == nil {
			t = new(traces)
			if len(b.probes) < mostProbes {
				b.probes[at] = t
			}
		}
		b.mu.Unlock()
	}
	t.once.Do(func() {
		t.faults = make([]traced, len(b.faults)+1)
		for i := range t.faults {
			r := b.run(i, at)
			if r.fault == nil || len(r.fault.Sizes) < 2 {
				t.faults[i] = r.trace()
			}
		}
	})
	return t
}

// window is the range of a quantity that prints code.
func (b *Bench) window(q Quantity, code int) (low, high float64) {
	s := step(q, &b.checker)
	if q.IsNeedle() {
		stop := int(math.Round(b.checker.StopDivision / b.checker.MarkDivision))
		low, high = math.Inf(-1), math.Inf(1)
		if code > -stop {
			low = (float64(code) - 0.5 - slack) * s
		}
		if code < stop {
			high = (float64(code) + 0.5 + slack) * s
		}
		if code > stop || code < -stop {
			return 1, 0 // beyond the stops nothing is seen
		}
		return low, high
	}
	return (float64(code) - 0.5 - slack) * s, (float64(code) + 0.5 + slack) * s
}

// Observe reads what a fault of the given sizes shows; fault "" is the sound
// loop. The second result is false where a reading lies within [Edge] of a
// rounding edge: then draw another size.
func (b *Bench) Observe(fault string, sizes []float64, readings []Reading) (Evidence, bool, error) {
	i := len(b.faults)
	var first, second float64
	if fault != "" {
		if i = b.index(fault); i < 0 {
			return nil, false, fmt.Errorf("fault %q is not on this bench", fault)
		}
		var err error
		if first, second, err = b.faults[i].sizes(sizes); err != nil {
			return nil, false, err
		}
	}
	e := make(Evidence, 0, len(readings))
	clear := true
	for k := range readings {
		r := readings[k]
		if err := r.check(b.isOutput); err != nil {
			return nil, false, err
		}
		run := b.run(i, probeOf(&r))
		v := run.values(first, second)
		got := read(r.Quantity, &b.checker, v[r.Quantity])
		clear = clear && got.Clear
		e = append(e, Seen{r, got.Code})
	}
	return e, clear, nil
}
