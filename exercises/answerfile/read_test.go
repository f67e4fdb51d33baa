package answerfile

import (
	"fmt"
	"maps"
	"strings"
	"testing"
)

const good = `{"loopdrill": "answers", "version": 1,
 "form": "P7K-XQ2-M1V", "course": "live-zero-basics",
 "who": {"name": "Kari Lindqvist", "date": "3 May", "desk": 4},
 "answers": {"3.a": "-1,3", "3.b.2": "low", "3.c.stop": "stop"}, "later": [1, {"x": null}]}
`

func TestAnswerFile(t *testing.T) {
	f, d := Read("answers.json", []byte("\ufeff"+good))
	if d != nil {
		t.Fatal(d.Summary)
	}
	s := f.Sheet
	if s.Form != "P7K-XQ2-M1V" || s.Course != "live-zero-basics" || s.Person != "Kari Lindqvist" || s.Date != "3 May" {
		t.Errorf("%+v", s)
	}
	want := map[string]string{"3.a": "-1,3", "3.b.2": "low", "3.c.stop": "stop"}
	if !maps.Equal(s.Answers, want) {
		t.Errorf("%v", s.Answers)
	}
	if p := s.Places["3.b.2"]; p.Line != 4 || p.Column != 38 {
		t.Errorf("the second answer stands at %d:%d", p.Line, p.Column)
	}
}

// Every way in which a file can be none, with its place and what is said.
func TestFaultyFiles(t *testing.T) {
	for _, row := range []struct {
		name, text string
		rule       string
		at         string // line:column
		has        string
	}{
		{"empty", " \n", RuleNothing, "0:0", "empty"},
		{"half", good[:len(good)/2], RuleHalf, "3:32", "ends in the middle"},
		{"cut in a text", good[:80], RuleHalf, "2:42", "ends in the middle"},
		{"cut before the end", strings.TrimRight(good, "}\n"), RuleHalf, "4:91", "ends in the middle"},
		{"two files in one", good + good, RuleDamaged, "5:1", "behind the end"},
		{"another version", strings.Replace(good, `"version": 1`, `"version": 2`, 1), RuleVersion, "1:37", "version 2"},
		{"version as text", strings.Replace(good, `"version": 1`, `"version": "1"`, 1), RuleVersion, "1:37", `version "1"`},
		{"no version", strings.Replace(good, ` "version": 1,`, "", 1), RuleVersion, "0:0", "does not say"},
		{"another kind", strings.Replace(good, `"answers",`, `"folder",`, 1), RuleNotAnswers, "1:15", `"folder"`},
		{"another program's", `{"quiz": 7}`, RuleNotAnswers, "0:0", "no answer file"},
		{"no form", strings.Replace(good, `"form"`, `"from"`, 1), RuleDamaged, "0:0", "lacks"},
		{"a number for an answer", strings.Replace(good, `"low"`, `7`, 1), RuleDamaged, "4:38", "not a text"},
		{"answers as a list", `{"loopdrill":"answers","version":1,"form":"x","answers":["a"]}`, RuleDamaged, "1:57", "not an object"},
		{"an answer twice", strings.Replace(good, `"3.b.2"`, `"3.a"`, 1), RuleTwice, "4:29", "twice"},
		{"a member twice", strings.Replace(good, `"course"`, `"form"`, 1), RuleTwice, "2:25", "twice"},
		{"broken by hand", strings.Replace(good, `"low",`, `"low" "`, 1), RuleDamaged, "4:44", "damaged"},
		{"a web page", "<!DOCTYPE html>", RuleNotAnswers, "0:0", "no answer file"},
		{"a spreadsheet", "PK\x03\x04...", RuleNotAnswers, "0:0", "save it there as CSV"},
		{"a picture", "\x89PNG\r\n\x1a\n\x00", RuleNotAnswers, "1:1", "UTF-8"},
		{"a letter", "Dear assessor,\nmy tablet broke.\n", RuleNotAnswers, "0:0", "no answer file"},
		{"a table of something else", "tag,range\nLT-1,0-10\n", RuleNotAnswers, "0:0", "no answer file"},
		{"a table that lacks a column", "form,box,reads,verdict\n", RuleDamaged, "1:1", "lacks initials"},
		{"a column twice", "form,box,answer,Form\n", RuleTwice, "1:1", `"form"`},
		{"quotes not closed", "form,box,answer\nP7K,3.a,\"1\nP7K,3.b,2\n", RuleHalf, "2:1", "not closed"},
		{"a stray quote", "form,box,answer\nP7K,3.a,1\" \"\n", RuleDamaged, "2:10", "damaged"},
		{"a field too many", "form,box,answer\nP7K,3.a,1,3\n", RuleDamaged, "2:11", "more fields"},
		{"a long answer", "form,box,answer\nP7K,3.a," + strings.Repeat("x", LongestAnswer+1) + "\n", RuleValue, "2:9", "characters"},
		{"too large", strings.Repeat("x", MostBytes+1), RuleNotAnswers, "0:0", "right file"},
	} {
		f, d := Read(row.name, []byte(row.text))
		if d == nil {
			t.Errorf("%s: read as %+v", row.name, f)
			continue
		}
		if at := fmt.Sprintf("%d:%d", d.At.Line, d.At.Column); f != nil || d.Rule != row.rule || at != row.at || !strings.Contains(d.Summary+d.Hint, row.has) {
			t.Errorf("%s: at %s %s [%s], want at %s [%s] with %q", row.name, at, d.Summary, d.Rule, row.at, row.rule, row.has)
		}
	}
}

func TestTable(t *testing.T) {
	f, d := Read("t.csv", []byte("\ufeffForm;Box;asked;ANSWER\r\nP7K;3.a;\"error; in %\";-1,3\r\nP7K;3.b;;'=low\r\n;;;\r\nQ2;3.a;;\r\nP7K;3.c;;  \r\nR5;1.a;;7\r\nR5;1.a;;8\r\n;;;9\r\n"))
	if d != nil {
		t.Fatal(d.Summary)
	}
	if f.Table.Kind != Answers || len(f.Table.Rows) != 7 {
		t.Fatalf("%+v", f.Table)
	}
	sheets, rows, faults := f.Table.Sheets()
	if len(sheets) != 1 || sheets[0].Form != "P7K" || !maps.Equal(sheets[0].Answers, map[string]string{"3.a": "-1,3", "3.b": "=low"}) {
		t.Errorf("%+v", sheets)
	}
	if got := strings.Join(rows["P7K"], " "); got != "3.a 3.b 3.c" {
		t.Errorf("rows %s", got)
	}
	if p := sheets[0].Places["3.a"]; p.Line != 2 || p.Column != 23 {
		t.Errorf("the first answer stands at %+v", p)
	}
	if len(faults) != 2 || faults[0].At.Line != 8 || faults[1].At.Line != 9 {
		t.Errorf("%+v", faults)
	}
}

func TestKinds(t *testing.T) {
	for _, c := range columns {
		f, d := Read("t.csv", []byte(strings.Join(c.need, ",")+",more\n"))
		if d != nil || f.Table.Kind != c.kind {
			t.Errorf("%s: %+v %+v", c.kind, f, d)
		}
	}
}

func TestSplit(t *testing.T) {
	for key, want := range map[string]string{"3.a": "3 a", "12.b.2.stop": "12 b.2.stop", "a": "", "3.": "", ".a": "", "03.a": "", "x.a": "", "": "", "-3.a": ""} {
		e, b, ok := Split(key)
		if got := strings.TrimSpace(e + " " + b); got != want || ok != (want != "") {
			t.Errorf("%q: %q", key, got)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add([]byte(good))
	f.Add([]byte("form,box,answer\nP7K,3.a,1\n"))
	f.Add([]byte(`{"loopdrill":"answers","answers":{"3.a":"\ud800"}}`))
	f.Fuzz(func(t *testing.T, b []byte) {
		file, d := Read("f", b)
		if (file == nil) == (d == nil) {
			t.Fatal("neither file nor finding, or both")
		}
		if d != nil && (d.Summary == "" || d.At.File != "f") {
			t.Errorf("%+v", d)
		}
		if file != nil && file.Table != nil {
			file.Table.Sheets()
		}
	})
}
