package whatnext

import (
	"math"
	"slices"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
)

// testBench is the loop of the study of which faults can be told apart.
func testBench(t testing.TB, level string) *bench {
	t.Helper()
	plant := &scenarios.Plant{Checker: scenarios.Checker{Params: loop.HealthyChecker()}}
	l := &scenarios.Loop{Tag: "PT-1", Kind: scenarios.Pressure, Params: loop.Healthy()}
	b, err := benchOf(plant, l, everyFault(level))
	if err != nil {
		t.Fatal(err)
	}
	if err := b.dealAll(level); err != nil {
		t.Fatal(err)
	}
	return b
}

// TestEveryTestIsBest: each test of each panel tells most of some lists, and the
// faults of its pool are on lists or ruled out by what was seen.
func TestEveryTestIsBest(t *testing.T) {
	for _, level := range []string{"easy", "usual", "hard"} {
		b := testBench(t, level)
		for _, d := range b.worked {
			met := map[string]bool{}
			for _, v := range d.out {
				met[v.fault] = true
			}
			for k, hands := range d.hands {
				t.Logf("%-5s %-18s is best of %4d lists", level, d.panel.tests[k], len(hands))
				if len(hands) < 10 {
					t.Errorf("%s: %s is best of %d lists", level, d.panel.tests[k], len(hands))
				}
				for _, h := range hands {
					for _, i := range h.fits {
						met[d.fits[i].fault] = true
					}
				}
			}
			for _, f := range d.panel.pool {
				if !met[f] {
					t.Errorf("%s, panel %v: %s is on no list", level, d.panel.tests, f)
				}
			}
		}
	}
}

// TestBestByCounting works information out in another way, as what is known of
// the fault after the test, from a list of equally likely cases, and holds the
// leads against it.
func TestBestByCounting(t *testing.T) {
	for _, level := range []string{"easy", "usual", "hard"} {
		b := testBench(t, level)
		for _, d := range b.worked {
			for k, hands := range d.hands {
				for n := 0; n < len(hands); n += 7 {
					h := &hands[n]
					var bits, left []float64
					for _, n := range d.tests {
						i, l := count(d, h, n)
						bits, left = append(bits, i), append(left, l)
					}
					for j := range bits {
						if j != k && (bits[k]-bits[j] < 0.1 || left[j]-left[k] < 0.15) {
							t.Fatalf("%s %v: %s tells %v, leaves %v", level, d.panel.tests, d.panel.tests[k], bits, left)
						}
					}
				}
			}
		}
	}
}

// count takes two cases of each fault, of a double one on either side.
func count(d *deal, h *hand, t int) (bits, left float64) {
	type one struct{ fault, shows int }
	var cases []one
	for c, i := range h.fits {
		cases = append(cases, one{c, d.fits[i].outcomes[t]}, one{c, d.fits[i].outcomes[t]})
	}
	if h.double >= 0 {
		x := &d.doubles[h.double]
		cases = append(cases, one{-1, x.low.outcomes[t]}, one{-1, x.high.outcomes[t]})
	}
	faults := float64(len(cases)) / 2
	bits = math.Log2(faults)
	for _, c := range cases {
		// Of the cases that show the same, how many are this fault?
		same, own := 0.0, 0.0
		var with []int
		for _, o := range cases {
			if o.shows == c.shows {
				same++
				if o.fault == c.fault {
					own++
				}
				if !slices.Contains(with, o.fault) {
					with = append(with, o.fault)
				}
			}
		}
		bits += math.Log2(own/same) / float64(len(cases))
		left += float64(len(with)) / float64(len(cases))
	}
	return bits, left
}

// TestSplit holds information and faults left against figures worked by hand.
func TestSplit(t *testing.T) {
	for _, c := range []struct {
		name       string
		s          split
		bits, left float64
	}{
		{"halves a list of four", split{{1}, {1}, {0, 1}, {0, 1}}, 1, 2},
		{"one of four alone", split{{1}, {0, 1}, {0, 1}, {0, 1}}, 2 - 0.75*math.Log2(3), 2.5},
		{"tells nothing", split{{1}, {1}, {1}}, 0, 3},
		{"tells all", split{{1}, {0, 1}, {0, 0, 1}, {0, 0, 0, 1}}, 2, 1},
		// H(3/4, 1/4) less half of one bit; (1.5 · 2 + 0.5 · 1)/2.
		{"one of two may show either", split{{1}, {0.5, 0.5}}, 0.75*math.Log2(4.0/3) + 0.5 - 0.5, 1.75},
	} {
		if got := c.s.information(nil); math.Abs(got-c.bits) > 1e-12 {
			t.Errorf("%s: %v bit, want %v", c.name, got, c.bits)
		}
		if got := c.s.left(); math.Abs(got-c.left) > 1e-12 {
			t.Errorf("%s: leaves %v, want %v", c.name, got, c.left)
		}
	}
}
