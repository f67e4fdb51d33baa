package main

import (
	"bytes"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Fuzz targets of a small module are really run: one that holds, one that
// breaks and leaves its input, one that is not there.
func TestFuzz(t *testing.T) {
	for _, row := range []struct{ name, body, target, err string }{
		{"holds", "", "FuzzA", ""},
		{"breaks", `if len(b) > 0 { t.Error("broken") }`, "FuzzA", "failed: FuzzA"},
		{"is not there", "", "FuzzB", "there is none in"},
	} {
		v := sources(t, map[string]string{"go.mod": goMod, "a_test.go": "package sample\n\nimport \"testing\"\n\n" +
			"func FuzzA(f *testing.F) {\n\tf.Add([]byte{})\n\tf.Fuzz(func(t *testing.T, b []byte) {" + row.body + "})\n}\n"})
		err := v.fuzz([]string{"GOFLAGS=-mod=mod", "GOWORK=off"}, []fuzzTarget{{".", row.target}}, time.Second)
		if row.err == "" && err != nil || row.err != "" && (err == nil || !strings.Contains(err.Error(), row.err)) {
			t.Errorf("%s: %v, want %q in\n%s", row.name, err, row.err, v.out.w.(*bytes.Buffer))
		}
		if left, _ := filepath.Glob(filepath.Join(v.root, "testdata/fuzz/FuzzA/*")); (len(left) > 0) != (row.name == "breaks") {
			t.Errorf("%s: inputs left: %v", row.name, left)
		}
	}
	for _, f := range fuzzTargets {
		if _, err := os.Stat(filepath.Join("../..", f.pkg)); err != nil {
			t.Error(err)
		}
	}
}
