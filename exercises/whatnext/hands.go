package whatnext

import "slices"

// deal is a panel at one loop: what its faults show there, and the hands of
// faults among which each of its tests tells most.
type deal struct {
	panel   *panel
	tests   []int // offered
	fits    []variant
	out     []variant // ruled out by what was seen, whatever their size
	hands   [][]hand  // by test offered: the lists that leave it the best
	doubles []double
	alone   [][]lonely // by test offered: the faults that hands of it can leave alone
}

// lonely is a fault with the hands in which some outcome leaves it alone, and the
// tests, of those offered, that have it.
type lonely struct {
	fault string
	hands []int
	tests [][]int
}

// hand is a list of faults: numbers of fits, and at level hard the number of a
// double, -1 elsewhere.
type hand struct {
	fits   []int
	double int
}

// double is a fault whose sizes lie on both sides of a place where some tests
// begin to show something else; what was seen rules out neither side.
type double struct {
	low, high variant
}

// deals works out a panel at a loop. faults is how many are on the list, or are
// left of it; straddle asks for one double on each.
func (b *bench) deals(p *panel, faults int, straddle bool) (*deal, error) {
	d := &deal{panel: p, tests: testsNamed(p.tests), hands: make([][]hand, len(p.tests))}
	chosen := slices.Clone(d.tests)
	for _, s := range p.seen {
		chosen = append(chosen, testNamed(s[0]))
	}
	for _, f := range b.bench.Faults() {
		if !slices.Contains(p.pool, f.Name) {
			continue
		}
		all, err := b.variants(f, chosen)
		if err != nil {
			return nil, err
		}
		for i, v := range all {
			switch d.against(&v) {
			case 0:
				d.fits = append(d.fits, v)
				if i > 0 && all[i-1].size.High == v.size.Low && v.size.Low > 0 && d.against(&all[i-1]) == 0 {
					d.doubles = append(d.doubles, double{all[i-1], v})
				}
			case 1:
				d.out = append(d.out, v)
			}
		}
	}
	if !straddle {
		d.deal(faults, -1)
		d.leaveAlone()
		return d, nil
	}
	for k := range d.doubles {
		if d.straddles(k) {
			d.deal(faults-1, k)
		}
	}
	return d, nil
}

// against says whether what was seen rules a variant out: 0 no, 1 yes.
func (d *deal) against(v *variant) int {
	for _, s := range d.panel.seen {
		t := testNamed(s[0])
		if o := v.outcomes[t]; tests[t].kind.outcomes[o] != s[1] {
			return 1
		}
	}
	return 0
}

// straddles says whether some test offered tells the sides of a double apart.
func (d *deal) straddles(k int) bool {
	return slices.ContainsFunc(d.tests, func(t int) bool { return d.doubles[k].low.outcomes[t] != d.doubles[k].high.outcomes[t] })
}

// deal goes through all lists of so many single variants, no fault twice, and a
// double where k is one, half of whose sizes lie on either side.
func (d *deal) deal(singles, k int) {
	chosen := make([]int, 0, singles)
	var from func(least int)
	from = func(least int) {
		if len(chosen) == singles {
			h := hand{fits: slices.Clone(chosen), double: k}
			if t := best(d.splits(&h, 0.5)); t >= 0 {
				d.hands[t] = append(d.hands[t], h)
			}
			return
		}
		for i := least; i < len(d.fits); i++ {
			name := d.fits[i].fault
			if k >= 0 && d.doubles[k].low.fault == name || slices.ContainsFunc(chosen, func(j int) bool { return d.fits[j].fault == name }) {
				continue
			}
			chosen = append(chosen, i)
			from(i + 1)
			chosen = chosen[:len(chosen)-1]
		}
	}
	from(0)
}

// splits are what the tests offered make of a hand, above being the share of
// the sizes of its double that lies above. The double is the last row.
func (d *deal) splits(h *hand, above float64) []split {
	out := make([]split, len(d.tests))
	for i, t := range d.tests {
		s := make(split, len(h.fits), len(h.fits)+1)
		for c, v := range h.fits {
			s[c][d.fits[v].outcomes[t]] = 1
		}
		if h.double >= 0 {
			var row [mostOutcomes]float64
			row[d.doubles[h.double].low.outcomes[t]] += 1 - above
			row[d.doubles[h.double].high.outcomes[t]] += above
			s = append(s, row)
		}
		out[i] = s
	}
	return out
}

// leaveAlone finds for each fault the hands in which an outcome leaves it alone.
// An exercise that asks for it begins with the fault, so that those to which that
// rarely happens are right as often as the others.
func (d *deal) leaveAlone() {
	d.alone = make([][]lonely, len(d.tests))
	for best, hands := range d.hands {
		for n := range hands {
			for _, i := range hands[n].fits {
				var by []int
				for k, t := range d.tests {
					if !slices.ContainsFunc(hands[n].fits, func(j int) bool { return j != i && d.fits[j].outcomes[t] == d.fits[i].outcomes[t] }) {
						by = append(by, k)
					}
				}
				if len(by) == 0 {
					continue
				}
				k := slices.IndexFunc(d.alone[best], func(l lonely) bool { return l.fault == d.fits[i].fault })
				if k < 0 {
					k = len(d.alone[best])
					d.alone[best] = append(d.alone[best], lonely{fault: d.fits[i].fault})
				}
				l := &d.alone[best][k]
				l.hands, l.tests = append(l.hands, n), append(l.tests, by)
			}
		}
	}
}

// everyFault is the names of all that some panel of a level has.
func everyFault(level string) []string {
	var out []string
	for _, p := range panels[level] {
		for _, f := range p.pool {
			if !slices.Contains(out, f) {
				out = append(out, f)
			}
		}
	}
	return out
}
