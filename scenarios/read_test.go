package scenarios_test

import (
	"bytes"
	"io/fs"
	"regexp"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/shipped"
)

// vocabulary stands in for that of the families, which this package must not
// know. One of its families takes no faults, one needs three loops, one fits
// only loops with a square root.
func vocabulary() scenarios.Vocabulary {
	all := []string{"low-zero", "high-zero", "span-low", "span-high", "zero-and-span", "weak-cell", "mechanical-zero"}
	any := func(string, *scenarios.Loop) (string, bool) { return "", true }
	levels := []scenarios.Difficulty{{Name: "easy"}, {Name: "usual"}, {Name: "hard"}}
	return scenarios.Vocabulary{Families: []scenarios.Spec{
		{Name: "scale-it", Levels: levels, Fits: any, MinLoops: 1},
		{Name: "read-the-needle", Levels: levels, Faults: all, Fits: any, MinLoops: 1, Places: []string{scenarios.PlaceTransmitter, scenarios.PlaceReceiver}},
		{Name: "five-point-check", Levels: levels, Faults: all, Fits: any, MinLoops: 1},
		{Name: "three-loops", Levels: levels[:1], Fits: any, MinLoops: 3, Places: []string{scenarios.PlaceReceiver}},
		{Name: "root-only", Levels: levels, MinLoops: 1, Fits: func(_ string, l *scenarios.Loop) (string, bool) {
			return "has no square root", l.Root != scenarios.NoRoot
		}},
		{Name: "output-side", Levels: levels, MinOutputs: 1, FitsOutput: func(_ string, o *scenarios.Output) (string, bool) {
			return "has no stroke in mm", o.Stroke != nil
		}},
		{Name: "both-sides", Levels: levels, Fits: any, MinLoops: 1, MinOutputs: 2},
		{Name: "paper-only", Levels: levels},
	}}
}

var familyKey = regexp.MustCompile(`family: *(\S+)`)

// vocabularyOf adds the families that a course names and the vocabulary does
// not have: whether they are those of the program is seen where both are known.
func vocabularyOf(t *testing.T, fsys fs.FS) scenarios.Vocabulary {
	t.Helper()
	b, err := fs.ReadFile(fsys, "course.yaml")
	if err != nil {
		t.Fatal(err)
	}
	v := vocabulary()
	for _, m := range familyKey.FindAllStringSubmatch(string(b), -1) {
		if _, known := v.Family(m[1]); !known {
			like, _ := v.Family("scale-it")
			like.Name = m[1]
			v.Families = append(v.Families, like)
		}
	}
	return v
}

func TestShippedCoursesAreSilent(t *testing.T) {
	for _, name := range shipped.Names() {
		fsys, err := shipped.Course(name)
		if err != nil {
			t.Fatal(err)
		}
		c, ds := scenarios.ReadCourse(fsys, vocabularyOf(t, fsys))
		if len(ds) > 0 {
			var b bytes.Buffer
			_ = diag.Write(&b, diag.From(fsys), ds, false)
			t.Errorf("%s is not silent:\n%s", name, b.String())
		}
		if c == nil {
			continue
		}
		if len(c.Exercises) == 0 || len(c.Plants) == 0 || len(c.Sources) != 1+len(c.Plants)+len(c.Lessons) {
			t.Errorf("%s: %d exercises, %d plants, %d sources", name, len(c.Exercises), len(c.Plants), len(c.Sources))
		}
	}
}
