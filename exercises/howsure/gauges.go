package howsure

import (
	"math"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/unit"
)

// gauge is a test gauge: one of the plant's, or one invented for the draw.
type gauge struct {
	name, id string
	rng      unit.Range
	accuracy formula.Value // U95 in percent of its own span
	due      string        // "2027-03-31"; the day itself still counts
}

// mantissas are the upper ends in which gauges are made, times a power of ten
// (the series R5 as it is commonly rounded for pressure gauges).
var mantissas = []int64{10, 16, 25, 40, 60}

// ends lists the upper ends of gauges from at least low up to twelve times it,
// smallest first. low must be positive.
func ends(low formula.Value) []formula.Value {
	var out []formula.Value
	for power := -3; power < 5; power++ {
		for _, m := range mantissas {
			v := formula.Int(m).Mul(formula.Int(int64(math.Pow10(max(0, power)))))
			if power < 0 {
				v = formula.Decimal(m, -power)
			}
			if v.Sub(low).Sign() >= 0 && v.Sub(low.Mul(formula.Int(12))).Sign() < 0 {
				out = append(out, v)
			}
		}
	}
	return out
}

// vacuum is the lowest gauge pressure there is, in a unit: minus 100 kPa.
func vacuum(u unit.Unit) formula.Value {
	v, err := unit.Quantity{V: formula.Int(-100), Unit: unit.Must("kPa")}.ConvertDifference(u)
	if err != nil {
		return formula.Int(-100)
	}
	return v
}

// covers says whether every point of a loop's input lies in a gauge's range.
func covers(g, loop unit.Range) bool {
	return g.Low.Sub(loop.Low).Sign() <= 0 && g.High.Sub(loop.High).Sign() >= 0
}

// ranges lists common gauge ranges that cover a loop's input with a span of
// 1.1 to 12 times the loop's: pressure gauges from 0, vacuum gauges up to 0,
// compound ones on both sides.
func ranges(loop unit.Range) []unit.Range {
	lows := []formula.Value{{}}
	if loop.Low.Sign() < 0 {
		lows = nil
		for _, v := range ends(loop.Low.Neg()) {
			if v.Neg().Sub(vacuum(loop.Unit)).Sign() >= 0 && len(lows) < 4 {
				lows = append(lows, v.Neg())
			}
		}
	}
	var out []unit.Range
	for _, low := range lows {
		highs := []formula.Value{{}}
		if loop.High.Sign() > 0 {
			highs = ends(loop.High)
		} else if low.Sign() < 0 {
			highs = append(highs, low.Neg())
			if low.Equal(vacuum(loop.Unit)) { // compound gauges are made so
				highs = append(highs, low.Mul(formula.Ratio(-6, 10)), low.Mul(formula.Ratio(-15, 10)))
			}
		}
		for _, high := range highs {
			g := madeRange(low, high, loop.Unit)
			ratio := g.Span().Div(loop.Span()).Float64()
			if covers(g, loop) && ratio >= 1.1 && ratio <= 12 {
				out = append(out, g)
			}
		}
	}
	return out
}

func madeRange(low, high formula.Value, u unit.Unit) unit.Range {
	a, _ := low.Places(3)
	b, _ := high.Places(3)
	return unit.Range{Low: low, High: high, Unit: u, Decimals: max(a, b)}
}

// tooSmall lists common gauge ranges that leave out the far end of a loop's
// input, but not more than half of it.
func tooSmall(loop unit.Range) []unit.Range {
	far := loop.High
	if far.Sign() <= 0 {
		far = loop.Low.Neg()
	}
	var out []unit.Range
	for _, v := range ends(far.Div(formula.Int(2))) {
		switch {
		case v.Sub(far.Mul(formula.Ratio(95, 100))).Sign() > 0:
		case loop.High.Sign() <= 0:
			out = append(out, madeRange(v.Neg(), formula.Value{}, loop.Unit))
		case loop.Low.Sign() < 0:
			out = append(out, madeRange(v.Neg(), v, loop.Unit))
		default:
			out = append(out, madeRange(formula.Value{}, v, loop.Unit))
		}
	}
	return out
}

// share is what a gauge takes of the loop's span, in percent, and all what it
// takes together with the checker.
func (b *bench) share(g gauge) float64 {
	return g.accuracy.Float64() * g.rng.Span().Div(b.loop.Input.Span()).Float64()
}

func (b *bench) all(g gauge) float64 { return math.Hypot(b.share(g), b.checker) }

func (b *bench) ratio(g gauge) float64 { return b.tolerance / b.all(g) }

// within draws a gauge with a ratio between two bounds, among the given ranges:
// now and then one of the plant's own, else one with the accuracy that leads
// there, in thousandths of a percent from 0.015 to 1 %.
func (b *bench) within(pick *exercises.Picker, from, to float64, among []unit.Range) (gauge, error) {
	if n := b.ownWithin(from, to); len(n) > 0 && pick.Int(4) == 0 {
		return n[pick.Int(len(n))], nil
	}
	return b.made(pick, from, to, among)
}

func (b *bench) ownWithin(from, to float64) []gauge {
	var out []gauge
	for _, g := range b.own {
		if r := b.ratio(g); covers(g.rng, b.loop.Input) && r >= from && r <= to && b.share(g) >= leastShare {
			out = append(out, g)
		}
	}
	return out
}

// leastShare is the smallest share of a gauge that is drawn, percent of the
// loop's span: below it leaving the gauge out would hardly show.
const leastShare = 0.03

func (b *bench) made(pick *exercises.Picker, from, to float64, among []unit.Range) (gauge, error) {
	type choice struct {
		rng       unit.Range
		low, high int // thousandths of a percent
	}
	var list []choice
	for _, r := range among {
		size := r.Span().Div(b.loop.Input.Span()).Float64()
		of := func(ratio float64) float64 {
			u := b.tolerance / ratio
			return math.Sqrt(max(0, u*u-b.checker*b.checker)) / size * 1000
		}
		low := int(math.Ceil(max(of(to), leastShare/size*1000)))
		c := choice{r, max(15, low), min(1000, int(math.Floor(of(from))))}
		if c.high-c.low >= 8 {
			list = append(list, c)
		}
	}
	if len(list) == 0 {
		return gauge{}, rejectGauge
	}
	c := list[pick.Int(len(list))]
	return gauge{rng: c.rng, accuracy: formula.Decimal(int64(pick.Between(c.low, c.high)), 3)}, nil
}

// The reasons for which the family throws a draw away.
const (
	rejectGauge exercises.Reject = "no gauge gives such a ratio"
	rejectPoint exercises.Reject = "no error lies clear of the limits"
)

// kindOf says in words what a made gauge is.
func kindOf(r unit.Range) string {
	switch {
	case r.Low.Sign() < 0 && r.High.Sign() <= 0:
		return "vacuum gauge"
	case r.Low.Sign() < 0:
		return "compound gauge"
	}
	return "test gauge"
}
