package loop

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"
)

// Pairs and zero-and-span: sizes planted at random are found, the witness
// prints the evidence, and a gap of a hundredth of a mark is told from a fit.
func TestTwoSizesPlanted(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 4))
	faults := append(Faults(), Pairs()...)
	for _, name := range loopOrder {
		b := newBench(t, benchLoops()[name], faults)
		rs := append(At(NeedleHeld, FivePoints()...), At(ReceiverVolts, 0, 1)...)
		rs = append(rs, At(CellVolts, 0)...)
		rs = append(rs, At(SupplyVolts, 0, 1)...)
		for i := range b.faults {
			f := &b.faults[i]
			if len(f.Sizes) != 2 {
				continue
			}
			for range 3 {
				s := []float64{drawSize(rnd, &f.Sizes[0]), drawSize(rnd, &f.Sizes[1])}
				e, clear, err := b.Observe(f.Name, s, rs)
				if err != nil {
					t.Fatal(err)
				}
				if !clear {
					continue
				}
				c, ok, err := b.Fits(f.Name, e)
				if err != nil {
					t.Fatal(err)
				}
				if !ok {
					t.Fatalf("%s, %s of %v missed", name, f.Name, s)
				}
				if !c.Certain {
					t.Errorf("%s, %s of %v: not decided", name, f.Name, s)
				}
				in := false
				for _, r := range c.Regions {
					in = in || r.First.Has(s[0]) && r.Second.Has(s[1])
					got, clear, err := b.Observe(f.Name, r.Fits[:], rs)
					if err != nil {
						t.Fatalf("%s, %s: witness %v: %v", name, f.Name, r.Fits, err)
					}
					if clear && fmt.Sprint(got) != fmt.Sprint(e) {
						t.Errorf("%s, %s: witness %v prints %v, not %v", name, f.Name, r.Fits, got, e)
					}
				}
				if !in {
					t.Errorf("%s, %s: %v lies in none of %v", name, f.Name, s, c.Regions)
				}
			}
		}
	}
}

// The output side: every fault certified, planted sizes found, and brute force
// agrees with the search.
func TestOutputSearch(t *testing.T) {
	rnd := rand.New(rand.NewPCG(3, 7))
	b, err := NewOutputBench(HealthyOutput(), Faults())
	if err != nil {
		t.Fatal(err)
	}
	if len(b.faults) < 15 {
		t.Fatalf("only %d faults on the output side", len(b.faults))
	}
	var all []Reading
	for _, q := range []Quantity{NeedleHeld, LoopCurrent, CoilVolts, AirPressure, Stroke, CellVolts, NeedleAtRest} {
		all = append(all, At(q, FivePoints()...)...)
	}
	for i := range b.faults {
		f := &b.faults[i]
		if len(f.Sizes) != 1 {
			continue
		}
		for range 20 {
			s := drawSize(rnd, &f.Sizes[0])
			rs := []Reading{all[rnd.IntN(len(all))], all[rnd.IntN(len(all))], all[rnd.IntN(len(all))]}
			e, clear, err := b.Observe(f.Name, []float64{s}, rs)
			if err != nil {
				t.Fatal(err)
			}
			c, ok, err := b.Fits(f.Name, e)
			if err != nil {
				t.Fatal(err)
			}
			if clear && (!ok || !c.Certain) {
				t.Fatalf("%s of %g missed in %v", f.Name, s, e)
			}
			for range 50 {
				u := drawSize(rnd, &f.Sizes[0])
				got, sharp, err := b.Observe(f.Name, []float64{u}, rs)
				if err != nil {
					t.Fatal(err)
				}
				in := false
				for _, r := range c.Sizes {
					in = in || r.Has(u)
				}
				if same := fmt.Sprint(got) == fmt.Sprint(e); sharp && same != in {
					t.Fatalf("%s of %g: solver says %v, search %v", f.Name, u, same, in)
				}
			}
		}
	}
}

// What a bench cannot read, or does not hold, is an error and no panic.
func TestBenchRefuses(t *testing.T) {
	b := newBench(t, Healthy(), Faults())
	o, err := NewOutputBench(HealthyOutput(), Faults())
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name  string
		bench *Bench
		r     Reading
	}{
		{"unknown quantity", b, Reading{Quantity: quantities}},
		{"no number", b, Reading{X: math.NaN()}},
		{"far point", b, Reading{X: 7}},
		{"stroke of an input loop", b, Reading{Quantity: Stroke}},
		{"receiver of an output loop", o, Reading{Quantity: ReceiverVolts}},
		{"falling output", o, Reading{Setup: Setup{Falling: true}}},
		{"ring", b, Reading{Setup: Setup{RingOff: math.Inf(1)}}},
		{"supply lowered", b, Reading{Setup: Setup{SupplyRise: -5}}},
		{"sending", b, Reading{Setup: Setup{Move: Sending}}},
	} {
		if _, _, err := row.bench.Observe("", nil, []Reading{row.r}); err == nil {
			t.Errorf("%s is observed", row.name)
		}
		if _, err := row.bench.Candidates(Evidence{{Reading: row.r}}, nil); err == nil {
			t.Errorf("%s is searched", row.name)
		}
	}
	if _, _, err := b.Observe("gremlin", nil, nil); err == nil {
		t.Error("an unknown fault is observed")
	}
	if _, _, err := b.Fits("gremlin", nil); err == nil {
		t.Error("an unknown fault is searched")
	}
	if _, err := NewBench(Healthy(), append(Faults(), Faults()[0])); err == nil {
		t.Error("a fault given twice passes")
	}
	bad := Healthy()
	bad.Transmitter.Zero = 0.99 // high-zero by 8 % of span goes beyond what is possible
	if _, err := NewBench(bad, Faults()); err == nil {
		t.Error("a fault that makes the loop impossible passes")
	}
	// Beyond the stops nothing is seen, so nothing fits.
	c, err := b.Candidates(Evidence{{Reading{Quantity: NeedleHeld}, 51}}, nil)
	if err != nil || len(c) != 0 {
		t.Errorf("beyond the stop: %v, %v", c, err)
	}
}

// A sound loop fits its own evidence and no other.
func TestSound(t *testing.T) {
	b := newBench(t, Healthy(), Faults())
	rs := At(NeedleHeld, FivePoints()...)
	for _, row := range []struct {
		fault string
		sizes []float64
		want  bool
	}{
		{"", nil, true},
		{"high-zero", []float64{1}, false},
		{"receiver-short", []float64{1}, true}, // does not move the needle at the transmitter
	} {
		e, _, err := b.Observe(row.fault, row.sizes, rs)
		if err != nil {
			t.Fatal(err)
		}
		if got, err := b.Sound(e); got != row.want || err != nil {
			t.Errorf("evidence of %q: sound %v, %v, want %v", row.fault, got, err, row.want)
		}
	}
}

// Many goroutines may share a bench, and get what one alone gets.
func TestBenchIsShared(t *testing.T) {
	b := newBench(t, Healthy(), Faults())
	evidence := twelveReadings(t, newBench(t, Healthy(), Faults()))[:20]
	want := make([]string, len(evidence))
	alone := newBench(t, Healthy(), Faults())
	for i, e := range evidence {
		c, err := alone.Candidates(e, nil)
		if err != nil {
			t.Fatal(err)
		}
		want[i] = fmt.Sprint(c)
	}
	done := make(chan error)
	for w := range 4 {
		go func() {
			var err error
			for k := range evidence {
				i := (k + 5*w) % len(evidence)
				c, e := b.Candidates(evidence[i], nil)
				if e != nil {
					err = e
				} else if got := fmt.Sprint(c); got != want[i] {
					err = fmt.Errorf("evidence %d: %s, alone %s", i, got, want[i])
				}
			}
			done <- err
		}()
	}
	for range 4 {
		if err := <-done; err != nil {
			t.Error(err)
		}
	}
}

// The piece's curves, by hand: y = 1/(1+t) from 1 to 1/2 has its 2/3 at t = 1/2;
// y = 4 t (1-t) is above 3/4 from t = 1/4 to t = 3/4 and below it on both sides.
func TestCurves(t *testing.T) {
	fit := func(f func(t float64) float64) curve {
		s := samples{t: places(0, 1)}
		for i, t := range s.t {
			s.y[i] = f(t)
		}
		c, ok := s.fit()
		if !ok {
			t.Fatal("not fitted")
		}
		return c
	}
	h := fit(func(t float64) float64 { return 1 / (1 + t) })
	if r, n := h.roots(2.0 / 3); n != 1 || math.Abs(r[0]-0.5) > 1e-12 {
		t.Errorf("1/(1+t) = 2/3 at %v", r[:n])
	}
	p := fit(func(t float64) float64 { return 4 * t * (1 - t) })
	if w, n := p.within(0.75, 2); n != 1 || math.Abs(w[0].Low-0.25) > 1e-12 || math.Abs(w[0].High-0.75) > 1e-12 {
		t.Errorf("4t(1-t) above 3/4: %v", w[:n])
	}
	if w, n := p.within(-1, 0.75); n != 2 || math.Abs(w[0].High-0.25) > 1e-12 || math.Abs(w[1].Low-0.75) > 1e-12 {
		t.Errorf("4t(1-t) below 3/4: %v", w[:n])
	}
	s := samples{t: places(0, 1)}
	for i, t := range s.t {
		s.y[i] = math.Abs(t - 0.3) // a kink: no curve of ours
	}
	if _, ok := s.fit(); ok {
		t.Error("a kink is certified")
	}
}

func TestSolveTakesNoMemory(t *testing.T) {
	p, o := Healthy(), HealthyOutput()
	if n := testing.AllocsPerRun(100, func() {
		p.Solve(0.5, true)
		o.Solve(0.5, true)
	}); n != 0 {
		t.Errorf("%g allocations a point", n)
	}
}
