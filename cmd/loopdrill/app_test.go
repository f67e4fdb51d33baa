package main

import (
	"bytes"
	"errors"
	"os"
	"regexp"
	"strings"
	"testing"
)

func updateScripts() bool { return os.Getenv("UPDATE_SCRIPTS") != "" }

// run calls the program as a shell would.
func run(args ...string) (code int, stdout, stderr string) {
	var out, err bytes.Buffer
	a := app{Stdin: strings.NewReader(""), Stdout: &out, Stderr: &err}
	code = a.Main(args)
	return code, out.String(), err.String()
}

// Every command has a help text that ends in an example of that command, and
// names exactly the options that the command takes: an option that help
// invents is refused when it is tried, one that it leaves out is found by a
// wrong option, whose message lists them.
func TestHelpOfEveryCommand(t *testing.T) {
	option := regexp.MustCompile(`--[a-z]+`)
	for _, c := range commands() {
		code, help, stderr := run(c.name, "--help")
		if code != exitFine || stderr != "" {
			t.Errorf("%s --help: exit code %d, stderr %q", c.name, code, stderr)
		}
		if code, text, _ := run("help", c.name); code != exitFine || text != help {
			t.Errorf("help %s differs from %s --help", c.name, c.name)
		}
		lines := strings.Split(strings.TrimSpace(help), "\n")
		if last := strings.TrimSpace(lines[len(lines)-1]); !strings.HasPrefix(last, "$ loopdrill "+c.name) {
			t.Errorf("%s: help ends in %q, not in an example", c.name, last)
		}
		_, _, listed := run(c.name, "--zzzzzzzzzz")
		_, known, _ := strings.Cut(listed, "options: ")
		for _, o := range option.FindAllString(known, -1) {
			if !strings.Contains(help, "\n  "+o) && !strings.Contains(help, ", "+o) {
				t.Errorf("%s: help does not explain %s", c.name, o)
			}
		}
		for _, o := range option.FindAllString(help, -1) {
			if !strings.Contains(known, o) {
				t.Errorf("%s: help names %s, which is no option", c.name, o)
			}
		}
		if _, text, _ := run("help"); !strings.Contains(text, "\n  "+c.name) {
			t.Errorf("help does not list %s", c.name)
		}
	}
}

// fullDisk takes nothing.
type fullDisk struct{}

func (fullDisk) Write([]byte) (int, error) { return 0, errors.New("no space left") }

func TestResultThatCannotBeWritten(t *testing.T) {
	var stderr bytes.Buffer
	a := app{Stdin: strings.NewReader(""), Stdout: fullDisk{}, Stderr: &stderr}
	if code := a.Main([]string{"convert", "12", "--from", "4..20 mA", "--to", "0..100 %"}); code != exitIO {
		t.Errorf("exit code %d, want %d", code, exitIO)
	}
	if !strings.Contains(stderr.String(), "no space left") {
		t.Errorf("the cause is missing: %q", stderr.String())
	}
}

// No command line makes the program panic or exit with another code than the
// four, and what is not an answer leaves stdout empty.
func FuzzCommandLine(f *testing.F) {
	for _, s := range []string{
		"convert\n12\n--from\n4..20 mA\n--to\n0..100 %",
		"convert\n-45\n--from\n-80..150 °C\n--to\n20..4 mA\n--root\n--json",
		"convert\n999999999999999\n--from=0..0.000000000000001\n--to=0..999999999999999\n--decimals\n9",
		"convert\n--\n-1\n--from", "convert\n-1\n-", "convert\n--from", "help\nhelp", "--version", "", "convert\n−3\n--square\n--from\n1..0\n--to\n0..1 psi",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		args := strings.Split(line, "\n")
		if len(args[0]) > 0 && args[0] != "convert" && args[0] != "help" && !strings.HasPrefix(args[0], "-") {
			args[0] = "convert" // the other commands have files to write
		}
		code, stdout, stderr := run(args...)
		if code < exitFine || code > exitIO {
			t.Errorf("exit code %d", code)
		}
		if code != exitFine && (stdout != "" || stderr == "") {
			t.Errorf("exit code %d with stdout %q and stderr %q", code, stdout, stderr)
		}
	})
}

// The exit codes, which scripts rely on and testscript cannot tell apart.
func TestExitCodes(t *testing.T) {
	for _, row := range []struct {
		name string
		want int
		args []string
	}{
		{"a result", exitFine, []string{"convert", "12", "--from=4..20 mA", "--to=0..100 %"}},
		{"a result with a note", exitFine, []string{"convert", "3", "--from=4..20 mA", "--to=0..100 %"}},
		{"help", exitFine, []string{"convert", "--help"}},
		{"no root", exitFaults, []string{"convert", "3", "--from=4..20 mA", "--to=0..100 %", "--root"}},
		{"too large to print", exitFaults, []string{"convert", "999999999999999", "--from=0..0.001", "--to=0..999999999999999"}},
		{"no command", exitUsage, nil},
		{"unknown command", exitUsage, []string{"convret"}},
		{"unknown option", exitUsage, []string{"convert", "12", "--form=4..20 mA"}},
		{"a range that is none", exitUsage, []string{"convert", "12", "--from=four", "--to=0..100 %"}},
	} {
		if code, _, stderr := run(row.args...); code != row.want {
			t.Errorf("%s: exit code %d, want %d (%s)", row.name, code, row.want, stderr)
		}
	}
}
