package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"runtime"
	"strings"

	"loopdrill/exercises/sitting"
	"loopdrill/render"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/shipped"
	"loopdrill/site"
)

const markHelp = `Mark what a class handed in: marks, feedback pages, class report, records.

Usage:
  loopdrill mark ANSWERS... --build FOLDER [OPTIONS]
  loopdrill mark --blank-csv FOLDER --build FOLDER [OPTIONS]

ANSWERS are files, or folders of files:
  answers-FORM.json   saved by a workbook
  tables in CSV       answers typed in from paper, marks by hand, decisions on
                      queries, overrides, marks of a second marker, observed
                      steps; the first line of a table says which it is
What cannot be used is reported with its place and set aside; the rest is
marked. Nothing in these files is changed.

Forms (as they were built):
  --build FOLDER   what build wrote, or its keep folder: it knows the course as
                   it was, the seed, the forms and whose they are
  --secret FILE    assessment only: the file with the secret of the course
                   (default: where build keeps it)
Without the folder of the build:
  --course COURSE  folder or shipped course (default: live-zero-basics)
  --seed TEXT      the seed printed on practice forms; for assessments what was
                   given to build (default 1)
  --class FILE     the class list: form 1 was made for its first person

Output:
  --out FOLDER     the folder to write (default loopdrill-marks): whole or not
                   at all. A folder that loopdrill has not made, or that holds
                   something of yours, is left alone.
  --blank-csv FOLDER
                   write the empty tables for a build instead, to be filled in
  --copies N       how many forms the tables are for (default: all of the build,
                   or one a person of the class list)
  --for PURPOSE    without --build: which forms the tables are for, practice or
                   assessment (default: what the course says)
  --paper SIZE     A4 or letter (default A4)
  -h, --help       this text

Exit code 1 says that something was set aside; what was marked is written.

Example:
  $ loopdrill mark handed-in --build may-class --out may-marks
`

// markOrder is a marking as asked for on the command line.
type markOrder struct {
	answers              []string
	build                string
	course, seed, secret string
	class, out           string
	paper                render.Paper
}

func (a app) runMark(args []string) int {
	flags := newFlags("mark")
	build := flags.String("build", "", "")
	course := flags.String("course", shipped.Default, "")
	seed := flags.String("seed", "", "")
	secret := flags.String("secret", "", "")
	class := flags.String("class", "", "")
	out := flags.String("out", "loopdrill-marks", "")
	blank := flags.String("blank-csv", "", "")
	copies := flags.Int("copies", 0, "")
	purpose := flags.String("for", "", "")
	paper := flags.String("paper", "A4", "")
	if code, done := a.parseFlags(flags, args, markHelp); done {
		return code
	}
	o := markOrder{answers: flags.Args(), build: *build, course: *course, seed: *seed, secret: *secret, class: *class, out: *out}
	papers := map[string]render.Paper{"a4": render.A4, "letter": render.Letter}
	o.paper = papers[strings.ToLower(*paper)]
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	switch {
	case o.paper == "":
		return a.wrongUsage("mark", fmt.Sprintf("--paper takes A4 or letter, not %q", *paper))
	case *purpose != "" && *purpose != "practice" && *purpose != "assessment":
		return a.wrongUsage("mark", fmt.Sprintf("--for takes practice or assessment, not %q", *purpose))
	case *copies < 0 || *copies > maxCopies:
		return a.wrongUsage("mark", fmt.Sprintf("--copies takes a number from 1 to %d, not %d", maxCopies, *copies))
	case o.build != "" && (flags.Changed("course") || flags.Changed("seed") || flags.Changed("class") || flags.Changed("for")):
		return a.wrongUsage("mark", "the folder of a build knows its course, seed, people and purpose", "leave --course, --seed, --class and --for out, or --build")
	case flags.Changed("blank-csv") && len(o.answers) > 0:
		return a.wrongUsage("mark", "--blank-csv writes empty tables and marks nothing", "leave the answers out, or --blank-csv")
	case flags.Changed("blank-csv"):
		o.out = *blank
		return a.blankTables(ctx, o, *copies, *purpose)
	case len(o.answers) == 0:
		return a.wrongUsage("mark", "there are no answers to mark", "name the folder with the answer files: loopdrill mark handed-in")
	case flags.Changed("copies") || flags.Changed("for"):
		return a.wrongUsage("mark", "--copies and --for go with --blank-csv", "the codes of the forms say how many there are and what they are for")
	}
	return a.mark(ctx, o)
}

func (a app) mark(ctx context.Context, o markOrder) int {
	forms, s, code := a.setting(o)
	if forms == nil {
		return code
	}
	inputs, unread, err := readAnswers(o.answers, o.out)
	if err != nil {
		return a.failed("mark", err)
	}
	works, notes := sitting.Collect(inputs, s)
	more, err := sitting.Mark(works, s)
	if err != nil {
		a.complain("mark", err.Error()+"; nothing was written", "please report this: the exercise has a fault")
		return exitFaults
	}
	notes = diag.Sort(append(append(notes, unread...), more...))
	if err := diag.Write(a.Stderr, sourcesOf(inputs), notes, a.colour()); err != nil {
		return exitIO
	}
	aside, _ := diag.Count(notes)
	if len(works) == 0 {
		a.complain("mark", "no answers are left to mark; nothing was written")
		return exitFaults
	}
	report := sitting.ReportOf(works)
	files, err := forms.markFiles(report, notes, o.paper)
	if err != nil {
		a.complain("mark", err.Error()+"; nothing was written")
		return exitFaults
	}
	if err := site.Publish(ctx, o.out, files, runtime.NumCPU()); err != nil {
		return a.failed("mark", err)
	}
	if code := a.print(markReport(o, report, aside)); code != exitFine || aside == 0 {
		return code
	}
	return exitFaults
}

func markReport(o markOrder, r sitting.Report, aside int) string {
	var b strings.Builder
	w := r.Works[0]
	fmt.Fprintf(&b, "%s: %s marked, %d marks to be had\n", w.Form.Course.Title, plural(len(r.Works), "form"), r.Marks)
	if r.Pass > 0 {
		fmt.Fprintf(&b, "pass mark %d (%d %%): %d passed, %d not yet, %d undecided\n", r.Pass, r.PassPercent, r.Passed, r.NotYet, r.Undecided)
	}
	rows := [][2]string{
		{marksReport, "open this first: the class report"},
		{site.HandOut + "/", "for the apprentices: feedback, and a practice workbook each"},
		{site.Keep + "/", "records to sign, second marking, marks.csv"},
	}
	if r.OpenQueries > 0 {
		rows = append(rows, [2]string{marksQueries, plural(r.OpenQueries, "answer") + " to decide"})
	}
	if r.OpenJudged > 0 {
		rows = append(rows, [2]string{marksQueries, plural(r.OpenJudged, "answer") + " to mark by hand"})
	}
	for _, row := range rows {
		fmt.Fprintf(&b, "  %s/%-26s  %s\n", strings.TrimSuffix(o.out, "/"), row[0], row[1])
	}
	if aside > 0 {
		fmt.Fprintf(&b, "set aside: %s; see the messages, and the class report\n", plural(aside, "thing"))
	}
	return b.String()
}
