package main

import (
	"bytes"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/generator"
	"loopdrill/scenarios"
	"loopdrill/scenarios/shipped"
)

// benchCourse is the shipped course with tasks at the bench, and its exercises
// of that family.
const benchCourse = "permit-to-record"

const benchTasks = "bench-zero,bench-check,bench-loop"

func benchDrawer(t *testing.T) *generator.Drawer {
	t.Helper()
	fsys, err := shipped.Course(benchCourse)
	if err != nil {
		t.Fatal(err)
	}
	course, ds := scenarios.ReadCourse(fsys, families.Vocabulary())
	if course == nil {
		t.Fatal(ds)
	}
	drawer, ds := generator.Prepare(course, families.Named)
	if drawer == nil {
		t.Fatal(ds)
	}
	return drawer
}

// benchTexts are the sentences of a bench card that tell what was set up, and
// what is watched.
func benchTexts(f *exercises.Form) []string {
	var out []string
	for _, d := range f.Items {
		b := d.Item.Key.Bench
		if b == nil {
			continue
		}
		out = append(out, d.Item.Key.Fault, b.Stop.Plain())
		for _, s := range b.Setup {
			out = append(out, s.Plain())
		}
		for _, s := range b.PutBack {
			out = append(out, s.Plain())
		}
		for _, s := range b.Steps {
			out = append(out, s.Text)
		}
		for _, r := range b.Readings {
			out = append(out, r.Caption.Plain(), r.Within.Plain())
		}
	}
	return out
}

// TestBenchStaysInKeep: with nonsense in the place of keys and bench cards no
// byte of a workbook changes for a task at the bench, on assessments and on
// practice, and none of the card's sentences stands in one.
func TestBenchStaysInKeep(t *testing.T) {
	drawer := benchDrawer(t)
	r := rand.New(rand.NewPCG(6, 17))
	forms := 60
	if testing.Short() {
		forms = 12
	}
	for n := 1; n <= forms; n++ {
		for _, c := range []struct {
			src     generator.Source
			purpose exercises.Purpose
		}{{testSecret, exercises.Assessment}, {generator.Source{Seed: "bench"}, exercises.Practice}} {
			form, err := drawer.Form(c.src, c.purpose, n, nil)
			if err != nil {
				t.Fatal(err)
			}
			before, texts := workbook(t, form), benchTexts(form)
			if len(texts) < 60 {
				t.Fatalf("only %d sentences of bench cards", len(texts))
			}
			for _, s := range texts {
				if strings.Contains(string(before), s) {
					t.Errorf("form %d for %s: the workbook holds %q of a bench card", n, c.purpose, s)
				}
			}
			for i := range form.Items {
				if form.Items[i].Item.Key.Bench != nil {
					scramble(r, &form.Items[i].Item)
				}
			}
			if !bytes.Equal(before, workbook(t, form)) {
				t.Errorf("form %d for %s: the workbook changes with what is on the bench", n, c.purpose)
			}
		}
	}
}

// TestBenchBuiltWatchedMarked goes the whole way of a practical task: build,
// cards and sheets in the keep folder alone, the table of observed steps filled
// in as an assessor would, answers marked, and the record.
func TestBenchBuiltWatchedMarked(t *testing.T) {
	a := assessor{t, t.TempDir()}
	a.put("class.csv", "number,name\n1,Kari Lindqvist\n2,Ömer Şahin\n3,Tuva Ek\n")
	a.runs(exitFine, "build", benchCourse, "--class", a.path("class.csv"), "--only", benchTasks, "--seed", "bench", "--out", a.path("made"))
	finder, _, _ := app{Stdout: &bytes.Buffer{}, Stderr: &bytes.Buffer{}}.setting(markOrder{build: a.path("made")})
	forms, err := finder.built(t.Context(), 0, exercises.Practice)
	if err != nil || len(forms) != 3 || len(forms[0].Items) != 3 {
		t.Fatalf("%v, %d forms", err, len(forms))
	}
	for _, f := range forms {
		for _, kind := range []string{"bench-cards", "observation-sheets"} {
			name := one(t, a.path("made"), "keep/"+kind+"-*"+f.Code+".html")
			a.has("made/start.html", name)
			a.has("made/"+name, "Assessor only", f.Code, f.Person.Name)
			for _, d := range f.Items {
				a.has("made/"+name, d.Item.Key.Bench.Loop)
			}
		}
		a.has("made/"+one(t, a.path("made"), "keep/observation-sheets-*"+f.Code+".html"), f.Items[2].Item.Key.Bench.Steps[1].Text, "critical")
	}
	a.has("made/start.html", "keep/observed.csv")
	handedOut(t, a.path("made/hand-out"), func(name, text string) {
		for _, f := range forms {
			for _, s := range benchTexts(f) {
				if strings.Contains(text, s) {
					t.Errorf("%s holds %q of a bench card", name, s)
				}
			}
		}
	})

	// The assessor: Kari did everything, Ömer was told to tell the operator, of
	// Tuva the first task only was seen, and it was broken off.
	rows := a.table("made/keep/observed.csv")
	steps := 0
	for _, f := range forms {
		for _, d := range f.Items {
			steps += len(d.Item.Key.Bench.Steps)
		}
	}
	if len(rows) != steps || rows[0]["person"] != "Kari Lindqvist" {
		t.Fatalf("%d rows for %d steps: %v", len(rows), steps, rows[0])
	}
	columns := strings.Split(strings.TrimSpace(strings.SplitN(a.read("made/keep/observed.csv"), "\n", 2)[0]), ",")
	table := strings.Join(columns, ",") + "\n"
	for _, r := range rows {
		switch {
		case r["form"] == forms[2].Code && r["task"] != forms[2].Items[0].BenchTask():
			continue // stays as it was: says nothing
		case r["form"] == forms[1].Code && strings.HasPrefix(r["step"], "Told the operator"):
			r["result"], r["words"] = "prompted", "Who else must know of this?"
		default:
			r["result"] = "done"
		}
		r["assessor"], r["date"], r["identity"] = "MB", "9 June", "work pass"
		if r["form"] == forms[2].Code {
			r["stopped"] = "lead on before the operator was told"
		}
		var cells []string
		for _, c := range columns {
			cells = append(cells, `"`+strings.ReplaceAll(r[c], `"`, `""`)+`"`)
		}
		table += strings.Join(cells, ",") + "\n"
	}
	a.put("in/observed.csv", table)
	perfect := apprentice{r: rand.New(rand.NewPCG(1, 1)), skill: 1}
	for i, f := range forms {
		a.put("in/"+[]string{"1.json", "2.json", "3.json"}[i], string(answerJSON(t, f, f.Person.Name, perfect.works(f))))
	}
	stdout, stderr := a.runs(exitFine, "mark", a.path("in"), "--build", a.path("made"), "--out", a.path("marks"))
	if !strings.Contains(stdout, "3 passed") || stderr != "" {
		t.Errorf("%s%s", stdout, stderr)
	}
	record := func(n int) string {
		return "marks/" + one(t, a.path("marks"), "keep/record-*"+forms[n].Code+".html")
	}
	first := forms[0].Items[0]
	a.has(record(0), "Record of competence", first.BenchTask(), first.Item.Key.Bench.Steps[3].Text, "work pass", "Passed")
	a.has(record(1), "Evidence towards competence", "Who else must know of this?", "Not yet")
	a.has(record(2), "Evidence towards competence", "lead on before the operator was told")
	for _, r := range a.table("marks/keep/marks.csv") {
		if r["marks"] != r["out of"] {
			t.Errorf("marks %v", r)
		}
	}
	// Practice after marking leaves the bench out, and the table for the next
	// assessor is there again, empty.
	if names, _ := filepath.Glob(a.path("marks/hand-out/practice-*")); len(names) > 0 {
		t.Errorf("practice of a bench without a card: %v", names)
	}
	if again := a.table("marks/keep/observed.csv"); len(again) != steps || again[0]["result"] != "" {
		t.Errorf("%d rows: %v", len(again), again[0])
	}
	// As the build left it, the table says nothing and disturbs nothing.
	a.put("in/observed.csv", a.read("made/keep/observed.csv"))
	a.runs(exitFine, "mark", a.path("in"), "--build", a.path("made"), "--out", a.path("marks"))
	a.has(record(0), "Evidence towards competence", "No practical task was observed")
}

// handedOut calls f for every text that an apprentice gets.
func handedOut(t *testing.T, folder string, f func(name, text string)) {
	t.Helper()
	n := 0
	err := fs.WalkDir(os.DirFS(folder), ".", func(name string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() || strings.HasPrefix(name, "assets/") {
			return err
		}
		b, err := fs.ReadFile(os.DirFS(folder), name)
		f(name, string(b))
		n++
		return err
	})
	if err != nil || n == 0 {
		t.Fatalf("%d files: %v", n, err)
	}
}

// TestBenchPagesInBrowser opens bench cards, observation sheets and the start
// page that leads to them: links that lead somewhere, a screen of 320 pixels,
// who may see it on every sheet of paper, nothing wider than the paper.
func TestBenchPagesInBrowser(t *testing.T) {
	folder := builtWith(t, benchCourse)
	b := openBrowser(t, folder)
	for pattern, always := range map[string]string{"keep/bench-cards-01-*.html": "Assessor only", "keep/observation-sheets-01-*.html": "Assessor only", "start.html": "keep"} {
		name := one(t, folder, pattern)
		p := b.open(t, name)
		p.narrow(t, 320)
		p.links(t, name)
		for _, s := range sheetTroubles(p.paper(t), always) {
			t.Errorf("%s on paper: %s", name, s)
		}
		for _, s := range p.beyondPaper(t, 178) {
			t.Errorf("%s on paper: %s", name, s)
		}
		for _, s := range p.heard() {
			t.Errorf("%s: %s", name, s)
		}
	}
}
