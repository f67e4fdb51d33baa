package main

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/signal"
	"strconv"
	"time"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/render"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/shipped"
	"loopdrill/site"
)

const previewHelp = `Serve a course on this machine and draw it again whenever a file is saved.

Usage:
  loopdrill preview [COURSE] [OPTIONS]

COURSE is a folder with a course.yaml in it, or the name of a course shipped
inside the program (default: live-zero-basics). Open the address that is printed
in a browser on this machine; other machines cannot reach it. An open page loads
itself anew when the course has changed. Where the course has faults, they stand
on the page until they are mended. Nothing is written to any folder.

Options:
  --port N     the port to listen on (default: any free one)
  --copies N   how many copies, 1 to 40 (default 1)
  --seed TEXT  where the numbers come from (default preview)
  -h, --help   this text

Stop it with Ctrl+C.

Example:
  $ loopdrill preview my-course --port 8080
`

func (a app) runPreview(args []string) int {
	flags := newFlags("preview")
	port := flags.Int("port", 0, "")
	copies := flags.Int("copies", 1, "")
	seed := flags.String("seed", "preview", "")
	if code, done := a.parseFlags(flags, args, previewHelp); done {
		return code
	}
	switch {
	case flags.NArg() > 1:
		return a.wrongUsage("preview", fmt.Sprintf("there is one COURSE to show, not %d", flags.NArg()), "put a path with blanks in it into quotes")
	case *port < 0 || *port > 65535:
		return a.wrongUsage("preview", fmt.Sprintf("--port is %d, it must be 1 to 65535", *port))
	case *copies < 1 || *copies > 40:
		return a.wrongUsage("preview", fmt.Sprintf("--copies is %d, it must be 1 to 40", *copies))
	}
	course := shipped.Default
	if flags.NArg() == 1 {
		course = flags.Arg(0)
	}
	// What is not there now will not come by waiting.
	if _, err := openCourse(course); err != nil {
		return a.failed("preview", err)
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	defer stop()
	listener, err := net.Listen("tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(*port)))
	if err != nil {
		a.complain("preview", fmt.Sprintf("port %d cannot be listened on: %v", *port, err), "leave --port out to take a free one")
		return exitIO
	}
	p := newPreview(course, *seed, *copies)
	p.load()
	if err := p.watch(ctx); err != nil {
		a.complain("preview", "changes of the files cannot be watched: "+err.Error(), "load the page anew by hand")
	}
	if code := a.print(fmt.Sprintf("http://%s/\n", listener.Addr())); code != exitFine {
		return code
	}
	fmt.Fprintf(a.Stderr, "loopdrill preview: %s; stop with Ctrl+C\n", p.state().summary)
	server := &http.Server{Handler: p.handler(listener.Addr().String()), ReadHeaderTimeout: 10 * time.Second}
	go func() {
		<-ctx.Done()
		_ = server.Close()
	}()
	if err := server.Serve(listener); err != nil && !errors.Is(err, http.ErrServerClosed) {
		return a.failed("preview", err)
	}
	return exitFine
}

// previewed is one state of a course: its files, or its faults.
type previewed struct {
	number  int // counts up with each load
	files   map[string]site.File
	faults  string // as written to a terminal; empty without
	summary string
}

// inspect reads a course and draws its forms.
func (p *preview) inspect() previewed {
	fsys, course, drawer, ds, err := inspect(p.course)
	if err != nil {
		return previewed{faults: err.Error(), summary: err.Error()}
	}
	var text bytes.Buffer
	if err := diag.Write(&text, diag.From(fsys), ds, false); err != nil {
		return previewed{faults: err.Error(), summary: err.Error()}
	}
	errs, warnings := diag.Count(ds)
	out := previewed{summary: plural(errs, "error") + ", " + plural(warnings, "warning")}
	if drawer == nil {
		out.faults = text.String()
		return out
	}
	var forms []*exercises.Form
	for n := range p.copies {
		form, err := drawer.Form(generator.Source{Seed: p.seed}, exercises.Practice, n+1, nil)
		if err != nil {
			return previewed{faults: err.Error(), summary: "the course cannot be drawn"}
		}
		forms = append(forms, form)
	}
	out.files = map[string]site.File{}
	for _, f := range site.Folder(course, forms, site.Options{Paper: render.A4}) {
		out.files[f.Path] = f
	}
	return out
}
