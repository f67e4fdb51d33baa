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
	Number  int    // of the copy, or of the person in the class; from 1
	Sitting int    // from 1; 0 means 1
	Person  Person // who it is for; zero on numbered copies
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

// Person is who a form was made for. Both texts stand on their own workbook
// and mark sheet and nowhere else.
type Person struct {
	Number string
	Name   string
}
