// Package classlist reads the list of a class, written as CSV or as YAML:
// who gets a form, in the order of the list.
//
// Call [Read] with the name of the file and its bytes. Every mistake is
// reported at its place.
package classlist

import (
	"bytes"
	"fmt"
	"path"
	"strings"
	"unicode/utf8"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// List is a class, in the order of its file.
type List []Person

// Person is one apprentice. Both texts are kept as they were written, but for
// blanks around and between their words: letters, leading zeros, every script,
// and texts that a spreadsheet would take for a formula. Whoever writes them
// into a CSV again must see to that.
type Person struct {
	Number string // never empty, once in the list; up to 40 characters
	Name   string // empty where the list has none; up to 200 characters
}

// Limits of a list.
const (
	MostPeople    = 10000
	LongestNumber = 40  // characters
	LongestName   = 200 // characters
	MostBytes     = 2 << 20
	MostYAMLBytes = 1 << 20  // its parser needs a hundred times as much
	LongestLine   = 64 << 10 // bytes, in CSV
)

// The ids of the rules of this package; those of package scenarios about text,
// YAML and keys hold as well.
const (
	RuleSize      = "class-list-size"
	RuleEmpty     = "class-list-empty"
	RuleColumns   = "class-list-columns"
	RuleQuotes    = "class-list-quotes"
	RuleNumber    = "class-list-number"
	RuleName      = "class-list-name"
	RuleDuplicate = "class-list-duplicate"
)

// Rules lists them.
func Rules() []scenarios.Rule {
	return []scenarios.Rule{
		{ID: RuleSize, Says: fmt.Sprintf("a class list has at most %d people and 2 MB (1 MB in YAML)", MostPeople)},
		{ID: RuleEmpty, Says: "a class list names somebody"},
		{ID: RuleColumns, Says: "the first line of a class list in CSV names its columns, number and name, and no line has more fields than it"},
		{ID: RuleQuotes, Says: "quotes in CSV are closed, and doubled inside a quoted field"},
		{ID: RuleNumber, Says: fmt.Sprintf("everybody has a number, on one line, of at most %d characters", LongestNumber)},
		{ID: RuleName, Says: fmt.Sprintf("a name is on one line and has at most %d characters; one that is left out is a warning", LongestName)},
		{ID: RuleDuplicate, Says: "a number stands once, whatever its capitals; a name that stands twice is a warning"},
	}
}

// PersonKeys describes one person of a class list in YAML.
var PersonKeys = &scenarios.Record{
	Name: "person",
	Says: "A class list in YAML is a list of people; one in CSV has the same keys as the names of its columns, in any order, with comma, semicolon or tab between",
	Keys: []scenarios.Key{
		{Name: "number", Type: scenarios.TypeLabel, Required: true, Example: "007", Says: "the apprentice's number, kept as written, with its letters and leading zeros; once in the list"},
		{Name: "name", Type: scenarios.TypeLabel, Otherwise: "the number alone is printed", Example: "Kari Lindqvist", Says: "the apprentice's name"},
	},
}

// Read reads a class list; name says which file it is, and by its ending
// .yaml or .yml that it is YAML. Everything else is read as CSV after RFC 4180:
// a first line that names the columns, fields between commas, semicolons or
// tabs (whichever the first line has most of), quotes round fields that hold
// one of those. Blank lines and other columns are passed over.
//
// With an error among the diagnostics the list is nil. They are sorted.
func Read(name string, b []byte) (List, []diag.Diagnostic) {
	c := &reader{file: name}
	ext, most := strings.ToLower(path.Ext(name)), MostBytes
	isYAML := ext == ".yaml" || ext == ".yml"
	if isYAML {
		most = MostYAMLBytes
	}
	switch {
	case len(b) > most:
		c.err(RuleSize, diag.Place{File: name}, fmt.Sprintf("the file has %d kB; a class list has at most %d kB", len(b)/1024, most/1024), "is this the right file?")
	case bytes.HasPrefix(b, []byte("PK\x03\x04")) || bytes.HasPrefix(b, []byte("\xd0\xcf\x11\xe0")):
		c.err(scenarios.RuleEncoding, diag.Place{File: name}, "this is the file of a spreadsheet or another program, not text", "save it there as CSV, in UTF-8")
	case isYAML:
		c.yaml(b)
	default:
		c.csv(b)
	}
	ds := diag.Sort(c.ds)
	if errs, _ := diag.Count(ds); errs > 0 {
		return nil, ds
	}
	return c.list, ds
}

// mostFindings is how many findings of this package are reported.
const mostFindings = 100

// reader gathers people and findings.
type reader struct {
	file    string
	ds      []diag.Diagnostic
	list    List
	numbers map[string]placed // by number in small letters
	names   map[string]placed
}

// placed is a text and where it stands; the place is worked out when it is
// wanted.
type placed struct {
	text string
	at   func() diag.Place
}

// put adds a finding, or says behind the last one that there are more, which
// is an error as soon as one of them is.
func (c *reader) put(at func() diag.Place, d diag.Diagnostic) {
	if len(c.ds) < mostFindings {
		d.At = at()
		c.ds = append(c.ds, d)
		return
	}
	last := &c.ds[len(c.ds)-1]
	if last.Rule != scenarios.RuleTooMany {
		end := last.At
		end.Column, end.Width = end.Column+end.Width, 1
		c.ds = append(c.ds, diag.Diagnostic{Severity: d.Severity, Rule: scenarios.RuleTooMany, At: end, Summary: "more findings in this file are not shown", Hint: "mend those above first"})
	} else if d.Severity == diag.Error {
		last.Severity = diag.Error
	}
}

func (c *reader) err(rule string, at diag.Place, summary, hint string) {
	c.put(func() diag.Place { return at }, diag.Diagnostic{Severity: diag.Error, Rule: rule, Summary: summary, Hint: hint})
}

// person checks one person and adds them to the list.
func (c *reader) person(number, name string, numberAt, nameAt func() diag.Place) {
	p := Person{Number: c.line(RuleNumber, "number", number, LongestNumber, numberAt), Name: c.line(RuleName, "name", name, LongestName, nameAt)}
	if strings.TrimSpace(number) == "" {
		what := "here is somebody without a number"
		if p.Name != "" {
			what = fmt.Sprintf("%q has no number", shorten(p.Name))
		}
		c.put(numberAt, diag.Diagnostic{Severity: diag.Error, Rule: RuleNumber, Summary: what, Hint: "give everybody a number of their own; it tells whose answers are whose"})
	}
	if c.numbers == nil {
		c.numbers, c.names = map[string]placed{}, map[string]placed{}
	}
	if p.Number != "" {
		key := strings.ToLower(p.Number)
		if first, again := c.numbers[key]; again {
			what := fmt.Sprintf("number %q is given twice", p.Number)
			if first.text != p.Number {
				what = fmt.Sprintf("numbers %q and %q differ in capitals alone", first.text, p.Number)
			}
			c.twice(diag.Error, what, "give each a number of their own", first, numberAt)
		} else {
			c.numbers[key] = placed{p.Number, numberAt}
		}
	}
	if p.Name != "" {
		if first, again := c.names[p.Name]; again {
			c.twice(diag.Warning, fmt.Sprintf("the name %q stands twice", shorten(p.Name)), "if these are two people, their numbers tell them apart; if not, take one out", first, nameAt)
		} else {
			c.names[p.Name] = placed{p.Name, nameAt}
		}
	}
	c.list = append(c.list, p)
}

func (c *reader) twice(s diag.Severity, summary, hint string, first placed, at func() diag.Place) {
	d := diag.Diagnostic{Severity: s, Rule: RuleDuplicate, Summary: summary, Hint: hint, SecondIs: "first written here"}
	if len(c.ds) < mostFindings {
		second := first.at()
		d.Second = &second
	}
	c.put(at, d)
}

// line checks a text that is printed on one line, and gives it with single
// blanks, or "" where it is wrong or blank.
func (c *reader) line(rule, what, s string, most int, at func() diag.Place) string {
	s = strings.Trim(s, " \u00a0\t")
	switch n := utf8.RuneCountInString(s); {
	case strings.ContainsAny(s, "\n\t\r"):
		c.put(at, diag.Diagnostic{Severity: diag.Error, Rule: rule, Summary: fmt.Sprintf("this %s has a line end or a tab in it", what), Hint: "a quote that is not closed runs on into the next line; else write it on one line"})
		return ""
	case n > most:
		c.put(at, diag.Diagnostic{Severity: diag.Error, Rule: rule, Summary: fmt.Sprintf("this %s has %d characters; at most %d fit a sheet", what, n, most), Hint: "shorten it"})
		return ""
	}
	return strings.Join(strings.Fields(s), " ")
}

func shorten(s string) string {
	r := []rune(s)
	if len(r) <= 40 {
		return s
	}
	return string(r[:39]) + "…"
}

// yaml reads a list of people.
func (c *reader) yaml(b []byte) {
	entries, ds := scenarios.ReadList(c.file, b, PersonKeys, MostPeople)
	c.ds = ds
	for _, e := range entries {
		at := func(key string) func() diag.Place { return func() diag.Place { return e.At(key) } }
		if strings.TrimSpace(e.Text("name")) == "" {
			c.noName(e.Text("number"), at("name"))
		}
		c.person(e.Text("number"), e.Text("name"), at("number"), at("name"))
	}
}

func (c *reader) noName(number string, at func() diag.Place) {
	if strings.TrimSpace(number) != "" {
		c.put(at, diag.Diagnostic{Severity: diag.Warning, Rule: RuleName, Summary: fmt.Sprintf("number %q has no name", shorten(strings.TrimSpace(number))), Hint: "the sheets then show the number alone"})
	}
}
