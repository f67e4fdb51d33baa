package scenarios_test

import (
	"bytes"
	"io/fs"
	"os"
	"testing"
	"testing/fstest"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// fuzzFile reads a course in which one file is whatever the fuzzer makes:
// nothing panics, every place lies inside its file, a course is handed out
// exactly when there is no error, and the same bytes give the same messages.
func fuzzFile(f *testing.F, name string) {
	sound := base(f)
	f.Add(sound[name].Data)
	for _, c := range append(cases(f, "testdata/err/*.txt"), cases(f, "testdata/ok/*.txt")...) {
		if file := c.fsys[name]; file != nil && !bytes.Equal(file.Data, sound[name].Data) {
			f.Add(file.Data)
		}
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		fsys := fstest.MapFS{}
		for n, file := range sound {
			fsys[n] = file
		}
		fsys[name] = &fstest.MapFile{Data: b}
		first := read(t, fsys)
		if second := read(t, fsys); first != second {
			t.Errorf("two readings differ:\n%s\n%s", first, second)
		}
	})
}

func read(t *testing.T, fsys fs.FS) string {
	c, ds := scenarios.ReadCourse(fsys, vocabulary())
	if errs, _ := diag.Count(ds); (c == nil) != (errs > 0) {
		t.Errorf("%d errors, but the course is handed out: %v", errs, c != nil)
	}
	checkPlaces(t, fsys, ds)
	var out bytes.Buffer
	if err := diag.Write(&out, diag.From(fsys), ds, true); err != nil {
		t.Error(err)
	}
	return out.String()
}

func FuzzPlant(f *testing.F) { fuzzFile(f, "plants/ferrow.yaml") }

func FuzzCourse(f *testing.F) { fuzzFile(f, "course.yaml") }

func FuzzLesson(f *testing.F) { fuzzFile(f, "lessons/2-needle.md") }

// TestReadsFromDisk reads the base course from a folder of the disk, as the
// program does.
func TestReadsFromDisk(t *testing.T) {
	root, err := os.OpenRoot("testdata/ok/base")
	if err != nil {
		t.Fatal(err)
	}
	defer root.Close()
	if c, ds := scenarios.ReadCourse(root.FS(), vocabulary()); c == nil || len(ds) > 0 {
		t.Errorf("%v", ds)
	}
}
