package main

import "testing"

func TestOutOfTime(t *testing.T) {
	for _, row := range []struct {
		name, said string
		want       bool
	}{
		{"the time was up", "fuzz: elapsed: 10s, execs: 5104\n--- FAIL: FuzzA (10.04s)\n    context deadline exceeded\nFAIL\n", true},
		{"an input breaks it", "--- FAIL: FuzzA (0.04s)\n    a_test.go:5: no\n    Failing input written to testdata/fuzz/FuzzA/12\n", false},
		{"both", "context deadline exceeded\nFailing input written to testdata/fuzz/FuzzA/12\n", false},
		{"it does not build", "FAIL loopdrill/a [build failed]\n", false},
	} {
		if got := outOfTime(row.said); got != row.want {
			t.Errorf("%s: %v", row.name, got)
		}
	}
}
