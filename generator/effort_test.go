package generator

import (
	"slices"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/effort"
	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/shipped"
)

// TestLevelsDiffer compares the modelled time of the levels of each family.
func TestLevelsDiffer(t *testing.T) {
	mean := map[string]map[string]float64{}
	for _, e := range testCourse().Exercises {
		plan, _ := families.Named(e.Family).Prepare(e)
		n, sum := 0, 0
		for _, u := range Points(uint64(e.Number), few(400)) {
			if item, err := Try(plan, u); err == nil {
				n, sum = n+1, sum+effort.Of(&item).Seconds()
			}
		}
		if mean[e.Family] == nil {
			mean[e.Family] = map[string]float64{}
		}
		mean[e.Family][e.Level] = float64(sum) / float64(max(n, 1))
	}
	for _, f := range families.All() {
		m := mean[f.Spec().Name]
		t.Logf("%-20s easy %4.0f s, usual %4.0f s, hard %4.0f s, hard to easy %.2f", f.Spec().Name, m["easy"], m["usual"], m["hard"], m["hard"]/m["easy"])
		if m["hard"] < 1.3*m["easy"] {
			t.Errorf("%s: hard takes %.0f s and easy %.0f s, less than 1.3 times", f.Spec().Name, m["hard"], m["easy"])
		}
	}
}

// TestStepsCost takes something out of exercises of every family and sees the
// modelled time fall: the last part, one operation of a formula, one option.
func TestStepsCost(t *testing.T) {
	for _, e := range testCourse().Exercises {
		t.Run(e.ID, func(t *testing.T) {
			plan, _ := families.Named(e.Family).Prepare(e)
			var item exercises.Item
			for _, u := range Points(1, 200) {
				var err error
				if item, err = Try(plan, u); err == nil {
					break
				}
			}
			whole := effort.Of(&item).Seconds()
			if n := len(item.Sheet.Parts); n > 1 {
				less := item
				less.Sheet.Parts, less.Key.Parts = item.Sheet.Parts[:n-1], item.Key.Parts[:n-1]
				if got := effort.Of(&less).Seconds(); got >= whole {
					t.Errorf("without its last part %d s, with it %d s", got, whole)
				}
			}
			for i := range item.Sheet.Parts {
				for j, box := range item.Sheet.Parts[i].Boxes {
					a := &item.Key.Parts[i].Answers[j]
					if b, ok := a.Def.Expr.(formula.Bin); ok {
						was := a.Def.Expr
						a.Def.Expr = b.A
						if got := effort.Of(&item).Seconds(); got >= whole {
							t.Errorf("box %s: without its last operation %d s, with it %d s", box.ID, got, whole)
						}
						a.Def.Expr = was
					}
					if len(box.Options) > 1 {
						item.Sheet.Parts[i].Boxes[j].Options = box.Options[1:]
						figures := item.Sheet.Figures
						item.Sheet.Figures = slices.DeleteFunc(slices.Clone(figures), func(f exercises.Figure) bool {
							return f.ID == box.Options[0].Figure // drawn with the option and nowhere else
						})
						if got := effort.Of(&item).Seconds(); got >= whole {
							t.Errorf("box %s: with one option less %d s, with all %d s", box.ID, got, whole)
						}
						item.Sheet.Parts[i].Boxes[j].Options, item.Sheet.Figures = box.Options, figures
					}
				}
			}
		})
	}
}

func shippedDrawer(t testing.TB, name string) *Drawer {
	t.Helper()
	fsys, err := shipped.Course(name)
	if err != nil {
		t.Fatal(err)
	}
	course, _ := scenarios.ReadCourse(fsys, families.Vocabulary())
	if course == nil {
		t.Fatal("the shipped course cannot be read")
	}
	d, ds := Prepare(course, families.Named)
	if d == nil {
		t.Fatal(ds)
	}
	return d
}

// TestFormsEquallyHard compares whole forms of the shipped courses: modelled
// time and marks differ by less than a tenth between any two.
func TestFormsEquallyHard(t *testing.T) {
	for _, name := range courses() {
		t.Run(name, func(t *testing.T) {
			d := shippedDrawer(t, name)
			var shortest, longest, fewest, most int
			for n := range few(300) {
				form, err := d.Form(Source{Seed: "effort"}, exercises.Practice, n+1, nil)
				if err != nil {
					t.Fatal(err)
				}
				seconds, marks := effort.OfForm(form).Seconds(), 0
				for _, i := range form.Items {
					for _, p := range i.Item.Sheet.Parts {
						marks += p.Marks
					}
				}
				if n == 0 {
					shortest, longest, fewest, most = seconds, seconds, marks, marks
				}
				shortest, longest = min(shortest, seconds), max(longest, seconds)
				fewest, most = min(fewest, marks), max(most, marks)
			}
			t.Logf("%d to %d s, %d to %d marks", shortest, longest, fewest, most)
			if 10*longest >= 11*shortest {
				t.Errorf("forms take from %d to %d s", shortest, longest)
			}
			if 10*most >= 11*fewest {
				t.Errorf("forms are worth from %d to %d marks", fewest, most)
			}
		})
	}
}
