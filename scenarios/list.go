package scenarios

import (
	"fmt"

	"gopkg.in/yaml.v3"

	"loopdrill/scenarios/diag"
)

// Entry is one block of a list that [ReadList] has read.
type Entry struct{ b *block }

// Text gives what stands behind a key, as written; it is empty where the key
// was left out or wrong.
func (e Entry) Text(key string) string { return e.b.get(key).text }

// At is the place of a value, or of its block where it was left out.
func (e Entry) At(key string) diag.Place {
	if v := e.b.get(key); v.n != nil && v.text != "" {
		return v.at()
	}
	return e.b.f.head(e.b.n)
}

// ReadList reads a YAML file that is no part of a course and holds a list of
// blocks of one kind, most of them at most. Every mistake is reported as those
// of a course are; with an error among them there are no entries.
func ReadList(name string, b []byte, rec *Record, most int) ([]Entry, []diag.Diagnostic) {
	r := &reader{found: map[string]int{}, sources: map[string][]byte{}}
	out := r.list(name, b, rec, most)
	r.cut()
	if errs, _ := diag.Count(r.ds); errs > 0 {
		out = nil
	}
	return out, diag.Sort(r.ds)
}

func (r *reader) list(name string, b []byte, rec *Record, most int) []Entry {
	f := r.text(name, b)
	if f == nil {
		return nil
	}
	n := f.yaml("a list")
	if n == nil || !f.plain(n) {
		return nil
	}
	switch {
	case n.Kind != yaml.SequenceNode:
		f.err(RuleType, f.at(n), fmt.Sprintf("the file should be a list, not %s", kindOf(n)), fmt.Sprintf("begin each item on a line of its own with a dash: \"- %s: ...\"", rec.Keys[0].Name))
		return nil
	case len(n.Content) == 0:
		f.err(RuleEmptyList, f.at(n), "the list is empty", "")
		return nil
	case len(n.Content) > most:
		f.err(RuleBounds, f.at(n.Content[most]), fmt.Sprintf("the list has %d items; at most %d are read", len(n.Content), most), "")
		return nil
	}
	var out []Entry
	for _, c := range n.Content {
		if b := f.block(c, rec, "an item of the list"); b != nil {
			out = append(out, Entry{b})
		}
	}
	return out
}

// PlainText checks that a file that is no part of a course is text in UTF-8
// without hidden characters, and gives its line ends one form and takes a byte
// order mark off. With a finding, an error, there is no text.
func PlainText(name string, b []byte) (string, []diag.Diagnostic) {
	r := &reader{found: map[string]int{}}
	f := r.text(name, b)
	if f == nil {
		return "", r.ds
	}
	return f.text, nil
}
