package generator

import (
	"fmt"
	"math"
	"reflect"
	"slices"
	"strings"
	"sync"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
)

// TestSurveyCountsForms counts the same forms again, drawn as a build draws
// them, in floating point and pair by pair.
func TestSurveyCountsForms(t *testing.T) {
	course := testCourse()
	d, ds := Prepare(course, families.Named)
	if d == nil {
		t.Fatal(ds)
	}
	const n = 120
	src := Source{Seed: "survey"}
	forms := make([]*exercises.Form, n)
	var tally Tally
	for i := range forms {
		var err error
		if forms[i], err = d.Form(src, exercises.Practice, i+1, &tally); err != nil {
			t.Fatal(err)
		}
	}
	rejects := tally.Report(course)
	for e, ex := range course.Exercises {
		s, err := d.Survey(src, ex.ID, n)
		if err != nil {
			t.Fatal(err)
		}
		if s.Forms != n || !reflect.DeepEqual(s.Rejects, rejects[e]) {
			t.Errorf("%s: %d forms, rejects %v, want %v", ex.ID, s.Forms, s.Rejects, rejects[e])
		}
		answers := func(f int) map[string]exercises.Answer {
			m := map[string]exercises.Answer{}
			for _, p := range forms[f].Items[e].Item.Key.Parts {
				for _, a := range p.Answers {
					m[boxKey(a)] = a
				}
			}
			return m
		}
		right := func(a, b exercises.Answer) bool {
			if a.Order != nil || b.Order != nil {
				return a.Order != nil && b.Order != nil && alike(a.Order, b.Order)
			}
			if a.Option != "" || b.Option != "" {
				return a.Option == b.Option
			}
			return math.Abs(a.Value.Float64()-b.Value.Float64()) <= a.Tolerance.Float64()+1e-10
		}
		shared, asked, rightOption := map[string]int{}, map[string]int{}, map[string]int{}
		distinct := map[string]bool{}
		one, all := 0, 0
		for i := range n {
			mine := answers(i)
			tuple := ""
			for _, p := range forms[i].Items[e].Item.Key.Parts {
				for _, a := range p.Answers {
					asked[boxKey(a)]++
					switch {
					case a.Order != nil:
						tuple += a.Box + allowedBy(a.Order)
					case a.Option != "":
						rightOption[a.Box+" "+a.Option]++
					default:
						tuple += a.Box + a.Value.Text(6) + a.Def.Unit + " "
					}
				}
			}
			if sheet := forms[i].Items[e].Item.Sheet; !asksNumber(sheet) && !strings.Contains(tuple, " may precede ") {
				for _, p := range forms[i].Items[e].Item.Key.Parts {
					for _, a := range p.Answers {
						tuple += a.Option + " "
					}
				}
				tuple += shows(sheet)
			}
			distinct[tuple] = true
			for j := range n {
				if i == j {
					continue
				}
				hits, numbers := 0, 0
				other := answers(j)
				for box, a := range mine {
					if judged(a) {
						continue
					}
					b, has := other[box]
					ok := has && right(a, b)
					if ok {
						shared[box]++
					}
					if a.Option == "" && a.Order == nil {
						numbers++
						if ok {
							hits++
						}
					}
				}
				if hits > 0 {
					one++
				}
				if numbers > 0 && hits == numbers {
					all++
				}
			}
		}
		if s.Distinct != len(distinct) || s.Distinct < n/2 {
			t.Errorf("%s: %d distinct, counted %d of %d", ex.ID, s.Distinct, len(distinct), n)
		}
		if len(s.Boxes) != len(asked) {
			t.Errorf("%s: %d boxes, counted %d", ex.ID, len(s.Boxes), len(asked))
		}
		for _, b := range s.Boxes {
			key := b.Box + " " + string(b.Kind)
			want := float64(shared[key])
			if asked[key] > 1 {
				want /= float64(asked[key]) * float64(asked[key]-1)
			}
			if b.Forms != asked[key] || math.Abs(b.Shared-want) > 1e-12 {
				t.Errorf("%s %s: shared %g on %d forms, counted %g on %d", ex.ID, key, b.Shared, b.Forms, want, asked[key])
			}
			sum := 0
			for _, o := range b.Options {
				sum += o.Right
				if o.Right != rightOption[b.Box+" "+o.Option] || o.Offered < o.Right {
					t.Errorf("%s %s: %+v, counted right %d", ex.ID, b.Box, o, rightOption[b.Box+" "+o.Option])
				}
			}
			if b.Kind == exercises.ChoiceBox && sum != b.Forms {
				t.Errorf("%s %s: right options add up to %d of %d", ex.ID, b.Box, sum, b.Forms)
			}
		}
		pairs := float64(n * (n - 1))
		if math.Abs(s.SharesOne-float64(one)/pairs) > 1e-12 || math.Abs(s.SharesAll-float64(all)/pairs) > 1e-12 {
			t.Errorf("%s: shares one %g all %g, counted %g %g", ex.ID, s.SharesOne, s.SharesAll, float64(one)/pairs, float64(all)/pairs)
		}
		sum := 0
		for _, f := range s.Faults {
			sum += f.Forms
		}
		want := n * min(1, len(s.Faults))
		if ex.Family == "at-the-bench" { // a loop may be set up with nothing wrong
			want = min(sum, n)
		}
		if sum != want || ex.Family == "five-point-check" && sum == 0 || ex.Family == "scale-it" && sum > 0 {
			t.Errorf("%s: faults %v add up to %d", ex.ID, s.Faults, sum)
		}
	}
}

// judged says that an answer is words for a person to judge: its key is empty.
func judged(a exercises.Answer) bool {
	return a.Option == "" && a.Def.Expr == nil && a.Order == nil && !a.Stop
}

func boxKey(a exercises.Answer) string {
	switch {
	case a.Order != nil:
		return a.Box + " order"
	case a.Option != "":
		return a.Box + " choice"
	}
	if judged(a) {
		return a.Box + " judged"
	}
	return a.Box + " number"
}

// alike says whether two orders have the same steps and the same key.
func alike(a, b *exercises.Order) bool { return allowedBy(a) == allowedBy(b) }

// allowedBy names the steps of an order, and of each two of them whether some
// right order has the first before the second: seen from the right orders
// themselves, by going from the second to whatever it keeps waiting.
func allowedBy(o *exercises.Order) string {
	var out []string
	for _, first := range o.Steps {
		waits := map[string]bool{} // for first
		for next := []string{first}; len(next) > 0; next = next[1:] {
			for _, p := range slices.Concat(o.Before, o.Safety) {
				if p[0] == next[0] && !waits[p[1]] {
					waits[p[1]] = true
					next = append(next, p[1])
				}
			}
		}
		for _, s := range o.Steps {
			if !waits[s] && s != first {
				out = append(out, s+" may precede "+first)
			}
		}
		out = append(out, first)
	}
	slices.Sort(out)
	return strings.Join(out, "; ")
}

// TestOrdersAlike: the same pairs said in another way are one key; other steps,
// or one pair less, are another. The survey sees the same.
func TestOrdersAlike(t *testing.T) {
	base := exercises.Order{Steps: []string{"a", "b", "c", "d"}, Before: [][2]string{{"a", "b"}, {"b", "c"}}, Safety: [][2]string{{"a", "d"}}}
	for _, row := range []struct {
		name string
		o    exercises.Order
		want bool
	}{
		{"itself", base, true},
		{"with what follows said too", exercises.Order{Steps: base.Steps, Before: [][2]string{{"a", "c"}, {"a", "b"}, {"b", "c"}}, Safety: base.Safety}, true},
		{"listed in another right order", exercises.Order{Steps: []string{"a", "d", "b", "c"}, Before: base.Before, Safety: base.Safety}, true},
		{"a pair less", exercises.Order{Steps: base.Steps, Before: base.Before[:1], Safety: base.Safety}, false},
		{"a pair more", exercises.Order{Steps: base.Steps, Before: append(base.Before[:2:2], [2]string{"c", "d"}), Safety: base.Safety}, false},
		{"another step", exercises.Order{Steps: []string{"a", "b", "c", "e"}, Before: base.Before, Safety: [][2]string{{"a", "e"}}}, false},
	} {
		if got := alike(&base, &row.o); got != row.want {
			t.Errorf("%s: counted alike %v, want %v", row.name, got, row.want)
		}
		if got := orderKey(&base) == orderKey(&row.o); got != row.want {
			t.Errorf("%s: the survey takes them for alike %v, want %v", row.name, got, row.want)
		}
	}
}

// toy asks for one of so many whole numbers, all equally likely, and for one
// of two options; one draw in four is rejected.
type toy struct{ numbers int }

const rejectToy exercises.Reject = "a quarter of all draws"

func (y toy) Spec() scenarios.Spec { return scenarios.Spec{Name: "toy"} }
func (y toy) Version() int         { return 1 }

func (y toy) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	env := formula.Env{{Sym: "v", V: formula.Int(int64(pick.Int(y.numbers))), Unit: "kPa"}}
	if pick.Int(4) == 0 {
		return exercises.Item{}, rejectToy
	}
	def := func(add int64) formula.Definition {
		return formula.Definition{Sym: "p", Expr: formula.Add(formula.Sym("v"), formula.Num(add)), Unit: "kPa"}
	}
	var item exercises.Item
	key := exercises.PartKey{Label: "a", Answers: []exercises.Answer{{Box: "a", Def: def(0), Env: env, Tolerance: formula.Ratio(1, 2)}}}
	for i := range int64(3) {
		key.Slips = append(key.Slips, exercises.Slip{ID: fmt.Sprint(i), Answers: []exercises.SlipAnswer{{Box: "a", Def: def(10 * (i + 1)), Env: env}}})
	}
	item.Add(exercises.Part{Label: "a", Boxes: []exercises.Box{{ID: "a", Kind: exercises.NumberBox, Unit: "kPa"}}}, key)
	options := []exercises.Option{{ID: "low"}, {ID: "high"}, {ID: "never"}}
	item.Add(exercises.Part{Label: "b", Boxes: []exercises.Box{{ID: "b", Kind: exercises.ChoiceBox, Options: options}}},
		exercises.PartKey{Label: "b", Answers: []exercises.Answer{{Box: "b", Option: options[pick.Int(2)].ID}}})
	item.Key.FaultName = []string{"low-zero", "high-zero", "high-zero"}[pick.Int(3)]
	return item, nil
}

// TestSurveyFindsWhatIsKnown surveys an exercise whose chances are known: of
// 500 equally likely numbers two forms share one in 500 times, and 2000 draws
// meet about 500 (1 - exp(-4)) = 491 of them. The bounds are five standard
// deviations or more.
func TestSurveyFindsWhatIsKnown(t *testing.T) {
	e := &scenarios.Exercise{ID: "toy", Number: 1, Faults: []string{"low-zero", "high-zero", "open-wire"}}
	d := newDrawer(&scenarios.Course{ID: "toys", Exercises: []*scenarios.Exercise{e}}, []plan{{e, 1, toy{500}}})
	s, err := d.Survey(Source{Seed: "toy"}, "toy", 2000)
	if err != nil {
		t.Fatal(err)
	}
	near := func(what string, got, want, within float64) {
		t.Helper()
		if math.Abs(got-want) > within {
			t.Errorf("%s is %g, want %g within %g", what, got, want, within)
		}
	}
	near("draws", float64(s.Rejects.Draws), 2000*4/3., 5*30)
	near("distinct", float64(s.Distinct), 491, 15)
	near("at least", s.AtLeast, 500, 25)
	near("shared number", s.Boxes[0].Shared, 1/500., 0.0002)
	near("shares one", s.SharesOne, 1/500., 0.0003)
	near("shares all", s.SharesAll, s.SharesOne, 0) // there is one number only
	near("shared option", s.Boxes[1].Shared, 0.5, 0.01)
	options := s.Boxes[1].Options
	if len(options) != 3 || options[2].Option != "never" || options[2].Right != 0 || options[2].Offered != 2000 {
		t.Errorf("options %+v", options)
	}
	near("low", float64(options[1].Right), 1000, 5*23)
	if len(s.Faults) != 3 || s.Faults[2] != (FaultShare{"open-wire", 0}) {
		t.Errorf("faults %+v", s.Faults)
	}
	near("high zero", float64(s.Faults[0].Forms), 2000*2/3., 5*22)
}

// never is an exercise that cannot be drawn.
type never struct{}

func (never) Item(uint64) (exercises.Item, error) { return exercises.Item{}, rejectToy }

func TestSurveyOfWhatCannotBeDrawn(t *testing.T) {
	e := &scenarios.Exercise{ID: "toy", Number: 1}
	d := newDrawer(&scenarios.Course{ID: "toys", Exercises: []*scenarios.Exercise{e}}, []plan{{e, 1, never{}}})
	s, err := d.Survey(Source{Seed: "toy"}, "toy", 5)
	if err == nil || !strings.Contains(err.Error(), `"toy"`) || !strings.Contains(err.Error(), string(rejectToy)) {
		t.Errorf("error %v", err)
	}
	if s == nil || s.Forms != 0 || s.Rejects.Rejected() != maxTries || s.AtLeast != 0 {
		t.Errorf("survey %+v", s)
	}
	for _, row := range []struct {
		name     string
		exercise string
		forms    int
		want     string
	}{
		{"an unknown exercise", "toys", 1, "no exercise"},
		{"no forms", "toy", 0, "0 forms"},
		{"more forms than codes", "toy", MostForms + 1, "can be drawn"},
	} {
		if _, err := d.Survey(Source{Seed: "toy"}, row.exercise, row.forms); err == nil || !strings.Contains(err.Error(), row.want) {
			t.Errorf("%s: %v", row.name, err)
		}
	}
}

// Surveys that run at the same time give what they give alone.
func TestSurveysAtOnce(t *testing.T) {
	course := testCourse()
	d, _ := Prepare(course, families.Named)
	alone := make([]*Survey, len(course.Exercises))
	together := make([]*Survey, len(course.Exercises))
	for i, e := range course.Exercises {
		alone[i], _ = d.Survey(Source{Seed: "x"}, e.ID, 30)
	}
	var wg sync.WaitGroup
	for i, e := range course.Exercises {
		wg.Go(func() { together[i], _ = d.Survey(Source{Seed: "x"}, e.ID, 30) })
	}
	wg.Wait()
	if !reflect.DeepEqual(alone, together) {
		t.Error("surveys at once differ from surveys one after another")
	}
}
