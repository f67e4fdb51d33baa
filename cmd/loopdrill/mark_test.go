package main

import (
	"encoding/csv"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/sitting"
)

func paperRows(f *exercises.Form) []string {
	var out []string
	for _, r := range sitting.Rows(f) {
		out = append(out, r.Key)
	}
	return out
}

// TestMarkPile marks a pile of thirty answer files with mess in it: what cannot
// be used is reported, everything else is marked, nothing of the pile changes,
// and marking again gives the same bytes.
func TestMarkPile(t *testing.T) {
	root := t.TempDir()
	if *keepPile != "" {
		root = *keepPile
	}
	pile, out := filepath.Join(root, "pile"), filepath.Join(root, "marks")
	if err := os.MkdirAll(pile, 0o755); err != nil {
		t.Fatal(err)
	}
	good := writePile(t, pile)
	before := contents(t, pile)
	code, stdout, stderr := run("mark", pile, "--seed", pileSeed, "--out", out)
	t.Log("\n" + stdout + stderr)
	if code != exitFaults {
		t.Errorf("exit code %d with things set aside", code)
	}
	for _, want := range []string{"answers-half", "answers-version", "handed in 2 times", "handed in twice with the same answers", "not of this build", "is not whole",
		"notes.txt", "photo.jpg", "empty.json", "99.a"} {
		if !strings.Contains(stderr, want) {
			t.Errorf("nothing said of %q", want)
		}
	}
	if strings.Contains(stderr, "goroutine") {
		t.Error("a panic")
	}
	rows, err := csv.NewReader(strings.NewReader(contents(t, out)["keep/marks.csv"])).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	marked := map[string]bool{}
	for _, row := range rows[1:] {
		marked[row[2]] = true
		if row[1] == "=cmd|'x'!A0" {
			t.Errorf("a name that a spreadsheet would run: %q", row[1])
		}
	}
	if fmt.Sprint(marked) != fmt.Sprint(good) {
		t.Errorf("marked %v\nwant %v", marked, good)
	}
	for name, text := range contents(t, out) {
		if strings.HasSuffix(name, ".html") && strings.Contains(text, "<b>Bold</b>") {
			t.Errorf("%s lets a name through as HTML", name)
		}
	}
	first := contents(t, out)
	if code, _, stderr := run("mark", pile, "--seed", pileSeed, "--out", out); code != exitFaults {
		t.Errorf("marking again: %d %s", code, stderr)
	}
	again := contents(t, out)
	for name := range first {
		if first[name] != again[name] {
			t.Errorf("%s is another one when marked again", name)
		}
	}
	for name, text := range contents(t, pile) {
		if before[name] != text {
			t.Errorf("%s was changed", name)
		}
	}
}

// contents reads all files below a folder.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		b, err := os.ReadFile(p)
		rel, _ := filepath.Rel(dir, p)
		out[filepath.ToSlash(rel)] = string(b)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}
