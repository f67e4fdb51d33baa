package loop

import "fmt"

// Ranges gives the sizes of a fault with which a quantity, before any rounding,
// lies between low and high: rising ranges inside the branches of its size, none
// left out however narrow. A fault without a size gives one range from 0 to 0,
// or none. The second result is false where the search could not be certain.
// Errors are a fault that the bench does not have or that has two sizes, and
// readings that the loop does not have.
func (b *Bench) Ranges(fault string, r Reading, low, high float64) ([]Interval, bool, error) {
	i := b.index(fault)
	if i < 0 {
		return nil, false, fmt.Errorf("fault %q is not on this bench", fault)
	}
	if len(b.faults[i].Sizes) > 1 {
		return nil, false, fmt.Errorf("fault %q has two sizes", fault)
	}
	if err := r.check(b.isOutput); err != nil {
		return nil, false, err
	}
	t := &b.traces(probeOf(&r)).faults[i]
	return t.sizes(nil, r.Quantity, low, high), t.certified, nil
}

// Exact is what a reading of the sound loop gives, before any rounding.
func (b *Bench) Exact(r Reading) (float64, error) {
	if err := r.check(b.isOutput); err != nil {
		return 0, err
	}
	return b.run(len(b.faults), probeOf(&r)).values(0, 0)[r.Quantity], nil
}
