package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// smallMark is what one small mark of the shipped face stands for in the unit
// of a box: the least error that a reader of the needle can make. A box that
// has nothing to do with the needle is wrong by one unit of its last place.
func smallMark(b *box, decimals int, needle bool) float64 {
	if needle {
		switch b.unit {
		case "div":
			return 0.2
		case "% of span":
			return 0.1
		case "mA":
			return 0.016
		case "V":
			return 0.004
		}
	}
	return math.Pow(10, -float64(decimals))
}

// spoil is one way to make a key wrong. It gives the spoiled keys of one part;
// none where it changes nothing there.
type spoil struct {
	name string
	keys func(s sheet, part int, k exercises.PartKey) []exercises.PartKey
}

// spoiltOrder names the spoil of orders, which the first three families have none
// of.
const spoiltOrder = "a pair of an order left out, or turned"

func withAnswers(k exercises.PartKey, change func(a *exercises.Answer)) exercises.PartKey {
	k.Answers = slices.Clone(k.Answers)
	for i := range k.Answers {
		change(&k.Answers[i])
	}
	return k
}

var spoils = []spoil{
	{"sign swapped", func(s sheet, part int, k exercises.PartKey) (out []exercises.PartKey) {
		for i, a := range k.Answers {
			if a.Option == "" && a.Value.Sign() != 0 {
				out = append(out, one(k, i, a.Value.Neg()))
			}
		}
		return out
	}},
	{"one small mark added", func(s sheet, part int, k exercises.PartKey) (out []exercises.PartKey) {
		for i, a := range k.Answers {
			if a.Option != "" || a.Def.Expr == nil {
				continue
			}
			b := s.box(a.Box)
			if b.judged {
				continue
			}
			step := smallMark(b, a.Def.Decimals, len(s.faces) > 0)
			for _, sign := range []float64{1, -1} {
				out = append(out, one(k, i, formula.Float(a.Value.Float64()+sign*step)))
			}
		}
		return out
	}},
	{"another option", func(s sheet, part int, k exercises.PartKey) (out []exercises.PartKey) {
		for i, a := range k.Answers {
			if a.Option == "" {
				continue
			}
			for _, o := range s.box(a.Box).options {
				if o.value != a.Option {
					w := withAnswers(k, func(*exercises.Answer) {})
					w.Answers[i].Option = o.value
					out = append(out, w)
				}
			}
		}
		return out
	}},
	{spoiltOrder, func(s sheet, part int, k exercises.PartKey) (out []exercises.PartKey) {
		for i, a := range k.Answers {
			if a.Order == nil {
				continue
			}
			for n, p := range a.Order.Before {
				for _, with := range [][][2]string{{}, {{p[1], p[0]}}} {
					o := *a.Order
					o.Before = slices.Concat(o.Before[:n], with, o.Before[n+1:])
					w := withAnswers(k, func(*exercises.Answer) {})
					w.Answers[i].Order = &o
					out = append(out, w)
				}
			}
			for n := range a.Order.Safety {
				o := *a.Order
				o.Safety = slices.Concat(o.Safety[:n], o.Safety[n+1:])
				w := withAnswers(k, func(*exercises.Answer) {})
				w.Answers[i].Order = &o
				out = append(out, w)
			}
		}
		return out
	}},
	{"a slip for the answer", func(s sheet, part int, k exercises.PartKey) (out []exercises.PartKey) {
		for _, sl := range k.Slips {
			out = append(out, withAnswers(k, func(a *exercises.Answer) {
				for _, x := range sl.Answers {
					if x.Box == a.Box {
						a.Value, a.Option = x.Value, x.Option
						if a.Order != nil {
							o := *a.Order
							o.Steps, a.Order = x.Order, &o
						}
					}
				}
			}))
		}
		return out
	}},
}

func one(k exercises.PartKey, i int, v formula.Value) exercises.PartKey {
	w := withAnswers(k, func(*exercises.Answer) {})
	w.Answers[i].Value = v
	return w
}

func (s sheet) box(id string) *box {
	for _, p := range s.parts {
		for _, b := range p.boxes {
			if b.id == id {
				return b
			}
		}
	}
	return nil
}

// what names a part for counting: by its task where it has one, since the
// letters stand for different tasks.
func (s sheet) what(p part) string {
	if r := s.road(); r != nil {
		return r.task(p)
	}
	switch {
	case len(s.loops) > 0:
		a, err := s.understand(p)
		if err != nil {
			return "not understood"
		}
		return a.kind.given + " to " + a.kind.want
	case len(s.stations) > 0:
		return p.checkTask()
	}
	return p.task()
}

// TestComparisonCanFail spoils the keys of many forms, one part at a time and
// in every way that applies, and sees the comparison object to each, and to
// nothing but the part that was spoiled.
func TestComparisonCanFail(t *testing.T) {
	n := 120
	if raceEnabled || testing.Short() {
		n = 12
	}
	tried := map[string]int{} // family, part, spoil
	tasks := map[string]bool{}
	for _, c := range []prepared{shippedCourse(t), wideCourse(t)} {
		b := newBook(t, c, 9_001, n)
		sheets, err := readSheets(b.html)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			k := b.keys[s.num-1]
			mine, err := s.work()
			if err != nil {
				t.Fatal(err)
			}
			if o := objections(s, mine, k.item.Key); len(o) > 0 {
				t.Fatalf("%s: %v", k.where(b.course), o)
			}
			for i, p := range s.parts {
				task := k.group.family + ", " + s.what(p)
				tasks[task] = true
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
						tried[task+": "+w.name]++
					}
				}
			}
		}
	}
	var names []string
	for name := range tried {
		names = append(names, name)
	}
	slices.Sort(names)
	for _, name := range names {
		t.Logf("%-60s %6d times", name, tried[name])
	}
	for task := range tasks {
		choice := tried[task+": another option"] > 0
		for _, w := range spoils {
			if w.name == spoiltOrder || w.name == "another option" && !choice || choice && (w.name == "sign swapped" || w.name == "one small mark added") {
				continue
			}
			if tried[task+": "+w.name] == 0 {
				t.Errorf("%s was never tried by %s", task, w.name)
			}
		}
	}
	if len(tasks) != 24 {
		t.Errorf("%d tasks met, 24 exist: %v", len(tasks), tasks)
	}
}

// TestPageCanFail spoils pages and sees the reader or the road object.
func TestPageCanFail(t *testing.T) {
	b := newBook(t, shippedCourse(t), 1, 4)
	// The first needle that stands right of the centre; a mark is a degree.
	turned := regexp.MustCompile(`Z" transform="rotate\((\d+)\)`).FindStringSubmatch(b.html)
	if turned == nil {
		t.Fatal("no needle stands right of the centre")
	}
	mark, _ := strconv.Atoi(turned[1])
	for _, c := range []struct{ name, old, new string }{
		{"a needle turned by a fifth of a mark", turned[0], strings.Replace(turned[0], ")", ".2)", 1)},
		{"a needle one mark on, its words as before", turned[0], fmt.Sprintf(`Z" transform="rotate(%d)`, mark+1)},
		{"words of a face that say another mark", `aria-label="needle one small mark`, `aria-label="needle two small marks`},
		{"words of a face that tell the side", `aria-label="needle `, `aria-label="low, needle `},
		{"a box without a unit", `% of span</span>`, `</span>`},
		{"a percentage of nothing", `% of span</span>`, `%</span>`},
		{"a ring at another point", `Ring <b>`, `Ring <b>1`},
		{"a right output that is not", `<dt>Right output</dt><dd>8`, `<dt>Right output</dt><dd>9`},
		{"a loop that the table lacks", `<th scope="row" class="nb">LT-2104`, `<th scope="row" class="nb">LT-9999`},
		{"a hyphen for a minus", `<td class="n">−12 to`, `<td class="n">-12 to`},
		{"a scale with a number in the wrong place", `">+7</text>`, `">+8</text>`},
		{"a box filled in", `<input class="box" type="text"`, `<input class="box" type="text" value="1"`},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := strings.ReplaceAll(b.html, c.old, c.new)
			if page == b.html {
				t.Fatalf("the page holds no %q", c.old)
			}
			if err := workAll(page, b); err == nil {
				t.Error("nobody objects")
			}
		})
	}
	if err := workAll(b.html, b); err != nil {
		t.Errorf("the page as it is: %v", err)
	}
}

// workAll works a page and gives the first objection.
func workAll(page string, b *book) error {
	sheets, err := readSheets(page)
	if err != nil {
		return err
	}
	for _, s := range sheets {
		mine, err := s.work()
		if err != nil {
			return err
		}
		if o := objections(s, mine, b.keys[s.num-1].item.Key); len(o) > 0 {
			return fmt.Errorf("exercise %d: %v", s.num, o)
		}
	}
	return nil
}
