package scenarios_test

import (
	"bytes"
	"fmt"
	"io/fs"
	"runtime"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// hostile are texts made to cost a parser time or memory, each as long as a
// lesson may be; a quarter of that under the race detector.
func hostile() map[string]string {
	const n = 95 << 10 / quarter
	steps := func(line string) string {
		var b strings.Builder
		for i := 0; b.Len() < n; i++ {
			b.WriteString(strings.Repeat(" ", i) + line + "\n")
		}
		return b.String()
	}
	out := map[string]string{"indents": steps("a:"), "nested list": steps("- a")}
	for name, unit := range map[string]string{
		"brackets": "[", "braces": "{a: ", "dashes": "- ", "list": "- a\n", "questions": "? ", "headings": "# a\n", "headings and keys": "# a\na: b\n",
		"long word": "a", "repeated keys": "a: b\n", "quote": "\"a ", "anchors": "- &a *a\n", "tags": "!a ", "documents": "--- a\n", "colons": ":",
		"empty lines": "\n", "setext headings": "a\n=\n", "quotations": ">", "quoted lines": "> a\n", "stars": "*a **a ", "underscores": "_a __a",
		"links": "[a](", "links in angles": "[a](<b", "back quotes": "`a ``", "fences": "```face\n", "tildes": "~~~\n", "html": "<a>",
		"html blocks": "<div>\n\n", "references": "[a]: b\n", "table rows": "|a|\n|-|\n", "addresses": "<http:a>", "pictures": "![a](b)",
		"entities": "&#1;", "faces": "```face\nlever: Rest\nneedle: 0\ncaption: x\n```\n", "charts": "```chart\npoints: [[[[[[\n```\n", "escapes": "\\*",
		"flow map": "{a: b, ", "literal": "a: |\n b\n", "carriage returns": "a: b\r",
	} {
		out[name] = strings.Repeat(unit, n/len(unit))
		// The same in lines that are short enough for a lesson.
		var b strings.Builder
		for b.Len() < n {
			for range 4 {
				b.WriteString(strings.Repeat(unit, max(1, 3900/len(unit))) + "\n")
			}
			b.WriteString("\n")
		}
		out[name+", in paragraphs"] = b.String()[:n]
	}
	return out
}

// TestHostileFiles holds the reader to 2 s and 200 MB a course whatever stands
// in a file (the best of four tries; more under the race detector).
func TestHostileFiles(t *testing.T) {
	for name, text := range hostile() {
		for _, at := range []string{"course.yaml", "plants/ferrow.yaml", "lessons/2-needle.md"} {
			fsys := base(t)
			body := text
			if strings.HasSuffix(at, ".md") {
				body = "# Title\n\n" + text
			}
			fsys[at] = &fstest.MapFile{Data: []byte(body)}
			limited(t, name+" as "+at, fsys)
		}
	}
}

func limited(t *testing.T, name string, fsys fs.FS) []diag.Diagnostic {
	t.Helper()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	start := time.Now()
	_, ds := scenarios.ReadCourse(fsys, vocabulary())
	var b bytes.Buffer
	if err := diag.Write(&b, diag.From(fsys), ds, false); err != nil {
		t.Fatal(err)
	}
	took := time.Since(start)
	runtime.ReadMemStats(&after)
	// A guard against what grows with the square of a file; not a measure of
	// speed, which depends on the machine.
	limit := 30 * time.Second
	if quarter != 1 {
		limit = 5 * time.Minute
	}
	// What was allocated in all is more than what was ever held. Under the
	// race detector pools throw away at random what they hold, so that it
	// says nothing.
	if mb := (after.TotalAlloc - before.TotalAlloc) >> 20; mb > 200 && quarter == 1 || took > limit {
		t.Errorf("%s: %v and %d MB", name, took, mb)
	}
	if len(ds) == 0 && !strings.HasSuffix(name, ".md") { // any text is Markdown
		t.Errorf("%s: nothing to say", name)
	}
	if testing.Verbose() && took > 300*time.Millisecond {
		t.Logf("%s: %v", name, took)
	}
	checkPlaces(t, fsys, ds)
	return ds
}

// TestLargeFile reads nothing of a file of 50 MB.
func TestLargeFile(t *testing.T) {
	for _, at := range []string{"course.yaml", "plants/ferrow.yaml", "lessons/2-needle.md"} {
		fsys := base(t)
		fsys[at] = &fstest.MapFile{Data: bytes.Repeat([]byte("a: b\n"), 10<<20)}
		if ds := limited(t, at, fsys); ds[0].Rule != scenarios.RuleFile {
			t.Errorf("%s: %+v", at, ds[0])
		}
	}
}

// growing is a file that reports a small size and never ends, as a pipe or a
// file that is written to meanwhile would.
type growing struct{ fstest.MapFS }

func (g growing) Open(name string) (fs.File, error) {
	f, err := g.MapFS.Open(name)
	if name == "plants/ferrow.yaml" {
		return endless{f}, err
	}
	return f, err
}

type endless struct{ fs.File }

func (endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = 'a'
	}
	return len(p), nil
}

func TestFileWithoutEnd(t *testing.T) {
	ds := limited(t, "endless", growing{base(t)})
	if ds[0].Rule != scenarios.RuleFile {
		t.Errorf("%+v", ds[0])
	}
}

// TestNamesOutsideAreNeverAsked looks at what a file system is asked for.
func TestNamesOutsideAreNeverAsked(t *testing.T) {
	names := []string{"../x.md", "/x.md", "..", "lessons/../../x.md", `..\x.md`, "lessons/./x.md", "lessons//x.md", "x.md\x00", "C:/x.md", "~/x.md/../../y.md"}
	for _, name := range names {
		asked := &asking{FS: fstest.MapFS{"course.yaml": {Data: fmt.Appendf(nil, "lessons: [{id: a, file: %q}]\nplants: [\"../a\"]\n", name)}}}
		scenarios.ReadCourse(asked, vocabulary())
		for _, a := range asked.names {
			if strings.Contains(a, "..") || strings.HasPrefix(a, "/") || strings.ContainsAny(a, "\\\x00") {
				t.Errorf("%q: asked for %q", name, a)
			}
		}
	}
}

type asking struct {
	fs.FS
	names []string
}

func (a *asking) Open(name string) (fs.File, error) {
	a.names = append(a.names, name)
	return a.FS.Open(name)
}
