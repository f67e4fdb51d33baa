package generator

import (
	"fmt"
	"slices"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/shipped"
)

// TestClassIsApart draws whole classes of the shipped courses and compares each
// pair of forms without the code that kept them apart.
func TestClassIsApart(t *testing.T) {
	for _, name := range courses() {
		t.Run(name, func(t *testing.T) {
			d := shippedDrawer(t, name)
			for _, src := range []Source{{Seed: "class"}, secret} {
				purpose := exercises.Practice
				if src.Secret != nil {
					purpose = exercises.Assessment
				}
				size := ClassSize
				if testing.Short() || raceEnabled {
					size = 10
				}
				c, err := d.Class(src, purpose, 1, size, nil)
				if err != nil {
					t.Fatal(err)
				}
				t.Logf("%s: %d of %d forms were drawn again, too close: %+v", purpose, c.Redrawn, len(c.Forms), c.Close)
				if len(c.Close) > 0 {
					t.Errorf("%d pairs are too close", len(c.Close))
				}
				changing := changingBoxes(t, d)
				for i, a := range c.Forms {
					for _, b := range c.Forms[:i] {
						shared, of := sharedNumbers(a, b, changing)
						if 10*shared > of {
							t.Errorf("forms %d and %d share %d of %d numbers", a.Number, b.Number, shared, of)
						}
						for k := range a.Items {
							x, y := a.Items[k].Item, b.Items[k].Item
							if x.Key.FaultName != "" && x.Key.FaultName == y.Key.FaultName && shows(x.Sheet) == shows(y.Sheet) &&
								(x.Key.Bench == nil || x.Key.Fault == y.Key.Fault) { // at the bench the set-up is what is shown
								t.Errorf("forms %d and %d have the same %s in %s", a.Number, b.Number, x.Key.FaultName, a.Items[k].Exercise.ID)
							}
						}
					}
				}
			}
		})
	}
}

// TestClassGrows: a form depends on those before it alone, and its code alone
// gives it again.
func TestClassGrows(t *testing.T) {
	d := shippedDrawer(t, shipped.Default)
	whole, err := d.Class(secret, exercises.Assessment, 1, 12, nil)
	if err != nil {
		t.Fatal(err)
	}
	part, err := d.Class(secret, exercises.Assessment, 1, 7, nil)
	if err != nil {
		t.Fatal(err)
	}
	redrawn := 0
	for i, f := range whole.Forms {
		if i < len(part.Forms) && fingerprint(f) != fingerprint(part.Forms[i]) {
			t.Errorf("form %d is another in a smaller class", i+1)
		}
		c, err := ParseCode(f.Code)
		if err != nil {
			t.Fatal(err)
		}
		if c.Redraw > 0 {
			redrawn++
		}
		again, err := d.ByCode(secret, c)
		if err != nil || fingerprint(again) != fingerprint(f) {
			t.Errorf("code %s gives another form: %v", f.Code, err)
		}
		other := Source{Secret: []byte("another secret, as long as it is"), Seed: "1"}
		if _, err := d.ByCode(other, c); err != ErrOtherSource {
			t.Errorf("code %s is taken with another secret: %v", f.Code, err)
		}
	}
	if redrawn != whole.Redrawn {
		t.Errorf("%d forms carry a redraw in their code, %d were redrawn", redrawn, whole.Redrawn)
	}
}

// TestSecondSitting: nobody meets a number of an earlier sitting again.
func TestSecondSitting(t *testing.T) {
	for _, name := range courses() {
		t.Run(name, func(t *testing.T) {
			d := shippedDrawer(t, name)
			seen := answersSeen(t, d)
			var before []*Class
			sittings, people := 3, 5
			if testing.Short() || raceEnabled {
				sittings, people = 2, 2
			}
			for sitting := 1; sitting <= sittings; sitting++ {
				c, err := d.Class(secret, exercises.Assessment, sitting, people, nil)
				if err != nil {
					t.Fatal(err)
				}
				for i, f := range c.Forms {
					for _, b := range before {
						noneShared(t, f, b.Forms[i], seen)
					}
					code, err := ParseCode(f.Code)
					if err != nil || code.Sitting != sitting {
						t.Fatalf("%s says sitting %d: %v", f.Code, code.Sitting, err)
					}
					if again, err := d.ByCode(secret, code); err != nil || fingerprint(again) != fingerprint(f) {
						t.Errorf("code %s gives another form: %v", f.Code, err)
					}
				}
				before = append(before, c)
			}
		})
	}
	// Beyond a class too.
	d := testDrawer(t)
	a, err := d.FormOf(secret, exercises.Assessment, Which{Number: 123}, nil)
	if err != nil {
		t.Fatal(err)
	}
	b, err := d.FormOf(secret, exercises.Assessment, Which{Number: 123, Sitting: 2}, nil)
	if err != nil {
		t.Fatal(err)
	}
	noneShared(t, b, a, answersSeen(t, d))
}

// answersSeen lists the answers of each box on many forms.
func answersSeen(t *testing.T, d *Drawer) map[string][]exercises.Answer {
	t.Helper()
	out := map[string][]exercises.Answer{}
	for n := range few(300) {
		f, err := d.Form(Source{Seed: "seen"}, exercises.Practice, n+1, nil)
		if err != nil {
			t.Fatal(err)
		}
		for k, a := range numbers(f) {
			out[k] = append(out[k], a)
		}
	}
	return out
}

// noneShared wants two forms of one person to have no number in common but such
// as at least one form in 40 has.
func noneShared(t *testing.T, a, b *exercises.Form, seen map[string][]exercises.Answer) {
	t.Helper()
	other, compared := numbers(b), 0
	for k, x := range numbers(a) {
		y, ok := other[k]
		if !ok {
			continue
		}
		compared++
		if !alikeAnswers(x, y) {
			continue
		}
		n := 0
		for _, s := range seen[k] {
			if alikeAnswers(x, s) {
				n++
			}
		}
		if 40*n < len(seen[k]) {
			t.Errorf("person %d: sittings %d and %d have %s in %s, as %d of %d forms have", a.Number, a.Sitting, b.Sitting, x.Value.Text(4), k, n, len(seen[k]))
		}
	}
	if compared == 0 {
		t.Error("the two forms have no box in common")
	}
}

func alikeAnswers(x, y exercises.Answer) bool {
	diff := x.Value.Sub(y.Value).Abs()
	return diff.Sub(x.Tolerance).Sign() <= 0 || diff.Sub(y.Tolerance).Sign() <= 0
}

// TestClassThatCannotBeApart: a course with next to nothing to draw from says
// so and still gives its forms.
func TestClassThatCannotBeApart(t *testing.T) {
	e := &scenarios.Exercise{ID: "toy", Number: 1}
	d := newDrawer(&scenarios.Course{ID: "toys", Exercises: []*scenarios.Exercise{e}}, []plan{{e, 1, toy{5}}})
	c, err := d.Class(Source{Seed: "x"}, exercises.Practice, 1, 12, nil)
	if err != nil {
		t.Fatal(err)
	}
	if len(c.Forms) != 12 || len(c.Close) == 0 {
		t.Errorf("%d forms, too close: %+v", len(c.Forms), c.Close)
	}
	for _, x := range c.Close {
		if m := d.Meet(c.Forms[x.Number-1], c.Forms[x.Other-1]); m.Shared != x.Shared || m.Of != x.Of {
			t.Errorf("forms %d and %d share %+v, reported %+v", x.Number, x.Other, m, x)
		}
	}
	if _, err := d.Class(Source{Seed: "x"}, exercises.Practice, 1, ClassSize+1, nil); err == nil {
		t.Error("a class beyond its size is drawn")
	}
	if _, err := d.Class(Source{Seed: "x"}, exercises.Practice, MostSittings+1, 1, nil); err == nil {
		t.Error("a sitting beyond the last is drawn")
	}
}

// changingBoxes finds the boxes whose answer is not the same on all of a
// hundred forms, by exercise.
func changingBoxes(t *testing.T, d *Drawer) map[string]bool {
	t.Helper()
	first, out := map[string]string{}, map[string]bool{}
	for n := range 100 {
		f, err := d.Form(Source{Seed: "changing"}, exercises.Practice, n+1, nil)
		if err != nil {
			t.Fatal(err)
		}
		for k, v := range numbers(f) {
			text := v.Value.Text(6)
			if was, ok := first[k]; ok && was != text {
				out[k] = true
			} else if !ok {
				first[k] = text
			}
		}
	}
	return out
}

// numbers lists the numeric answers of a form but those that are read at a bench,
// with somebody watching.
func numbers(f *exercises.Form) map[string]exercises.Answer {
	out := map[string]exercises.Answer{}
	for _, it := range f.Items {
		if it.Item.Key.Bench != nil {
			continue
		}
		for i, p := range it.Item.Sheet.Parts {
			for j, box := range p.Boxes {
				if a := it.Item.Key.Parts[i].Answers[j]; box.Kind == exercises.NumberBox && !a.Stop {
					out[it.Exercise.ID+" "+box.ID+" "+box.Unit] = a
				}
			}
		}
	}
	return out
}

func sharedNumbers(a, b *exercises.Form, changing map[string]bool) (shared, of int) {
	other := numbers(b)
	for k, x := range numbers(a) {
		y, ok := other[k]
		if !ok || !changing[k] {
			continue
		}
		of++
		if alikeAnswers(x, y) {
			shared++
		}
	}
	return shared, of
}

// shows is what an apprentice is shown of an exercise.
func shows(s exercises.Sheet) string {
	out := s.Intro.Plain()
	for _, f := range s.Figures {
		if f.Face != nil {
			out += fmt.Sprint(f.Face.Needle, f.Face.Ring, f.Face.Lever)
		}
		if f.Table != nil {
			out += fmt.Sprint(f.Table.Rows)
		}
	}
	return out
}

// TestStrataSpread: of 64 forms in a row each lies in another part of the draw
// space, in an order that another secret changes.
func TestStrataSpread(t *testing.T) {
	parts := func(src Source, first int) []uint64 {
		var out []uint64
		for n := range strata {
			out = append(out, src.points("course", "exercise", 1, Which{Number: first + n})()>>58)
		}
		return out
	}
	a, b := parts(secret, 1), parts(Source{Secret: []byte("another"), Seed: "1"}, 1)
	if slices.Equal(a, b) {
		t.Error("the order of the parts is the same for two secrets")
	}
	for _, first := range []int{1, strata + 1, 10*strata + 1} {
		got := parts(secret, first)
		slices.Sort(got)
		if len(slices.Compact(got)) != strata {
			t.Errorf("forms from %d: %d parts", first, len(slices.Compact(got)))
		}
	}
}

func BenchmarkClass(b *testing.B) {
	d := shippedDrawer(b, shipped.Default)
	for b.Loop() {
		if _, err := d.Class(Source{Seed: "bench"}, exercises.Practice, 1, ClassSize, nil); err != nil {
			b.Fatal(err)
		}
	}
}
