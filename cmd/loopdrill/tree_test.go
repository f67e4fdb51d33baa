package main

import (
	"bytes"
	"context"
	"encoding/json"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// tree gives all names, descriptions and values of the accessibility tree, as
// a reader's program gets them.
func (p *opened) tree(t *testing.T) string {
	t.Helper()
	var out strings.Builder
	p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
		r, err := cdp.Call(ctx, tab, accessibility.GetFullAXTree, accessibility.GetFullAXTreeParams{})
		if err != nil {
			return err
		}
		for _, n := range r.Nodes {
			for _, v := range []*accessibility.Value{n.Name, n.Description, n.Value} {
				if v == nil {
					continue
				}
				var s string
				if json.Unmarshal([]byte(v.Value), &s) == nil {
					out.WriteString(s + "\n")
				}
			}
		}
		return nil
	})
	return out.String()
}

// pdf prints the page as its style wants it.
func (p *opened) pdf(t *testing.T) []byte {
	t.Helper()
	data, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(func(a *page.PrintToPDFParams) {
		yes := true
		a.PreferCSSPageSize, a.PrintBackground = &yes, &yes
	}))
	if err != nil {
		t.Fatal(err)
	}
	return data
}

// TestNoAnswerInTreePaperDataOrNames looks for the sentences of the key in all
// that an assessment hands out besides the text on screen: the accessibility
// tree, the printed pages, the data and texts of scripts, and the names of
// files. The same search finds the solutions of a practice workbook.
func TestNoAnswerInTreePaperDataOrNames(t *testing.T) {
	for _, purpose := range []string{"practice", "assessment"} {
		t.Run(purpose, func(t *testing.T) {
			folder := built(t, purpose)
			b := openBrowser(t, folder)
			book := b.open(t, one(t, folder, "hand-out/workbook-01-*.html"))
			secrets := b.open(t, one(t, folder, "keep/key-01-*.html")).secrets(t, book.textOf(t, "#reference"))
			if len(secrets) < 20 {
				t.Fatalf("only %d sentences of the key are looked for", len(secrets))
			}
			book.openFolded(t)
			tree := book.tree(t)
			if !strings.Contains(tree, "left of centre") && !strings.Contains(tree, "right of centre") {
				t.Error("the tree does not say where a needle stands: is it read at all?")
			}
			data := eval[string](t, book, `[...document.scripts].map(s => s.textContent).join("\n") + JSON.stringify({...localStorage}) +
				[...document.querySelectorAll("*")].flatMap(e => [...e.attributes].filter(a => a.name.startsWith("data-")).map(a => a.value)).join("\n")`)
			var names strings.Builder
			err := fs.WalkDir(os.DirFS(filepath.Join(folder, "hand-out")), ".", func(name string, _ fs.DirEntry, err error) error {
				names.WriteString(name + "\n")
				return err
			})
			if err != nil {
				t.Fatal(err)
			}
			for where, text := range map[string]string{
				"the accessibility tree": tree, "the paper": strings.Join(book.paper(t), " "), "scripts and data": data, "the names of files": names.String(),
			} {
				held := holds(text, secrets)
				if purpose == "assessment" && len(held) > 0 {
					t.Errorf("%s hold %d sentences of the key, such as %q", where, len(held), held[0])
				}
				if purpose == "practice" && where == "the accessibility tree" && len(held) == 0 {
					t.Errorf("%s of a practice workbook holds no solution: the search finds nothing", where)
				}
			}
			// What the page compares by is for practice alone.
			compares := strings.Contains(data, `"boxes":[{"id":`)
			if compares != (purpose == "practice") {
				t.Errorf("data to compare with is there: %v", compares)
			}
			for _, s := range book.heard() {
				t.Error(s)
			}
		})
	}
}

// TestPaperIsTagged: a printed workbook is a tagged PDF, and each picture in it
// has its words.
func TestPaperIsTagged(t *testing.T) {
	folder := built(t, "assessment")
	p := openBrowser(t, folder).open(t, one(t, folder, "hand-out/workbook-01-*.html"))
	data := p.pdf(t)
	pictures := eval[int](t, p, `[...document.querySelectorAll("svg[role=img]")].filter(s => s.checkVisibility()).length`)
	figures, words := bytes.Count(data, []byte("/S /Figure")), bytes.Count(data, []byte("/Alt ("))
	words += bytes.Count(data, []byte("/Alt <"))
	if !bytes.Contains(data, []byte("/MarkInfo")) || pictures == 0 || figures < pictures || words < pictures {
		t.Errorf("tagged: %v; %d pictures on the page, %d figures in the PDF, %d of them with words", bytes.Contains(data, []byte("/MarkInfo")), pictures, figures, words)
	}
}

// TestNothingMoves: once a page has loaded nothing on it changes its place,
// charts and formulas included. (While it loads, the font of formulas may come a
// moment after the first drawing.)
func TestNothingMoves(t *testing.T) {
	folder := built(t, "practice")
	b := openBrowser(t, folder)
	for _, pattern := range []string{"start.html", "hand-out/workbook-01-*.html", "keep/key-01-*.html"} {
		name := one(t, folder, pattern)
		p := b.open(t, name)
		moved := eval[float64](t, p, `new Promise(done => {
			const loaded = performance.getEntriesByType("navigation")[0].loadEventEnd;
			let sum = 0;
			new PerformanceObserver(list => { for (const e of list.getEntries()) if (e.startTime > loaded) sum += e.value; }).observe({type: "layout-shift", buffered: true});
			setTimeout(() => done(sum), 300);
		})`)
		// Measured, not held: a time depends on what else the machine does.
		t.Logf("%s: loaded and drawn after %.0f ms", name, eval[float64](t, p, `performance.getEntriesByType("navigation")[0].loadEventEnd`))
		if moved > 0 {
			t.Errorf("%s: layout shift of %g", name, moved)
		}
		// The measure sees a shift that is made on purpose.
		seen := eval[float64](t, p, `new Promise(done => {
			let sum = 0;
			new PerformanceObserver(list => { for (const e of list.getEntries()) sum += e.value; }).observe({type: "layout-shift"});
			document.body.prepend(Object.assign(document.createElement("div"), {style: "height: 300px"}));
			setTimeout(() => done(sum), 500);
		})`)
		if seen == 0 {
			t.Errorf("%s: a shift made on purpose is not seen", name)
		}
	}
}
