package loop

import (
	"errors"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// floats walks every float64 of a parameter set, with its name.
func floats(v reflect.Value, name string, visit func(name string, f reflect.Value)) {
	for i := range v.NumField() {
		n := name + v.Type().Field(i).Name
		switch f := v.Field(i); f.Kind() {
		case reflect.Struct:
			floats(f, n+".", visit)
		case reflect.Float64:
			visit(n, f)
		}
	}
}

// Every number of every parameter set is refused, by its name, when it is not
// a number, infinite, or absurdly large or small.
func TestEveryParameterIsChecked(t *testing.T) {
	count := 0
	try := func(params any, validate func() error) {
		floats(reflect.ValueOf(params).Elem(), "", func(name string, f reflect.Value) {
			was := f.Float()
			for _, bad := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e13, -1e13} {
				f.SetFloat(bad)
				var pe *ParameterError
				err := validate()
				if err == nil || !strings.Contains(err.Error(), name) || !errors.As(err, &pe) {
					t.Errorf("%s = %g: %v", name, bad, err)
				}
				count++
			}
			f.SetFloat(was)
		})
		if err := validate(); err != nil {
			t.Errorf("sound parameters are refused: %v", err)
		}
	}
	p, o, c := Healthy(), HealthyOutput(), HealthyChecker()
	try(&p, p.Validate)
	try(&o, o.Validate)
	try(&c, c.Validate)
	if count < 5*60 {
		t.Errorf("only %d values were tried", count)
	}
}

// All faults at once, each by name.
func TestAllParametersAtOnce(t *testing.T) {
	p := Healthy()
	p.Supply.Volt, p.Wiring.OutOhm, p.Receiver.ShuntOhm = -24, -20, 0
	p.Transmitter.LiftOffVolt = 9 // below the electronics' 9.5 V
	p.Checker.Place = CurrentAcrossReceiver + 1
	err := p.Validate()
	if err == nil {
		t.Fatal("passes")
	}
	for _, name := range []string{"Supply.Volt", "Wiring.OutOhm", "Receiver.ShuntOhm", "Transmitter.LiftOffVolt", "Checker.Place"} {
		if !strings.Contains(err.Error(), name) {
			t.Errorf("%s is not named in %q", name, err)
		}
	}
	if n := len(strings.Split(err.Error(), "\n")); n != 5 {
		t.Errorf("%d lines, want 5:\n%v", n, err)
	}
}

// anyParams draws valid parameters over many decades.
func anyParams(t *rapid.T) Params {
	p := Healthy()
	ohm := func(name string, low, high float64) float64 {
		return math.Pow(10, rapid.Float64Range(low, high).Draw(t, name))
	}
	maybe := func(name string, v float64) float64 {
		if rapid.Bool().Draw(t, name) {
			return v
		}
		return 0
	}
	p.Supply.Volt = rapid.Float64Range(0, 60).Draw(t, "supply volt")
	p.Supply.InternalOhm = maybe("supply ohm?", ohm("supply ohm", -1, 4))
	p.Supply.LimitMilliamp = maybe("limit?", rapid.Float64Range(1, 40).Draw(t, "limit"))
	p.Wiring.OutOhm = maybe("out?", ohm("out", -1, 9))
	p.Wiring.ReturnOhm = maybe("return?", ohm("return", -1, 4))
	p.Wiring.TerminalOhm = maybe("terminal?", ohm("terminal", -1, 4))
	p.Wiring.AcrossTransmitterOhm = maybe("across?", ohm("across", -1, 6))
	p.Wiring.PlusEarthOhm = maybe("plus?", ohm("plus", 1, 6))
	p.Wiring.MinusEarthOhm = maybe("minus?", ohm("minus", 1, 6))
	p.Wiring.EarthVolt = rapid.Float64Range(-10, 10).Draw(t, "earth volt")
	p.Transmitter.Zero = rapid.Float64Range(-0.2, 0.2).Draw(t, "zero")
	p.Transmitter.Span = rapid.Float64Range(-0.2, 0.2).Draw(t, "span")
	p.Transmitter.NonLinearity = rapid.Float64Range(-0.05, 0.05).Draw(t, "bow")
	p.Transmitter.Reversed = rapid.Bool().Draw(t, "reversed")
	p.Transmitter.Diode = rapid.Bool().Draw(t, "diode")
	p.Receiver.ShuntOhm = ohm("shunt", 0, 4)
	p.Receiver.InputOhm = ohm("input", 2, 7)
	p.Checker.Place = Place(rapid.IntRange(int(NotConnected), int(CurrentAcrossReceiver)).Draw(t, "place"))
	p.Checker.CellVolt = rapid.Float64Range(0, 10).Draw(t, "cell")
	p.Checker.LeadOhm = maybe("leads?", ohm("leads", 0, 4))
	p.Checker.LeadsCrossed = rapid.Bool().Draw(t, "crossed")
	if err := p.Validate(); err != nil {
		t.Fatalf("drawn parameters are refused: %v", err)
	}
	return p
}

// finite wants every quantity to be a number.
func finite(t interface{ Fatalf(string, ...any) }, q any) {
	floats(reflect.ValueOf(q).Elem(), "", func(name string, f reflect.Value) {
		if v := f.Float(); math.IsNaN(v) || math.IsInf(v, 0) {
			t.Fatalf("%s is %g", name, v)
		}
	})
}

// Source: Ohm and Kirchhoff. The supply can drive at most its volts, with
// whatever earth and reference add, over the resistance in the way; without an
// earth and with the trigger released nothing else drives.
func TestCurrentIsBounded(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyParams(t)
		x, held := rapid.Float64Range(-0.5, 1.5).Draw(t, "x"), rapid.Bool().Draw(t, "held")
		q := p.Solve(x, held)
		finite(t, &q)
		if p.Checker.Place == Sending || p.Checker.Place == SendingNoShunt {
			return
		}
		if p.Wiring.PlusEarthOhm == 0 && p.Wiring.MinusEarthOhm == 0 && !held {
			r := p.Supply.InternalOhm + p.Wiring.OutOhm + p.Wiring.TerminalOhm + p.Wiring.ReturnOhm
			if r > 0 && q.SupplyMilliamp > p.Supply.Volt/r*1e3+1e-6 {
				t.Fatalf("%g mA from %g V through %g ohm", q.SupplyMilliamp, p.Supply.Volt, r)
			}
		}
		if q.TransmitterMilliamp > p.Transmitter.HighMilliamp+1e-9 {
			t.Fatalf("the transmitter passes %g mA", q.TransmitterMilliamp)
		}
		// The same current must come back from node to node: what enters the
		// transmitter's terminals leaves them.
		around := q.TransmitterMilliamp
		if g := p.Wiring.AcrossTransmitterOhm; g > 0 {
			around += q.TransmitterVolt / g * 1e3
		}
		if p.Transmitter.Reversed {
			around = -around
		}
		if math.Abs(around-q.LoopMilliamp) > 1e-6*(1+math.Abs(around)) {
			t.Fatalf("%g mA in the wire, %g through and across the transmitter", q.LoopMilliamp, around)
		}
	})
}

// rounding is the rounding error, in mA, that a comparison of currents must bear: a
// current is found as a difference of volts over ohms, so that volts which
// cancel, the transmitter's among them, leave some 1e-13 of themselves.
func rounding(p Params, milliamp float64) float64 {
	return 1e-9 * (25 + math.Abs(milliamp) + p.Supply.Volt)
}

// More series resistance never raises the loop current.
func TestResistanceNeverRaisesCurrent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyParams(t)
		p.Transmitter.Reversed = false
		p.Wiring.EarthVolt = 0
		p.Checker.Place = rapid.SampledFrom([]Place{NotConnected, SeriesField, SeriesRoom, AcrossReceiver}).Draw(t, "where")
		x := rapid.Float64Range(0, 1).Draw(t, "at")
		more := math.Pow(10, rapid.Float64Range(-2, 5).Draw(t, "more"))
		was := p.Solve(x, false).LoopMilliamp
		q := p
		switch rapid.IntRange(0, 4).Draw(t, "element") {
		case 0:
			q.Wiring.OutOhm += more
		case 1:
			q.Wiring.ReturnOhm += more
		case 2:
			q.Wiring.TerminalOhm += more
		case 3:
			q.Supply.InternalOhm += more
		case 4:
			q.Checker.LeadOhm += more
		}
		if now := q.Solve(x, false).LoopMilliamp; now > was+rounding(p, was) {
			t.Fatalf("%g ohm more: %.12g mA, was %.12g", more, now, was)
		}
	})
}

// A leak never lowers the supply's current.
func TestLeakNeverLowersSupplyCurrent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyParams(t)
		p.Transmitter.Reversed = false
		p.Wiring.EarthVolt = 0
		p.Checker.Place = rapid.SampledFrom([]Place{NotConnected, SeriesField, SeriesRoom, AcrossReceiver}).Draw(t, "where")
		x := rapid.Float64Range(0, 1).Draw(t, "at")
		leak := math.Pow(10, rapid.Float64Range(1, 7).Draw(t, "leak"))
		q := p
		switch rapid.IntRange(0, 2).Draw(t, "place of the leak") {
		case 0:
			p.Wiring.PlusEarthOhm, q.Wiring.PlusEarthOhm = 0, leak
		case 1:
			p.Wiring.MinusEarthOhm, q.Wiring.MinusEarthOhm = 0, leak
		case 2:
			p.Wiring.AcrossTransmitterOhm, q.Wiring.AcrossTransmitterOhm = 0, leak
		}
		was, now := p.Solve(x, false).SupplyMilliamp, q.Solve(x, false).SupplyMilliamp
		if now < was-rounding(p, was) {
			t.Fatalf("leak of %g ohm: %.12g mA, was %.12g", leak, now, was)
		}
	})
}

// FuzzSolve: whatever the numbers, validation names what is impossible and
// valid parameters have a finite solution.
func FuzzSolve(f *testing.F) {
	f.Add(24.0, 5.0, 22.0, 20.0, 20.0, 0.0, 47e3, 10e3, 10e3, 1.0, 10.5, 9.5, 250.0, 1e6, 250.0, 998.0, 9.0, 0.5, uint8(1), uint8(0))
	f.Add(0.0, 0.0, 0.0, 0.0, 0.0, 1e12, 1e-3, 1e-3, 1e-3, -250.0, 0.0, 0.0, 1e-3, 1e12, 1e6, 1.0, 0.0, -2.0, uint8(6), uint8(255))
	f.Add(250.0, 1e12, 1000.0, 1e12, 1e12, 1e12, 1e12, 1e12, 1e12, 250.0, 100.0, 100.0, 1e12, 1e-3, 1e-3, 1e9, 100.0, 2.0, uint8(3), uint8(3))
	f.Fuzz(func(t *testing.T, volt, internal, limit, out, ret, terminal, across, plus, minus, earth, liftOff, electronics, shunt, input, resistor, movement, cell, x float64, place, flags uint8) {
		p := Healthy()
		p.Supply.Volt, p.Supply.InternalOhm, p.Supply.LimitMilliamp = volt, internal, limit
		p.Wiring = Wiring{out, ret, terminal, across, plus, minus, earth}
		p.Transmitter.LiftOffVolt, p.Transmitter.ElectronicsVolt = liftOff, electronics
		p.Receiver.ShuntOhm, p.Receiver.InputOhm = shunt, input
		p.Checker.ResistorOhm, p.Checker.MovementOhm, p.Checker.CellVolt = resistor, movement, cell
		p.Checker.Place = Place(place)
		p.Transmitter.Reversed, p.Transmitter.Diode = flags&1 > 0, flags&2 > 0
		p.Checker.LeadsCrossed, p.Checker.TriggerNotHeld = flags&4 > 0, flags&8 > 0
		p.Transmitter.Falling, p.Transmitter.ReverseActing = flags&16 > 0, flags&32 > 0
		valid := p.Validate() == nil
		for _, held := range []bool{true, false} {
			q := p.Solve(x, held) // must not panic, valid or not
			if valid && math.Abs(x) <= 2 {
				finite(t, &q)
				p.Checker.Needle(q.Deflection)
			}
		}
		o := HealthyOutput()
		o.Controller.OpenVolt, o.Controller.SaturationOhm = volt, internal
		o.Wiring.OutOhm, o.Wiring.ReturnOhm, o.Wiring.TerminalOhm = out, ret, terminal
		o.IP.CoilOhm, o.IP.AcrossOhm = shunt, across
		o.Checker = p.Checker
		q := o.Solve(x, flags&64 > 0)
		if o.Validate() == nil && math.Abs(x) <= 2 {
			finite(t, &q)
		}
	})
}
