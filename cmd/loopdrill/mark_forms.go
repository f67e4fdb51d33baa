package main

import (
	"context"
	"fmt"
	"os"
	"runtime"
	"slices"

	"loopdrill/exercises"
	"loopdrill/exercises/sitting"
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
	record *site.Record // of the build; nil without its folder
	people classlist.List

	sources map[exercises.Purpose]generator.Source
}

// setting prepares the course, its forms and the class: from the folder of the
// build, or from what the options say.
func (a app) setting(o markOrder) (*formFinder, sitting.Setting, int) {
	f := &formFinder{app: a, order: o}
	code := exitFine
	if o.build != "" {
		code = f.ofBuild()
	} else {
		f.drawer, f.course, code = a.prepare("mark", o.course)
		if f.drawer != nil {
			f.people, code = a.classOf("mark", o.class)
		}
	}
	if code != exitFine {
		return nil, sitting.Setting{}, code
	}
	return f, sitting.Setting{CourseID: f.course.ID, Form: f.byCode, People: f.people}, exitFine
}

// ofBuild reads the record of a build and prepares the course that was kept with
// it. What is another one now stops the marking: other keys would judge.
func (f *formFinder) ofBuild() int {
	folder, err := openFolder(f.order.build)
	if err != nil {
		return f.failed("mark", err)
	}
	rec, sources, err := site.ReadRecord(folder)
	if err != nil {
		return f.failed("mark", &site.Failure{What: "this is no folder that build wrote", Path: f.order.build, Err: err, Hint: "name the folder that holds start.html, or its keep folder"})
	}
	refuse := func(differs ...string) int {
		f.complain("mark", "nothing is marked: the keys would not be those of "+f.order.build, differs...)
		return exitFaults
	}
	if rec.Generator != generator.Version {
		return refuse(fmt.Sprintf("it was made by generator version %s, and this is version %s: use that loopdrill", rec.Generator, generator.Version))
	}
	course, drawer, ds := readAll(sources)
	if drawer == nil {
		if err := diag.Write(f.Stderr, diag.From(sources), ds, f.colour()); err != nil {
			return exitIO
		}
		return refuse("the course that was kept with the build has faults now")
	}
	if differs := append(rec.Differences(course), otherFamilies(rec.Families, drawer.FamilyVersions())...); len(differs) > 0 {
		return refuse(differs...)
	}
	f.course, f.drawer, f.record = course, drawer, rec
	f.order.seed = rec.Seed
	if slices.ContainsFunc(rec.Forms, func(r site.RecordedForm) bool { return r.Person != "" || r.Name != "" }) {
		for _, r := range rec.Forms {
			f.people = append(f.people, classlist.Person{Number: r.Person, Name: r.Name})
		}
	}
	return exitFine
}

// byCode gives the form of a code as it stands on paper. The error says why
// there is none, in words for the assessor.
func (f *formFinder) byCode(text string) (*exercises.Form, error) {
	code, err := generator.ParseCode(text)
	if err != nil {
		return nil, err
	}
	if f.record != nil {
		if _, ok := f.record.Form(code.String()); !ok {
			return nil, fmt.Errorf("form %s is not of this build, which has %s", code, plural(len(f.record.Forms), "form"))
		}
	}
	src, err := f.source(code.Purpose)
	if err != nil {
		return nil, err
	}
	form, err := f.drawer.ByCode(src, code)
	switch {
	case err == generator.ErrOtherSource && f.record != nil && code.Purpose == exercises.Assessment:
		return nil, fmt.Errorf("form %s is of this build, but the secret of the course is another one than then (--secret FILE)", code)
	case err == generator.ErrOtherSource:
		return nil, fmt.Errorf("form %s is not of this build: course %q as it is now, this %s and generator version %s make another code for number %d",
			code, f.course.ID, map[bool]string{true: "secret and seed", false: "seed"}[code.Purpose == exercises.Assessment], generator.Version, code.Number)
	case err != nil:
		return nil, fmt.Errorf("form %s cannot be drawn: %w", code, err)
	}
	f.limited(form)
	return form, nil
}

// limited leaves on a form the exercises that the build asked for.
func (f *formFinder) limited(form *exercises.Form) {
	if f.record != nil {
		limit([]*exercises.Form{form}, f.record.Only)
	}
}

// built gives the first n forms of the build, all of them for 0.
func (f *formFinder) built(ctx context.Context, n int, purpose exercises.Purpose) ([]*exercises.Form, error) {
	if f.record == nil {
		src, err := f.source(purpose)
		if err != nil {
			return nil, err
		}
		got, err := draw(ctx, f.drawer, src, purpose, 1, n, runtime.NumCPU())
		return got.forms, err
	}
	if n == 0 || n > len(f.record.Forms) {
		n = len(f.record.Forms)
	}
	var forms []*exercises.Form
	for _, r := range f.record.Forms[:n] {
		form, err := f.byCode(r.Code)
		if err != nil {
			return nil, err
		}
		forms = append(forms, form)
	}
	return forms, nil
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
	practice, err := f.drawer.Form(generator.Source{Seed: "after " + form.Code}, exercises.Practice, 1, nil)
	if err != nil {
		return nil, err
	}
	f.limited(practice)
	// A practical task needs a bench card and somebody who watches: it is not
	// practised from a sheet alone.
	practice.Items = slices.DeleteFunc(practice.Items, func(d exercises.Drawn) bool { return d.Item.Key.Bench != nil })
	practice.Number, practice.Person = form.Number, form.Person
	return practice, nil
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
