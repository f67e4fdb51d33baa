package scenarios

import (
	"bytes"
	"fmt"
	"regexp"
	"strings"
	"unicode/utf8"

	"github.com/yuin/goldmark/ast"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/prose"
)

// LessonFormula is a formula that a lesson may set with a block "formula".
type LessonFormula struct {
	Name string
	Says string
	fits func(l *Loop) string // what a loop lacks for it, or ""
}

// LessonFormulas lists them.
func LessonFormulas() []LessonFormula { return lessonFormulas }

var lessonFormulas = []LessonFormula{
	{Name: "percent", Says: "percent of span from the signal"},
	{Name: "signal", Says: "the signal from percent of span"},
	{Name: "value", Says: "the value from the signal, direct action", fits: func(l *Loop) string {
		return when(l.Action == Reverse, `is reverse-acting; the formula is "value-reverse"`)
	}},
	{Name: "value-reverse", Says: "the value from the signal, reverse action", fits: func(l *Loop) string {
		return when(l.Action == Direct, `is direct-acting; the formula is "value"`)
	}},
	{Name: "flow-root", Says: "flow from differential pressure", fits: func(l *Loop) string {
		return when(l.Root == NoRoot, "has no square root")
	}},
	{Name: "span-error", Says: "error in percent of span, from indicated and ideal value"},
	{Name: "drop", Says: "the voltage that a current makes across a resistor", fits: func(l *Loop) string {
		return when(l.Pneumatic(), "has no current")
	}},
	{Name: "zero-error", Says: "zero error: the error at 0 %"},
	{Name: "span-error-of-range", Says: "span error: the error at 100 % less that at 0 %"},
}

func when(is bool, s string) string {
	if is {
		return s
	}
	return ""
}

// LessonBlock describes a fenced block of ours that a lesson may hold.
type LessonBlock struct {
	Kind     BlockKind
	Argument string // what stands behind the name in the first line, "" for nothing
	Body     Body
	Says     string
	Example  string
}

// Body says what stands between the fences of a block.
type Body int

// The bodies.
const (
	NoBody        Body = iota
	MarkdownBody       // running text
	YAMLBody           // keys
	MaybeYAMLBody      // keys, or nothing
)

// LessonBlocks lists the blocks.
func LessonBlocks() []LessonBlock { return lessonBlocks }

var lessonBlocks = []LessonBlock{
	{BlockGoals, "", MarkdownBody, "what an apprentice can do after the lesson, as a list", "```goals\n- read the needle as low or high, and by how much\n```"},
	{BlockCaution, "the id of a caution", NoBody, "one of the shared cautions", "```caution practice-figures\n```"},
	{BlockFace, "", YAMLBody, "a meter face with its needle", "```face\nlever: Current\nring: 50 %\nneedle: 13 left\ncaption: The output is low by 1.3 % of span.\n```"},
	{BlockFormula, "the name of a formula", MaybeYAMLBody, "a formula of the trade, with the numbers of a loop if one is named", "```formula percent\nloop: LT-2104\n```"},
	{BlockReadings, "", YAMLBody, "a table of readings", "```readings\nloop: LT-2104\npoints:\n  - {input: 0 %, error: -0.6 %span}\n  - {input: 100 %, error: -0.6 %span}\n```"},
	{BlockChart, "", YAMLBody, "an error chart", "```chart\nloop: LT-2104\npoints:\n  - {input: 0 %, error: -0.6 %span}\n  - {input: 100 %, error: 0.4 %span}\n```"},
	{BlockExample, "a title", MarkdownBody, "a worked example", "```example A low zero\nThe needle stands 13 small marks left of the centre.\n```"},
	{BlockCheckYourself, "", MarkdownBody, "questions to think over, as a list", "```check-yourself\n- Which screw first?\n```"},
}

var fenceLine = regexp.MustCompile("^( {0,3})(`{3,}|~{3,})[ \t]*(.*?)[ \t]*$")

// lesson reads the Markdown of a lesson into l.
func (r *reader) lesson(l *Lesson, where diag.Place) {
	f := r.open(l.File, &where)
	if f == nil {
		return
	}
	from := f.lessonTitle(l)
	if from < 0 || f.tooMuch() {
		return
	}
	start := from
	for i := from; i < len(f.lines); i++ {
		m := fenceLine.FindStringSubmatch(f.lines[i])
		if m == nil {
			f.indented(i)
			continue
		}
		end, closed := f.fenceEnd(i, m[2])
		word, argument, _ := strings.Cut(m[3], " ")
		if m[1] != "" && isBlock(word) {
			f.indented(i)
			i = end
			continue
		}
		if !isBlock(word) {
			f.strangeFence(i, word)
			i = end
			continue
		}
		if !closed {
			f.err(RuleLessonBlock, f.line(i), fmt.Sprintf("this %s block is not closed", word), fmt.Sprintf("end it with a line %q", m[2]))
			return
		}
		f.prose(l, start, i)
		if b := f.lessonBlock(i, end, BlockKind(word), strings.TrimSpace(argument)); b != nil {
			l.Segments = append(l.Segments, Segment{Block: b})
		}
		start, i = end+1, end
	}
	f.prose(l, start, len(f.lines))
}

// lessonTitle takes the heading "# ..." that a lesson begins with and gives
// the line behind it. The heading is not part of the running text: pages print
// the title themselves. It gives -1 for a file without words.
func (f *file) lessonTitle(l *Lesson) int {
	for i, line := range f.lines {
		switch {
		case strings.TrimSpace(line) == "":
			continue
		case strings.HasPrefix(line, "# ") && strings.TrimSpace(line[2:]) != "":
			l.Title = prose.Text{Doc: prose.ParsePlain(strings.TrimSpace(strings.TrimRight(line[2:], "# ")))}.Plain()
			if utf8.RuneCountInString(l.Title) > longestText {
				f.err(RuleLessonTitle, f.line(i), fmt.Sprintf("the title has %d characters, at most %d fit", utf8.RuneCountInString(l.Title), longestText), "")
			}
			return i + 1
		}
		f.err(RuleLessonTitle, f.line(i), "a lesson begins with its title, but this line is none", `begin the file with a line such as "# The live zero"`)
		return i
	}
	f.err(RuleEmpty, f.all(), "the file is empty; it should hold a lesson in Markdown", `begin with a line such as "# The live zero"`)
	return -1
}

// line is the place of a whole line, counted from 0.
func (f *file) line(i int) diag.Place {
	text := f.lines[i]
	trimmed := strings.TrimSpace(text)
	indent := utf8.RuneCountInString(text[:len(text)-len(strings.TrimLeft(text, " \t"))])
	return diag.Place{File: f.path, Line: f.skip + i + 1, Column: indent + 1, Width: max(1, utf8.RuneCountInString(trimmed))}
}

// fenceEnd finds the line that closes the fence of line i, or the last line.
func (f *file) fenceEnd(i int, fence string) (end int, closed bool) {
	for j := i + 1; j < len(f.lines); j++ {
		m := fenceLine.FindStringSubmatch(f.lines[j])
		if m != nil && m[3] == "" && m[2][0] == fence[0] && len(m[2]) >= len(fence) {
			return j, true
		}
	}
	return len(f.lines) - 1, false
}

func isBlock(word string) bool {
	for _, k := range lessonBlocks {
		if string(k.Kind) == word {
			return true
		}
	}
	return false
}

func blockNames() []string {
	var out []string
	for _, k := range lessonBlocks {
		out = append(out, string(k.Kind))
	}
	return out
}

// strangeFence speaks up where a plain code block was probably meant to be one
// of ours.
func (f *file) strangeFence(i int, word string) {
	if word == "" {
		return
	}
	if near, ok := diag.Nearest(word, blockNames()); ok {
		f.err(RuleLessonBlock, f.line(i), fmt.Sprintf("there is no block %q", shorten(word)), fmt.Sprintf("did you mean %q?", near))
		return
	}
	f.warn(RuleLessonBlock, f.line(i), fmt.Sprintf("%q is no block of a lesson; it is printed as plain text", shorten(word)), "blocks: "+strings.Join(blockNames(), ", "))
}

// indented reports a block of ours that stands inside a list or a quotation,
// where it would be printed as code.
func (f *file) indented(i int) {
	t := strings.TrimLeft(f.lines[i], " \t>-*")
	if !strings.HasPrefix(t, "```") || t == f.lines[i] {
		return
	}
	word, _, _ := strings.Cut(strings.TrimSpace(strings.TrimLeft(t, "`")), " ")
	if isBlock(word) {
		f.err(RuleLessonBlock, f.line(i), fmt.Sprintf("the %s block is indented, or stands in a list or quotation", word), "begin it at the start of a line, with an empty line before it")
	}
}

// prose adds the running text of lines from..to-1.
func (f *file) prose(l *Lesson, from, to int) {
	if from >= to || strings.TrimSpace(strings.Join(f.lines[from:to], "")) == "" {
		return
	}
	l.Segments = append(l.Segments, Segment{Prose: f.markdown(from, to)})
}

// markdown parses lines from..to-1 and reports what no page takes over.
func (f *file) markdown(from, to int) *prose.Doc {
	d := prose.ParsePlain(strings.Join(f.lines[from:to], "\n"))
	place := func(offset int) diag.Place {
		line := bytes.Count(d.Source[:min(max(offset, 0), len(d.Source))], []byte("\n"))
		at := f.line(min(from+line, len(f.lines)-1))
		if begin := bytes.LastIndexByte(d.Source[:offset], '\n') + 1; offset >= begin {
			at.Column = utf8.RuneCount(d.Source[begin:offset]) + 1
			at.Width = 1
		}
		return at
	}
	_ = ast.Walk(d.Root, func(n ast.Node, entering bool) (ast.WalkStatus, error) {
		if !entering {
			return ast.WalkContinue, nil
		}
		if f.r.found[f.path] > mostFindings {
			return ast.WalkStop, nil
		}
		switch n := n.(type) {
		case *ast.HTMLBlock:
			if n.Lines().Len() == 0 || n.HTMLBlockType == ast.HTMLBlockType2 { // type 2: a remark
				break
			}
			f.warn(RuleRawHTML, place(n.Lines().At(0).Start), "HTML is left out of the pages", "write Markdown; \"<\" alone is written \"\\<\"")
		case *ast.RawHTML:
			if n.Segments.Len() == 0 || strings.HasPrefix(string(d.Source[n.Segments.At(0).Start:]), "<!--") {
				break
			}
			f.warn(RuleRawHTML, place(n.Segments.At(0).Start), "HTML is left out of the pages", "write Markdown; \"<\" alone is written \"\\<\"")
		case *ast.Image:
			f.err(RuleOutside, place(offsetOf(n)), "a picture cannot be put into a lesson", "draw it with a block: "+strings.Join([]string{"face", "chart", "readings"}, ", "))
		case *ast.Link:
			f.outside(string(n.Destination), place(offsetOf(n)))
		case *ast.AutoLink:
			f.err(RuleOutside, place(addressOf(n, d.Source)), fmt.Sprintf("%q leads to the network, where a workbook on paper or a stick cannot follow", shorten(string(n.URL(d.Source)))), "name the source in words")
		case *ast.Heading:
			if n.Level == 1 {
				at := place(offsetOf(n))
				f.warn(RuleLessonTitle, f.line(at.Line-f.skip-1), "a second title in one lesson", `write sections as "## ..."`)
			}
		}
		return ast.WalkContinue, nil
	})
	return d
}

func (f *file) outside(to string, at diag.Place) {
	if strings.HasPrefix(to, "#") {
		return
	}
	f.err(RuleOutside, at, fmt.Sprintf("the link to %q leads out of the page, where a workbook on paper or a stick cannot follow", shorten(to)), "name the source in words")
}

// addressOf finds where a bare address stands: the parser keeps no place.
func addressOf(n *ast.AutoLink, source []byte) int {
	for p := n.Parent(); p != nil; p = p.Parent() {
		if p.Type() == ast.TypeBlock && p.Lines() != nil && p.Lines().Len() > 0 {
			start := p.Lines().At(0).Start
			return start + max(0, strings.Index(string(source[start:]), string(n.Label(source))))
		}
	}
	return 0
}

// offsetOf finds where a node begins: inline nodes know it only of their text.
func offsetOf(n ast.Node) int {
	offset := -1
	_ = ast.Walk(n, func(c ast.Node, entering bool) (ast.WalkStatus, error) {
		if t, ok := c.(*ast.Text); ok && entering && offset < 0 {
			offset = t.Segment.Start
		}
		if offset >= 0 {
			return ast.WalkStop, nil
		}
		return ast.WalkContinue, nil
	})
	for p := n; offset < 0 && p != nil; p = p.Parent() {
		if p.Type() == ast.TypeBlock && p.Lines() != nil && p.Lines().Len() > 0 {
			offset = p.Lines().At(0).Start
		}
	}
	return max(offset, 0)
}
