package scenarios

import (
	"fmt"
	"strings"
	"unicode/utf8"
)

// What a lesson may hold at most. Far more than anybody reads in one sitting,
// and little enough that the Markdown parser, some of whose work grows with
// the square of a paragraph, the number of headings or the depth of nesting,
// takes less than a second for the worst that fits.
const (
	mostLessonBytes  = 96 << 10
	mostLine         = 4000  // characters
	mostParagraph    = 16000 // characters without an empty line between
	mostHeadings     = 300   // and rules across the page
	mostNesting      = 10    // of lists and quotations
	mostIndent       = 60    // columns
	mostLessonBlocks = 200
)

// tooMuch reports a lesson that is too large to be parsed safely.
func (f *file) tooMuch() bool {
	const split = "make several lessons of it"
	if len(f.text) > mostLessonBytes {
		f.err(RuleLessonSize, f.all(), fmt.Sprintf("the lesson has %d kB; at most %d kB are read", len(f.text)/1024, mostLessonBytes/1024), split)
		return true
	}
	headings, blocks, paragraph := 0, 0, 0
	for i, line := range f.lines {
		bare := strings.TrimSpace(line)
		n := utf8.RuneCountInString(line)
		paragraph += n
		if bare == "" {
			paragraph = 0
		}
		body := strings.TrimLeft(line, " \t>-*+0123456789.)")
		if strings.HasPrefix(body, "#") || bare != "" && (strings.Trim(bare, "=") == "" || strings.Trim(bare, "- ") == "") {
			headings++
		}
		if fenceLine.MatchString(line) {
			blocks++
		}
		prefix := line[:len(line)-len(body)]
		what := ""
		switch {
		case n > mostLine:
			what = fmt.Sprintf("this line has %d characters; at most %d are read", n, mostLine)
		case paragraph > mostParagraph:
			what = fmt.Sprintf("%d characters without an empty line between are more than a page; at most %d are read", paragraph, mostParagraph)
		case headings > mostHeadings:
			what = fmt.Sprintf("a lesson has at most %d headings and rules", mostHeadings)
		case blocks > 2*mostLessonBlocks:
			what = fmt.Sprintf("a lesson has at most %d blocks", mostLessonBlocks)
		case strings.Count(prefix, ">") > mostNesting || strings.Trim(bare, "-* ") != "" && len(strings.Fields(prefix)) > mostNesting:
			what = fmt.Sprintf("lists and quotations are nested more than %d deep", mostNesting)
		case len(prefix)-len(strings.TrimLeft(prefix, " \t")) > mostIndent:
			what = fmt.Sprintf("this line is indented by more than %d columns", mostIndent)
		}
		if what != "" {
			at := f.line(i)
			at.Width = min(at.Width, 40)
			f.err(RuleLessonSize, at, what, split)
			return true
		}
	}
	return false
}
