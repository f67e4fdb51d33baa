package main

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"os/signal"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/render"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/shipped"
	"loopdrill/site"
)

const keyHelp = `Make the key of one form again, from the code that is printed on it.

Usage:
  loopdrill key CODE --build FOLDER [OPTIONS]
  loopdrill key CODE [COURSE] [OPTIONS]

CODE is the form code, in any case, with or without its hyphen. FOLDER is what
build wrote, or its keep folder: it knows the course as it was, the seed and the
options, and the key comes out byte for byte. If the course, the version of
loopdrill or the secret is another one, nothing is made, and what differs is
said. Without a folder COURSE (default: live-zero-basics) and the options must be
those of the build.

Options:
  --build FOLDER   the folder of the build
  --seed TEXT      without a folder: the seed printed on practice forms; for
                   assessments what was given to build (default 1)
  --only ID,ID     without a folder: as given to build
  --paper SIZE     without a folder: A4 or letter (default A4)
  --large-print    without a folder: as given to build
  --secret FILE    assessment only: the file with the secret of the course
                   (default: where build keeps it)
  --out FOLDER     the folder to write (default loopdrill-key): whole or not at
                   all. It holds answers: keep it
  -h, --help       this text

Example:
  $ loopdrill key 7KD2P-X3M9R --build may-class
`

// keyOrder is a key as asked for on the command line.
type keyOrder struct {
	code         generator.Code
	course       string
	build        string
	seed, secret string
	only         string
	out          string
	pages        site.Options
}

func (a app) runKey(args []string) int {
	flags := newFlags("key")
	build := flags.String("build", "", "")
	seed := flags.String("seed", "", "")
	only := flags.String("only", "", "")
	paper := flags.String("paper", "A4", "")
	large := flags.Bool("large-print", false, "")
	secret := flags.String("secret", "", "")
	out := flags.String("out", "loopdrill-key", "")
	if code, done := a.parseFlags(flags, args, keyHelp); done {
		return code
	}
	papers := map[string]render.Paper{"a4": render.A4, "letter": render.Letter}
	o := keyOrder{course: flags.Arg(1), build: *build, seed: *seed, secret: *secret, only: *only, out: *out,
		pages: site.Options{Paper: papers[strings.ToLower(*paper)], LargePrint: *large}}
	switch {
	case flags.NArg() == 0:
		return a.wrongUsage("key", "there is no form code", "it is printed on every sheet: loopdrill key 7KD2P-X3M9R --build may-class")
	case flags.NArg() > 2:
		return a.wrongUsage("key", fmt.Sprintf("there is one CODE and one COURSE, not %d arguments", flags.NArg()), "put a path with blanks in it into quotes")
	case o.build != "" && o.course != "":
		return a.wrongUsage("key", "the folder of a build has its own course", "leave COURSE out, or --build")
	case o.build != "" && (flags.Changed("seed") || flags.Changed("only") || flags.Changed("paper") || flags.Changed("large-print")):
		return a.wrongUsage("key", "the folder of a build knows seed, exercises, paper and print", "leave --seed, --only, --paper and --large-print out, or --build")
	case o.pages.Paper == "":
		return a.wrongUsage("key", fmt.Sprintf("--paper is %q, it must be A4 or letter", *paper))
	case o.out == "":
		return a.wrongUsage("key", "--out names no folder")
	}
	var err error
	if o.code, err = generator.ParseCode(flags.Arg(0)); err != nil {
		return a.wrongUsage("key", err.Error())
	}
	if o.secret != "" && o.code.Purpose == exercises.Practice {
		return a.wrongUsage("key", fmt.Sprintf("%s is a practice form, and comes from an open seed, not from a secret", o.code), "leave --secret out")
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	if o.build != "" {
		return a.keyOfBuild(ctx, o)
	}
	if o.course == "" {
		o.course = shipped.Default
	}
	return a.keyOfCourse(ctx, o)
}

// refuse says in what the present differs from the build; nothing is made.
func (a app) refuse(o keyOrder, differs ...string) int {
	a.complain("key", fmt.Sprintf("the key of %s is not made: it would not be the one of that form", o.code), differs...)
	return exitFaults
}

// keyOfBuild makes the key of a form that stands in the record of a build.
func (a app) keyOfBuild(ctx context.Context, o keyOrder) int {
	folder, err := openFolder(o.build)
	if err != nil {
		return a.failed("key", err)
	}
	rec, sources, err := site.ReadRecord(folder)
	if err != nil {
		return a.failed("key", &site.Failure{What: "this is no folder that build wrote", Path: o.build, Err: err, Hint: "name the folder that holds start.html, or its keep folder"})
	}
	entry, ok := rec.Form(o.code.String())
	if !ok {
		var codes []string
		for _, f := range rec.Forms {
			codes = append(codes, f.Code)
		}
		a.complain("key", fmt.Sprintf("%s has no form %s", o.build, o.code), diag.Hint(o.code.String(), "its forms", codes))
		return exitFaults
	}
	if rec.Generator != generator.Version {
		return a.refuse(o, fmt.Sprintf("the form was made by generator version %s, and this is version %s: use that loopdrill", rec.Generator, generator.Version))
	}
	course, drawer, ds := readAll(sources)
	if drawer == nil {
		if err := diag.Write(a.Stderr, diag.From(sources), ds, a.colour()); err != nil {
			return exitIO
		}
		return a.refuse(o, "the course that was kept with the build has faults now")
	}
	if differs := rec.Differences(course); len(differs) > 0 {
		return a.refuse(o, append(differs, "the course kept with the build was altered; take the folder from your copy")...)
	}
	if differs := otherFamilies(rec.Families, drawer.FamilyVersions()); len(differs) > 0 {
		return a.refuse(o, differs...)
	}
	src, code := a.keySource(o, course, rec.Seed)
	if code != exitFine {
		return code
	}
	form, err := drawer.ByCode(src, o.code)
	switch {
	case errors.Is(err, generator.ErrOtherSource) && o.code.Purpose == exercises.Assessment:
		return a.refuse(o, "course, families and generator are those of the build, but the secret of the course is another one", "give the file with the secret of that time: --secret FILE")
	case errors.Is(err, generator.ErrOtherSource):
		return a.refuse(o, "course, families and generator are those of the build, but the seed in its record was altered")
	case err != nil:
		a.complain("key", err.Error())
		return exitFaults
	}
	limit([]*exercises.Form{form}, rec.Only)
	page, err := keyPage(course, form, rec.Options())
	if err != nil {
		return a.failed("key", err)
	}
	// The finished key lies in the folder too, unless it was taken away.
	if was, err := finishedKey(folder, entry.Key); err == nil && !bytes.Equal(was, page) {
		return a.refuse(o, "the key in the folder has other bytes than the one that is made now",
			fmt.Sprintf("either %s was altered, or loopdrill was built with other tools (%s then)", path.Base(entry.Key), rec.Toolchain))
	}
	return a.writeKey(ctx, o, form, page)
}

// otherFamilies lists families whose version is another than that of a build.
func otherFamilies(was, now map[string]int) []string {
	var out []string
	for _, name := range slices.Sorted(maps.Keys(now)) {
		if was[name] != now[name] {
			out = append(out, fmt.Sprintf("the family %s had version %d, and has version %d: use the loopdrill of that time", name, was[name], now[name]))
		}
	}
	return out
}

// finishedKey reads a key as the build wrote it.
func finishedKey(folder fs.FS, name string) ([]byte, error) {
	b, err := fs.ReadFile(folder, name)
	if err != nil {
		return fs.ReadFile(folder, path.Base(name))
	}
	return b, nil
}

// keyOfCourse makes a key from a course alone.
func (a app) keyOfCourse(ctx context.Context, o keyOrder) int {
	drawer, course, code := a.prepare("key", o.course)
	if drawer == nil {
		return code
	}
	var only []string
	if o.only != "" {
		var wrong, hint string
		if only, wrong, hint = exerciseIDs(o.only, course); wrong != "" {
			return a.wrongUsage("key", wrong, hint)
		}
	}
	if o.code.Purpose == exercises.Practice && o.seed == "" {
		return a.wrongUsage("key", fmt.Sprintf("%s is a practice form, and its key needs the seed", o.code), "it is printed on the cover of the workbook: --seed TEXT")
	}
	seed := o.seed
	if seed == "" {
		seed = "1"
	}
	src, code := a.keySource(o, course, seed)
	if code != exitFine {
		return code
	}
	form, err := drawer.ByCode(src, o.code)
	if errors.Is(err, generator.ErrOtherSource) {
		from := "seed"
		if o.code.Purpose == exercises.Assessment {
			from = "secret or seed"
		}
		return a.refuse(o, fmt.Sprintf("it was made from another course than %s, from other files of it, from another %s, or by another version than generator %s", course.ID, from, generator.Version),
			"the folder of the build says which: --build FOLDER")
	}
	if err != nil {
		a.complain("key", err.Error())
		return exitFaults
	}
	limit([]*exercises.Form{form}, only)
	page, err := keyPage(course, form, o.pages)
	if err != nil {
		return a.failed("key", err)
	}
	return a.writeKey(ctx, o, form, page)
}

// keySource gives the randomness of the form; a secret that is not there is
// never made, since no form came from it.
func (a app) keySource(o keyOrder, course *scenarios.Course, seed string) (generator.Source, int) {
	if o.code.Purpose == exercises.Practice {
		return generator.Source{Seed: seed}, exitFine
	}
	file, err := secretFile(o.secret, course.ID)
	if err != nil {
		return generator.Source{}, a.failed("key", err)
	}
	if _, err := os.Stat(file); err != nil {
		return generator.Source{}, a.failed("key", &site.Failure{What: fmt.Sprintf("%s is an assessment form, and the secret of its course is not here", o.code), Path: file,
			Hint: "name the file with the secret: --secret FILE"})
	}
	secret, err := a.courseSecret(file, course.ID, o.out)
	if err != nil {
		return generator.Source{}, a.failed("key", err)
	}
	return generator.Source{Secret: secret, Seed: seed}, exitFine
}

// keyPage writes the page of a key as a build does.
func keyPage(course *scenarios.Course, form *exercises.Form, o site.Options) ([]byte, error) {
	for _, f := range site.Folder(course, []*exercises.Form{form}, o) {
		if f.Path == site.KeyPath(form) {
			var b bytes.Buffer
			err := f.Write(&b)
			return b.Bytes(), err
		}
	}
	return nil, fmt.Errorf("a folder has no key of %s", form.Code)
}

func (a app) writeKey(ctx context.Context, o keyOrder, form *exercises.Form, page []byte) int {
	name := path.Base(site.KeyPath(form))
	files := append(site.Assets("assets"), site.File{Path: name, Write: func(w io.Writer) error {
		_, err := w.Write(page)
		return err
	}})
	if err := site.Publish(ctx, o.out, files, 1); err != nil {
		return a.failed("key", err)
	}
	sum := sha256.Sum256(page)
	return a.print(fmt.Sprintf("%s\nkey of form %s (number %d, sitting %d, %s), SHA-256 %s\nIt holds all answers: do not hand it out.\n",
		filepath.Join(o.out, name), form.Code, form.Number, max(form.Sitting, 1), form.Purpose, hex.EncodeToString(sum[:])))
}
