package secondroad

import (
	"fmt"
	"math"
	"os"
	"runtime/debug"
	"slices"
	"sync"
	"testing"

	"loopdrill/exercises"
)

// TestMain lets garbage grow: pages are made, read and thrown away by the
// hundred thousand nodes, and collecting them took a third of the time.
func TestMain(m *testing.M) {
	debug.SetGCPercent(400)
	os.Exit(m.Run())
}

// work works an exercise from its page alone.
func (s sheet) work() (replies, error) {
	if r := s.road(); r != nil {
		return r.work(s)
	}
	switch {
	case len(s.loops) > 0:
		return s.workScaling()
	case len(s.stations) > 0:
		return s.workCheck()
	case len(s.faces) > 0:
		return s.workNeedle()
	}
	return nil, fmt.Errorf("an exercise of a kind not known")
}

// rounded rounds half away from zero, as the first lesson says. What lies half
// way in exact numbers must not depend on the last bit of ours.
func rounded(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p+math.Copysign(1e-7, v)) / p
}

// objections lists where replies and key differ: a number that is not the
// key's once it is rounded to the places asked for (so by more than half a unit
// of the last place, or on the wrong side of half a unit), a choice at all, a
// box without an answer, an answer without a box.
func objections(s sheet, mine replies, key exercises.Key) []string {
	var out []string
	object := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if len(key.Parts) != len(s.parts) {
		object("%d parts on the page, %d in the key", len(s.parts), len(key.Parts))
		return out
	}
	answers := 0
	for i, p := range s.parts {
		boxes := map[string]*box{}
		for _, b := range p.boxes {
			boxes[b.id] = b
		}
		for _, a := range key.Parts[i].Answers {
			b := boxes[a.Box]
			if b != nil && b.judged {
				continue // a person judges it
			}
			answers++
			r, done := mine[a.Box]
			if !done || b == nil {
				object("(%s) the key answers the box %s, the page or the road does not", p.label, a.Box)
				continue
			}
			if a.Order != nil || r.order != nil {
				for _, o := range r.order.objections(a.Order) {
					object("(%s) %s", p.label, o)
				}
				continue
			}
			if a.Option != "" || r.option != "" {
				if a.Option != r.option {
					object("(%s) the road marks %q, the key %q", p.label, r.option, a.Option)
				}
				continue
			}
			if b.decimals >= 0 && b.decimals != a.Def.Decimals {
				object("(%s) the page asks for %d decimals, the key has %d", p.label, b.decimals, a.Def.Decimals)
			}
			value, off := a.Value.Float64(), math.Abs(r.number-a.Value.Float64())
			if off > a.Tolerance.Float64() {
				object("(%s) box %s: the road finds %v, the key %v: outside its tolerance", p.label, a.Box, r.number, value)
			} else if math.Abs(rounded(r.number, a.Def.Decimals)-value) > 1e-9 {
				object("(%s) box %s: the road finds %v, the key %v", p.label, a.Box, r.number, value)
			}
		}
	}
	if answers != len(mine) {
		object("%d answers in the key, %d on the road", answers, len(mine))
	}
	return out
}

// forms is how many forms of a course are drawn for the whole test, and how
// many of them stand on one page. A shipped form has 5, 4 and 5 exercises of
// the families, a wide one 7, 6 and 5.
func forms() (shipped, wide, page int) {
	switch {
	case raceEnabled:
		return 60, 60, 20
	case testing.Short():
		return 200, 200, 50
	}
	return 2000, 2000, 50
}

// eachPage draws all pages of both courses and hands each, read, to f; pages
// run in parallel.
func eachPage(t *testing.T, f func(t *testing.T, b *book, sheets []sheet)) {
	nShipped, nWide, page := forms()
	for _, c := range []struct {
		prepared
		n int
	}{{shippedCourse(t), nShipped}, {wideCourse(t), nWide}} {
		for from := 1; from <= c.n; from += page {
			count := min(page, c.n-from+1)
			t.Run(fmt.Sprintf("%s-%d", c.name, from), func(t *testing.T) {
				t.Parallel()
				b := newBook(t, c.prepared, from, count)
				sheets, err := readSheets(b.html)
				if err != nil {
					t.Fatal(err)
				}
				if len(sheets) != len(b.keys) {
					t.Fatalf("%d exercises on the page, %d drawn", len(sheets), len(b.keys))
				}
				f(t, b, sheets)
			})
		}
	}
}

// report is what all pages add up to.
type report struct {
	sync.Mutex
	worked   map[group]int
	compared int
	slips    map[seen]*landing
}

// TestSecondRoad works every exercise of both courses from its page and
// compares with its key; holds what the page prints against itself; and lets
// the simulated apprentices make their slips.
func TestSecondRoad(t *testing.T) {
	r := report{worked: map[group]int{}, slips: map[seen]*landing{}}
	t.Run("pages", func(t *testing.T) {
		eachPage(t, func(t *testing.T, b *book, sheets []sheet) {
			worked, slips := map[group]int{}, map[seen]*landing{}
			for _, s := range sheets {
				k := b.keys[s.num-1]
				mine, err := s.work()
				if err != nil {
					t.Errorf("%s: %v\n%s", k.where(b.course), err, s.intro)
					continue
				}
				for _, o := range objections(s, mine, k.item.Key) {
					t.Errorf("%s: %s\n%s", k.where(b.course), o, s.intro)
				}
				for _, o := range apprentices(s, k, mine, slips) {
					t.Errorf("%s: %s", k.where(b.course), o)
				}
				worked[k.group]++
			}
			printed, compared := printedPage(b, sheets)
			for _, o := range printed {
				t.Error(o)
			}
			r.Lock()
			defer r.Unlock()
			for g, n := range worked {
				r.worked[g] += n
			}
			for k, l := range slips {
				if r.slips[k] == nil {
					r.slips[k] = &landing{}
				}
				r.slips[k].add(l)
			}
			r.compared += compared
		})
	})
	whole := !raceEnabled && !testing.Short()
	r.exercises(t, whole)
	r.apprentices(t, whole)
}

// exercises logs how many were worked. All families and levels must be met; in
// the whole test each family 20,000 times.
func (r *report) exercises(t *testing.T, whole bool) {
	all := 0
	for _, f := range []string{"scale-it", "read-the-needle", "five-point-check"} {
		sum := 0
		for _, l := range []string{"easy", "usual", "hard"} {
			n := r.worked[group{f, l}]
			sum += n
			t.Logf("%-17s %-6s %6d exercises worked", f, l, n)
			if n == 0 {
				t.Errorf("no exercise of %s at level %s", f, l)
			}
		}
		if whole && sum < 20_000 {
			t.Errorf("%s: %d exercises worked, 20000 are wanted", f, sum)
		}
		all += sum
	}
	t.Logf("%d readings were held against a table of their loop", r.compared)
	if r.compared*3 < all {
		t.Errorf("only %d of %d exercises were held against a table of their loop", r.compared, all)
	}
}

// apprentices logs how they fared, and asks that each slip was met 200 times in
// the whole test, and each apprentice we have at all.
func (r *report) apprentices(t *testing.T, whole bool) {
	var names []string
	for k, l := range r.slips {
		names = append(names, fmt.Sprintf("%-60s %6d forms", k, l.met))
		if whole && l.met < 200 {
			t.Errorf("%v: met %d times, 200 are wanted", k, l.met)
		}
	}
	slices.Sort(names)
	for _, n := range names {
		t.Log(n)
	}
	for k := range everySlip() {
		// Only a more sensitive needle lets this one be made: TestOtherFaces.
		finer := k == (seen{"read-the-needle", "next", "side-swapped"})
		if whole && r.slips[k] == nil && !finer {
			t.Errorf("%v: no key has it", k)
		}
	}
}
