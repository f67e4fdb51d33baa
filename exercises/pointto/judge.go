package pointto

import (
	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// believed asks what somebody writes down who takes the needle as it stands:
// the rest is in it, and a stop counts as a reading.
func (d *drawn) believed(label string) (exercises.Part, exercises.PartKey) {
	stop := formula.Lit{V: d.stop, Unit: "div"}
	clip := func(x formula.Expr) formula.Expr {
		return formula.Max(formula.Lit{V: d.stop.Neg(), Unit: "div"}, formula.Min(stop, x))
	}
	seen := formula.Add(symMoved, symRest)
	def := formula.Definition{Sym: symBelieved, Expr: formula.Mul(clip(seen), d.per), Unit: "%", Decimals: 2}
	key := d.NumberKey(label, def, d.env, d.face.PerSmallMark.Div(formula.Int(2)), "percent", "believed")
	d.ToldSlip(&key, "true-error", "the true error given", formula.Mul(symMoved, d.per))
	d.ToldSlip(&key, "believed-sign", "sign swapped", formula.Neg(def.Expr))
	d.ToldSlip(&key, "divisions-as-percent", "divisions taken for percent", clip(seen))
	d.ToldSlip(&key, "rest-off-believed", "mechanical zero taken off", formula.Mul(clip(formula.Sub(symMoved, symRest)), d.per))
	d.ToldSlip(&key, "stop-passed", "needle thought to go beyond its stop", formula.Mul(seen, d.per))
	d.ToldSlip(&key, "rest-alone", "the mechanical zero alone given", formula.Mul(symRest, d.per))
	return d.Number(label, "believed", def, "of span"), key
}

// cause asks what moves the needle across the receiver: the current, the
// resistor, or both.
func (d *drawn) cause(label string) (exercises.Part, exercises.PartKey) {
	ideal := signal.At(signal.OfPercent(symRing), signal.Current.Zero(), signal.Current.Full())
	nominal := formula.Lit{V: formula.Int(nominalOhm), Unit: "Ω"}
	key := d.ChoiceKey(label, d.situation.cause,
		exercises.Step{Text: d.Text("work.cause-current")}, d.compare(symCurrent, ideal),
		exercises.Step{Text: d.Text("work.cause-resistor")}, d.compare(symOhm, nominal))
	for _, o := range causes {
		if o == d.situation.cause {
			continue
		}
		id, name := "both-blamed", "two causes seen where there is one"
		switch {
		case o == "transmitter":
			id, name = "transmitter-blamed", "transmitter alone blamed"
		case o == "resistor":
			id, name = "resistor-blamed", "resistor alone blamed"
		case d.situation.cause == "same-way" || d.situation.cause == "against":
			id, name = "ways-confused", "ways of two causes confused"
		}
		key.Slips = append(key.Slips, d.ChoiceSlip(label, id, name, o))
	}
	return d.Choice(label, "cause", causes...), key
}

// compare is a step that holds one quantity against another, whichever way it
// comes out.
func (d *drawn) compare(a, b formula.Expr) exercises.Step {
	rel := formula.Relation{A: a, Op: formula.Equal, B: b}
	for _, op := range []formula.RelOp{formula.Equal, formula.Less, formula.Greater} {
		rel.Op = op
		if holds, _ := rel.Holds(d.env); holds {
			break
		}
	}
	return exercises.Step{Rel: &rel, Env: d.env}
}

// verdict asks what becomes of the loop when somebody judges it by this needle
// without having looked where it rests.
func (d *drawn) verdict(label string) (exercises.Part, exercises.PartKey) {
	size := func(x formula.Expr) formula.Expr { return formula.Abs(formula.Mul(x, d.per)) }
	truth, seems := size(symMoved), size(formula.Add(symMoved, symRest))
	names := [2][2]string{{"passed-rightly", "passed-wrongly"}, {"failed-wrongly", "failed-rightly"}}
	right := names[index(d.seems)][index(d.truth)]
	key := d.ChoiceKey(label, right,
		exercises.Step{Text: d.Text("work.truth")}, d.compareLimit(truth),
		exercises.Step{Text: d.Text("work.seems")}, d.compareLimit(seems))
	limit := func(x formula.Expr, op formula.RelOp) *formula.Relation {
		return &formula.Relation{A: x, Op: op, B: symLimit}
	}
	key.Answers[0].Env = d.env
	key.Answers[0].Decide = []exercises.Decision{
		{Rel: limit(formula.Max(truth, seems), formula.LessEq), Option: "passed-rightly"},
		{Rel: limit(formula.Min(truth, seems), formula.Greater), Option: "failed-rightly"},
		{Rel: limit(truth, formula.LessEq), Option: "failed-wrongly"},
		{Option: "passed-wrongly"},
	}
	for i, row := range names {
		for j, o := range row {
			seems, truth := i == 1, j == 1
			id, name := "both-verdicts-turned", "both verdicts turned round"
			switch {
			case o == right:
				continue
			case seems == d.seems:
				id, name = "needle-believed", "needle taken for the truth, or the truth for wrong"
			case truth == d.truth:
				id, name = "rest-overlooked", "verdict of the needle taken from the true error"
			}
			key.Slips = append(key.Slips, d.ChoiceSlip(label, id, name, o))
		}
	}
	return d.Choice(label, "verdict", "passed-rightly", "passed-wrongly", "failed-rightly", "failed-wrongly"), key
}

func (d *drawn) compareLimit(x formula.Expr) exercises.Step {
	rel := formula.Relation{A: x, Op: formula.LessEq, B: symLimit}
	if holds, _ := rel.Holds(d.env); !holds {
		rel.Op = formula.Greater
	}
	return exercises.Step{Rel: &rel, Env: d.env}
}
