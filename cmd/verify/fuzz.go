package main

import (
	"bytes"
	"fmt"
	"io"
	"strings"
	"time"
)

// fuzzFor is how long each fuzz target runs.
const fuzzFor = 10 * time.Second

// fuzzTarget is a fuzz target and the package that it is in.
type fuzzTarget struct{ pkg, name string }

// fuzzTargets are what reads files of users, and what marks what somebody
// typed. The other targets run with their seeds alone, as tests.
var fuzzTargets = []fuzzTarget{
	{"./scenarios", "FuzzPlant"},
	{"./scenarios", "FuzzCourse"},
	{"./scenarios", "FuzzLesson"},
	{"./scenarios/classlist", "FuzzClassList"},
	{"./exercises/marking", "FuzzNumber"},
	{"./exercises/marking", "FuzzItem"},
	{"./exercises/answerfile", "FuzzRead"},
}

func checkFuzz(v *verifier) error { return v.fuzz(nil, fuzzTargets, fuzzFor) }

// fuzz lets each target run for a while. An input that breaks one is left by
// the go command in testdata/fuzz of its package, where it is a test from then
// on.
func (v *verifier) fuzz(env []string, targets []fuzzTarget, each time.Duration) error {
	var failed []string
	for _, t := range targets {
		// Without the limit, shortening the first interesting input takes
		// all of the time.
		var said bytes.Buffer
		run := func() error {
			said.Reset()
			cmd := v.command(env, "go", "test", "-run=^$", "-fuzz=^"+t.name+"$", "-fuzztime="+each.String(), "-fuzzminimizetime=10x", t.pkg)
			cmd.Stdout = io.MultiWriter(v.out, &said)
			return cmd.Run()
		}
		err := run()
		if err != nil && outOfTime(said.String()) {
			err = run()
		}
		switch {
		case err != nil:
			failed = append(failed, t.name)
		// With many inputs kept from earlier runs all of the time may go to
		// trying those again.
		case strings.Contains(said.String(), "no fuzz tests to fuzz"), !strings.Contains(said.String(), "fuzz: elapsed:"):
			failed = append(failed, t.name+" (there is none in "+t.pkg+")")
		}
	}
	if len(failed) > 0 {
		return fmt.Errorf("failed: %s", strings.Join(failed, ", "))
	}
	return nil
}

// outOfTime says whether a target failed only because its time was up while an
// input was still being tried, which the go command now and then reports as a
// failure of its own: no input was found to break anything.
func outOfTime(said string) bool {
	return strings.Contains(said, "context deadline exceeded") && !strings.Contains(said, "Failing input")
}
