package main

import (
	"fmt"

	"loopdrill/exercises/families"
	"loopdrill/scenarios"
)

const schemaHelp = `Print a JSON Schema (draft 2020-12) of course.yaml and plants/*.yaml.

Usage:
  loopdrill schema

An editor that knows JSON Schema completes keys and explains them. Save it as
loopdrill.json in the course folder and begin course.yaml with the line

  # yaml-language-server: $schema=loopdrill.json

and each file in plants with the same line and ../loopdrill.json. What depends
on more than one key, such as a supply too low for its loop, only loopdrill check
knows.

Options:
  -h, --help       this text

Example:
  $ loopdrill schema > my-course/loopdrill.json
`

func (a app) runSchema(args []string) int {
	flags := newFlags("schema")
	if code, done := a.parseFlags(flags, args, schemaHelp); done {
		return code
	}
	if flags.NArg() > 0 {
		return a.wrongUsage("schema", fmt.Sprintf("there is one schema, and %q asks for none other", flags.Arg(0)), "to save it: loopdrill schema > loopdrill.json")
	}
	s, err := scenarios.Schema(families.Vocabulary())
	if err != nil {
		// The descriptions are our own, and a test of theirs makes this.
		panic("schema: a schema that cannot be made")
	}
	return a.print(string(s))
}
