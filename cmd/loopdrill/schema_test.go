package main

import (
	"testing"

	"loopdrill/exercises/families"
	"loopdrill/scenarios"
)

// TestStarterHasItsSchema holds the schema that "loopdrill new" writes beside
// its course, to which the first lines of its files lead, against what
// "loopdrill schema" prints.
func TestStarterHasItsSchema(t *testing.T) {
	want, err := scenarios.Schema(families.Vocabulary())
	if err != nil {
		t.Fatal(err)
	}
	if code, stdout, stderr := run("schema"); code != exitFine || stdout != string(want) || stderr != "" {
		t.Errorf("exit code %d, %q", code, stderr)
	}
	files, err := starterFiles("may-class")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range files {
		if f.path == schemaFile && string(f.body) == string(want) {
			return
		}
	}
	t.Error("loopdrill new writes no schema beside its files")
}
