package secondroad

import (
	"fmt"
	"math"
	"sync"
	"testing"

	"loopdrill/exercises"
)

// work works an exercise from its page alone.
func (s sheet) work() (replies, error) {
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

// rounded rounds half away from zero, as the first lesson says.
func rounded(v float64, decimals int) float64 {
	p := math.Pow(10, float64(decimals))
	return math.Round(v*p) / p
}

// objections lists where replies and key differ: a number by more than half a
// unit of the last place (or by more than the key's tolerance), a choice at
// all, a box without an answer, an answer without a box.
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
			answers++
			r, done := mine[a.Box]
			b := boxes[a.Box]
			if !done || b == nil {
				object("(%s) the key answers the box %s, the page or the road does not", p.label, a.Box)
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
			half := 0.5 * math.Pow(10, -float64(a.Def.Decimals))
			if off > a.Tolerance.Float64() {
				object("(%s) box %s: the road finds %v, the key %v: outside its tolerance", p.label, a.Box, r.number, value)
			} else if off > half+1e-9 {
				object("(%s) box %s: the road finds %v, the key %v", p.label, a.Box, r.number, value)
			}
		}
	}
	if answers != len(mine) {
		object("%d answers in the key, %d on the road", answers, len(mine))
	}
	return out
}

// tally counts exercises worked.
type tally struct {
	mu     sync.Mutex
	worked map[group]int
	parts  map[string]int
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
	return 2100, 2100, 100
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

// TestKeysBySecondRoad works every exercise from its page and compares with
// its key.
func TestKeysBySecondRoad(t *testing.T) {
	count := tally{worked: map[group]int{}, parts: map[string]int{}}
	t.Run("pages", func(t *testing.T) {
		eachPage(t, func(t *testing.T, b *book, sheets []sheet) {
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
				count.mu.Lock()
				count.worked[k.group]++
				count.mu.Unlock()
			}
		})
	})
	sums := map[string]int{}
	for _, f := range []string{"scale-it", "read-the-needle", "five-point-check"} {
		for _, l := range []string{"easy", "usual", "hard"} {
			n := count.worked[group{f, l}]
			sums[f] += n
			t.Logf("%-17s %-6s %6d exercises worked", f, l, n)
			if n == 0 {
				t.Errorf("no exercise of %s at level %s", f, l)
			}
		}
	}
	if !raceEnabled && !testing.Short() {
		for f, n := range sums {
			if n < 20_000 {
				t.Errorf("%s: %d exercises worked, 20000 are wanted", f, n)
			}
		}
	}
}
