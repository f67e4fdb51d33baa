package loop

import (
	"math"
	"slices"
)

// ReadingSet is a set of readings that an exercise may print, with a name.
type ReadingSet struct {
	Name     string
	Readings []Reading
}

// ReadingSets are the sets in the order in which a fault finder asks for them:
// five needle readings, and with them receiver volts, transmitter volts, the
// cell check, and supply volts. Each holds those before it.
func ReadingSets() []ReadingSet {
	five := FivePoints()
	needles := At(NeedleHeld, five...)
	sets := []ReadingSet{{"five needle readings", needles}}
	add := func(name string, more []Reading) {
		all := append(slices.Clone(sets[len(sets)-1].Readings), more...)
		sets = append(sets, ReadingSet{name, all})
	}
	add("and receiver volts", At(ReceiverVolts, five...))
	add("and transmitter volts", At(TransmitterVolts, five...))
	add("and cell check", At(CellVolts, 0))
	add("and supply volts", At(SupplyVolts, five...))
	return sets
}

// Confusion says what a set of readings cannot tell apart in one loop.
type Confusion struct {
	Set    string
	Faults []Confused
}

// Confused is one fault under one set of readings.
type Confused struct {
	Fault string
	// Cells is how many ranges of size with different evidence were looked at,
	// Visible in how many of them some reading differs from the sound loop's by
	// more than two steps, Alone in how many of those no other fault fits.
	Cells, Visible, Alone int
	// With are the faults that fit as well, those in most cells first.
	With []Share
}

// Share is a fault that fits in so many of another's visible cells.
type Share struct {
	Fault string
	Cells int
}

// mostCells bounds how many cells of one fault are looked at; of more, so many
// are taken evenly.
const mostCells = 120

// Confusions works out for each set of readings which faults of the bench it
// cannot tell apart.
//
// The size range of a fault is cut where any reading changes. All sizes of one
// such cell print the same, so one stands for all; up to 120 cells, the result
// is exact, of more cells 120 are taken evenly. A reading that lies on a
// rounding edge all along its cell (3.8 mA is 12.5 small marks below 4 mA) is
// taken on the side to which it rounds, though a draw of it would be refused.
// Of a fault with two sizes, an even lattice of pairs is taken. A compound does
// not count against its own parts: of nested faults the simplest that fits is
// the answer.
func (b *Bench) Confusions(sets []ReadingSet) ([]Confusion, error) {
	var out []Confusion
	for _, set := range sets {
		sound, _, err := b.Observe("", nil, set.Readings)
		if err != nil {
			return nil, err
		}
		c := Confusion{Set: set.Name}
		for i := range b.faults {
			one, err := b.confused(i, set.Readings, sound)
			if err != nil {
				return nil, err
			}
			c.Faults = append(c.Faults, one)
		}
		out = append(out, c)
	}
	return out, nil
}

func (b *Bench) confused(i int, rs []Reading, sound Evidence) (Confused, error) {
	f := &b.faults[i]
	out := Confused{Fault: f.Name}
	count := make([]int, len(b.faults))
	for _, sizes := range b.cells(i, rs) {
		e, _, err := b.Observe(f.Name, sizes, rs)
		if err != nil {
			return out, err
		}
		out.Cells++
		if !visible(e, sound) {
			continue
		}
		out.Visible++
		at, err := b.gather(e)
		if err != nil {
			return out, err
		}
		alone := true
		for k := range b.faults {
			if k == i || slices.Contains(b.faults[k].Parts, f.Name) {
				continue
			}
			if _, fits := b.candidate(k, e, at); fits {
				count[k]++
				alone = false
			}
		}
		if alone {
			out.Alone++
		}
	}
	for k, n := range count {
		if n > 0 {
			out.With = append(out.With, Share{b.faults[k].Name, n})
		}
	}
	slices.SortStableFunc(out.With, func(a, z Share) int { return z.Cells - a.Cells })
	return out, nil
}

// visible says whether some reading differs from the sound loop's by more than
// two steps.
func visible(e, sound Evidence) bool {
	for k := range e {
		if d := e[k].Code - sound[k].Code; d > 2 || d < -2 {
			return true
		}
	}
	return false
}

// cells gives sizes of fault i, one for each cell.
func (b *Bench) cells(i int, rs []Reading) [][]float64 {
	f := &b.faults[i]
	switch len(f.Sizes) {
	case 0:
		return [][]float64{nil}
	case 2:
		return lattice(f)
	}
	var cuts []float64
	for k := range rs {
		q := rs[k].Quantity
		one := step(q, &b.checker)
		for _, p := range b.traces(probeOf(&rs[k])).faults[i].pieces {
			c := &p.curves[q]
			low, high := min(c.y0, c.y1), max(c.y0, c.y1)
			if q.IsNeedle() {
				low, high = b.checker.clip(low), b.checker.clip(high)
			}
			for edge := math.Ceil(low/one-0.5) + 0.5; edge*one <= high; edge++ {
				roots, n := c.roots(edge * one)
				for _, t := range roots[:n] {
					cuts = append(cuts, between(p.sizes.Low, p.sizes.High, t))
				}
			}
		}
	}
	var out [][]float64
	for _, br := range f.Sizes[0].Branches {
		if br.Low == br.High {
			out = append(out, []float64{br.Low})
			continue
		}
		inside := []float64{br.Low}
		slices.Sort(cuts)
		for _, c := range cuts {
			if c > inside[len(inside)-1] && c < br.High {
				inside = append(inside, c)
			}
		}
		inside = append(inside, br.High)
		cells := len(inside) - 1
		take := min(cells, mostCells/len(f.Sizes[0].Branches))
		for n := range take {
			k := n * cells / take
			out = append(out, []float64{between(inside[k], inside[k+1], 0.5)})
		}
	}
	return out
}

// lattice spreads pairs of sizes evenly over all combinations of branches.
func lattice(f *Fault) [][]float64 {
	const side = 5
	var out [][]float64
	for _, a := range f.Sizes[0].Branches {
		for _, c := range f.Sizes[1].Branches {
			for n := range side * side {
				u := (float64(n%side) + 0.5) / side
				v := (float64(n/side) + 0.5) / side
				// Off the diagonal, so that the two do not move in step.
				v = math.Mod(v+u/side, 1)
				out = append(out, []float64{between(a.Low, a.High, u), between(c.Low, c.High, v)})
			}
		}
	}
	return out
}

// Classes groups the faults that a set of readings cannot tell apart: two
// faults belong together where either fits in at least a third of the other's
// visible cells, directly or through others. Faults that no reading of the set
// shows come first, as a class of their own; a fault alone is no class.
func (c *Confusion) Classes() (invisible []string, classes [][]string) {
	index := map[string]int{}
	group := make([]int, len(c.Faults))
	for i := range c.Faults {
		index[c.Faults[i].Fault] = i
		group[i] = i
		if c.Faults[i].Visible == 0 {
			invisible = append(invisible, c.Faults[i].Fault)
		}
	}
	third := func(i, k int) bool {
		for _, s := range c.Faults[i].With {
			if s.Fault == c.Faults[k].Fault {
				return 3*s.Cells >= c.Faults[i].Visible
			}
		}
		return false
	}
	for i := range group {
		for k := range group {
			if third(i, k) && third(k, i) && group[i] != group[k] {
				from, to := max(group[i], group[k]), min(group[i], group[k])
				for m := range group {
					if group[m] == from {
						group[m] = to
					}
				}
			}
		}
	}
	for g := range group {
		var class []string
		for i := range group {
			if group[i] == g && c.Faults[i].Visible > 0 {
				class = append(class, c.Faults[i].Fault)
			}
		}
		if len(class) > 1 {
			classes = append(classes, class)
		}
	}
	return invisible, classes
}
