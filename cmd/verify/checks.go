package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// checks lists what is checked, the quick things first and the plain tests
// last, so that their lines stand above the summary.
func checks() []check {
	return []check{
		{"form of the sources (gofmt)", checkForm},
		{"go vet", func(v *verifier) error { return v.quiet(nil, "go", "vet", "./...") }},
		{"modules (go mod tidy, verify)", checkModules},
		{"script of the pages (node --check)", checkScript},
		{"32-bit processor", check386},
		{"fuzz targets, 10 s each", checkFuzz},
		{"tests with the race detector", checkRace},
		{"tests", checkTests},
	}
}

func checkForm(v *verifier) error {
	files, err := v.files(".go")
	if err != nil {
		return err
	}
	if len(files) == 0 {
		return fmt.Errorf("no Go file found below %s", v.root)
	}
	return v.quiet(nil, "gofmt", append([]string{"-l"}, topFolders(files)...)...)
}

func checkModules(v *verifier) error {
	if err := v.quiet(nil, "go", "mod", "tidy", "-diff"); err != nil {
		return err
	}
	return v.command(nil, "go", "mod", "verify").Run()
}

func checkScript(v *verifier) error {
	files, err := v.files(".js")
	if err != nil {
		return err
	}
	if len(files) == 0 {
		fmt.Fprintln(v.out, "there is no script yet")
		return nil
	}
	if v.tools.node == "" {
		return leftOut{"script of the pages", "Node is not installed (package nodejs)"}
	}
	for _, f := range files {
		if err := v.command(nil, v.tools.node, "--check", f).Run(); err != nil {
			return fmt.Errorf("%s: %w", f, err)
		}
	}
	return nil
}

// check386 runs what computes and draws on another processor than this one: a
// 32-bit one, which has other integers and never fuses a multiplication with an
// addition, must come to the same bytes.
func check386(v *verifier) error {
	if runtime.GOOS != "linux" || runtime.GOARCH != "amd64" {
		return leftOut{"32-bit processor", "only linux/amd64 runs programs for linux/386, this is " + runtime.GOOS + "/" + runtime.GOARCH}
	}
	return v.goTest([]string{"GOARCH=386", "CGO_ENABLED=0"}, "-short", "./scenarios/...", "./exercises/...", "./generator/...", "./render/...")
}

// checkRace runs, with the race detector, all but the browser's tests of the
// packages that have something to race with; with fewer draws (-short), because
// it is several times slower.
func checkRace(v *verifier) error {
	if v.tools.cc == "" {
		return leftOut{"race detector", "there is no C compiler (packages gcc libc6-dev)"}
	}
	env := []string{"CGO_ENABLED=1", "CC=" + v.tools.cc, browserOff}
	args := []string{"-race", "-short"}
	for _, p := range raced {
		if p != "./generator" {
			args = append(args, p)
		}
	}
	if err := v.goTest(env, args...); err != nil {
		return err
	}
	return v.goTest(env, "-race", "-short", "-run="+racedDraws, "./generator")
}

// racedDraws are the tests of generator in which several share something: the
// classes that a drawer remembers, the plans of a course. The others draw tens
// of thousands of exercises one after the other, for ten minutes.
const racedDraws = "^(TestClassGrows|TestSecondSitting|TestSameFormSameText|TestStreamsAreApart|TestOptionsGiveNoHint)$"

// raced are the packages that start goroutines or guard what several share.
// TestRacedPackages holds the list against the source.
var raced = []string{"./cmd/loopdrill", "./cmd/verify", "./exercises/bench", "./exercises/diagnose", "./exercises/ready", "./generator", "./render", "./scenarios/loop", "./site"}

// browserOff keeps the tests that open pages from being run a second time.
const browserOff = "LOOPDRILL_BROWSER=none"

func checkTests(v *verifier) error {
	env := []string{"LOOPDRILL_BROWSER=" + v.tools.browser}
	if v.tools.browser == "" {
		env = []string{browserOff}
	}
	return v.goTest(env, "./...")
}

// files lists the files of a kind that belong to the sources: not those in
// folders that begin with a dot or that a build writes.
func (v *verifier) files(ext string) ([]string, error) {
	var out []string
	err := fs.WalkDir(os.DirFS(v.root), ".", func(name string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() && name != "." && (strings.HasPrefix(d.Name(), ".") || d.Name() == "node_modules" || d.Name() == "out" || d.Name() == "loopdrill-out") {
			return fs.SkipDir
		}
		if !d.IsDir() && filepath.Ext(name) == ext {
			out = append(out, name)
		}
		return nil
	})
	return out, err
}

// topFolders shortens a list of files to their first folders, which keeps the
// command that is shown readable.
func topFolders(files []string) []string {
	var out []string
	for _, f := range files {
		top, _, _ := strings.Cut(f, "/")
		if !slices.Contains(out, top) {
			out = append(out, top)
		}
	}
	return out
}
