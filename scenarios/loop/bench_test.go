package loop

import "testing"

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
