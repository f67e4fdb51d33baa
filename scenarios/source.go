package scenarios

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"gopkg.in/yaml.v3"

	"loopdrill/scenarios/diag"
)

// file is one file of a course, or the YAML body of a block in one.
type file struct {
	r     *reader
	path  string
	text  string   // line ends as "\n", no byte order mark
	lines []string // of text

	// For the body of a block: how many lines of the file stand before it.
	skip int

	runes struct { // of the line that was asked for last
		line int
		text []rune
	}
}

// characters gives a line, from 1, as characters. Places are asked for one
// after another; a long line is taken apart once.
func (f *file) characters(line int) []rune {
	if f.runes.line != line {
		f.runes.line, f.runes.text = line, []rune(f.lines[line-1])
	}
	return f.runes.text
}

// longestMark is as far as a place is looked at to find its width.
const longestMark = 2000

// mostFindings is how many findings are reported for one file; what comes
// after that is counted only.
const mostFindings = 100

// open reads a file of the course and checks that it is text. It reports what
// is wrong and returns nil then. where is the place that names the file, or
// nil for a file that every course has.
func (r *reader) open(name string, where *diag.Place) *file {
	at := diag.Place{File: name}
	if where != nil {
		at = *where
	}
	info, problem := r.stat(name)
	if problem != "" {
		r.add(diag.Error, RuleFile, at, fmt.Sprintf("%q %s", name, problem), "put the file itself into the course folder")
		return nil
	}
	if info == nil {
		hint := ""
		if near := r.nearFile(name); near != "" {
			hint = fmt.Sprintf("there is %q; did you mean that?", near)
		} else if where == nil {
			hint = "a course is a folder with a course.yaml in it; \"loopdrill new\" makes one to start from"
		}
		r.add(diag.Error, RuleFile, at, fmt.Sprintf("there is no file %q in the course folder", name), hint)
		return nil
	}
	if info.Size() > diag.MostBytes {
		r.add(diag.Error, RuleFile, at, fmt.Sprintf("%q has %d kB; a file of a course has at most %d kB", name, info.Size()/1024, diag.MostBytes/1024),
			"is this the right file?")
		return nil
	}
	raw, err := r.readAll(name)
	if err != nil {
		r.add(diag.Error, RuleFile, at, fmt.Sprintf("%q cannot be read: %s", name, reason(err)), "")
		return nil
	}
	r.sources[name] = raw
	return r.text(name, raw)
}

// stat finds out what kind of thing a name is. Links are not followed: one that
// leads out of the folder would put a stranger's file into a workbook.
func (r *reader) stat(name string) (info fs.FileInfo, problem string) {
	parts := strings.Split(name, "/")
	for i := range parts {
		part := strings.Join(parts[:i+1], "/")
		in, err := fs.Lstat(r.fsys, part)
		switch {
		case errors.Is(err, fs.ErrNotExist):
			return nil, ""
		case err != nil:
			return nil, "cannot be read: " + reason(err)
		case in.Mode()&fs.ModeSymlink != 0:
			return nil, "is a link, and links are not followed"
		case i < len(parts)-1 && !in.IsDir():
			return nil, fmt.Sprintf("lies below %q, which is not a folder", part)
		case i == len(parts)-1 && in.IsDir():
			return nil, "is a folder, not a file"
		case i == len(parts)-1 && !in.Mode().IsRegular():
			return nil, "is not an ordinary file"
		}
		info = in
	}
	return info, ""
}

func (r *reader) readAll(name string) ([]byte, error) {
	f, err := r.fsys.Open(name)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	b, err := io.ReadAll(io.LimitReader(f, diag.MostBytes+1))
	if err == nil && len(b) > diag.MostBytes {
		err = fmt.Errorf("it has more than %d kB", diag.MostBytes/1024)
	}
	return b, err
}

// reason is the cause of a failure without the path, which the sentence has.
func reason(err error) string {
	var p *fs.PathError
	if errors.As(err, &p) {
		return p.Err.Error()
	}
	return err.Error()
}

// nearFile finds a file in the same folder whose name is nearly the same.
func (r *reader) nearFile(name string) string {
	entries, err := fs.ReadDir(r.fsys, path.Dir(name))
	if err != nil || len(entries) > 1000 {
		return ""
	}
	var names []string
	for _, e := range entries {
		if !e.IsDir() {
			names = append(names, e.Name())
		}
	}
	near, ok := diag.Nearest(path.Base(name), names)
	if !ok {
		return ""
	}
	return path.Join(path.Dir(name), near)
}

// text checks that raw is plain text in UTF-8 and gives its lines one kind of
// end. It returns nil where it is not.
func (r *reader) text(name string, raw []byte) *file {
	whole := diag.Place{File: name}
	switch {
	case bytes.HasPrefix(raw, []byte{0xff, 0xfe}) || bytes.HasPrefix(raw, []byte{0xfe, 0xff}):
		r.add(diag.Error, RuleEncoding, whole, "the file is written in UTF-16", "save it as UTF-8 (in the editor's \"save as\")")
		return nil
	case bytes.IndexByte(raw, 0) >= 0:
		r.add(diag.Error, RuleEncoding, whole, "this is not a text file: it holds zero bytes", "is this the right file? a course is written in plain text, saved as UTF-8")
		return nil
	}
	raw = bytes.TrimPrefix(raw, []byte("\ufeff"))
	text := strings.ReplaceAll(strings.ReplaceAll(string(raw), "\r\n", "\n"), "\r", "\n")
	f := &file{r: r, path: name, text: text, lines: strings.Split(text, "\n")}
	for i, line := range f.lines {
		col := 0
		for j, c := range line {
			col++
			at := diag.Place{File: name, Line: i + 1, Column: col, Width: 1}
			if c == utf8.RuneError {
				if _, n := utf8.DecodeRuneInString(line[j:]); n == 1 {
					r.add(diag.Error, RuleEncoding, at, "there is a byte here that is not text in UTF-8",
						"the file was probably saved in an older encoding; save it as UTF-8")
					return nil
				}
			}
			if hidden(c) {
				r.add(diag.Error, RuleEncoding, at, fmt.Sprintf("there is an invisible control character here (U+%04X)", c), "delete it")
				return nil
			}
		}
	}
	return f
}

// body is the part of f that is lines from..to-1 (from 0) as a file of its own
// whose places are those of f.
func (f *file) body(from, to int) *file {
	lines := f.lines[from:to]
	return &file{r: f.r, path: f.path, text: strings.Join(lines, "\n") + "\n", lines: lines, skip: f.skip + from}
}

// yaml parses f and returns its one value, or nil after reporting why not.
// what is what the file should hold: "a course".
func (f *file) yaml(what string) *yaml.Node {
	if f.text == "" || strings.TrimSpace(f.text) == "" {
		f.r.add(diag.Error, RuleEmpty, f.all(), "the file is empty; it should hold "+what, "")
		return nil
	}
	if at, ok := f.tabbed(); ok {
		f.r.add(diag.Error, RuleSyntax, at, "a tab is used to indent here", "indent with blanks, two for each step; most editors can be told to write blanks for tabs")
		return nil
	}
	docs, err := parseYAML(f.text)
	if err != nil {
		f.syntax(err)
		return nil
	}
	if len(docs) == 0 || len(docs[0].Content) == 0 || isNull(docs[0].Content[0]) {
		f.r.add(diag.Error, RuleEmpty, f.all(), "the file holds nothing but remarks; it should hold "+what, "")
		return nil
	}
	if len(docs) > 1 {
		f.r.add(diag.Error, RuleSecondDocument, f.at(docs[1]), "a second document begins here, after a line \"---\"",
			"keep one document a file; put the second into a file of its own")
	}
	return docs[0].Content[0]
}

// all is the place of f as a whole.
func (f *file) all() diag.Place {
	if f.skip > 0 {
		return diag.Place{File: f.path, Line: f.skip, Column: 1, Width: 3}
	}
	return diag.Place{File: f.path}
}

// tabbed finds a line that is indented with a tab, which YAML does not allow
// and its parsers explain badly.
func (f *file) tabbed() (diag.Place, bool) {
	for i, line := range f.lines {
		rest := strings.TrimLeft(line, " ")
		if strings.HasPrefix(rest, "\t") && strings.TrimSpace(rest) != "" && !strings.HasPrefix(strings.TrimSpace(rest), "#") {
			return diag.Place{File: f.path, Line: f.skip + i + 1, Column: len(line) - len(rest) + 1, Width: 1}, true
		}
	}
	return diag.Place{}, false
}

// parseYAML gives the documents of a text, two at most. The parser is not ours;
// should it panic on some text, that text is not YAML to us.
func parseYAML(text string) (docs []*yaml.Node, err error) {
	defer func() {
		if p := recover(); p != nil {
			docs, err = nil, errors.New("yaml: this cannot be read")
		}
	}()
	d := yaml.NewDecoder(strings.NewReader(text))
	for len(docs) < 2 {
		var n yaml.Node
		err := d.Decode(&n)
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return nil, err
		}
		docs = append(docs, &n)
	}
	return docs, nil
}

var yamlLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?(.*)$`)

// syntax reports a syntax error. The parser knows at most a line, sometimes
// that of a neighbour.
func (f *file) syntax(err error) {
	m := yamlLine.FindStringSubmatch(strings.ReplaceAll(err.Error(), "\n", " "))
	line, what := 0, "this cannot be read"
	if m != nil {
		line, _ = strconv.Atoi(m[1])
		what = m[2]
	}
	said, hint := yamlSays(what)
	line = f.culprit(what, line)
	at := f.all()
	if line > 0 {
		// The parser counts some lines from 0; never point behind the end.
		line = min(line, len(f.lines))
		for line > 1 && strings.TrimSpace(f.lines[line-1]) == "" {
			line--
		}
		text := f.lines[line-1]
		indent := len(text) - len(strings.TrimLeft(text, " \t"))
		at = diag.Place{File: f.path, Line: f.skip + line, Column: indent + 1, Width: max(1, utf8.RuneCountInString(strings.TrimSpace(text)))}
		said = fmt.Sprintf("near line %d: %s", f.skip+line, said)
	}
	f.r.add(diag.Error, RuleSyntax, at, said, hint)
}

// culprit looks beside the line that the parser names for one that fits its
// words better.
func (f *file) culprit(what string, line int) int {
	if m := unknownAnchor.FindStringSubmatch(what); m != nil {
		for i, text := range f.lines {
			if strings.Contains(text, "*"+m[1]) {
				return i + 1
			}
		}
	}
	for _, pair := range []string{"[]", "{}"} {
		if !strings.Contains(what, fmt.Sprintf("',' or '%c'", pair[1])) {
			continue
		}
		for i := min(line+1, len(f.lines)); i >= 1 && i >= line-20; i-- {
			text, _, _ := strings.Cut(f.lines[i-1], " #")
			if strings.Count(text, pair[:1]) > strings.Count(text, pair[1:]) {
				return i
			}
		}
	}
	return line
}

var unknownAnchor = regexp.MustCompile(`^unknown anchor '(.*)' referenced$`)

// yamlSays puts the parser's words into an instructor's.
func yamlSays(what string) (said, hint string) {
	has := func(s string) bool { return strings.Contains(what, s) }
	switch {
	case has("mapping values are not allowed"):
		return "a second colon, or a line that is indented wrongly", `put a text with ": " in it between quotes, and give the keys of one block the same indent`
	case has("did not find expected key"), has("did not find expected '-'"):
		return "the indent does not fit the lines around it", "give the keys of one block, or the dashes of one list, the same indent"
	case has("could not find expected ':'"):
		return "a key without a colon", `write "key: value", with a blank behind the colon`
	case has("found character that cannot start any token"):
		return "a value begins with a character that YAML keeps for itself", `put values that begin with % @ or a back quote between quotes; indent with blanks`
	case has("did not find expected ',' or ']'"):
		return "a list in [ ] is not closed, or a comma is missing in it", "write [first, second]"
	case has("did not find expected ',' or '}'"):
		return "a block in { } is not closed, or a comma is missing in it", "write {key: value, key: value}"
	case has("unexpected end of stream"), has("found unexpected document indicator"):
		return "a quoted text is not closed", "end it with the quote that it began with"
	case has("unknown anchor"):
		return "a value begins with *, which YAML keeps for itself", "put the text between quotes"
	case has("exceeded max depth"):
		return "blocks are nested too deep", "no key of a course needs more than six steps of indent"
	case has("unknown escape"):
		return `a back slash in a text between " " is taken for a command`, "put the text between ' ' instead"
	case has("control characters"):
		return "there is an invisible control character", "delete it"
	}
	return "this is not valid YAML: " + what, ""
}

// at is the place of a node.
func (f *file) at(n *yaml.Node) diag.Place {
	line := min(max(n.Line, 1), max(len(f.lines), 1))
	p := diag.Place{File: f.path, Line: f.skip + line, Column: max(n.Column, 1), Width: 1}
	runes := f.characters(line)
	if p.Column > len(runes)+1 {
		p.Column = len(runes) + 1
	}
	rest := strings.TrimRight(string(runes[p.Column-1:min(len(runes), p.Column-1+longestMark)]), " ")
	width := utf8.RuneCountInString(rest)
	switch {
	case n.Kind == yaml.AliasNode:
		width = utf8.RuneCountInString(n.Value) + 1
	case n.Kind != yaml.ScalarNode:
		if n.Style&yaml.FlowStyle == 0 {
			width = utf8.RuneCountInString(firstWord(rest))
		}
	case n.Style&(yaml.DoubleQuotedStyle|yaml.SingleQuotedStyle) != 0:
		if rest == "" {
			break
		}
		if q := strings.IndexByte(rest[1:], rest[0]); q >= 0 {
			width = utf8.RuneCountInString(rest[:q+2])
		}
	case n.Value != "" && strings.HasPrefix(rest, n.Value):
		width = utf8.RuneCountInString(n.Value)
	}
	p.Width = max(1, width)
	return p
}

func firstWord(s string) string {
	if i := strings.IndexAny(s, ": "); i > 0 {
		return s[:i]
	}
	return s
}

func isNull(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Tag == "!!null"
}
