package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// pageCourse is the course that the reference page shows as a whole.
const pageCourse = "../../scenarios/testdata/ok/base"

// TestCourseOfThePage holds that what an instructor copies from the reference
// page is sound with the families of the program, and can be drawn.
func TestCourseOfThePage(t *testing.T) {
	code, stdout, stderr := run("check", pageCourse, "--draws", "60")
	if code != exitFine || strings.Contains(stdout, "error:") || strings.Contains(stdout, "warning:") {
		t.Errorf("exit code %d\n%s%s", code, stdout, stderr)
	}
}

// TestCheckReportsEverythingAtOnce makes mistakes of every kind in one course:
// one that the reader sees, one that only a family and one that only the
// generator can see, in three exercises, and one in a lesson. One run reports
// all, sorted.
func TestCheckReportsEverythingAtOnce(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "course")
	if err := os.CopyFS(dir, os.DirFS(pageCourse)); err != nil {
		t.Fatal(err)
	}
	change := func(file, at, now string) {
		t.Helper()
		name := filepath.Join(dir, file)
		b, err := os.ReadFile(name)
		if err != nil || strings.Count(string(b), at) != 1 {
			t.Fatalf("%s: %q, %v", file, at, err)
		}
		if err := os.WriteFile(name, []byte(strings.Replace(string(b), at, now, 1)), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	change("course.yaml", "        level: usual\n", "        level: usual\n        colour: red\n")                                 // the reader
	change("course.yaml", "        faults: [low-zero, high-zero]\n", "        faults: [low-zero]\n        marks: 7\n")             // the generator
	change("course.yaml", "        family: five-point-check\n", "        family: five-point-check\n        faults: [high-zero]\n") // the family
	change("plants/ferrow.yaml", "loops:\n", "faults:\n  - {fault: high-zero, size: 5..5.1 %span}\nloops:\n")
	change("lessons/2-needle.md", "```face", "```fase")
	_, stdout, _ := run("check", dir)
	last := -1
	for _, want := range []string{
		`an exercise has no key "colour"`, "[marks]", "[sizes-leave-nothing]", `there is no block "fase"`,
	} {
		i := strings.Index(stdout, want)
		if i <= last {
			t.Errorf("%q is missing, or stands before the one above it, in\n%s", want, stdout)
		}
		last = i
	}
}
