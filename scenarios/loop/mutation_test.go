package loop

import (
	"bytes"
	"fmt"
	"os"
	"strings"
	"testing"
)

// effects are the parts of the model, each with a way to leave it out by
// making its parameter do nothing.
func effects() []struct {
	name   string
	input  func(p *Params)
	output func(o *OutputParams)
} {
	type in = func(p *Params)
	type out = func(o *OutputParams)
	row := func(name string, i in, o out) struct {
		name   string
		input  func(p *Params)
		output func(o *OutputParams)
	} {
		return struct {
			name   string
			input  func(p *Params)
			output func(o *OutputParams)
		}{name, i, o}
	}
	// loading makes the movement draw nothing yet deflect the same at no load.
	loading := func(c *Checker) {
		was := c.MovementOhm + c.ReferenceOhm
		if c.Place != AcrossReceiver {
			was += c.ResistorOhm
		} else {
			was += c.LeadOhm
		}
		c.MovementOhm = 1e9
		c.MicroampPerDivision *= was / 1e9
	}
	return []struct {
		name   string
		input  func(p *Params)
		output func(o *OutputParams)
	}{
		row("supply internal resistance", func(p *Params) { p.Supply.InternalOhm = 0 }, nil),
		row("supply current limit", func(p *Params) { p.Supply.LimitMilliamp = 0 }, nil),
		row("slope of the limiter", func(p *Params) { p.Supply.LimitOhm *= 10 }, nil),
		row("conductor out", func(p *Params) { p.Wiring.OutOhm = 0 }, func(o *OutputParams) { o.Wiring.OutOhm = 0 }),
		row("conductor back", func(p *Params) { p.Wiring.ReturnOhm = 0 }, func(o *OutputParams) { o.Wiring.ReturnOhm = 0 }),
		row("terminal resistance", func(p *Params) { p.Wiring.TerminalOhm = 0 }, func(o *OutputParams) { o.Wiring.TerminalOhm = 0 }),
		row("moisture or short across the transmitter", func(p *Params) { p.Wiring.AcrossTransmitterOhm = 0 }, nil),
		row("earth leak at plus", func(p *Params) { p.Wiring.PlusEarthOhm = 0 }, nil),
		row("earth leak at minus", func(p *Params) { p.Wiring.MinusEarthOhm = 0 }, nil),
		row("earth volts", func(p *Params) { p.Wiring.EarthVolt = 0 }, nil),
		row("input offset", func(p *Params) { p.Input.Offset = 0 }, nil),
		row("input gain", func(p *Params) { p.Input.Gain = 1 }, nil),
		row("input blocked", func(p *Params) { p.Input.Blocked = false }, nil),
		row("zero error", func(p *Params) { p.Transmitter.Zero = 0 }, func(o *OutputParams) { o.Controller.Zero = 0 }),
		row("span error", func(p *Params) { p.Transmitter.Span = 0 }, nil),
		row("non-linearity", func(p *Params) { p.Transmitter.NonLinearity = 0 }, nil),
		row("hysteresis", func(p *Params) { p.Transmitter.Hysteresis = 0 }, nil),
		row("direction of the run", func(p *Params) { p.Transmitter.Falling = false }, nil),
		row("saturation", func(p *Params) { p.Transmitter.LowMilliamp, p.Transmitter.HighMilliamp = 0, 50 },
			func(o *OutputParams) { o.Controller.HighMilliamp = 50 }),
		row("fail-safe current", func(p *Params) { p.Transmitter.FailSafeMilliamp = 0 }, nil),
		row("volts of the electronics", func(p *Params) { p.Transmitter.ElectronicsVolt = 0 }, nil),
		row("lift-off above them", func(p *Params) { p.Transmitter.LiftOffVolt = p.Transmitter.ElectronicsVolt }, nil),
		row("current at which lift-off is stated", func(p *Params) { p.Transmitter.LiftOffMilliamp = 4 }, nil),
		row("draw of the dead electronics", func(p *Params) { p.Transmitter.DeadOhm = 1e12 }, nil),
		row("reversed leads", func(p *Params) { p.Transmitter.Reversed = false }, nil),
		row("protective diode", func(p *Params) { p.Transmitter.Diode = false }, nil),
		row("volts of the diode", func(p *Params) { p.Transmitter.DiodeVolt = 0 }, nil),
		row("resistance of the diode", func(p *Params) { p.Transmitter.DiodeOhm = 0 }, nil),
		row("receiver input impedance", func(p *Params) { p.Receiver.InputOhm = 1e12 }, nil),
		row("precision resistor's value", func(p *Params) { p.Receiver.ShuntOhm = 250 }, nil),
		row("second receiver", func(p *Params) { p.Receiver.ParallelOhm = 0 }, nil),
		row("receiver zero", func(p *Params) { p.Receiver.Zero = 0 }, nil),
		row("receiver span", func(p *Params) { p.Receiver.Span = 0 }, nil),
		row("movement loading the loop", func(p *Params) { loading(&p.Checker) }, func(o *OutputParams) { loading(&o.Checker) }),
		row("checker's own resistor", func(p *Params) { p.Checker.ResistorOhm = 250 }, nil),
		row("resistance behind the reference", func(p *Params) { p.Checker.ReferenceOhm = 0 }, func(o *OutputParams) { o.Checker.ReferenceOhm = 0 }),
		row("test leads", func(p *Params) { p.Checker.LeadOhm = 0 }, nil),
		row("trigger not held", func(p *Params) { p.Checker.TriggerNotHeld = false }, nil),
		row("mechanical zero", func(p *Params) { p.Checker.RestDivision = 0 }, nil),
		row("ring off the point", func(p *Params) { p.Checker.RingShift = 0 }, nil),
		row("cell volts", func(p *Params) { p.Checker.CellVolt = 9 }, nil),
		row("cell resistance", func(p *Params) { p.Checker.CellOhm = 0 }, nil),
		row("drop-out of the regulator", func(p *Params) { p.Checker.DropOutVolt = 0 }, nil),
		row("stops of the needle", func(p *Params) { p.Checker.StopDivision = 100 }, func(o *OutputParams) { o.Checker.StopDivision = 100 }),
		row("checker in the room, not the field", func(p *Params) {
			if p.Checker.Place == SeriesRoom {
				p.Checker.Place = SeriesField
			}
		}, nil),
		row("controller's drive", nil, func(o *OutputParams) { o.Controller.SaturationOhm = 0 }),
		row("controller's open volts", nil, func(o *OutputParams) { o.Controller.OpenVolt = 250 }),
		row("short across the coil", nil, func(o *OutputParams) { o.IP.AcrossOhm = 0 }),
		row("converter's zero", nil, func(o *OutputParams) { o.IP.Zero = 0 }),
		row("converter's span", nil, func(o *OutputParams) { o.IP.Span = 0 }),
		row("converter's air", nil, func(o *OutputParams) { o.IP.AirKilopascal = 1000 }),
		row("positioner's zero", nil, func(o *OutputParams) { o.Positioner.Zero = 0 }),
		row("positioner's span", nil, func(o *OutputParams) { o.Positioner.Span = 0 }),
	}
}

// TestEveryEffectMatters leaves out one effect at a time and wants the
// agreement with the circuit simulator to break: an effect that no case feels
// would be untested.
func TestEveryEffectMatters(t *testing.T) {
	cases := referenceCases(t)
	for _, e := range effects() {
		failing, first := 0, ""
		for i := range cases {
			c := cases[i]
			if c.Kind == "output_loop" {
				if e.output == nil {
					continue
				}
				e.output(&c.output)
			} else {
				if e.input == nil {
					continue
				}
				e.input(&c.input)
			}
			if len(c.disagreements()) > 0 {
				failing++
				if first == "" {
					first = c.ID
				}
			}
		}
		t.Logf("%-42s %3d of %d cases fail, first %s", e.name, failing, len(cases), first)
		if failing == 0 {
			t.Errorf("leaving out %s fails no case", e.name)
		}
	}
}

// What the code does not know must fail, not pass unread.
func TestReferenceRefusesTheUnknown(t *testing.T) {
	whole, err := os.ReadFile("testdata/circuit.json")
	if err != nil {
		t.Fatal(err)
	}
	// The head and the first case of each kind are enough.
	for _, row := range []struct{ name, old, new, want string }{
		{"parameter of an input loop", `"Ilim_mA":null`, `"Ilim_mA":null,"R_skin":1`, "R_skin"},
		{"parameter of an output loop", `"V_oc":`, `"V_ocx":`, "V_ocx"},
		{"section", `"tx":{`, `"barrier":{},"tx":{`, "barrier"},
		{"kind", `"kind":"output_loop"`, `"kind":"ac_loop"`, `unknown kind "ac_loop"`},
		{"mode", `"mode":"volt"`, `"mode":"clamp"`, `unknown mode "clamp"`},
		{"way of reversal", `"rev_mode":"diode"`, `"rev_mode":"zener"`, `unknown rev_mode "zener"`},
		{"field of a case", `"severity":`, `"gravity":`, "gravity"},
	} {
		b := bytes.Replace(whole, []byte(row.old), []byte(row.new), 1)
		if bytes.Equal(b, whole) {
			t.Fatalf("%s: %s does not occur", row.name, row.old)
		}
		if _, err := decodeReference(b); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("unknown %s: error %v, want one that names %s", row.name, err, row.want)
		}
	}
	b := bytes.Replace(whole, []byte(`"V_tx":`), []byte(`"V_tz":`), 1)
	cases, err := decodeReference(b)
	if err != nil {
		t.Fatal(err)
	}
	if got := fmt.Sprint(cases[0].disagreements()); !strings.Contains(got, "unknown quantity V_tz") {
		t.Errorf("unknown quantity: %s", got)
	}
}
