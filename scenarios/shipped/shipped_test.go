package shipped_test

import (
	"errors"
	"io/fs"
	"path"
	"regexp"
	"slices"
	"strings"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/shipped"
)

func TestCourseByName(t *testing.T) {
	if !slices.Contains(shipped.Names(), shipped.Default) {
		t.Errorf("the default course is not among %v", shipped.Names())
	}
	for _, name := range shipped.Names() {
		fsys, err := shipped.Course(name)
		if err != nil {
			t.Fatal(err)
		}
		b, err := fs.ReadFile(fsys, "course.yaml")
		if err != nil {
			t.Fatal(err)
		}
		if !strings.Contains(string(b), "\ncourse: "+name+"\n") {
			t.Errorf("the course in folder %s has another name", name)
		}
	}
	for _, name := range []string{"", ".", "..", "nobody", shipped.Default + "/lessons"} {
		if _, err := shipped.Course(name); !errors.Is(err, fs.ErrNotExist) {
			t.Errorf("Course(%q) gave %v", name, err)
		}
	}
}

var (
	cautionBlock = regexp.MustCompile("(?m)^```caution (.*)$")
	hyphenMinus  = regexp.MustCompile(`(^|[ (|*])-[0-9]`)
	plainBlank   = regexp.MustCompile(`[0-9] (%|mA|kPa|psi|Ω|V|mm|m³/h|°C|divisions?|small marks?)\b`)
)

// Lessons print numbers as pages do: a true minus sign, and a number that is
// not torn from its unit. Blocks of YAML are exempt; they are not print.
func TestLessonsAreSetAsPrint(t *testing.T) {
	for _, name := range shipped.Names() {
		fsys, _ := shipped.Course(name)
		files, err := fs.Glob(fsys, "lessons/*.md")
		if err != nil || len(files) == 0 {
			t.Fatalf("%s: lessons %v, %v", name, files, err)
		}
		for _, file := range files {
			b, err := fs.ReadFile(fsys, file)
			if err != nil {
				t.Fatal(err)
			}
			text := string(b)
			lesson(t, path.Join(name, file), text)
			for _, m := range cautionBlock.FindAllStringSubmatch(text, -1) {
				if _, ok := scenarios.Caution(m[1]); !ok {
					t.Errorf("%s: no caution %q", file, m[1])
				}
			}
		}
	}
}

func lesson(t *testing.T, file, text string) {
	lines := strings.Split(strings.TrimSpace(text), "\n")
	if !strings.HasPrefix(lines[0], "# ") || lines[2] != "```goals" {
		t.Errorf("%s: does not begin with its title and its goals", file)
	}
	if i := strings.LastIndex(text, "\n```check-yourself\n"); i < 0 || strings.Count(text[i:], "\n```") != 2 || lines[len(lines)-1] != "```" {
		t.Errorf("%s: does not end with questions to think over", file)
	}
	fence := ""
	for i, line := range lines {
		if rest, ok := strings.CutPrefix(line, "```"); ok {
			if fence == "" {
				fence, _, _ = strings.Cut(rest+" ", " ")
			} else {
				fence = ""
			}
			continue
		}
		switch fence {
		case "face", "formula", "readings", "chart":
			if !strings.HasPrefix(line, "caption:") {
				continue
			}
		}
		if hyphenMinus.MatchString(line) {
			t.Errorf("%s:%d: a hyphen for a minus sign: %s", file, i+1, line)
		}
		if m := plainBlank.FindString(line); m != "" {
			t.Errorf("%s:%d: a plain blank between number and unit: %q", file, i+1, m)
		}
	}
	if fence != "" {
		t.Errorf("%s: the last block is not closed", file)
	}
}
