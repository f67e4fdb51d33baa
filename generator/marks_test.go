package generator

import (
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// TestMarksOfTheCourse gives every exercise of the test course twice and three
// times the marks of its family, and holds that all of it is multiplied alike
// and nothing else changes.
func TestMarksOfTheCourse(t *testing.T) {
	src := Source{Seed: "marks"}
	plain := testDrawer(t)
	for _, times := range []int{1, 2, 3} {
		course := testCourse()
		for i, p := range plain.plans {
			// Parts and their marks may differ between draws: the least number
			// that all of them go into.
			least := 1
			for form := range 100 {
				item, err := p.draw(src.points("test-course", p.exercise.ID, p.version, Which{Number: form + 1}), nil, nil)
				if err != nil {
					t.Fatal(err)
				}
				least = least / gcd(least, marksOf(&item)) * marksOf(&item)
			}
			course.Exercises[i].Marks = times * least
		}
		d, ds := Prepare(course, families.Named)
		for _, x := range ds {
			if x.Severity == diag.Error {
				t.Fatal(x.Summary)
			}
		}
		for i, p := range d.plans {
			a, err := plain.plans[i].draw(src.points("test-course", p.exercise.ID, p.version, Which{Number: 1}), nil, nil)
			if err != nil {
				t.Fatal(err)
			}
			b, err := p.draw(src.points("test-course", p.exercise.ID, p.version, Which{Number: 1}), nil, nil)
			if err != nil {
				t.Fatal(err)
			}
			if got := marksOf(&b); got != p.exercise.Marks {
				t.Errorf("%s: worth %d, the course says %d", p.exercise.ID, got, p.exercise.Marks)
			}
			checkWeighed(t, p.exercise, a, b, p.exercise.Marks/marksOf(&a))
		}
	}
}

func checkWeighed(t *testing.T, e *scenarios.Exercise, a, b exercises.Item, times int) {
	t.Helper()
	for i := range a.Sheet.Parts {
		if b.Sheet.Parts[i].Marks != times*a.Sheet.Parts[i].Marks {
			t.Errorf("%s part %d: %d marks from %d", e.ID, i, b.Sheet.Parts[i].Marks, a.Sheet.Parts[i].Marks)
		}
		ka, kb, sum := a.Key.Parts[i], b.Key.Parts[i], 0
		for j, c := range kb.Credit {
			sum += c.Marks
			if c.Marks != times*ka.Credit[j].Marks {
				t.Errorf("%s part %d: credit of %d from %d", e.ID, i, c.Marks, ka.Credit[j].Marks)
			}
		}
		if sum != b.Sheet.Parts[i].Marks {
			t.Errorf("%s part %d: credit adds up to %d of %d", e.ID, i, sum, b.Sheet.Parts[i].Marks)
		}
		shares := 0
		for j, x := range kb.Answers {
			shares += x.Marks
			if x.Marks != times*ka.Answers[j].Marks {
				t.Errorf("%s part %d: box of %d from %d", e.ID, i, x.Marks, ka.Answers[j].Marks)
			}
		}
		if shares != 0 && shares != sum {
			t.Errorf("%s part %d: boxes share %d of %d", e.ID, i, shares, sum)
		}
		if kb.UnitMark != times*ka.UnitMark {
			t.Errorf("%s part %d: unit mark %d from %d", e.ID, i, kb.UnitMark, ka.UnitMark)
		}
		// With the marks taken back, the two are one.
		b.Sheet.Parts[i].Marks = a.Sheet.Parts[i].Marks
	}
	if x, y := itemPrint(exercises.Drawn{Exercise: e, Item: a}), itemPrint(exercises.Drawn{Exercise: e, Item: b}); x != y {
		t.Errorf("%s: more than the marks has changed", e.ID)
	}
}

// TestMarksThatCannotBeShared holds that marks which are no multiple are
// refused at their place, with those that would do.
func TestMarksThatCannotBeShared(t *testing.T) {
	course := testCourse()
	e := course.Exercises[0]
	e.Marks, e.MarksAt = 1999, diag.Place{File: "course.yaml", Line: 7, Column: 16, Width: 4}
	d, ds := Prepare(course, families.Named)
	var found []diag.Diagnostic
	for _, x := range ds {
		if x.Rule == "marks" {
			found = append(found, x)
		}
	}
	if d != nil || len(found) != 1 || found[0].At != e.MarksAt || !strings.Contains(found[0].Hint, "it can be worth ") {
		t.Errorf("%+v", ds)
	}
}

// TestWeighRefuses keeps an item as it is where its marks do not go into those
// of the course.
func TestWeighRefuses(t *testing.T) {
	item := exercises.Item{Sheet: exercises.Sheet{Parts: []exercises.Part{{Label: "a", Marks: 2}, {Label: "b", Marks: 1}}},
		Key: exercises.Key{Parts: []exercises.PartKey{{Label: "a"}, {Label: "b"}}}}
	for marks, want := range map[int]int{0: 3, 3: 3, 6: 6, 9: 9} {
		one := item
		if err := weigh(&one, marks); err != nil || marksOf(&one) != want {
			t.Errorf("%d: %v, %d", marks, err, marksOf(&one))
		}
	}
	for _, marks := range []int{1, 2, 4, 7} {
		one := item
		if err := weigh(&one, marks); err != RejectMarks || marksOf(&one) != 3 {
			t.Errorf("%d: %v, %d", marks, err, marksOf(&one))
		}
	}
}
