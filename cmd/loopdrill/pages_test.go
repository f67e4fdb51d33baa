package main

import (
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"
)

// built builds the shipped course into a folder of its own.
func built(t *testing.T, purpose string) string {
	t.Helper()
	dir, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	dir = filepath.Join(dir, "course")
	args := []string{"build", "--out", dir, "--copies", "2", "--seed", "browser-check", "--for", purpose}
	if purpose == "assessment" {
		// A secret of its own keeps the test out of the user's settings.
		secret := filepath.Join(t.TempDir(), "secret")
		if err := os.WriteFile(secret, []byte(strings.Repeat("0123456789abcdef", 4)+"\n"), 0o600); err != nil {
			t.Fatal(err)
		}
		args = append(args, "--secret", secret)
	}
	code, _, stderr := run(args...)
	if code != exitFine {
		t.Fatalf("build --for %s: exit code %d\n%s", purpose, code, stderr)
	}
	return dir
}

// one finds the only file of a pattern below the folder and gives its name
// from there.
func one(t *testing.T, folder, pattern string) string {
	t.Helper()
	found, err := filepath.Glob(filepath.Join(folder, filepath.FromSlash(pattern)))
	if err != nil || len(found) != 1 {
		t.Fatalf("%d files match %s in %s (%v)", len(found), pattern, folder, err)
	}
	name, err := filepath.Rel(folder, found[0])
	if err != nil {
		t.Fatal(err)
	}
	return name
}

// charts looks at every error chart that is not folded away: it must hold a
// drawing with lines or points that take up room. It returns how many there
// are.
func (p *opened) charts(t *testing.T) int {
	t.Helper()
	type chart struct {
		ID       string
		Visible  bool
		Drawn    bool
		Marks    int // lines and points with a size
		Overflow bool
	}
	list := eval[[]chart](t, p, `Array.from(document.querySelectorAll(".chart"), c => {
		const svg = c.querySelector("svg"), at = c.getBoundingClientRect();
		const marks = svg ? Array.from(svg.querySelectorAll("path, line, polyline, circle")).filter(m => {
			const r = m.getBoundingClientRect();
			return r.width + r.height > 2;
		}).length : 0;
		return {ID: c.id, Visible: c.checkVisibility(), Drawn: c.hasAttribute("data-drawn"), Marks: marks,
			Overflow: !!svg && svg.getBoundingClientRect().width > at.width + 1};
	})`)
	seen := 0
	for _, c := range list {
		if !c.Visible {
			continue
		}
		seen++
		switch {
		case !c.Drawn:
			p.trouble("chart %s is not drawn", c.ID)
		case c.Marks < 5:
			p.trouble("chart %s holds %d lines and points", c.ID, c.Marks)
		case c.Overflow:
			p.trouble("chart %s is wider than its frame", c.ID)
		}
	}
	return seen
}

// openFolded opens every folded part and says how many there are.
func (p *opened) openFolded(t *testing.T) int {
	t.Helper()
	return eval[int](t, p, `(all => { all.forEach(d => d.open = true); return all.length })(document.querySelectorAll("details"))`)
}

// links checks that what the page links to is there, and gives the names of the
// files seen from the folder.
func (p *opened) links(t *testing.T, file string) []string {
	t.Helper()
	var out []string
	for _, href := range eval[[]string](t, p, `Array.from(document.querySelectorAll("a[href], link[href], script[src], img[src]"), a => a.getAttribute("href") || a.getAttribute("src"))`) {
		name, _, _ := strings.Cut(href, "#")
		if name == "" {
			continue
		}
		target := filepath.Join(filepath.Dir(file), filepath.FromSlash(name))
		if _, err := os.Stat(filepath.Join(p.b.folder, target)); err != nil {
			p.trouble("link to %s leads nowhere", href)
		}
		out = append(out, target)
	}
	return out
}

var words = regexp.MustCompile(`[\p{L}\p{N}]+`)

// plain reduces text to its words and numbers, so that line breaks, print and
// screen make no difference.
func plain(s string) string {
	return strings.Join(words.FindAllString(strings.ToLower(s), -1), " ")
}

// secrets lists the sentences of a key that no workbook may hold: what was
// wrong, working, slips with what to say about them, and credit, as far as they
// are long enough to be nobody else's words. What a slip answers is not among
// them: it is an option or a number, which a workbook may print. known is the
// text of the reference page, which all forms share.
func (p *opened) secrets(t *testing.T, known string) []string {
	t.Helper()
	var out []string
	for _, s := range eval[[]string](t, p, `Array.from(document.querySelectorAll(
		".fault b, .working .line, .slips th[scope=row], .slips td:last-child, .credit li, .why, .steps p"), e => e.textContent)`) {
		if s = plain(s); len(s) >= 25 && len(holds(known, []string{s})) == 0 {
			out = append(out, s)
		}
	}
	return out
}

func TestPagesInBrowser(t *testing.T) {
	for _, purpose := range []string{"practice", "assessment"} {
		t.Run(purpose, func(t *testing.T) {
			folder := built(t, purpose)
			b := openBrowser(t, folder)
			workbook, key := one(t, folder, "hand-out/workbook-01-*.html"), one(t, folder, "keep/key-01-*.html")
			markSheet := one(t, folder, "keep/mark-sheet-01-*.html")
			report := func(p *opened, name string) {
				t.Helper()
				for _, s := range p.heard() {
					t.Errorf("%s: %s", name, s)
				}
			}

			start := b.open(t, "start.html")
			linked := strings.Join(start.links(t, "start.html"), "\n")
			for _, want := range []string{workbook, key, markSheet} {
				if !strings.Contains(linked, want) {
					t.Errorf("the start page does not lead to %s", want)
				}
			}
			report(start, "start.html")

			book := b.open(t, workbook)
			code := eval[string](t, book, `document.body.dataset.form || ""`)
			if len(code) < 6 {
				t.Fatalf("form code of %s is %q", workbook, code)
			}
			for _, scheme := range []string{"light", "dark"} {
				book.scheme(t, scheme)
				if n := book.needles(t, 6); n == 0 {
					t.Errorf("%s: no meter face is to be seen in %s", workbook, scheme)
				}
			}
			book.scheme(t, "light")
			if n := book.openFolded(t); (n == 0) != (purpose == "assessment") {
				t.Errorf("%s has %d folded parts", workbook, n)
			}
			if n := book.charts(t); n == 0 && purpose == "practice" {
				t.Errorf("%s: no error chart is to be seen in the solutions", workbook)
			}
			book.narrow(t, 320)
			book.links(t, workbook)
			onScreen := book.textOf(t, "body")
			bookSheets := book.paper(t)
			for _, s := range sheetTroubles(bookSheets, code) {
				t.Errorf("%s on paper: %s", workbook, s)
			}
			report(book, workbook)

			answers := b.open(t, key)
			if n := answers.needles(t, 3); n == 0 {
				t.Errorf("%s: no meter face is to be seen", key)
			}
			answers.narrow(t, 320)
			if n := answers.charts(t); n == 0 {
				t.Errorf("%s: no error chart is to be seen", key)
			}
			answers.links(t, key)
			for _, s := range sheetTroubles(answers.paper(t), code, "assessor only") {
				t.Errorf("%s on paper: %s", key, s)
			}
			report(answers, key)

			marks := b.open(t, markSheet)
			marks.links(t, markSheet)
			for _, s := range sheetTroubles(marks.paper(t), code) {
				t.Errorf("%s on paper: %s", markSheet, s)
			}
			report(marks, markSheet)

			// The reference page says the same on every form, so it can hold
			// no answer to one.
			reference := book.textOf(t, "#reference")
			if other := b.open(t, one(t, folder, "hand-out/workbook-02-*.html")).textOf(t, "#reference"); len(reference) < 100 || other != reference {
				t.Errorf("the reference pages of two copies differ, or are empty")
			}
			secrets := answers.secrets(t, reference)
			if len(secrets) < 20 {
				t.Fatalf("only %d sentences of the key are looked for; has its layout changed?", len(secrets))
			}
			source, err := os.ReadFile(filepath.Join(folder, workbook))
			if err != nil {
				t.Fatal(err)
			}
			for where, text := range map[string]string{
				"on screen": onScreen, "on paper": strings.Join(bookSheets, " "), "in its source": string(source),
			} {
				held := holds(text, secrets)
				switch {
				case purpose == "assessment" && len(held) > 0:
					t.Errorf("%s %s holds %d sentences of the key, such as %q", workbook, where, len(held), held[0])
				case purpose == "practice" && where == "on screen" && len(held) == 0:
					// The search that must find nothing in an assessment
					// finds the solutions of a practice workbook.
					t.Errorf("%s %s holds no solution", workbook, where)
				}
			}
		})
	}
}

// textOf gives all text of one part of the page, folded parts included.
func (p *opened) textOf(t *testing.T, selector string) string {
	t.Helper()
	return eval[string](t, p, fmt.Sprintf(`document.querySelector(%q)?.textContent ?? ""`, selector))
}

// narrow looks whether the page fits a screen of that many CSS pixels without
// being moved sideways; tables may be moved inside their own frame.
func (p *opened) narrow(t *testing.T, width int64) {
	t.Helper()
	if err := chromedp.Do(p.ctx, chromedp.EmulateViewport(width, 640)); err != nil {
		t.Fatal(err)
	}
	if got := eval[int64](t, p, `new Promise(r => requestAnimationFrame(() => r(document.documentElement.scrollWidth)))`); got > width {
		wide := eval[string](t, p, fmt.Sprintf(`Array.from(document.querySelectorAll("body *")).filter(e => {
			if (e.getBoundingClientRect().right <= %d + 1) return false;
			for (let f = e.parentElement; f; f = f.parentElement)
				if (getComputedStyle(f).overflowX !== "visible") return false;
			return true;
		}).map(e => (e.closest("[id]")?.id ?? "") + " " + e.tagName + "." + e.className).slice(0, 3).join(", ")`, width))
		p.trouble("on a screen of %d pixels the page is %d wide (%s)", width, got, wide)
	}
	if err := chromedp.Do(p.ctx, chromedp.ResetViewport()); err != nil {
		t.Fatal(err)
	}
}

// holds lists the sentences that text holds.
func holds(text string, sentences []string) []string {
	var out []string
	all := " " + plain(text) + " "
	for _, s := range sentences {
		if strings.Contains(all, " "+s+" ") {
			out = append(out, s)
		}
	}
	return out
}
