package scenarios

import (
	"fmt"

	"loopdrill/scenarios/diag"
)

// mostExercises is how many exercises a course may have, with those that a
// count makes.
const mostExercises = 400

// counted gives the exercises that one block of a course stands for: itself,
// or as many as its count says. The ids of those end in -1, -2, ..., from which
// their numbers are drawn, so that a greater count leaves the first ones as
// they were. seen holds every id of the course so far.
func (f *file) counted(x *Exercise, b *block, seen map[string]*value) []*Exercise {
	id, n := b.get("id"), max(1, b.get("count").whole)
	again := id.ok && f.again(seen, id, "exercise id")
	if n == 1 {
		return []*Exercise{x}
	}
	out := make([]*Exercise, n)
	for i := range out {
		one := *x
		one.ID, one.Title = fmt.Sprintf("%s-%d", x.ID, i+1), fmt.Sprintf("%s (%d of %d)", x.Title, i+1, n)
		out[i] = &one
		if !id.ok || again {
			continue
		}
		if first := seen[one.ID]; first != nil {
			second := first.at()
			f.r.put(diag.Diagnostic{Severity: diag.Error, Rule: RuleDuplicateName, At: id.at(), Second: &second, SecondIs: "first used here",
				Summary: fmt.Sprintf("exercise id %q, which \"count: %d\" makes of %q, is used twice", one.ID, n, x.ID), Hint: "give one of the two another id"})
			again = true
			continue
		}
		seen[one.ID] = id
	}
	return out
}
