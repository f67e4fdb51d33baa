package whatnext

import (
	"math"
	"slices"

	"loopdrill/scenarios/loop"
)

// variant is a fault at sizes that every test of a panel answers in one way.
type variant struct {
	fault    string
	size     loop.Interval // of the size; 0 to 0 where the fault has none
	outcomes []int         // by test, -1 for those that the panel does not have
	// plain is the part of size in which somebody who reckons from the loop
	// sheet finds the same outcomes; ranges are printed from it.
	plain loop.Interval
}

// least is how much of a branch of sizes a piece must have to be used: nobody
// should have to think of a sliver.
const least = 0.08

// variants cuts the sizes of a fault where some of the tests begin to show
// something else. Pieces too narrow to print a range in are left out.
func (b *bench) variants(f loop.Fault, chosen []int) ([]variant, error) {
	cuts := map[float64]bool{}
	seen := make([][][]loop.Interval, len(tests)) // by test and outcome
	for _, t := range chosen {
		k := tests[t].kind
		for o := range k.outcomes {
			low, high := k.window(o, b.sound[t])
			in, certain, err := b.bench.Ranges(f.Name, tests[t].reading, low, high)
			if err != nil {
				return nil, err
			}
			if !certain {
				return nil, nil // nothing may be said of it
			}
			seen[t] = append(seen[t], in)
			for _, i := range in {
				cuts[i.Low], cuts[i.High] = true, true
			}
		}
	}
	pieces, narrow := []loop.Interval{{}}, []float64{0}
	if len(f.Sizes) > 0 {
		pieces, narrow = nil, nil
		for _, br := range f.Sizes[0].Branches {
			ends := []float64{br.Low, br.High}
			for c := range cuts {
				if c > br.Low && c < br.High {
					ends = append(ends, c)
				}
			}
			slices.Sort(ends)
			for i := 1; i < len(ends); i++ {
				pieces = append(pieces, loop.Interval{Low: ends[i-1], High: ends[i]})
				narrow = append(narrow, least*(br.High-br.Low))
			}
		}
	}
	var out []variant
	for i, p := range pieces {
		v := variant{fault: f.Name, size: p, outcomes: make([]int, len(tests))}
		middle := (p.Low + p.High) / 2
		for t := range tests {
			v.outcomes[t] = slices.IndexFunc(seen[t], func(in []loop.Interval) bool {
				return slices.ContainsFunc(in, func(i loop.Interval) bool { return i.Has(middle) })
			})
		}
		var err error
		if v.plain, err = b.plainly(&v, chosen); err != nil {
			return nil, err
		}
		if _, wide := gridIn(v.plain); len(f.Sizes) > 0 && (!wide || v.plain.High-v.plain.Low < narrow[i]) {
			continue
		}
		out = append(out, v)
	}
	return out, nil
}

// plainly is the largest range of a variant's sizes with the same outcomes in a
// loop whose transmitter needs its lift-off voltage at every current. That is
// what the loop sheet says; the real one needs a little less at low currents.
func (b *bench) plainly(v *variant, chosen []int) (loop.Interval, error) {
	parts := []loop.Interval{v.size}
	for _, t := range chosen {
		low, high := tests[t].kind.window(v.outcomes[t], b.sound[t])
		in, _, err := b.sheet.Ranges(v.fault, tests[t].reading, low, high)
		if err != nil {
			return loop.Interval{}, err
		}
		var both []loop.Interval
		for _, p := range parts {
			for _, i := range in {
				if c := (loop.Interval{Low: max(p.Low, i.Low), High: min(p.High, i.High)}); c.Low <= c.High {
					both = append(both, c)
				}
			}
		}
		parts = both
	}
	best := loop.Interval{}
	for _, p := range parts {
		if p.High-p.Low > best.High-best.Low {
			best = p
		}
	}
	return best, nil
}

// grid is a row of round numbers inside a range, from first to last steps.
type grid struct {
	units       int64 // a step is so many of the last of its decimals
	decimals    int
	first, last int64
}

// margin is how much of a step a printed size keeps from where the outcome
// turns, so that nobody has to reckon to the last place.
const margin = 0.3

// fewest is how many steps a range must have to be printed from.
const fewest = 8

// steps are the round steps, coarse to fine, in units of 0.01.
var steps = []int64{500000, 200000, 100000, 50000, 20000, 10000, 5000, 2000, 1000, 500, 200, 100, 50, 20, 10, 5, 2, 1}

// gridIn finds the coarsest round step of which enough lie inside a range.
func gridIn(p loop.Interval) (grid, bool) {
	for _, hundredths := range steps {
		g := grid{units: hundredths, decimals: 2}
		for g.decimals > 0 && g.units%10 == 0 {
			g.units, g.decimals = g.units/10, g.decimals-1
		}
		step := float64(hundredths) / 100
		g.first, g.last = int64(math.Floor(p.Low/step+margin))+1, int64(math.Ceil(p.High/step-margin))-1
		if g.last-g.first >= fewest {
			return g, true
		}
	}
	return grid{}, false
}
