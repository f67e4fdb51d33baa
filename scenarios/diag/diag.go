// Package diag holds diagnostics as data: what is wrong, where, and what to do
// about it. [Write] lays them out; nothing else does.
package diag

// Severity of a diagnostic.
type Severity string

// The severities. Only an Error stops a course from being built.
const (
	Error   Severity = "error"
	Warning Severity = "warning"
)

// Place is a position in a file; Line and Column count from 1, Column in
// characters. Width is the number of characters to underline, at least 1.
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
