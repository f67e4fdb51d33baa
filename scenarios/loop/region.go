package loop

import "math"

// How far a search of two sizes goes.
const (
	finest    = 1.0 / (1 << 20) // of a branch: narrower parts are not halved while nothing has been found
	fineAfter = 1.0 / (1 << 6)  // of a branch, once something has been found: the regions are only this tight
	mostParts = 20000
)

// part is a rectangle of sizes waiting to be looked at.

type part struct {
	first, second Interval
	w, h          float64 // its share of the branches
}

// halves splits a part in the first size or in the second.
func (p part) halves(inFirst bool) (one, two part) {
	one, two = p, p
	if inFirst {
		m := between(p.first.Low, p.first.High, 0.5)
		one.first.High, two.first.Low = m, m
		one.w, two.w = p.w/2, p.w/2
	} else {
		m := between(p.second.Low, p.second.High, 0.5)
		one.second.High, two.second.Low = m, m
		one.h, two.h = p.h/2, p.h/2
	}
	return one, two
}

// group is the evidence of one probe.
type group struct {
	run  *run
	seen []Seen
}

// search is the search for one fault with two sizes.
type search struct {
	bench  *Bench
	groups []group
}

// searchPair finds the regions of a fault with two sizes.
func (b *Bench) searchPair(i int, e Evidence) (Candidate, bool) {
	f := &b.faults[i]
	out := Candidate{Fault: f.Name, Certain: true}
	s := search{bench: b}
	for _, seen := range e {
		at := probeOf(&seen.Reading)
		k := 0
		for k < len(s.groups) && s.groups[k].run.at != at {
			k++
		}
		if k == len(s.groups) {
			s.groups = append(s.groups, group{run: b.run(i, at)})
		}
		s.groups[k].seen = append(s.groups[k].seen, seen)
	}
	for _, first := range f.Sizes[0].Branches {
		for _, second := range f.Sizes[1].Branches {
			s.rectangle(first, second, &out)
		}
	}
	return out, len(out.Regions) > 0
}

// rectangle adds one region, the hull of what could not be dropped.
func (s *search) rectangle(first, second Interval, out *Candidate) {
	stack := make([]part, 0, 64)
	stack = append(stack, part{first, second, 1, 1})
	none := math.NaN()
	region := Region{Fits: [2]float64{none, none}}
	found, clear, some := false, false, false
	for parts := 0; len(stack) > 0; parts++ {

		p := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		if some && found && inside(p.first, region.First) && inside(p.second, region.Second) {
			continue
		}
		v := s.judge(p)
		if !v.fits {
			continue
		}
		if !clear {
			mid := [2]float64{between(p.first.Low, p.first.High, 0.5), between(p.second.Low, p.second.High, 0.5)}
			fits, ofEdges := s.fitsAt(mid)
			if fits && (ofEdges || !found) {
				region.Fits, found, clear = mid, true, ofEdges
			}
		}
		least := finest
		if found {
			least = fineAfter
		}
		// Halve where the readings move; along a size that moves none of
		// them there is nothing to tell apart.
		inFirst := v.alongFirst >= v.alongSecond
		if v.alongFirst == 0 && v.alongSecond == 0 {
			inFirst = p.w >= p.h
		}
		if p.w <= least {
			inFirst = false
		}
		if p.h <= least {
			inFirst = true
		}
		if v.all && found || p.w <= least && (p.h <= least || v.alongSecond == 0 && !found) || p.h <= least && v.alongFirst == 0 && !found || parts >= mostParts {
			if !some {
				region.First, region.Second, some = p.first, p.second, true
			}
			region.First = hull(region.First, p.first)
			region.Second = hull(region.Second, p.second)
			continue
		}
		one, two := p.halves(inFirst)
		stack = append(stack, one, two)
	}
	if some || found {
		out.Regions = append(out.Regions, region)
		out.Certain = out.Certain && found
	}
}

// judged is what the readings say about a part.
type judged struct {
	fits bool // the evidence may have been printed somewhere in it
	all  bool // and everywhere in it
	// How many steps the readings that are not yet decided move along either
	// side of the part, at most.
	alongFirst, alongSecond float64
}

// judge bounds the readings over a part, those first that last dropped one.
func (s *search) judge(p part) judged {
	out := judged{fits: true, all: true}
	for k := range s.groups {
		g := &s.groups[k]
		b := g.run.bound(p.first, p.second)
		for i := range g.seen {
			q := g.seen[i].Quantity
			low, high := s.bench.window(q, g.seen[i].Code)
			if b.high[q] < low || b.low[q] > high {
				s.groups[0], s.groups[k] = s.groups[k], s.groups[0]
				return judged{}
			}
			if b.low[q] < low || b.high[q] > high {
				out.all = false
				one := step(q, &s.bench.checker)
				out.alongFirst = max(out.alongFirst, b.alongFirst[q]/one)
				out.alongSecond = max(out.alongSecond, b.alongSecond[q]/one)
			}
		}
	}
	return out
}

// fitsAt says whether a pair of sizes prints the evidence, and whether it does
// so clear of every rounding edge.
func (s *search) fitsAt(sizes [2]float64) (fits, clear bool) {
	clear = true
	for k := range s.groups {
		g := &s.groups[k]
		v := g.run.values(sizes[0], sizes[1])
		for i := range g.seen {
			q := g.seen[i].Quantity
			low, high := s.bench.window(q, g.seen[i].Code)
			if v[q] < low || v[q] > high {
				return false, false
			}
			got := read(q, &s.bench.checker, v[q])
			clear = clear && got.Clear && got.Code == g.seen[i].Code
		}
	}
	return true, clear
}

func inside(a, b Interval) bool { return a.Low >= b.Low && a.High <= b.High }

func hull(a, b Interval) Interval { return Interval{min(a.Low, b.Low), max(a.High, b.High)} }
