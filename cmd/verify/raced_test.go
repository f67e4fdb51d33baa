package main

import (
	"io/fs"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

var concurrent = regexp.MustCompile(`\bgo func|\bgo [a-zA-Z.]+\(|\.Go\(|\bsync\.|\batomic\.`)

// TestRacedPackages: a package whose source has a goroutine, a lock or an atomic
// is run with the race detector, and no other one is, which would cost minutes
// and find nothing.
func TestRacedPackages(t *testing.T) {
	root := filepath.Join("..", "..")
	var found []string
	err := fs.WalkDir(os.DirFS(root), ".", func(name string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return err
		case d.IsDir() && (strings.HasPrefix(d.Name(), ".") && name != "." || d.Name() == "testdata" || d.Name() == "node_modules"):
			return fs.SkipDir
		case !strings.HasSuffix(name, ".go") || strings.HasSuffix(name, "_test.go"):
			return nil
		}
		b, err := os.ReadFile(filepath.Join(root, filepath.FromSlash(name)))
		if err != nil {
			return err
		}
		code := regexp.MustCompile(`(?m)//.*$`).ReplaceAll(b, nil)
		if pkg := "./" + path.Dir(name); concurrent.Match(code) && !slices.Contains(found, pkg) {
			found = append(found, pkg)
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	slices.Sort(found)
	if !slices.Equal(found, raced) {
		t.Errorf("run with the race detector: %v\nwith something to race: %v", raced, found)
	}
}
