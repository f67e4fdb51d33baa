package whatnext

import (
	"fmt"
	"slices"

	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
)

// bench is a loop with the faults that some panel has.
type bench struct {
	loop   *scenarios.Loop
	params loop.Params // when all is well
	bench  *loop.Bench
	sheet  *loop.Bench // as the loop sheet has it: see plainly
	faults map[string]loop.Fault
	sound  []float64 // what each test gives when all is well, before any rounding
	worked []*deal   // by panel
}

// benchOf prepares a loop with the checker in series at the transmitter.
func benchOf(plant *scenarios.Plant, l *scenarios.Loop, names []string) (*bench, error) {
	p := l.Params
	p.Checker = plant.Checker.Params
	p.Checker.Place = loop.SeriesField
	b := &bench{loop: l, params: p, faults: map[string]loop.Fault{}}
	var faults []loop.Fault
	for _, f := range loop.Faults() {
		if slices.Contains(names, f.Name) {
			f, _ = plant.FaultIn(f.Name, l)
			faults = append(faults, f)
			b.faults[f.Name] = f
		}
	}
	var err error
	if b.bench, err = loop.NewBench(p, faults); err != nil {
		return nil, err
	}
	p.Transmitter.ElectronicsVolt = p.Transmitter.LiftOffVolt - 0.001
	if b.sheet, err = loop.NewBench(p, faults); err != nil {
		return nil, err
	}
	for _, t := range tests {
		v, err := b.bench.Exact(t.reading)
		if err != nil {
			return nil, fmt.Errorf("test %s: %w", t.id, err)
		}
		b.sound = append(b.sound, v)
	}
	return b, nil
}
