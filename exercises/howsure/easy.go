package howsure

import (
	"math"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The bounds of the ratio, so that 4 to 1 is met or missed clearly.
const (
	leastMet, mostMet       = 4.2, 9
	leastMissed, mostMissed = 1.7, 3.8
)

// absPlaces is how many decimals an uncertainty in the unit of the loop's input
// is asked for with: a hundred thousandth of the span or coarser.
func absPlaces(span float64) int {
	return min(6, max(1, int(math.Ceil(5-math.Log10(span)-1e-9))))
}

// easy asks about one gauge.
func (p *plan) easy(pick *exercises.Picker, b *bench) (exercises.Item, error) {
	from, to := leastMet, float64(mostMet)
	if pick.Int(2) == 0 {
		from, to = leastMissed, mostMissed
	}
	g, err := b.within(pick, from, to, b.ranges)
	if err != nil {
		return exercises.Item{}, err
	}
	w := p.start(b)
	giveGauge(w, g)

	d := absPlaces(b.loop.Input.Span().Float64())
	part := func(span formula.Expr) formula.Expr {
		return formula.Mul(formula.Div(symAccuracy, formula.Percent100()), span)
	}
	s := own(symGLow, symGHigh)
	w.Ask("abs", formula.Definition{Sym: symAbs, Expr: part(s), Unit: b.loop.Input.Unit.Symbol, Decimals: d}, "", formula.Decimal(5, d+1),
		exercises.Told{ID: "loop-span", Name: "taken of the loop's span", X: part(loopSpan)},
		exercises.Told{ID: "percent-left", Name: "percent not taken as hundredths", X: formula.Mul(symAccuracy, s)},
		exercises.Told{ID: "half-width", Name: "halved, as if it were a whole width", X: formula.Div(part(s), two)},
		exercises.Told{ID: "both-sides", Name: "doubled, both sides counted", X: formula.Mul(two, part(s))},
		exercises.Told{ID: "upper-end-gauge", Name: "upper end of the gauge taken for its span", X: upper(w, part(symGHigh), symGHigh)})

	of := func(span formula.Expr) formula.Expr {
		return formula.Mul(formula.Div(symAbs, span), formula.Percent100())
	}
	w.Ask("share-easy", formula.Definition{Sym: symGauge, Expr: of(loopSpan), Unit: "%", Decimals: 3}, ofSpan, carried,
		exercises.Told{ID: "own-span", Name: "percent of the gauge's span taken for percent of the loop's", X: of(s)},
		exercises.Told{ID: "hundred-forgotten", Name: "not turned into percent", X: formula.Div(symAbs, loopSpan)},
		exercises.Told{ID: "spans-turned", Name: "the two spans the wrong way round", X: signal.Referred(symAccuracy, loopSpan, s)},
		exercises.Told{ID: "unit-for-percent", Name: "the unit of the input taken for percent", X: formula.Add(symAbs, formula.Lit{})},
		exercises.Told{ID: "upper-end-loop", Name: "upper end of the loop taken for its span", X: upper(w, of(symLHigh), symLHigh)})

	askRatio(w, b, symGauge, b.share(g),
		exercises.Told{ID: "own-span-ratio", Name: "gauge not carried to the loop's span", X: signal.UncertaintyRatio(symLower, symLimit, symAccuracy)})

	met := formula.Relation{A: symRatio, Op: formula.GreaterEq, B: four}
	w.Item.Key.Env = w.Env
	err = w.Choose("four", []string{"met", "missed"},
		[]exercises.Decision{{Rel: &met, Option: "met"}, {Option: "missed"}},
		exercises.Misled{ID: "own-span-judged", Name: "judged by percent of the gauge's own span", Option: "met",
			Rel: &formula.Relation{A: signal.UncertaintyRatio(symLower, symLimit, symAccuracy), Op: formula.GreaterEq, B: four}},
		exercises.Misled{ID: "any-ratio", Name: "any ratio above 1 taken to be enough", Option: "met"},
		exercises.Misled{ID: "one-side-judged", Name: "judged by one side of the tolerance", Option: "missed",
			Rel: &formula.Relation{A: formula.Div(symLimit, formula.Mul(two, symGauge)), Op: formula.Less, B: four}},
		exercises.Misled{ID: "ratio-compared-turned", Name: "comparison turned round", Option: "missed"})
	return w.Item, err
}
