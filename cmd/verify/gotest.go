package main

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"strings"
)

// event is a line of "go test -json"; see "go doc test2json".
type event struct {
	Action  string
	Package string
	Test    string
	Output  string
}

// outcome is what a run of tests came to.
type outcome struct {
	packages int // that have tests and passed
	tests    int // passed, subtests not counted
	failed   []string
	skipped  []leftOut
}

// goTest runs "go test" and shows what it would show without -json: a line a
// package, and everything of a test that failed. Tests that skipped themselves
// are kept as left out, with their reason; a skip is never silent.
func (v *verifier) goTest(env []string, args ...string) error {
	args = append([]string{"test", "-json", "-count=1", "-timeout=25m"}, args...)
	cmd := v.command(env, "go", args...)
	cmd.Stdout = nil
	pipe, err := cmd.StdoutPipe()
	if err != nil {
		return err
	}
	if err := cmd.Start(); err != nil {
		return err
	}
	o, err := follow(pipe, v.out)
	if waited := cmd.Wait(); err == nil && waited != nil && len(o.failed) == 0 {
		err = waited
	}
	for _, l := range o.skipped {
		// A test that waits for the browser is left out only where the
		// browser was wanted and missing, not in the runs without it.
		if v.tools.browser != "" && strings.Contains(strings.Join(env, " "), browserOff) && strings.Contains(l.why, "LOOPDRILL_BROWSER") {
			continue
		}
		v.leave(l)
	}
	switch {
	case err != nil:
		return err
	case len(o.failed) > 0:
		return fmt.Errorf("failed: %s", strings.Join(o.failed, ", "))
	case o.tests == 0:
		return fmt.Errorf("no test was run")
	}
	fmt.Fprintf(v.out, "%d tests in %d packages passed\n", o.tests, o.packages)
	return nil
}

// follow reads the events of "go test -json", shows what matters on out as it
// comes, and counts.
func follow(events io.Reader, out io.Writer) (outcome, error) {
	var o outcome
	said := map[string][]string{} // package and test -> output so far
	lines := bufio.NewScanner(events)
	lines.Buffer(nil, 16<<20)
	for lines.Scan() {
		var e event
		if err := json.Unmarshal(lines.Bytes(), &e); err != nil {
			fmt.Fprintf(out, "%s\n", lines.Bytes()) // not an event: show it as it is
			continue
		}
		key := e.Package + " " + e.Test
		top := e.Test != "" && !strings.Contains(e.Test, "/")
		switch e.Action {
		case "output", "build-output":
			switch {
			case e.Action == "build-output", e.Test == "" && isPackageLine(e.Output):
				fmt.Fprint(out, e.Output)
			default:
				said[key] = append(said[key], e.Output)
			}
		case "pass":
			if top {
				o.tests++
			} else if e.Test == "" {
				o.packages++
			}
			delete(said, key)
		case "skip":
			if e.Test != "" && !fuzzInput(e.Test) {
				o.skipped = append(o.skipped, leftOut{e.Package + " " + e.Test, reason(said[key])})
			}
			delete(said, key)
		case "fail":
			for _, s := range said[key] {
				fmt.Fprint(out, s)
			}
			delete(said, key)
			if top {
				o.failed = append(o.failed, key)
			} else if e.Test == "" && !failedTest(o.failed, e.Package) {
				o.failed = append(o.failed, e.Package)
			}
		}
	}
	return o, lines.Err()
}

// fuzzInput reports whether a test is one input of a fuzz target. Such an input
// skips itself where it is none for the target, which leaves nothing unchecked;
// a target that skips as a whole does.
func fuzzInput(test string) bool {
	return strings.HasPrefix(test, "Fuzz") && strings.Contains(test, "/")
}

// isPackageLine reports whether s is one of the lines that "go test" prints a
// package.
func isPackageLine(s string) bool {
	for _, start := range []string{"ok  \t", "FAIL\t", "?   \t", "panic:", "---"} {
		if strings.HasPrefix(s, start) {
			return true
		}
	}
	return strings.Contains(s, "[no test files]")
}

// failedTest reports whether a failed test of the package is listed already.
func failedTest(failed []string, pkg string) bool {
	for _, f := range failed {
		if strings.HasPrefix(f, pkg+" ") {
			return true
		}
	}
	return false
}

// reason takes what a skipped test said, without the lines that go test puts
// around it.
func reason(said []string) string {
	var out []string
	for _, s := range said {
		s = strings.TrimSpace(s)
		if s == "" || strings.HasPrefix(s, "===") || strings.HasPrefix(s, "---") {
			continue
		}
		// "file_test.go:12: reason"
		if _, after, ok := strings.Cut(s, ".go:"); ok {
			if _, text, ok := strings.Cut(after, ": "); ok {
				s = text
			}
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return "it gives no reason"
	}
	return strings.Join(out, " ")
}
