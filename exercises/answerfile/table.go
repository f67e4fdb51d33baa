package answerfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode/utf8"

	"loopdrill/scenarios/diag"
)

// Kind is what a table is for.
type Kind string

// The kinds of table, with the columns that each must have; the first line of
// a file says which it is. Other columns are passed over.
const (
	// Answers are answers typed in from paper: form, box, answer. A box is
	// named as in the answer file of a workbook ("3.a"). Choices are typed as
	// their letter, id or words; orders as letters in their order ("C, A, B")
	// or as the numbers beside the steps ("2, 3, 1", "-" for none); a tick as
	// x. Every box of a form has its row.
	Answers Kind = "answers"
	// Marks are marks by hand for judged boxes: form, box, mark, initials.
	Marks Kind = "marks"
	// Decisions settle queries: form, box, reads, verdict, initials. Either
	// "reads" says how the answer is to be read, or "verdict" what it is.
	Decisions Kind = "decisions"
	// Overrides replace the mark of a part: form, part, mark, reason,
	// initials, date.
	Overrides Kind = "overrides"
	// Second are the marks of a second marker: form, part, second mark.
	Second Kind = "second"
	// Observed are the steps of a practical task, as ticked by an assessor:
	// form, task, step, critical, result, words, assessor, date; and, where they
	// are said, identity, serial numbers, conditions, arrangements, stopped.
	Observed Kind = "observed"
)

// columns lists the columns that tell the kinds apart, those that need most
// first.
var columns = []struct {
	kind Kind
	need []string
}{
	{Observed, []string{"form", "task", "step", "critical", "result", "words", "assessor", "date"}},
	{Overrides, []string{"form", "part", "mark", "reason", "initials", "date"}},
	{Decisions, []string{"form", "box", "reads", "verdict", "initials"}},
	{Marks, []string{"form", "box", "mark", "initials"}},
	{Second, []string{"form", "part", "second mark"}},
	{Answers, []string{"form", "box", "answer"}},
}

// Table is a CSV file that was read.
type Table struct {
	Kind Kind
	Name string // of the file
	Rows []Row
}

// Row is a line of a table.
type Row struct {
	cells  map[string]string
	places map[string]diag.Place
	At     diag.Place // of the row
}

// Get gives a cell, without blanks around it; empty where the row has none.
func (r Row) Get(column string) string { return strings.TrimSpace(r.cells[column]) }

// Raw gives a cell as it came, but for the apostrophe that keeps a spreadsheet
// from taking it for a formula.
func (r Row) Raw(column string) string { return r.cells[column] }

// Place is where a cell stands.
func (r Row) Place(column string) diag.Place {
	if p, ok := r.places[column]; ok {
		return p
	}
	return r.At
}

// separator is what parts the fields of the first line.
func separator(b []byte) rune {
	line, _, _ := bytes.Cut(b, []byte("\n"))
	best, most := ',', 0
	for _, r := range ",;\t" {
		if n := bytes.Count(line, []byte(string(r))); n > most {
			best, most = r, n
		}
	}
	return best
}

// readTable reads a CSV file.
func readTable(s source) (*Table, error) {
	r := csv.NewReader(bytes.NewReader(s.b))
	r.Comma, r.FieldsPerRecord = separator(s.b), -1
	starts := []int{0} // of the lines
	for i, c := range s.b {
		if c == '\n' {
			starts = append(starts, i+1)
		}
	}
	at := func(line, column int) diag.Place {
		p := diag.Place{File: s.name, Line: line, Column: column, Width: 1}
		if line <= len(starts) {
			from := starts[line-1]
			p.Column = utf8.RuneCount(s.b[from:min(from+column-1, len(s.b))]) + 1
		}
		return p
	}
	head, err := r.Read()
	if err != nil {
		return nil, s.notAnswers()
	}
	for i := range head {
		head[i] = strings.ToLower(strings.Join(strings.Fields(head[i]), " "))
	}
	t := &Table{Name: s.name}
	for _, c := range columns {
		if !slices.ContainsFunc(c.need, func(n string) bool { return !slices.Contains(head, n) }) {
			t.Kind = c.kind
			break
		}
	}
	if t.Kind == "" {
		return nil, s.unknownTable(head)
	}
	for i, h := range head {
		if h != "" && slices.Index(head, h) != i {
			return nil, s.fault(RuleTwice, at(1, 1), fmt.Sprintf("the column %q stands twice", h), "take one of them out")
		}
	}
	for {
		record, err := r.Read()
		if err == io.EOF {
			return t, nil
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			if bad.Err == csv.ErrQuote && bytes.Count(s.b, []byte(`"`))%2 == 1 {
				return nil, s.fault(RuleHalf, at(bad.StartLine, 1), "the quotes that open here are not closed: the file ends in the middle", "save it again as CSV")
			}
			return nil, s.fault(RuleDamaged, at(bad.Line, bad.Column), "the table is damaged: "+bad.Err.Error(), "save it again as CSV; quotes inside a field are doubled")
		}
		if err != nil {
			return nil, s.fault(RuleDamaged, diag.Place{File: s.name}, "the table cannot be read: "+err.Error(), "")
		}
		line, _ := r.FieldPos(0)
		row := Row{cells: map[string]string{}, places: map[string]diag.Place{}, At: at(line, 1)}
		empty := true
		for i, cell := range record {
			empty = empty && strings.TrimSpace(cell) == ""
			if i >= len(head) {
				if strings.TrimSpace(cell) != "" {
					return nil, s.fault(RuleDamaged, at(r.FieldPos(i)), "this line has more fields than the first one names", "a text that holds the separator is put in quotes")
				}
				continue
			}
			if utf8.RuneCountInString(cell) > LongestAnswer {
				return nil, s.fault(RuleValue, at(r.FieldPos(i)), fmt.Sprintf("this field has more than %d characters", LongestAnswer), "")
			}
			row.cells[head[i]] = unquoted(cell)
			row.places[head[i]] = at(r.FieldPos(i))
		}
		if !empty {
			t.Rows = append(t.Rows, row)
		}
	}
}

// unquoted takes off the apostrophe that keeps a spreadsheet from taking a
// text for a formula.
func unquoted(cell string) string {
	if len(cell) > 1 && cell[0] == '\'' && strings.IndexByte("=+-@\t\r", cell[1]) >= 0 {
		return cell[1:]
	}
	return cell
}

func (s source) unknownTable(head []string) error {
	best, missing := "", []string(nil)
	most := 0
	for _, c := range columns {
		have := 0
		var lacks []string
		for _, n := range c.need {
			if slices.Contains(head, n) {
				have++
			} else {
				lacks = append(lacks, n)
			}
		}
		if have > most && have*2 > len(c.need) {
			most, best, missing = have, string(c.kind), lacks
		}
	}
	if best == "" {
		return s.notAnswers()
	}
	return s.fault(RuleDamaged, diag.Place{File: s.name, Line: 1, Column: 1, Width: 1},
		fmt.Sprintf("it looks like a table of %s, but its first line lacks %s", best, strings.Join(missing, ", ")),
		"the first line names the columns; \"loopdrill mark --blank-csv\" writes tables to fill in")
}
