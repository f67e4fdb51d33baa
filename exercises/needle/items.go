package needle

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

// The symbols of the family: n what the needle shows, m where it rests, N what
// is left, e the error, k the ring's point, tol the loop's tolerance.
const (
	symNeedle formula.Sym = "n"
	symRest   formula.Sym = "m"
	symTrue   formula.Sym = "N"
	symError  formula.Sym = "e"
	symRing   formula.Sym = "k"
	symLimit  formula.Sym = "tol"

	// As read by somebody who takes small marks for tenths.
	symNeedleTenths formula.Sym = "n_tenths"
	symRestTenths   formula.Sym = "m_tenths"
)

// drawn is what both kinds of item are built from.
type drawn struct {
	exercises.Composer
	reading
	perExpr formula.Expr // percent of span of one division
	five    formula.Expr // small marks in a division
	span    formula.Expr // of the signal
	env     formula.Env
	level   string
}

func (p *plan) prepareItem(r reading) drawn {
	per := nullbalance.PerDivision(r.face)
	tk, _ := r.loop.Tolerance.Places(3)
	d := drawn{reading: r, level: p.exercise.Level,
		perExpr: formula.Lit{V: per, Unit: "%/div"},
		five:    formula.Num(int64(r.face.SmallPerDiv)),
		span:    formula.Sub(r.signal.Full(), r.signal.Zero()),
	}
	d.Prompts = prompts
	d.Words = []string{
		"tag", r.loop.Tag, "service", r.loop.Service, "x", fmt.Sprint(r.x), "ring", fmt.Sprint(r.ring),
		"input", nullbalance.InputText(r.loop, r.x),
		"tolerance", "± " + exercises.Quantity(r.loop.Tolerance, "%"),
		"reading", nullbalance.Words(r.face, r.needle), "rest", nullbalance.Words(r.face, loop.Needle{Code: r.rest}),
		"perdivision", exercises.Quantity(per, "%"),
		"unit", r.signal.Unit, "span", exercises.Quantity(r.signal.High.Sub(r.signal.Low), r.signal.Unit),
		"zero", exercises.Quantity(r.signal.Low, r.signal.Unit),
	}
	d.env = formula.Env{
		{Sym: symNeedle, V: nullbalance.Divisions(r.face, r.needle.Code), Unit: "div", Decimals: 1},
		{Sym: symRest, V: nullbalance.Divisions(r.face, r.rest), Unit: "div", Decimals: 1},
		{Sym: symNeedleTenths, V: nullbalance.Tenths(r.face, r.needle.Code), Unit: "div", Decimals: 1},
		{Sym: symRestTenths, V: nullbalance.Tenths(r.face, r.rest), Unit: "div", Decimals: 1},
		{Sym: symRing, V: formula.Int(int64(r.ring)), Unit: "%"},
		{Sym: symLimit, V: r.loop.Tolerance, Unit: "%", Decimals: tk},
	}.With(r.signal.Bind()...)
	return d
}

func (p *plan) newItem(d *drawn, intro string) exercises.Item {
	var item exercises.Item
	s := &item.Sheet
	s.Title, s.Intro, s.Cautions = p.exercise.Title, d.Text(intro), nullbalance.Cautions()
	lever := "Current"
	if d.set.Place == loop.AcrossReceiver {
		lever = "Voltage"
	}
	face := func(id string, n loop.Needle) exercises.Figure {
		return exercises.Figure{ID: id, Caption: prompts.Text("face." + id),
			Face: &exercises.Face{Design: d.face, Lever: lever, Ring: d.ring, Needle: n, CellLine: true}}
	}
	if d.level != "easy" {
		s.Figures = append(s.Figures, face("rest", loop.Needle{Code: d.rest}))
	}
	s.Figures = append(s.Figures, face("reading", d.needle))
	item.Key.Env = d.env
	item.Key.Fault = nullbalance.FaultWords(d.set, d.face)
	item.Key.FaultName = d.fault
	return item
}

// side is a part whose answer follows from the side on which the needle stands
// of where it rests: one option for an output that is low, one for a high one.
// Each option has its own line of working, or all have that of the question.
func (d *drawn) side(label, ask, low, high, slip, slipName string) (exercises.Part, exercises.PartKey) {
	rel := formula.Relation{A: symNeedle, Op: formula.Less, B: symRest}
	right, wrong := low, high
	if holds, _ := rel.Holds(d.env); !holds {
		right, wrong = wrong, right
		rel.Op = formula.Greater
	}
	work := "work." + ask
	if prompts.Entry(work) == nil {
		work = "work." + right
	}
	key := d.ChoiceKey(label, right, exercises.Step{Text: d.Text(work)}, exercises.Step{Rel: &rel, Env: d.env})
	key.Slips = []exercises.Slip{d.ChoiceSlip(label, slip, slipName, wrong)}
	return d.Choice(label, ask, low, high), key
}

// direction is the part that asks for the side of the output.
func (d *drawn) direction(label string) (exercises.Part, exercises.PartKey) {
	return d.side(label, "direction", "low", "high", "direction-swapped", "sides of the needle swapped")
}

// readingItem builds the exercise with a needle that can be read.
func (p *plan) readingItem(r reading) exercises.Item {
	d := p.prepareItem(r)
	intro := "intro.current"
	if r.set.Place == loop.AcrossReceiver {
		intro = "intro.voltage"
	}
	item := p.newItem(&d, intro)
	item.Add(d.direction("a"))

	divisions := formula.Definition{Sym: symTrue, Expr: formula.Sub(symNeedle, symRest), Unit: "div", Decimals: 1}
	item.Add(d.divisions("b", divisions))

	// The error goes on from the divisions of (b), the output from the error.
	// Neither binding can fail: both are exact.
	bound, _ := divisions.Bind(d.env, "b")
	env := d.env.With(bound)
	e := formula.Definition{Sym: symError, Expr: formula.Mul(symTrue, d.perExpr), Unit: "%", Decimals: 2}
	item.Add(d.error("c", e, env))

	bound, _ = e.Bind(env, "c")
	env = env.With(bound)
	item.Add(d.output("d", "output", env))
	if d.level != "easy" {
		item.Add(d.verdict("e", env))
	}
	if d.level == "hard" {
		item.Add(d.nextPoint("f"))
	}
	return item
}

// tenthsShow says whether counting small marks as tenths gives an answer that
// can be told from the right one. Otherwise such an answer is right within the
// tolerance, or wrong without being explained.
func (d *drawn) tenthsShow(half formula.Value) bool {
	right := nullbalance.Divisions(d.face, d.needle.Code-d.rest)
	wrong := nullbalance.Tenths(d.face, d.needle.Code).Sub(nullbalance.Tenths(d.face, d.rest))
	twice := exercises.Tolerance(half, 1).Mul(formula.Int(2))
	return right.Sub(wrong).Abs().Sub(twice).Sign() > 0
}

func (d *drawn) divisions(label string, def formula.Definition) (exercises.Part, exercises.PartKey) {
	half := formula.Ratio(1, int64(2*d.face.SmallPerDiv))
	work := "divisions"
	if d.level == "easy" {
		work = "divisions-easy"
	}
	key := d.NumberKey(label, def, d.env, half, "divisions", work)
	left := def.Expr
	d.NumberSlip(&key, "sign", "sign swapped", formula.Sub(symRest, symNeedle))
	d.NumberSlip(&key, "marks-as-divisions", "small marks counted as divisions", formula.Mul(left, d.five))
	// Counted from the end of the scale on the needle's side, and the rest
	// taken off as it should be.
	end := formula.Lit{V: formula.Int(int64(d.face.Divisions)), Unit: "div"}
	fromEnd := formula.Sub(end, symNeedle)
	if d.needle.Code < 0 {
		fromEnd = formula.Neg(formula.Add(end, symNeedle))
	}
	d.NumberSlip(&key, "from-the-end", "counted from the end of the scale", formula.Sub(fromEnd, symRest))
	if d.tenthsShow(half) {
		d.NumberSlip(&key, "marks-as-tenths", "small marks counted as tenths of a division", formula.Sub(symNeedleTenths, symRestTenths))
	}
	if d.rest != 0 {
		d.NumberSlip(&key, "rest-left-in", "mechanical zero not taken off", symNeedle)
		d.NumberSlip(&key, "rest-added", "mechanical zero added", formula.Add(symNeedle, symRest))
	}
	return d.Number(label, "divisions", def, ""), key
}

func (d *drawn) error(label string, def formula.Definition, env formula.Env) (exercises.Part, exercises.PartKey) {
	key := d.NumberKey(label, def, env, d.halfMark(), "error", "error")
	d.NumberSlip(&key, "sign", "sign swapped", formula.Neg(def.Expr))
	d.NumberSlip(&key, "divisions-as-percent", "divisions taken for percent", symTrue)
	d.NumberSlip(&key, "error-in-signal", "error given in the signal's unit", formula.Mul(signal.OfPercent(def.Expr), d.span))
	d.NumberSlip(&key, "marks-for-percent", "small marks taken for divisions", formula.Mul(formula.Mul(symTrue, d.five), d.perExpr))
	return d.Number(label, "error", def, "of span"), key
}

// output is the part that asks for the signal at which the error puts the
// output; env holds the error.
func (d *drawn) output(label, ask string, env formula.Env) (exercises.Part, exercises.PartKey) {
	s := d.signal
	at := func(percent formula.Expr) formula.Expr {
		return signal.At(signal.OfPercent(percent), s.Zero(), s.Full())
	}
	stands := formula.Add(symRing, symError)
	def := formula.Definition{Sym: s.Sym(), Expr: at(stands), Unit: s.Unit, Decimals: 3}
	half := d.halfMark().Div(formula.Int(100)).Mul(s.High.Sub(s.Low))
	key := d.NumberKey(label, def, env, half, "output", "output")
	d.NumberSlip(&key, "error-wrong-way", "went the wrong way from the point", at(formula.Sub(symRing, symError)))
	d.NumberSlip(&key, "live-zero-forgotten", "live zero forgotten", formula.Mul(signal.OfPercent(stands), d.span))
	d.NumberSlip(&key, "percent-as-signal", "percent added as if it were the signal's unit", formula.Add(at(symRing), symError))
	d.NumberSlip(&key, "divisions-for-percent-out", "divisions taken for percent",
		at(formula.Add(symRing, formula.Div(symError, d.perExpr))))
	return d.Number(label, ask, def, ""), key
}

// verdict is the part that compares the error with the tolerance.
func (d *drawn) verdict(label string, env formula.Env) (exercises.Part, exercises.PartKey) {
	rel := formula.Relation{A: formula.Abs(symError), Op: formula.LessEq, B: symLimit}
	right, wrong := "within", "outside"
	if holds, _ := rel.Holds(env); !holds {
		right, wrong = wrong, right
		rel.Op = formula.Greater
	}
	key := d.ChoiceKey(label, right, exercises.Step{Text: d.Text("work.verdict")}, exercises.Step{Rel: &rel, Env: env})
	// The first misconception that leads to the wrong answer here.
	e, _ := env.Lookup(symError)
	for _, w := range []struct {
		id, name string
		x        formula.Expr
	}{
		{"sign-compared", "error compared with its sign", symError},
		{"divisions-compared", "divisions compared with percent", formula.Abs(symTrue)},
		{"signal-compared", "signal compared with percent", formula.Abs(formula.Mul(signal.OfPercent(symError), d.span))},
		{"verdict-turned", "comparison turned round", nil},
	} {
		if w.x == nil {
			key.Slips = []exercises.Slip{d.ChoiceSlip(label, w.id, w.name, wrong)}
			break
		}
		seems, err := (formula.Relation{A: w.x, Op: formula.LessEq, B: symLimit}).Holds(env)
		if err == nil && seems == (wrong == "within") {
			key.Slips = []exercises.Slip{d.ChoiceSlip(label, w.id, w.name, wrong, "error", formula.WithUnit(e.V.Text(2), "%"))}
			break
		}
	}
	return d.Choice(label, "verdict", "within", "outside"), key
}

// stopItem builds the exercise with the needle on its stop: which limit that
// gives.
func (p *plan) stopItem(r reading) exercises.Item {
	d := p.prepareItem(r)
	item := p.newItem(&d, "intro.stop")
	item.Add(d.direction("a"))

	limit := formula.Definition{Sym: symError, Expr: formula.Mul(formula.Sub(symNeedle, symRest), d.perExpr), Unit: "%", Decimals: 2}
	key := d.NumberKey("b", limit, d.env, d.halfMark(), "error", "limit")
	d.NumberSlip(&key, "sign", "sign swapped", formula.Neg(limit.Expr))
	d.NumberSlip(&key, "stop-divisions", "divisions taken for percent", formula.Sub(symNeedle, symRest))
	d.NumberSlip(&key, "error-in-signal", "error given in the signal's unit", formula.Mul(signal.OfPercent(limit.Expr), d.span))
	if d.rest != 0 {
		d.NumberSlip(&key, "rest-left-in", "mechanical zero not taken off", formula.Mul(symNeedle, d.perExpr))
		d.NumberSlip(&key, "rest-added", "mechanical zero added", formula.Mul(formula.Add(symNeedle, symRest), d.perExpr))
	}
	item.Add(d.Number("b", "limit", limit, "of span"), key)

	bound, _ := limit.Bind(d.env, "b")
	item.Add(d.output("c", "limit-output", d.env.With(bound)))
	item.Add(d.ringPart("d"))
	return item
}

// ringPart asks which way the ring is clicked to bring the needle off its stop.
func (d *drawn) ringPart(label string) (exercises.Part, exercises.PartKey) {
	return d.side(label, "ring", "ring-down", "ring-up", "ring-wrong-way", "ring clicked the wrong way")
}

// halfMark is half a small mark in percent of span.
func (d *drawn) halfMark() formula.Value { return d.face.PerSmallMark.Div(formula.Int(2)) }

// The places of a needle in the part about the next point.
const (
	leftStop   = "left-stop"
	leftHand   = "left"
	rightHand  = "right"
	rightStop  = "right-stop"
	ringPoints = 5 // percent of span from one click of the ring to the next
)

// nextPoint asks what the needle does at the neighbouring point of the ring:
// it goes by five percent of span the other way.
func (d *drawn) nextPoint(label string) (exercises.Part, exercises.PartKey) {
	step := formula.Lit{V: formula.Int(ringPoints).Div(nullbalance.PerDivision(d.face)), Unit: "div"}
	stop := formula.Lit{V: formula.Int(int64(d.face.Divisions)), Unit: "div"}
	ask, moved := "next-up", formula.Sub(symNeedle, step)
	stays, offFace, other, otherStop := leftHand, leftStop, rightHand, rightStop
	reaches := formula.Relation{A: moved, Op: formula.LessEq, B: formula.Neg(stop)}
	if d.down {
		ask, moved = "next-down", formula.Add(symNeedle, step)
		stays, offFace, other, otherStop = other, otherStop, stays, offFace
		reaches = formula.Relation{A: moved, Op: formula.GreaterEq, B: stop}
	}
	decide := []exercises.Decision{{Rel: &reaches, Option: offFace}, {Option: stays}}
	shown := reaches
	right := offFace
	if onStop, _ := reaches.Holds(d.env); !onStop {
		right = stays
		shown.Op = map[formula.RelOp]formula.RelOp{formula.LessEq: formula.Greater, formula.GreaterEq: formula.Less}[shown.Op]
	}
	unmoved := leftHand
	if d.needle.Code > 0 {
		unmoved = rightHand
	}
	// As if the needle went with the ring.
	back, wrong := other, nullbalance.Divisions(d.face, d.needle.Code).Add(step.V)
	if d.down {
		wrong = nullbalance.Divisions(d.face, d.needle.Code).Sub(step.V)
	}
	if wrong.Abs().Sub(stop.V).Sign() >= 0 {
		back = otherStop
	}
	key := d.ChoiceKey(label, right, exercises.Step{Text: d.Text("work." + ask)}, exercises.Step{Rel: &shown, Env: d.env})
	key.Answers[0].Env, key.Answers[0].Decide = d.env, decide
	taken := map[string]bool{right: true}
	for _, s := range []struct{ id, name, option string }{
		{"needle-with-ring", "needle taken to follow the ring", back},
		{"stop-not-seen", "stop not thought of", stays},
		{"needle-unmoved", "needle taken to stay where it is", unmoved},
		{"stop-by-habit", "always on a stop at the next point", offFace},
		{"stop-wrong-side", "on the stop of the wrong side", otherStop},
		{"side-swapped", "sides of the needle swapped", other},
	} {
		if !taken[s.option] {
			taken[s.option] = true
			key.Slips = append(key.Slips, d.ChoiceSlip(label, s.id, s.name, s.option))
		}
	}
	return d.Choice(label, ask, leftStop, leftHand, rightHand, rightStop), key
}
