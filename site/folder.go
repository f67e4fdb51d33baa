package site

import (
	"fmt"
	"io"
	"path"
	"slices"

	"loopdrill/exercises"
	"loopdrill/exercises/sitting"
	"loopdrill/render"
	"loopdrill/scenarios"
)

// The two halves of a folder. What stands in HandOut may be given to
// apprentices; Keep holds the answers.
const (
	HandOut = "hand-out"
	Keep    = "keep"
)

// WorkbookPath, KeyPath and MarkSheetPath name the pages of a form by copy
// number and form code, with slashes, seen from the top of the folder.
func WorkbookPath(f *exercises.Form) string  { return path.Join(HandOut, pageName("workbook", f)) }
func KeyPath(f *exercises.Form) string       { return path.Join(Keep, pageName("key", f)) }
func MarkSheetPath(f *exercises.Form) string { return path.Join(Keep, pageName("mark-sheet", f)) }

// BenchCardPath and ObservationPath name the pages of a form with practical
// tasks; ObservedPath is the table for all forms.
func BenchCardPath(f *exercises.Form) string { return path.Join(Keep, pageName("bench-cards", f)) }
func ObservationPath(f *exercises.Form) string {
	return path.Join(Keep, pageName("observation-sheets", f))
}

// ObservedPath is the table into which the steps of practical tasks are typed.
const ObservedPath = Keep + "/observed.csv"

// pageName keeps to letters, digits and dashes, whatever the code holds.
func pageName(kind string, f *exercises.Form) string {
	code := []byte(f.Code)
	for i, c := range code {
		if !(c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9') {
			code[i] = '-'
		}
	}
	return fmt.Sprintf("%s-%02d-%s.html", kind, f.Number, code)
}

// Options are the wishes about a folder that change its pages.
type Options struct {
	Paper render.Paper // the zero value is A4
	// SingleFile writes each workbook as one file that can be sent alone.
	SingleFile bool
	LargePrint bool // 18 pt text and larger faces in workbooks, keys and mark sheets
}

// Folder lists the files of a folder for an instructor: a start page, a
// workbook, a key and a mark sheet for each form, and the shared assets. The
// forms must be of one course and one purpose.
func Folder(course *scenarios.Course, forms []*exercises.Form, o Options) []File {
	r := render.NewRenderer()
	start := render.StartOf(course, forms, func(f *exercises.Form) render.StartForm {
		s := render.StartForm{Number: f.Number, Code: f.Code,
			Workbook: WorkbookPath(f), Key: KeyPath(f), MarkSheet: MarkSheetPath(f)}
		if hasBench(f) {
			s.BenchCard, s.Observation = BenchCardPath(f), ObservationPath(f)
		}
		return s
	})
	if slices.ContainsFunc(forms, hasBench) {
		start.Observed = ObservedPath
	}
	start.Paper, start.Assets = o.Paper, HandOut+"/assets/"
	if o.SingleFile {
		start.Assets = Keep + "/assets/"
	}
	files := []File{{"start.html", func(w io.Writer) error { return r.Start(w, start) }}}
	for _, f := range forms {
		files = append(files,
			File{WorkbookPath(f), func(w io.Writer) error {
				page := render.WorkbookOf(f)
				page.Paper, page.Large = o.Paper, o.LargePrint
				if o.SingleFile {
					page.Inline = inline()
				}
				return r.Workbook(w, page)
			}},
			File{KeyPath(f), func(w io.Writer) error {
				page := render.KeyOf(f)
				page.Paper, page.Large = o.Paper, o.LargePrint
				return r.Key(w, page)
			}},
			File{MarkSheetPath(f), func(w io.Writer) error {
				page := render.MarkSheetOf(f)
				page.Paper, page.Large = o.Paper, o.LargePrint
				return r.MarkSheet(w, page)
			}})
		if hasBench(f) {
			files = append(files, benchFiles(r, f, o)...)
		}
	}
	if start.Observed != "" {
		files = append(files, File{ObservedPath, func(w io.Writer) error { return sitting.BlankObserved(w, forms) }})
	}
	if !o.SingleFile {
		files = append(files, Assets(path.Join(HandOut, "assets"))...)
	}
	// A copy, not a link: the keep folder must work when it is taken along
	// alone.
	return append(files, Assets(path.Join(Keep, "assets"))...)
}

// hasBench says whether a form has a practical task.
func hasBench(f *exercises.Form) bool {
	return slices.ContainsFunc(f.Items, func(d exercises.Drawn) bool { return d.Item.Key.Bench != nil })
}

// benchFiles are the pages of a form's practical tasks.
func benchFiles(r *render.Renderer, f *exercises.Form, o Options) []File {
	page := render.BenchOf(f)
	page.Paper, page.Large = o.Paper, o.LargePrint
	return []File{
		{BenchCardPath(f), func(w io.Writer) error { return r.BenchCard(w, page) }},
		{ObservationPath(f), func(w io.Writer) error { return r.Observation(w, page) }},
	}
}
