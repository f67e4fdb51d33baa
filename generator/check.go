package generator

import (
	"slices"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// The reasons for which the generator itself throws a draw away. Families add
// their own.
const (
	RejectFewSlips   exercises.Reject = "fewer than three slips for a numeric part"
	RejectSlipAtKey  exercises.Reject = "a slip too close to the key"
	RejectSlipsMeet  exercises.Reject = "two slips too close to each other"
	RejectEdge       exercises.Reject = "a result on a rounding edge"
	RejectUndefined  exercises.Reject = "a result that does not exist"
	RejectEarlier    exercises.Reject = "a number of an earlier sitting of the same person"
	rejectBrokenForm exercises.Reject = "a malformed item" // a bug of the family; tests look for it
)

const minSlips = 3

// settle completes the item (it rounds answers, computes the slips) and checks
// the promises that hold for every family: each box has an answer, tolerances
// are at least half a unit of the last place, slips differ from the key and
// from each other by more than both tolerances, three slips a numeric part.
//
// A slip that gives exactly the right answer in this draw (an end of the range
// at 0, say) is left out: there is no wrong answer to explain. One that comes
// close without being equal rejects the draw.
func settle(item *exercises.Item) error {
	if len(item.Sheet.Parts) != len(item.Key.Parts) {
		return rejectBrokenForm
	}
	for i := range item.Key.Parts {
		if err := settlePart(&item.Sheet.Parts[i], &item.Key.Parts[i]); err != nil {
			return err
		}
	}
	return nil
}

func settlePart(part *exercises.Part, key *exercises.PartKey) error {
	if len(part.Boxes) == 0 || len(part.Boxes) != len(key.Answers) || part.Label != key.Label {
		return rejectBrokenForm
	}
	numeric := false
	for i := range key.Answers {
		a, box := &key.Answers[i], part.Boxes[i]
		if a.Box != box.ID {
			return rejectBrokenForm
		}
		switch box.Kind {
		case exercises.ChoiceBox:
			if err := settleChoice(box, a); err != nil {
				return err
			}
			continue
		case exercises.OrderBox:
			if !orderFits(box, a.Order) {
				return rejectBrokenForm
			}
			continue
		case exercises.JudgedBox:
			continue
		}
		if a.Stop {
			if !box.MayStop || a.Def.Expr != nil {
				return rejectBrokenForm
			}
			continue
		}
		numeric = true
		v, err := a.Def.Eval(a.Env).Rounded(box.Decimals)
		if err != nil {
			return asReject(err)
		}
		if err := a.Def.Printable(a.Env); err != nil {
			return asReject(err)
		}
		a.Value = v
		half := formula.Decimal(5, box.Decimals+1)
		if a.Def.Decimals != box.Decimals || a.Def.Unit != box.Unit || a.Tolerance.Sub(half).Sign() < 0 {
			return rejectBrokenForm
		}
	}
	return settleSlips(part, key, numeric)
}

// settleChoice holds the right option against the decisions that lead to it.
func settleChoice(box exercises.Box, a *exercises.Answer) error {
	if !hasOption(box, a.Option) {
		return rejectBrokenForm
	}
	if len(a.Decide) == 0 {
		return nil
	}
	for _, d := range a.Decide {
		holds := true
		if d.Rel != nil {
			var err error
			if holds, err = d.Rel.Holds(a.Env); err != nil {
				return asReject(err)
			}
		}
		if holds {
			if d.Option != a.Option {
				return rejectBrokenForm
			}
			return nil
		}
	}
	return rejectBrokenForm
}

// orderFits says whether the key of an order box names each of its steps once,
// in an order that its own pairs allow.
func orderFits(box exercises.Box, o *exercises.Order) bool {
	if o == nil || len(o.Steps) != len(box.Options) || len(o.Steps) < 2 {
		return false
	}
	for _, s := range o.Steps {
		if !hasOption(box, s) {
			return false
		}
	}
	for _, pairs := range [][][2]string{o.Before, o.Safety} {
		for _, p := range pairs {
			i, j := slices.Index(o.Steps, p[0]), slices.Index(o.Steps, p[1])
			if i < 0 || j < 0 || i >= j {
				return false
			}
		}
	}
	return true
}

// rightOrder says whether an order of all steps keeps every pair of the key.
func rightOrder(given []string, o *exercises.Order) bool {
	if len(given) != len(o.Steps) {
		return false
	}
	for _, pairs := range [][][2]string{o.Before, o.Safety} {
		for _, p := range pairs {
			if i, j := slices.Index(given, p[0]), slices.Index(given, p[1]); i < 0 || j < 0 || i >= j {
				return false
			}
		}
	}
	return true
}

func settleSlips(part *exercises.Part, key *exercises.PartKey, numeric bool) error {
	var kept []exercises.Slip
	for _, s := range key.Slips {
		same, far := true, false
		for j := range s.Answers {
			sa := &s.Answers[j]
			box, a := find(part, key, sa.Box)
			if box == nil {
				return rejectBrokenForm
			}
			switch {
			case box.Kind == exercises.ChoiceBox:
				if !hasOption(*box, sa.Option) {
					return rejectBrokenForm
				}
				if sa.Option != a.Option {
					same, far = false, true
				}
				continue
			case box.Kind == exercises.OrderBox:
				if !rightOrder(sa.Order, a.Order) {
					same, far = false, true
				}
				continue
			case box.Kind == exercises.JudgedBox || sa.Stop && !box.MayStop:
				return rejectBrokenForm
			case sa.Stop || a.Stop:
				if sa.Stop != a.Stop {
					same, far = false, true
				}
				if sa.Stop {
					continue
				}
			}
			// Two exact formulas that agree are one number; the slip then
			// shows nowhere. Otherwise it is compared as somebody would
			// write it down.
			exact := sa.Def.Eval(sa.Env)
			v, err := exact.Rounded(box.Decimals)
			if err != nil {
				return asReject(err)
			}
			sa.Value = v
			if a.Stop {
				continue
			}
			if !exact.Equal(a.Def.Eval(a.Env)) {
				same = false
			}
			if apart(v, a.Value, a.Tolerance) {
				far = true
			}
		}
		switch {
		case same:
		case !far:
			return RejectSlipAtKey
		default:
			kept = append(kept, s)
		}
	}
	for i := range kept {
		for j := range i {
			if !slipsApart(part, key, kept[i], kept[j]) {
				return RejectSlipsMeet
			}
		}
	}
	if numeric && len(kept) < minSlips {
		return RejectFewSlips
	}
	key.Slips = kept
	return nil
}

// slipsApart reports whether two slips differ in at least one box. A box that
// a slip leaves out is answered rightly.
func slipsApart(part *exercises.Part, key *exercises.PartKey, s, t exercises.Slip) bool {
	for i, box := range part.Boxes {
		a := key.Answers[i]
		x, y := answerOf(s, a), answerOf(t, a)
		switch {
		case box.Kind == exercises.ChoiceBox:
			if x.Option != y.Option {
				return true
			}
		case box.Kind == exercises.OrderBox:
			if !slices.Equal(x.Order, y.Order) {
				return true
			}
		case x.Stop || y.Stop:
			if x.Stop != y.Stop {
				return true
			}
		case apart(x.Value, y.Value, a.Tolerance):
			return true
		}
	}
	return false
}

func answerOf(s exercises.Slip, a exercises.Answer) exercises.SlipAnswer {
	for _, sa := range s.Answers {
		if sa.Box == a.Box {
			return sa
		}
	}
	right := exercises.SlipAnswer{Box: a.Box, Value: a.Value, Option: a.Option, Stop: a.Stop}
	if a.Order != nil {
		right.Order = a.Order.Steps
	}
	return right
}

// apart reports whether the windows of two answers of one box do not touch:
// |v − w| > 2 × tolerance, both tolerances being the box's.
func apart(v, w, tolerance formula.Value) bool {
	return v.Sub(w).Abs().Sub(tolerance.Add(tolerance)).Sign() > 0
}

func find(part *exercises.Part, key *exercises.PartKey, id string) (*exercises.Box, *exercises.Answer) {
	for i := range part.Boxes {
		if part.Boxes[i].ID == id {
			return &part.Boxes[i], &key.Answers[i]
		}
	}
	return nil, nil
}

func hasOption(box exercises.Box, id string) bool {
	n := 0
	for _, o := range box.Options {
		if o.ID == id {
			n++
		}
	}
	return n == 1
}

func asReject(err error) exercises.Reject {
	if err == formula.ErrEdge {
		return RejectEdge
	}
	return RejectUndefined
}
