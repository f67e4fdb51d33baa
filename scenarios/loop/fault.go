package loop

import (
	"fmt"
	"strings"
)

// Group is where a fault sits.
type Group string

// The groups, in the order in which a loop is walked.
const (
	GroupTransmitter Group = "transmitter"
	GroupSensing     Group = "sensing side"
	GroupLoop        Group = "loop"
	GroupReceiver    Group = "receiver"
	GroupChecker     Group = "checker and user"
	GroupOutput      Group = "output side"
)

// Caution is the id of a caution that a task with a fault touches.
type Caution string

// The cautions, by their ids in scenarios/cautions.md, where their sentences
// stand.
const (
	PracticeFigures  Caution = "practice-figures"  // exercise figures are no work permit
	PermitAndManual  Caution = "before-test-lead"  // permit, operator told, controller in manual, inhibits set and logged
	OpeningTheLoop   Caution = "open-loop"         // an opened loop sends 0 mA
	BackInService    Caution = "back-in-service"   // inhibits off, bumpless to automatic, operator told, record signed
	ManifoldOrder    Caution = "manifold"          // valves in order
	WetLeg           Caution = "wet-leg"           // a wet leg is never equalised through
	SettleEachPoint  Caution = "settle-each-point" // approach without overshoot, let it settle
	CertifiedChecker Caution = "intrinsic-safety"  // in an intrinsically safe loop only equipment certified for it
	CellOutside      Caution = "cell-outside"      // only the certificate's cell, changed outside the hazardous area
	VentFirst        Caution = "vent-and-isolate"  // isolate and vent before a sensing line is opened
	RecordFirst      Caution = "as-found-first"    // write down what was found before touching a screw
)

// Interval is a closed range of sizes. Low equals High for a single size.
type Interval struct{ Low, High float64 }

// Has says whether v lies in the interval, its ends included.
func (i Interval) Has(v float64) bool { return v >= i.Low && v <= i.High }

// Size is one size of a fault: what is measured, its unit and the range that
// is permitted, in one or more branches that rise and do not overlap. Ring
// positions are single sizes, for the ring clicks.
type Size struct {
	Name     string // "low by", "resistance"
	Unit     string // "% of span", "ohm"
	Branches []Interval
}

// Has says whether v lies in a branch.
func (s *Size) Has(v float64) bool {
	for _, b := range s.Branches {
		if b.Has(v) {
			return true
		}
	}
	return false
}

// String prints the ranges: "0.3 to 8 % of span".
func (s *Size) String() string {
	var b strings.Builder
	for i, r := range s.Branches {
		if i > 0 {
			b.WriteString(" or ")
		}
		if r.Low == r.High {
			fmt.Fprintf(&b, "%g", r.Low)
		} else {
			fmt.Fprintf(&b, "%g to %g", r.Low, r.High)
		}
	}
	b.WriteByte(' ')
	b.WriteString(s.Unit)
	return b.String()
}

// Fault is one thing wrong, or a named few at once, as data.
type Fault struct {
	Name     string // kebab-case, the trade's word: "low-zero"
	Group    Group
	Does     string // what it does to the loop, in terms of the parameters
	Sizes    []Size // none, one, or two
	Shows    string // what is seen
	Remedy   string
	Cautions []Caution // that the remedy or the test touches
	// Simulated names the reference families that hold solved cases of this
	// fault; none means that it was checked by hand.
	Simulated []string
	// Parts names the single faults that a compound is made of, any of which
	// is a special case of it; empty for a single fault. Where a part alone
	// explains the evidence, the part counts.
	Parts []string

	input  func(p *Params, a, b float64)
	output func(o *OutputParams, a, b float64)
}

// OnInput says whether the fault can be in an input loop.
func (f *Fault) OnInput() bool { return f.input != nil }

// OnOutput says whether the fault can be in an output loop.
func (f *Fault) OnOutput() bool { return f.output != nil }

// SizeError says that a fault was given a size that it cannot have.
type SizeError struct {
	Fault string
	Size  float64 // as it came; 0 when the number of sizes is wrong
	Why   string
}

// Error is one line: the fault and what it wants.
func (e *SizeError) Error() string { return e.Fault + ": " + e.Why }

// sizes checks the sizes given.
func (f *Fault) sizes(given []float64) (a, b float64, err error) {
	if len(given) != len(f.Sizes) {
		return 0, 0, &SizeError{f.Name, 0, fmt.Sprintf("needs %d sizes, has %d", len(f.Sizes), len(given))}
	}
	for i, v := range given {
		if s := &f.Sizes[i]; !s.Has(v) {
			return 0, 0, &SizeError{f.Name, v, fmt.Sprintf("%s is %g %s, permitted is %s", s.Name, v, s.Unit, s)}
		}
	}
	switch len(given) {
	case 2:
		return given[0], given[1], nil
	case 1:
		return given[0], 0, nil
	}
	return 0, 0, nil
}

// Apply gives the parameters of a loop with the fault, of the given sizes, in
// it; a [SizeError] when the sizes are not those of the fault or when it
// belongs to an output loop.
func (f *Fault) Apply(p Params, sizes ...float64) (Params, error) {
	a, b, err := f.sizes(sizes)
	if err != nil {
		return p, err
	}
	if f.input == nil {
		return p, &SizeError{f.Name, 0, "belongs to an output loop"}
	}
	f.input(&p, a, b)
	return p, nil
}

// ApplyOutput is [Fault.Apply] for an output loop.
func (f *Fault) ApplyOutput(o OutputParams, sizes ...float64) (OutputParams, error) {
	a, b, err := f.sizes(sizes)
	if err != nil {
		return o, err
	}
	if f.output == nil {
		return o, &SizeError{f.Name, 0, "belongs to an input loop"}
	}
	f.output(&o, a, b)
	return o, nil
}

// Faults lists the single faults and zero-and-span, group by group. The slice
// is the caller's.
func Faults() []Fault {
	var all []Fault
	all = append(all, transmitterFaults()...)
	all = append(all, sensingFaults()...)
	all = append(all, wiringFaults()...)
	all = append(all, supplyFaults()...)
	all = append(all, receiverFaults()...)
	all = append(all, checkerFaults()...)
	all = append(all, outputFaults()...)
	return all
}

// FaultNamed finds a fault or a pair by its name.
func FaultNamed(name string) (Fault, bool) {
	for _, list := range [][]Fault{Faults(), Pairs()} {
		for _, f := range list {
			if f.Name == name {
				return f, true
			}
		}
	}
	return Fault{}, false
}

// one is a size with a single branch.
func one(name, unit string, low, high float64) []Size {
	return []Size{{name, unit, []Interval{{low, high}}}}
}

// eitherSide is a size with a branch below and a branch above nothing.
func eitherSide(name, unit string, least, most float64) []Size {
	return []Size{{name, unit, []Interval{{-most, -least}, {least, most}}}}
}

// onLoop makes a fault's change of an input loop with one size.
func onLoop(change func(p *Params, size float64)) func(*Params, float64, float64) {
	return func(p *Params, a, _ float64) { change(p, a) }
}

// onOutput makes a fault's change of an output loop with one size.
func onOutput(change func(o *OutputParams, size float64)) func(*OutputParams, float64, float64) {
	return func(o *OutputParams, a, _ float64) { change(o, a) }
}

// share is a percentage as a fraction.
func share(percent float64) float64 { return percent / 100 }

// scaled is v larger by a percentage; the product is rounded before it is added.
func scaled(v, percent float64) float64 { return v + float64(v*(percent/100)) }

// openOhm is an open wire: no reading can tell it from nothing at all.
const openOhm = 1e9
