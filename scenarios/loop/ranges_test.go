package loop

import (
	"math/rand/v2"
	"testing"
)

// TestRanges holds the ranges of sizes against the solver: a size drawn at
// random lies in one exactly where the quantity lies between the limits.
func TestRanges(t *testing.T) {
	rnd := rand.New(rand.NewPCG(11, 12))
	b := newBench(t, benchLoops()[loopOrder[0]], Faults())
	tried := 0
	for i := range b.faults {
		f := &b.faults[i]
		if len(f.Sizes) > 1 {
			if _, _, err := b.Ranges(f.Name, Reading{Quantity: NeedleHeld}, 0, 1); err == nil {
				t.Errorf("%s has two sizes and no error", f.Name)
			}
			continue
		}
		for _, r := range []Reading{{Quantity: NeedleHeld, X: 1}, {Quantity: SupplyVolts, X: 1}, {Quantity: ReceiverVolts, X: 0.5, Setup: Setup{WithoutChecker: true}}} {
			sound, err := b.Exact(r)
			if err != nil {
				t.Fatal(err)
			}
			low, high := sound-0.5, sound+0.01
			in, certain, err := b.Ranges(f.Name, r, low, high)
			if err != nil || !certain {
				t.Fatalf("%s: %v, certain %v", f.Name, err, certain)
			}
			for range 50 {
				size := 0.0
				if len(f.Sizes) == 1 {
					size = drawSize(rnd, &f.Sizes[0])
				}
				v := b.run(i, probeOf(&r)).values(size, 0)[r.Quantity]
				if v-low < 1e-9 && low-v < 1e-9 || v-high < 1e-9 && high-v < 1e-9 {
					continue
				}
				got := false
				for _, x := range in {
					got = got || x.Has(size)
				}
				if want := v > low && v < high; got != want {
					t.Errorf("%s of %v gives %v of %v, between %v and %v: %v, its ranges %v", f.Name, size, r.Quantity, v, low, high, want, in)
				}
				tried++
			}
		}
	}
	if tried < 4000 {
		t.Errorf("only %d sizes were tried", tried)
	}
	if _, _, err := b.Ranges("no-such-fault", Reading{Quantity: NeedleHeld}, 0, 1); err == nil {
		t.Error("a fault that is none has ranges")
	}
}
