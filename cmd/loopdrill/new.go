package main

import (
	"embed"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/site"
)

const newHelp = `Write a small course to start from.

Usage:
  loopdrill new DIR

DIR is a folder that does not exist yet, or is empty. It gets a course of one
lesson and three exercises, a plant with two loops, and a schema for completion
in an editor. The course's id is made of the folder's name. The folder appears
whole or not at all.

Options:
  -h, --help       this text

Example:
  $ loopdrill new may-class
`

//go:embed starter
var starter embed.FS

// starterID is the line of the starter's course that names it.
const starterID = "course: first-course\n"

// schemaFile is where the starter's files look for the schema.
const schemaFile = "loopdrill.json"

func (a app) runNew(args []string) int {
	flags := newFlags("new")
	if code, done := a.parseFlags(flags, args, newHelp); done {
		return code
	}
	switch {
	case flags.NArg() == 0 || flags.Arg(0) == "":
		return a.wrongUsage("new", "no DIR is named", "name a folder that does not exist yet")
	case flags.NArg() > 1:
		return a.wrongUsage("new", fmt.Sprintf("there is one DIR to write, not %d", flags.NArg()), "put a path with blanks in it into quotes")
	}
	dir := flags.Arg(0)
	files, err := starterFiles(dir)
	if err != nil {
		return a.failed("new", err)
	}
	if err := writeNew(dir, files); err != nil {
		return a.failed("new", err)
	}
	return a.print(newReport(dir, files))
}

// newFile is a file of the new course; its path has slashes.
type newFile struct {
	path string
	body []byte
}

// starterFiles are the files of a new course in dir, course.yaml last: without
// it a folder is no course, so that a write cut short leaves none.
func starterFiles(dir string) ([]newFile, error) {
	id, err := courseID(dir)
	if err != nil {
		return nil, err
	}
	schema, err := scenarios.Schema(families.Vocabulary())
	if err != nil {
		panic("new: a schema that cannot be made")
	}
	files := []newFile{{schemaFile, schema}}
	err = fs.WalkDir(starter, "starter", func(name string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		body, err := starter.ReadFile(name)
		files = append(files, newFile{strings.TrimPrefix(name, "starter/"), body})
		return err
	})
	i := slices.IndexFunc(files, func(f newFile) bool { return f.path == "course.yaml" })
	if err != nil || i < 0 || strings.Count(string(files[i].body), starterID) != 1 {
		panic("new: the starter inside the program is broken")
	}
	course := files[i]
	course.body = []byte(strings.Replace(string(course.body), starterID, "course: "+id+"\n", 1))
	return append(slices.Delete(files, i, i+1), course), nil
}

// courseID makes an id of a folder's name: small letters and digits with
// hyphens between. Two courses with one id would share their numbers and their
// secret, so that the name is not left to chance.
func courseID(dir string) (string, error) {
	abs, err := filepath.Abs(dir)
	if err != nil {
		return "", &site.Failure{What: "the folder has no place", Path: dir, Err: err}
	}
	id := strings.Trim(notInID.ReplaceAllString(strings.ToLower(filepath.Base(abs)), "-"), "-")
	if len(id) > 60 {
		id = strings.Trim(id[:60], "-")
	}
	switch {
	case id == "":
		return "first-course", nil
	case id[0] < 'a' || id[0] > 'z':
		return "course-" + id[:min(len(id), 50)], nil
	}
	return id, nil
}

var notInID = regexp.MustCompile(`[^a-z0-9]+`)

// writeNew writes the files as the folder dir. A dir that is not there appears
// whole, by a rename; an empty one is filled, and emptied again on an error.
func writeNew(dir string, files []newFile) error {
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return writeBeside(dir, files)
	case err != nil:
		return &site.Failure{What: "the folder cannot be looked at", Path: dir, Err: err}
	case !info.IsDir():
		return &site.Failure{What: "there is a file of that name, and it stays as it is", Path: dir, Hint: "choose a folder that does not exist yet"}
	}
	in, err := os.ReadDir(dir)
	if err != nil {
		return &site.Failure{What: "the folder cannot be read", Path: dir, Err: err}
	}
	if len(in) > 0 {
		return &site.Failure{What: fmt.Sprintf("the folder is not empty (it holds %s) and stays as it is", printable(in[0].Name())), Path: dir,
			Hint: "choose a folder that does not exist yet"}
	}
	return fill(dir, files)
}

// writeBeside writes a folder under another name and renames it to dir.
func writeBeside(dir string, files []newFile) error {
	clean := filepath.Clean(dir)
	parent := filepath.Dir(clean)
	if info, err := os.Stat(parent); err != nil || !info.IsDir() {
		return &site.Failure{What: "there is no folder to put it in", Path: parent, Hint: "make that one first, or correct the path"}
	}
	if _, err := os.Lstat(clean); err == nil {
		return &site.Failure{What: "this is a link that leads nowhere, and it stays as it is", Path: dir, Hint: "choose a folder that does not exist yet"}
	}
	temp, err := os.MkdirTemp(parent, ".loopdrill-new-")
	if err != nil {
		return &site.Failure{What: "no folder can be made here", Path: parent, Err: err}
	}
	defer os.RemoveAll(temp) // holds only what we wrote; gone after the rename
	if err := os.Chmod(temp, 0o755); err != nil {
		return &site.Failure{What: "the folder could not be opened for reading", Path: temp, Err: err}
	}
	if err := fill(temp, files); err != nil {
		return err
	}
	if err := os.Rename(temp, clean); err != nil {
		return &site.Failure{What: "the folder could not be given its name", Path: dir, Err: err}
	}
	return nil
}

// fill writes files into an empty folder. It replaces nothing, and on an error
// takes away what it has made and nothing else.
func fill(dir string, files []newFile) (err error) {
	var made []string
	defer func() {
		if err == nil {
			return
		}
		for _, name := range slices.Backward(made) {
			_ = os.Remove(name) // a folder that somebody has put a file into stays
		}
	}()
	for _, f := range files {
		name := filepath.Join(dir, filepath.FromSlash(f.path))
		if folder := filepath.Dir(name); !slices.Contains(made, folder) && folder != filepath.Clean(dir) {
			if err := os.Mkdir(folder, 0o755); err != nil {
				return &site.Failure{What: "the folder could not be made", Path: folder, Err: err}
			}
			made = append(made, folder)
		}
		out, err := os.OpenFile(name, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
		if err != nil {
			return &site.Failure{What: "the file could not be made", Path: name, Err: err}
		}
		made = append(made, name)
		_, err = out.Write(f.body)
		if err := errors.Join(err, out.Sync(), out.Close()); err != nil {
			return &site.Failure{What: "the file could not be written", Path: name, Err: err}
		}
	}
	return nil
}

func newReport(dir string, files []newFile) string {
	says := map[string]string{
		"course.yaml":               "the course: its lessons and exercises",
		"plants/ostrey.yaml":        "its plant: two loops and a checker",
		"lessons/1-first-lesson.md": "its lesson",
		schemaFile:                  "for your editor, so that it completes and explains keys",
	}
	var b strings.Builder
	fmt.Fprintf(&b, "%s: a small course to start from\n", printable(dir))
	for _, f := range slices.Backward(files) {
		fmt.Fprintf(&b, "  %-26s %s\n", f.path, says[f.path])
	}
	clean := filepath.Clean(dir)
	out := clean + "-out"
	if base := filepath.Base(clean); base == "." || base == ".." {
		out = filepath.Join(clean, "..", "workbooks")
	}
	fmt.Fprintf(&b, `
What to do next:
  1. change the lesson, the plant and the exercises as you like
  2. loopdrill check %s --draws 100
  3. loopdrill build %s --out %s
  4. open %s
`, argument(clean), argument(clean), argument(out), argument(filepath.Join(out, "start.html")))
	return b.String()
}

// argument writes a path as a shell and then the program would take it.
func argument(path string) string {
	if strings.HasPrefix(path, "-") {
		path = "." + string(filepath.Separator) + path
	}
	return quoted(path)
}
