package answerfile

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"loopdrill/scenarios/diag"
)

// fault is a finding while a file is read.
type fault struct{ diag.Diagnostic }

func (f fault) Error() string { return f.Summary }

// source is a file being read.
type source struct {
	name string
	b    []byte
}

// place is where byte number off stands.
func (s source) place(off int64) diag.Place {
	before := s.b[:min(max(off, 0), int64(len(s.b)))]
	line := bytes.Count(before, []byte("\n")) + 1
	start := bytes.LastIndexByte(before, '\n') + 1
	return diag.Place{File: s.name, Line: line, Column: utf8.RuneCount(before[start:]) + 1, Width: 1}
}

func (s source) fault(rule string, at diag.Place, summary, hint string) error {
	return fault{diag.Diagnostic{Severity: diag.Error, Rule: rule, Summary: summary, At: at, Hint: hint}}
}

// decoder reads one answer file token by token, since encoding/json would let
// a member that stands twice pass and says no place.
type decoder struct {
	source
	d *json.Decoder
}

// next is where the next token begins; InputOffset is the end of the last.
func (d *decoder) next() diag.Place {
	off := d.d.InputOffset()
	for off < int64(len(d.b)) && strings.IndexByte(" \t\r\n,:", d.b[off]) >= 0 {
		off++
	}
	return d.place(off)
}

// token reads a token; an error says where the file ends or breaks.
func (d *decoder) token() (json.Token, diag.Place, error) {
	at := d.next()
	t, err := d.d.Token()
	if err != nil {
		return nil, at, d.broken(err)
	}
	return t, at, nil
}

func (d *decoder) broken(err error) error {
	if err == io.EOF || err == io.ErrUnexpectedEOF || strings.Contains(err.Error(), "unexpected end") {
		return d.fault(RuleHalf, d.place(int64(len(d.b))), "the answer file ends in the middle", "ask for the file again, or save it again on the apprentice's device")
	}
	return d.fault(RuleDamaged, d.next(), "the answer file is damaged: "+err.Error(), "ask for the file again; do not mend it by hand")
}

// members reads an object; each member is handed over at its value.
func (d *decoder) members(what string, member func(name string, at diag.Place) error) error {
	t, at, err := d.token()
	if err != nil {
		return err
	}
	if t != json.Delim('{') {
		return d.fault(RuleDamaged, at, what+" is not an object", "")
	}
	seen := map[string]bool{}
	for {
		t, at, err := d.token()
		if err != nil {
			return err
		}
		if t == json.Delim('}') {
			return nil
		}
		name, _ := t.(string) // the decoder lets nothing else stand here
		if seen[name] {
			return d.fault(RuleTwice, at, fmt.Sprintf("%q stands twice in %s", name, what), "ask which is meant, and for the file again")
		}
		seen[name] = true
		if err := member(name, d.next()); err != nil {
			return err
		}
	}
}

// text reads a string.
func (d *decoder) text(name string) (string, error) {
	t, at, err := d.token()
	if err != nil {
		return "", err
	}
	s, ok := t.(string)
	switch {
	case !ok:
		return "", d.fault(RuleDamaged, at, fmt.Sprintf("%q is not a text in quotes", name), "ask for the file again; do not mend it by hand")
	case utf8.RuneCountInString(s) > LongestAnswer:
		return "", d.fault(RuleValue, at, fmt.Sprintf("%q has more than %d characters", name, LongestAnswer), "")
	}
	return s, nil
}

// pass reads over a value of any kind.
func (d *decoder) pass() error {
	var v json.RawMessage
	if err := d.d.Decode(&v); err != nil {
		return d.broken(err)
	}
	return nil
}

// readJSON reads the answer file of a workbook.
func readJSON(s source) (*Sheet, error) {
	d := &decoder{s, json.NewDecoder(bytes.NewReader(s.b))}
	out := &Sheet{Answers: map[string]string{}, Places: map[string]diag.Place{}, At: diag.Place{File: s.name}}
	var kind, version string
	var have = map[string]bool{}
	err := d.members("the answer file", func(name string, at diag.Place) (err error) {
		have[name] = true
		switch name {
		case "loopdrill":
			kind, err = d.text(name)
			if err == nil && kind != "answers" {
				err = d.fault(RuleNotAnswers, at, fmt.Sprintf("this is a file of loopdrill, but of the kind %q and no answer file", kind), "answer files are named answers-FORM.json")
			}
		case "version":
			var v json.RawMessage
			if err := d.d.Decode(&v); err != nil {
				return d.broken(err)
			}
			if version = string(v); version != fmt.Sprint(Version) {
				return d.fault(RuleVersion, at, fmt.Sprintf("the answer file is of version %s; this program reads version %d", version, Version),
					"mark it with the loopdrill that made the workbook")
			}
		case "form":
			out.Form, err = d.text(name)
			out.At = at
		case "course":
			out.Course, err = d.text(name)
		case "who":
			err = d.members("who", func(name string, _ diag.Place) (err error) {
				switch name {
				case "name":
					out.Person, err = d.text(name)
				case "date":
					out.Date, err = d.text(name)
				default:
					err = d.pass()
				}
				return err
			})
		case "answers":
			err = d.members("answers", func(name string, at diag.Place) error {
				text, err := d.text(name)
				out.Answers[name], out.Places[name] = text, at
				return err
			})
		default:
			err = d.pass()
		}
		return err
	})
	if err != nil {
		if !bytes.Contains(s.b, []byte(`"loopdrill"`)) {
			return nil, s.notAnswers()
		}
		return nil, err
	}
	switch {
	case !have["loopdrill"]:
		return nil, s.notAnswers()
	case !have["version"]:
		return nil, s.fault(RuleVersion, diag.Place{File: s.name}, "the answer file does not say of which version it is", "ask for the file again")
	case !have["form"] || !have["answers"]:
		return nil, s.fault(RuleDamaged, diag.Place{File: s.name}, "the answer file lacks its form code or its answers", "ask for the file again")
	}
	at := d.next()
	if _, err := d.d.Token(); err != io.EOF {
		return nil, s.fault(RuleDamaged, at, "something stands behind the end of the answer file", "ask for the file again; do not mend it by hand")
	}
	return out, nil
}

func (s source) notAnswers() error {
	return s.fault(RuleNotAnswers, diag.Place{File: s.name}, "this is no answer file",
		"answer files are those saved by a workbook (answers-FORM.json) and the tables that \"loopdrill mark --blank-csv\" writes; take anything else out of the folder")
}
