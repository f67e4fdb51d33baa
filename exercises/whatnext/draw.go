package whatnext

import (
	"math"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// suspect is a fault on the list of an exercise with the sizes printed.
type suspect struct {
	fault     loop.Fault
	low, high formula.Value // of the range printed
	decimals  int           // with which it is printed
	possible  bool          // not ruled out by what was seen

	// What it shows by test: at its sizes below and above turn, or whatever its
	// size where below is nil.
	above, below []int
	turn         formula.Value
	turnDecimals int
}

// single says whether the suspect shows one thing at a test, and which.
func (s *suspect) single(t int) (int, bool) {
	return s.above[t], s.below == nil || s.below[t] == s.above[t]
}

// draw fills the list: the hand with its sizes, those that are ruled out, all
// in a drawn order.
func (it *item) draw(pick *exercises.Picker) error {
	var list []suspect
	for _, v := range it.hand.fits {
		list = append(list, it.suspect(&it.deal.fits[v], true, pick))
	}
	if it.hand.double >= 0 {
		s, err := it.doubled(&it.deal.doubles[it.hand.double], pick)
		if err != nil {
			return err
		}
		list = append(list, s)
		// The lead was found with half of the sizes on either side.
		share := it.share(&s)
		if best(it.deal.splits(it.hand, share.Float64())) != it.right || best(it.deal.splits(it.hand, s.logShare())) != it.right {
			return RejectLead
		}
	}
	if it.level != "easy" {
		listed := pick.Between(listedLeast, listedMost)
		for _, i := range pick.Shuffle(len(it.deal.out)) {
			v := &it.deal.out[i]
			taken := false
			for k := range list {
				taken = taken || list[k].fault.Name == v.fault
			}
			if !taken && len(list) < listed {
				list = append(list, it.suspect(v, false, pick))
			}
		}
		if len(list) < listed {
			return RejectNoHand
		}
	}
	for _, i := range pick.Shuffle(len(list)) {
		it.list = append(it.list, list[i])
	}
	return nil
}

// suspect draws the printed sizes of a variant: round numbers, the lower end in
// the first third of what there is, the upper in the last.
func (it *item) suspect(v *variant, possible bool, pick *exercises.Picker) suspect {
	s := suspect{fault: it.faults[v.fault], possible: possible, above: v.outcomes}
	if len(s.fault.Sizes) > 0 {
		g, _ := gridIn(v.plain)
		third := int(g.last-g.first) / 3
		s.low, s.high = g.at(g.first+int64(pick.Int(third))), g.at(g.last-int64(pick.Int(third)))
		s.decimals = g.decimals
	}
	return s
}

// at is a number of the grid.
func (g *grid) at(k int64) formula.Value { return formula.Decimal(g.units*k, g.decimals) }

// mostSteps is how many steps of the grid lie on one side of a turn at the most.
const mostSteps = 24

// doubled draws the printed sizes of a double, a fifth of them or more on either
// side of its turn, and not as many on one side as on the other.
func (it *item) doubled(d *double, pick *exercises.Picker) (suspect, error) {
	s := suspect{fault: it.faults[d.low.fault], possible: true, below: d.low.outcomes, above: d.high.outcomes}
	narrow, turn := d.low.plain, d.low.size.High
	if d.high.plain.High-d.high.plain.Low < narrow.High-narrow.Low {
		narrow = d.high.plain
	}
	g, _ := gridIn(narrow)
	step := float64(g.units) / math.Pow10(g.decimals)
	under, over := int64(math.Floor(turn/step-margin)), int64(math.Ceil(turn/step+margin))
	below := min(under-int64(math.Floor(d.low.plain.Low/step+margin)), mostSteps)
	above := min(int64(math.Ceil(d.high.plain.High/step-margin))-over, mostSteps)
	if below < 3 || above < 3 {
		return s, RejectTurn
	}
	i := 2 + int64(pick.Int(int(below-2)))
	least, most := max(2, (i+2)/3), min(3*i, above-1)
	if least > most {
		return s, RejectTurn
	}
	j := least + int64(pick.Int(int(most-least+1)))
	s.low, s.high, s.decimals = g.at(under-i), g.at(over+j), g.decimals
	s.turnDecimals = min(2, g.decimals+1)
	n, err := formula.Float(turn).Round(s.turnDecimals)
	if err != nil || s.low.Sign() <= 0 || s.low.Float64() > d.low.plain.High || s.high.Float64() < d.high.plain.Low {
		return s, RejectTurn
	}
	s.turn = formula.Decimal(n, s.turnDecimals)
	if p := it.share(&s).Float64(); p < 0.2 || p > 0.8 || math.Abs(p-0.5) < 0.04 {
		return s, RejectTurn
	}
	return s, nil
}

// share is how much of the sizes of a double lies above its turn.
func (it *item) share(s *suspect) formula.Value {
	return s.high.Sub(s.turn).Div(s.high.Sub(s.low))
}

// logShare is the same if each decade of sizes, and not each size, were as
// likely as the next: the answer must not hang on that.
func (s *suspect) logShare() float64 {
	return math.Log(s.high.Float64()/s.turn.Float64()) / math.Log(s.high.Float64()/s.low.Float64())
}
