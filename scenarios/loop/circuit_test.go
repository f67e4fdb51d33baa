package loop

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"testing"
)

// The reference file holds cases solved by ngspice-39, a general-purpose
// circuit simulator: a second road to every quantity. An optional branch that
// is absent is null there.

type optional struct{ v float64 }

func (o *optional) UnmarshalJSON(b []byte) error {
	if bytes.Equal(b, []byte("null")) {
		return nil
	}
	return json.Unmarshal(b, &o.v)
}

type refSupply struct {
	V, Rs, Rlim float64
	Ilim_mA     optional
}

type refWiring struct {
	R_out, R_ret, R_term         float64
	R_tx_par, R_tp_gnd, R_tm_gnd optional
	V_gnd                        float64
}

type refInput struct {
	Offset float64  `json:"offset"`
	Gain   float64  `json:"gain"`
	Frozen *float64 `json:"frozen"`
}

type refTransmitter struct {
	Zero        float64 `json:"zero"`
	Span        float64 `json:"span"`
	Lin         float64 `json:"lin"`
	Hyst        float64 `json:"hyst"`
	Dir         int     `json:"dir"`
	I_lo_mA     float64
	I_hi_mA     float64
	Failsafe_mA optional `json:"failsafe_mA"`
	Vmin, Voff  float64
	I_ref_mA    float64
	R_off       float64
	Reversed    bool   `json:"reversed"`
	Rev_mode    string `json:"rev_mode"`
	Vf, Rd      float64
}

type refReceiver struct {
	R_shunt, R_in float64
	R_par         optional
	Zero          float64 `json:"zero"`
	Span          float64 `json:"span"`
}

type refMeter struct {
	Mode                      string `json:"mode"`
	Rm, Rg, Ro, R_lead        float64
	Key                       bool `json:"key"`
	A_per_div                 float64
	Stop_div                  float64 `json:"stop_div"`
	Res_div                   float64 `json:"res_div"`
	Mech_div                  float64 `json:"mech_div"`
	E_cell, R_cell, I_load_mA float64
	V_reg, V_do               float64
	Sel_shift                 float64 `json:"sel_shift"`
}

type refParams struct {
	Supply refSupply      `json:"supply"`
	Wiring refWiring      `json:"wiring"`
	Input  refInput       `json:"input"`
	Tx     refTransmitter `json:"tx"`
	Rx     refReceiver    `json:"rx"`
	Meter  refMeter       `json:"meter"`
}

type refOutputParams struct {
	Ctrl struct {
		Zero    float64 `json:"zero"`
		Span    float64 `json:"span"`
		I_lo_mA float64
		I_hi_mA float64
		V_oc    float64
		R_sat   float64
	} `json:"ctrl"`
	Wiring struct{ R_out, R_ret, R_term float64 } `json:"wiring"`
	IP     struct {
		R_coil    float64
		R_par     optional
		Zero      float64 `json:"zero"`
		Span      float64 `json:"span"`
		P_air_kPa float64
	} `json:"ip"`
	Pos struct {
		Zero float64 `json:"zero"`
		Span float64 `json:"span"`
	} `json:"pos"`
	Meter refMeter `json:"meter"`
}

type refCase struct {
	ID       string            `json:"id"`
	Set      string            `json:"set"`
	Kind     string            `json:"kind"`
	Fault    string            `json:"fault"`
	Severity json.RawMessage   `json:"severity"`
	Params   json.RawMessage   `json:"params"`
	Points   []json.RawMessage `json:"points"`

	input  Params
	output OutputParams
	values []refPoint
}

type refPoint struct {
	x      float64
	values map[string]float64
	keyUp  map[string]float64 // nil when the case has none
}

func strict(b []byte, into any) error {
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	return d.Decode(into)
}

// decodeReference reads the whole file; a parameter, kind or mode that this
// package does not know is an error.
func decodeReference(b []byte) ([]refCase, error) {
	var file struct {
		About json.RawMessage `json:"about"`
		Cases []refCase       `json:"cases"`
	}
	if err := strict(b, &file); err != nil {
		return nil, err
	}
	for i := range file.Cases {
		c := &file.Cases[i]
		if err := c.decode(); err != nil {
			return nil, fmt.Errorf("%s: %w", c.ID, err)
		}
	}
	return file.Cases, nil
}

func (c *refCase) decode() error {
	switch c.Kind {
	case "input_loop", "meter_source":
		var r refParams
		if err := strict(c.Params, &r); err != nil {
			return err
		}
		p, err := r.params()
		if err != nil {
			return err
		}
		c.input = p
	case "output_loop":
		var r refOutputParams
		if err := strict(c.Params, &r); err != nil {
			return err
		}
		o, err := r.params()
		if err != nil {
			return err
		}
		c.output = o
	default:
		return fmt.Errorf("unknown kind %q", c.Kind)
	}
	for _, raw := range c.Points {
		var m map[string]json.RawMessage
		if err := json.Unmarshal(raw, &m); err != nil {
			return err
		}
		pt := refPoint{values: map[string]float64{}}
		for k, v := range m {
			var err error
			switch k {
			case "x":
				err = json.Unmarshal(v, &pt.x)
			case "key_up":
				err = json.Unmarshal(v, &pt.keyUp)
			default:
				var f float64
				err = json.Unmarshal(v, &f)
				pt.values[k] = f
			}
			if err != nil {
				return fmt.Errorf("%s: %w", k, err)
			}
		}
		c.values = append(c.values, pt)
	}
	return nil
}

func (r *refParams) params() (Params, error) {
	p := Params{
		Supply: Supply{r.Supply.V, r.Supply.Rs, r.Supply.Ilim_mA.v, r.Supply.Rlim},
		Wiring: Wiring{
			OutOhm: r.Wiring.R_out, ReturnOhm: r.Wiring.R_ret, TerminalOhm: r.Wiring.R_term,
			AcrossTransmitterOhm: r.Wiring.R_tx_par.v, PlusEarthOhm: r.Wiring.R_tp_gnd.v,
			MinusEarthOhm: r.Wiring.R_tm_gnd.v, EarthVolt: r.Wiring.V_gnd,
		},
		Input: Input{Offset: r.Input.Offset, Gain: r.Input.Gain},
		Transmitter: Transmitter{
			Zero: r.Tx.Zero, Span: r.Tx.Span, NonLinearity: r.Tx.Lin, Hysteresis: r.Tx.Hyst,
			Falling: r.Tx.Dir == -1, LowMilliamp: r.Tx.I_lo_mA, HighMilliamp: r.Tx.I_hi_mA,
			FailSafeMilliamp: r.Tx.Failsafe_mA.v, LiftOffVolt: r.Tx.Vmin, ElectronicsVolt: r.Tx.Voff,
			LiftOffMilliamp: r.Tx.I_ref_mA, DeadOhm: r.Tx.R_off, Reversed: r.Tx.Reversed,
			Diode: r.Tx.Rev_mode == "diode", DiodeVolt: r.Tx.Vf, DiodeOhm: r.Tx.Rd,
		},
		Receiver: Receiver{r.Rx.R_shunt, r.Rx.R_in, r.Rx.R_par.v, r.Rx.Zero, r.Rx.Span},
	}
	if r.Input.Frozen != nil {
		p.Input.Blocked, p.Input.BlockedAt = true, *r.Input.Frozen
	}
	if r.Tx.Dir != 1 && r.Tx.Dir != -1 {
		return p, fmt.Errorf("unknown dir %d", r.Tx.Dir)
	}
	if r.Tx.Rev_mode != "diode" && r.Tx.Rev_mode != "block" {
		return p, fmt.Errorf("unknown rev_mode %q", r.Tx.Rev_mode)
	}
	var err error
	p.Checker, err = r.Meter.checker()
	return p, err
}

func (m *refMeter) checker() (Checker, error) {
	c := HealthyChecker()
	places := map[string]Place{
		"series_field": SeriesField, "series_room": SeriesRoom, "volt": AcrossReceiver,
		"source": Sending, "source_noshunt": SendingNoShunt, "none": NotConnected,
	}
	place, ok := places[m.Mode]
	if !ok {
		return c, fmt.Errorf("unknown mode %q", m.Mode)
	}
	c.Place = place
	c.ResistorOhm, c.MovementOhm, c.ReferenceOhm, c.LeadOhm = m.Rm, m.Rg, m.Ro, m.R_lead
	c.TriggerNotHeld = !m.Key
	c.MicroampPerDivision, c.StopDivision, c.MarkDivision = m.A_per_div*1e6, m.Stop_div, m.Res_div
	c.RestDivision = m.Mech_div
	c.CellVolt, c.CellOhm, c.CellLoadMilliamp = m.E_cell, m.R_cell, m.I_load_mA
	c.RegulatorVolt, c.DropOutVolt, c.RingShift = m.V_reg, m.V_do, m.Sel_shift
	return c, nil
}

func (r *refOutputParams) params() (OutputParams, error) {
	k, err := r.Meter.checker()
	return OutputParams{
		Controller: Controller{r.Ctrl.Zero, r.Ctrl.Span, r.Ctrl.I_lo_mA, r.Ctrl.I_hi_mA, r.Ctrl.V_oc, r.Ctrl.R_sat},
		Wiring:     Wiring{OutOhm: r.Wiring.R_out, ReturnOhm: r.Wiring.R_ret, TerminalOhm: r.Wiring.R_term},
		IP:         IP{r.IP.R_coil, r.IP.R_par.v, r.IP.Zero, r.IP.Span, r.IP.P_air_kPa},
		Positioner: Positioner{r.Pos.Zero, r.Pos.Span},
		Checker:    k,
	}, err
}

// quantities gives our values under the reference's names.
func (c *refCase) quantities(x float64, held bool) map[string]float64 {
	if c.Kind == "output_loop" {
		q := c.output.Solve(x, held)
		return map[string]float64{
			"I_out_mA": q.OutputMilliamp, "I_coil_mA": q.CoilMilliamp, "V_coil": q.CoilVolt,
			"V_out": q.OutputVolt, "V_ref": q.ReferenceVolt, "defl_raw": q.Deflection,
			"defl_needle": c.output.Checker.clip(q.Deflection),
			"P_kPa":       q.Kilopascal, "stroke_pct": q.StrokePercent,
		}
	}
	q := c.input.Solve(x, held)
	return map[string]float64{
		"I_supply_mA": q.SupplyMilliamp, "I_tx_mA": q.TransmitterMilliamp, "I_loop_mA": q.LoopMilliamp,
		"I_meter_mA": q.CheckerMilliamp, "I_src_mA": q.CheckerMilliamp, "I_rx_mA": q.ReceiverMilliamp,
		"V_rx": q.ReceiverVolt, "V_tx": q.TransmitterVolt, "V_sup": q.SupplyVolt,
		"V_ref": q.ReferenceVolt, "V_cell": q.CellVolt, "defl_raw": q.Deflection,
		"defl_needle": c.input.Checker.clip(q.Deflection), "rx_pct": q.ReceiverPercent,
	}
}

// disagreements lists every quantity that is off by more than 1e-6 relative
// and 1e-9 absolute, or unknown.
func (c *refCase) disagreements() []string {
	var out []string
	compare := func(x float64, held bool, want map[string]float64) {
		got := c.quantities(x, held)
		for k, w := range want {
			g, known := got[k]
			if !known {
				out = append(out, fmt.Sprintf("%s x=%g held=%v: unknown quantity %s", c.ID, x, held, k))
			} else if d := math.Abs(g - w); !(d <= 1e-9 || d <= 1e-6*math.Abs(w)) {
				out = append(out, fmt.Sprintf("%s x=%g held=%v: %s is %.12g, simulator says %.12g", c.ID, x, held, k, g, w))
			}
		}
	}
	for _, pt := range c.values {
		compare(pt.x, true, pt.values)
		if pt.keyUp != nil {
			compare(pt.x, false, pt.keyUp)
		}
	}
	return out
}

func referenceCases(t testing.TB) []refCase {
	t.Helper()
	b, err := os.ReadFile("testdata/circuit.json")
	if err != nil {
		t.Fatal(err)
	}
	cases, err := decodeReference(b)
	if err != nil {
		t.Fatal(err)
	}
	return cases
}

// TestCircuitSimulatorAgreement holds every quantity of every point of every
// case to the circuit simulator's (ngspice-39), trigger held and released.
func TestCircuitSimulatorAgreement(t *testing.T) {
	cases := referenceCases(t)
	quantities, keyUp := 0, 0
	for i := range cases {
		c := &cases[i]
		bad := c.disagreements()
		for n, d := range bad {
			if n == 5 {
				t.Errorf("%s: and %d more", c.ID, len(bad)-n)
				break
			}
			t.Error(d)
		}
		var err error
		if c.Kind == "output_loop" {
			err = c.output.Validate()
		} else {
			err = c.input.Validate()
		}
		if err != nil {
			t.Errorf("%s: parameters of the reference are refused: %v", c.ID, err)
		}
		if len(c.values) != 5 {
			t.Errorf("%s: %d points, want the five of a five-point check", c.ID, len(c.values))
		}
		for _, pt := range c.values {
			quantities += len(pt.values)
			keyUp += len(pt.keyUp)
		}
	}
	// A file cut short must not pass by comparing nothing.
	if len(cases) != 291 || quantities < 17000 || keyUp < 10000 {
		t.Errorf("compared %d cases, %d quantities held and %d released", len(cases), quantities, keyUp)
	}
}
