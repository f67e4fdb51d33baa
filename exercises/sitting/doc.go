// Package sitting puts together what a class handed in and what its assessors
// decided, marks it, and works out the figures of the class.
//
// For most uses call [Collect] with the files and the forms, then [Mark], then
// [ReportOf]. What cannot be used is set aside with its place and a hint; the
// rest is marked. Nothing of the inputs is changed, and the same inputs give the
// same results in the same order.
package sitting

import (
	"loopdrill/exercises"
	"loopdrill/exercises/answerfile"
	"loopdrill/exercises/marking"
	"loopdrill/scenarios/classlist"
	"loopdrill/scenarios/diag"
)

// Input is a file as it came.
type Input struct {
	Name string
	Data []byte
}

// Setting is what the forms of a sitting are.
type Setting struct {
	CourseID string
	// Form draws the form of a code again. An error says why there is none, in
	// words for the assessor.
	Form func(code string) (*exercises.Form, error)
	// People are the class, if it is known: form n was made for the n-th.
	People classlist.List
	Mark   rune // decimal mark that the course declares, or 0
}

// Work is one form handed in, with everything that was said about it.
type Work struct {
	Form   *exercises.Form
	Person classlist.Person // Number is empty where the class is not known
	Typed  string           // the name as typed
	Date   string           // as typed
	File   string           // name of the file that the answers came from
	Paper  bool             // typed in from paper
	// Answers are the texts as they came, by the number of the exercise and
	// the key of the box.
	Answers map[int]map[string]string
	// Strange are answers to boxes that the form does not have.
	Strange map[string]string

	Hand      map[string]Hand     // by key: "3.d"
	Decisions map[string]Decision // by key
	Overrides []marking.Override
	Second    map[string]int // marks of a second marker, by part: "3.c"
	Observed  []Task

	Result marking.FormResult // set by [Mark]

	places map[string]diag.Place // of decisions and overrides, for findings
	sheet  *answerfile.Sheet
}

// Hand is a mark by hand.
type Hand struct {
	Mark int
	By   string // initials
}

// Decision is what an assessor decided about a query.
type Decision struct {
	marking.Settlement
	By   string // initials
	Used bool   // it was about a query
}

// Name is how the person of the work is called on pages for the assessor:
// number and name from the class list, else the name as typed.
func (w *Work) Name() string {
	switch {
	case w.Person.Number != "" && w.Person.Name != "":
		return w.Person.Number + " " + w.Person.Name
	case w.Person.Number != "":
		return w.Person.Number
	case w.Person.Name != "":
		return w.Person.Name
	case w.Typed != "":
		return w.Typed
	}
	return "no name"
}
