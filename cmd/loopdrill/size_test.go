package main

import (
	"path/filepath"
	"testing"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/scenarios/shipped"
)

// TestShippedWorkbooksAreSmall: a practice workbook of a shipped course, with
// lessons and solutions, has less than 400 kB for every 16 exercises, and so
// has one with fewer, without the shared assets.
func TestShippedWorkbooksAreSmall(t *testing.T) {
	for _, name := range shipped.Names() {
		_, course, drawer, _, err := inspect(name)
		if err != nil || drawer == nil {
			t.Fatalf("%s cannot be drawn: %v", name, err)
		}
		most := 0
		for n := 1; n <= 3; n++ {
			form, err := drawer.Form(generator.Source{Seed: "size"}, exercises.Practice, n, nil)
			if err != nil {
				t.Fatal(err)
			}
			most = max(most, len(workbook(t, form)))
		}
		t.Logf("%s: %d exercises, %d bytes", filepath.Base(name), len(course.Exercises), most)
		if n := max(16, len(course.Exercises)); 16*most >= 400_000*n {
			t.Errorf("a workbook of %s with %d exercises has %d bytes", name, len(course.Exercises), most)
		}
	}
}
