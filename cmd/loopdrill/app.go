package main

import (
	"errors"
	"fmt"
	"io"
	"runtime/debug"
	"strings"

	"github.com/spf13/pflag"

	"loopdrill/scenarios/diag"
)

// Exit codes of every sub-command.
const (
	exitFine   = 0
	exitFaults = 1 // the input has faults
	exitUsage  = 2 // wrong usage
	exitIO     = 3 // could not read or write
)

// app is the program with its connections to the world, so that tests can call
// it. Results go to Stdout, everything else to Stderr.
type app struct {
	Stdin          io.Reader
	Stdout, Stderr io.Writer
}

// command is one sub-command.
type command struct {
	name string
	line string // what it does, for the list of commands
	run  func(a app, args []string) int
}

// commands lists the sub-commands in the order of an instructor's week.
func commands() []command {
	return []command{
		{"build", "workbooks, keys, mark sheets and a start page from a course", app.runBuild},
		{"check", "all faults in a course, and what its draws look like", app.runCheck},
		{"key", "the key of one form again, from its code", app.runKey},
		{"measure", "what checker, receiver and voltmeter show on a loop with a fault", app.runMeasure},
		{"convert", "a value between two ranges, with the working", app.runConvert},
		{"mark", "marks, feedback pages, class report and records from what came back", app.runMark},
		{"new", "a small course to start from", app.runNew},
		{"gallery", "every family at every level, workbook and key side by side", app.runGallery},
		{"preview", "a course on this machine, drawn again when a file is saved", app.runPreview},
		{"schema", "JSON Schema of the YAML files, for completion in an editor", app.runSchema},
	}
}

const usageHead = `loopdrill turns scenarios of plant signal loops with faults into exercises,
answer keys and workbooks for instrumentation apprentices.

Usage:
  loopdrill COMMAND [ARGUMENTS]

Commands:
`

const usageTail = `
  help         this text, or "loopdrill help COMMAND"

Options:
  --version    the version of loopdrill
  -h, --help   this text

Example:
  $ loopdrill convert 8.55 --from "4..20 mA" --to "0..100 %"
`

func usage() string {
	var b strings.Builder
	b.WriteString(usageHead)
	for _, c := range commands() {
		fmt.Fprintf(&b, "  %-12s %s\n", c.name, c.line)
	}
	b.WriteString(strings.TrimPrefix(usageTail, "\n"))
	return b.String()
}

// Main runs one command line (without the program's name) and returns the exit
// code.
func (a app) Main(args []string) int {
	if len(args) == 0 {
		fmt.Fprint(a.Stderr, usage())
		return exitUsage
	}
	name, rest := args[0], args[1:]
	switch name {
	case "--version":
		return a.print("loopdrill " + version() + "\n")
	case "help", "-h", "--help":
		if len(rest) == 0 {
			return a.print(usage())
		}
		name, rest = rest[0], []string{"--help"}
	}
	for _, c := range commands() {
		if c.name == name {
			return c.run(a, rest)
		}
	}
	if strings.HasPrefix(name, "-") {
		return a.wrongUsage("", fmt.Sprintf("option %s stands before any command", name))
	}
	names := []string{"help"}
	for _, c := range commands() {
		names = append(names, c.name)
	}
	return a.wrongUsage("", fmt.Sprintf("there is no command %q", name), diag.Hint(name, "commands", names))
}

// print writes a finished result to Stdout in one piece.
func (a app) print(result string) int {
	if _, err := io.WriteString(a.Stdout, result); err != nil {
		fmt.Fprintf(a.Stderr, "loopdrill: the result could not be written: %v\n", err)
		return exitIO
	}
	return exitFine
}

// wrongUsage says what is wrong with the command line and where help is.
// command is empty for loopdrill itself. hints are printed one a line.
func (a app) wrongUsage(command, what string, hints ...string) int {
	a.complain(command, what, hints...)
	fmt.Fprintf(a.Stderr, "see: %s --help\n", strings.TrimSpace("loopdrill "+command))
	return exitUsage
}

// complain writes one error and its hints to Stderr.
func (a app) complain(command, what string, hints ...string) {
	fmt.Fprintf(a.Stderr, "%s: %s\n", strings.TrimSpace("loopdrill "+command), what)
	for _, h := range hints {
		if h != "" {
			fmt.Fprintf(a.Stderr, "hint: %s\n", h)
		}
	}
}

// newFlags starts the flags of a command. Their help is the command's own
// text, so pflag prints nothing.
func newFlags(command string) *pflag.FlagSet {
	fs := pflag.NewFlagSet(command, pflag.ContinueOnError)
	fs.SetOutput(io.Discard)
	fs.Usage = func() {}
	fs.SortFlags = false
	return fs
}

// parseFlags parses args and answers --help with the text help. done says that
// there is nothing left to do but to exit with code. Negative numbers such as
// -45 count as arguments and not as options.
func (a app) parseFlags(fs *pflag.FlagSet, args []string, help string) (code int, done bool) {
	err := fs.Parse(shieldNegative(fs, args))
	var unknown *pflag.NotExistError
	var missing *pflag.ValueRequiredError
	var invalid *pflag.InvalidValueError
	switch {
	case err == nil:
		return exitFine, false
	case errors.Is(err, pflag.ErrHelp):
		return a.print(help), true
	case errors.As(err, &unknown):
		known := []string{"--help"}
		fs.VisitAll(func(f *pflag.Flag) { known = append(known, "--"+f.Name) })
		name := "--" + unknown.GetSpecifiedName()
		if unknown.GetSpecifiedShortnames() != "" {
			name = name[1:]
		}
		return a.wrongUsage(fs.Name(), "there is no option "+name, diag.Hint(name, "options", known)), true
	case errors.As(err, &missing):
		return a.wrongUsage(fs.Name(), fmt.Sprintf("option --%s needs a value", missing.GetSpecifiedName())), true
	case errors.As(err, &invalid):
		f := invalid.GetFlag()
		takes := map[string]string{"int": "a whole number", "bool": "true or false"}[f.Value.Type()]
		if takes == "" {
			takes = "another value"
		}
		return a.wrongUsage(fs.Name(), fmt.Sprintf("option --%s takes %s, not %q", f.Name, takes, invalid.GetValue())), true
	default:
		return a.wrongUsage(fs.Name(), err.Error()), true
	}
}

// shieldNegative moves arguments that are negative numbers behind a "--", where
// pflag does not take them for options. What follows an option that wants a
// value is left to it.
func shieldNegative(fs *pflag.FlagSet, args []string) []string {
	var options, plain []string
	for i := 0; i < len(args); i++ {
		arg := args[i]
		if arg == "--" {
			plain = append(plain, args[i+1:]...)
			break
		}
		if len(arg) < 2 || arg[0] != '-' || isNegative(arg) {
			plain = append(plain, arg)
			continue
		}
		options = append(options, arg)
		f := fs.Lookup(strings.TrimPrefix(arg, "--"))
		if len(arg) == 2 {
			f = fs.ShorthandLookup(arg[1:])
		}
		if f == nil || f.NoOptDefVal != "" {
			continue
		}
		if i++; i == len(args) {
			return args // the value is missing, as pflag will say
		}
		options = append(options, args[i])
	}
	return append(append(options, "--"), plain...)
}

// isNegative reports whether s starts like a negative number: "-4", "-.5 mA".
func isNegative(s string) bool {
	rest := strings.TrimPrefix(strings.TrimPrefix(s, "-"), ".")
	return rest != "" && rest[0] >= '0' && rest[0] <= '9'
}

// version is the version of the module as the toolchain recorded it.
func version() string {
	info, ok := debug.ReadBuildInfo()
	if !ok || info.Main.Version == "" {
		return "(unknown version)"
	}
	return info.Main.Version
}
