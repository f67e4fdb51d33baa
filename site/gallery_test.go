package site_test

import (
	"context"
	"flag"
	"path/filepath"
	"testing"

	"loopdrill/exercises"
	"loopdrill/render/sample"
	"loopdrill/site"
)

var gallery = flag.String("gallery", "", "publish the sample forms below this folder, to look at them")

// TestGallery publishes the sample for practice and for assessment. With
// -gallery the folders stay, to be looked at in a browser.
func TestGallery(t *testing.T) {
	root := *gallery
	if root == "" {
		root = t.TempDir()
	}
	for _, purpose := range []exercises.Purpose{exercises.Practice, exercises.Assessment} {
		forms := []*exercises.Form{sample.Form(purpose, 1, 16), sample.Form(purpose, 2, 16)}
		files := site.Folder(forms[0].Course, forms, site.Options{})
		if err := site.Publish(context.Background(), filepath.Join(root, string(purpose)), files, 2); err != nil {
			t.Fatal(err)
		}
	}
}
