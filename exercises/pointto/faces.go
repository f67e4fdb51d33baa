package pointto

import (
	"fmt"
	"math"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

// candidate is a needle that a slip leads to.
type candidate struct {
	id, name string
	x        formula.Expr // divisions from the centre, as if there were no stops
}

// apartMarks is how far two of the drawn needles stand apart at least.
const apartMarks = 3

// candidates lists the wrong needles; mv is by how much the output moves the
// needle.
func (d *drawn) candidates(mv formula.Expr) []candidate {
	rest := func(x formula.Expr) formula.Expr {
		if d.rest == 0 {
			return x
		}
		return formula.Add(x, symRest)
	}
	five := formula.Num(int64(d.face.SmallPerDiv))
	out := []candidate{
		{"sides-swapped", "sides of the needle swapped", rest(formula.Neg(mv))},
		{"percent-as-divisions", "percent taken for divisions", rest(formula.Mul(mv, d.per))},
		{"divisions-as-marks", "divisions counted as small marks", rest(formula.Div(mv, five))},
		{"marks-as-divisions", "small marks counted as divisions", rest(formula.Mul(mv, five))},
		{"of-upper", "error of the upper end", rest(formula.Mul(mv, formula.Div(d.width(), d.signal.Full())))},
	}
	if d.rest != 0 {
		out = append(out,
			candidate{"rest-left-out", "mechanical zero left out", mv},
			candidate{"rest-taken-off", "mechanical zero taken off", formula.Sub(mv, symRest)})
	}
	if d.known == asError {
		return out
	}
	given := formula.Expr(d.signal.Sym())
	off := formula.Sub(given, d.ideal())
	out = append(out,
		candidate{"of-reading", "error of the reading", rest(formula.Div(formula.Mul(formula.Div(off, d.ideal()), formula.Percent100()), d.per))},
		candidate{"dead-zero-error", "percentage of the upper end less the ring's point", rest(formula.Div(formula.Sub(
			formula.Mul(formula.Div(given, d.signal.Full()), formula.Percent100()), symRing), d.per))})
	if d.known == resistor {
		volts := func(milliamp, ohm formula.Expr) formula.Expr {
			return rest(formula.Div(formula.Mul(formula.Div(formula.Sub(signal.Drop(milliamp, ohm), d.ideal()), d.width()), formula.Percent100()), d.per))
		}
		ideal := signal.At(signal.OfPercent(symRing), signal.Current.Zero(), signal.Current.Full())
		out = append(out,
			candidate{"nominal-resistor", "resistor taken for 250 Ω", volts(symCurrent, formula.Num(nominalOhm))},
			candidate{"ideal-current", "right current taken for the one that flows", volts(ideal, symOhm)})
	}
	return out
}

// needleAt is the needle at a place in divisions. It is false where the place
// lies too near to the middle between two marks to be drawn on one of them.
func (d *drawn) needleAt(x formula.Expr) (loop.Needle, bool) {
	at := float64(formula.Eval(x, d.env).Float64() * float64(d.face.SmallPerDiv)) // rounded before it is gone on with
	stop := d.face.Stop()
	switch {
	case at != at:
		return loop.Needle{}, false
	case at >= float64(stop):
		return loop.Needle{Code: stop, Stop: loop.RightStop}, true
	case at <= -float64(stop):
		return loop.Needle{Code: -stop, Stop: loop.LeftStop}, true
	}
	part := at - math.Floor(at)
	code := int(math.Floor(at + 0.5))
	return loop.Needle{Code: code}, math.Abs(part-0.5) > 0.1 && max(code, -code) <= mostShown
}

// faces adds the part that asks which of four faces is right. The wrong ones
// are drawn among the slips whose needles can be told apart, the places of all
// four by a shuffle.
func (d *drawn) faces(pick *exercises.Picker, item *exercises.Item, label string, mv formula.Expr) error {
	type option struct {
		candidate
		needle loop.Needle
	}
	all := []option{{needle: d.needle}}
	list := d.candidates(mv)
	for _, i := range pick.Shuffle(len(list)) {
		n, ok := d.needleAt(list[i].x)
		for _, o := range all {
			ok = ok && max(n.Code-o.needle.Code, o.needle.Code-n.Code) >= apartMarks
		}
		if ok && len(all) < 4 {
			all = append(all, option{list[i], n})
		}
	}
	if len(all) < 4 {
		return rejectFaces
	}
	box := exercises.Box{ID: label, Kind: exercises.ChoiceBox, Name: d.Text("ask.face").Plain()}
	points := formula.Definition{Sym: symPoints, Expr: mv, Unit: "div", Decimals: 1}
	if d.rest != 0 {
		points.Expr = formula.Add(mv, symRest)
	}
	right := ""
	var decide []exercises.Decision
	var slips []exercises.Slip
	for place, i := range pick.Shuffle(4) {
		o, id := all[i], fmt.Sprintf("face-%d", place+1)
		item.Sheet.Figures = append(item.Sheet.Figures, d.figure(id, o.needle))
		box.Options = append(box.Options, exercises.Option{ID: id, Figure: id})
		decide = append(decide, exercises.Decision{Rel: d.pointsAt(points.Expr, o.needle), Option: id})
		if i == 0 {
			right = id
			continue
		}
		slips = append(slips, exercises.Slip{ID: o.id, Name: o.name, Feedback: d.Text("slip." + o.id),
			Answers: []exercises.SlipAnswer{{Box: label, Option: id}}})
	}
	part := exercises.Part{Label: label, Prompt: d.Text("ask.face"), Marks: 1, Boxes: []exercises.Box{box}}
	work := "face"
	if d.rest == 0 {
		work = "face-easy"
	}
	key := d.ChoiceKey(label, right, exercises.Step{Text: d.Text("work." + work)}, exercises.Step{Def: &points, Env: d.env})
	if d.needle.Stop != loop.NoStop {
		key.Working = append(key.Working, exercises.Step{Text: d.Text("work.stop")})
	} else {
		key.Working = append(key.Working, exercises.Step{Text: d.Text("work.mark", "reading", nullbalance.Words(d.face, d.needle))})
	}
	key.Answers[0].Env, key.Answers[0].Decide = d.env, decide
	key.Slips = slips
	item.Add(part, key)
	return nil
}

// pointsAt says that a needle that goes to x is drawn as n: within half a small
// mark of it, or from half a small mark before the stop on.
func (d *drawn) pointsAt(x formula.Expr, n loop.Needle) *formula.Relation {
	lit := func(v formula.Value) formula.Expr { return formula.Lit{V: v, Unit: "div"} }
	switch n.Stop {
	case loop.RightStop:
		return &formula.Relation{A: x, Op: formula.GreaterEq, B: lit(d.stop.Sub(d.half))}
	case loop.LeftStop:
		return &formula.Relation{A: x, Op: formula.LessEq, B: lit(d.half.Sub(d.stop))}
	}
	at := lit(nullbalance.Divisions(d.face, n.Code))
	return &formula.Relation{A: formula.Abs(formula.Sub(x, at)), Op: formula.LessEq, B: lit(d.half)}
}
