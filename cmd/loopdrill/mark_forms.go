package main

import (
	"fmt"
	"os"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/scenarios"
	"loopdrill/scenarios/classlist"
	"loopdrill/scenarios/diag"
	"loopdrill/site"
)

// formFinder draws forms again from their codes.
type formFinder struct {
	app
	order  markOrder
	course *scenarios.Course
	drawer *generator.Drawer

	sources map[exercises.Purpose]generator.Source
}

// byCode gives the form of a code as it stands on paper. The error says why
// there is none, in words for the assessor.
func (f *formFinder) byCode(text string) (*exercises.Form, error) {
	code, err := generator.ParseCode(text)
	if err != nil {
		return nil, err
	}
	src, err := f.source(code.Purpose)
	if err != nil {
		return nil, err
	}
	form, err := f.drawer.ByCode(src, code)
	switch {
	case err == generator.ErrOtherSource:
		return nil, fmt.Errorf("form %s is not of this build: course %q as it is now, this %s and generator version %s make another code for number %d",
			code, f.course.ID, map[bool]string{true: "secret and seed", false: "seed"}[code.Purpose == exercises.Assessment], generator.Version, code.Number)
	case err != nil:
		return nil, fmt.Errorf("form %s cannot be drawn: %w", code, err)
	}
	return form, nil
}

// source gives what the forms of a purpose come from. Marking never makes a
// secret: forms of one that is not there were not made with it.
func (f *formFinder) source(purpose exercises.Purpose) (generator.Source, error) {
	if src, ok := f.sources[purpose]; ok {
		return src, nil
	}
	var src generator.Source
	if purpose == exercises.Practice {
		if f.order.seed == "" {
			return src, fmt.Errorf("this is a practice form, and no seed is given (it is printed on the cover: --seed TEXT)")
		}
		src = generator.Source{Seed: f.order.seed}
	} else {
		file, err := secretFile(f.order.secret, f.course.ID)
		if err != nil {
			return src, err
		}
		if _, err := os.Stat(file); err != nil {
			return src, fmt.Errorf("this is an assessment form, and the secret of the course is not at %s (--secret FILE)", file)
		}
		secret, err := f.courseSecret(file, f.course.ID, f.order.out)
		if err != nil {
			return src, err
		}
		seed := f.order.seed
		if seed == "" {
			seed = "1"
		}
		src = generator.Source{Secret: secret, Seed: seed}
	}
	if f.sources == nil {
		f.sources = map[exercises.Purpose]generator.Source{}
	}
	f.sources[purpose] = src
	return src, nil
}

// practiceAfter draws the practice form that goes with somebody's feedback: one
// of its own for every form, and the same whenever it is marked again.
func (f *formFinder) practiceAfter(form *exercises.Form) (*exercises.Form, error) {
	return f.drawer.Form(generator.Source{Seed: "after " + form.Code}, exercises.Practice, 1, nil)
}

// classOf reads a class list, if one is named. Its findings are reported; with
// an error among them the exit code says so.
func (a app) classOf(command, file string) (classlist.List, int) {
	if file == "" {
		return nil, exitFine
	}
	b, err := os.ReadFile(file)
	if err != nil {
		return nil, a.failed(command, &site.Failure{What: "the class list cannot be read", Path: file, Err: err})
	}
	list, ds := classlist.Read(file, b)
	if err := diag.Write(a.Stderr, func(string) []byte { return b }, ds, a.colour()); err != nil {
		return nil, exitIO
	}
	if list == nil {
		errs, _ := diag.Count(ds)
		a.complain(command, plural(errs, "error")+" in the class list; nothing was written")
		return nil, exitFaults
	}
	return list, exitFine
}
