package main

import (
	"bytes"
	"context"
	"fmt"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/chromedp"
)

// builtWith builds the shipped course with more flags.
func builtWith(t *testing.T, flags ...string) string {
	t.Helper()
	dir, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	dir = filepath.Join(dir, "course")
	code, _, stderr := run(append([]string{"build", "--out", dir, "--copies", "1", "--seed", "browser-check", "--for", "practice"}, flags...)...)
	if code != exitFine {
		t.Fatalf("build %v: exit code %d\n%s", flags, code, stderr)
	}
	return dir
}

// beyondPaper lists what is wider than the room between the margins of a sheet.
// A browser prints a page with such a piece smaller as a whole, and then
// neither the faces nor the letters have their size.
func (p *opened) beyondPaper(t *testing.T, millimetres float64) []string {
	t.Helper()
	p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{Media: "print"})
		return err
	})
	if err := chromedp.Do(p.ctx, chromedp.EmulateViewport(int64(millimetres*96/25.4), 900)); err != nil {
		t.Fatal(err)
	}
	out := eval[[]string](t, p, fmt.Sprintf(`new Promise(r => requestAnimationFrame(() => {
		const most = %f + 1, shown = e => { for (let p = e; p; p = p.parentElement) if (p.tagName === "DETAILS" && p !== e && !e.closest("summary")) return e.checkVisibility(); return true };
		r([...document.querySelectorAll("body *")].filter(e => e.checkVisibility() && shown(e) && !e.closest("svg *, .vh, math *") && e.getBoundingClientRect().right > most)
			.map(e => (e.closest("section[id], [id]")?.id ?? "") + " " + e.tagName + "." + (e.getAttribute("class") || "") + " to " + Math.round(e.getBoundingClientRect().right) + ": " + e.textContent.slice(0, 50).replace(/\s+/g, " ")));
	}))`, millimetres*96/25.4))
	p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{})
		return err
	})
	if err := chromedp.Do(p.ctx, chromedp.ResetViewport()); err != nil {
		t.Fatal(err)
	}
	return out
}

// letters gives the height of most words of a printed page, in points.
func (p *opened) letters(t *testing.T) string {
	t.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("printed letters were not measured, although LOOPDRILL_BROWSER is there: pdftotext is missing (package poppler-utils)")
	}
	cmd := exec.Command(reader, "-bbox", "-", "-")
	cmd.Stdin = bytes.NewReader(p.pdf(t))
	out, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	count := map[string]int{}
	most := ""
	for _, m := range wordBox.FindAllSubmatch(out, -1) {
		low, err1 := strconv.ParseFloat(string(m[1]), 64)
		high, err2 := strconv.ParseFloat(string(m[2]), 64)
		if err1 != nil || err2 != nil {
			t.Fatal(err1, err2)
		}
		h := strconv.FormatFloat(high-low, 'f', 1, 64)
		if count[h]++; count[h] > count[most] {
			most = h
		}
	}
	return most
}

var wordBox = regexp.MustCompile(`<word xMin="[\d.]+" yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)"`)

// TestPaperKeepsItsScale: what is written as 10 pt (18 pt in large print, 9 pt
// in a key) is printed so, and a face then has its millimetres. A browser prints
// a whole book smaller where one piece, even one out of sight, is too wide.
func TestPaperKeepsItsScale(t *testing.T) {
	for _, course := range []string{"live-zero-basics", "loop-check-practice", "loop-technician", "permit-to-record"} {
		for _, row := range []struct {
			flags   []string
			pattern string
			points  string
		}{
			{nil, "hand-out/workbook-01-*.html", "10pt"},
			{nil, "keep/key-01-*.html", "9pt"},
			{[]string{"--paper", "letter", "--large-print"}, "hand-out/workbook-01-*.html", "18pt"},
		} {
			folder := builtWith(t, append([]string{course}, row.flags...)...)
			b := openBrowser(t, folder)
			p := b.open(t, one(t, folder, row.pattern))
			got := p.letters(t)
			eval[bool](t, p, fmt.Sprintf(`(document.body.innerHTML = "<p style='font-size: %s; margin: 0'>" + "words to measure by ".repeat(50), true)`, row.points))
			if want := p.letters(t); got != want {
				t.Errorf("%s %v: letters of %s are printed %s pt high, want %s", course, row.flags, row.pattern, got, want)
			}
		}
	}
}

// TestNothingIsCutOffOnPaper: every page fits both papers in both sizes of
// print, the printed solutions too.
func TestNothingIsCutOffOnPaper(t *testing.T) {
	for _, row := range []struct {
		name        string
		flags       []string
		millimetres float64 // between the margins
	}{
		{"A4", nil, 210 - 32},
		{"letter", []string{"--paper", "letter"}, 215.9 - 32},
		{"A4, large print", []string{"--large-print"}, 210 - 32},
		{"letter, large print", []string{"--large-print", "--paper", "letter"}, 215.9 - 32},
		{"A4, loop check", []string{"loop-check-practice"}, 210 - 32},
		{"A4, technician", []string{"loop-technician"}, 210 - 32},
		{"A4, technician, large print", []string{"loop-technician", "--large-print"}, 210 - 32},
	} {
		t.Run(row.name, func(t *testing.T) {
			folder := builtWith(t, row.flags...)
			b := openBrowser(t, folder)
			for _, pattern := range []string{"hand-out/workbook-01-*.html", "keep/key-01-*.html", "keep/mark-sheet-01-*.html", "start.html"} {
				name := one(t, folder, pattern)
				p := b.open(t, name)
				eval[bool](t, p, `(document.body.classList.add("print-solutions"), document.querySelectorAll("details").forEach(d => d.open = true), true)`)
				if wide := p.beyondPaper(t, row.millimetres); len(wide) > 0 {
					t.Errorf("%s: %d pieces are wider than the paper:\n  %s", name, len(wide), strings.Join(wide[:min(len(wide), 12)], "\n  "))
				}
				if strings.Contains(row.name, "large") && pattern != "start.html" {
					if small := eval[[]string](t, p, `[...document.querySelectorAll("body *")].filter(e => e.checkVisibility() && !e.closest("svg, math, sub, sup, .vh") &&
						[...e.childNodes].some(n => n.nodeType === 3 && n.data.trim()) && parseFloat(getComputedStyle(e).fontSize) < 23.9)
						.map(e => e.tagName + "." + e.className + " " + getComputedStyle(e).fontSize)`); len(small) > 0 {
						t.Errorf("%s: %d pieces of text are smaller than 18 pt, such as %s", name, len(small), strings.Join(small[:min(len(small), 6)], ", "))
					}
				}
			}
		})
	}
}
