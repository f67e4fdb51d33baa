package scenarios_test

import (
	"strings"
	"testing"

	"loopdrill/scenarios"
)

// TestCount reads an exercise that stands for three.
func TestCount(t *testing.T) {
	c, ds := scenarios.ReadCourse(readCase(t, "testdata/ok/count.txt").fsys, vocabulary())
	if c == nil {
		t.Fatalf("%+v", ds)
	}
	if c.For != "assessment" {
		t.Errorf("the course is for %q", c.For)
	}
	want := []string{
		"scale-percent: Percent and milliamps",
		"needle-first-1: Low or high (1 of 3)",
		"needle-first-2: Low or high (2 of 3)",
		"needle-first-3: Low or high (3 of 3)",
		"needle-root: The flow loop",
	}
	var got []string
	for i, x := range c.Exercises {
		got = append(got, x.ID+": "+x.Title)
		if x.Number != i+1 || len(x.Loops) == 0 || x.Plant == nil || x.Lesson == nil {
			t.Errorf("%s: %+v", x.ID, x)
		}
	}
	if strings.Join(got, "\n") != strings.Join(want, "\n") || len(c.Lessons[1].Exercises) != 4 {
		t.Errorf("got\n%s\nwant\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
	if c, _ := scenarios.ReadCourse(base(t), vocabulary()); c.For != "practice" {
		t.Errorf("a course that does not say is for %q", c.For)
	}
}
