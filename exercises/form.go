package exercises

import "loopdrill/scenarios"

// Purpose says what a form is for.
type Purpose string

// The purposes. Practice workbooks carry their solutions, folded away;
// assessment workbooks carry none.
const (
	Practice   Purpose = "practice"
	Assessment Purpose = "assessment"
)

// Form is one complete draw of a course: all numbers fixed.
type Form struct {
	Course  *scenarios.Course
	Purpose Purpose
	Number  int    // copy number, from 1
	Code    string // on every page
	Seed    string // printed on practice forms; empty on assessment forms
	Version string // of the generator
	Items   []Drawn
}

// Drawn is the item drawn for one exercise of the course.
type Drawn struct {
	Exercise *scenarios.Exercise
	Item     Item
}
