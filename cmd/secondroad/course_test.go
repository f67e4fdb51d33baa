package secondroad

import (
	"bytes"
	"fmt"
	"io/fs"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/generator"
	"loopdrill/render"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/shipped"
)

// prepared is a course ready to draw from.
type prepared struct {
	name   string
	course *scenarios.Course
	drawer *generator.Drawer
}

var (
	shippedOnce = sync.OnceValues(func() (prepared, error) {
		fsys, err := shipped.Course(shipped.Default)
		if err != nil {
			return prepared{}, err
		}
		return prepare("shipped", fsys)
	})
	wideOnce = sync.OnceValues(func() (prepared, error) { return prepare("wide", wideFiles("", widePlant)) })
)

func shippedCourse(t testing.TB) prepared { return must(t, shippedOnce) }
func wideCourse(t testing.TB) prepared    { return must(t, wideOnce) }

func must(t testing.TB, f func() (prepared, error)) prepared {
	t.Helper()
	c, err := f()
	if err != nil {
		t.Fatal(err)
	}
	return c
}

func prepare(name string, fsys fs.FS) (prepared, error) {
	course, ds := scenarios.ReadCourse(fsys, families.Vocabulary())
	p := prepared{name: name, course: course}
	if course != nil {
		var more []diag.Diagnostic
		p.drawer, more = generator.Prepare(course, families.Named)
		ds = append(ds, more...)
	}
	if p.drawer == nil {
		return p, fmt.Errorf("the course %s cannot be drawn: %v", name, ds)
	}
	return p, nil
}

// source is where all forms come from: fixed, so that a failure can be drawn
// again by its course and form number.
var source = generator.Source{Secret: bytes.Repeat([]byte{0x52}, 32), Seed: "second road"}

// book is one workbook page with the exercises of many forms, and their keys,
// which the road does not see before it has worked the page.
type book struct {
	html   string
	course string
	keys   []keyOf // exercise n of the page is keys[n-1]
	cards  string  // the bench cards of the exercises that have one
}

type keyOf struct {
	item  exercises.Item
	id    string // of the exercise in the course
	group group
	form  int
}

// group is what exercises are counted by.
type group struct{ family, level string }

func (k keyOf) where(course string) string {
	return fmt.Sprintf("course %s, form %d, exercise %q", course, k.form, k.id)
}

var renderer = render.NewRenderer()

// newBook draws forms from, from+1, ... and writes all their exercises into one
// assessment workbook, numbered through.
func newBook(t testing.TB, c prepared, from, count int) *book {
	t.Helper()
	b := &book{course: c.name}
	var whole *exercises.Form
	for n := from; n < from+count; n++ {
		form, err := c.drawer.Form(source, exercises.Assessment, n, nil)
		if err != nil {
			t.Fatal(err)
		}
		if whole == nil {
			first := *form
			first.Items = nil
			whole = &first
		}
		// The page lists exercises lesson by lesson, so numbers are given below.
		whole.Items = append(whole.Items, form.Items...)
		for _, d := range form.Items {
			b.keys = append(b.keys, keyOf{d.Item, d.Exercise.ID, group{d.Exercise.Family, d.Exercise.Level}, n})
		}
	}
	for i := range whole.Items {
		again := *whole.Items[i].Exercise
		again.Number = i + 1
		whole.Items[i].Exercise = &again
	}
	var buf bytes.Buffer
	if err := renderer.Workbook(&buf, render.WorkbookOf(whole)); err != nil {
		t.Fatal(err)
	}
	b.html = buf.String()
	buf.Reset()
	if err := renderer.BenchCard(&buf, render.BenchOf(whole)); err != nil {
		t.Fatal(err)
	}
	b.cards = buf.String()
	return b
}

// widePlant has every kind of loop that the families take: direct and reverse,
// ranges below zero, up to zero and beside it, the root in either place, all
// four signals, tolerances from 0.5 to 1 %.
const widePlant = `
plant: orrin
name: Orrin Salt Works
makes: table salt
checker: {id: NB-7}
loops:
  - {tag: LT-301, service: level of the brine pit, kind: level, input: -12.5..37.5 kPa, shows: -0.8..4.2 m, tolerance: 0.5 %span, adjust_at: 0.3 %span}
  - {tag: LT-302, service: level of the settler, kind: level, input: -40..-5 kPa, shows: 0..2400 mm, tolerance: 0.75 %span, adjust_at: 0.5 %span}
  - {tag: PT-303, service: pressure in the first effect, kind: pressure, input: -95..0 kPa, action: reverse, tolerance: 0.6 %span, adjust_at: 0.5 %span}
  - {tag: PT-304, service: pressure of the flash steam, kind: pressure, input: 20..180 kPa, action: reverse, tolerance: 1 %span, adjust_at: 0.4 %span}
  - {tag: TT-305, service: temperature of the cold store, kind: temperature, input: -30..70 °C, tolerance: 0.9 %span, adjust_at: 0.5 %span}
  - {tag: TT-306, service: temperature of the flue, kind: temperature, input: 37..411 °C, tolerance: 0.8 %span}
  - {tag: TT-307, service: temperature of the liquid gas, kind: temperature, input: -200..-40 °C, tolerance: 1 %span, adjust_at: 0.7 %span}
  - {tag: TT-308, service: temperature of the rinse, kind: temperature, input: 12.5..87.5 °F, action: reverse, tolerance: 0.5 %span}
  - {tag: FT-309, service: flow of the raw brine, kind: flow, input: 0..24.9 kPa, shows: 0..37 m3/h, root: receiver, tolerance: 0.5 %span, adjust_at: 0.4 %span}
  - {tag: FT-310, service: flow of the steam, kind: flow, input: 0..6.25 kPa, shows: 0..850 kg/h, root: transmitter, tolerance: 1 %span}
  - {tag: FT-311, service: flow of the wash water, kind: flow, input: 0..500 mbar, shows: 0..9.6 L/s, root: receiver, tolerance: 0.7 %span, adjust_at: 0.5 %span}
  - {tag: TT-312, service: temperature of the coolant, kind: temperature, input: -18..4 °C, signal: 1-5 V, tolerance: 0.5 %span}
  - {tag: PT-313, service: pressure of the seal gas, kind: pressure, input: 0..16 bar, signal: 1-5 V, action: reverse, tolerance: 0.5 %span}
  - {tag: LT-314, service: level of the day tank, kind: level, input: 0..110 kPa, shows: 0..11 m, signal: 20-100 kPa, tolerance: 1 %span}
  - {tag: PT-315, service: pressure of the air main, kind: pressure, input: 0..145 psi, signal: 3-15 psi, tolerance: 1 %span}
  - {tag: FT-316, service: flow of the caustic, kind: flow, input: 0..10 kPa, shows: 0..420 L/min, signal: 3-15 psi, root: receiver, tolerance: 1 %span}
  - {tag: FT-317, service: flow of the vent gas, kind: flow, input: 0..2.5 kPa, shows: 0..1200 m3/h, signal: 20-100 kPa, root: transmitter, tolerance: 1 %span}
  - {tag: FT-318, service: flow of the condensate, kind: flow, input: 0..62.5 kPa, shows: 0..18.5 t/h, signal: 1-5 V, root: receiver, tolerance: 1 %span}
  - {tag: PT-319, service: suction of the fan, kind: pressure, input: -60..0 kPa, tolerance: 0.5 %span}
  - {tag: LT-320, service: level of the sump, kind: level, input: 5..25 kPa, shows: 20..220 cm, signal: 20-100 kPa, action: reverse, tolerance: 1 %span}
  - {tag: PT-321, service: vacuum of the dryer, kind: pressure, input: -80..20 kPa, signal: 3-15 psi, action: reverse, tolerance: 1 %span}
`

// wideFiles is a course that asks every family at every level about every loop
// that fits.
func wideFiles(checker, plant string) fs.FS {
	var b strings.Builder
	b.WriteString("course: wide\ntitle: Every loop\npurpose: Work every kind of loop at every level.\nplants: [orrin]\nlessons:\n  - id: only\n    file: lessons/1.md\n    exercises:\n")
	for _, e := range []struct {
		family, level string
		times         int
	}{
		{"scale-it", "easy", 2}, {"scale-it", "usual", 3}, {"scale-it", "hard", 2},
		{"read-the-needle", "easy", 1}, {"read-the-needle", "usual", 2}, {"read-the-needle", "hard", 3},
		{"five-point-check", "easy", 1}, {"five-point-check", "usual", 2}, {"five-point-check", "hard", 2},
	} {
		for i := range e.times {
			fmt.Fprintf(&b, "      - {id: %s-%s-%d, title: Exercise, family: %s, level: %s}\n", e.family, e.level, i+1, e.family, e.level)
		}
	}
	if checker != "" {
		plant = strings.Replace(plant, "checker: {id: NB-7}", checker, 1)
	}
	return fstest.MapFS{
		"course.yaml":       {Data: []byte(b.String())},
		"plants/orrin.yaml": {Data: []byte(plant)},
		"lessons/1.md":      {Data: []byte("# Every loop\n\n```goals\n- work every kind of loop\n```\n\nNothing to read.\n")},
	}
}
