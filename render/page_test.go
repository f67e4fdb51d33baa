package render

import (
	"bytes"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/render/sample"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// samplePages writes every kind of page of a form of n exercises.
func samplePages(t *testing.T, purpose exercises.Purpose, n int) map[string]string {
	t.Helper()
	f := sample.Form(purpose, 1, n)
	return formPages(t, f)
}

func formPages(t *testing.T, f *exercises.Form) map[string]string {
	t.Helper()
	r := NewRenderer()
	start := StartOf(f.Course, []*exercises.Form{f}, func(f *exercises.Form) StartForm {
		return StartForm{Number: f.Number, Code: f.Code, Workbook: "w.html", Key: "k.html", MarkSheet: "m.html"}
	})
	pages := map[string]string{}
	for name, write := range map[string]func(io.Writer) error{
		"workbook":   func(w io.Writer) error { return r.Workbook(w, WorkbookOf(f)) },
		"key":        func(w io.Writer) error { return r.Key(w, KeyOf(f)) },
		"mark sheet": func(w io.Writer) error { return r.MarkSheet(w, MarkSheetOf(f)) },
		"start":      func(w io.Writer) error { return r.Start(w, start) },
	} {
		var b bytes.Buffer
		if err := write(&b); err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		pages[name] = b.String()
	}
	return pages
}

// blank takes everything out of the keys of a form.
func blank(f *exercises.Form) {
	for i := range f.Items {
		f.Items[i].Item.Key = exercises.Key{Fault: "nothing was wrong", Parts: []exercises.PartKey{{Label: "z"}}}
	}
}

// An assessment is written from a value without keys, so whatever stands in
// the keys of its form cannot change a byte of what apprentices get.
func TestAssessmentDoesNotDependOnItsKey(t *testing.T) {
	with, without := sample.Form(exercises.Assessment, 1, 8), sample.Form(exercises.Assessment, 1, 8)
	blank(without)
	a, b := formPages(t, with), formPages(t, without)
	for _, name := range []string{"workbook", "mark sheet", "start"} {
		if a[name] != b[name] {
			t.Errorf("the %s changes with the key", name)
		}
	}
	if a["key"] == b["key"] {
		t.Error("the key does not change with the key: this test sees nothing")
	}
	for _, l := range WorkbookOf(with).Lessons {
		for _, s := range l.Sheets {
			if s.Solution != nil {
				t.Errorf("exercise %d of an assessment holds its key", s.Number)
			}
		}
	}
}

func TestSeedStaysOutOfAssessments(t *testing.T) {
	f := sample.Form(exercises.Assessment, 1, 4)
	f.Seed = "seed-4711"
	for name, page := range formPages(t, f) {
		if strings.Contains(page, "seed-4711") {
			t.Errorf("the %s of an assessment prints the seed", name)
		}
	}
	f = sample.Form(exercises.Practice, 1, 4)
	f.Seed = "seed-4711"
	pages := formPages(t, f)
	for _, name := range []string{"workbook", "key", "start"} {
		if !strings.Contains(pages[name], "seed-4711") {
			t.Errorf("the practice %s does not print the seed", name)
		}
	}
}

// What stands in the margins of the paper is in the style of the page.
func TestMargins(t *testing.T) {
	pages := samplePages(t, exercises.Practice, 4)
	for _, row := range []struct {
		page string
		want []string
		not  string
	}{
		{"workbook", []string{`@top-left { content: "Needle and numbers: a sample of every page" }`, `@top-right { content: "Form P7KX-Q2M1" }`, `counter(page) " of " counter(pages)`, `"Lesson 2, Reading the needle"`}, assessorOnly},
		{"key", []string{`@top-center { content: "Assessor only" }`, `@top-right { content: "Form P7KX-Q2M1" }`, `counter(pages)`}, ""},
		{"mark sheet", []string{`"Form P7KX-Q2M1"`, `counter(pages)`}, ""},
		{"start", []string{`"For the instructor: keep"`, `counter(pages)`}, ""},
	} {
		page := pages[row.page]
		for _, want := range row.want {
			if !strings.Contains(page, want) {
				t.Errorf("%s: no %s", row.page, want)
			}
		}
		if row.not != "" && strings.Contains(page, row.not) {
			t.Errorf("%s: says %q", row.page, row.not)
		}
	}
}

func TestCSSString(t *testing.T) {
	for _, row := range []struct{ name, in, want string }{
		{"plain", "Level 1", `"Level 1"`},
		{"letters beyond ASCII", "Pegel für Öl", `"Pegel für Öl"`},
		{"quote and backslash", `a"b\c`, `"a\22 b\5c c"`},
		{"end of the style element", "</style>", `"\3c /style\3e "`},
		{"line feed", "a\nb", `"a\a b"`},
	} {
		if got := cssString(row.in); got != row.want {
			t.Errorf("%s: %s, want %s", row.name, got, row.want)
		}
	}
}

// No text of a course can leave its place.
func TestHostileText(t *testing.T) {
	const evil = `"><script>alert(1)</script></style>'&lt;`
	f := sample.Form(exercises.Practice, 1, 4)
	c := f.Course
	c.Title, c.Purpose, f.Code, f.Seed = evil, evil, evil, evil
	c.Plants[0].Name, c.Plants[0].Trade, c.Plants[0].Loops[0].Tag, c.Plants[0].Loops[0].Service = evil, evil, evil, evil
	c.Lessons[0].Title, c.Exercises[0].Title = evil, evil
	for i := range f.Items {
		s := &f.Items[i].Item.Sheet
		for j := range s.Parts {
			s.Parts[j].Label += evil
			for k := range s.Parts[j].Boxes {
				s.Parts[j].Boxes[k].Name, s.Parts[j].Boxes[k].Unit = evil, evil
			}
		}
		f.Items[i].Item.Key.Fault = evil
	}
	for name, page := range formPages(t, f) {
		if strings.Contains(page, "<script>") || strings.Count(page, "</style>") != 1 {
			t.Errorf("%s: text of the course became markup", name)
		}
		sound(t, name, page)
	}
}

func TestPagesAreSound(t *testing.T) {
	for _, purpose := range []exercises.Purpose{exercises.Practice, exercises.Assessment} {
		for name, page := range samplePages(t, purpose, 16) {
			sound(t, string(purpose)+" "+name, page)
		}
	}
}

var (
	tag       = regexp.MustCompile(`<(/?)([a-zA-Z][a-zA-Z0-9]*)((?:[^>"']|"[^"]*"|'[^']*')*)>`)
	attribute = regexp.MustCompile(`([a-zA-Z-]+)="([^"]*)"`)
	void      = []string{"meta", "link", "input", "br", "hr", "img", "path", "use", "circle", "line", "rect", "polygon"}
)

// sound checks what a page must hold whatever is on it: elements closed in
// order, ids unique, every reference with its target, every field with its
// name, no address outside the folder.
func sound(t *testing.T, name, page string) {
	t.Helper()
	var open []string
	ids, refs := map[string]bool{}, map[string]bool{}
	labelled := map[string]bool{}
	type field struct{ id, label string }
	var fields []field
	for _, m := range tag.FindAllStringSubmatch(page, -1) {
		closing, element, rest := m[1] == "/", m[2], m[3]
		if closing {
			if len(open) == 0 || open[len(open)-1] != element {
				t.Errorf("%s: </%s> closes %v", name, element, open[max(0, len(open)-3):])
				return
			}
			open = open[:len(open)-1]
			continue
		}
		if !slices.Contains(void, element) && !strings.HasSuffix(rest, "/") {
			open = append(open, element)
		}
		a := map[string]string{}
		for _, kv := range attribute.FindAllStringSubmatch(rest, -1) {
			a[kv[1]] = kv[2]
		}
		if id, ok := a["id"]; ok {
			if ids[id] || id == "" || strings.ContainsAny(id, " \t\n") {
				t.Errorf("%s: id %q is used twice or is none", name, id)
			}
			ids[id] = true
		}
		for _, key := range []string{"for", "aria-labelledby", "aria-describedby"} {
			if a[key] != "" {
				refs[a[key]] = true
			}
		}
		if target, ok := strings.CutPrefix(a["href"], "#"); ok {
			refs[target] = true
		}
		if element == "label" {
			labelled[a["for"]] = true
		}
		// A field inside its label needs no id.
		if (element == "input" || element == "textarea") && !slices.Contains(open, "label") {
			fields = append(fields, field{a["id"], a["aria-label"]})
		}
		for _, key := range []string{"src", "href", "action"} {
			if strings.Contains(a[key], "//") {
				t.Errorf("%s: refers to %s", name, a[key])
			}
		}
	}
	if len(open) > 0 {
		t.Errorf("%s: not closed: %v", name, open)
	}
	for ref := range refs {
		if !ids[ref] {
			t.Errorf("%s: nothing has the id %q", name, ref)
		}
	}
	for _, f := range fields {
		if f.label == "" && !labelled[f.id] {
			t.Errorf("%s: field %q has no label", name, f.id)
		}
	}
}

func TestEveryBoxIsOnThePage(t *testing.T) {
	f := sample.Form(exercises.Assessment, 1, 4)
	page := formPages(t, f)["workbook"]
	for _, d := range f.Items {
		for _, part := range d.Item.Sheet.Parts {
			for _, b := range part.Boxes {
				n := strings.Count(page, ` name="`+string(rune('0'+d.Exercise.Number))+"."+b.ID+`"`)
				if want := max(1, len(b.Options)); n != want {
					t.Errorf("box %s of exercise %d stands %d times on the page, want %d", b.ID, d.Exercise.Number, n, want)
				}
			}
		}
	}
}

// A workbook of 16 exercises stays below 400 kB without the shared assets.
func TestWorkbookSize(t *testing.T) {
	if n := len(samplePages(t, exercises.Practice, 16)["workbook"]); n >= 400_000 {
		t.Errorf("a workbook of 16 exercises has %d bytes", n)
	}
}

func TestSameBytes(t *testing.T) {
	first := samplePages(t, exercises.Practice, 8)
	for name, page := range samplePages(t, exercises.Practice, 8) {
		if page != first[name] {
			t.Errorf("the %s is another one the second time", name)
		}
	}
}

// Lessons can set the formulas that the reader of courses lets through, and no
// other; each is on the reference page.
func TestFormulasOfLessons(t *testing.T) {
	var want, got []string
	for _, f := range scenarios.LessonFormulas() {
		want = append(want, f.Name)
	}
	for _, f := range tradeFormulas(signal.Current) {
		got = append(got, f.id)
	}
	slices.Sort(want)
	slices.Sort(got)
	if !slices.Equal(got, want) {
		t.Errorf("formulas on pages: %v, formulas that lessons may name: %v", got, want)
	}
}

// The formulas of the reference page give what hand calculation gives.
func TestReferenceFormulas(t *testing.T) {
	env := formula.Env(signal.Current.Bind()).With(
		formula.Binding{Sym: "I", V: formula.Decimal(96, 1)},
		formula.Binding{Sym: "I_ideal", V: formula.Int(12)},
		formula.Binding{Sym: "x", V: formula.Int(35)},
		formula.Binding{Sym: "V_0", V: formula.Int(-2)}, formula.Binding{Sym: "V_100", V: formula.Int(8)},
		formula.Binding{Sym: "Q_100", V: formula.Int(60)}, formula.Binding{Sym: "Δp", V: formula.Int(5)}, formula.Binding{Sym: "Δp_100", V: formula.Int(20)},
		formula.Binding{Sym: "e_0", V: formula.Decimal(-6, 1)}, formula.Binding{Sym: "e_100", V: formula.Decimal(4, 1)},
		formula.Binding{Sym: "R", V: formula.Int(250)},
	)
	for _, row := range []struct {
		id   string
		want formula.Value
		by   string
	}{
		{"percent", formula.Int(35), "(9.6 - 4)/16"},
		{"signal", formula.Decimal(96, 1), "4 + 0.35 x 16"},
		{"value", formula.Decimal(15, 1), "-2 + 0.35 x 10"},
		{"value-reverse", formula.Decimal(45, 1), "8 - 0.35 x 10"},
		{"flow-root", formula.Int(30), "60 x root of 1/4"},
		{"span-error", formula.Int(-15), "(9.6 - 12)/16"},
		{"zero-error", formula.Decimal(-6, 1), "given"},
		{"span-error-of-range", formula.Int(1), "0.4 - (-0.6)"},
		{"drop", formula.Decimal(24, 1), "9.6 mA x 250 ohm"},
	} {
		f, ok := tradeFormulaOf(row.id, signal.Current)
		if got := f.def.Eval(env); !ok || !got.Equal(row.want) {
			t.Errorf("%s: %s, want %s (%s)", row.id, got.Text(4), row.want.Text(4), row.by)
		}
	}
}

// The live-zero table of the reference page is computed; the figures wanted
// are the ends of IEC 60381-1, 60381-2, 60382 and ISA-S7.4 and the quarters
// between them, by hand.
func TestLiveZeroTable(t *testing.T) {
	p := newPage(NewRenderer(), "workbook", Head{})
	p.liveZeroTable()
	for _, row := range []string{
		"4–20\u00a0mA</th><td>4\u00a0mA</td><td>8\u00a0mA</td><td>12\u00a0mA</td><td>16\u00a0mA</td><td>20\u00a0mA</td>",
		"1–5\u00a0V</th><td>1\u00a0V</td><td>2\u00a0V</td><td>3\u00a0V</td><td>4\u00a0V</td><td>5\u00a0V</td>",
		"20–100\u00a0kPa</th><td>20\u00a0kPa</td><td>40\u00a0kPa</td><td>60\u00a0kPa</td><td>80\u00a0kPa</td><td>100\u00a0kPa</td>",
		"3–15\u00a0psi</th><td>3\u00a0psi</td><td>6\u00a0psi</td><td>9\u00a0psi</td><td>12\u00a0psi</td><td>15\u00a0psi</td>",
	} {
		if !strings.Contains(string(p.b), row) {
			t.Errorf("the table lacks %s", row)
		}
	}
}

func TestPassMark(t *testing.T) {
	for _, row := range []struct{ marks, percent, want int }{
		{72, 70, 51}, // 50.4 rounds up
		{10, 70, 7}, {100, 100, 100}, {3, 1, 1}, {0, 70, 0},
	} {
		if got := passMarks(row.marks, row.percent); got != row.want {
			t.Errorf("%d %% of %d: %d, want %d", row.percent, row.marks, got, row.want)
		}
	}
}
