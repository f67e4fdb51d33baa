package exercises

import (
	"math/bits"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// Family is a kind of exercise. Families are written in Go, one a package, and
// know nothing of seeds or pages.
type Family interface {
	// Spec says what a course may ask of the family.
	Spec() scenarios.Spec
	// Version counts the changes that give other numbers for the same seed.
	Version() int
	// Prepare works out once a course what every form needs. What stops the
	// exercise from being drawn comes back as diagnostics at its place.
	Prepare(e *scenarios.Exercise) (Plan, []diag.Diagnostic)
}

// Plan draws items. It is immutable and safe for concurrent use.
type Plan interface {
	// Item gives the exercise at one point of the plan's draw space: the
	// same u gives the same item, and u spread evenly over all 64-bit values
	// gives each item its share. A draw that breaks a promise comes back as
	// an error of type [Reject].
	Item(u uint64) (Item, error)
}

// Reject is the reason why a draw was thrown away, in a few fixed words so
// that rejects can be counted by reason.
type Reject string

// Error implements error.
func (r Reject) Error() string { return string(r) }

// Picker reads the digits of one draw, most significant choice first: the
// draw is a point of the unit interval, each choice cuts the interval into
// equal parts and goes on inside the part that was hit. Neighbouring points so
// share their first choices, and points spread evenly over the interval differ
// in them; forms of a class get such points.
type Picker struct {
	left  uint64
	whole uint64 // product of the choices since the last refill, saturating
	step  uint64
}

// NewPicker begins to read u.
func NewPicker(u uint64) *Picker { return &Picker{left: u, whole: 1, step: u} }

// Int picks one of 0..n-1. n below 1 gives 0.
func (p *Picker) Int(n int) int {
	if n <= 1 {
		return 0
	}
	// 64 bits hold some 2^40 combinations with an even spread; after that go
	// on from a scrambled copy of the point.
	if p.whole > 1<<40/uint64(n) {
		p.step += 0x9e3779b97f4a7c15
		z := p.step
		z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
		z = (z ^ z>>27) * 0x94d049bb133111eb
		p.left, p.whole = z^z>>31, 1
	}
	p.whole *= uint64(n)
	hi, lo := bits.Mul64(p.left, uint64(n))
	p.left = lo
	return int(hi)
}

// Between picks a whole number from low to high, both included.
func (p *Picker) Between(low, high int) int {
	return low + p.Int(high-low+1)
}

// Shuffle gives an order of n things.
func (p *Picker) Shuffle(n int) []int {
	order := make([]int, n)
	for i := range order {
		order[i] = i
	}
	for i := n - 1; i > 0; i-- {
		j := p.Int(i + 1)
		order[i], order[j] = order[j], order[i]
	}
	return order
}
