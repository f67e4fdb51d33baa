package scenarios

import (
	"slices"

	"loopdrill/scenarios/loop"
)

// Sizes gives the bounds within which a fault is drawn in a loop of the plant,
// one for each of the fault's sizes and in their order. It gives nil where the
// plant file does not narrow them: then the fault's own sizes hold, see
// [loop.Fault]. Bounds may reach over a gap between two branches of the fault's
// sizes; what lies in the gap is no size all the same.
func (p *Plant) Sizes(fault string, l *Loop) []SizeBounds {
	return p.sizes(fault, func(r *FaultRange) bool { return slices.Contains(r.Loops, l) })
}

// OutputSizes is [Plant.Sizes] for an output loop.
func (p *Plant) OutputSizes(fault string, o *Output) []SizeBounds {
	return p.sizes(fault, func(r *FaultRange) bool { return slices.Contains(r.Outputs, o) })
}

// sizes finds the entry that names the loop, or else the one that names none.
func (p *Plant) sizes(fault string, named func(r *FaultRange) bool) []SizeBounds {
	var all []SizeBounds
	for i := range p.Faults {
		r := &p.Faults[i]
		switch {
		case r.Name != fault:
		case named(r):
			return r.Sizes
		case len(r.Loops) == 0 && len(r.Outputs) == 0:
			all = r.Sizes
		}
	}
	return all
}

// FaultIn gives a fault as it is drawn in a loop of the plant: its sizes are
// those of scenarios/loop, less what the plant file leaves out. ok is false for
// a name that is no fault.
func (p *Plant) FaultIn(fault string, l *Loop) (f loop.Fault, ok bool) {
	f, ok = loop.FaultNamed(fault)
	f.Sizes = narrowed(f.Sizes, p.Sizes(fault, l))
	return f, ok
}

// FaultInOutput is [Plant.FaultIn] for an output loop.
func (p *Plant) FaultInOutput(fault string, o *Output) (f loop.Fault, ok bool) {
	f, ok = loop.FaultNamed(fault)
	f.Sizes = narrowed(f.Sizes, p.OutputSizes(fault, o))
	return f, ok
}

// narrowed cuts the branches of sizes down to bounds, which may be nil.
func narrowed(sizes []loop.Size, bounds []SizeBounds) []loop.Size {
	if len(bounds) != len(sizes) {
		return sizes
	}
	out := slices.Clone(sizes)
	for i := range out {
		low, high := bounds[i].Low.Float64(), bounds[i].High.Float64()
		var kept []loop.Interval
		for _, b := range out[i].Branches {
			if c := (loop.Interval{Low: max(low, b.Low), High: min(high, b.High)}); c.Low <= c.High {
				kept = append(kept, c)
			}
		}
		out[i].Branches = kept
	}
	return out
}
