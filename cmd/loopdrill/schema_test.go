package main

import (
	"bytes"
	"os"
	"testing"

	"loopdrill/exercises/families"
	"loopdrill/scenarios"
)

// shippedSchema is the schema that the shipped courses name in their first
// lines, for whoever edits them in this repository. That they are valid by it
// is tested in scenarios.
const shippedSchema = "../../scenarios/shipped/loopdrill.json"

// TestSchemaFilesAreFresh holds the file beside the shipped courses, and the
// one that "loopdrill new" writes beside its course, against what "loopdrill
// schema" prints.
func TestSchemaFilesAreFresh(t *testing.T) {
	want, err := scenarios.Schema(families.Vocabulary())
	if err != nil {
		t.Fatal(err)
	}
	if *updateGolden {
		if err := os.WriteFile(shippedSchema, want, 0o666); err != nil {
			t.Fatal(err)
		}
	}
	got, err := os.ReadFile(shippedSchema)
	if err != nil || !bytes.Equal(got, want) {
		t.Error("scenarios/shipped/loopdrill.json is stale; run: go run ./cmd/loopdrill schema > scenarios/shipped/loopdrill.json")
	}
	files, err := starterFiles("may-class")
	if err != nil {
		t.Fatal(err)
	}
	beside := false
	for _, f := range files {
		beside = beside || f.path == schemaFile && bytes.Equal(f.body, want)
	}
	if !beside {
		t.Error("loopdrill new writes no schema beside its files")
	}
}
