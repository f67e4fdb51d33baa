package main

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"loopdrill/exercises/families"
	"loopdrill/generator"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/shipped"
	"loopdrill/site"
)

const checkHelp = `Report everything that is wrong with a course, and what is odd.

Usage:
  loopdrill check [PATH...] [OPTIONS]

PATH is a folder with a course.yaml in it, or the name of a course shipped
inside the program (default: live-zero-basics). All faults of all files are
reported at once, each with its place and what to do about it. Nothing is
written.

Drawing:
  --draws N        draw N forms of every exercise, and tell how many draws were
                   thrown away and why, how many forms differ, which answers and
                   faults come up how often, and how likely two apprentices have
                   the same answer (1 to 10000)

Output:
  --json           for a machine: findings and draws of every course
  -h, --help       this text

It ends with 1 if a course has errors or an exercise cannot be drawn; warnings
alone do not change the exit code.

Example:
  $ loopdrill check my-course --draws 1000
`

// checkSeed is the practice seed of the forms that check draws. Any would do;
// a fixed one lets two people see the same figures.
const checkSeed = "check"

// enoughDraws is how many forms must agree before check calls that odd: by
// chance, one option of two would be right every time in one of 10^30 courses.
const enoughDraws = 100

// checked is one course and what was found.
type checked struct {
	path     string // as given
	folder   string // of the course, with slashes, as seen from here
	course   *scenarios.Course
	drawer   *generator.Drawer
	sources  diag.Sources
	findings []diag.Diagnostic
	surveys  []*generator.Survey // by exercise; with --draws only
	failure  error               // could not be read
}

func (a app) runCheck(args []string) int {
	flags := newFlags("check")
	draws := flags.Int("draws", 0, "")
	asJSON := flags.Bool("json", false, "")
	if code, done := a.parseFlags(flags, args, checkHelp); done {
		return code
	}
	if flags.Changed("draws") && (*draws < 1 || *draws > maxCopies) {
		return a.wrongUsage("check", fmt.Sprintf("--draws is %d, it must be 1 to %d", *draws, maxCopies))
	}
	paths := flags.Args()
	if len(paths) == 0 {
		paths = []string{shipped.Default}
		if info, err := os.Stat("course.yaml"); err == nil && info.Mode().IsRegular() {
			fmt.Fprintf(a.Stderr, "note: without a PATH the shipped course %s is checked; for the course in this folder: loopdrill check .\n", shipped.Default)
		}
	}
	var all []*checked
	for _, p := range paths {
		all = append(all, look(p))
	}
	if *draws > 0 {
		for _, c := range all {
			a.survey(c, *draws)
		}
	}
	result := ""
	if *asJSON {
		result = checkJSON(all, *draws)
	} else {
		var b strings.Builder
		for _, c := range all {
			if err := c.write(&b, *draws, colourful(a.Stdout)); err != nil {
				return a.failed("check", err)
			}
		}
		result = b.String()
	}
	if result != "" {
		if code := a.print(result); code != exitFine {
			return code
		}
	}
	code := exitFine
	for _, c := range all {
		code = max(code, a.verdict(c, *asJSON))
	}
	return code
}

// look reads one course and gathers its findings. Their files are given as
// seen from here, so that two courses do not run together and an editor finds
// them.
func look(name string) *checked {
	c := &checked{path: name}
	fsys, err := openCourse(name)
	if err != nil {
		var f *site.Failure
		if errors.As(err, &f) && f.Hint == "" {
			f.Hint = around(name)
		}
		c.failure = err
		return c
	}
	var ds []diag.Diagnostic
	c.course, c.drawer, ds = readAll(fsys)
	c.folder = filepath.ToSlash(name)
	if info, err := os.Stat(name); err == nil && !info.IsDir() {
		c.folder = filepath.ToSlash(filepath.Dir(name))
	}
	inside := diag.From(fsys)
	c.sources = func(file string) []byte {
		if prefix := path.Clean(c.folder); prefix != "." {
			file = strings.TrimPrefix(strings.TrimPrefix(file, prefix), "/")
		}
		return inside(file)
	}
	for _, d := range ds {
		d.At.File = path.Join(c.folder, d.At.File)
		if d.Second != nil {
			second := *d.Second
			second.File = path.Join(c.folder, second.File)
			d.Second = &second
		}
		c.findings = append(c.findings, d)
	}
	c.findings = diag.Sort(c.findings)
	return c
}

// readAll reads a course, and lets the families and the generator add what only
// they can know, also of the sound exercises of a course that has errors. With
// an error there is no course and no drawer.
func readAll(fsys fs.FS) (*scenarios.Course, *generator.Drawer, []diag.Diagnostic) {
	course, ds := scenarios.ReadSound(fsys, families.Vocabulary())
	if course == nil {
		return nil, nil, ds
	}
	drawer, more := generator.Prepare(course, families.Named)
	ds = diag.Sort(append(ds, more...))
	if errs, _ := diag.Count(ds); errs > 0 {
		return nil, nil, ds
	}
	return course, drawer, ds
}

// around proposes the course that a file belongs to.
func around(name string) string {
	for dir := filepath.Dir(name); ; dir = filepath.Dir(dir) {
		if info, err := os.Stat(filepath.Join(dir, "course.yaml")); err == nil && info.Mode().IsRegular() {
			return "to check the course around it: loopdrill check " + quoted(dir)
		}
		if dir == filepath.Dir(dir) {
			return ""
		}
	}
}

// survey draws n forms of every exercise, several exercises at a time, and
// adds what only the draws could show to the findings.
func (a app) survey(c *checked, n int) {
	if c.drawer == nil {
		return
	}
	c.surveys = make([]*generator.Survey, len(c.course.Exercises))
	errs := make([]error, len(c.surveys))
	next := make(chan int)
	done := make(chan bool, len(c.surveys))
	var wg sync.WaitGroup
	for range min(runtime.NumCPU(), len(c.surveys)) {
		wg.Go(func() {
			for i := range next {
				c.surveys[i], errs[i] = c.drawer.Survey(generator.Source{Seed: checkSeed}, c.course.Exercises[i].ID, n)
				done <- true
			}
		})
	}
	wg.Go(func() {
		for i := range c.surveys {
			next <- i
		}
		close(next)
	})
	watched := onTerminal(a.Stderr)
	for i := range c.surveys {
		<-done
		if watched {
			fmt.Fprintf(a.Stderr, "\r%s: %d of %d exercises drawn", printable(c.path), i+1, len(c.surveys))
		}
	}
	wg.Wait()
	if watched {
		fmt.Fprint(a.Stderr, "\r\x1b[K")
	}
	for i, s := range c.surveys {
		e := c.course.Exercises[i]
		at := diag.Place{File: path.Join(c.folder, e.File), Line: e.Line, Column: e.Column, Width: 1}
		if errs[i] != nil {
			c.findings = append(c.findings, diag.Diagnostic{Severity: diag.Error, Rule: "cannot-be-drawn", At: at,
				Summary: fmt.Sprintf("form %d cannot be drawn: %v", s.Forms+1, errs[i])})
			continue
		}
		c.findings = append(c.findings, oddities(s, at)...)
	}
	c.findings = diag.Sort(c.findings)
}

// oddities are what the draws of an exercise show that an instructor would
// not want.
func oddities(s *generator.Survey, at diag.Place) []diag.Diagnostic {
	if s.Forms < enoughDraws {
		return nil
	}
	var ds []diag.Diagnostic
	warn := func(rule, summary, hint string) {
		ds = append(ds, diag.Diagnostic{Severity: diag.Warning, Rule: rule, At: at, Summary: summary, Hint: hint})
	}
	if s.Distinct == 1 {
		warn("one-form", fmt.Sprintf("all %d forms of exercise %q have the same answers", s.Forms, s.Exercise), "give it more loops or faults")
		return ds
	}
	for _, b := range s.Boxes {
		if b.Forms < s.Forms {
			// What is asked in some draws only is about what makes them
			// special, such as a needle on its stop.
			continue
		}
		for _, o := range b.Options {
			if o.Right == b.Forms && len(b.Options) > 1 {
				warn("same-answer", fmt.Sprintf("in exercise %q the answer to %s is %q on all of %d forms", s.Exercise, b.Box, o.Option, b.Forms), "give it more loops or faults, or another level")
			}
		}
	}
	for _, f := range s.Faults {
		if f.Forms == 0 {
			warn("fault-never-drawn", fmt.Sprintf("exercise %q names the fault %q, which none of %d forms has", s.Exercise, f.Fault, s.Forms), "leave it out, or give the exercise loops in which it shows")
		}
	}
	return ds
}

// verdict says in one line how a course stands, and gives the exit code.
func (a app) verdict(c *checked, quiet bool) int {
	if c.failure != nil {
		return a.failed("check", c.failure)
	}
	errs, warnings := diag.Count(c.findings)
	if !quiet {
		what := "no faults found"
		switch {
		case errs > 0 && warnings > 0:
			what = plural(errs, "error") + ", " + plural(warnings, "warning")
		case errs > 0:
			what = plural(errs, "error")
		case warnings > 0:
			what = plural(warnings, "warning")
		}
		fmt.Fprintf(a.Stderr, "loopdrill check: %s: %s\n", printable(c.path), what)
	}
	if errs > 0 {
		return exitFaults
	}
	return exitFine
}

// printable shows a path without what a terminal would take for a command.
func printable(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r >= 0x7f && r < 0xa0 {
			return '\ufffd'
		}
		return r
	}, s)
}

// onTerminal says whether somebody looks at w.
func onTerminal(w io.Writer) bool {
	f, ok := w.(*os.File)
	if !ok || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}

// colourful says whether what goes to w may be coloured.
func colourful(w io.Writer) bool { return onTerminal(w) && os.Getenv("NO_COLOR") == "" }
