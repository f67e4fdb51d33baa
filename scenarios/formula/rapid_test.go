package formula_test

import (
	"flag"
	"os"
	"testing"
)

// TestMain lets the random tests draw the same numbers on every run, so that a
// change is what makes them fail. Another -rapid.seed looks further.
func TestMain(m *testing.M) {
	if err := flag.Set("rapid.seed", "1"); err != nil {
		panic(err)
	}
	os.Exit(m.Run())
}
