package main

import (
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"loopdrill/exercises"
)

// fromNPM finds a file of the packages in cmd/verify/npm, which are for checks
// alone. Without it the test is skipped, which cmd/verify lists as left out and
// counts as failed under CI.
func fromNPM(t *testing.T, name string) string {
	t.Helper()
	path := filepath.Join("..", "verify", "npm", "node_modules", filepath.FromSlash(name))
	if _, err := os.Stat(path); err != nil {
		t.Skipf("%s is not installed: run npm ci --ignore-scripts in cmd/verify/npm", name)
	}
	path, err := filepath.Abs(path)
	if err != nil {
		t.Fatal(err)
	}
	return path
}

// kindsOfPage builds one page of every kind and gives their files: the shipped
// course for both purposes, and the sample that has every kind of box.
func kindsOfPage(t *testing.T) (pages map[string]string) {
	t.Helper()
	pages = map[string]string{}
	add := func(what, folder string, patterns ...string) {
		for _, pattern := range patterns {
			name := one(t, folder, pattern)
			pages[what+" "+strings.SplitN(filepath.Base(name), "-0", 2)[0]] = filepath.Join(folder, name)
		}
	}
	add("practice", builtWith(t, "--copies", "1"), "start.html", "hand-out/workbook-01-*.html", "keep/key-01-*.html", "keep/mark-sheet-01-*.html")
	add("large single-file", builtWith(t, "--large-print", "--single-file"), "hand-out/workbook-01-*.html", "keep/key-01-*.html")
	add("assessment", built(t, "assessment"), "start.html", "hand-out/workbook-01-*.html", "keep/key-01-*.html", "keep/mark-sheet-01-*.html")
	add("sample", sampleFolder(t, exercises.Practice), "hand-out/workbook-01-*.html", "keep/key-01-*.html")
	add("marks", markedFolder(t), "hand-out/feedback-01-*.html", "keep/record-01-*.html", "keep/class-report.html", "keep/queries.html", "keep/second-marking.html")
	add("bench", builtWith(t, benchCourse), "start.html", "keep/bench-cards-01-*.html", "keep/observation-sheets-01-*.html")
	return pages
}

// newerThanTheValidator are properties that browsers have and the validator
// does not know yet: math-style of MathML Core, paint-order of SVG 2.
var newerThanTheValidator = []string{"“math-style”", "“paint-order”"}

// TestPagesAreValid gives every kind of page to the Nu Html Checker: HTML with
// the SVG and MathML in it, and the style sheet.
func TestPagesAreValid(t *testing.T) {
	if os.Getenv("LOOPDRILL_BROWSER") == "none" {
		t.Skip("LOOPDRILL_BROWSER=none: pages are not looked at in this run")
	}
	jar := fromNPM(t, "vnu-jar/build/dist/vnu.jar")
	java, err := exec.LookPath("java")
	if err != nil {
		t.Skip("the pages were not validated: Java is not installed (package default-jre-headless)")
	}
	type message struct {
		Type, SubType, URL, Message, Extract string
		LastLine                             int `json:"lastLine"`
	}
	validate := func(args ...string) []message {
		cmd := exec.Command(java, append([]string{"-Xss8m", "-jar", jar, "--format", "json", "--stdout", "--exit-zero-always"}, args...)...)
		out, err := cmd.Output()
		if err != nil {
			t.Fatalf("vnu: %v", err)
		}
		var report struct{ Messages []message }
		if err := json.Unmarshal(out, &report); err != nil {
			t.Fatalf("vnu: %v\n%.300s", err, out)
		}
		return report.Messages
	}
	pages := kindsOfPage(t)
	var files []string
	style := ""
	for _, f := range pages {
		files = append(files, f)
		if s := filepath.Join(filepath.Dir(f), "assets", "style.css"); style == "" {
			if _, err := os.Stat(s); err == nil {
				style = s
			}
		}
	}
	if len(files) < 10 || style == "" {
		t.Fatalf("only %d pages, style %q", len(files), style)
	}
	found := append(validate(append([]string{"--skip-non-html"}, files...)...), validate("--css", style)...)
next:
	for _, m := range found {
		for _, s := range newerThanTheValidator {
			if strings.Contains(m.Message, "CSS: "+s) {
				continue next
			}
		}
		t.Errorf("%s:%d: %s %s: %s\n  %.200s", m.URL, m.LastLine, m.Type, m.SubType, m.Message, m.Extract)
	}
	// The validator is really there: it finds a fault put into a page.
	broken := filepath.Join(t.TempDir(), "broken.html")
	if err := os.WriteFile(broken, []byte("<!DOCTYPE html><html lang=en><title>x</title><p><div></p><table><tr><td colspan=x></table>"), 0o600); err != nil {
		t.Fatal(err)
	}
	if len(validate("--skip-non-html", broken)) < 2 {
		t.Error("the validator finds nothing in a broken page")
	}
}

// TestPagesAreAccessible runs the rules of WCAG 2.2 A and AA that a program can
// judge over every kind of page, light and dark, with all that can be unfolded
// open.
func TestPagesAreAccessible(t *testing.T) {
	source, err := os.ReadFile(fromNPM(t, "axe-core/axe.min.js"))
	if err != nil {
		t.Fatal(err)
	}
	b := openBrowser(t, t.TempDir())
	for what, file := range kindsOfPage(t) {
		t.Run(what, func(t *testing.T) {
			b := *b
			b.folder = filepath.Dir(filepath.Dir(file))
			if filepath.Base(file) == "start.html" {
				b.folder = filepath.Dir(file)
			}
			name, err := filepath.Rel(b.folder, file)
			if err != nil {
				t.Fatal(err)
			}
			p := b.open(t, name)
			eval[bool](t, p, string(source)+"; true")
			// What only shows after working: solutions and comparisons.
			eval[bool](t, p, `(document.querySelectorAll("details").forEach(d => d.open = true),
				document.querySelectorAll("input.box:not(.place)").forEach((f, i) => { f.value = "1"; }),
				document.querySelectorAll(".compare button").forEach(b => b.click()), true)`)
			for _, scheme := range []string{"light", "dark"} {
				p.scheme(t, scheme)
				type violation struct{ ID, Help, Nodes string }
				found := eval[[]violation](t, p, `axe.run(document, {preload: false, resultTypes: ["violations"], runOnly: {type: "tag", values: ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22a", "wcag22aa"]}})
					.then(r => r.violations.map(v => ({ID: v.id, Help: v.help, Nodes: v.nodes.length + ": " + v.nodes.slice(0, 3).map(n => n.html.slice(0, 160) + " (" + n.failureSummary.slice(0, 200) + ")").join(" | ")})))`)
				for _, v := range found {
					t.Errorf("%s: %s, %s: %s", scheme, v.ID, v.Help, v.Nodes)
				}
			}
			// The rules are really run: a field without a name is found.
			if n := eval[int](t, p, `(document.querySelector("body").append(Object.assign(document.createElement("input"), {id: "nameless"})), axe.run("#nameless", {preload: false, runOnly: ["label"]}).then(r => r.violations.length))`); n != 1 {
				t.Errorf("a field without a name gives %d violations", n)
			}
			for _, s := range p.heard() {
				t.Error(s)
			}
		})
	}
}
