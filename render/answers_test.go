package render

import (
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// Two answers of a slip are shown; where they are right ones (an error of 0 at
// 0 % with its sign turned, say) they would look like a mistake of ours.
func TestWrongAnswersOfASlipComeFirst(t *testing.T) {
	number := func(hundredths int64) formula.Value { return formula.Decimal(hundredths, 2) }
	key := []exercises.Answer{
		{Box: "a.1", Value: number(0)}, {Box: "a.2", Value: number(-20)}, {Box: "a.3", Stop: true},
		{Box: "a.4", Option: "void"}, {Box: "a.5", Option: "counts"},
	}
	for _, row := range []struct {
		name  string
		slip  []exercises.SlipAnswer
		first string
	}{
		{"right number", []exercises.SlipAnswer{{Box: "a.1", Value: number(0)}, {Box: "a.2", Value: number(20)}}, "a.2"},
		{"right stop", []exercises.SlipAnswer{{Box: "a.3", Stop: true}, {Box: "a.2", Value: number(20)}}, "a.2"},
		{"stop read as a number", []exercises.SlipAnswer{{Box: "a.2", Value: number(-20)}, {Box: "a.3", Value: number(-500)}}, "a.3"},
		{"right option", []exercises.SlipAnswer{{Box: "a.4", Option: "void"}, {Box: "a.5", Option: "void"}}, "a.5"},
		{"all wrong, order kept", []exercises.SlipAnswer{{Box: "a.2", Value: number(20)}, {Box: "a.1", Value: number(10)}}, "a.2"},
	} {
		s := exercises.Slip{Answers: row.slip}
		got := wrongFirst(s, key).Answers
		if len(got) != len(row.slip) || got[0].Box != row.first {
			t.Errorf("%s: begins with %s of %d answers, want %s of %d", row.name, got[0].Box, len(got), row.first, len(row.slip))
		}
	}
}
