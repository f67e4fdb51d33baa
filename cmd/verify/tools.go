package main

import (
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"slices"
	"strings"
)

// tools are the programs beyond Go that checks need; empty if there is none.
type tools struct {
	browser   string // Chromium, which draws the pages
	pdftotext string // reads the text of a printed page
	cc        string // C compiler, for the race detector
	node      string // checks the pages' script
	npm       string // fetches the two packages below
	java      string // runs the validator of pages
}

// wanted says by which names a tool goes and which of Debian's packages hold
// it.
var wanted = []struct {
	field    func(*tools) *string
	names    []string
	packages []string
}{
	{func(t *tools) *string { return &t.browser }, []string{"chromium", "chromium-browser", "google-chrome", "google-chrome-stable"}, []string{"chromium"}},
	{func(t *tools) *string { return &t.pdftotext }, []string{"pdftotext"}, []string{"poppler-utils"}},
	{func(t *tools) *string { return &t.cc }, []string{"gcc", "clang", "cc"}, []string{"gcc", "libc6-dev"}},
	{func(t *tools) *string { return &t.node }, []string{"node"}, []string{"nodejs"}},
	{func(t *tools) *string { return &t.npm }, []string{"npm"}, []string{"npm"}},
	{func(t *tools) *string { return &t.java }, []string{"java"}, []string{"default-jre-headless"}},
}

// packages are the files of the packages in cmd/verify/npm that tests look
// for: axe-core judges the pages' accessibility, vnu-jar their validity.
var packages = []string{"axe-core/axe.min.js", "vnu-jar/build/dist/vnu.jar"}

// npmFolder holds the list of packages with their versions.
const npmFolder = "cmd/verify/npm"

// fetchPackages puts the packages into place if they are not there and it may.
// What is missing afterwards is told here, and left out by the tests that need
// it.
func fetchPackages(v *verifier, t tools, install bool) {
	missing := func() (out []string) {
		for _, p := range packages {
			if _, err := os.Stat(filepath.Join(v.root, filepath.FromSlash(npmFolder), "node_modules", filepath.FromSlash(p))); err != nil {
				out = append(out, p)
			}
		}
		return out
	}
	if len(missing()) > 0 && install && t.npm != "" {
		cmd := v.command(nil, t.npm, "ci", "--ignore-scripts", "--no-audit", "--no-fund")
		cmd.Dir = filepath.Join(v.root, filepath.FromSlash(npmFolder))
		if err := cmd.Run(); err != nil {
			fmt.Fprintf(v.out, "npm ci: %v\n", err)
		}
	}
	for _, p := range missing() {
		fmt.Fprintf(v.out, "%s is not there: npm ci --ignore-scripts in %s\n", p, npmFolder)
	}
}

// compiler is the place of the C compiler in wanted.
const compiler = 2

// missing lists the packages of the tools that t lacks.
func (t *tools) missing() []string {
	var out []string
	for _, w := range wanted {
		if *w.field(t) == "" {
			out = append(out, w.packages...)
		}
	}
	return out
}

// look fills in what can be found and is not known yet.
func (t *tools) look(find func(string) (string, error)) {
	for _, w := range wanted {
		for _, name := range w.names {
			if *w.field(t) != "" {
				break
			}
			if path, err := find(name); err == nil {
				*w.field(t) = path
			}
		}
	}
}

// compiles reports whether a C compiler finds its headers and library, which
// Debian keeps in a package of their own.
func compiles(cc string) bool {
	cmd := exec.Command(cc, "-x", "c", "-o", os.DevNull, "-")
	cmd.Stdin = strings.NewReader("#include <stdlib.h>\nint main(void) { return abs(0); }\n")
	return cmd.Run() == nil
}

// find is exec.LookPath, but a C compiler that cannot compile is not found.
func find(name string) (string, error) {
	path, err := exec.LookPath(name)
	if err == nil && slices.Contains(wanted[compiler].names, name) && !compiles(path) {
		return "", exec.ErrNotFound
	}
	return path, err
}

// findTools finds the tools and, if it may, installs from Debian's packages
// those that are missing. A failed installation is told and no more: the
// checks that need the tool are then left out.
func findTools(v *verifier, install bool) tools {
	fmt.Fprintln(v.out, "== tools")
	t := tools{browser: os.Getenv("LOOPDRILL_BROWSER")}
	t.look(find)
	if missing := t.missing(); len(missing) > 0 {
		_, err := exec.LookPath("apt-get")
		if install && err == nil && runtime.GOOS == "linux" && os.Geteuid() == 0 {
			env := []string{"DEBIAN_FRONTEND=noninteractive"}
			for _, args := range [][]string{
				{"-qq", "update"},
				append([]string{"-qq", "install", "--yes", "--no-install-recommends"}, missing...),
			} {
				if err := v.command(env, "apt-get", args...).Run(); err != nil {
					fmt.Fprintf(v.out, "apt-get %s: %v\n", strings.Join(args, " "), err)
				}
			}
			t.look(find)
		}
		if missing := t.missing(); len(missing) > 0 {
			fmt.Fprintf(v.out, "please install: %s (names of Debian's packages)\n", strings.Join(missing, " "))
		}
	}
	for _, w := range wanted {
		path := *w.field(&t)
		if path == "" {
			path = "not found"
		}
		fmt.Fprintf(v.out, "%-10s %s\n", w.names[0], path)
	}
	fetchPackages(v, t, install)
	return t
}
