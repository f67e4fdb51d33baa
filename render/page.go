package render

import (
	"encoding/json"
	"io"
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/prose"
)

// Paper is a size of paper to print on.
type Paper string

// The papers. The zero Paper is A4.
const (
	A4     Paper = "A4"
	Letter Paper = "letter"
)

// Head is what every page of one form says about itself. It holds no answer
// and, on an assessment, nothing from which another form could be guessed.
type Head struct {
	CourseID      string
	CourseTitle   string
	CoursePurpose string // what an apprentice can do afterwards, one sentence
	Purpose       exercises.Purpose
	Number        int    // of the copy or the person, from 1
	Sitting       int    // printed from the second on
	Code          string // form code, printed on every sheet of paper
	Seed          string // printed on practice forms only
	Version       string // of the generator
	Minutes       int    // working time; 0 is not printed
	PassMark      int    // percent of the marks
	Paper         Paper
	// Assets is the address of the folder with style and scripts, seen from
	// the page, with a slash at its end: "assets/".
	Assets string
	// Large sets text in 18 pt, with larger faces and charts.
	Large bool
	// Inline, where it is set, is written into the page in the place of
	// addresses, so that the page is one file.
	Inline *Inline
}

// Inline is what a page of one file carries along: its style, and the scripts
// by name. None of them may hold the end tag of its own element.
type Inline struct {
	Style   string
	Scripts map[string]string
}

// HeadOf reads the head of a form. The seed stays behind on assessments, even
// if the form carries one.
func HeadOf(f *exercises.Form) Head {
	h := Head{
		CourseID:      f.Course.ID,
		CourseTitle:   f.Course.Title,
		CoursePurpose: f.Course.Purpose,
		Purpose:       f.Purpose,
		Number:        f.Number,
		Sitting:       f.Sitting,
		Code:          f.Code,
		Version:       f.Version,
		Minutes:       f.Course.Minutes,
		PassMark:      f.Course.PassMark,
		Assets:        "assets/",
	}
	if f.Purpose == exercises.Practice {
		h.Seed = f.Seed
	}
	return h
}

// page collects the bytes of one page. Everything that comes from a course
// goes through text or attr, which escape it.
type page struct {
	r      *Renderer
	b      []byte
	charts bool           // the chart library is needed
	face   scenarios.Face // of the checker that lesson pictures show
	seen   map[string]int // ids handed out, to keep them unique
	print  printStrings   // what stands in the margins of the paper
	named  []string       // bottom-left strings of named pages, in order
	head   Head           // of the form
	kind   string         // class of the page: "workbook"
	scales sharedScales   // meter scales already on the page

	cautioned  bool                       // the sign of cautions is on the page
	firstChart map[string]json.RawMessage // its settings, which later ones do not repeat
}

// printStrings are the texts in the margins of every sheet of paper.
type printStrings struct {
	topLeft, topMiddle, topRight, bottomLeft string
}

func (p *page) raw(parts ...string) {
	for _, s := range parts {
		p.b = append(p.b, s...)
	}
}

func (p *page) text(s string) { p.b = appendText(p.b, s) }

// value writes text whose tags, dates and ranges are not torn apart.
func (p *page) value(s string) { p.b = appendValue(p.b, s) }
func (p *page) attr(s string)  { p.b = appendAttr(p.b, s) }
func (p *page) int(n int)      { p.b = strconv.AppendInt(p.b, int64(n), 10) }

// prose writes running text with its paragraphs; inline without.
func (p *page) prose(t prose.Text) {
	if !t.Empty() {
		p.b = p.r.appendProse(p.b, t)
	}
}

func (p *page) inline(t prose.Text) {
	if !t.Empty() {
		p.b = p.r.appendProseInline(p.b, t)
	}
}

// newPage begins a page of the given kind; finish ends it.
func newPage(r *Renderer, kind string, h Head) *page {
	return &page{r: r, kind: kind, head: h, b: make([]byte, 0, 64<<10), seen: map[string]int{}}
}

// namedPage gives the class of a run of paper pages that carry their own text
// at the bottom left.
func (p *page) namedPage(bottomLeft string) string {
	p.named = append(p.named, bottomLeft)
	return "run-" + strconv.Itoa(len(p.named))
}

// finish writes the whole page: the head, which knows by now what the body
// needs, the body, and the scripts.
func (p *page) finish(w io.Writer, title string, scripts ...string) error {
	body := p.b
	p.b = make([]byte, 0, len(body)+4<<10)
	p.raw("<!DOCTYPE html>\n<html lang=\"en-GB\">\n<head>\n<meta charset=\"utf-8\">\n",
		"<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n",
		"<meta name=\"color-scheme\" content=\"light dark\">\n<title>")
	p.text(title)
	p.raw("</title>\n")
	if p.head.Inline == nil {
		p.raw("<link rel=\"stylesheet\" href=\"")
		p.attr(p.head.Assets)
		p.raw("style.css\">\n")
	} else {
		p.raw("<style>\n", p.head.Inline.Style, "</style>\n")
	}
	p.raw("<style>\n")
	p.printRules()
	p.raw("</style>\n</head>\n<body class=\"", p.kind)
	if p.head.Large {
		p.raw(" large")
	}
	p.raw("\"")
	if p.head.Code != "" {
		p.raw(" data-form=\"")
		p.attr(p.head.Code)
		p.raw("\" data-course=\"")
		p.attr(p.head.CourseID)
		p.raw("\"")
	}
	p.raw(">\n")
	p.raw(string(body))
	if p.charts {
		scripts = append([]string{"echarts.min.js", "chart.js"}, scripts...)
	}
	for _, s := range scripts {
		if p.head.Inline != nil {
			p.raw("<script>\n", p.head.Inline.Scripts[s], "</script>\n")
			continue
		}
		p.raw("<script src=\"")
		p.attr(p.head.Assets)
		p.raw(s, "\"></script>\n")
	}
	p.raw("</body>\n</html>\n")
	_, err := w.Write(p.b)
	return err
}

// printRules writes what stands in the margins of the paper. How it looks is
// in the shared style sheet.
func (p *page) printRules() {
	paper := p.head.Paper
	if paper == "" {
		paper = A4
	}
	p.raw("@page { size: ", string(paper), " portrait;\n")
	p.marginBox("top-left", p.print.topLeft)
	p.marginBox("top-center", p.print.topMiddle)
	p.marginBox("top-right", p.print.topRight)
	p.marginBox("bottom-left", p.print.bottomLeft)
	p.raw("  @bottom-right { content: \"page \" counter(page) \" of \" counter(pages) }\n}\n")
	if p.head.Large {
		p.raw("@page { margin: 23mm 16mm 21mm;\n")
		for _, at := range []string{"top-left", "top-center", "top-right", "bottom-left", "bottom-right"} {
			p.raw("  @", at, " { font-size: 13pt }\n")
		}
		p.raw("}\n")
	}
	for i, s := range p.named {
		name := "run-" + strconv.Itoa(i+1)
		p.raw("@page ", name, " {\n")
		p.marginBox("bottom-left", s)
		p.raw("}\n.", name, " { page: ", name, " }\n")
	}
}

func (p *page) marginBox(at, s string) {
	if s != "" {
		p.raw("  @", at, " { content: ", cssString(s), " }\n")
	}
}

// cssString quotes s for a style sheet inside a page: neither the string nor
// the style element can be left from within.
func cssString(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, c := range s {
		switch {
		case c == '"' || c == '\\' || c == '<' || c == '>' || c == '&' || c < ' ' || c == 0x7f:
			b.WriteString("\\" + strconv.FormatInt(int64(c), 16) + " ")
		default:
			b.WriteRune(c)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// scroll opens the wrapper of a table that may be wider than a small screen. A
// wrapper without fields in it takes the focus itself, so that the keyboard can
// move it.
func (p *page) scroll(name string, fields bool) {
	p.raw("<div class=\"scroll\"")
	if !fields {
		p.raw(" tabindex=\"0\" role=\"group\" aria-label=\"")
		p.attr(name)
		p.raw("\"")
	}
	p.raw(">")
}

// id makes an id that is unique on the page from parts that are safe already
// or are made so: "x3-face-1".
func (p *page) id(parts ...string) string {
	id := cleanID(strings.Join(parts, "-"))
	p.seen[id]++
	if n := p.seen[id]; n > 1 {
		id += "-again-" + strconv.Itoa(n)
	}
	return id
}

func cleanID(s string) string {
	return strings.Map(func(c rune) rune {
		switch {
		case c >= 'a' && c <= 'z', c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '-', c == '_':
			return c
		}
		return '-'
	}, s)
}

// count says "1 mark" or "3 marks".
func count(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return strconv.Itoa(n) + " " + many
}
