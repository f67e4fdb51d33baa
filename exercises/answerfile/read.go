package answerfile

import (
	"bytes"
	"fmt"
	"slices"
	"unicode/utf8"

	"loopdrill/scenarios/diag"
)

// File is a file that was read. Exactly one of the pointers is set.
type File struct {
	Sheet *Sheet
	Table *Table
}

// Read reads a file; name is for messages. A JSON object is an answer file,
// everything else a table. What stops it from being read comes back as one
// finding with its place; then the file is nil.
func Read(name string, b []byte) (*File, *diag.Diagnostic) {
	s := source{name, bytes.TrimPrefix(b, []byte("\xef\xbb\xbf"))}
	f, err := s.read()
	if err == nil {
		return f, nil
	}
	d := err.(fault).Diagnostic
	return nil, &d
}

func (s source) read() (*File, error) {
	whole := diag.Place{File: s.name}
	body := bytes.TrimSpace(s.b)
	switch {
	case len(s.b) > MostBytes:
		return nil, s.fault(RuleNotAnswers, whole, fmt.Sprintf("the file has %d kB; an answer file has at most %d kB", len(s.b)/1024, MostBytes/1024), "is this the right file?")
	case len(body) == 0:
		return nil, s.fault(RuleNothing, whole, "the file is empty", "save it again on the apprentice's device")
	case bytes.HasPrefix(s.b, []byte("PK\x03\x04")) || bytes.HasPrefix(s.b, []byte("\xd0\xcf\x11\xe0")):
		return nil, s.fault(RuleNotAnswers, whole, "this is the file of a spreadsheet or another program, not text", "save it there as CSV, in UTF-8")
	case bytes.IndexByte(s.b, 0) >= 0 || !utf8.Valid(s.b):
		at := whole
		if i := bytes.IndexFunc(s.b, func(r rune) bool { return r == 0 || r == utf8.RuneError }); i >= 0 {
			at = s.place(int64(i))
		}
		return nil, s.fault(RuleNotAnswers, at, "the file is not text in UTF-8", "save it again as text or CSV in UTF-8")
	case body[0] == '{':
		sheet, err := readJSON(s)
		if err != nil {
			return nil, err
		}
		return &File{Sheet: sheet}, nil
	case body[0] == '[' || body[0] == '<' || body[0] == '%':
		return nil, s.notAnswers()
	}
	t, err := readTable(s)
	if err != nil {
		return nil, err
	}
	return &File{Table: t}, nil
}

// Sheets gathers the rows of a table of answers form by form, in the order in
// which forms first stand in it. Rows whose form and answer are both empty are
// passed over, and so are forms that have no answer at all: nobody has typed
// them in. A box that stands twice in one form is a finding, and the form is
// left out.
func (t *Table) Sheets() (sheets []*Sheet, rows map[string][]string, faults []diag.Diagnostic) {
	byForm := map[string]*Sheet{}
	rows = map[string][]string{}
	bad := map[string]bool{}
	for _, r := range t.Rows {
		form, box := r.Get("form"), r.Get("box")
		if form == "" || box == "" {
			if r.Get("answer") != "" {
				faults = append(faults, diag.Diagnostic{Severity: diag.Error, Rule: RuleValue, At: r.At,
					Summary: "this row has an answer, but no form code or no box", Hint: "every row says which form and which box it is for"})
			}
			continue
		}
		s := byForm[form]
		if s == nil {
			s = &Sheet{Form: form, At: r.Place("form"), Answers: map[string]string{}, Places: map[string]diag.Place{}}
			byForm[form] = s
			sheets = append(sheets, s)
		}
		if p := r.Get("person"); s.Person == "" {
			s.Person = p
		}
		if slices.Contains(rows[form], box) {
			bad[form] = true
			faults = append(faults, diag.Diagnostic{Severity: diag.Error, Rule: RuleTwice, At: r.Place("box"),
				Summary: fmt.Sprintf("box %s of form %s stands twice", box, form), Hint: "take one of the rows out; the form is set aside"})
			continue
		}
		rows[form] = append(rows[form], box)
		if r.Get("answer") != "" {
			s.Answers[box] = r.Raw("answer")
		}
		s.Places[box] = r.Place("answer")
	}
	sheets = slices.DeleteFunc(sheets, func(s *Sheet) bool { return bad[s.Form] || len(s.Answers) == 0 })
	return sheets, rows, faults
}
