package loop_test

import (
	"fmt"

	"loopdrill/scenarios/loop"
)

// The five-point check of a loop with a corroded terminal, as the checker in
// series shows it: right up to a point, then a flat top. By hand, 14.5 V over
// 933.7 ohm is 15.53 mA with the trigger released, 3.881 V; held, the reference
// of 4 V takes 0.8 V off: 15.50 mA, 31 small marks below 16 mA.
func ExampleParams_Measure() {
	fault, _ := loop.FaultNamed("corroded-terminal")
	p, err := fault.Apply(loop.Healthy(), 340)
	if err != nil {
		fmt.Println(err)
		return
	}
	points, err := p.Measure(loop.FivePoints()...)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, m := range points {
		needle := fmt.Sprintf("%+d small marks", m.Needle.Code)
		if m.Needle.Stop != loop.NoStop {
			needle = m.Needle.Stop.String()
		}
		fmt.Printf("%3.0f %%: needle %s, receiver %d mV\n", 100*m.X, needle, m.Receiver.Code)
	}
	// Output:
	//   0 %: needle +0 small marks, receiver 1000 mV
	//  25 %: needle +0 small marks, receiver 2000 mV
	//  50 %: needle +0 small marks, receiver 2999 mV
	//  75 %: needle -31 small marks, receiver 3881 mV
	// 100 %: needle on its left stop, receiver 3881 mV
}

// Which faults would have shown five needles two divisions high, and which
// remain once the receiver's volts are known to be right.
func ExampleBench_Candidates() {
	bench, err := loop.NewBench(loop.Healthy(), loop.Faults())
	if err != nil {
		fmt.Println(err)
		return
	}
	readings := append(loop.At(loop.NeedleHeld, loop.FivePoints()...), loop.At(loop.ReceiverVolts, 0, 1)...)
	seen, _, err := bench.Observe("mechanical-zero-off", []float64{2}, readings)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, printed := range []loop.Evidence{seen[:5], seen} {
		all, err := bench.Candidates(printed, nil)
		if err != nil {
			fmt.Println(err)
			return
		}
		for _, c := range all {
			fmt.Printf("%s %.2f\n", c.Fault, c.Sizes)
		}
		fmt.Println("-")
	}
	// Output:
	// high-zero [{0.95 1.05}]
	// leg-blocked [{1.00 1.05}]
	// trapped-pressure [{0.95 1.05}]
	// changed-wet-leg [{0.95 1.05}]
	// mechanical-zero-off [{1.90 2.10}]
	// -
	// mechanical-zero-off [{1.90 2.10}]
	// -
}
