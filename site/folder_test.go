package site_test

import (
	"bytes"
	"path"
	"regexp"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/render/sample"
	"loopdrill/site"
)

// folder writes a folder for two copies into memory.
func folder(t *testing.T, purpose exercises.Purpose) map[string]string {
	t.Helper()
	forms := []*exercises.Form{sample.Form(purpose, 1, 4), sample.Form(purpose, 2, 4)}
	out := map[string]string{}
	for _, f := range site.Folder(forms[0].Course, forms, site.Options{}) {
		var b bytes.Buffer
		if err := f.Write(&b); err != nil {
			t.Fatalf("%s: %v", f.Path, err)
		}
		if _, dup := out[f.Path]; dup {
			t.Errorf("%s is written twice", f.Path)
		}
		out[f.Path] = b.String()
	}
	return out
}

func TestFolderHasItsPages(t *testing.T) {
	files := folder(t, exercises.Assessment)
	for _, want := range []string{
		"start.html",
		"hand-out/workbook-01-A3TD-9WV1.html", "hand-out/workbook-02-A3TD-9WV2.html",
		"keep/key-01-A3TD-9WV1.html", "keep/mark-sheet-02-A3TD-9WV2.html",
		"hand-out/assets/style.css", "hand-out/assets/workbook.js", "hand-out/assets/chart.js",
		"hand-out/assets/echarts.min.js", "hand-out/assets/echarts-LICENSE.txt", "hand-out/assets/echarts-NOTICE.txt",
		"keep/assets/style.css", "keep/assets/echarts.min.js",
	} {
		if files[want] == "" {
			t.Errorf("there is no %s", want)
		}
	}
	// 12 kB of it are the tables of units and digits.
	if n := len(files["hand-out/assets/workbook.js"]); n > 60_000 {
		t.Errorf("our script has %d bytes", n)
	}
}

// What may be handed out holds workbooks and assets only, no name or word of a
// key.
func TestHandOutHoldsNoKey(t *testing.T) {
	for name, content := range folder(t, exercises.Assessment) {
		if !strings.HasPrefix(name, site.HandOut+"/") {
			continue
		}
		if !strings.HasPrefix(name, "hand-out/workbook-") && !strings.HasPrefix(name, "hand-out/assets/") {
			t.Errorf("%s is to be handed out", name)
		}
		if strings.HasSuffix(name, ".html") && (strings.Contains(content, "Assessor only") || strings.Contains(content, site.Keep+"/")) {
			t.Errorf("%s knows of the key", name)
		}
	}
}

var address = regexp.MustCompile(`(?:src|href)="([^"#][^"]*)"`)

// Every address on a page leads to a file of the folder, so that the folder
// works from a stick; and a half taken along alone has all that it needs.
func TestAddressesLeadToFiles(t *testing.T) {
	files := folder(t, exercises.Practice)
	seen := 0
	for name, content := range files {
		if !strings.HasSuffix(name, ".html") {
			continue
		}
		for _, m := range address.FindAllStringSubmatch(content, -1) {
			seen++
			to := path.Join(path.Dir(name), m[1])
			if _, ok := files[to]; !ok {
				t.Errorf("%s refers to %s, which is not there", name, m[1])
			}
			if half, _, ok := strings.Cut(name, "/"); ok && !strings.HasPrefix(to, half+"/") {
				t.Errorf("%s needs %s, which is outside its half", name, m[1])
			}
		}
	}
	if seen < 20 {
		t.Errorf("only %d addresses were looked at", seen)
	}
	style := files["keep/assets/style.css"]
	for _, m := range regexp.MustCompile(`url\(["']?([^)"']*)|@import`).FindAllStringSubmatch(style, -1) {
		if strings.HasPrefix(m[1], "data:") {
			continue
		}
		if strings.Contains(m[0], "@import") || strings.Contains(m[1], "//") {
			t.Errorf("the style refers to %q", m[0])
			continue
		}
		if _, ok := files["keep/assets/"+m[1]]; !ok {
			t.Errorf("the style refers to %q, which is not there", m[1])
		}
	}
}

// A workbook of one file refers to nothing, and carries its style, its script,
// the font with its licence, and the chart library only where it has charts.
func TestSingleFile(t *testing.T) {
	for _, purpose := range []exercises.Purpose{exercises.Practice, exercises.Assessment} {
		forms := []*exercises.Form{sample.Form(purpose, 1, 4)}
		names := map[string]bool{}
		for _, f := range site.Folder(forms[0].Course, forms, site.Options{SingleFile: true}) {
			names[f.Path] = true
			if f.Path != site.WorkbookPath(forms[0]) && f.Path != "start.html" {
				continue
			}
			var b bytes.Buffer
			if err := f.Write(&b); err != nil {
				t.Fatal(err)
			}
			page := b.String()
			if f.Path == "start.html" {
				if strings.Contains(page, site.HandOut+"/assets") {
					t.Error("the start page needs a folder that is not there")
				}
				continue
			}
			if m := address.FindString(page[:strings.Index(page, "<script")]); m != "" || strings.Contains(page, "<link") || strings.Contains(page, "<script src") {
				t.Errorf("%s workbook of one file refers to %q", purpose, m)
			}
			for _, want := range []string{"--needle:", `font-family: "Loopdrill Math"`, "SIL OPEN FONT LICENSE", "loopdrill answers"} {
				if !strings.Contains(page, want) {
					t.Errorf("%s workbook of one file lacks %q", purpose, want)
				}
			}
			if has := strings.Contains(page, "Licensed to the Apache Software Foundation") && strings.Contains(page, "echarts"); has != (purpose == exercises.Practice) {
				t.Errorf("%s workbook of one file holds the chart library: %v", purpose, has)
			}
			if strings.Count(page, "<script") != strings.Count(page, "</script>") || strings.Count(page, "<style") != strings.Count(page, "</style>") {
				t.Errorf("%s workbook of one file: a script or style ends early", purpose)
			}
		}
		for n := range names {
			if strings.HasPrefix(n, site.HandOut+"/assets/") {
				t.Errorf("%s is not needed", n)
			}
		}
	}
}
