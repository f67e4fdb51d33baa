package marking

import (
	"maps"
	"slices"
	"strings"
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

// put writes what somebody would put into a box: number, option, tick, order.
func put(t *testing.T, into map[string]string, box string, a exercises.SlipAnswer) {
	t.Helper()
	delete(into, box)
	delete(into, box+stopKey)
	switch {
	case a.Stop:
		into[box+stopKey] = "stop"
	case a.Option != "":
		into[box] = a.Option
	case a.Order != nil:
		into[box] = strings.Join(a.Order, ", ")
	case a.Def.Expr != nil:
		into[box] = written(t, a.Def, a.Env)
		if a.Def.Unit != "" {
			into[box] = formula.WithUnit(into[box], a.Def.Unit)
		}
	}
}

// keyed is what the key puts into every box; judged boxes get full marks.
func keyed(t *testing.T, item exercises.Item) (right map[string]string, terms Terms, marks int) {
	t.Helper()
	right, terms = map[string]string{}, Terms{Hand: map[string]int{}}
	for p, k := range item.Key.Parts {
		part := item.Sheet.Parts[p]
		marks += part.Marks
		for i, a := range k.Answers {
			if part.Boxes[i].Kind == exercises.JudgedBox {
				terms.Hand[a.Box] = part.Marks
				continue
			}
			s := exercises.SlipAnswer{Def: a.Def, Env: a.Env, Option: a.Option, Stop: a.Stop}
			if a.Order != nil {
				s.Order = a.Order.Steps
			}
			put(t, right, a.Box, s)
		}
	}
	return right, terms, marks
}

// drawn calls f with items of every exercise that is shipped.
func drawn(t *testing.T, draws int, f func(e *scenarios.Exercise, item exercises.Item)) {
	t.Helper()
	for _, name := range shipped.Names() {
		fsys, err := shipped.Course(name)
		if err != nil {
			t.Fatal(err)
		}
		course, ds := scenarios.ReadCourse(fsys, families.Vocabulary())
		if course == nil {
			t.Fatal(ds)
		}
		for _, e := range course.Exercises {
			plan, ds := families.Named(e.Family).Prepare(e)
			if plan == nil {
				t.Fatalf("%s: %v", e.ID, ds)
			}
			good := 0
			for i := uint64(0); good < draws && i < uint64(40*draws); i++ {
				item, err := plan.Item(i * 0x9e3779b97f4a7c15)
				if _, rejected := err.(exercises.Reject); rejected {
					continue
				}
				if err != nil {
					t.Fatal(err)
				}
				good++
				f(e, item)
			}
			if good < draws {
				t.Errorf("%s: only %d draws", e.ID, good)
			}
		}
	}
}

// TestShippedExercises marks items of every exercise that is shipped: their
// own keys earn full marks, and an apprentice who makes one slip and is
// otherwise right gets it named wherever the answer is wrong.
func TestShippedExercises(t *testing.T) {
	slipped, named, wrong := 0, 0, 0
	drawn(t, 40, func(e *scenarios.Exercise, item exercises.Item) {
		right, terms, marks := keyed(t, item)
		r, err := MarkItem(item, right, terms)
		if err != nil {
			t.Fatalf("%s: %v", e.ID, err)
		}
		if r.Least != marks || r.Most != marks {
			t.Fatalf("%s: its own key earns %d to %d of %d", e.ID, r.Least, r.Most, marks)
		}
		for p, k := range item.Key.Parts {
			for _, s := range k.Slips {
				given := maps.Clone(right)
				for _, a := range s.Answers {
					put(t, given, a.Box, a)
				}
				r, err := MarkItem(item, given, terms)
				if err != nil {
					t.Fatalf("%s: %v", e.ID, err)
				}
				slipped++
				for _, b := range r.Parts[p].Boxes {
					if b.Verdict != Wrong {
						continue
					}
					wrong++
					if slices.ContainsFunc(b.Slips, func(m SlipMatch) bool { return m.ID == s.ID }) {
						named++
					} else if wrong-named < 5 {
						t.Logf("%s %s: slip %s gives %q, %s, named %v", e.ID, b.Box, s.ID, given[b.Box], b.Rule, b.Slips)
					}
				}
			}
		}
	})
	if wrong == 0 || named != wrong {
		t.Errorf("%d slips made: %d of %d wrong answers named by theirs", slipped, named, wrong)
	}
	t.Logf("%d slips made: %d of %d wrong answers named by theirs", slipped, named, wrong)
}

// TestFivePointChain carries a wrong table into worst point, verdict and first
// step. The apprentice takes divisions for percent, so that every error is twice
// as large, and is consistent from there on; what that leads to is worked out
// here in whole hundredths of a percent.
func TestFivePointChain(t *testing.T) {
	followed := map[string]int{}
	drawn(t, 60, func(e *scenarios.Exercise, item exercises.Item) {
		if e.Family != "five-point-check" {
			return
		}
		given, terms, _ := keyed(t, item)
		table := item.Key.Parts[0]
		env := item.Key.Env
		hundredths := func(v formula.Value) int {
			n, err := v.Round(2)
			if err != nil {
				t.Fatal(err)
			}
			return int(n)
		}
		symbol := func(s formula.Sym) int {
			b, ok := env.Lookup(s)
			if !ok {
				t.Fatalf("no %s", s)
			}
			return hundredths(b.V)
		}
		answers := table.Answers[:5]
		if e.Level == "hard" { // the falling run, with its own table
			answers = append(slices.Clone(answers), item.Key.Parts[1].Answers...)
		}
		own := make([]int, len(answers))
		largest, ties, same := 0, 0, true
		for i, a := range answers {
			own[i] = 2 * hundredths(a.Def.Eval(a.Env))
			given[a.Box] = formula.Decimal(int64(own[i]), 2).Text(2)
			size := max(own[i], -own[i])
			switch {
			case size > largest:
				largest, ties = size, 1
			case size == largest:
				ties++
			}
			same = same && own[i] == own[0]
		}
		worst := "alike"
		if !same {
			for i, v := range own {
				if max(v, -v) == largest {
					worst = []string{"p0", "p25", "p50", "p75", "p100", "p75", "p50", "p25", "p0"}[i]
				}
			}
		}
		verdict, first := "outside", "lower-span"
		if largest <= symbol("tol") {
			verdict = "within"
		}
		switch {
		case largest <= symbol("adj"):
			first = "leave"
		case own[0] < 0:
			first = "raise-zero"
		case own[0] > 0:
			first = "lower-zero"
		case own[4] < 0:
			first = "raise-span"
		}
		cell, rest := symbol("c"), 0
		if e.Level == "hard" {
			rest = symbol("m")
		}
		if e.Level != "easy" && cell-rest < symbol("l") {
			verdict, first = "void", "replace-cell"
		}
		choices := map[string]map[string]string{
			"easy":  {"b": verdict, "d": first},
			"usual": {"b": worst, "c": verdict, "e": first},
			"hard":  {"d": worst, "e": verdict, "g": first},
		}[e.Level]
		for box, option := range choices {
			given[box] = option
		}
		r, err := MarkItem(item, given, terms)
		if err != nil {
			t.Fatal(err)
		}
		for _, p := range r.Parts {
			if choices[p.Label] == "" {
				continue
			}
			b := p.Boxes[0]
			right := item.Key.Parts[slices.IndexFunc(item.Key.Parts, func(k exercises.PartKey) bool { return k.Label == p.Label })].Answers[0].Option
			want := Correct
			if right != b.Text {
				want = FollowThrough
			}
			if b.Verdict != want || p.Least != p.Marks {
				t.Fatalf("%s (%s), part %s: errors %v lead to %s, key %s: %s by %s, %d marks", e.ID, e.Level, p.Label, own, b.Text, right, b.Verdict, b.Rule, p.Least)
			}
			if want == FollowThrough {
				followed[p.Label]++
			}
		}
		// What neither the key nor the own numbers lead to stays wrong.
		for box, option := range map[string]map[string]string{
			"easy": {"b": "within", "d": "leave"}, "usual": {"c": "within", "e": "leave"}, "hard": {"e": "within", "g": "leave"},
		}[e.Level] {
			if option == choices[box] || option == given[box] {
				continue
			}
			other := maps.Clone(given)
			other[box] = option
			again, err := MarkItem(item, other, terms)
			if err != nil {
				t.Fatal(err)
			}
			for i, q := range again.Parts {
				if q.Label == box && item.Key.Parts[i].Answers[0].Option != option && q.Boxes[0].Verdict != Wrong {
					t.Fatalf("%s, part %s: %s is %s by %s", e.ID, box, option, q.Boxes[0].Verdict, q.Boxes[0].Rule)
				}
			}
		}
	})
	if followed["c"] == 0 || followed["e"] == 0 {
		t.Errorf("followed through: %v; no draw shows it", followed)
	}
	t.Logf("followed through: %v", followed)
}
