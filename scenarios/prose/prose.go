// Package prose holds running text written in Markdown: lesson pages and the
// prompts, steps and feedback of the exercise families. Text is parsed once
// into a tree; what changes from form to form enters through named slots such
// as {reading}, so that no Markdown is parsed for a form.
//
// For most uses call [ParseLibrary] on the Markdown file of a family and
// [Library.Text] for one of its entries with its slots filled.
package prose

import (
	"fmt"
	"sort"
	"strings"

	"github.com/yuin/goldmark"
	"github.com/yuin/goldmark/ast"
	"github.com/yuin/goldmark/extension"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/parser"
	"github.com/yuin/goldmark/text"
	"github.com/yuin/goldmark/util"
)

// Doc is one parsed piece of Markdown. It is immutable and safe to share.
type Doc struct {
	Source []byte
	Root   ast.Node
	Slots  []string // names of its slots, in order of appearance, each once
}

// Slot is a place in a [Doc] where a value is put in. Its kind is [KindSlot].
type Slot struct {
	ast.BaseInline
	Name string
}

// KindSlot is the node kind of [Slot].
var KindSlot = ast.NewNodeKind("Slot")

// Kind implements ast.Node.
func (*Slot) Kind() ast.NodeKind { return KindSlot }

// Dump implements ast.Node.
func (s *Slot) Dump(source []byte, level int) {
	ast.DumpHelper(s, source, level, map[string]string{"Name": s.Name}, nil)
}

// Text is a [Doc] with values for its slots. The zero Text is empty.
type Text struct {
	Doc  *Doc
	Args []Arg
}

// Arg is the value of one slot, as plain text that is escaped when a page is
// written.
type Arg struct {
	Name, Value string
}

// Empty reports whether there is no text at all.
func (t Text) Empty() bool { return t.Doc == nil }

// Arg returns the value of a slot, and whether it has one.
func (t Text) Arg(name string) (string, bool) {
	for _, a := range t.Args {
		if a.Name == name {
			return a.Value, true
		}
	}
	return "", false
}

// Plain returns the text without any markup, blocks separated by a line break.
func (t Text) Plain() string {
	if t.Doc == nil {
		return ""
	}
	var b strings.Builder
	_ = ast.Walk(t.Doc.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		switch n := n.(type) {
		case *ast.Text:
			if entering {
				b.Write(n.Segment.Value(t.Doc.Source))
				if n.SoftLineBreak() || n.HardLineBreak() {
					b.WriteByte(' ')
				}
			}
		case *ast.String:
			if entering {
				b.Write(n.Value)
			}
		case *Slot:
			if entering {
				v, _ := t.Arg(n.Name)
				b.WriteString(v)
			}
		default:
			if !entering && n.Type() == ast.TypeBlock && n.NextSibling() != nil {
				b.WriteByte('\n')
			}
		}
		return ast.WalkContinue, nil
	})
	return strings.TrimSpace(b.String())
}

// Markdown is the parser for lessons and prompts: CommonMark with tables, no
// raw HTML, and {slot} as an inline of ours where slots is true.
func markdown(slots bool) goldmark.Markdown {
	opts := []goldmark.Option{
		goldmark.WithExtensions(extension.Table),
		goldmark.WithParserOptions(parser.WithAutoHeadingID()),
	}
	if slots {
		opts = append(opts, goldmark.WithParserOptions(
			parser.WithInlineParsers(util.Prioritized(slotParser{}, 90))))
	}
	return goldmark.New(opts...)
}

// ParseTemplate parses Markdown in which {name} is a slot.
func ParseTemplate(source string) *Doc { return parse(source, true) }

// ParsePlain parses Markdown in which braces mean nothing.
func ParsePlain(source string) *Doc { return parse(source, false) }

func parse(source string, slots bool) *Doc {
	src := []byte(source)
	d := &Doc{Source: src, Root: markdown(slots).Parser().Parse(text.NewReader(src))}
	seen := map[string]bool{}
	_ = ast.Walk(d.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if s, ok := n.(*Slot); ok && entering && !seen[s.Name] {
			seen[s.Name] = true
			d.Slots = append(d.Slots, s.Name)
		}
		return ast.WalkContinue, nil
	})
	return d
}

type slotParser struct{}

func (slotParser) Trigger() []byte { return []byte{'{'} }

func (slotParser) Parse(_ ast.Node, block text.Reader, _ parser.Context) ast.Node {
	line, _ := block.PeekLine()
	for i := 1; i < len(line); i++ {
		c := line[i]
		switch {
		case c >= 'a' && c <= 'z' || c >= '0' && c <= '9' || c == '-':
		case c == '}' && i > 1:
			block.Advance(i + 1)
			return &Slot{Name: string(line[1:i])}
		default:
			return nil
		}
	}
	return nil
}

// HasRawHTML reports whether the text holds HTML, which pages leave out, and
// the byte offset of the first piece.
func (d *Doc) HasRawHTML() (offset int, found bool) {
	_ = ast.Walk(d.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering || found {
			return ast.WalkContinue, nil
		}
		switch n := n.(type) {
		case *ast.RawHTML:
			found = true
			if n.Segments.Len() > 0 {
				offset = n.Segments.At(0).Start
			}
		case *ast.HTMLBlock:
			found = true
			if n.Lines().Len() > 0 {
				offset = n.Lines().At(0).Start
			}
		}
		return ast.WalkContinue, nil
	})
	return offset, found
}

// IsTable reports whether n is a table of the table extension; callers outside
// need not import it.
func IsTable(n ast.Node) bool { return n.Kind() == extast.KindTable }

// Library is the set of texts of one family: a Markdown file in which each
// second-level heading names an entry.
type Library struct {
	name    string
	entries map[string]*Doc
}

// ParseLibrary reads a Markdown file whose lines "## name" begin an entry that
// runs to the next such line. Text before the first entry is a remark for
// whoever edits the file. A name used twice or an empty entry is an error.
func ParseLibrary(name, source string) (*Library, error) {
	lib := &Library{name: name, entries: map[string]*Doc{}}
	var key string
	var body []string
	flush := func() error {
		if key == "" {
			return nil
		}
		if _, dup := lib.entries[key]; dup {
			return fmt.Errorf("%s: entry %q is written twice", name, key)
		}
		s := strings.TrimSpace(strings.Join(body, "\n"))
		if s == "" {
			return fmt.Errorf("%s: entry %q is empty", name, key)
		}
		lib.entries[key] = ParseTemplate(s)
		return nil
	}
	for line := range strings.Lines(source) {
		line = strings.TrimRight(line, "\r\n")
		if k, ok := strings.CutPrefix(line, "## "); ok {
			if err := flush(); err != nil {
				return nil, err
			}
			key, body = strings.TrimSpace(k), nil
			continue
		}
		body = append(body, line)
	}
	return lib, flush()
}

// MustLibrary is [ParseLibrary] for a file shipped in the program, whose
// mistakes are the programmer's.
func MustLibrary(name, source string) *Library {
	lib, err := ParseLibrary(name, source)
	if err != nil {
		panic(err)
	}
	return lib
}

// Names lists the entries, sorted.
func (l *Library) Names() []string {
	var out []string
	for k := range l.entries {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}

// Entry returns the entry of that name, or nil.
func (l *Library) Entry(name string) *Doc { return l.entries[name] }

// Text fills an entry. args alternate between slot names and their values. A
// missing entry, a slot without a value or a value without a slot is a
// programmer's mistake and panics, so that the tests of a family find it.
func (l *Library) Text(name string, args ...string) Text {
	d := l.entries[name]
	if d == nil {
		panic("prose: no entry " + name + " in " + l.name)
	}
	t := Text{Doc: d, Args: make([]Arg, 0, len(args)/2)}
	for i := 0; i+1 < len(args); i += 2 {
		t.Args = append(t.Args, Arg{args[i], args[i+1]})
	}
	for _, s := range d.Slots {
		if _, ok := t.Arg(s); !ok {
			panic("prose: entry " + name + " in " + l.name + " needs a value for {" + s + "}")
		}
	}
	return t
}
