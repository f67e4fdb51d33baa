package main

import (
	"path/filepath"
	"testing"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/scenarios/shipped"
)

// roomy lists courses whose workbooks are larger: permit-to-record has 25
// exercises and nine long lessons, and comes to some 25 kB for each exercise.
var roomy = map[string]int{"permit-to-record": 660_000}

// TestShippedWorkbooksAreSmall: no practice workbook of a shipped course, with
// lessons and solutions, has 400 kB without the shared assets, but for those in
// roomy.
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
		limit := 400_000
		if n, ok := roomy[name]; ok {
			limit = n
		}
		if most >= limit {
			t.Errorf("a workbook of %s with %d exercises has %d bytes", name, len(course.Exercises), most)
		}
	}
}
