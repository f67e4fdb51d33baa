package classlist_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"
	"unicode/utf8"

	"loopdrill/scenarios"
	"loopdrill/scenarios/classlist"
	"loopdrill/scenarios/diag"
)

const two = "007 Kari Lindqvist; A-12 Bo Östergård"

func show(l classlist.List) string {
	var out []string
	for _, p := range l {
		out = append(out, strings.TrimSpace(p.Number+" "+p.Name))
	}
	return strings.Join(out, "; ")
}

// TestRead holds lists that are taken, each with what is read of it and the
// warnings it gives.
func TestRead(t *testing.T) {
	for _, row := range []struct{ name, file, text, want, warns string }{
		{"plain", "a.csv", "number,name\n007,Kari Lindqvist\nA-12,Bo Östergård\n", two, ""},
		{"columns in another order, other capitals", "a.csv", "Name, NUMBER\nKari Lindqvist,007\nBo Östergård, A-12", two, ""},
		{"semicolons", "a.csv", "number;name\n007;Kari Lindqvist\nA-12;Bo Östergård\n", two, ""},
		{"tabs", "a.txt", "number\tname\n007\tKari Lindqvist\nA-12\tBo Östergård\n", two, ""},
		{"byte order mark, CRLF, blank lines, quotes", "a.csv", "\ufeff\r\n\"number\",\"name\"\r\n\r\n\"007\",\"Kari Lindqvist\"\r\n,\r\nA-12,Bo  Östergård \r\n\r\n", two, ""},
		{"quoted separators and quotes", "a.csv", "number,name\n1,\"Lindqvist, Kari \"\"K\"\"\"\n", `1 Lindqvist, Kari "K"`, ""},
		{"separator in quotes in semicolon list", "a.csv", "number;name\n1;Lindqvist, Kari\n", "1 Lindqvist, Kari", ""},
		{"other columns", "a.csv", "group,number,mail,name\nB,1,x@y,Kari\n", "1 Kari", ""},
		{"numbers alone", "a.csv", "number\n1\n2\n", "1; 2", ""},
		{"a short line", "a.csv", "number,name\n1\n2,Bo\n", "1; 2 Bo", `2:1: number "1" has no name`},
		{"same name twice", "a.csv", "number,name\n1,Bo\n2,Bo\n", "1 Bo; 2 Bo", `3:3: the name "Bo" stands twice`},
		{"texts like formulas stay text", "a.csv", "number,name\n=1+1,@Bo\n-2,+Eva\n", "=1+1 @Bo; -2 +Eva", ""},
		{"other scripts and combining marks", "a.csv", "number,name\n١,محمد\n2,José\n3,山田 太郎\n4,می‌خواهم\n", "١ محمد; 2 José; 3 山田 太郎; 4 می‌خواهم", ""},
		{"200 characters", "a.csv", "number,name\n1," + strings.Repeat("é", 200) + "\n", "1 " + strings.Repeat("é", 200), ""},
		{"yaml", "a.yaml", "- {number: 007, name: Kari Lindqvist}\n- number: A-12\n  name: Bo Östergård\n", two, ""},
		{"yaml keeps what its types would change", "a.yml", "- {number: 0x10, name: No}\n- {number: 1e3, name: Null}\n- {number: 2026-01-02, name: \"123\"}\n- {number: 1_000, name: 4.50}\n", "0x10 No; 1e3 Null; 2026-01-02 123; 1_000 4.50", ""},
		{"yaml, numbers alone", "a.yaml", "- number: 1\n- number: 2\n  name:\n", "1; 2", `1:3: number "1" has no name|2:3: number "2" has no name`},
	} {
		t.Run(row.name, func(t *testing.T) {
			l, ds := classlist.Read(row.file, []byte(row.text))
			var warns []string
			for _, d := range ds {
				warns = append(warns, fmt.Sprintf("%d:%d: %s", d.At.Line, d.At.Column, d.Summary))
			}
			if got := strings.Join(warns, "|"); show(l) != row.want || got != row.warns {
				t.Errorf("got %q, want %q\nwarnings %q, want %q", show(l), row.want, got, row.warns)
			}
		})
	}
}

// TestMistakes holds lists that are refused: the place, rule and sentence of
// every finding.
func TestMistakes(t *testing.T) {
	seen := map[string]bool{scenarios.RuleTooMany: true}
	long := strings.Repeat("x", 201)
	var many strings.Builder
	many.WriteString("number,name\n")
	for i := range classlist.MostPeople + 1 {
		fmt.Fprintf(&many, "%d,N %d\n", i, i)
	}
	for _, row := range []struct{ name, file, text, want string }{
		{"empty", "a.csv", "", "0:0: [class-list-empty] the file is empty; it should hold a class list"},
		{"blank lines alone", "a.csv", "\n \r\n", "0:0: [class-list-empty] the file is empty; it should hold a class list"},
		{"separators alone", "a.csv", ",\n", "0:0: [class-list-empty] the file holds separators alone; it should hold a class list"},
		{"a header alone", "a.csv", "number,name\n\n", "0:0: [class-list-empty] the list has a first line and nobody below it"},
		{"no header", "a.csv", "1,Kari\n2,Bo\n", `1:1: [class-list-columns] the first line names no column "number"`},
		{"misspelt header", "a.csv", "numbr,name\n2,Bo\n", `1:1: [class-list-columns] the first line names no column "number"`},
		{"misspelt name", "a.csv", "number,nmae\n2,Bo\n", `1:1: [class-list-columns] the first line names no column "name", but one "nmae"`},
		{"a column twice", "a.csv", "number,name,Number\n2,Bo,3\n", `1:13: [class-list-columns] two columns are called "number" > 1:1`},
		{"a comma in a name", "a.csv", "number,name\n1,Lindqvist, Kari\n2,Bo\n", "2:13: [class-list-columns] this line has 3 fields, the first line names 2"},
		{"missing numbers", "a.csv", "number,name\n,Kari\n ,Bo\n", `2:1: [class-list-number] "Kari" has no number|3:1: [class-list-number] "Bo" has no number`},
		{"a number twice", "a.csv", "number,name\n1,Kari\n2,Bo\n1,Eva\n", `4:1: [class-list-duplicate] number "1" is given twice > 2:1`},
		{"numbers that differ in capitals", "a.csv", "name,number\nKari,a1\nBo,A1\n", `3:4: [class-list-duplicate] numbers "a1" and "A1" differ in capitals alone > 2:6`},
		{"a place behind wide letters", "a.csv", "name,number\n山田,a1\nBö,a1\n", `3:4: [class-list-duplicate] number "a1" is given twice > 2:4`},
		{"a long name", "a.csv", "number,name\n1," + long + "\n", "2:3: [class-list-name] this name has 201 characters; at most 200 fit a sheet"},
		{"a long number", "a.csv", "number,name\n" + long + ",Bo\n", "2:1: [class-list-number] this number has 201 characters; at most 40 fit a sheet"},
		{"a name on two lines", "a.csv", "number,name\n1,\"Kari\nLindqvist\"\n", "2:3: [class-list-name] this name has a line end or a tab in it"},
		{"a quote that is not closed", "a.csv", "number,name\n1,\"Kari\n2,Bo\n", "2:1: [class-list-quotes] behind the quote that closes a field stands more text, or the quote is never closed"},
		{"a quote inside", "a.csv", "number,name\n1,Kari \"K\" L\n", "2:8: [class-list-quotes] a quote stands inside a field that does not begin with one"},
		{"a number kept by a formula", "a.csv", "number,name\n=\"007\",Bo\n", "2:2: [class-list-quotes] a quote stands inside a field that does not begin with one"},
		{"text direction turned over", "a.csv", "number,name\n1,Ka\u202eri\n", "2:5: [encoding] there is an invisible control character here (U+202E)"},
		{"a control character", "a.csv", "number,name\n1,Ka\x07ri\n", "2:5: [encoding] there is an invisible control character here (U+0007)"},
		{"an older encoding", "a.csv", "number,name\n1,\xd6stergren\n", "2:3: [encoding] there is a byte here that is not text in UTF-8"},
		{"UTF-16", "a.csv", "\xff\xfen\x00u\x00", "0:0: [encoding] the file is written in UTF-16"},
		{"UTF-16 without a mark", "a.csv", "n\x00u\x00", "0:0: [encoding] this is not a text file: it holds zero bytes"},
		{"a spreadsheet", "a.csv", "PK\x03\x04\x14\x00", "0:0: [encoding] this is the file of a spreadsheet or another program, not text"},
		{"too many", "a.csv", many.String(), "10002:1: [class-list-size] here begin more than 10000 people"},
		{"too large", "a.csv", strings.Repeat("a", classlist.MostBytes+1), "0:0: [class-list-size] the file has 2048 kB; a class list has at most 2048 kB"},
		{"a long line", "a.csv", "number,name\n" + strings.Repeat(",", classlist.LongestLine+1), "2:1: [class-list-size] this line has 64 kB; at most 64 kB are read"},
		{"yaml, empty", "a.yaml", "", "0:0: [empty-file] the file is empty; it should hold a list"},
		{"yaml, an empty list", "a.yaml", "[]\n", "1:1: [empty-list] the list is empty"},
		{"yaml, no list", "a.yaml", "number: 1\nname: Bo\n", "1:1: [wrong-type] the file should be a list, not a block of keys"},
		{"yaml, an item that is no person", "a.yaml", "- Bo\n", `1:3: [wrong-type] an item of the list should be a block of keys, not the text "Bo"`},
		{"yaml, keys", "a.yaml", "- {numbr: 1, name: Bo}\n", `1:3: [missing-key] this person has no "number"|1:4: [unknown-key] a person has no key "numbr"`},
		{"yaml, a key twice", "a.yaml", "- number: 1\n  number: 2\n  name: Bo\n", `2:3: [duplicate-key] key "number" is written twice in this person > 1:3`},
		{"yaml, number left blank", "a.yaml", "- number:\n  name: Bo\n", `1:3: [class-list-number] "Bo" has no number`},
		{"yaml, a number twice", "a.yaml", "- {number: 007, name: Eva}\n- {number: '007', name: Bo}\n", `2:12: [class-list-duplicate] number "007" is given twice > 1:12`},
		{"yaml, direction turned over by an escape", "a.yaml", "- {number: 1, name: \"K\\u202Eari\"}\n", `1:21: [value] "name": there is an invisible character in this text, from a "\" between double quotes`},
		{"yaml, a line end by an escape", "a.yaml", "- {number: 1, name: \"K\\nari\"}\n", "1:21: [class-list-name] this name has a line end or a tab in it"},
		{"yaml, an alias", "a.yaml", "- &a {number: 1, name: Bo}\n- *a\n", "2:3: [alias] aliases (*name) are not read here"},
		{"yaml, syntax", "a.yaml", "- {number: 1, name: Bo\n", "1:1: [syntax] near line 1: a block in { } is not closed, or a comma is missing in it"},
		{"yaml, too many", "a.yaml", strings.Repeat("- number: 1\n", classlist.MostPeople+1), "10001:3: [out-of-bounds] the list has 10001 items; at most 10000 are read"},
	} {
		t.Run(row.name, func(t *testing.T) {
			l, ds := classlist.Read(row.file, []byte(row.text))
			var got []string
			for _, d := range ds {
				if d.Severity != diag.Error {
					continue
				}
				seen[d.Rule] = true
				s := fmt.Sprintf("%d:%d: [%s] %s", d.At.Line, d.At.Column, d.Rule, d.Summary)
				if d.Second != nil {
					s += fmt.Sprintf(" > %d:%d", d.Second.Line, d.Second.Column)
				}
				got = append(got, s)
				if d.Hint == "" && d.Rule != scenarios.RuleEmpty && d.Rule != scenarios.RuleEmptyList && d.Rule != scenarios.RuleBounds {
					t.Errorf("no hint: %s", s)
				}
			}
			if g := strings.Join(got, "|"); g != row.want || l != nil {
				t.Errorf("got  %s\nwant %s\nlist %v", g, row.want, l)
			}
			places(t, row.file, []byte(row.text), ds)
		})
	}
	for _, r := range classlist.Rules() {
		if !seen[r.ID] {
			t.Errorf("rule %q has no case", r.ID)
		}
	}
}

// TestManyFindings: a hundred are shown, and then that there are more; errors
// behind the hundredth refuse the list.
func TestManyFindings(t *testing.T) {
	var b strings.Builder
	b.WriteString("number,name\n")
	for i := range 300 {
		fmt.Fprintf(&b, "%d,\n", i)
	}
	l, ds := classlist.Read("a.csv", []byte(b.String()))
	if errs, warns := diag.Count(ds); len(l) != 300 || errs != 0 || warns != 101 {
		t.Errorf("%d people, %d errors, %d warnings", len(l), errs, warns)
	}
	b.WriteString("7,\n")
	l, ds = classlist.Read("a.csv", []byte(b.String()))
	if errs, _ := diag.Count(ds); l != nil || errs != 1 || !slices.ContainsFunc(ds, func(d diag.Diagnostic) bool { return d.Rule == scenarios.RuleTooMany }) {
		t.Errorf("%d people, %d errors", len(l), errs)
	}
}

// TestHostileLists: no list takes long, whatever stands in it.
func TestHostileLists(t *testing.T) {
	for _, row := range []struct{ name, file, unit string }{
		{"brackets", "a.yaml", "["}, {"list in a line", "a.yaml", "- {a: b}, "}, {"indents", "a.yaml", "- a: b\n"}, {"anchors", "a.yaml", "- &a *a\n"},
		{"one flow list", "a.yaml", "{number: 1, name: a}, "}, {"unknown keys", "a.yaml", "{a: 1}, "}, {"quotes", "a.yaml", "\"a "}, {"tags", "a.yaml", "!a "},
		{"quotes", "a.csv", "\""}, {"commas", "a.csv", ","}, {"quoted line ends", "a.csv", "\"\n\","}, {"same person", "a.csv", "1,a\n"}, {"long fields", "a.csv", "a"},
	} {
		n := classlist.MostBytes
		if row.file == "a.yaml" {
			n = classlist.MostYAMLBytes
		}
		text := strings.Repeat(row.unit, n/len(row.unit)-2)
		if strings.HasPrefix(row.unit, "{") {
			text = "[" + text + "]"
		}
		if row.file == "a.csv" {
			text = "number,name\n" + text[:len(text)-20]
		}
		start := time.Now()
		_, ds := classlist.Read(row.file, []byte(text))
		// A guard against what grows with the square of a list, which takes
		// minutes; not a measure of speed, which depends on the machine.
		if took := time.Since(start); took > 30*time.Second*slow {
			t.Errorf("%s, %s: %v", row.file, row.name, took)
		}
		if len(ds) == 0 {
			t.Errorf("%s, %s: no finding", row.file, row.name)
		}
	}
}

// places holds every place against its file.
func places(t *testing.T, file string, b []byte, ds []diag.Diagnostic) {
	t.Helper()
	text := strings.ReplaceAll(strings.ReplaceAll(strings.TrimPrefix(string(b), "\ufeff"), "\r\n", "\n"), "\r", "\n")
	lines := strings.Split(text, "\n")
	for _, d := range ds {
		for _, p := range []*diag.Place{&d.At, d.Second} {
			if p == nil || p.Line == 0 && p.Column == 0 {
				continue
			}
			if p.File != file || p.Line < 1 || p.Line > len(lines) || p.Column < 1 || p.Width < 1 || p.Column > utf8.RuneCountInString(lines[p.Line-1])+1 {
				t.Errorf("place outside its file: %+v (%d lines)", *p, len(lines))
			}
		}
	}
	var out bytes.Buffer
	if err := diag.Write(&out, diag.From(fs.FS(fstest.MapFS{file: {Data: b}})), ds, false); err != nil {
		t.Error(err)
	}
}

// FuzzClassList reads whatever the fuzzer makes, as CSV and as YAML: nothing
// panics, every place lies inside the file, a list is handed out exactly when
// there is no error, and what is handed out keeps its promises.
func FuzzClassList(f *testing.F) {
	for _, s := range []string{
		"number,name\n007,Kari Lindqvist\nA-12,Bo Östergård\n", "\ufeffname;number\r\n\"a;\"\"b\";1\r\n\r\n;2\r\n", "number\tname\n1\ta\n1\tb\n", "number,name\n1,\"Kari\n2,Bo\n",
		"number,name\n=\"007\",Bo\n", "number\n1\n", "- {number: 007, name: Kari}\n- number: A-12\n  name: Bo\n", "- number: 1\n  number: 2\n", "- &a {number: 1}\n- *a\n", "[]", "- {number: 1, name: \"K\\u202Eari\"}\n",
		"n\x00", "\xff\xfe", "number,name\n1,\xd6\n",
	} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		for _, file := range []string{"a.csv", "a.yaml"} {
			l, ds := classlist.Read(file, b)
			if errs, _ := diag.Count(ds); (errs > 0) != (l == nil) {
				t.Errorf("%d errors, %d people", errs, len(l))
			}
			places(t, file, b, ds)
			seen := map[string]bool{}
			for _, p := range l {
				key := strings.ToLower(p.Number)
				if p.Number == "" || seen[key] || utf8.RuneCountInString(p.Number) > classlist.LongestNumber || utf8.RuneCountInString(p.Name) > classlist.LongestName || strings.ContainsAny(p.Number+p.Name, "\n\r\t\x00\u202e\ufeff") || !utf8.ValidString(p.Number+p.Name) {
					t.Errorf("%q", p)
				}
				seen[key] = true
			}
			again, more := classlist.Read(file, b)
			if !slices.Equal(l, again) || len(ds) != len(more) {
				t.Error("two readings differ")
			}
		}
	})
}

// TestShownLists reads the two lists that the reference page shows: they are
// the same class.
func TestShownLists(t *testing.T) {
	const want = "0417 Kari Lindqvist; 0418 Östergård, Bo; B-09 Maryam Farrokh"
	for _, name := range []string{"class.csv", "class.yaml"} {
		b, err := os.ReadFile("testdata/" + name)
		if err != nil {
			t.Fatal(err)
		}
		if l, ds := classlist.Read(name, b); show(l) != want || len(ds) > 0 {
			t.Errorf("%s: %s %+v", name, show(l), ds)
		}
	}
}
