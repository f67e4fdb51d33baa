// Verify passes all tests of loopdrill on a machine that has only Go, Node and
// git:
//
//	go run ./cmd/verify
//
// It fetches Chromium and a C compiler from Debian's packages where it may,
// else it says what to install. It checks the form of the sources, runs go vet,
// the tests with and without the race detector, and those that open the pages
// in a browser. It ends with a summary that names every check that was left out
// and why; under CI=true such a check counts as failed.
package main

import (
	"errors"
	"fmt"
	"os"
	"time"

	"github.com/spf13/pflag"
)

const help = `Pass all tests of loopdrill.

Usage:
  go run ./cmd/verify [OPTIONS]

Options:
  --no-install   install no packages; say what is missing
  -h, --help     this text

Environment:
  LOOPDRILL_BROWSER   the browser to open pages in (default: a Chromium on PATH)
  CI                  "true": a check that is left out counts as failed

Example:
  $ go run ./cmd/verify --no-install
`

func main() {
	flags := pflag.NewFlagSet("verify", pflag.ContinueOnError)
	flags.Usage = func() {}
	noInstall := flags.Bool("no-install", false, "")
	if err := flags.Parse(os.Args[1:]); errors.Is(err, pflag.ErrHelp) {
		fmt.Print(help)
		return
	} else if err != nil || flags.NArg() > 0 {
		fmt.Fprintf(os.Stderr, "verify: %v %v\nsee: go run ./cmd/verify --help\n", err, flags.Args())
		os.Exit(2)
	}
	root, err := moduleRoot()
	if err != nil {
		fmt.Fprintf(os.Stderr, "verify: %v\n", err)
		os.Exit(3)
	}
	v := &verifier{root: root, out: &shared{w: os.Stdout}, now: time.Now}
	v.tools = findTools(v, !*noInstall)
	for _, c := range checks() {
		v.run(c)
	}
	os.Exit(v.summary(os.Getenv("CI") == "true"))
}
