package main

import (
	"bytes"
	"errors"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopdrill/site"
)

func TestCourseID(t *testing.T) {
	for _, row := range []struct{ name, dir, want string }{
		{"a plain name", "may-class", "may-class"},
		{"capitals and blanks", "May Class 2", "may-class-2"},
		{"a path", "/somewhere/else/Autumn_term/", "autumn-term"},
		{"a digit first", "2027-spring", "course-2027-spring"},
		{"no letters of ours", "課程", "first-course"},
		{"letters between others", "Übung", "bung"},
		{"dots", "v1.2..x", "v1-2-x"},
		{"very long", strings.Repeat("long-", 40), strings.TrimSuffix(strings.Repeat("long-", 12), "-")},
	} {
		got, err := courseID(row.dir)
		if err != nil || got != row.want {
			t.Errorf("%s: %q, %v, want %q", row.name, got, err, row.want)
		}
	}
}

// A new course has no findings, whatever its folder is called, and with two
// hundred forms of each exercise none either. (That it is valid by the schema is
// tested with the schema.)
func TestNewCourseIsSound(t *testing.T) {
	for _, name := range []string{"may-class", "2027 spring", "a b'c"} {
		dir := filepath.Join(t.TempDir(), name)
		if code, stdout, stderr := run("new", dir); code != exitFine || stderr != "" || !strings.Contains(stdout, "What to do next") {
			t.Fatalf("%s: exit code %d, %q", name, code, stderr)
		}
		c := look(dir)
		app{Stdout: &bytes.Buffer{}, Stderr: &bytes.Buffer{}}.survey(c, 200)
		if c.failure != nil || len(c.findings) > 0 || len(c.surveys) != 3 {
			t.Errorf("%s: %v %v", name, c.failure, c.findings)
		}
		files, _ := filepath.Glob(filepath.Join(dir, "plants", "*.yaml"))
		for _, file := range append(files, filepath.Join(dir, "course.yaml")) {
			b, err := os.ReadFile(file)
			if err != nil {
				t.Fatal(err)
			}
			// Its first line leads an editor to the schema.
			line, _, _ := strings.Cut(string(b), "\n")
			_, to, _ := strings.Cut(line, "$schema=")
			if _, err := os.Stat(filepath.Join(filepath.Dir(file), to)); to == "" || err != nil {
				t.Errorf("%s begins with %q, which leads to no schema", file, line)
			}
		}
	}
}

// A write that fails takes away what it has made, and nothing else.
func TestNewLeavesNothingBehind(t *testing.T) {
	files := []newFile{{"a.txt", []byte("a")}, {"sub/b.txt", []byte("b")}, {"a.txt", []byte("once more")}}
	parent := t.TempDir()
	dir := filepath.Join(parent, "course")
	var failure *site.Failure
	if err := writeNew(dir, files); !errors.As(err, &failure) {
		t.Errorf("a new folder: %v", err)
	}
	if left := names(t, parent); len(left) > 0 {
		t.Errorf("a new folder: left behind %v", left)
	}
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	if err := writeNew(dir, files); !errors.As(err, &failure) {
		t.Errorf("an empty folder: %v", err)
	}
	if left := names(t, parent); len(left) != 1 || left[0] != "course" {
		t.Errorf("an empty folder: left behind %v", left)
	}
	// A file that somebody else puts there in the meantime is not replaced.
	if err := os.WriteFile(filepath.Join(dir, "a.txt"), []byte("mine"), 0o644); err != nil {
		t.Fatal(err)
	}
	if err := fill(dir, files); !errors.Is(err, fs.ErrExist) {
		t.Errorf("a file in the way: %v", err)
	}
	if b, err := os.ReadFile(filepath.Join(dir, "a.txt")); string(b) != "mine" {
		t.Errorf("a file in the way now holds %q, %v", b, err)
	}
}

// names lists everything below a folder, but for the folder itself.
func names(t *testing.T, dir string) []string {
	t.Helper()
	var out []string
	err := fs.WalkDir(os.DirFS(dir), ".", func(name string, _ fs.DirEntry, err error) error {
		if name != "." {
			out = append(out, name)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
