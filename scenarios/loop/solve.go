package loop

// releasedOhm is the resistance of the trigger's contact while it is released.
// An open contact of 1e12 ohm passes some picoamps, far below any reading.
const releasedOhm = 1e12

// Point holds every quantity of one operating point, unrounded.
type Point struct {
	SupplyMilliamp      float64 // out of the supply
	TransmitterMilliamp float64 // through the transmitter, from its own plus to its own minus
	LoopMilliamp        float64 // in the wire at the transmitter's plus
	CheckerMilliamp     float64 // into the checker's current terminals; out of them when it sends
	ReceiverMilliamp    float64 // into the receiver's resistor and circuit, without the movement's share
	ReceiverVolt        float64
	TransmitterVolt     float64 // between its own terminals; negative when reversed
	SupplyVolt          float64 // at the supply's terminals
	ReferenceVolt       float64 // what the ring has set
	CellVolt            float64 // under load
	Deflection          float64 // divisions right of the centre, as if there were no stops
	ReceiverPercent     float64 // what the receiver shows, percent of span
}

// network is the linear part of the loop seen from the transmitter, in volts,
// amperes and ohms: a source volt behind ohm, with what lies above and below.
type network struct {
	demand, ref, cell float64

	galvOhm          float64 // movement, reference and trigger
	meterE, meterR   float64 // checker in series, seen from the loop; 0, 0 elsewhere
	receiverE        float64 // receiver end seen from the return wire
	receiverR        float64
	bareReceiverR    float64 // resistor, circuit and second receiver
	belowE, belowR   float64 // receiver end with return wire (and checker in the room)
	jointE, jointR   float64 // the same with the earth leak at the minus conductor
	topE, topR       float64 // supply end with out conductor and its earth leak
	volt, ohm        float64 // what the transmitter sees, before reversal
	shuntConductance float64 // of what lies across the transmitter
}

// par is two resistances in parallel, a b/(a+b), for a+b above 0.
func par(a, b float64) float64 { return a * b / (a + b) }

// Solve gives the operating point at the input x, a fraction of span, with the
// checker's trigger held or released. Any x is permitted; the transmitter's
// limits apply. The formulas, all exact:
//
//	lower end   E_b = E_r (+ E_m), R_b = R_return + R_r (+ R_m), with an earth leak E_j, R_j in parallel
//	upper end   E_t, R_t from supply, out conductor and earth leak
//	seen        E = E_t - E_j, R = R_t + R_terminal + R_j, with moisture across: E' = E R_p/(R+R_p), R' = R || R_p
//	I           = max(0, min(I_demand, max((E'-U_off)/(R'+R_on), E'/(R'+R_dead))))
//
// The minimum of the separate intersections is the intersection with the
// minimum, since every branch rises with its voltage. Where the supply limits,
// its steeper branch is a second linear supply and the same is done once more.
// Voltage terminals of the checker, or its resistor put across the receiver,
// change E_r and R_r. With valid parameters (see [Params.Validate]) every
// quantity is finite. It takes no memory.
func (p *Params) Solve(x float64, held bool) Point {
	if p.Checker.Place == Sending || p.Checker.Place == SendingNoShunt {
		return p.send(x)
	}
	var n network
	n.lower(p, x, held && !p.Checker.TriggerNotHeld)
	n.upper(p, p.Supply.Volt, p.Supply.InternalOhm)
	limited := false
	iTx, vTx, iLoop, iSupply := n.operate(p)
	if lim := float64(p.Supply.LimitMilliamp * 1e-3); lim > 0 && iSupply > lim {
		limited = true
		n.upperLimited(p)
		iTx, vTx, iLoop, iSupply = n.operate(p)
	}
	return n.point(p, iTx, vTx, iLoop, iSupply, limited)
}

// upperLimited is upper for a supply on its limiter.
func (n *network) upperLimited(p *Params) {
	s := &p.Supply
	n.upper(p, s.Volt+float64(s.LimitOhm*(s.LimitMilliamp*1e-3)), s.InternalOhm+s.LimitOhm)
}

// demandAmp is what the transmitter asks for at x.
func (p *Params) demandAmp(x float64) float64 {
	t := &p.Transmitter
	if t.FailSafeMilliamp > 0 {
		return t.FailSafeMilliamp * 1e-3
	}
	milliamp := p.unclippedMilliamp(x)
	return min(max(milliamp, t.LowMilliamp), t.HighMilliamp) * 1e-3
}

// unclippedMilliamp is the demand before saturation and fail-safe.
func (p *Params) unclippedMilliamp(x float64) float64 {
	t := &p.Transmitter
	xe := p.Input.BlockedAt
	if !p.Input.Blocked {
		xe = p.Input.Offset + float64(p.Input.Gain*x)
	}
	if t.ReverseActing {
		xe = 1 - xe
	}
	bow := t.NonLinearity
	if t.Falling {
		bow += float64(t.Hysteresis / 2)
	} else {
		bow -= float64(t.Hysteresis / 2)
	}
	out := t.Zero + float64((1+t.Span)*xe)
	if bow != 0 {
		out += float64(4 * bow * xe * (1 - xe))
	}
	return 4 + float64(16*out)
}

// ringFraction is the point that the ring stands on when the point x is tested.
func (p *Params) ringFraction(x float64) float64 {
	if p.Transmitter.ReverseActing {
		x = 1 - x
	}
	return min(max(x+p.Checker.RingShift, 0), 1)
}

// regulatorVolt is what the regulator delivers from cell volts.
func (c *Checker) regulatorVolt(cell float64) float64 {
	return min(c.RegulatorVolt, max(0, cell-c.DropOutVolt))
}

// referenceVolt is the reference with the ring at a fraction of span.
func (c *Checker) referenceVolt(ring, cell float64) float64 {
	return (1 + float64(4*ring)) * (c.regulatorVolt(cell) / c.RegulatorVolt)
}

// sign is +1 with the leads right and -1 with them crossed.
func (c *Checker) sign() float64 {
	if c.LeadsCrossed {
		return -1
	}
	return 1
}

// lower fills in all that does not depend on the supply.
func (n *network) lower(p *Params, x float64, held bool) {
	n.demand = p.demandAmp(x)
	n.cell = p.Checker.cellVolt()
	n.ref = p.Checker.referenceVolt(p.ringFraction(x), n.cell)
	n.below(p, held)
}

// below fills in the circuit below the transmitter from the reference.
func (n *network) below(p *Params, held bool) {
	c := &p.Checker
	n.galvOhm = c.MovementOhm + c.ReferenceOhm
	if c.Place == AcrossReceiver {
		n.galvOhm += c.LeadOhm
	}
	if !held {
		n.galvOhm += releasedOhm
	}
	rx := &p.Receiver
	r := par(rx.ShuntOhm, rx.InputOhm)
	if rx.ParallelOhm > 0 {
		r = par(r, rx.ParallelOhm)
	}
	n.bareReceiverR = r
	n.receiverE, n.receiverR = 0, r
	meterE := c.sign() * n.ref * (c.ResistorOhm / (c.ResistorOhm + n.galvOhm))
	meterR := par(c.ResistorOhm, n.galvOhm) + c.LeadOhm
	switch c.Place {
	case AcrossReceiver:
		n.receiverE = c.sign() * n.ref * (r / (r + n.galvOhm))
		n.receiverR = par(r, n.galvOhm)
	case CurrentAcrossReceiver:
		n.meterE, n.meterR = meterE, meterR
		n.receiverE = meterE * (r / (r + meterR))
		n.receiverR = par(r, meterR)
	case SeriesField, SeriesRoom:
		n.meterE, n.meterR = meterE, meterR
	}
	n.belowE, n.belowR = n.receiverE, p.Wiring.ReturnOhm+n.receiverR
	if c.Place == SeriesRoom {
		n.belowE += n.meterE
		n.belowR += n.meterR
	}
	n.jointE, n.jointR = n.belowE, n.belowR
	if leak := p.Wiring.MinusEarthOhm; leak > 0 {
		n.jointR = par(n.belowR, leak)
		n.jointE = (float64(n.belowE*leak) + float64(p.Wiring.EarthVolt*n.belowR)) / (n.belowR + leak)
	}
}

// upper fills in the supply end, for a supply of volt behind ohm, and with it
// what the transmitter sees.
func (n *network) upper(p *Params, volt, ohm float64) {
	w := &p.Wiring
	n.topE, n.topR = volt, ohm+w.OutOhm
	if leak := w.PlusEarthOhm; leak > 0 {
		e := (float64(volt*leak) + float64(w.EarthVolt*n.topR)) / (n.topR + leak)
		n.topE, n.topR = e, par(n.topR, leak)
	}
	n.volt = n.topE - n.jointE
	n.ohm = n.topR + w.TerminalOhm + n.jointR
	if p.Checker.Place == SeriesField {
		n.volt -= n.meterE
		n.ohm += n.meterR
	}
	n.shuntConductance = 0
	if across := w.AcrossTransmitterOhm; across > 0 {
		n.volt *= across / (n.ohm + across)
		n.ohm = par(n.ohm, across)
		n.shuntConductance = 1 / across
	}
}

// seen is the volts that drive the transmitter, from its own plus to minus.
func (n *network) seen(p *Params) float64 {
	if p.Transmitter.Reversed {
		return -n.volt
	}
	return n.volt
}

// liftOffOhm is R_on of [Transmitter].
func (t *Transmitter) liftOffOhm() float64 {
	return (t.LiftOffVolt - t.ElectronicsVolt) / (t.LiftOffMilliamp * 1e-3)
}

// operate finds the transmitter's current against the network.
func (n *network) operate(p *Params) (iTx, vTx, iLoop, iSupply float64) {
	t := &p.Transmitter
	seen := n.seen(p)
	switch {
	case seen > 0:
		iTx = seen / (n.ohm + t.DeadOhm)
		if seen > t.ElectronicsVolt {
			iTx = max(iTx, (seen-t.ElectronicsVolt)/(n.ohm+t.liftOffOhm()))
		}
		iTx = min(iTx, n.demand)
	case t.Diode && seen < -t.DiodeVolt:
		iTx = (seen + t.DiodeVolt) / (n.ohm + t.DiodeOhm)
	}
	vTx, iLoop, iSupply = n.currents(p, iTx)
	return iTx, vTx, iLoop, iSupply
}

// currents gives what follows from the transmitter's current.
func (n *network) currents(p *Params, iTx float64) (vTx, iLoop, iSupply float64) {
	vTx = n.seen(p) - float64(n.ohm*iTx)
	iLoop = iTx + float64(vTx*n.shuntConductance)
	if p.Transmitter.Reversed {
		iLoop = -iLoop
	}
	iSupply = iLoop
	if leak := p.Wiring.PlusEarthOhm; leak > 0 {
		iSupply += (n.topE - float64(n.topR*iLoop) - p.Wiring.EarthVolt) / leak
	}
	return vTx, iLoop, iSupply
}

// point works out all that hangs on the currents.
func (n *network) point(p *Params, iTx, vTx, iLoop, iSupply float64, limited bool) Point {
	c := &p.Checker
	iReturn := iLoop
	if p.Wiring.MinusEarthOhm > 0 {
		iReturn = (n.jointE + float64(n.jointR*iLoop) - n.belowE) / n.belowR
	}
	q := Point{
		SupplyMilliamp:      iSupply * 1e3,
		TransmitterMilliamp: iTx * 1e3,
		LoopMilliamp:        iLoop * 1e3,
		TransmitterVolt:     vTx,
		SupplyVolt:          p.Supply.at(iSupply, limited),
		ReferenceVolt:       n.ref,
		CellVolt:            n.cell,
		Deflection:          c.RestDivision,
	}
	q.ReceiverVolt = n.receiverE + float64(n.receiverR*iReturn)
	q.ReceiverMilliamp = q.ReceiverVolt / n.bareReceiverR * 1e3
	q.ReceiverPercent = p.Receiver.percent(q.ReceiverVolt)
	var galv float64
	switch c.Place {
	case SeriesField, SeriesRoom:
		i := iReturn
		if c.Place == SeriesField {
			i = iLoop
		}
		q.CheckerMilliamp = i * 1e3
		galv = (float64(c.sign()*c.ResistorOhm*i) - n.ref) / (c.ResistorOhm + n.galvOhm)
	case AcrossReceiver:
		galv = (float64(c.sign()*q.ReceiverVolt) - n.ref) / n.galvOhm
	case CurrentAcrossReceiver:
		i := (q.ReceiverVolt - n.meterE) / n.meterR
		q.CheckerMilliamp = i * 1e3
		galv = (float64(c.sign()*c.ResistorOhm*i) - n.ref) / (c.ResistorOhm + n.galvOhm)
	default:
		return q
	}
	q.Deflection += galv / (c.MicroampPerDivision * 1e-6)
	return q
}

// at is the volts at the supply's terminals when it delivers ampere.
func (s *Supply) at(ampere float64, limited bool) float64 {
	v := s.Volt - float64(s.InternalOhm*ampere)
	if limited {
		v -= float64(s.LimitOhm * (ampere - float64(s.LimitMilliamp*1e-3)))
	}
	return v
}

// percent is what the receiver shows for volt across its resistor.
func (r *Receiver) percent(volt float64) float64 {
	return 100 * (r.Zero + float64((1+r.Span)*((volt-1)/4)))
}

// send is the operating point while the checker sends into the receiver:
//
//	U_rx = U_ref R/(R + R_reference + R_lead)
//
// R being the receiver with, or without, its precision resistor. The loop is
// off, the movement is out of circuit and rests.
func (p *Params) send(x float64) Point {
	c := &p.Checker
	cell := c.cellVolt()
	ref := c.referenceVolt(p.ringFraction(x), cell)
	r := p.Receiver.InputOhm
	if c.Place == Sending {
		r = par(r, p.Receiver.ShuntOhm)
	}
	if p.Receiver.ParallelOhm > 0 {
		r = par(r, p.Receiver.ParallelOhm)
	}
	i := c.sign() * ref / (r + c.ReferenceOhm + c.LeadOhm)
	volt := float64(i * r)
	return Point{
		CheckerMilliamp:  i * 1e3,
		ReceiverMilliamp: i * 1e3,
		ReceiverVolt:     volt,
		SupplyVolt:       p.Supply.Volt,
		ReferenceVolt:    ref,
		CellVolt:         cell,
		Deflection:       c.RestDivision,
		ReceiverPercent:  p.Receiver.percent(volt),
	}
}
