package marking

import (
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// Two slips that write the same number into one box are told apart by the other
// box. Right are 1 and 2; the slip "both" writes 5 and 7, the slip "second" 7 into
// the second box alone, the slip "same" 7 into the second box and the right
// number, by a formula of its own, into the first.
func TestSlipsByWholePart(t *testing.T) {
	def := func(n int64) formula.Definition {
		return formula.Definition{Sym: "x", Expr: formula.Num(n), Unit: "%", Decimals: 0}
	}
	half := formula.Decimal(5, 1)
	slip := func(id string, a ...exercises.SlipAnswer) exercises.Slip {
		return exercises.Slip{ID: id, Name: id, Answers: a}
	}
	make := func(slips ...exercises.Slip) exercises.Item {
		var item exercises.Item
		item.Add(exercises.Part{Label: "a", Marks: 2, Boxes: []exercises.Box{{ID: "a.1", Kind: exercises.NumberBox, Unit: "%"}, {ID: "a.2", Kind: exercises.NumberBox, Unit: "%"}}},
			exercises.PartKey{Label: "a", Slips: slips, Answers: []exercises.Answer{{Box: "a.1", Def: def(1), Tolerance: half}, {Box: "a.2", Def: def(2), Tolerance: half}}})
		return item
	}
	both := slip("both", exercises.SlipAnswer{Box: "a.1", Def: def(5)}, exercises.SlipAnswer{Box: "a.2", Def: def(7)})
	second := slip("second", exercises.SlipAnswer{Box: "a.2", Def: def(7)})
	same := slip("same", exercises.SlipAnswer{Box: "a.1", Def: def(1)}, exercises.SlipAnswer{Box: "a.2", Def: def(7)})
	for _, row := range []struct {
		name, given, want string
		item              exercises.Item
	}{
		{"both boxes wrong", "a.1=5 a.2=7", "both", make(both, second)},
		{"the first right", "a.1=1 a.2=7", "second", make(both, second)},
		{"the first left blank says nothing", "a.2=7", "both second", make(both, second)},
		{"the first wrong in another way: either", "a.1=9 a.2=7", "both second", make(both, second)},
		{"two give all: either", "a.1=1 a.2=7", "both second same", make(both, second, same)},
	} {
		r, err := MarkItem(row.item, answers(row.given+" "), Terms{})
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, s := range r.Parts[0].Boxes[1].Slips {
			got = append(got, s.ID)
		}
		if s := strings.Join(got, " "); s != row.want {
			t.Errorf("%s: %q, want %q", row.name, s, row.want)
		}
	}
}
