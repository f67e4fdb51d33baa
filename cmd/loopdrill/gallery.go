package main

import (
	"context"
	"fmt"
	"html"
	"io"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/generator"
	"loopdrill/scenarios"
	"loopdrill/scenarios/shipped"
	"loopdrill/site"
)

const galleryHelp = `Show every family of exercise at every level, for reviewers.

Usage:
  loopdrill gallery [OPTIONS]

Writes a folder with a fixed draw of each family at each level, taken from the
plants of the shipped courses; gallery.html shows workbook and key side by side.
It holds answers: keep it.

Options:
  --out FOLDER   the folder to write (default loopdrill-gallery)
  --seed TEXT    where the numbers come from (default gallery)
  -h, --help     this text

Example:
  $ loopdrill gallery --out gallery
`

func (a app) runGallery(args []string) int {
	flags := newFlags("gallery")
	out := flags.String("out", "loopdrill-gallery", "")
	seed := flags.String("seed", "gallery", "")
	if code, done := a.parseFlags(flags, args, galleryHelp); done {
		return code
	}
	switch {
	case flags.NArg() > 0:
		return a.wrongUsage("gallery", fmt.Sprintf("gallery takes no argument, not %q", flags.Arg(0)))
	case *out == "":
		return a.wrongUsage("gallery", "--out names no folder")
	}
	course, err := galleryCourse()
	if err != nil {
		return a.failed("gallery", err)
	}
	drawer, ds := generator.Prepare(course, families.Named)
	if drawer == nil {
		a.complain("gallery", "a family cannot be drawn: "+ds[0].Summary)
		return exitFaults
	}
	form, err := drawer.Form(generator.Source{Seed: *seed}, exercises.Practice, 1, nil)
	if err != nil {
		a.complain("gallery", err.Error())
		return exitFaults
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	files := append(site.Folder(course, []*exercises.Form{form}, site.Options{}), site.File{Path: "gallery.html", Write: func(w io.Writer) error {
		_, err := io.WriteString(w, galleryPage(form))
		return err
	}})
	if err := site.Publish(ctx, *out, files, runtime.NumCPU()); err != nil {
		return a.failed("gallery", err)
	}
	return a.print(fmt.Sprintf("%s: %s of %d families, workbook and key side by side\n", filepath.Join(*out, "gallery.html"),
		plural(len(course.Exercises), "exercise"), len(families.All())))
}

// galleryCourse asks every family at every level about a plant that fits it:
// the shipped one with the most loops that do.
func galleryCourse() (*scenarios.Course, error) {
	var plants []*scenarios.Plant
	for _, name := range shipped.Names() {
		_, course, _, _, err := inspect(name)
		if err != nil {
			return nil, err
		}
		if course == nil {
			return nil, fmt.Errorf("the shipped course %s has faults", name)
		}
		plants = append(plants, course.Plants...)
	}
	c := &scenarios.Course{ID: "gallery", Title: "Every family of exercise", Purpose: "A reviewer sees each family at each level, with its key.",
		Plants: plants, PassMark: 70}
	for _, f := range families.All() {
		spec := f.Spec()
		l := &scenarios.Lesson{ID: spec.Name, Title: spec.Name + ": " + spec.Purpose}
		for _, level := range spec.Levels {
			e := &scenarios.Exercise{Number: len(c.Exercises) + 1, ID: spec.Name + "-" + level.Name, Title: spec.Name + ", " + level.Name + ": " + level.Changes,
				Family: spec.Name, Level: level.Name, Lesson: l}
			for _, p := range plants {
				loops, outputs := fitting(spec, level.Name, p)
				if e.Plant == nil || len(loops)+len(outputs) > len(e.Loops)+len(e.Outputs) {
					e.Plant, e.Loops, e.Outputs = p, loops, outputs
				}
			}
			l.Exercises = append(l.Exercises, e)
			c.Exercises = append(c.Exercises, e)
		}
		c.Lessons = append(c.Lessons, l)
	}
	return c, nil
}

// fitting lists what of a plant a family can use at a level.
func fitting(spec scenarios.Spec, level string, p *scenarios.Plant) (loops []*scenarios.Loop, outputs []*scenarios.Output) {
	for _, l := range p.Loops {
		if spec.Fits == nil {
			break
		}
		if _, ok := spec.Fits(level, l); ok {
			loops = append(loops, l)
		}
	}
	for _, o := range p.Outputs {
		if spec.MinOutputs == 0 {
			break
		}
		if spec.FitsOutput == nil {
			outputs = append(outputs, o)
		} else if _, ok := spec.FitsOutput(level, o); ok {
			outputs = append(outputs, o)
		}
	}
	return loops, outputs
}

// galleryPage shows each exercise twice: as the apprentice and as the assessor
// sees it.
func galleryPage(f *exercises.Form) string {
	var b strings.Builder
	b.WriteString("<!doctype html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n<meta name=\"viewport\" content=\"width=device-width\">\n" +
		"<meta name=\"color-scheme\" content=\"light dark\">\n<title>Every family of exercise</title>\n<style>\n" +
		"body { font-family: system-ui, sans-serif; margin: 1rem }\nsection { display: grid; grid-template-columns: 1fr 1fr; gap: 1rem }\n" +
		"h2 { grid-column: 1 / -1; margin: 1.5rem 0 0; font-size: 1.1rem }\niframe { width: 100%; height: 50rem; border: 1px solid }\n" +
		"</style>\n</head>\n<body>\n<h1>Every family of exercise: workbook and key</h1>\n")
	for _, d := range f.Items {
		name := html.EscapeString(d.Exercise.Family + ", " + d.Exercise.Level)
		fmt.Fprintf(&b, "<section>\n<h2>%d %s</h2>\n", d.Exercise.Number, name)
		for _, page := range [][2]string{{"Workbook", site.WorkbookPath(f)}, {"Key", site.KeyPath(f)}} {
			fmt.Fprintf(&b, "<iframe loading=\"lazy\" title=\"%s: %s\" src=\"%s#x%d\"></iframe>\n", page[0], name, html.EscapeString(page[1]), d.Exercise.Number)
		}
		b.WriteString("</section>\n")
	}
	b.WriteString("</body>\n</html>\n")
	return b.String()
}
