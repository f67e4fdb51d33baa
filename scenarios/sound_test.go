package scenarios_test

import (
	"strings"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// TestReadSound changes the base course and lists which exercises are left for
// families to look at.
func TestReadSound(t *testing.T) {
	rows := []struct {
		name          string
		file, at, now string
		left          string
	}{
		{"nothing wrong", "course.yaml", "pass_mark: 70 %", "pass_mark: 75 %", "scale-percent needle-first needle-root"},
		{"a course key", "course.yaml", "pass_mark: 70 %", "pass_mark: 700 %", "scale-percent needle-first needle-root"},
		{"a loop of the first", "course.yaml", "[LT-101, PT-103]", "[LT-101, PT-113]", "needle-first needle-root"},
		{"a key of the second", "course.yaml", "faults: [low-zero", "falts: [low-zero", "scale-percent needle-root"},
		{"the family of the last", "course.yaml", "five-point-check", "five-points", "scale-percent needle-first"},
		{"one id for two", "course.yaml", "id: needle-root", "id: needle-first", "scale-percent"},
		{"the plant", "plants/ferrow.yaml", "input: 0..25 kPa", "input: 25..0 kPa", ""},
		{"no plant", "course.yaml", "plants: [ferrow]", "plants: [farrow]", ""},
		{"a lesson", "lessons/2-needle.md", "# ", "## ", "scale-percent needle-first needle-root"},
		{"syntax", "course.yaml", "lessons:", "lessons: [", ""},
	}
	for _, r := range rows {
		fsys := base(t)
		body := strings.Replace(string(fsys[r.file].Data), r.at, r.now, 1)
		if body == string(fsys[r.file].Data) {
			t.Fatal(r.name, "changes nothing")
		}
		fsys[r.file].Data = []byte(body)
		c, ds := scenarios.ReadSound(fsys, vocabulary())
		var left, inLessons []string
		if c != nil {
			for _, e := range c.Exercises {
				left = append(left, e.ID)
			}
			for _, l := range c.Lessons {
				for _, e := range l.Exercises {
					inLessons = append(inLessons, e.ID)
				}
			}
		}
		if got := strings.Join(left, " "); got != r.left || got != strings.Join(inLessons, " ") {
			t.Errorf("%s: left are %q, in lessons %q", r.name, left, inLessons)
		}
		errs, _ := diag.Count(ds)
		if whole, _ := scenarios.ReadCourse(fsys, vocabulary()); (whole == nil) != (errs > 0) || errs > 0 == (r.name == "nothing wrong") {
			t.Errorf("%s: %d errors, a course: %v", r.name, errs, whole != nil)
		}
	}
}
