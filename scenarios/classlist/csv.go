package classlist

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// csv reads a table whose first line names the columns.
func (c *reader) csv(b []byte) {
	text, ds := scenarios.PlainText(c.file, b)
	if len(ds) > 0 {
		for i := range ds {
			if ds[i].Rule == scenarios.RuleEncoding {
				ds[i].Hint = "in a spreadsheet, save as \"CSV UTF-8\""
			}
		}
		c.ds = ds
		return
	}
	whole := diag.Place{File: c.file}
	if strings.TrimSpace(text) == "" {
		c.err(RuleEmpty, whole, "the file is empty; it should hold a class list", "a first line \"number,name\", and then a line for everybody")
		return
	}
	t := &table{c: c, lines: strings.Split(text, "\n")}
	for i, line := range t.lines {
		if len(line) > LongestLine {
			c.err(RuleSize, t.place(i+1, 1), fmt.Sprintf("this line has %d kB; at most %d kB are read", len(line)/1024, LongestLine/1024), "is this the right file?")
			return
		}
	}
	t.r = csv.NewReader(strings.NewReader(text))
	t.r.FieldsPerRecord = -1
	t.r.Comma = separator(text)
	head, ok := t.next()
	if !ok {
		if len(c.ds) == 0 {
			c.err(RuleEmpty, whole, "the file holds separators alone; it should hold a class list", "a first line \"number,name\", and then a line for everybody")
		}
		return
	}
	if !t.columns(head) {
		return
	}
	people := 0
	for {
		row, ok := t.next()
		if !ok {
			break
		}
		if people++; people > MostPeople {
			c.err(RuleSize, row.at(0)(), fmt.Sprintf("here begin more than %d people", MostPeople), "make several lists of it")
			return
		}
		t.person(row)
	}
	if errs, _ := diag.Count(c.ds); people == 0 && errs == 0 {
		c.err(RuleEmpty, whole, "the list has a first line and nobody below it", "write a line for everybody")
	}
}

// separator is what the first line that is not blank has most of.
func separator(text string) rune {
	for line := range strings.Lines(text) {
		if strings.TrimSpace(line) == "" {
			continue
		}
		best, most := ',', strings.Count(line, ",")
		for _, r := range ";\t" {
			if n := strings.Count(line, string(r)); n > most {
				best, most = r, n
			}
		}
		return best
	}
	return ','
}

// table is a CSV that is being read.
type table struct {
	c     *reader
	r     *csv.Reader
	lines []string

	fields       int // that the first line has
	number, name int // which column; name is -1 where there is none
}

// row is one record, and where its fields begin: line from 1, byte from 1.
type row struct {
	t      *table
	fields []string
	starts [][2]int
}

// next gives the next record that is not blank. A mistake in the quotes ends
// the table: what follows would be read wrongly.
func (t *table) next() (row, bool) {
	for {
		fields, err := t.r.Read()
		if errors.Is(err, io.EOF) {
			return row{}, false
		}
		var bad *csv.ParseError
		if errors.As(err, &bad) {
			what, hint, line := "a quote stands inside a field that does not begin with one", "put the whole field between quotes and write the quote in it twice", bad.Line
			if errors.Is(bad.Err, csv.ErrQuote) {
				what, hint = "behind the quote that closes a field stands more text, or the quote is never closed", "close the field with a quote before the next separator; a quote inside a field is written twice"
			}
			at := t.place(line, bad.Column)
			if errors.Is(bad.Err, csv.ErrQuote) && bad.StartLine != bad.Line {
				at = t.place(bad.StartLine, 1)
			}
			t.c.err(RuleQuotes, at, what, hint)
			return row{}, false
		}
		if err != nil {
			t.c.err(RuleQuotes, diag.Place{File: t.c.file}, "this cannot be read as CSV", "")
			return row{}, false
		}
		if strings.TrimSpace(strings.Join(fields, "")) == "" {
			continue
		}
		out := row{t: t, fields: fields}
		for i := range fields {
			line, column := t.r.FieldPos(i)
			out.starts = append(out.starts, [2]int{line, column})
		}
		return out, true
	}
}

// place turns a line and a byte of it, both from 1, into a place.
func (t *table) place(line, column int) diag.Place {
	line = min(max(line, 1), len(t.lines))
	text := t.lines[line-1]
	column = min(max(column, 1), len(text)+1)
	return diag.Place{File: t.c.file, Line: line, Column: utf8.RuneCountInString(text[:column-1]) + 1, Width: 1}
}

// at is the place of a field, or of the whole row where it has no such field.
func (r row) at(i int) func() diag.Place {
	return func() diag.Place {
		if i < 0 || i >= len(r.fields) {
			return r.t.place(r.starts[0][0], r.starts[0][1])
		}
		p := r.t.place(r.starts[i][0], r.starts[i][1])
		if i+1 < len(r.fields) && r.starts[i+1][0] == r.starts[i][0] {
			next := r.t.place(r.starts[i+1][0], r.starts[i+1][1])
			p.Width = max(1, next.Column-1-p.Column)
		} else if len(r.fields[i]) < 1000 {
			p.Width = max(1, min(utf8.RuneCountInString(r.fields[i]), utf8.RuneCountInString(r.t.lines[p.Line-1])-p.Column+1))
		}
		return p
	}
}

// columns reads the first line, and says whether the others can be read by it.
func (t *table) columns(head row) bool {
	t.fields, t.number, t.name = len(head.fields), -1, -1
	var seen []string
	for i, field := range head.fields {
		name := strings.ToLower(strings.TrimSpace(field))
		column := map[string]*int{"number": &t.number, "name": &t.name}[name]
		switch {
		case column == nil:
			seen = append(seen, name)
		case *column >= 0:
			second := head.at(*column)()
			t.c.put(head.at(i), diag.Diagnostic{Severity: diag.Error, Rule: RuleColumns, Second: &second, SecondIs: "first named here", Summary: fmt.Sprintf("two columns are called %q", name), Hint: "keep one of the two"})
			return false
		default:
			*column = i
		}
	}
	if t.number < 0 {
		hint := "write \"number,name\" as the first line"
		if near, ok := nearest("number", seen); ok {
			hint = fmt.Sprintf("call the column %q \"number\"", near)
		}
		t.c.put(head.at(-1), diag.Diagnostic{Severity: diag.Error, Rule: RuleColumns, Summary: "the first line names no column \"number\"", Hint: hint})
		return false
	}
	if near, ok := nearest("name", seen); ok && t.name < 0 {
		t.c.put(head.at(-1), diag.Diagnostic{Severity: diag.Error, Rule: RuleColumns, Summary: fmt.Sprintf("the first line names no column \"name\", but one %q", near), Hint: "call it \"name\""})
		return false
	}
	return true
}

// nearest finds the column that was most likely meant to have this name.
func nearest(name string, columns []string) (string, bool) {
	for _, c := range columns {
		if _, ok := diag.Nearest(c, []string{name}); ok && c != "" {
			return c, true
		}
	}
	return "", false
}

func (t *table) person(r row) {
	if len(r.fields) > t.fields {
		t.c.put(r.at(t.fields), diag.Diagnostic{Severity: diag.Error, Rule: RuleColumns,
			Summary: fmt.Sprintf("this line has %d fields, the first line names %d", len(r.fields), t.fields),
			Hint:    fmt.Sprintf("put a text with %q in it between quotes", string(t.r.Comma))})
		return
	}
	field := func(i int) string {
		if i < 0 || i >= len(r.fields) {
			return ""
		}
		return r.fields[i]
	}
	if t.name >= 0 && strings.TrimSpace(field(t.name)) == "" {
		t.c.noName(field(t.number), r.at(t.name))
	}
	t.c.person(field(t.number), field(t.name), r.at(t.number), r.at(t.name))
}
