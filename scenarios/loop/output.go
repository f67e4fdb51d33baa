package loop

// OutputParams are the parameters of one output loop: a controller's output
// drives an I/P converter, whose air drives a positioner. The checker, when in
// series, reads the current. Begin with [HealthyOutput].
type OutputParams struct {
	Controller Controller
	Wiring     Wiring // OutOhm, ReturnOhm and TerminalOhm only
	IP         IP
	Positioner Positioner
	Checker    Checker // NotConnected or in series; Sending is an input-side matter
}

// Controller is a controller's analogue output. It asks for
//
//	I = 4 mA + 16 mA [Zero + (1+Span) x], clipped to LowMilliamp..HighMilliamp
//
// and drives at most (OpenVolt - U)/SaturationOhm.
type Controller struct {
	Zero          float64 // fraction of span, -1..1
	Span          float64 // fraction of span, -0.99..1
	LowMilliamp   float64 // 0..4
	HighMilliamp  float64 // LowMilliamp..50
	OpenVolt      float64 // 0..250
	SaturationOhm float64 // 0..1e6
}

// IP is a current-to-pressure converter:
//
//	p = 20 kPa + 80 kPa [Zero + (1+Span) (I-4 mA)/16 mA], clipped to 0..AirKilopascal
type IP struct {
	CoilOhm       float64 // 0.001..1e12; an open coil is 1e9
	AcrossOhm     float64 // a short across turns or terminals; 0 means none
	Zero          float64 // fraction of span, -1..1
	Span          float64 // fraction of span, -0.99..1
	AirKilopascal float64 // supply air, 0..1000; 140 is usual
}

// Positioner moves the valve:
//
//	stroke = 100 % [Zero + (1+Span) (p-20 kPa)/80 kPa], clipped to 0..100 %
type Positioner struct {
	Zero float64 // fraction of span, -1..1
	Span float64 // fraction of span, -0.99..1
}

// HealthyOutput gives a sound output loop with the checker in series.
func HealthyOutput() OutputParams {
	return OutputParams{
		Controller: Controller{HighMilliamp: 22, OpenVolt: 20, SaturationOhm: 50},
		Wiring:     Wiring{OutOhm: 5, ReturnOhm: 5},
		IP:         IP{CoilOhm: 170, AirKilopascal: 140},
		Checker:    HealthyChecker(),
	}
}

// OutputPoint holds every quantity of one operating point of an output loop.
type OutputPoint struct {
	OutputMilliamp float64 // out of the controller
	CoilMilliamp   float64 // through the coil itself
	CoilVolt       float64
	OutputVolt     float64 // at the controller's terminals
	ReferenceVolt  float64
	CellVolt       float64
	Deflection     float64 // divisions, as if there were no stops
	Kilopascal     float64 // the I/P converter's output
	StrokePercent  float64
}

// outputNetwork is the load on the controller, in volts, amperes and ohms.
type outputNetwork struct {
	demand, ref, cell float64
	galvOhm           float64
	meterE, ohm       float64
	coilR             float64 // with what lies across it
}

func (o *OutputParams) unclippedMilliamp(x float64) float64 {
	c := &o.Controller
	return 4 + float64(16*(c.Zero+float64((1+c.Span)*x)))
}

// inSeries says whether the checker is in the output loop.
func (o *OutputParams) inSeries() bool {
	return o.Checker.Place == SeriesField || o.Checker.Place == SeriesRoom
}

func (n *outputNetwork) load(o *OutputParams, x float64, held bool) {
	c := &o.Checker
	n.demand = min(max(o.unclippedMilliamp(x), o.Controller.LowMilliamp), o.Controller.HighMilliamp) * 1e-3
	n.cell = c.cellVolt()
	n.ref = c.referenceVolt(min(max(x+c.RingShift, 0), 1), n.cell)
	n.galvOhm = c.MovementOhm + c.ReferenceOhm
	if !held || c.TriggerNotHeld {
		n.galvOhm += releasedOhm
	}
	n.coilR = o.IP.CoilOhm
	if o.IP.AcrossOhm > 0 {
		n.coilR = par(n.coilR, o.IP.AcrossOhm)
	}
	n.ohm = o.Wiring.OutOhm + o.Wiring.ReturnOhm + o.Wiring.TerminalOhm + n.coilR
	n.meterE = 0
	if o.inSeries() {
		n.meterE = c.sign() * n.ref * (c.ResistorOhm / (c.ResistorOhm + n.galvOhm))
		n.ohm += par(c.ResistorOhm, n.galvOhm) + c.LeadOhm
	}
}

// drivable is the current at which the controller's output saturates.
func (n *outputNetwork) drivable(o *OutputParams) float64 {
	return (o.Controller.OpenVolt - n.meterE) / (n.ohm + o.Controller.SaturationOhm)
}

// Solve gives the operating point with the controller's output at x, a
// fraction of span, and the checker's trigger held or released:
//
//	I = max(0, min(I_demand, (OpenVolt - E_m)/(R + SaturationOhm)))
//
// Any x is permitted. With valid parameters every quantity is finite.
func (o *OutputParams) Solve(x float64, held bool) OutputPoint {
	var n outputNetwork
	n.load(o, x, held)
	i := max(0, min(n.demand, n.drivable(o)))
	q := OutputPoint{
		OutputMilliamp: i * 1e3,
		CoilVolt:       i * n.coilR,
		OutputVolt:     n.meterE + float64(n.ohm*i),
		ReferenceVolt:  n.ref,
		CellVolt:       n.cell,
		Deflection:     o.Checker.RestDivision,
	}
	q.CoilMilliamp = float64(q.CoilVolt / o.IP.CoilOhm * 1e3)
	q.Kilopascal = min(max(o.IP.unclippedKilopascal(q.CoilMilliamp), 0), o.IP.AirKilopascal)
	q.StrokePercent = min(max(o.Positioner.unclippedPercent(q.Kilopascal), 0), 100)
	if o.inSeries() {
		c := &o.Checker
		galv := (float64(c.sign()*c.ResistorOhm*i) - n.ref) / (c.ResistorOhm + n.galvOhm)
		q.Deflection += galv / (c.MicroampPerDivision * 1e-6)
	}
	return q
}

func (c *IP) unclippedKilopascal(milliamp float64) float64 {
	return 20 + float64(80*(c.Zero+float64((1+c.Span)*((milliamp-4)/16))))
}

func (c *Positioner) unclippedPercent(kilopascal float64) float64 {
	return float64(100 * (c.Zero + float64((1+c.Span)*((kilopascal-20)/80))))
}
