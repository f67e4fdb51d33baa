package loop

import (
	"math/rand/v2"
	"testing"
)

func BenchmarkSolve(b *testing.B) {
	p := Healthy()
	b.ReportAllocs()
	var sink float64
	x := 0.0
	for b.Loop() {
		q := p.Solve(x, false)
		sink += q.ReceiverVolt
		x += 0.001
		if x > 1 {
			x = 0
		}
	}
	_ = sink
}

func BenchmarkSolveWorst(b *testing.B) {
	p := Healthy()
	p.Supply.LimitMilliamp = 12
	p.Wiring.PlusEarthOhm, p.Wiring.MinusEarthOhm, p.Wiring.AcrossTransmitterOhm = 10e3, 10e3, 47e3
	p.Receiver.ParallelOhm = 250
	p.Transmitter.NonLinearity = 0.01
	b.ReportAllocs()
	var sink float64
	for b.Loop() {
		q := p.Solve(0.75, true)
		sink += q.ReceiverVolt
	}
	_ = sink
}

func BenchmarkSolveOutput(b *testing.B) {
	o := HealthyOutput()
	b.ReportAllocs()
	var sink float64
	for b.Loop() {
		sink += o.Solve(0.5, false).StrokePercent
	}
	_ = sink
}

// One search as a fault-finding exercise asks for it: every single fault of the
// loop against twelve readings.
func BenchmarkCandidates(b *testing.B) {
	bench := newBench(b, Healthy(), singles())
	evidence := twelveReadings(b, bench)
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		c, err := bench.Candidates(evidence[n%len(evidence)], nil)
		if err != nil || len(c) == 0 {
			b.Fatal(c, err)
		}
		n++
	}
	b.ReportMetric(float64(len(bench.faults)), "faults")
}

// The same with zero-and-span and the named pairs.
func BenchmarkCandidatesWithPairs(b *testing.B) {
	bench := newBench(b, Healthy(), append(Faults(), Pairs()...))
	evidence := twelveReadings(b, bench)
	b.ReportAllocs()
	b.ResetTimer()
	n := 0
	for b.Loop() {
		if _, err := bench.Candidates(evidence[n%len(evidence)], nil); err != nil {
			b.Fatal(err)
		}
		n++
	}
}

// What a loop costs once.
func BenchmarkBenchSetUp(b *testing.B) {
	for b.Loop() {
		twelveReadings(b, newBench(b, Healthy(), Faults()))
	}
}

func singles() []Fault {
	var out []Fault
	for _, f := range Faults() {
		if len(f.Sizes) < 2 {
			out = append(out, f)
		}
	}
	return out
}

// twelveReadings gives evidence of many faults: five needles, receiver and
// supply volts at both ends, transmitter volts at both ends, the cell.
func twelveReadings(b testing.TB, bench *Bench) []Evidence {
	rs := append(At(NeedleHeld, FivePoints()...), At(ReceiverVolts, 0, 1)...)
	rs = append(rs, At(TransmitterVolts, 0, 1)...)
	rs = append(rs, At(SupplyVolts, 0, 1)...)
	rs = append(rs, At(CellVolts, 0)...)
	rnd := rand.New(rand.NewPCG(7, 7))
	var out []Evidence
	for len(out) < 200 {
		f := &bench.faults[rnd.IntN(len(bench.faults))]
		var s []float64
		for i := range f.Sizes {
			s = append(s, drawSize(rnd, &f.Sizes[i]))
		}
		e, clear, err := bench.Observe(f.Name, s, rs)
		if err != nil {
			b.Fatal(err)
		}
		if !clear {
			continue
		}
		out = append(out, e)
		if _, err := bench.Candidates(e, func(f *Fault) bool { return len(f.Sizes) < 2 }); err != nil {
			b.Fatal(err)
		}
	}
	return out
}
