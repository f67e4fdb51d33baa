package loop

import (
	"math"
	"testing"
)

// Hand-worked cases of what the simulator's file does not hold. Each wanted
// value is worked out in the comment beside it, with a loop whose receiver
// draws nothing beside its 250 ohm (1e12 ohm), so that the sums stay short.
func TestByHand(t *testing.T) {
	base := Healthy()
	base.Receiver.InputOhm = 1e12
	for _, row := range []struct {
		name, fault string
		sizes       []float64
		change      func(p *Params)
		x           float64
		held        bool
		what        string
		got         func(p Point) float64
		want, tol   float64
	}{
		// 250 ohm beside 250 ohm: 125 ohm, at 20 mA 2.5 V.
		{"current terminals across, released", "current-terminals-across-receiver", nil, nil, 1, false, "receiver volts", rxVolt, 2.5, 1e-9},
		// Held: 20 mA + 5 V/1000 ohm into 1/250 + 1/250 + 1/1000 S: 0.025/0.009 V;
		// the movement has (2.7778 - 5) V/1000 ohm = -2.2222 mA, 16 uA a division.
		{"current terminals across, held", "current-terminals-across-receiver", nil, nil, 1, true, "receiver volts", rxVolt, 0.025 / 0.009, 1e-6},
		{"current terminals across, held", "current-terminals-across-receiver", nil, nil, 1, true, "deflection", deflection, -0.02 / 9 / 16e-6, 1e-4},
		// Leads crossed in series: (-250 ohm 4 mA - 1 V)/1250 ohm = -1.6 mA, 100 divisions.
		{"crossed leads at 0 %", "crossed-test-leads", nil, nil, 0, true, "deflection", deflection, -100, 1e-9},
		// At 100 %: (-5 V - 5 V)/1250 ohm = -8 mA.
		{"crossed leads at 100 %", "crossed-test-leads", nil, nil, 1, true, "deflection", deflection, -500, 1e-9},
		// The loop does not care which way the resistor lies.
		{"crossed leads, loop current", "crossed-test-leads", nil, nil, 1, true, "loop", loopMilliamp, 20, 1e-9},
		// Across the receiver: ((-5 V) - 5 V) over 1000 ohm, less what the movement
		// itself takes: V (1/250 + 1/1000) = 20 mA - 5 mA, V = 3 V, (-3-5) V/1000 ohm.
		{"crossed leads across the receiver", "crossed-test-leads", nil, func(p *Params) { p.Checker.Place = AcrossReceiver }, 1, true, "deflection", deflection, -500, 1e-6},
		// No reference: 250 ohm 4 mA over 1250 ohm = 0.8 mA, 50 divisions.
		{"dead cell at 0 %", "dead-cell", nil, nil, 0, true, "deflection", deflection, 50, 1e-9},
		{"dead cell at 0 %", "dead-cell", nil, nil, 0, true, "reference", func(p Point) float64 { return p.ReferenceVolt }, 0, 0},
		// No volts, no current; the released trigger leaves 1e12 ohm to the reference.
		{"dead supply", "dead-supply", nil, nil, 0.5, false, "loop", loopMilliamp, 0, 0},
		{"dead supply", "dead-supply", nil, nil, 0.5, false, "transmitter volts", txVolt, 0, 1e-8},
		// Pressed to 110 % and to -10 %: the limits 20.5 and 3.8 mA at any point.
		{"saturated above", "saturated", []float64{110}, nil, 0.25, false, "loop", loopMilliamp, 20.5, 1e-9},
		{"saturated below", "saturated", []float64{-10}, nil, 0.75, false, "loop", loopMilliamp, 3.8, 1e-9},
		// The static pressure has risen by 10 % of the input span: 35 % for 25 %.
		{"leg blocked", "leg-blocked", []float64{10}, nil, 0.25, false, "loop", loopMilliamp, 9.6, 1e-9},
		// Full signal at 0 %: 20 mA; the ring then stands on 5 V.
		{"reverse acting", "", nil, func(p *Params) { p.Transmitter.ReverseActing = true }, 0, true, "loop", loopMilliamp, 20, 1e-9},
		{"reverse acting", "", nil, func(p *Params) { p.Transmitter.ReverseActing = true }, 0, true, "deflection", deflection, 0, 1e-9},
		// One conductor open: 24 V/(1e9 + 20 kohm) leave 24 V 20 kohm/1e9 ohm at the transmitter.
		{"open wire", "open-wire", nil, nil, 1, false, "transmitter volts", txVolt, 24.0 * 20e3 / (1e9 + 20e3 + 525), 1e-6},
		// Too much resistance with the checker in: (24 - 9.5) V over 5+20+20+250+250
		// ohm, 1 V/20.5 mA of drop-out line and 600 ohm: 14.5/1193.78 A.
		{"flat top", "corroded-terminal", []float64{600}, nil, 1, false, "loop", loopMilliamp, 14500 / (1145 + 1/0.0205), 1e-9},
		// The same without the checker: 250 ohm less. A marginal loop clips only while
		// the checker is in it.
		{"flat top without the checker", "corroded-terminal", []float64{600}, func(p *Params) { p.Checker.Place = NotConnected }, 1, false, "loop", loopMilliamp, 14500 / (895 + 1/0.0205), 1e-8},
	} {
		p := base
		if row.change != nil {
			row.change(&p)
		}
		if row.fault != "" {
			f, ok := FaultNamed(row.fault)
			if !ok {
				t.Fatalf("no fault %s", row.fault)
			}
			var err error
			if p, err = f.Apply(p, row.sizes...); err != nil {
				t.Fatal(err)
			}
		}
		if got := row.got(p.Solve(row.x, row.held)); !(math.Abs(got-row.want) <= row.tol) {
			t.Errorf("%s: %s %.12g, by hand %.12g", row.name, row.what, got, row.want)
		}
	}
}

func rxVolt(p Point) float64       { return p.ReceiverVolt }
func txVolt(p Point) float64       { return p.TransmitterVolt }
func deflection(p Point) float64   { return p.Deflection }
func loopMilliamp(p Point) float64 { return p.LoopMilliamp }

// Every fault that no reference family covers is one of those worked by hand.
func TestWhatIsCheckedByHand(t *testing.T) {
	hand := map[string]bool{
		"saturated": true, "leg-blocked": true, "dead-supply": true, "dead-cell": true,
		"current-terminals-across-receiver": true, "crossed-test-leads": true,
	}
	for _, f := range Faults() {
		if (len(f.Simulated) == 0) != hand[f.Name] {
			t.Errorf("%s: simulated %v, by hand %v", f.Name, f.Simulated, hand[f.Name])
		}
	}
}

// Readings of the sound loop at 100 %, by hand: 20 mA through 250 ohm beside
// 1 Mohm is 4.99875 V, 4999 mV, 99.97 % shown as 100.0; the transmitter has
// 24 - 20 mA (5+20+20+250+249.94) ohm = 13.10 V; the supply 24 - 0.1 V; the
// cell 9 V - 10 mA 2 ohm = 8.98 V, far right of its line.
func TestMeasure(t *testing.T) {
	p := Healthy()
	ms, err := p.Measure(1)
	if err != nil {
		t.Fatal(err)
	}
	m := ms[0]
	for _, row := range []struct {
		name string
		got  Rounded
		code int
		stop Stop
	}{
		{"needle", m.Needle, 0, NoStop},
		{"current", m.Current, 2000, NoStop},
		{"receiver", m.Receiver, 4999, NoStop},
		{"display", m.Display, 1000, NoStop},
		{"transmitter", m.Transmitter, 131, NoStop},
		{"supply", m.Supply, 239, NoStop},
		{"cell", m.Cell, 90, NoStop},
		{"cell needle", m.CellNeedle, 50, RightStop},
	} {
		if row.got.Code != row.code || row.got.Stop != row.stop || !row.got.Clear {
			t.Errorf("%s: %+v, by hand %d", row.name, row.got, row.code)
		}
	}
	if !m.CellGood || !m.Clear() {
		t.Errorf("cell good %v, clear %v", m.CellGood, m.Clear())
	}
	if _, err := p.Measure(math.NaN()); err == nil {
		t.Error("a point that is no number is measured")
	}
	p.Wiring.OutOhm = -1
	if _, err := p.Measure(0); err == nil {
		t.Error("a negative resistance is measured")
	}
	// Sound output loop at 50 %: 12 mA, 12 mA 170 ohm = 2.04 V, 60 kPa, 50 %.
	o := HealthyOutput()
	os, err := o.Measure(0.5)
	if err != nil {
		t.Fatal(err)
	}
	if q := os[0]; q.Current.Code != 1200 || q.Coil.Code != 204 || q.Air.Code != 600 || q.Stroke.Code != 500 {
		t.Errorf("output loop at 50 %%: %+v", q)
	}
}
