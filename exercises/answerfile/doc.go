// Package answerfile reads the files in which answers come back: those that
// the script of a workbook saves, and tables in CSV typed in from paper.
//
// Call [Read] with the name of a file and its bytes. Nothing in a file is ever
// evaluated, and nothing of it is changed. The format below is kept: a change
// that an older program would take wrongly raises [Version].
//
// # The answer file of a workbook
//
// A file named answers-FORM.json holds one JSON object in UTF-8:
//
//		{"loopdrill": "answers", "version": 1,
//		 "form": "P7K-XQ2-M1V", "course": "live-zero-basics",
//		 "who": {"name": "as typed", "date": "as typed"},
//		 "answers": {"3.a": "-1,3", "3.b.2": "low", "3.c.stop": "stop"}}
//
//	  - loopdrill is "answers", version is the number 1.
//	  - form is the form code as it stands on the page (read without regard to
//	    case, hyphens and blanks); course is the id of the course.
//	  - who may be missing, and so may its members.
//	  - answers holds what was typed or chosen. Every value is a string, at most
//	    4000 characters, exactly as it came. Boxes left empty are left out.
//	  - Members that are not named here are passed over. No member and no answer
//	    stands twice.
//
// The key of an answer is the number of the exercise in the course, a point,
// and the id of the box, whose own id may hold points. Some boxes have a second
// field, whose key has one word more:
//
//	3.a           number box: the text as typed, with or without a unit
//	3.a.unit      the small box for the unit, where the unit is asked for
//	3.a.stop      "stop" where the box "cannot be read, on its stop" is ticked
//	3.b           choice: the id of the option that is marked (the value of the
//	              radio button)
//	3.c           order: ids of the steps in the order given, parted by ", ";
//	              steps without a number are left out. Where the numbers typed
//	              are not the places of an order (a number twice, a word), the
//	              text is instead "=TEXT" behind every id: "cell=1, zero=1"
//	3.d           judged box: the words as typed
//	3.a.working   the ruled lines of part a: kept, shown, never judged
//
// # Tables
//
// A CSV file (RFC 4180; a comma, semicolon or tab parts fields; a byte order
// mark may be there) has a first line that names its columns. What it is for
// follows from them; see [Kind].
package answerfile

import (
	"strings"

	"loopdrill/scenarios/diag"
)

// Version is the version of the format of answer files.
const Version = 1

// Limits of one file.
const (
	MostBytes     = 4 << 20
	LongestAnswer = 4000 // characters
)

// The ids of what can be wrong with a file.
const (
	RuleNotAnswers = "answers-not-a-file" // it is no answer file at all
	RuleVersion    = "answers-version"    // of another version
	RuleHalf       = "answers-half"       // it ends in the middle, or lacks rows
	RuleDamaged    = "answers-damaged"    // it is one, but not as it should be
	RuleTwice      = "answers-twice"      // something stands twice in it
	RuleForm       = "answers-form"       // its form is not one of this build
	RulePerson     = "answers-person"     // nobody of the class has this form
	RuleCourse     = "answers-course"     // it belongs to another course
	RuleBox        = "answers-box"        // the form has no such box or part
	RuleValue      = "answers-value"      // a cell that cannot be used
	RuleHandedIn   = "answers-handed-in"  // two files for one form
	RuleNothing    = "answers-nothing"    // no answers in it
	RuleMark       = "answers-mark"       // a mark outside what can be had
	RuleUnsigned   = "answers-unsigned"   // a decision without initials or reason
	RuleUnused     = "answers-unused"     // a decision about nothing that waits
)

// Sheet is what one apprentice handed in.
type Sheet struct {
	Form   string // the code as it came
	Course string // empty: not said
	Person string // as typed; empty: not said
	Date   string
	// Answers are the texts by key, as they came.
	Answers map[string]string
	At      diag.Place            // of the sheet
	Places  map[string]diag.Place // of each answer
}

// Split takes the key of an answer apart: the number of the exercise as text,
// and the rest, which [loopdrill/exercises/marking.MarkItem] knows. ok is false
// for a text that is no key.
func Split(key string) (exercise, box string, ok bool) {
	exercise, box, ok = strings.Cut(key, ".")
	if !ok || box == "" || exercise == "" || exercise[0] == '0' || len(exercise) > 4 ||
		strings.Trim(exercise, "0123456789") != "" {
		return "", "", false
	}
	return exercise, box, true
}

// The words behind the id of a box that has a second field, and behind the
// label of a part for its ruled lines.
const (
	SuffixUnit    = ".unit"
	SuffixStop    = ".stop"
	SuffixWorking = ".working"
)
