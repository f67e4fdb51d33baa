package main

import (
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the scripts run this program under its own name.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"loopdrill": main})
}

// TestScripts runs every testdata/script/*.txtar. To take over what a command
// prints now, run with UPDATE_SCRIPTS=1 and read the difference.
func TestScripts(t *testing.T) {
	testscript.Run(t, testscript.Params{
		Dir:                 "testdata/script",
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		UpdateScripts:       updateScripts(),
		Setup: func(env *testscript.Env) error {
			// Under the race detector every program sleeps a second before
			// it ends, which a hundred short ones make long.
			env.Setenv("GORACE", "atexit_sleep_ms=0")
			return nil
		},
	})
}
