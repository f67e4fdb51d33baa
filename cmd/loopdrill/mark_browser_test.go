package main

import (
	"os"
	"path/filepath"
	"testing"
)

// markedFolder marks the pile of TestMarkPile and gives the folder.
func markedFolder(t *testing.T) string {
	t.Helper()
	root, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	pile, out := filepath.Join(root, "pile"), filepath.Join(root, "marks")
	if err := os.Mkdir(pile, 0o755); err != nil {
		t.Fatal(err)
	}
	writePile(t, pile)
	if code, _, stderr := run("mark", pile, "--seed", pileSeed, "--out", out); code != exitFaults {
		t.Fatalf("mark: exit code %d\n%s", code, stderr)
	}
	return out
}

// TestMarkPagesInBrowser opens every kind of page that marking writes: no
// complaint of the browser, no address outside, links that lead somewhere, a
// screen of 320 pixels, charts that are drawn, and who may see it on every sheet
// of paper.
func TestMarkPagesInBrowser(t *testing.T) {
	folder := markedFolder(t)
	b := openBrowser(t, folder)
	for _, page := range []struct {
		pattern string
		charts  int
		always  string // on every sheet of paper
	}{
		{"hand-out/feedback-04-*.html", 0, "Form "},
		{"keep/record-22-*.html", 0, "Assessor only"},
		{"keep/class-report.html", 2, "Assessor only"},
		{"keep/queries.html", 0, "Assessor only"},
		{"keep/second-marking.html", 0, "Assessor only"},
		{"hand-out/practice-04-*.html", 0, "Form "},
	} {
		name := one(t, folder, page.pattern)
		p := b.open(t, name)
		if n := p.charts(t); n < page.charts {
			t.Errorf("%s: %d charts are to be seen, %d are wanted", name, n, page.charts)
		}
		p.narrow(t, 320)
		p.links(t, name)
		for _, s := range sheetTroubles(p.paper(t), page.always) {
			t.Errorf("%s on paper: %s", name, s)
		}
		for _, s := range p.heard() {
			t.Errorf("%s: %s", name, s)
		}
	}
}
