package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// face is a meter face as small as it can be drawn.
const face = `<div class="face"><svg width="300" height="150" viewBox="0 0 300 150">
<rect width="300" height="150" fill="white"/><path class="needle" d="M149 140 L150 10 L151 140 Z" fill="#a8321e"/></svg></div>`

// chart is an error chart of 300 by 100 pixels in a frame of the given style.
func chart(style string) string {
	return `<div class="chart" id="c" data-drawn style="` + style + `"><svg width="300" height="100">` +
		strings.Repeat(`<path d="M0 0 L100 90" stroke="black"/>`, 6) + `</svg></div>`
}

// TestBrowserChecksCanFail opens made-up pages, each with one thing wrong.
func TestBrowserChecksCanFail(t *testing.T) {
	folder := t.TempDir()
	b := openBrowser(t, folder)
	if err := os.WriteFile(filepath.Join(folder, "ok.js"), []byte("let ok = 1;"), 0o666); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name, body string
		trouble    string // part of the only trouble; empty: none
	}{
		{"nothing wrong", face + `<script src="ok.js"></script>`, ""},
		{"console error", `<script>console.error("broken", 1)</script>`, "console error"},
		{"console warning", `<script>console.warn("nearly")</script>`, "console warning"},
		{"exception", `<script>setTimeout(() => { throw new Error("oh") })</script>`, "exception"},
		{"broken promise", `<script>Promise.reject(new Error("oh"))</script>`, "exception"},
		{"a picture from the network", `<img src="http://127.0.0.1:9/x.png" alt="">`, "request beyond the folder"},
		{"a style from the network", `<link rel="stylesheet" href="https://127.0.0.1:9/x.css">`, "request beyond the folder"},
		{"a script asks the network", `<script>fetch("http://127.0.0.1:9/").catch(() => {})</script>`, "request beyond the folder"},
		{"a file outside", `<img src="../../secret.png" alt="">`, "request beyond the folder"},
		{"a file that is missing", `<script src="gone.js"></script>`, "gone.js"},
		{"needle of the colour of the face", strings.ReplaceAll(face, "#a8321e", "#fefefe"), "the needle shows in"},
		{"needle without size", strings.ReplaceAll(face, "M149 140 L150 10 L151 140", "M150 140 L150 139"), "the needle shows in"},
		{"needle covered", strings.ReplaceAll(face, "</svg>", `<rect width="300" height="150" fill="white"/></svg>`), "the needle shows in"},
		{"face without size", `<div class="face"><svg width="0" height="0"></svg></div>`, "face 1 has no size"},
		{"face folded away", `<details><summary>s</summary>` + strings.ReplaceAll(face, "#a8321e", "#fefefe") + `</details>`, ""},
		{"needle left out", strings.ReplaceAll(face, `class="needle"`, `class="needle" display="none"`), "the needle shows in"},
		{"chart not drawn", `<div class="chart" id="c" style="height:100px"></div>`, "chart c is not drawn"},
		{"chart drawn empty", `<div class="chart" id="c" data-drawn style="height:100px"><svg><path d="M0 0"/></svg></div>`, "chart c holds 0 lines"},
		{"chart wider than its frame", chart("width:100px"), "chart c is wider"},
		{"chart right", chart("width:300px"), ""},
		{"chart folded away", `<details><summary>s</summary><div class="chart" id="c">x</div></details>`, ""},
		{"link that leads nowhere", `<a href="gone.html#a">x</a>`, "gone.html#a leads nowhere"},
		{"link that leads somewhere", `<a href="ok.js">x</a> <a href="#x">y</a>`, ""},
		{"page too wide", `<p style="width:500px">x</p>`, "the page is 5"},
		{"table in a frame of its own", `<div style="overflow-x:auto"><p style="width:500px">x</p></div>`, ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			name := strings.ReplaceAll(row.name, " ", "-") + ".html"
			html := "<!DOCTYPE html><html lang=\"en\"><head><meta charset=\"utf-8\"><meta name=\"viewport\" content=\"width=device-width\"><title>t</title><style>.face svg { max-width: 100% }</style></head><body>" + row.body + "</body></html>"
			if err := os.WriteFile(filepath.Join(folder, name), []byte(html), 0o666); err != nil {
				t.Fatal(err)
			}
			p := b.open(t, name)
			p.needles(t, 5)
			p.charts(t)
			p.links(t, name)
			p.narrow(t, 320)
			got := p.heard()
			switch {
			case row.trouble == "" && len(got) > 0:
				t.Errorf("nothing is wrong, but: %q", got)
			case row.trouble != "" && !strings.Contains(strings.Join(got, "\n"), row.trouble):
				t.Errorf("want %q, got %q", row.trouble, got)
			}
		})
	}
}

func TestHolds(t *testing.T) {
	text := plain("The Zero stands 0.8 %\n of span too low. Adjust it.")
	for s, want := range map[string]int{
		"the zero stands 0 8 of span": 1, "adjust it": 1, "zero stand": 0, "adjust it first": 0,
	} {
		if got := holds(text, []string{s}); len(got) != want {
			t.Errorf("%q: %q", s, got)
		}
	}
}

// A workbook that is two sheets long, the second without its code.
func TestSheetTroubles(t *testing.T) {
	for _, row := range []struct {
		name   string
		sheets []string
		want   int
	}{
		{"right", []string{"Form K7-ABCD  page 1 of 2", "text\nForm K7-ABCD  page 2   of 2"}, 0},
		{"code missing", []string{"Form K7-ABCD page 1 of 2", "page 2 of 2"}, 1},
		{"count wrong", []string{"Form K7-ABCD page 1 of 1", "Form K7-ABCD page 2 of 1"}, 2},
		{"both", []string{""}, 2},
	} {
		if got := sheetTroubles(row.sheets, "K7-ABCD"); len(got) != row.want {
			t.Errorf("%s: %q", row.name, got)
		}
	}
}
