package adjust

import (
	"math"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

const (
	rejectRoom  exercises.Reject = "a reading beyond what the transmitter can send"
	rejectClass exercises.Reject = "no screws that take so many passes"
)

// The ways of both screws, as options: the zero's first.
var ways = []string{"up-up", "up-down", "down-up", "down-down"}

// found is one drawn transmitter as found.
type found struct {
	level  string
	loop   *scenarios.Loop
	zero   int // error at 0 %, 0.001 mA
	spread int // error at 100 % less that
	share  int // hundredths; of the usual level
	read   int // "done" means: 0 exactly, 1 as read
	passes string
	at     int // percent, of the easy level
	set    nullbalance.Set
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	f := &found{level: p.exercise.Level}
	// The ways first, so that each has its share, then the count of passes.
	low, spanLow := pick.Int(2), pick.Int(2)
	if f.level == "easy" {
		f.at = 25 * pick.Between(1, 3)
		f.spread = pick.Between(leastSpread/tenth, mostSpread/tenth) * tenth
		if spanLow == 1 {
			f.spread = -pick.Between(leastSpread/tenth, 40) * tenth
		}
	} else {
		f.read = pick.Int(2)
		switch {
		case f.level == "usual":
			f.passes = usualPasses[pick.Int(5)]
		case spanLow == 0:
			// Upwards no transmitter can be so far off that it takes more.
			f.passes = hardPasses[pick.Int(2)]
		default:
			f.passes = hardPasses[[]int{0, 1, 2, 2, 2, 3}[pick.Int(6)]]
		}
		list := p.classes[f.read][spanLow][f.passes]
		if len(list) == 0 {
			return exercises.Item{}, rejectClass
		}
		s := list[pick.Int(len(list))]
		f.share, f.spread = s.share, s.spread
	}
	f.zero = pick.Between(3, 30) * tenth
	if low == 1 {
		f.zero = -pick.Between(3, 12) * tenth
	} else if f.spread > 0 {
		f.zero = pick.Between(3, 12) * tenth
	}
	f.loop = p.loops[pick.Int(len(p.loops))]
	f.set = nullbalance.Set{Loop: f.loop, Checker: &p.exercise.Plant.Checker, Place: loop.NotConnected,
		Zero: float64(f.zero) / microSpan, Span: float64(f.spread) / microSpan}
	if err := f.solve(); err != nil {
		return exercises.Item{}, err
	}
	return p.build(f), nil
}

// reading is the current as found at x percent, exactly.
func (f *found) reading(x int) formula.Value {
	return formula.Int(4).Add(formula.Decimal(int64(160*x+f.zero), 3)).Add(formula.Decimal(int64(f.spread*x), 5))
}

// solve holds the readings against the solved loop: a transmitter at its limit
// or a loop short of volts is another lesson.
func (f *found) solve() error {
	p := f.set.Params()
	for _, x := range []int{0, 25, 50, 75, 100} {
		q := p.Solve(float64(x)/100, false)
		if math.Abs(q.TransmitterMilliamp-f.reading(x).Float64()) > 1e-6 {
			return rejectRoom
		}
	}
	return nil
}

func (f *found) way() string {
	way := func(e int) string {
		if e < 0 {
			return "up"
		}
		return "down"
	}
	return way(f.zero) + "-" + way(f.spread)
}
