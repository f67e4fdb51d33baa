package secondroad

import (
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
)

// road is how the exercises of one family are worked and what can go wrong on
// the way. Each family after the first three has one, in a file of its own.
type road struct {
	family string
	knows  func(s sheet) bool // by the page
	work   func(s sheet) (replies, error)
	task   func(p part) string // what a part asks for; "" where it is not known
	// slips are the apprentices, by the task of a part and the id of a slip:
	// "output/dead-zero".
	slips map[string]apprentice
	// several are the slips that stand for more than one wrong option, in the
	// same way: the words of all of them.
	several map[string]func(s sheet, p part) ([]string, error)
}

// roads lists them; each file adds its own.
var roads []*road

// road finds the road of an exercise, nil for the first three families.
func (s sheet) road() *road {
	for _, r := range roads {
		if r.knows(s) {
			return r
		}
	}
	return nil
}

// apprentices lets each apprentice of a slip in the key work his part.
func (r *road) apprentices(s sheet, k keyOf, mine replies, count map[seen]*landing) []string {
	var out []string
	for i, p := range s.parts {
		key := k.item.Key.Parts[i]
		task := r.task(p)
		done := map[string]bool{}
		for _, sl := range key.Slips {
			if done[sl.ID] {
				continue
			}
			done[sl.ID] = true
			name := seen{r.family, task, sl.ID}
			if count[name] == nil {
				count[name] = &landing{}
			}
			count[name].met++
			var err error
			if f := r.several[task+"/"+sl.ID]; f != nil {
				var his, keys []string
				if his, err = f(s, p); err == nil {
					for _, x := range key.Slips {
						if x.ID == sl.ID {
							keys = append(keys, p.wordsOf(x.Answers[0].Option))
						}
					}
					slices.Sort(his)
					slices.Sort(keys)
					if right := p.wordsOf(key.Answers[0].Option); !slices.Equal(his, keys) || slices.Contains(his, right) {
						err = fmt.Errorf("whoever makes it marks one of %q, the key says %q", his, keys)
					}
				}
			} else {
				err = tryOne(s, p, key, seen{id: sl.ID}, r.slips[task+"/"+sl.ID], mine)
			}
			if err != nil {
				out = append(out, fmt.Sprintf("(%s) %v: %v", p.label, name, err))
			}
		}
	}
	return out
}

// wordsOf is what an option says, by its value.
func (p part) wordsOf(value string) string {
	for _, o := range p.boxes[0].options {
		if o.value == value {
			return o.text
		}
	}
	return ""
}

// plantFiles is a course that asks one family at every level about a plant,
// several times.
func plantFiles(family, plant string, times int) fs.FS {
	id, _, _ := strings.Cut(strings.TrimPrefix(strings.TrimSpace(plant), "plant: "), "\n")
	var b strings.Builder
	fmt.Fprintf(&b, "course: wide\ntitle: Wide\npurpose: Work every kind of loop at every level.\nplants: [%s]\nlessons:\n  - id: only\n    file: lessons/1.md\n    exercises:\n", id)
	for _, level := range []string{"easy", "usual", "hard"} {
		for i := range times {
			fmt.Fprintf(&b, "      - {id: %s-%s-%d, title: Exercise, family: %s, level: %s}\n", family, level, i+1, family, level)
		}
	}
	return fstest.MapFS{
		"course.yaml":            {Data: []byte(b.String())},
		"plants/" + id + ".yaml": {Data: []byte(plant)},
		"lessons/1.md":           {Data: []byte("# Every loop\n\n```goals\n- work every kind of loop\n```\n\nNothing to read.\n")},
	}
}

// travel draws the family from a course and works all its exercises: each is
// compared with its key, each slip of the key is made by an apprentice, and
// the keys of the first pages are spoiled in every way that applies. In the
// whole test each level is worked 7,000 times.
func (r *road) travel(t *testing.T, course fs.FS) {
	c, err := prepare(r.family, course)
	if err != nil {
		t.Fatal(err)
	}
	perForm := len(c.course.Exercises) / 3
	page, forms, spoiled := 40/perForm, 7000/perForm, 3
	if raceEnabled || testing.Short() {
		forms, spoiled = 240/perForm, 1
	}
	worked, slips := map[group]int{}, map[seen]*landing{}
	tried := map[string]int{}
	said := 0
	for from := 1; from <= forms; from += page {
		b := newBook(t, c, from, page)
		sheets, err := readSheets(b.html)
		if err != nil {
			t.Fatal(err)
		}
		if len(sheets) != len(b.keys) {
			t.Fatalf("%d exercises on the page, %d drawn", len(sheets), len(b.keys))
		}
		if err := b.deal(sheets); err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			k := b.keys[s.num-1]
			if s.road() != r {
				t.Fatalf("%s: the page does not show that it is of %s\n%s", k.where(b.course), r.family, s.intro)
			}
			if said > 5 {
				t.Fatal("and more")
			}
			mine, err := r.work(s)
			if err != nil {
				said++
				t.Errorf("%s: %v\n%s", k.where(b.course), err, s.intro)
				continue
			}
			for _, o := range append(objections(s, mine, k.item.Key), r.apprentices(s, k, mine, slips)...) {
				said++
				t.Errorf("%s: %s\n%s", k.where(b.course), o, s.intro)
			}
			worked[k.group]++
			if from <= spoiled*page {
				r.spoil(t, b, s, k, mine, tried)
			}
		}
	}
	for _, l := range []string{"easy", "usual", "hard"} {
		t.Logf("%s, %s: %d exercises worked", r.family, l, worked[group{r.family, l}])
		if worked[group{r.family, l}] == 0 {
			t.Errorf("no exercise of %s at level %s", r.family, l)
		}
	}
	whole := !raceEnabled && !testing.Short()
	for _, all := range [][]string{keysOf(r.slips), keysOf(r.several)} {
		for _, name := range all {
			task, id, _ := strings.Cut(name, "/")
			l := slips[seen{r.family, task, id}]
			if l == nil {
				l = &landing{}
			}
			t.Logf("%-50s %6d forms", name, l.met)
			if whole && l.met < 20 {
				t.Errorf("%s: met %d times", name, l.met)
			}
		}
	}
	for _, name := range keysOf(tried) {
		t.Logf("%-60s %6d times", name, tried[name])
	}
	if len(tried) == 0 {
		t.Error("no key was spoiled")
	}
}

// keysOf lists the keys of a map in order.
func keysOf[T any](m map[string]T) []string {
	var out []string
	for k := range m {
		out = append(out, k)
	}
	slices.Sort(out)
	return out
}

// spoil spoils a key, one part at a time and in every way that applies, and
// sees the comparison object to each, and to nothing but the part spoiled.
func (r *road) spoil(t *testing.T, b *book, s sheet, k keyOf, mine replies, tried map[string]int) {
	for i, p := range s.parts {
		for _, w := range spoils {
			for _, bad := range w.keys(s, i, k.item.Key.Parts[i]) {
				key := k.item.Key
				key.Parts = slices.Clone(key.Parts)
				key.Parts[i] = bad
				o := objections(s, mine, key)
				if len(o) == 0 {
					t.Errorf("%s (%s): %s goes unnoticed: %v", k.where(b.course), p.label, w.name, bad.Answers)
				}
				for _, x := range o {
					if !strings.HasPrefix(x, "("+p.label+")") {
						t.Errorf("%s (%s): %s brings %q", k.where(b.course), p.label, w.name, x)
					}
				}
				tried[r.task(p)+": "+w.name]++
			}
		}
	}
}
