package main

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// sources writes a module of a few files into a folder of its own.
func sources(t *testing.T, files map[string]string) *verifier {
	t.Helper()
	dir := t.TempDir()
	for name, text := range files {
		path := filepath.Join(dir, filepath.FromSlash(name))
		if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(path, []byte(text), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	return &verifier{root: dir, out: &shared{w: &bytes.Buffer{}}, now: time.Now}
}

const goMod = "module sample\n\ngo 1.26\n"

// The tests of three small modules are really run.
func TestGoTest(t *testing.T) {
	for _, row := range []struct {
		name  string
		test  string
		err   string // part of the error; empty: passes
		shown string // what must be seen
		left  []leftOut
	}{
		{"passes", `func TestA(t *testing.T) { t.Log("quiet"); t.Run("sub", func(t *testing.T) {}) }`,
			"", "1 tests in 1 packages passed", nil},
		{"fails", `func TestA(t *testing.T) { t.Error("the reason") }; func TestB(t *testing.T) {}`,
			"failed: sample TestA", "the reason", nil},
		{"does not compile", `func TestA(t *testing.T) { nothing() }`,
			"failed: sample", "undefined: nothing", nil},
		{"panics", `func TestA(t *testing.T) { panic("oh dear") }`,
			"failed: sample", "oh dear", nil},
		{"skips", `func TestA(t *testing.T) {}; func TestB(t *testing.T) { t.Skip("no ruler") }`,
			"", "1 tests in 1 packages passed", []leftOut{{"sample TestB", "no ruler"}}},
		{"skips a part", `func TestA(t *testing.T) { t.Run("sub", func(t *testing.T) { t.SkipNow() }) }`,
			"", "ok", []leftOut{{"sample TestA/sub", "it gives no reason"}}},
		{"skips an input of a fuzz target", `func FuzzA(f *testing.F) { f.Add(1); f.Fuzz(func(t *testing.T, n int) { t.Skip("not this one") }) }`,
			"", "1 tests in 1 packages passed", nil},
		{"skips a fuzz target", `func TestA(t *testing.T) {}; func FuzzA(f *testing.F) { f.Skip("no time") }`,
			"", "1 tests in 1 packages passed", []leftOut{{"sample FuzzA", "no time"}}},
		{"has no test", ``, "no test was run", "", nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			v := sources(t, map[string]string{
				"go.mod":    goMod,
				"a_test.go": "package sample\n\nimport \"testing\"\n\nvar _ testing.TB\n\n" + row.test + "\n",
			})
			err := v.goTest([]string{"GOFLAGS=-mod=mod", "GOWORK=off"}, "./...")
			said := v.out.w.(*bytes.Buffer).String()
			if row.err == "" && err != nil || row.err != "" && (err == nil || !strings.Contains(err.Error(), row.err)) {
				t.Errorf("error %v, want %q", err, row.err)
			}
			if !strings.Contains(said, row.shown) {
				t.Errorf("%q is not shown in\n%s", row.shown, said)
			}
			if strings.Contains(said, "quiet") {
				t.Errorf("what a passed test says is shown:\n%s", said)
			}
			if len(v.left) != len(row.left) || len(v.left) > 0 && v.left[0] != row.left[0] {
				t.Errorf("left out %v, want %v", v.left, row.left)
			}
		})
	}
}

func TestForm(t *testing.T) {
	for _, row := range []struct {
		name, file string
		ok         bool
	}{
		{"formatted", "package sample\n", true},
		{"not formatted", "package   sample\n", false},
		{"not Go", "packag sample\n", false},
	} {
		v := sources(t, map[string]string{"go.mod": goMod, "sub/a.go": row.file})
		if err := checkForm(v); (err == nil) != row.ok {
			t.Errorf("%s: %v", row.name, err)
		}
	}
	if err := checkForm(sources(t, nil)); err == nil {
		t.Error("a folder without sources passes")
	}
}

func TestScript(t *testing.T) {
	v := sources(t, map[string]string{"site/a.js": "let a = 1;\n"})
	var l leftOut
	if err := checkScript(v); !errors.As(err, &l) {
		t.Errorf("without Node: %v", err)
	}
}

func TestSummary(t *testing.T) {
	passes := check{"passes", func(*verifier) error { return nil }}
	fails := check{"fails", func(*verifier) error { return errors.New("broken") }}
	left := check{"left", func(*verifier) error { return leftOut{"race detector", "no C compiler"} }}
	for _, row := range []struct {
		name   string
		checks []check
		strict bool
		want   int
		says   string
	}{
		{"all pass", []check{passes, passes}, true, 0, "all 2 checks passed, none left out"},
		{"one fails", []check{passes, fails}, false, 1, "1 of 2 checks failed"},
		{"one left out", []check{passes, left}, false, 0, "LEFT OUT  race detector: no C compiler"},
		{"one left out twice", []check{passes, left, left}, false, 0, "but 1 left out"},
		{"one left out under CI", []check{passes, left}, true, 1, "counts as failed"},
		{"nothing checked", nil, false, 1, "nothing was checked"},
		{"all left out", []check{left}, false, 1, "nothing was checked"},
	} {
		v := &verifier{out: &shared{w: &bytes.Buffer{}}, now: time.Now}
		for _, c := range row.checks {
			v.run(c)
		}
		got := v.summary(row.strict)
		if said := v.out.w.(*bytes.Buffer).String(); got != row.want || !strings.Contains(said, row.says) {
			t.Errorf("%s: exit code %d, want %d, with %q in\n%s", row.name, got, row.want, row.says, said)
		}
	}
}

func TestToolsMissing(t *testing.T) {
	var tl tools
	tl.look(func(name string) (string, error) {
		if name == "chromium-browser" || name == "node" {
			return "/bin/" + name, nil
		}
		return "", errors.New("not there")
	})
	if tl.browser != "/bin/chromium-browser" {
		t.Errorf("browser is %q", tl.browser)
	}
	if got := strings.Join(tl.missing(), " "); got != "poppler-utils gcc libc6-dev npm default-jre-headless" {
		t.Errorf("missing: %s", got)
	}
}
