package scenarios_test

import (
	"bytes"
	"flag"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

var update = flag.Bool("update", false, "rewrite the expected messages of testdata/err and the reference page")

// base is the small sound course that every case changes.
func base(t testing.TB) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	dir := os.DirFS("testdata/ok/base")
	err := fs.WalkDir(dir, ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		b, err := fs.ReadFile(dir, name)
		out[name] = &fstest.MapFile{Data: b}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

// testCase is a file of testdata/err or testdata/ok: what it is about, and
// sections that begin with a line "== ...":
//
//	== at FILE      text of the base course, found exactly once,
//	== now          and what stands in its place
//	== file FILE    a whole file
//	== bytes FILE   a whole file, as a quoted Go string
//	== link FILE    a symbolic link
//	== gone FILE    a file taken away
//
// The messages that the case gives stand in a file NAME.out beside it.
type testCase struct {
	name string
	fsys fstest.MapFS
}

func readCase(t testing.TB, path string) testCase {
	t.Helper()
	raw, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	c := testCase{name: strings.TrimSuffix(filepath.Base(path), ".txt"), fsys: base(t)}
	var old, file string
	for i, section := range strings.Split("\n"+string(raw), "\n== ") {
		head, body, _ := strings.Cut(section, "\n")
		if i == 0 {
			continue
		}
		verb, arg, _ := strings.Cut(head, " ")
		if !strings.HasSuffix(body, "\n") && body != "" {
			body += "\n"
		}
		switch verb {
		case "at":
			old, file = strings.TrimSuffix(body, "\n"), arg
			if c.fsys[file] == nil || strings.Count(string(c.fsys[file].Data), old) != 1 {
				t.Fatalf("%s: %q stands not exactly once in %s", path, old, file)
			}
		case "now":
			c.fsys[file] = &fstest.MapFile{Data: bytes.Replace(c.fsys[file].Data, []byte(old), []byte(strings.TrimSuffix(body, "\n")), 1)}
		case "file":
			c.fsys[arg] = &fstest.MapFile{Data: []byte(body)}
		case "bytes":
			s, err := strconv.Unquote(strings.TrimSpace(body))
			if err != nil {
				t.Fatalf("%s: %v", path, err)
			}
			c.fsys[arg] = &fstest.MapFile{Data: []byte(s)}
		case "link":
			c.fsys[arg] = &fstest.MapFile{Mode: fs.ModeSymlink | 0o777, Data: []byte("elsewhere")}
		case "gone":
			delete(c.fsys, arg)
		default:
			t.Fatalf("%s: unknown section %q", path, head)
		}
	}
	return c
}

func cases(t testing.TB, pattern string) []testCase {
	t.Helper()
	paths, err := filepath.Glob(pattern)
	if err != nil || len(paths) == 0 {
		t.Fatalf("no cases at %s: %v", pattern, err)
	}
	var out []testCase
	for _, p := range paths {
		out = append(out, readCase(t, p))
	}
	return out
}

func messages(t testing.TB, c testCase) (string, []diag.Diagnostic) {
	t.Helper()
	course, ds := scenarios.ReadCourse(c.fsys, vocabulary())
	if errs, _ := diag.Count(ds); (course == nil) != (errs > 0) {
		t.Errorf("%s: %d errors, and the course is handed out: %v", c.name, errs, course != nil)
	}
	var b bytes.Buffer
	if err := diag.Write(&b, diag.From(c.fsys), ds, false); err != nil {
		t.Fatal(err)
	}
	return b.String(), ds
}

func TestSilent(t *testing.T) {
	if got, _ := messages(t, testCase{"base", base(t)}); got != "" {
		t.Errorf("the base course is not silent:\n%s", got)
	}
	for _, c := range cases(t, "testdata/ok/*.txt") {
		if got, _ := messages(t, c); got != "" {
			t.Errorf("%s is not silent:\n%s", c.name, got)
		}
	}
}

func TestMessages(t *testing.T) {
	all := cases(t, "testdata/err/*.txt")
	if len(all) < 80 {
		t.Errorf("only %d cases", len(all))
	}
	seen := map[string]bool{}
	for _, c := range all {
		t.Run(c.name, func(t *testing.T) {
			got, ds := messages(t, c)
			if got == "" {
				t.Fatal("no message")
			}
			for _, d := range ds {
				seen[d.Rule] = true
			}
			checkPlaces(t, c.fsys, ds)
			checkWords(t, ds)
			out := filepath.Join("testdata/err", c.name+".out")
			if *update {
				if err := os.WriteFile(out, []byte(got), 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(out)
			if err != nil {
				t.Fatal(err)
			}
			if got != string(want) {
				t.Errorf("got\n%s\nwant\n%s", got, want)
			}
		})
	}
	for _, rule := range scenarios.Rules() {
		if !seen[rule.ID] {
			t.Errorf("rule %q has no case in testdata/err", rule.ID)
		}
		delete(seen, rule.ID)
	}
	for rule := range seen {
		t.Errorf("rule %q is not among Rules()", rule)
	}
}

// checkPlaces holds every place against its file: a line that exists, a column
// not behind its end.
func checkPlaces(t testing.TB, fsys fs.FS, ds []diag.Diagnostic) {
	t.Helper()
	known := map[string][]string{}
	check := func(p diag.Place) {
		if p.File == "" {
			t.Errorf("no file in %+v", p)
		}
		if p.Line == 0 {
			return
		}
		lines := known[p.File]
		if lines == nil {
			b, err := fs.ReadFile(fsys, p.File)
			if err != nil {
				t.Errorf("place in a file that cannot be read: %+v", p)
				return
			}
			lines = lineEnds.Split(strings.TrimPrefix(string(b), "\ufeff"), -1)
			known[p.File] = lines
		}
		if p.Line < 1 || p.Line > len(lines) || p.Column < 1 || p.Width < 1 || p.Column > len([]rune(lines[p.Line-1]))+1 {
			t.Errorf("place outside its file: %+v (%d lines)", p, len(lines))
		}
	}
	for _, d := range ds {
		check(d.At)
		if d.Second != nil {
			check(*d.Second)
			if d.SecondIs == "" {
				t.Error("a second place without words")
			}
		}
	}
}

var lineEnds = regexp.MustCompile("\r\n|\r|\n")

var goTypes = regexp.MustCompile(`\*?yaml\.|!!(?:str|int|map|seq|float|null|bool)|\bstruct\b|\bint64\b|\bfloat64\b|<nil>|%!|strconv|\bmap\[`)

// checkWords holds the sentences against the house style.
func checkWords(t testing.TB, ds []diag.Diagnostic) {
	t.Helper()
	for _, d := range ds {
		switch {
		case d.Summary == "" || d.Rule == "":
			t.Errorf("empty: %+v", d)
		case strings.HasSuffix(d.Summary, "."):
			t.Errorf("ends in a full stop: %s", d.Summary)
		case strings.ContainsAny(d.Summary[:1], "ABCDEFGHIJKLMNOPQRSTUVWXYZ") && !slices.Contains([]string{"HTML", "FV-", "LV-", "LT-", "PT-", "FT-", "TT-", "D i", "X i", "U i", "V i"}, firstOf(d.Summary)):
			t.Errorf("begins with a capital: %s", d.Summary)
		}
		for _, s := range []string{d.Summary, d.Detail, d.Hint} {
			if m := goTypes.FindString(s); m != "" {
				t.Errorf("a word of the program, %q, in: %s", m, s)
			}
		}
	}
}

func firstOf(s string) string {
	if strings.HasPrefix(s, "HTML") {
		return "HTML"
	}
	return s[:min(3, len(s))]
}
