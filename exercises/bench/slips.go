package bench

import (
	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// byRow gives the formulas of a slip box by box, as grid puts them: row by row.
func (b *item) byRow(columns ...func(x int) formula.Expr) []formula.Expr {
	var out []formula.Expr
	for _, x := range b.points {
		for _, c := range columns {
			out = append(out, c(x))
		}
	}
	return out
}

func of(letter string) func(x int) formula.Expr {
	return func(x int) formula.Expr { return symAt(letter, x) }
}

// foundSlips are the misconceptions that go through the whole table as found.
func (b *item) foundSlips(key *exercises.PartKey) {
	n, u, v := of("n"), of("u"), of("v")
	needles := func(id, name string, f func(x int) formula.Expr) {
		b.ToldSlip(key, id, name, b.byRow(f, u, v)...)
	}
	volts := func(id, name string, rx, tx func(x int) formula.Expr) {
		b.ToldSlip(key, id, name, b.byRow(n, rx, tx)...)
	}
	volts("meters-swapped", "receiver and transmitter volts swapped", v, u)
	volts("milliamps-for-volts", "mA written for the receiver's volts", func(x int) formula.Expr {
		return formula.Mul(formula.Div(u(x), symRx), formula.Num(1000))
	}, v)
	volts("supply-for-transmitter", "supply volts written for the transmitter's", u, func(int) formula.Expr { return symSupply })
	needles("sides-swapped", "left and right of the needle swapped", func(x int) formula.Expr { return formula.Neg(n(x)) })
	if b.onFace(b.face().SmallPerDiv) {
		needles("marks-as-divisions", "small marks counted as divisions", func(x int) formula.Expr {
			return formula.Mul(n(x), formula.Num(int64(b.face().SmallPerDiv)))
		})
	}
	needles("percent-for-divisions", "percent of span written for divisions", func(x int) formula.Expr { return formula.Mul(n(x), symPer) })
	if b.rest != 0 && b.stays(b.rest) {
		needles("rest-left-in", "read with the mechanical zero off", func(x int) formula.Expr { return formula.Add(n(x), symRest) })
	}
	if b.cell != 0 && b.weakOnFace() {
		needles("cell-not-changed", "read with the weak cell", func(x int) formula.Expr { return formula.Add(n(x), b.weakShift(x)) })
	}
}

// onFace says whether every needle, so many times as large, still lies on the
// face: nobody reads 15 divisions off a face of 10.
func (b *item) onFace(times int) bool { return times*b.worst() <= b.face().Stop() }

// stays says whether every needle, shifted by so many marks, is off the stops.
func (b *item) stays(shift int) bool {
	for i := range b.was {
		if abs(b.was[i].Needle.Code+shift) >= b.face().Stop() {
			return false
		}
	}
	return true
}

// weakShift is what a weak cell adds to the needle at a point, in divisions: the
// reference, 1 V and 4 V more over the span, is too low by the share that the
// regulator lacks, and 4 V are the span.
func (b *item) weakShift(x int) formula.Expr {
	lacks := formula.Div(formula.Sub(symGood, symCell), symRegul)
	reference := formula.Lit{V: signal.Voltage.Low.Add(formula.Ratio(int64(4*x), 100)), Unit: "V"}
	span := formula.Lit{V: signal.Voltage.High.Sub(signal.Voltage.Low), Unit: "V"}
	return formula.Div(formula.Mul(formula.Mul(lacks, formula.Div(reference, span)), formula.Percent100()), symPer)
}

func (b *item) weakOnFace() bool {
	for i, x := range b.points {
		shift := formula.Eval(b.weakShift(x), b.env).Float64()
		if n := b.needleOf(&b.was[i]).Float64() + shift; n > float64(b.face().Divisions)-0.2 {
			return false
		}
	}
	return true
}

// leftSlips are those of the table as left.
func (b *item) leftSlips(key *exercises.PartKey) {
	a, v := of("a"), of("b")
	n, u := of("N"), of("U")
	both := func(id, name string, needle, rx func(x int) formula.Expr) {
		b.ToldSlip(key, id, name, b.byRow(needle, rx)...)
	}
	top, low := b.points[len(b.points)-1], b.points[0]
	// volts of so many divisions of error across the receiver
	volts := func(divisions formula.Expr) formula.Expr {
		return formula.Mul(formula.Mul(divisions, symPer), formula.Lit{V: formula.Ratio(4, 100), Unit: "V/%"})
	}
	both("found-for-left", "as found written once more", n, u)
	if b.level != "hard" && b.adjusts() {
		// A screw turned wrongly leaves a loop that shows what its transmitter can
		// still send, and a needle that ends at its stop.
		sent := func(id, name string, needle, rx func(x int) formula.Expr) {
			both(id, name, func(x int) formula.Expr {
				least, most := b.limits()
				p, stop := formula.Int(int64(x)), formula.Int(int64(b.face().Divisions))
				return clipped(needle(x), larger(least.Sub(p).Div(b.perDivision()), stop.Neg()), larger(most.Sub(p).Div(b.perDivision()).Neg(), stop.Neg()).Neg(), "div")
			}, func(x int) formula.Expr {
				q := b.loop.Params.Transmitter
				return clipped(rx(x), exact(q.LowMilliamp).Div(formula.Int(4)), exact(q.HighMilliamp).Div(formula.Int(4)), "V")
			})
		}
		sent("turned-wrong-way", "adjusted the wrong way",
			func(x int) formula.Expr { return formula.Sub(formula.Mul(formula.Num(2), n(x)), a(x)) },
			func(x int) formula.Expr { return formula.Sub(formula.Mul(formula.Num(2), u(x)), v(x)) })
		off := func(id, name string, taken func(x int) formula.Expr) {
			sent(id, name, func(x int) formula.Expr { return formula.Sub(n(x), taken(x)) },
				func(x int) formula.Expr { return formula.Sub(u(x), volts(taken(x))) })
		}
		off("span-turned-at-top", "the span alone turned until the top was right", func(x int) formula.Expr {
			return formula.Mul(symAt("N", top), formula.Lit{V: formula.Ratio(int64(x), int64(top))})
		})
		off("zero-turned-at-top", "the zero alone turned until the top was right", func(int) formula.Expr { return symAt("N", top) })
		off("zero-only", "only the zero adjusted", func(int) formula.Expr { return symAt("N", low) })
	}
	both("milliamps-for-volts", "mA written for the receiver's volts", a, func(x int) formula.Expr {
		return formula.Mul(formula.Div(v(x), symRx), formula.Num(1000))
	})
	both("transmitter-for-receiver", "transmitter volts written for the receiver's", a, of("V"))
	both("volts-without-zero", "volts reckoned, without the live zero", a, func(x int) formula.Expr {
		return formula.Mul(signal.OfPercent(formula.Lit{V: formula.Int(int64(x)), Unit: "%"}), formula.Lit{V: signal.Voltage.High, Unit: "V"})
	})
}

// limits are the lowest and the highest that the transmitter sends, percent of
// span.
func (b *item) limits() (least, most formula.Value) {
	q := b.loop.Params.Transmitter
	percent := func(milliamp float64) formula.Value {
		return exact(milliamp).Sub(signal.Current.Low).Mul(formula.Ratio(100, 16))
	}
	return percent(q.LowMilliamp), percent(q.HighMilliamp)
}

func (b *item) perDivision() formula.Value { return nullbalance.PerDivision(b.face()) }

// larger is the larger of two exact values.
func larger(v, w formula.Value) formula.Value {
	if v.Sub(w).Sign() < 0 {
		return w
	}
	return v
}

// clipped holds a formula between two limits.
func clipped(x formula.Expr, least, most formula.Value, unit string) formula.Expr {
	return formula.Min(formula.Max(x, formula.Lit{V: least, Unit: unit}), formula.Lit{V: most, Unit: unit})
}

// currents builds a part with currents at the given points, each a formula of
// the point.
func (b *item) currents(label, ask string, points []int, expr func(x int) formula.Expr, half formula.Value) (exercises.Part, exercises.PartKey) {
	part, key := b.pair(label, ask, points, "current", symCurrent, expr, "mA", 2, half)
	return part, key
}

// pair builds a part with one number at each of some points, and binds them.
func (b *item) pair(label, ask string, points []int, name string, sym func(int) formula.Sym, expr func(x int) formula.Expr, unit string, decimals int, half formula.Value) (exercises.Part, exercises.PartKey) {
	part := exercises.Part{Label: label, Prompt: b.Text("ask." + ask), Marks: len(points), Lines: 2}
	key := exercises.PartKey{Label: label, Working: []exercises.Step{{Text: b.Text("work." + ask)}}}
	tol := exercises.Tolerance(half, decimals)
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Input, % of range"}, {Head: b.Text("head." + ask).Plain()}}}
	env := b.env
	for i, x := range points {
		id := label
		if len(points) > 1 {
			id = label + "." + string(rune('1'+i))
		}
		def := formula.Definition{Sym: sym(x), Expr: expr(x), Unit: unit, Decimals: decimals}
		part.Boxes = append(part.Boxes, exercises.Box{ID: id, Kind: exercises.NumberBox,
			Name: name + " at " + formula.WithUnit(formula.Int(int64(x)).Text(0), "%"), Unit: unit, Decimals: decimals})
		key.Answers = append(key.Answers, exercises.Answer{Box: id, Def: def, Env: b.env, Tolerance: tol})
		key.Working = append(key.Working, exercises.Step{Def: &def, Env: b.env})
		key.Credit = append(key.Credit, exercises.Credit{Marks: 1, For: b.Text("credit.value")})
		if bound, err := def.Bind(b.env, id); err == nil {
			env = env.With(bound)
		} else {
			env = env.With(formula.Binding{Sym: sym(x), V: formula.Ratio(0, 0), From: id}) // settle throws the draw away
		}
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: formula.WithUnit(formula.Int(int64(x)).Text(0), "%")}, {Box: id}}})
	}
	key.Why = b.Text("tolerance."+ask, "tolerance", exercises.Quantity(tol, unit))
	part.Table = t
	b.env = env
	return part, key
}

// at builds the formulas of a slip at some points.
func at(points []int, f func(x int) formula.Expr) []formula.Expr {
	var out []formula.Expr
	for _, x := range points {
		out = append(out, f(x))
	}
	return out
}

// percentOf is a point as a formula.
func percentOf(x int) formula.Expr { return formula.Lit{V: formula.Int(int64(x)), Unit: "%"} }

// voltCurrents asks for currents from the receiver's volts.
func (b *item) voltCurrents(label string) (exercises.Part, exercises.PartKey) {
	points := b.points[1:2]
	if b.level != "easy" {
		points = []int{b.points[0], b.points[4]}
	}
	ask := "current-" + b.level
	milli := formula.Num(1000)
	by := func(x int) formula.Expr { return formula.Mul(formula.Div(symAt("U", x), symRx), milli) }
	// 0.01 V over 250 ohm
	half := b.tolerances().rx.Add(formula.Ratio(1, 2000)).Mul(formula.Int(4))
	part, key := b.currents(label, ask, points, by, half)
	tell := func(id, name string, f func(x int) formula.Expr) { b.ToldSlip(&key, id, name, at(points, f)...) }
	width := formula.Lit{V: signal.Current.High.Sub(signal.Current.Low), Unit: "mA"}
	one := formula.Lit{V: signal.Voltage.Low, Unit: "V"}
	four := formula.Lit{V: signal.Voltage.High.Sub(signal.Voltage.Low), Unit: "V"}
	five := formula.Lit{V: signal.Voltage.High, Unit: "V"}
	tell("live-zero-lost", "live zero lost", func(x int) formula.Expr {
		return formula.Mul(formula.Div(formula.Sub(symAt("U", x), one), four), width)
	})
	tell("share-of-five", "volts taken as a share of 5 V, of 16 mA", func(x int) formula.Expr {
		return formula.Mul(formula.Div(symAt("U", x), five), width)
	})
	tell("transmitter-volts-used", "transmitter volts over 250 Ω", func(x int) formula.Expr {
		return formula.Mul(formula.Div(symAt("V", x), symRx), milli)
	})
	tell("both-resistors", "checker's resistor added to the receiver's", func(x int) formula.Expr {
		return formula.Mul(formula.Div(symAt("U", x), formula.Add(symRx, symOwn)), milli)
	})
	return part, key
}

// needleCurrents asks, at the hard level, for the currents at both ends from the
// needle: the point of the ring and what the needle says it is off.
func (b *item) needleCurrents(label string) (exercises.Part, exercises.PartKey) {
	points := []int{b.points[0], b.points[4]}
	width := formula.Lit{V: signal.Current.High.Sub(signal.Current.Low), Unit: "mA"}
	full := formula.Lit{V: signal.Current.High, Unit: "mA"}
	zero := formula.Lit{V: signal.Current.Low, Unit: "mA"}
	share := func(x int) formula.Expr {
		return signal.OfPercent(formula.Add(percentOf(x), formula.Mul(symAt("N", x), symPer)))
	}
	part, key := b.currents(label, "current-hard", points, func(x int) formula.Expr {
		return formula.Add(zero, formula.Mul(share(x), width))
	}, b.currentHalf())
	tell := func(id, name string, f func(x int) formula.Expr) { b.ToldSlip(&key, id, name, at(points, f)...) }
	tell("live-zero-lost", "live zero lost", func(x int) formula.Expr { return formula.Mul(share(x), width) })
	tell("share-of-twenty", "percentage taken of 20 mA", func(x int) formula.Expr { return formula.Mul(share(x), full) })
	tell("upper-as-span", "20 mA taken for the span", func(x int) formula.Expr { return formula.Add(zero, formula.Mul(share(x), full)) })
	tell("needle-ignored", "needle not taken into the current", func(x int) formula.Expr {
		return formula.Add(zero, formula.Mul(signal.OfPercent(percentOf(x)), width))
	})
	tell("needle-sign", "needle taken with the wrong sign", func(x int) formula.Expr {
		return formula.Add(zero, formula.Mul(signal.OfPercent(formula.Sub(percentOf(x), formula.Mul(symAt("N", x), symPer))), width))
	})
	tell("divisions-as-percent", "divisions taken for percent", func(x int) formula.Expr {
		return formula.Add(zero, formula.Mul(signal.OfPercent(formula.Add(percentOf(x), symAt("N", x))), width))
	})
	return part, key
}

// currentHalf is what the needle as found may be off, in mA.
func (b *item) currentHalf() formula.Value {
	n := exercises.Tolerance(b.tolerances().needle, needlePlace)
	return n.Mul(nullbalance.PerDivision(b.face())).Mul(formula.Ratio(16, 100))
}

// resistance asks for the receiver's resistor as the readings at the top have it.
func (b *item) resistance(label string) (exercises.Part, exercises.PartKey) {
	top := b.points[4]
	i, milli := symCurrent(top), formula.Num(1000)
	by := func(volt, milliamp formula.Expr) formula.Expr {
		return formula.Mul(formula.Div(volt, milliamp), milli)
	}
	// At 4 V and 16 mA at the least: 0.01 V and 0.033 mA make a little over 1 ohm.
	half := formula.Ratio(3, 2)
	part, key := b.pair(label, "resistance", []int{top}, "receiver's resistor", func(int) formula.Sym { return symOhm },
		func(x int) formula.Expr { return by(symAt("U", x), i) }, "Ω", 1, half)
	zero := formula.Lit{V: signal.Current.Low, Unit: "mA"}
	one := formula.Lit{V: signal.Voltage.Low, Unit: "V"}
	b.ToldSlip(&key, "transmitter-volts-used", "transmitter volts taken", by(symAt("V", top), i))
	b.ToldSlip(&key, "zero-off-current", "live zero taken off the current alone", by(symAt("U", top), formula.Sub(i, zero)))
	b.ToldSlip(&key, "zero-off-volts", "live zero taken off the volts alone", by(formula.Sub(symAt("U", top), one), i))
	b.ToldSlip(&key, "milli-lost", "mA taken for A", formula.Div(symAt("U", top), i))
	return part, key
}

// lost asks what the supply's rating has more than what was found across
// transmitter and receiver and what checker and line take by their ohms.
func (b *item) lost(label string) (exercises.Part, exercises.PartKey) {
	points := []int{b.points[0], b.points[4]}
	drop := func(milliamp formula.Expr) formula.Expr {
		return formula.Div(formula.Mul(milliamp, formula.Add(symOwn, symLine)), formula.Num(1000))
	}
	onLine := func(milliamp formula.Expr) formula.Expr {
		return formula.Div(formula.Mul(milliamp, symLine), formula.Num(1000))
	}
	less := func(x int, takes ...formula.Expr) formula.Expr {
		e := formula.Expr(symSupply)
		for _, t := range takes {
			e = formula.Sub(e, t)
		}
		return e
	}
	tx, rx := of("V"), of("U")
	// Transmitter volts within 0.3 V, receiver volts and current add 0.02 V.
	half := exercises.Tolerance(b.tolerances().tx, txPlace).Add(formula.Ratio(2, 100))
	part, key := b.pair(label, "lost", points, "volts lost", symLost, func(x int) formula.Expr {
		return less(x, tx(x), rx(x), drop(symCurrent(x)))
	}, "V", 1, half)
	b.ToldSlip(&key, "checker-forgotten", "checker's own drop forgotten", at(points, func(x int) formula.Expr {
		return less(x, tx(x), rx(x), onLine(symCurrent(x)))
	})...)
	b.ToldSlip(&key, "transmitter-forgotten", "transmitter volts forgotten", at(points, func(x int) formula.Expr { return less(x, rx(x), drop(symCurrent(x))) })...)
	b.ToldSlip(&key, "five-at-each", "5 V taken for the checker at each point", at(points, func(x int) formula.Expr {
		return less(x, tx(x), rx(x), onLine(symCurrent(x)), formula.Lit{V: formula.Int(5), Unit: "V"})
	})...)
	b.ToldSlip(&key, "both-forgotten", "receiver and checker forgotten", at(points, func(x int) formula.Expr {
		return less(x, tx(x), onLine(symCurrent(x)))
	})...)
	return part, key
}

// which asks, at the hard level, what is the matter with the loop.
func (b *item) which(label string) (exercises.Part, exercises.PartKey, error) {
	low, top := b.points[0], b.points[4]
	above := func(a formula.Expr, limit formula.Value, unit string) *formula.Relation {
		return &formula.Relation{A: a, Op: formula.Greater, B: formula.Lit{V: limit, Unit: unit}}
	}
	// The limits lie between what a sound bench may show and the least size of
	// each fault, with the tolerances of the readings on both sides.
	decide := []exercises.Decision{
		{Option: "leak", Rel: above(symAt("N", low), formula.Ratio(7, 10), "div")},
		{Option: "resistor", Rel: above(formula.Abs(formula.Sub(symOhm, symRx)), formula.Int(4), "Ω")},
		{Option: "supply", Rel: above(symLost(low), formula.Ratio(16, 10), "V")},
		{Option: "terminal", Rel: above(symLost(top), formula.Ratio(8, 10), "V")},
		{Option: "none"},
	}
	key := exercises.PartKey{}
	right := ""
	steps := []exercises.Step{{Text: b.Text("work.which")}}
	for _, d := range decide {
		holds := true
		if d.Rel != nil {
			var err error
			if holds, err = d.Rel.Holds(b.env); err != nil {
				return exercises.Part{}, key, err
			}
			shown := *d.Rel
			if !holds {
				shown.Op = formula.LessEq
			}
			steps = append(steps, exercises.Step{Rel: &shown, Env: b.env})
		}
		if holds {
			right = d.Option
			break
		}
	}
	if right != optionOf[b.fault] {
		return exercises.Part{}, key, rejectNoRoom
	}
	steps = append(steps, exercises.Step{Text: b.Text("work.which-" + right)})
	key = b.ChoiceKey(label, right, steps...)
	key.Answers[0].Env, key.Answers[0].Decide = b.env, decide
	options := []string{"none", "terminal", "supply", "leak", "resistor"}
	for _, o := range options {
		if o != right {
			key.Slips = append(key.Slips, b.ChoiceSlip(label, "taken-for-"+o, takenFor[o], o))
		}
	}
	return b.Choice(label, "which", options...), key, nil
}

var optionOf = map[string]string{weakCell: "none", "corroded-terminal": "terminal", "low-supply": "supply",
	"moisture-across-transmitter": "leak", "drifted-resistor": "resistor"}

var takenFor = map[string]string{"none": "loop taken for sound", "terminal": "taken for resistance in the line",
	"supply": "taken for a low supply", "leak": "taken for a leak across the transmitter", "resistor": "taken for the receiver's resistor"}
