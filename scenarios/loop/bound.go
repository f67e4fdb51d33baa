package loop

import "math"

// Two sizes at once: the rectangle of sizes is halved again and again, and a
// part is dropped when some reading cannot lie in its window anywhere in it.
//
// The bound of a reading over a part: in one state of the loop it is a
// quotient of degree one in either size (see trace.go), so along each edge
// direction it is monotone, so its extremes over a rectangle lie at corners.
// Over a part in which the loop can be in several states, each state's own
// formula is bounded at the corners and the bounds are joined: whatever state
// the loop is in somewhere, its value is that state's formula there. States are
// left out only when a margin, bounded the same way, rules them out. Where
// clipping of the demand or of the reference changes within the part, demand
// and reference enter as two sizes more, at their own least and greatest.

// bound is the least and greatest of all quantities over a part, and how much
// each moves along either side of it.
type bound struct{ low, high, alongFirst, alongSecond values }

// vertex is the loop at a corner, with demand and reference possibly put
// elsewhere in their range.
type vertex struct {
	p       Params
	n       network // as without limiter
	limited network // on the limiter
}

// corners of a part of the rectangle, with the state of the clips at each.
type corner struct {
	p                     Params
	demand, ref           float64
	demandState, refState int
}

func clipState(v, low, high float64) int {
	switch {
	case v < low:
		return -1
	case v > high:
		return 1
	}
	return 0
}

func (r *run) corner(a, b float64) corner {
	p := r.input(a, b)
	c := &p.Checker
	out := corner{p: *p, demand: p.demandAmp(r.at.x)}
	if p.Transmitter.FailSafeMilliamp == 0 {
		out.demandState = clipState(p.unclippedMilliamp(r.at.x), p.Transmitter.LowMilliamp, p.Transmitter.HighMilliamp)
	}
	x := r.at.x
	if p.Transmitter.ReverseActing {
		x = 1 - x
	}
	cell := c.cellVolt()
	out.ref = c.referenceVolt(p.ringFraction(r.at.x), cell)
	out.refState = 10*clipState(x+c.RingShift, 0, 1) + clipState(cell-c.DropOutVolt, 0, c.RegulatorVolt)
	return out
}

// vertices gives the corners, times the ends of demand and reference where
// their clipping changes within the part.
func (r *run) vertices(first, second Interval, out []vertex) []vertex {
	var cs [4]corner
	n := 0
	for _, a := range [2]float64{first.Low, first.High} {
		for _, b := range [2]float64{second.Low, second.High} {
			cs[n] = r.corner(a, b)
			n++
		}
	}
	demand, ref := Interval{cs[0].demand, cs[0].demand}, Interval{cs[0].ref, cs[0].ref}
	mixedDemand, mixedRef := false, false
	for i := range cs {
		c := &cs[i]
		demand = Interval{min(demand.Low, c.demand), max(demand.High, c.demand)}
		ref = Interval{min(ref.Low, c.ref), max(ref.High, c.ref)}
		mixedDemand = mixedDemand || c.demandState != cs[0].demandState
		mixedRef = mixedRef || c.refState != cs[0].refState
	}
	for i := range cs {
		c := &cs[i]
		ds, rs := [2]float64{c.demand, c.demand}, [2]float64{c.ref, c.ref}
		dn, rn := 1, 1
		if mixedDemand {
			ds, dn = [2]float64{demand.Low, demand.High}, 2
		}
		if mixedRef {
			rs, rn = [2]float64{ref.Low, ref.High}, 2
		}
		for _, d := range ds[:dn] {
			for _, v := range rs[:rn] {
				out = append(out, vertex{p: c.p})
				w := &out[len(out)-1]
				w.n.demand, w.n.ref, w.n.cell = d, v, c.p.Checker.cellVolt()
				w.n.below(&w.p, r.at.held && !w.p.Checker.TriggerNotHeld)
				w.n.upper(&w.p, w.p.Supply.Volt, w.p.Supply.InternalOhm)
				if w.p.Supply.LimitMilliamp > 0 {
					w.limited = w.n
					w.limited.upperLimited(&w.p)
				}
			}
		}
	}
	return out
}

// The states of the transmitter.
const (
	nothing  = iota // no current
	dead            // the dead electronics draw some
	dropOut         // on the drop-out line
	control         // the current that it asks for
	backward        // through the protective diode
	states
)

// ampere is the transmitter's current in one of its states.
func (n *network) ampere(p *Params, state int) float64 {
	t := &p.Transmitter
	switch state {
	case dead:
		return n.seen(p) / (n.ohm + t.DeadOhm)
	case dropOut:
		return (n.seen(p) - t.ElectronicsVolt) / (n.ohm + t.liftOffOhm())
	case control:
		return n.demand
	case backward:
		return (n.seen(p) + t.DiodeVolt) / (n.ohm + t.DiodeOhm)
	}
	return 0
}

// possible says which states the transmitter can be in somewhere in the part.
func possible(vs []vertex, limited bool) (can [states]bool) {
	var m [transmitterMargins]Interval
	for i := range vs {
		n := &vs[i].n
		if limited {
			n = &vs[i].limited
		}
		for k := range m {
			v := n.margin(&vs[i].p, k)
			if i == 0 {
				m[k] = Interval{v, v}
			}
			m[k] = Interval{min(m[k].Low, v), max(m[k].High, v)}
		}
	}
	t := &vs[0].p.Transmitter
	_, wakes := t.wakeVolt()
	can[nothing] = m[0].Low <= 0
	can[backward] = t.Diode && m[1].Low <= 0
	can[dead] = m[0].High >= 0 && m[4].Low <= 0 && (!wakes || m[2].Low <= 0)
	can[dropOut] = wakes && m[2].High >= 0 && m[3].Low <= 0
	can[control] = m[0].High >= 0 && (m[3].High >= 0 || m[4].High >= 0)
	return can
}

// bound bounds all quantities over a part.
func (r *run) bound(first, second Interval) bound {
	var room [16]vertex
	vs := r.vertices(first, second, room[:0])
	out := bound{}
	for q := range out.low {
		out.low[q], out.high[q] = math.Inf(1), math.Inf(-1)
	}
	can := possible(vs, false)
	lim := float64(vs[0].p.Supply.LimitMilliamp * 1e-3)
	free, limits := true, false
	if lim > 0 {
		supply := Interval{math.Inf(1), math.Inf(-1)}
		for s := range states {
			for i := 0; can[s] && i < len(vs); i++ {
				_, _, amp := vs[i].n.currents(&vs[i].p, vs[i].n.ampere(&vs[i].p, s))
				supply = Interval{min(supply.Low, amp), max(supply.High, amp)}
			}
		}
		free, limits = supply.Low <= lim, supply.High >= lim
	}
	if free {
		out.join(vs, can, false)
	}
	if limits {
		out.join(vs, possible(vs, true), true)
	}
	v := [4]values{
		r.values(first.Low, second.Low), r.values(first.Low, second.High),
		r.values(first.High, second.Low), r.values(first.High, second.High),
	}
	for q := range out.low {
		out.alongFirst[q] = max(math.Abs(v[2][q]-v[0][q]), math.Abs(v[3][q]-v[1][q]))
		out.alongSecond[q] = max(math.Abs(v[1][q]-v[0][q]), math.Abs(v[3][q]-v[2][q]))
	}
	return out
}

// join widens the bound by the formulas of the possible states.
func (o *bound) join(vs []vertex, can [states]bool, limited bool) {
	for i := range vs {
		v := &vs[i]
		n := &v.n
		if limited {
			n = &v.limited
		}
		for s := range states {
			if !can[s] {
				continue
			}
			iTx := n.ampere(&v.p, s)
			vTx, iLoop, iSupply := n.currents(&v.p, iTx)
			pt := n.point(&v.p, iTx, vTx, iLoop, iSupply, limited)
			for q, y := range inputValues(&v.p, &pt) {
				o.low[q], o.high[q] = min(o.low[q], y), max(o.high[q], y)
			}
		}
	}
}
