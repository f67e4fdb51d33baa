// Package diag holds diagnostics as data: what is wrong, where, and what to do
// about it. [Write] lays them out for people and [WriteJSON] for programs;
// nothing else does.
package diag

import (
	"cmp"
	"encoding/json"
	"io"
	"slices"
)

// Severity of a diagnostic.
type Severity string

// The severities. Only an Error stops a course from being built.
const (
	Error   Severity = "error"
	Warning Severity = "warning"
)

// Place is a position in a file; Line and Column count from 1, Column in
// characters (a tab is one, a byte order mark none). Width is the number of
// characters to underline, at least 1. Line 0 means the file as a whole, and
// an empty File the course as a whole.
type Place struct {
	File   string `json:"file"`
	Line   int    `json:"line"`
	Column int    `json:"column"`
	Width  int    `json:"width"`
}

// Diagnostic is one finding. Sentences start in lower case and have no full
// stop, so that they read on from file:line:column.
type Diagnostic struct {
	Severity Severity `json:"severity"`
	Rule     string   `json:"rule"`    // short id, kebab-case: "range-order"
	Summary  string   `json:"summary"` // with the values in play
	Detail   string   `json:"detail,omitempty"`
	At       Place    `json:"at"`
	Second   *Place   `json:"second,omitempty"`   // another place that matters, such as a first use
	SecondIs string   `json:"secondIs,omitempty"` // what the second place is: "first written here"
	Hint     string   `json:"hint,omitempty"`
}

// Sort puts diagnostics in the order in which they are read: by file, line and
// column, errors before warnings at the same place. It drops those that say
// the same of the same place twice, and returns what is left.
func Sort(ds []Diagnostic) []Diagnostic {
	slices.SortStableFunc(ds, func(a, b Diagnostic) int {
		return cmp.Or(
			cmp.Compare(a.At.File, b.At.File),
			cmp.Compare(a.At.Line, b.At.Line),
			cmp.Compare(a.At.Column, b.At.Column),
			cmp.Compare(a.Severity, b.Severity), // "error" before "warning"
			cmp.Compare(a.Rule, b.Rule),
			cmp.Compare(a.Summary, b.Summary),
		)
	})
	return slices.CompactFunc(ds, func(a, b Diagnostic) bool {
		return a.At == b.At && a.Severity == b.Severity && a.Rule == b.Rule && a.Summary == b.Summary
	})
}

// Count counts errors and warnings.
func Count(ds []Diagnostic) (errors, warnings int) {
	for _, d := range ds {
		if d.Severity == Error {
			errors++
		} else {
			warnings++
		}
	}
	return errors, warnings
}

// WriteJSON writes the diagnostics, in the order of [Sort], as one JSON array;
// without any it is empty and not null.
func WriteJSON(w io.Writer, ds []Diagnostic) error {
	sorted := Sort(slices.Clone(ds))
	if sorted == nil {
		sorted = []Diagnostic{}
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(sorted)
}
