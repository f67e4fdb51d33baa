package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopdrill/exercises/families"
)

// The gallery has every family at every level, each beside its key, and the
// same bytes every time.
func TestGallery(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "gallery")
	read := func() string {
		if code, _, stderr := run("gallery", "--out", dir); code != exitFine || stderr != "" {
			t.Fatalf("exit code %d, %q", code, stderr)
		}
		b, err := os.ReadFile(filepath.Join(dir, "gallery.html"))
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	page := read()
	for _, f := range families.All() {
		for _, l := range f.Spec().Levels {
			for _, of := range []string{"Workbook", "Key"} {
				if n := strings.Count(page, of+": "+f.Spec().Name+", "+l.Name+"\""); n != 1 {
					t.Errorf("%s of %s, %s: shown %d times", of, f.Spec().Name, l.Name, n)
				}
			}
		}
	}
	first, err := os.ReadFile(filepath.Join(dir, "loopdrill.json"))
	if err != nil {
		t.Fatal(err)
	}
	if again := read(); again != page {
		t.Error("the page differs the second time")
	}
	if second, err := os.ReadFile(filepath.Join(dir, "loopdrill.json")); err != nil || string(second) != string(first) {
		t.Errorf("the folder differs the second time: %v", err)
	}
}
