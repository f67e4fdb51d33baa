package diag

import (
	"bytes"
	"encoding/json"
	"strings"
	"testing"
	"testing/fstest"
)

func src(text string) Sources { return func(string) []byte { return []byte(text) } }

func TestWrite(t *testing.T) {
	for _, c := range []struct {
		name, source string
		d            Diagnostic
		want         string
	}{
		{
			"range", "a: 1\nb: 2\n\n    output: 20-4 mA # x\n",
			Diagnostic{Severity: Error, Rule: "range-order", Summary: "output range 20-4 mA runs downwards",
				At: Place{"f.yaml", 4, 13, 7}, Hint: `give the live zero first, as "4-20 mA"`},
			`f.yaml:4:13: error: output range 20-4 mA runs downwards [range-order]
  |
4 |     output: 20-4 mA # x
  |             ^~~~~~~
hint: give the live zero first, as "4-20 mA"
`,
		},
		{
			"second place and detail", "tag: A\ntag: B\n",
			Diagnostic{Severity: Warning, Rule: "r", Summary: "twice", Detail: "only the first counts", At: Place{"f.yaml", 2, 1, 3},
				Second: &Place{"f.yaml", 1, 1, 3}, SecondIs: "first written here"},
			`f.yaml:2:1: warning: twice [r]
  |
2 | tag: B
  | ^~~
only the first counts
f.yaml:1:1: first written here
  |
1 | tag: A
  | ^~~
`,
		},
		{
			"tab and wide letters", "\t水位: x\r\n",
			Diagnostic{Severity: Error, Rule: "r", Summary: "s", At: Place{"f", 1, 6, 1}},
			"f:1:6: error: s [r]\n  |\n1 |     水位: x\n  |           ^\n",
		},
		{
			"combining letters", "e\u0301e\u0301: xy\n",
			Diagnostic{Severity: Error, Rule: "r", Summary: "s", At: Place{"f", 1, 7, 2}},
			"f:1:7: error: s [r]\n  |\n1 | e\u0301e\u0301: xy\n  |     ^~\n",
		},
		{
			"byte order mark", "\ufefftag: A\n",
			Diagnostic{Severity: Error, Rule: "r", Summary: "s", At: Place{"f", 1, 6, 1}},
			"f:1:6: error: s [r]\n  |\n1 | tag: A\n  |      ^\n",
		},
		{
			"escape sequences are not passed on", "a: \x1b[2J\xff\n",
			Diagnostic{Severity: Error, Rule: "r", Summary: "s \x1b[0m\nt", At: Place{"f\x1b", 1, 4, 1}},
			"f\ufffd:1:4: error: s \ufffd[0m t [r]\n  |\n1 | a: \ufffd[2J\ufffd\n  |    ^\n",
		},
		{
			"behind the last letter", "a:\n",
			Diagnostic{Severity: Error, Rule: "r", Summary: "s", At: Place{"f", 1, 9, 4}},
			"f:1:9: error: s [r]\n  |\n1 | a:\n  |   ^\n",
		},
		{
			"no such line", "a\n",
			Diagnostic{Severity: Error, Rule: "r", Summary: "s", At: Place{"f", 7, 1, 1}},
			"f:7:1: error: s [r]\n",
		},
		{
			"the whole file", "a\n",
			Diagnostic{Severity: Error, Rule: "r", Summary: "file is empty", At: Place{File: "f"}},
			"f: error: file is empty [r]\n",
		},
		{
			"long line", strings.Repeat("x", 300) + "HERE" + strings.Repeat("y", 300) + "\n",
			Diagnostic{Severity: Error, Rule: "r", Summary: "s", At: Place{"f", 1, 301, 4}},
			"f:1:301: error: s [r]\n  |\n1 | …" + strings.Repeat("x", 33) + "HERE" + strings.Repeat("y", 62) + "…\n  | " + strings.Repeat(" ", 34) + "^~~~\n",
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			var b bytes.Buffer
			if err := Write(&b, src(c.source), []Diagnostic{c.d}, false); err != nil {
				t.Fatal(err)
			}
			if b.String() != c.want {
				t.Errorf("got\n%s\nwant\n%s", b.String(), c.want)
			}
			b.Reset()
			if err := Write(&b, nil, []Diagnostic{c.d}, true); err != nil {
				t.Fatal(err)
			}
			if !strings.Contains(b.String(), "\x1b[1") {
				t.Error("no colour where it was asked for")
			}
		})
	}
}

func TestSortedOnceEach(t *testing.T) {
	at := func(f string, l, c int) Diagnostic {
		return Diagnostic{Severity: Error, Rule: "r", Summary: "s", At: Place{f, l, c, 1}}
	}
	warn := at("a", 1, 2)
	warn.Severity = Warning
	ds := []Diagnostic{at("b", 1, 1), at("a", 10, 1), warn, at("a", 2, 1), at("a", 1, 2), at("a", 2, 1)}
	var b bytes.Buffer
	if err := Write(&b, nil, ds, false); err != nil {
		t.Fatal(err)
	}
	want := "a:1:2: error: s [r]\n\na:1:2: warning: s [r]\n\na:2:1: error: s [r]\n\na:10:1: error: s [r]\n\nb:1:1: error: s [r]\n"
	if b.String() != want {
		t.Errorf("got\n%s", b.String())
	}
	if ds[0].At.File != "b" {
		t.Error("the caller's list was reordered")
	}
	if e, w := Count(ds); e != 5 || w != 1 {
		t.Errorf("%d errors, %d warnings", e, w)
	}
}

func TestJSON(t *testing.T) {
	var b bytes.Buffer
	if err := WriteJSON(&b, nil); err != nil || b.String() != "[]\n" {
		t.Errorf("%q, %v", b.String(), err)
	}
	b.Reset()
	d := Diagnostic{Severity: Error, Rule: "r", Summary: "<b> & é", At: Place{"f", 1, 2, 3}}
	if err := WriteJSON(&b, []Diagnostic{d}); err != nil {
		t.Fatal(err)
	}
	var back []Diagnostic
	if err := json.Unmarshal(b.Bytes(), &back); err != nil || len(back) != 1 || back[0] != d {
		t.Errorf("%s: %v", b.String(), err)
	}
}

func TestFromLeavesLargeFiles(t *testing.T) {
	fsys := fstest.MapFS{"big": {Data: make([]byte, MostBytes+1)}, "small": {Data: []byte("x")}}
	if From(fsys)("big") != nil || From(fsys)("none") != nil || string(From(fsys)("small")) != "x" {
		t.Error("wrong files read")
	}
}
