package loop

// inputMargins is the number of margins of an input loop, outputMargins that
// of an output loop. Each is negative in one state and positive in the other;
// a later one may depend on the state that an earlier one decides.
const (
	inputMargins  = 6 + transmitterMargins + 1 + transmitterMargins
	outputMargins = 12

	transmitterMargins = 5
)

// always is a margin that decides nothing.
const always = 1

// inputMargin is margin m of an input loop at a size.
func (r *run) inputMargin(m int, size float64) float64 {
	p := r.input(size, 0)
	x := r.at.x
	switch m {
	case 0, 1:
		if p.Transmitter.FailSafeMilliamp > 0 {
			return always
		}
		limit := p.Transmitter.LowMilliamp
		if m == 1 {
			limit = p.Transmitter.HighMilliamp
		}
		return p.unclippedMilliamp(x) - limit
	case 2, 3, 4, 5:
		if p.Transmitter.ReverseActing {
			x = 1 - x
		}
		return p.Checker.margin(m-2, x)
	}
	lim := float64(p.Supply.LimitMilliamp * 1e-3)
	if m >= 6+transmitterMargins && lim == 0 {
		return always
	}
	var n network
	n.lower(p, x, r.at.held && !p.Checker.TriggerNotHeld)
	switch m -= 6; {
	case m < transmitterMargins:
		n.upper(p, p.Supply.Volt, p.Supply.InternalOhm)
		return n.margin(p, m)
	case m == transmitterMargins:
		n.upper(p, p.Supply.Volt, p.Supply.InternalOhm)
		_, _, _, iSupply := n.operate(p)
		return (iSupply - lim) * 1e3
	default:
		n.upperLimited(p)
		return n.margin(p, m-transmitterMargins-1)
	}
}

// margin is one of the checker's four: ring at either end, regulator dropped
// out or dead.
func (c *Checker) margin(m int, point float64) float64 {
	switch m {
	case 0:
		return point + c.RingShift
	case 1:
		return point + c.RingShift - 1
	case 2:
		return c.cellVolt() - c.DropOutVolt
	}
	return c.cellVolt() - c.DropOutVolt - c.RegulatorVolt
}

// margin says on which side of a corner of the transmitter's characteristic
// the load line passes: seen - R I_corner - U_corner, in volts.
func (n *network) margin(p *Params, m int) float64 {
	t := &p.Transmitter
	seen := n.seen(p)
	switch m {
	case 0: // the origin
		return seen
	case 1: // the protective diode's
		if !t.Diode {
			return always
		}
		return seen + t.DiodeVolt
	case 2: // where the electronics wake up
		volt, ok := t.wakeVolt()
		if !ok {
			return always
		}
		return seen - float64(n.ohm*(volt/t.DeadOhm)) - volt
	case 3: // in control against the drop-out line
		return seen - float64(n.ohm*n.demand) - (t.ElectronicsVolt + float64(t.liftOffOhm()*n.demand))
	}
	// in control against the dead electronics
	return seen - float64(n.ohm*n.demand) - float64(t.DeadOhm*n.demand)
}

// wakeVolt is where the drop-out line crosses that of the dead electronics;
// false where it never does.
func (t *Transmitter) wakeVolt() (float64, bool) {
	on := t.liftOffOhm()
	if t.DeadOhm <= on {
		return 0, false
	}
	return float64(t.ElectronicsVolt * (t.DeadOhm / (t.DeadOhm - on))), true
}

// outputMargin is margin m of an output loop at a size.
func (r *run) outputMargin(m int, size float64) float64 {
	o := r.output(size, 0)
	x := r.at.x
	switch m {
	case 0:
		return o.unclippedMilliamp(x) - o.Controller.LowMilliamp
	case 1:
		return o.unclippedMilliamp(x) - o.Controller.HighMilliamp
	case 2, 3, 4, 5:
		return o.Checker.margin(m-2, x)
	}
	var n outputNetwork
	n.load(o, x, r.at.held)
	q := o.Solve(x, r.at.held)
	switch m {
	case 6:
		return (n.drivable(o) - n.demand) * 1e3
	case 7:
		return n.drivable(o) * 1e3
	case 8:
		return o.IP.unclippedKilopascal(q.CoilMilliamp)
	case 9:
		return o.IP.unclippedKilopascal(q.CoilMilliamp) - o.IP.AirKilopascal
	case 10:
		return o.Positioner.unclippedPercent(q.Kilopascal)
	}
	return o.Positioner.unclippedPercent(q.Kilopascal) - 100
}
