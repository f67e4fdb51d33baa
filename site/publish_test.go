package site_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"loopdrill/site"
)

func text(path, content string) site.File {
	return site.File{Path: path, Write: func(w io.Writer) error {
		_, err := io.WriteString(w, content)
		return err
	}}
}

// tree reads a folder; a sub-folder is listed with a slash.
func tree(t *testing.T, dir string) map[string]string {
	t.Helper()
	out := map[string]string{}
	err := filepath.WalkDir(dir, func(p string, d fs.DirEntry, err error) error {
		if err != nil || p == dir {
			return err
		}
		rel, _ := filepath.Rel(dir, p)
		rel = filepath.ToSlash(rel)
		if d.IsDir() {
			out[rel+"/"] = ""
			return nil
		}
		if d.Type()&fs.ModeSymlink != 0 {
			to, err := os.Readlink(p)
			out[rel] = "-> " + to
			return err
		}
		b, err := os.ReadFile(p)
		out[rel] = string(b)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func publish(t *testing.T, dir string, files ...site.File) {
	t.Helper()
	if err := site.Publish(context.Background(), dir, files, 2); err != nil {
		t.Fatal(err)
	}
}

func put(t *testing.T, name, content string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(name), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(name, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
}

func TestPublishWritesTheFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "not", "there", "yet")
	publish(t, dir, text("start.html", "start"), text("keep/key.html", "key"))
	got := tree(t, dir)
	const manifest = `{
  "loopdrill": "folder",
  "version": 1,
  "files": [
    {
      "path": "keep/key.html",
      "bytes": 3,
      "sha256": "2c70e12b7a0646f92279f427c7b38e7334d8e5389cff167a1dc30e73f826b683"
    },
    {
      "path": "start.html",
      "bytes": 5,
      "sha256": "cced28c6dc3f99c2396a5eaad732bf6b28142335892b1cd0e6af6cdb53f5ccfa"
    }
  ]
}
`
	if got["start.html"] != "start" || got["keep/key.html"] != "key" {
		t.Errorf("the folder holds %v", got)
	}
	// The digests are from the program sha256sum.
	if got[site.ManifestName] != manifest {
		t.Errorf("the list of files is\n%s", got[site.ManifestName])
	}
	if len(got) != 4 {
		t.Errorf("the folder holds %v", slices.Collect(maps.Keys(got)))
	}
}

func TestSameBytesWithAnyNumberOfWorkers(t *testing.T) {
	var files []site.File
	for i := range 40 {
		files = append(files, text(fmt.Sprintf("f/%02d.html", i), strings.Repeat("x", i*100)))
	}
	root := t.TempDir()
	for _, workers := range []int{0, 1, 3, 64} {
		dir := filepath.Join(root, fmt.Sprint(workers))
		if err := site.Publish(context.Background(), dir, files, workers); err != nil {
			t.Fatal(err)
		}
		if !maps.Equal(tree(t, dir), tree(t, filepath.Join(root, "0"))) {
			t.Errorf("%d workers write another folder", workers)
		}
	}
}

// Whatever goes wrong while writing, there is nothing new afterwards, and an
// older folder is as it was.
func TestNothingIsLeftOfAFailure(t *testing.T) {
	boom := errors.New("the disk is full")
	for _, row := range []struct {
		name string
		bad  func(cancel func()) site.File
		want error
	}{
		{"an error in the middle of a file", func(func()) site.File {
			return site.File{Path: "b.html", Write: func(w io.Writer) error {
				_, _ = w.Write(bytes.Repeat([]byte("x"), 1<<20))
				return boom
			}}
		}, boom},
		{"a panic", func(func()) site.File {
			return site.File{Path: "b.html", Write: func(io.Writer) error { panic("oh") }}
		}, nil},
		{"broken off", func(cancel func()) site.File {
			return site.File{Path: "b.html", Write: func(io.Writer) error { cancel(); return nil }}
		}, context.Canceled},
		{"a file where a folder should be", func(func()) site.File { return text("a.html/b.html", "b") }, nil},
	} {
		for _, older := range []bool{false, true} {
			t.Run(fmt.Sprintf("%s, older folder %v", row.name, older), func(t *testing.T) {
				root := t.TempDir()
				dir := filepath.Join(root, "new", "out")
				if older {
					publish(t, dir, text("a.html", "old"))
				}
				before := tree(t, root)
				ctx, cancel := context.WithCancel(context.Background())
				defer cancel()
				err := site.Publish(ctx, dir, []site.File{text("a.html", "a"), row.bad(cancel), text("c.html", "c")}, 1)
				var f *site.Failure
				if !errors.As(err, &f) {
					t.Fatalf("the error is %v", err)
				}
				if row.want != nil && !errors.Is(err, row.want) {
					t.Errorf("the error %v does not wrap its cause", err)
				}
				if after := tree(t, root); !maps.Equal(before, after) {
					t.Errorf("before %v, afterwards %v", before, after)
				}
			})
		}
	}
}

func TestOwnFolderIsReplaced(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	publish(t, dir, text("old.html", "old"), text("keep/key.html", "old key"), text("deep/er/x.html", "x"))
	// What was taken away, and what systems leave about, is no work of anybody.
	if err := os.Remove(filepath.Join(dir, "old.html")); err != nil {
		t.Fatal(err)
	}
	put(t, filepath.Join(dir, "keep", ".DS_Store"), "litter")
	publish(t, dir, text("new.html", "new"))
	got := tree(t, root)
	delete(got, "out/"+site.ManifestName)
	if want := map[string]string{"out/": "", "out/new.html": "new"}; !maps.Equal(got, want) {
		t.Errorf("there is %v, want %v", got, want)
	}
}

func TestEmptyFolderIsTaken(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "out")
	if err := os.Mkdir(dir, 0o755); err != nil {
		t.Fatal(err)
	}
	publish(t, dir, text("a.html", "a"))
	if got := tree(t, dir); got["a.html"] != "a" {
		t.Errorf("the folder holds %v", got)
	}
}

// Work of somebody else's stays, and the message names it.
func TestForeignWorkIsKept(t *testing.T) {
	ours := func(t *testing.T, dir string) {
		publish(t, dir, text("start.html", "start"), text("keep/key.html", "key"))
	}
	for _, row := range []struct {
		name  string
		make  func(t *testing.T, dir string)
		words []string
	}{
		{"a folder that is not ours", func(t *testing.T, dir string) { put(t, filepath.Join(dir, "thesis.doc"), "years") }, []string{"not made by loopdrill", "thesis.doc"}},
		{"a folder whose list is another's", func(t *testing.T, dir string) { put(t, filepath.Join(dir, site.ManifestName), `{"version": 3}`) }, []string{site.ManifestName, "cannot be understood"}},
		{"a list that points outside", func(t *testing.T, dir string) {
			put(t, filepath.Join(dir, site.ManifestName), `{"loopdrill":"folder","version":1,"files":[{"path":"../x","bytes":1,"sha256":""}]}`)
		}, []string{"../x"}},
		{"an added answer file", func(t *testing.T, dir string) {
			ours(t, dir)
			put(t, filepath.Join(dir, "hand-out", "answers-P7KX.json"), "{}")
		}, []string{"hand-out/ was added"}},
		{"an added file beside ours", func(t *testing.T, dir string) { ours(t, dir); put(t, filepath.Join(dir, "keep", "marks.csv"), "7") }, []string{"keep/marks.csv was added"}},
		{"an altered page", func(t *testing.T, dir string) { ours(t, dir); put(t, filepath.Join(dir, "keep", "key.html"), "kez") }, []string{"keep/key.html was changed"}},
		{"an added empty folder", func(t *testing.T, dir string) { ours(t, dir); _ = os.Mkdir(filepath.Join(dir, "scans"), 0o755) }, []string{"scans/ was added"}},
		{"a link in it", func(t *testing.T, dir string) { ours(t, dir); _ = os.Symlink("/etc", filepath.Join(dir, "etc")) }, []string{"etc is not a plain file"}},
		{"a file of that name", func(t *testing.T, dir string) { put(t, dir, "a file") }, []string{"a file of that name"}},
		{"a link of that name", func(t *testing.T, dir string) {
			put(t, filepath.Join(filepath.Dir(dir), "real", "x"), "x")
			_ = os.Symlink("real", dir)
		}, []string{"link"}},
	} {
		t.Run(row.name, func(t *testing.T) {
			root := t.TempDir()
			dir := filepath.Join(root, "out")
			row.make(t, dir)
			before := tree(t, root)
			called := false
			err := site.Publish(context.Background(), dir, []site.File{{Path: "a.html", Write: func(io.Writer) error { called = true; return nil }}}, 1)
			var f *site.Failure
			if !errors.As(err, &f) {
				t.Fatalf("the error is %v", err)
			}
			for _, w := range row.words {
				if !strings.Contains(err.Error(), w) {
					t.Errorf("the message %q does not say %q", err, w)
				}
			}
			if called {
				t.Error("pages were written although the folder could not be replaced")
			}
			if after := tree(t, root); !maps.Equal(before, after) {
				t.Errorf("before %v, afterwards %v", before, after)
			}
		})
	}
}

// Work that arrives while the new folder is being written is kept too.
func TestWorkThatArrivesMeanwhileIsKept(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	publish(t, dir, text("a.html", "old"))
	late := site.File{Path: "b.html", Write: func(io.Writer) error {
		return os.WriteFile(filepath.Join(dir, "late.json"), []byte("answers"), 0o644)
	}}
	err := site.Publish(context.Background(), dir, []site.File{late}, 1)
	if err == nil || !strings.Contains(err.Error(), "late.json was added") {
		t.Errorf("the error is %v", err)
	}
	got := tree(t, root)
	delete(got, "out/"+site.ManifestName)
	if want := map[string]string{"out/": "", "out/a.html": "old", "out/late.json": "answers"}; !maps.Equal(got, want) {
		t.Errorf("there is %v, want %v", got, want)
	}
}

// A run that was cut off between its two renames is mended by the next.
func TestCutOffRunIsMended(t *testing.T) {
	t.Run("before the new folder was in place", func(t *testing.T) {
		root := t.TempDir()
		dir := filepath.Join(root, "out")
		publish(t, dir, text("a.html", "old"))
		if err := os.Rename(dir, dir+".being-replaced"); err != nil {
			t.Fatal(err)
		}
		err := site.Publish(context.Background(), dir, []site.File{{Path: "b.html", Write: func(io.Writer) error { return errors.New("no") }}}, 1)
		if err == nil {
			t.Fatal("no error")
		}
		if got := tree(t, root); got["out/a.html"] != "old" || len(got) != 3 {
			t.Errorf("there is %v", got)
		}
	})
	t.Run("before the older folder was taken away", func(t *testing.T) {
		root := t.TempDir()
		dir := filepath.Join(root, "out")
		publish(t, dir+".being-replaced", text("a.html", "old"))
		publish(t, dir, text("a.html", "new"))
		if got := tree(t, root); got["out/a.html"] != "new" || len(got) != 3 {
			t.Errorf("there is %v", got)
		}
	})
	t.Run("with somebody's work in the older folder", func(t *testing.T) {
		root := t.TempDir()
		dir := filepath.Join(root, "out")
		publish(t, dir, text("a.html", "new"))
		put(t, filepath.Join(dir+".being-replaced", "work.txt"), "work")
		err := site.Publish(context.Background(), dir, []site.File{text("b.html", "b")}, 1)
		var f *site.Failure
		if !errors.As(err, &f) || !strings.Contains(f.Path, "being-replaced") {
			t.Errorf("the error is %v", err)
		}
		if got := tree(t, root); got["out.being-replaced/work.txt"] != "work" || got["out/a.html"] != "new" {
			t.Errorf("there is %v", got)
		}
	})
}

func TestNamesThatAreRefused(t *testing.T) {
	for _, row := range []struct {
		name, dir string
		files     []site.File
	}{
		{"no folder", "", nil},
		{"the root", string(filepath.Separator), nil},
		{"a path that leads out", "out", []site.File{text("../x", "")}},
		{"an absolute path", "out", []site.File{text("/x", "")}},
		{"our own list", "out", []site.File{text(site.ManifestName, "")}},
		{"the same name in capitals", "out", []site.File{text("a.html", ""), text("A.html", "")}},
		{"a drive letter", "out", []site.File{text("c:x", "")}},
	} {
		t.Run(row.name, func(t *testing.T) {
			t.Chdir(t.TempDir())
			var f *site.Failure
			if err := site.Publish(context.Background(), row.dir, row.files, 1); !errors.As(err, &f) {
				t.Errorf("the error is %v", err)
			}
			if got := tree(t, "."); len(got) != 0 {
				t.Errorf("there is %v", got)
			}
		})
	}
}

func TestFailureNamesPlaceAndCause(t *testing.T) {
	root := t.TempDir()
	put(t, filepath.Join(root, "file"), "x")
	err := site.Publish(context.Background(), filepath.Join(root, "file", "out"), []site.File{text("a", "")}, 1)
	var f *site.Failure
	if !errors.As(err, &f) || f.Err == nil || !strings.Contains(err.Error(), filepath.Join(root, "file")) {
		t.Errorf("the error is %v", err)
	}
}
