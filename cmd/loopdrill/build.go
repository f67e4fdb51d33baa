package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"runtime"
	"strings"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/render"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/shipped"
	"loopdrill/site"
)

const buildHelp = `Build workbooks, keys and mark sheets from a course.

Usage:
  loopdrill build [COURSE] [OPTIONS]

COURSE is a folder with a course.yaml in it, or the name of a course shipped
inside the program (default: live-zero-basics). Each copy is a form of its own:
the same exercises with other numbers.

Forms:
  --copies N       how many copies (default 3)
  --class FILE     one form for each person of a class list, in CSV or YAML; the
                   names stand on their own workbook and mark sheet alone. A
                   form goes by the place in the list: newcomers go to its end
  --sitting N      1 to 8 (default 1): a later sitting gives the same person a
                   form that has no drawn number of the sittings before
  --only ID,ID     only these exercises, by their ids in course.yaml
  --for PURPOSE    practice: workbooks carry their solutions, folded away
                   assessment: workbooks carry no answer
                   (default: what the course says with "for:", else practice)
  --seed TEXT      where the numbers come from; the same text gives the same
                   forms again (default for practice: chosen, and printed; for
                   assessment: it tells sets of forms apart, default 1)
  --secret FILE    assessment only: the file with the secret of the course
                   (default: made on first need in your settings folder, readable
                   by you alone; whoever has it can make every key)

Output:
  --out FOLDER     the folder to write (default loopdrill-out). It appears whole
                   or not at all. A folder that loopdrill has not made, or that
                   holds something of yours, is left alone.
  --paper SIZE     A4 or letter (default A4)
  --single-file    write each workbook as one HTML file that can be mailed
  --large-print    18 pt text and larger faces
  --workers N      how many pages are written at a time (default: one a processor);
                   it changes no byte of them
  -h, --help       this text

Example:
  $ loopdrill build --copies 12 --for assessment --out may-class
`

// maxCopies is the largest class that one build makes.
const maxCopies = 10000

// buildOrder is a build as asked for on the command line.
type buildOrder struct {
	course  string
	copies  int
	purpose exercises.Purpose // empty: as the course says
	seed    string
	secret  string
	out     string
	pages   site.Options
	workers int
	class   string // file of the class list
	sitting int
	only    string // ids with commas between
}

func (a app) runBuild(args []string) int {
	flags := newFlags("build")
	copies := flags.Int("copies", 3, "")
	purpose := flags.String("for", "", "")
	seed := flags.String("seed", "", "")
	secret := flags.String("secret", "", "")
	out := flags.String("out", "loopdrill-out", "")
	paper := flags.String("paper", "A4", "")
	single := flags.Bool("single-file", false, "")
	large := flags.Bool("large-print", false, "")
	workers := flags.Int("workers", runtime.NumCPU(), "")
	class := flags.String("class", "", "")
	sitting := flags.Int("sitting", 1, "")
	only := flags.String("only", "", "")
	if code, done := a.parseFlags(flags, args, buildHelp); done {
		return code
	}
	o := buildOrder{course: shipped.Default, copies: *copies, purpose: exercises.Purpose(*purpose),
		seed: *seed, secret: *secret, out: *out, workers: *workers, class: *class, sitting: *sitting, only: *only}
	papers := map[string]render.Paper{"a4": render.A4, "letter": render.Letter}
	o.pages = site.Options{Paper: papers[strings.ToLower(*paper)], SingleFile: *single, LargePrint: *large}
	switch {
	case flags.NArg() > 1:
		return a.wrongUsage("build", fmt.Sprintf("there is one COURSE to build, not %d", flags.NArg()), "put a path with blanks in it into quotes")
	case *copies < 1 || *copies > maxCopies:
		return a.wrongUsage("build", fmt.Sprintf("--copies is %d, it must be 1 to %d", *copies, maxCopies))
	case flags.Changed("for") && o.purpose != exercises.Practice && o.purpose != exercises.Assessment:
		return a.wrongUsage("build", fmt.Sprintf("--for is %q, it must be practice or assessment", *purpose), diag.Hint(*purpose, "purposes", []string{"practice", "assessment"}))
	case o.pages.Paper == "":
		return a.wrongUsage("build", fmt.Sprintf("--paper is %q, it must be A4 or letter", *paper))
	case *sitting < 1 || *sitting > generator.MostSittings:
		return a.wrongUsage("build", fmt.Sprintf("--sitting is %d, it must be 1 to %d", *sitting, generator.MostSittings))
	case flags.Changed("class") && flags.Changed("copies"):
		return a.wrongUsage("build", "--class and --copies both say how many forms to make", "leave one out")
	case flags.Changed("class") && *class == "":
		return a.wrongUsage("build", "--class names no file")
	case *workers < 1 || *workers > 256:
		return a.wrongUsage("build", fmt.Sprintf("--workers is %d, it must be 1 to 256", *workers))
	case *out == "":
		return a.wrongUsage("build", "--out names no folder")
	case flags.Changed("seed") && strings.TrimSpace(*seed) == "":
		return a.wrongUsage("build", "--seed is empty", "give any text, such as --seed may-class, or leave it out")
	case len(*seed) > 64 || strings.ContainsFunc(*seed, func(r rune) bool { return r < ' ' || r == 0x7f }):
		return a.wrongUsage("build", "--seed is too long or holds control characters", "it is printed on every sheet: up to 64 bytes of plain text")
	case o.secret != "" && o.purpose == exercises.Practice:
		return a.secretForPractice()
	}
	if flags.NArg() == 1 {
		o.course = flags.Arg(0)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	return a.build(ctx, o)
}

func (a app) build(ctx context.Context, o buildOrder) int {
	drawer, course, code := a.prepare("build", o.course)
	if drawer == nil {
		return code
	}
	if o.purpose == "" {
		o.purpose = exercises.Purpose(course.For)
	}
	if o.secret != "" && o.purpose == exercises.Practice {
		return a.secretForPractice()
	}
	var only []string
	if o.only != "" {
		var wrong, hint string
		if only, wrong, hint = exerciseIDs(o.only, course); wrong != "" {
			return a.wrongUsage("build", wrong, hint)
		}
	}
	class, code := a.classOf("build", o.class)
	if code != exitFine {
		return code
	}
	if class != nil {
		o.copies = len(class)
	}
	src, err := a.source(o, course)
	if err != nil {
		return a.failed("build", err)
	}
	got, err := draw(ctx, drawer, src, o.purpose, o.sitting, o.copies, o.workers)
	switch {
	case ctx.Err() != nil:
		a.complain("build", "stopped; nothing was written")
		return exitIO
	case err != nil:
		a.complain("build", err.Error()+"; nothing was written")
		return exitFaults
	}
	assign(got.forms, class)
	common := apartness(drawer, got)
	limit(got.forms, only)
	files := site.Folder(course, got.forms, o.pages)
	files = append(files, site.RecordFiles(site.Record{
		Generator: generator.Version, Toolchain: runtime.Version(), Digest: drawer.Digest(), Families: drawer.FamilyVersions(),
		Purpose: o.purpose, Seed: src.Seed, Sitting: o.sitting, Only: only,
	}, course, got.forms, o.pages)...)
	if err := site.Publish(ctx, o.out, files, o.workers); err != nil {
		return a.failed("build", err)
	}
	return a.print(buildReport(o, course, src, got.forms, got.tally) + common)
}

func (a app) secretForPractice() int {
	return a.wrongUsage("build", "--secret goes with --for assessment", "practice forms come from an open seed")
}

// prepare reads a course and prepares its exercises, and reports every finding.
// Without a course the exit code says why.
func (a app) prepare(command, name string) (*generator.Drawer, *scenarios.Course, int) {
	fsys, course, drawer, ds, err := inspect(name)
	if err != nil {
		return nil, nil, a.failed(command, err)
	}
	if len(ds) > 0 {
		if err := diag.Write(a.Stderr, diag.From(fsys), ds, a.colour()); err != nil {
			return nil, nil, exitIO
		}
	}
	if drawer == nil {
		errs, _ := diag.Count(ds)
		fmt.Fprintf(a.Stderr, "loopdrill %s: %s: %s; nothing was written\n", command, name, plural(errs, "error"))
		return nil, nil, exitFaults
	}
	return drawer, course, exitFine
}

// inspect reads a course and prepares its exercises. The findings are those of
// the reader and of the families, sorted; with an error among them there is
// neither course nor drawer. err says that nothing could be read.
func inspect(name string) (fs.FS, *scenarios.Course, *generator.Drawer, []diag.Diagnostic, error) {
	fsys, err := openCourse(name)
	if err != nil {
		return nil, nil, nil, nil, err
	}
	course, drawer, ds := readAll(fsys)
	return fsys, course, drawer, ds, nil
}

// openCourse finds a course: a folder of that path, or else a shipped course
// of that name.
func openCourse(name string) (fs.FS, error) {
	info, err := os.Stat(name)
	switch {
	case err == nil && info.IsDir():
		return openFolder(name)
	case err == nil && filepath.Base(name) == "course.yaml":
		return openFolder(filepath.Dir(name))
	case err == nil:
		return nil, &site.Failure{What: "this is a file, and a course is a folder with a course.yaml in it", Path: name}
	case !errors.Is(err, fs.ErrNotExist):
		return nil, &site.Failure{What: "the course cannot be opened", Path: name, Err: err}
	}
	fsys, err := shipped.Course(name)
	if err != nil {
		return nil, &site.Failure{What: "there is no such folder, and no course of that name is shipped", Path: name,
			Hint: "shipped courses: " + strings.Join(shipped.Names(), ", ")}
	}
	return fsys, nil
}

// openFolder opens a folder so that no path and no link in it leads out of it.
// It stays open until the program ends.
func openFolder(name string) (fs.FS, error) {
	root, err := os.OpenRoot(name)
	if err != nil {
		return nil, &site.Failure{What: "the course cannot be opened", Path: name, Err: err}
	}
	return root.FS(), nil
}

// source gives the randomness of the forms.
func (a app) source(o buildOrder, course *scenarios.Course) (generator.Source, error) {
	if o.purpose == exercises.Assessment {
		seed := o.seed
		if seed == "" {
			seed = "1"
		}
		secret, err := a.courseSecret(o.secret, course.ID, o.out)
		return generator.Source{Secret: secret, Seed: seed}, err
	}
	seed := o.seed
	if seed == "" {
		seed = generator.OpenSeed(rand.Text())
	}
	return generator.Source{Seed: seed}, nil
}

func buildReport(o buildOrder, course *scenarios.Course, src generator.Source, forms []*exercises.Form, tally *generator.Tally) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s: %s for %s, %s each\n", course.Title, plural(len(forms), "form"), o.purpose, plural(len(forms[0].Items), "exercise"))
	start := filepath.Join(o.out, "start.html")
	handOut := filepath.Join(o.out, site.HandOut) + string(filepath.Separator)
	keep := filepath.Join(o.out, site.Keep) + string(filepath.Separator)
	width := max(len(start), len(handOut), len(keep))
	row := func(path, what string) { fmt.Fprintf(&b, "  %-*s  %s\n", width, path, what) }
	row(start, "open this first")
	if o.purpose == exercises.Practice {
		row(handOut, "safe to hand out: "+plural(len(forms), "workbook")+", solutions folded away in them")
	} else {
		row(handOut, "safe to hand out: "+plural(len(forms), "workbook")+", no answers in them")
	}
	row(keep, "do NOT hand out: keys with all answers, and mark sheets")
	if o.purpose == exercises.Practice {
		fmt.Fprintf(&b, "seed: %s (loopdrill build --seed %s makes the same forms again)\n", src.Seed, quoted(src.Seed))
	}
	draws, rejected := 0, 0
	for _, r := range tally.Report(course) {
		draws += r.Draws
		rejected += r.Rejected()
	}
	fmt.Fprintf(&b, "draws: %d, of which %d (%.0f %%) were thrown away because they broke a promise\n",
		draws, rejected, 100*float64(rejected)/float64(draws))
	return b.String()
}

// quoted puts quotes round a text that a shell would take apart.
func quoted(s string) string {
	if strings.ContainsFunc(s, func(r rune) bool {
		return !(r >= 'a' && r <= 'z' || r >= 'A' && r <= 'Z' || r >= '0' && r <= '9' || strings.ContainsRune("-_.,/", r))
	}) {
		return "'" + strings.ReplaceAll(s, "'", `'\''`) + "'"
	}
	return s
}

func plural(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// failed reports what could not be read or written.
func (a app) failed(command string, err error) int {
	var f *site.Failure
	hint := ""
	if errors.As(err, &f) {
		hint = f.Hint
	}
	a.complain(command, err.Error(), hint)
	return exitIO
}

// colour says whether diagnostics may be coloured: on a terminal, unless the
// user asked for none.
func (a app) colour() bool {
	f, ok := a.Stderr.(*os.File)
	if !ok || os.Getenv("NO_COLOR") != "" || os.Getenv("TERM") == "dumb" {
		return false
	}
	info, err := f.Stat()
	return err == nil && info.Mode()&os.ModeCharDevice != 0
}
