package main

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/answerfile"
	"loopdrill/exercises/sitting"
	"loopdrill/scenarios/diag"
	"loopdrill/site"
)

// mostAnswerFiles is how many files one marking reads.
const mostAnswerFiles = 20000

// readAnswers reads the files named, and those that lie in the folders named. A
// file that cannot be read is set aside; a name that leads nowhere is an error.
// Hidden files are passed over, and so are folders in folders.
func readAnswers(names []string, out string) (inputs []sitting.Input, notes []diag.Diagnostic, err error) {
	read := func(name string) {
		at := filepath.ToSlash(name)
		if slices.ContainsFunc(inputs, func(in sitting.Input) bool { return in.Name == at }) {
			return
		}
		b, err := readFile(name)
		if err != nil {
			notes = append(notes, diag.Diagnostic{Severity: diag.Error, Rule: answerfile.RuleNotAnswers, At: diag.Place{File: at}, Summary: err.Error()})
			return
		}
		inputs = append(inputs, sitting.Input{Name: at, Data: b})
	}
	for _, name := range names {
		info, err := os.Stat(name)
		if err != nil {
			return nil, nil, &site.Failure{What: "there are no answers at this place", Path: name, Err: err}
		}
		if !info.IsDir() {
			read(name)
			continue
		}
		entries, err := os.ReadDir(name)
		if err != nil {
			return nil, nil, &site.Failure{What: "the folder cannot be read", Path: name, Err: err}
		}
		for _, e := range entries {
			at := filepath.Join(name, e.Name())
			switch {
			case strings.HasPrefix(e.Name(), ".") || slices.Contains([]string{"Thumbs.db", "desktop.ini"}, e.Name()):
			case e.IsDir():
				notes = append(notes, diag.Diagnostic{Severity: diag.Warning, Rule: answerfile.RuleNotAnswers, At: diag.Place{File: filepath.ToSlash(at)},
					Summary: "this is a folder in the folder of answers; it is passed over", Hint: "name it too if there are answers in it"})
			default:
				read(at)
			}
			if len(inputs) > mostAnswerFiles {
				return nil, nil, &site.Failure{What: fmt.Sprintf("there are more than %d files", mostAnswerFiles), Path: name}
			}
		}
	}
	return inputs, notes, nil
}

// readFile reads a plain file, a little more of it at most than an answer file
// can have.
func readFile(name string) ([]byte, error) {
	info, err := os.Stat(name)
	if err != nil {
		return nil, fmt.Errorf("the file cannot be read: %w", plainCause(err))
	}
	if !info.Mode().IsRegular() {
		return nil, fmt.Errorf("this is not a plain file")
	}
	f, err := os.Open(name)
	if err != nil {
		return nil, fmt.Errorf("the file cannot be read: %w", plainCause(err))
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, answerfile.MostBytes+1))
	if err != nil {
		return nil, fmt.Errorf("the file cannot be read: %w", plainCause(err))
	}
	return b, nil
}

// plainCause takes the path off an error, which stands before it anyway.
func plainCause(err error) error {
	if p, ok := err.(*fs.PathError); ok {
		return p.Err
	}
	return err
}

func sourcesOf(inputs []sitting.Input) diag.Sources {
	return func(file string) []byte {
		for _, in := range inputs {
			if in.Name == file && len(in.Data) <= diag.MostBytes {
				return in.Data
			}
		}
		return nil
	}
}

// blankTables writes the empty tables for the forms of a build.
func (a app) blankTables(ctx context.Context, o markOrder, copies int, purpose string) int {
	f, s, code := a.setting(o)
	if f == nil {
		return code
	}
	if copies == 0 {
		copies = len(s.People)
	}
	if copies == 0 && f.record == nil {
		return a.wrongUsage("mark", "--blank-csv needs to know how many forms there are", "give the folder of the build with --build FOLDER, or --copies N")
	}
	if purpose == "" {
		purpose = f.course.For
	}
	forms, err := f.built(ctx, copies, exercises.Purpose(purpose))
	if err != nil {
		a.complain("mark", err.Error()+"; nothing was written")
		return exitFaults
	}
	who := func(form *exercises.Form) string {
		if form.Number <= len(s.People) {
			w := sitting.Work{Person: s.People[form.Number-1]}
			return w.Name()
		}
		return ""
	}
	files := []site.File{
		{Path: "answers.csv", Write: func(w io.Writer) error { return sitting.BlankAnswers(w, forms, who) }},
		{Path: "overrides.csv", Write: func(w io.Writer) error { return sitting.BlankOverrides(w) }},
		{Path: "observed.csv", Write: func(w io.Writer) error { return sitting.BlankObserved(w, forms) }},
	}
	if slices.ContainsFunc(forms, func(form *exercises.Form) bool { return len(sitting.Judged(form)) > 0 }) {
		files = append(files, site.File{Path: "marks-by-hand.csv", Write: func(w io.Writer) error { return sitting.BlankMarks(w, forms) }})
	}
	if err := site.Publish(ctx, o.out, files, 1); err != nil {
		return a.failed("mark", err)
	}
	return a.print(fmt.Sprintf("%s: empty tables for %s in %s; copy them elsewhere to fill them in\n", f.course.Title, plural(len(forms), "form"), o.out))
}
