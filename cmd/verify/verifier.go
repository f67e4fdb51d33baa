package main

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"
)

// verifier runs the checks one after the other and keeps what came of them.
type verifier struct {
	root  string // of the module
	out   *shared
	now   func() time.Time
	tools tools

	results []result
	left    []leftOut
}

// shared lets a program and ourselves write at the same time.
type shared struct {
	mu sync.Mutex
	w  io.Writer
}

func (s *shared) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.w.Write(p)
}

// check is one thing that must hold. do returns nil, an error, or a [leftOut].
type check struct {
	name string
	do   func(v *verifier) error
}

// result is what came of a check; err is nil if it passed.
type result struct {
	name string
	took time.Duration
	err  error
}

// leftOut is a check, or a test in one, that could not be made.
type leftOut struct{ what, why string }

func (l leftOut) Error() string { return l.what + " left out: " + l.why }

// run makes one check. A check that is left out is no result.
func (v *verifier) run(c check) {
	fmt.Fprintf(v.out, "\n== %s\n", c.name)
	start := v.now()
	err := c.do(v)
	var l leftOut
	if errors.As(err, &l) {
		fmt.Fprintln(v.out, l.Error())
		v.leave(l)
		return
	}
	if err != nil {
		fmt.Fprintf(v.out, "FAILED: %v\n", err)
	}
	v.results = append(v.results, result{c.name, v.now().Sub(start), err})
}

// leave keeps what was left out, once.
func (v *verifier) leave(l leftOut) {
	if !slices.Contains(v.left, l) {
		v.left = append(v.left, l)
	}
}

// summary prints what came of all checks and returns the exit code: 0 if
// everything passed, 1 if something failed or nothing was checked at all.
// Strict counts what was left out as failed.
func (v *verifier) summary(strict bool) int {
	fmt.Fprintf(v.out, "\n== summary\n")
	failed := 0
	for _, r := range v.results {
		word := "passed"
		if r.err != nil {
			word = "FAILED"
			failed++
		}
		fmt.Fprintf(v.out, "%-8s  %-34s %6.1f s\n", word, r.name, r.took.Seconds())
	}
	for _, l := range v.left {
		fmt.Fprintf(v.out, "LEFT OUT  %s: %s\n", l.what, l.why)
	}
	switch {
	case failed > 0:
		fmt.Fprintf(v.out, "verify: %d of %d checks failed, %d left out\n", failed, len(v.results), len(v.left))
	case len(v.results) == 0:
		fmt.Fprintln(v.out, "verify: nothing was checked")
	case len(v.left) > 0 && strict:
		fmt.Fprintf(v.out, "verify: %d left out, which counts as failed under CI=true\n", len(v.left))
	case len(v.left) > 0:
		fmt.Fprintf(v.out, "verify: all %d checks made have passed, but %d left out\n", len(v.results), len(v.left))
		return 0
	default:
		fmt.Fprintf(v.out, "verify: all %d checks passed, none left out\n", len(v.results))
		return 0
	}
	return 1
}

// command prepares a program in the module's root whose output streams to ours.
func (v *verifier) command(env []string, name string, args ...string) *exec.Cmd {
	fmt.Fprintf(v.out, "$ %s\n", strings.Join(append(append(env[:len(env):len(env)], name), args...), " "))
	cmd := exec.Command(name, args...)
	cmd.Dir = v.root
	cmd.Env = append(os.Environ(), env...)
	cmd.Stdout, cmd.Stderr = v.out, v.out
	return cmd
}

// quiet runs a program that must succeed and print nothing.
func (v *verifier) quiet(env []string, name string, args ...string) error {
	cmd := v.command(env, name, args...)
	var said bytes.Buffer
	cmd.Stdout = io.MultiWriter(v.out, &said)
	if err := cmd.Run(); err != nil {
		return fmt.Errorf("%s: %w", name, err)
	}
	if text := strings.TrimSpace(said.String()); text != "" {
		return fmt.Errorf("%s has something to say, see above", strings.Join(append([]string{name}, args[:min(len(args), 2)]...), " "))
	}
	return nil
}

// moduleRoot finds the folder of go.mod.
func moduleRoot() (string, error) {
	out, err := exec.Command("go", "env", "GOMOD").Output()
	if err != nil {
		return "", fmt.Errorf("the go command cannot be run: %w", err)
	}
	mod := strings.TrimSpace(string(out))
	if mod == "" || mod == os.DevNull {
		return "", errors.New("there is no go.mod here; run this in the folder of loopdrill's sources")
	}
	return filepath.Dir(mod), nil
}
