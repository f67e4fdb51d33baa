package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"

	"loopdrill/exercises"
	"loopdrill/render"
	"loopdrill/scenarios"
)

// RecordPath is the record of a build, seen from the top of its folder; the
// files of the course lie in CourseDir, as they were read.
const (
	RecordPath = Keep + "/build.json"
	CourseDir  = Keep + "/course"
)

// Record says what a folder was built from: all that is needed, with the secret
// of an assessment, to make its keys again. It names the people of a class and
// so is kept, never handed out.
type Record struct {
	Loopdrill  string            `json:"loopdrill"` // "build"
	Format     int               `json:"format"`    // of this file: 1
	Generator  string            `json:"generator"` // its version
	Toolchain  string            `json:"toolchain"` // of Go, with which the program was built
	Course     string            `json:"course"`    // its id
	Digest     string            `json:"digest"`    // of its files and the versions of its families
	Families   map[string]int    `json:"families"`  // versions
	Purpose    exercises.Purpose `json:"purpose"`
	Seed       string            `json:"seed"` // open for practice; with a secret it tells sets of forms apart
	Sitting    int               `json:"sitting"`
	Only       []string          `json:"only,omitempty"` // ids of exercises, where not all were asked for
	Paper      render.Paper      `json:"paper"`
	LargePrint bool              `json:"largePrint"`
	SingleFile bool              `json:"singleFile"`
	Sources    []RecordedFile    `json:"sources"` // of the course, by path
	Forms      []RecordedForm    `json:"forms"`
}

// RecordedFile is a file of the course.
type RecordedFile struct {
	Path   string `json:"path"` // in the course's folder
	SHA256 string `json:"sha256"`
}

// RecordedForm is a form and whose it is.
type RecordedForm struct {
	Number   int    `json:"number"`
	Code     string `json:"code"`
	Person   string `json:"person,omitempty"` // their number in the class list
	Name     string `json:"name,omitempty"`
	Workbook string `json:"workbook"` // its page, seen from the top of the folder
	Key      string `json:"key"`
}

// Form finds the form of a code.
func (r *Record) Form(code string) (RecordedForm, bool) {
	i := slices.IndexFunc(r.Forms, func(f RecordedForm) bool { return f.Code == code })
	if i < 0 {
		return RecordedForm{}, false
	}
	return r.Forms[i], true
}

// Options are those under which the pages were written.
func (r *Record) Options() Options {
	return Options{Paper: r.Paper, LargePrint: r.LargePrint, SingleFile: r.SingleFile}
}

// RecordFiles completes a record with the course, the options and the forms,
// and gives the files that keep it: the record and the course as it was read.
func RecordFiles(rec Record, course *scenarios.Course, forms []*exercises.Form, o Options) []File {
	rec.Loopdrill, rec.Format = "build", 1
	rec.Course, rec.Paper, rec.LargePrint, rec.SingleFile = course.ID, o.Paper, o.LargePrint, o.SingleFile
	rec.Sources, rec.Forms = recorded(course), nil
	for _, f := range forms {
		rec.Forms = append(rec.Forms, RecordedForm{Number: f.Number, Code: f.Code, Person: f.Person.Number, Name: f.Person.Name,
			Workbook: WorkbookPath(f), Key: KeyPath(f)})
	}
	files := []File{{RecordPath, func(w io.Writer) error {
		e := json.NewEncoder(w)
		e.SetEscapeHTML(false)
		e.SetIndent("", "  ")
		return e.Encode(rec)
	}}}
	for _, s := range course.Sources {
		files = append(files, File{path.Join(CourseDir, s.Path), func(w io.Writer) error {
			_, err := w.Write(s.Bytes)
			return err
		}})
	}
	return files
}

func recorded(course *scenarios.Course) []RecordedFile {
	var out []RecordedFile
	for _, s := range course.Sources {
		sum := sha256.Sum256(s.Bytes)
		out = append(out, RecordedFile{s.Path, hex.EncodeToString(sum[:])})
	}
	return out
}

// ReadRecord reads the record of a folder that was built, given the folder
// itself or what is in its keep folder.
func ReadRecord(folder fs.FS) (*Record, fs.FS, error) {
	b, err := fs.ReadFile(folder, RecordPath)
	course := CourseDir
	if err != nil {
		var err2 error
		if b, err2 = fs.ReadFile(folder, path.Base(RecordPath)); err2 != nil {
			return nil, nil, err
		}
		course = path.Base(CourseDir)
	}
	var r Record
	d := json.NewDecoder(bytes.NewReader(b))
	d.DisallowUnknownFields()
	if err := d.Decode(&r); err != nil {
		return nil, nil, fmt.Errorf("%s is no record of a build: %w", path.Base(RecordPath), err)
	}
	if r.Loopdrill != "build" || r.Format != 1 {
		return nil, nil, fmt.Errorf("%s is no record of a build in format 1", path.Base(RecordPath))
	}
	sources, err := fs.Sub(folder, course)
	return &r, sources, err
}

// Differences says, one a line, in what a course as it is now differs from the
// one that was built: files that were changed, added or taken away.
func (r *Record) Differences(course *scenarios.Course) []string {
	was := map[string]string{}
	for _, s := range r.Sources {
		was[s.Path] = s.SHA256
	}
	var out []string
	for _, s := range recorded(course) {
		sum, ok := was[s.Path]
		switch {
		case !ok:
			out = append(out, s.Path+" was added to the course")
		case sum != s.SHA256:
			out = append(out, s.Path+" was changed")
		}
		delete(was, s.Path)
	}
	for _, s := range r.Sources {
		if _, gone := was[s.Path]; gone {
			out = append(out, s.Path+" is no longer in the course")
		}
	}
	if len(out) == 0 && r.Course != course.ID {
		out = append(out, fmt.Sprintf("the course is %q, and was %q", course.ID, r.Course))
	}
	return out
}
