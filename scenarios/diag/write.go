package diag

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"slices"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Sources gives the text of a file for its excerpt, or nil if there is none.
type Sources func(file string) []byte

// MostBytes is the largest file that is read for an excerpt; larger ones are
// not read as part of a course either.
const MostBytes = 256 << 10

// From gives the files of a folder as [Sources].
func From(fsys fs.FS) Sources {
	return func(file string) []byte {
		info, err := fs.Stat(fsys, file)
		if err != nil || !info.Mode().IsRegular() || info.Size() > MostBytes {
			return nil
		}
		b, err := fs.ReadFile(fsys, file)
		if err != nil {
			return nil
		}
		return b
	}
}

// Write lays the diagnostics out, in the order of [Sort]:
//
//	plants/mill.yaml:14:13: error: what is wrong [rule-id]
//	   |
//	14 |     output: 20-4 mA
//	   |             ^~~~~~~
//	hint: what to do about it
//
// with a detail and a second place where there are any. sources may be nil;
// there are no excerpts then. Tabs are shown as four blanks, and whatever a
// terminal could take for a command is shown as a replacement character.
func Write(w io.Writer, sources Sources, ds []Diagnostic, colour bool) error {
	p := printer{sources: sources, lines: map[string][][]byte{}}
	if colour {
		p.ink = ink{bold: "\x1b[1m", red: "\x1b[1;31m", yellow: "\x1b[1;33m", dim: "\x1b[2m", off: "\x1b[0m"}
	}
	for i, d := range Sort(slices.Clone(ds)) {
		if i > 0 {
			p.buf.WriteByte('\n')
		}
		p.one(d)
	}
	_, err := w.Write(p.buf.Bytes())
	return err
}

type ink struct{ bold, red, yellow, dim, off string }

type printer struct {
	buf     bytes.Buffer
	sources Sources
	lines   map[string][][]byte
	ink     ink
}

func (p *printer) one(d Diagnostic) {
	mark := p.ink.red
	if d.Severity != Error {
		mark = p.ink.yellow
	}
	fmt.Fprintf(&p.buf, "%s%s%s%s%s: %s", p.ink.bold, place(d.At), p.ink.off, mark, string(d.Severity)+p.ink.off, clean(d.Summary))
	if d.Rule != "" {
		fmt.Fprintf(&p.buf, " %s[%s]%s", p.ink.dim, clean(d.Rule), p.ink.off)
	}
	p.buf.WriteByte('\n')
	p.excerpt(d.At, mark)
	if d.Detail != "" {
		p.buf.WriteString(clean(d.Detail) + "\n")
	}
	if d.Second != nil {
		fmt.Fprintf(&p.buf, "%s%s%s%s\n", p.ink.bold, place(*d.Second), p.ink.off, clean(d.SecondIs))
		p.excerpt(*d.Second, p.ink.dim)
	}
	if d.Hint != "" {
		fmt.Fprintf(&p.buf, "%shint:%s %s\n", p.ink.bold, p.ink.off, clean(d.Hint))
	}
}

func place(at Place) string {
	file := clean(at.File)
	switch {
	case file == "" && at.Line == 0:
		return ""
	case at.Line == 0:
		return file + ": "
	case at.Column == 0:
		return file + ":" + strconv.Itoa(at.Line) + ": "
	}
	return file + ":" + strconv.Itoa(at.Line) + ":" + strconv.Itoa(at.Column) + ": "
}

// window is how many cells of a long line are shown.
const window = 100

// excerpt writes the line of a place with a mark below it. It writes nothing
// for a place that its file does not have.
func (p *printer) excerpt(at Place, mark string) {
	line, ok := p.line(at.File, at.Line)
	if !ok || strings.TrimSpace(string(line)) == "" {
		return
	}
	cells := lay(line)
	from := min(max(at.Column-1, 0), len(cells))
	to := min(from+max(at.Width, 1), len(cells))
	text, before, under := cut(cells, from, to)
	number := strconv.Itoa(at.Line)
	gutter := strings.Repeat(" ", len(number))
	fmt.Fprintf(&p.buf, "%s%s |%s\n", p.ink.dim, gutter, p.ink.off)
	fmt.Fprintf(&p.buf, "%s%s |%s %s\n", p.ink.dim, number, p.ink.off, text)
	if at.Column > 0 {
		fmt.Fprintf(&p.buf, "%s%s |%s %s%s^%s%s\n", p.ink.dim, gutter, p.ink.off,
			strings.Repeat(" ", before), mark, strings.Repeat("~", max(under-1, 0)), p.ink.off)
	}
}

// cut takes the part of a line that fits the window around from..to and says
// how many cells stand before the mark and under it.
func cut(cells []cell, from, to int) (text string, before, under int) {
	total, left := 0, 0
	for i, c := range cells {
		total += c.width
		if i < from {
			left += c.width
		}
	}
	start := 0
	if total > window && left > window/2 {
		for skipped := 0; start < from && skipped < left-window/3; start++ {
			skipped += cells[start].width
		}
	}
	var b strings.Builder
	if start > 0 {
		b.WriteString("…")
		before = 1
	}
	shown := before
	for i := start; i < len(cells); i++ {
		c := cells[i]
		if shown+c.width > window {
			b.WriteString("…")
			break
		}
		b.WriteString(c.text)
		shown += c.width
		switch {
		case i < from:
			before += c.width
		case i < to:
			under += c.width
		}
	}
	return strings.TrimRight(b.String(), " "), before, max(under, 1)
}

func (p *printer) line(file string, n int) ([]byte, bool) {
	if p.sources == nil || n < 1 {
		return nil, false
	}
	lines, known := p.lines[file]
	if !known {
		if src := p.sources(file); len(src) <= MostBytes {
			src = bytes.ReplaceAll(bytes.TrimPrefix(src, []byte("\ufeff")), []byte("\r\n"), []byte("\n"))
			lines = bytes.Split(bytes.ReplaceAll(src, []byte("\r"), []byte("\n")), []byte("\n"))
		}
		p.lines[file] = lines
	}
	if n > len(lines) {
		return nil, false
	}
	return lines[n-1], true
}

// cell is one character as it is shown, and the columns of the terminal that
// it takes.
type cell struct {
	text  string
	width int
}

func lay(line []byte) []cell {
	out := make([]cell, 0, len(line))
	for len(line) > 0 {
		r, n := utf8.DecodeRune(line)
		line = line[n:]
		switch {
		case r == '\t':
			out = append(out, cell{"    ", 4})
		case hidden(r):
			out = append(out, cell{"\ufffd", 1})
		default:
			out = append(out, cell{string(r), runeWidth(r)})
		}
	}
	return out
}

// hidden says whether a terminal would not show r but act on it: control
// characters, and the marks that turn the direction of writing.
func hidden(r rune) bool {
	return r == utf8.RuneError || unicode.IsControl(r) || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069 || r == 0x2028 || r == 0x2029
}

// runeWidth is 2 for East Asian wide characters and emoji, 0 for marks that
// are written over the letter before, else 1.
func runeWidth(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf):
		return 0
	case r >= 0x1100 && r <= 0x115f, r >= 0x2e80 && r <= 0x303e, r >= 0x3041 && r <= 0xa4cf,
		r >= 0xac00 && r <= 0xd7a3, r >= 0xf900 && r <= 0xfaff, r >= 0xfe30 && r <= 0xfe6f,
		r >= 0xff00 && r <= 0xff60, r >= 0xffe0 && r <= 0xffe6, r >= 0x1f300 && r <= 0x1f64f,
		r >= 0x1f900 && r <= 0x1f9ff, r >= 0x20000 && r <= 0x3fffd:
		return 2
	}
	return 1
}

// clean makes a text safe for one line of a terminal.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r == '\n' || r == '\t':
			return ' '
		case hidden(r):
			return '\ufffd'
		}
		return r
	}, s)
}
