package marking

import (
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/shipped"
)

// written is a definition's value as somebody would write it down.
func written(t *testing.T, def formula.Definition, env formula.Env) string {
	t.Helper()
	v := def.Eval(env)
	if !v.Defined() {
		t.Fatalf("%s is not defined", def.Sym)
	}
	return v.Text(def.Decimals)
}

// TestShippedExercises marks items of every exercise that is shipped: their
// own keys earn full marks, and an apprentice who makes one slip and is
// otherwise right gets it named wherever the answer is wrong.
func TestShippedExercises(t *testing.T) {
	fsys, err := shipped.Course(shipped.Default)
	if err != nil {
		t.Fatal(err)
	}
	course, ds := scenarios.ReadCourse(fsys, families.Vocabulary())
	if course == nil {
		t.Fatal(ds)
	}
	const draws = 60
	slipped, named, wrong := 0, 0, 0
	for _, e := range course.Exercises {
		plan, ds := families.Named(e.Family).Prepare(e)
		if plan == nil {
			t.Fatalf("%s: %v", e.ID, ds)
		}
		good := 0
		for i := uint64(0); good < draws && i < 20*draws; i++ {
			item, err := plan.Item(i * 0x9e3779b97f4a7c15)
			if _, rejected := err.(exercises.Reject); rejected {
				continue
			}
			if err != nil {
				t.Fatal(err)
			}
			good++
			right := map[string]string{}
			marks := 0
			for p, k := range item.Key.Parts {
				marks += item.Sheet.Parts[p].Marks
				for _, a := range k.Answers {
					if right[a.Box] = a.Option; a.Option == "" {
						right[a.Box] = written(t, a.Def, a.Env)
					}
				}
			}
			r, err := MarkItem(item, right, Terms{})
			if err != nil {
				t.Fatalf("%s: %v", e.ID, err)
			}
			if r.Least != marks || r.Most != marks {
				t.Fatalf("%s: its own key earns %d to %d of %d", e.ID, r.Least, r.Most, marks)
			}
			for p, k := range item.Key.Parts {
				for _, s := range k.Slips {
					given := map[string]string{}
					for id, text := range right {
						given[id] = text
					}
					for _, a := range s.Answers {
						if given[a.Box] = a.Option; a.Option == "" {
							given[a.Box] = written(t, a.Def, a.Env)
						}
					}
					r, err := MarkItem(item, given, Terms{})
					if err != nil {
						t.Fatalf("%s: %v", e.ID, err)
					}
					slipped++
					for _, b := range r.Parts[p].Boxes {
						if b.Verdict != Wrong {
							continue
						}
						wrong++
						for _, match := range b.Slips {
							if match.ID == s.ID {
								named++
							}
						}
					}
				}
			}
		}
		if good < draws {
			t.Errorf("%s: only %d draws", e.ID, good)
		}
	}
	if wrong == 0 || named != wrong {
		t.Errorf("%d slips made: %d of %d wrong answers named by theirs", slipped, named, wrong)
	}
	t.Logf("%d slips made: %d of %d wrong answers named by theirs", slipped, named, wrong)
}
