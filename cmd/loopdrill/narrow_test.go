package main

import (
	"testing"

	"loopdrill/exercises"
)

// TestSmallScreens opens the books and keys of all shipped courses, and the
// sample with every kind of box, on a screen 320 CSS pixels wide, with
// everything unfolded: nothing moves the page sideways.
func TestSmallScreens(t *testing.T) {
	folders := map[string]string{"sample": sampleFolder(t, exercises.Practice)}
	for _, course := range []string{"live-zero-basics", "loop-check-practice", "loop-technician", "permit-to-record"} {
		folders[course] = builtWith(t, course)
	}
	for name, folder := range folders {
		b := openBrowser(t, folder)
		for _, pattern := range []string{"start.html", "hand-out/workbook-01-*.html", "keep/key-01-*.html", "keep/mark-sheet-01-*.html"} {
			p := b.open(t, one(t, folder, pattern))
			p.openFolded(t)
			eval[bool](t, p, `(document.querySelectorAll(".compare button").forEach(b => b.click()), true)`)
			p.narrow(t, 320)
			for _, s := range p.heard() {
				t.Errorf("%s, %s: %s", name, pattern, s)
			}
		}
	}
}
