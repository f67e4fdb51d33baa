package marking

import (
	"regexp"
	"strings"
)

// plainNumber is what a spreadsheet takes for a number and not for a formula.
var plainNumber = regexp.MustCompile(`^[+-]?[0-9]+([.,][0-9]+)?([eE][+-]?[0-9]+)?$`)

// SafeCell makes text from outside safe to open in a spreadsheet: what would
// be taken for a formula (it begins with =, +, -, @, a tab or a return) gets
// an apostrophe before it. Numbers stay numbers. Quoting by RFC 4180 is left to
// encoding/csv.
func SafeCell(text string) string {
	if text == "" || !strings.ContainsRune("=+-@\t\r", rune(text[0])) || plainNumber.MatchString(text) {
		return text
	}
	return "'" + text
}
