package main

import (
	"path/filepath"
	"testing"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/scenarios/shipped"
)

// TestShippedWorkbooksAreSmall: no practice workbook of a shipped course, with
// lessons and solutions, has 400 kB without the shared assets.
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
		if most >= 400_000 {
			t.Errorf("a workbook of %s with %d exercises has %d bytes", name, len(course.Exercises), most)
		}
	}
}
