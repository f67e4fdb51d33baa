package scenarios

import (
	"cmp"
	"fmt"
	"io/fs"
	"slices"

	"loopdrill/scenarios/diag"
)

// ReadCourse reads the course in a folder: course.yaml, the plants and lessons
// that it names. It reports every mistake of every file at its place, sorted.
//
// The course is nil if any of the diagnostics is an error; warnings come with
// a course. The sources of the files, for excerpts, are those of fsys; see
// [diag.From]. Links inside the folder are not followed, and nothing outside
// it is ever asked for.
func ReadCourse(fsys fs.FS, vocab Vocabulary) (*Course, []diag.Diagnostic) {
	c, ds := ReadSound(fsys, vocab)
	if errs, _ := diag.Count(ds); errs > 0 {
		return nil, ds
	}
	return c, ds
}

// ReadSound is [ReadCourse] for whoever looks for more mistakes than a reader
// can see: where there are errors, the course holds those exercises alone in
// whose block, and in whose plant file, there is none, each complete; families
// can be asked about them. Nothing may be built from such a course. It is nil
// where no exercise is left.
func ReadSound(fsys fs.FS, vocab Vocabulary) (*Course, []diag.Diagnostic) {
	r := &reader{fsys: fsys, vocab: vocab, sources: map[string][]byte{}, found: map[string]int{}, blocks: map[*Exercise]lines{},
		loose: map[string]bool{"plants": true, "lessons": true}}
	c := r.course()
	r.unused()
	r.cut()
	ds := diag.Sort(r.ds)
	if c == nil {
		return nil, ds
	}
	if errs, _ := diag.Count(ds); errs > 0 && !r.keepSound(c) {
		return nil, ds
	}
	for name, b := range r.sources {
		c.Sources = append(c.Sources, Source{Path: name, Bytes: b})
	}
	slices.SortFunc(c.Sources, func(a, b Source) int { return cmp.Compare(a.Path, b.Path) })
	return c, ds
}

// reader gathers what is read and found.
type reader struct {
	fsys    fs.FS
	vocab   Vocabulary
	ds      []diag.Diagnostic
	sources map[string][]byte
	found   map[string]int // findings in each file

	plants []*Plant
	blocks map[*Exercise]lines // where each exercise stands in course.yaml
	loose  map[string]bool     // folders of which some file may be in use that is not known: its name could not be read
	gaps   bool                // a plant or the tag of a loop could not be read: what is not found may be there
	loops  map[string]*placedLoop
	output map[string]*placedOutput
	tags   map[string]diag.Place // of loops and output loops, where each was first written
}

// placedLoop is a loop and where it was written.
type placedLoop struct {
	*Loop
	plant *Plant
	at    diag.Place
}

// placedOutput is an output loop and the plant that it stands in.
type placedOutput struct {
	*Output
	plant *Plant
}

// cut says, behind the last finding that is shown of a file, how many are not.
func (r *reader) cut() {
	last := map[string]diag.Place{}
	for _, d := range r.ds {
		if at := last[d.At.File]; d.At.Line > at.Line || d.At.Line == at.Line && d.At.Column >= at.Column {
			last[d.At.File] = d.At
		}
	}
	for name, n := range r.found {
		if n > mostFindings {
			at := last[name]
			at.Column, at.Width = at.Column+at.Width, 1
			r.ds = append(r.ds, diag.Diagnostic{Severity: diag.Error, Rule: RuleTooMany, At: at,
				Summary: fmt.Sprintf("%d more findings in this file are not shown", n-mostFindings), Hint: "mend those above first"})
		}
	}
}

func (r *reader) put(d diag.Diagnostic) {
	r.found[d.At.File]++
	if r.found[d.At.File] <= mostFindings {
		r.ds = append(r.ds, d)
	}
}

func (r *reader) add(s diag.Severity, rule string, at diag.Place, summary, hint string) {
	r.put(diag.Diagnostic{Severity: s, Rule: rule, At: at, Summary: summary, Hint: hint})
}

func (f *file) err(rule string, at diag.Place, summary, hint string) {
	f.r.add(diag.Error, rule, at, summary, hint)
}

func (f *file) warn(rule string, at diag.Place, summary, hint string) {
	f.r.add(diag.Warning, rule, at, summary, hint)
}
