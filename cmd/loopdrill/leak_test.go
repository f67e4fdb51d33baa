package main

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"runtime"
	"runtime/debug"
	"slices"
	"strings"
	"sync"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/generator"
	"loopdrill/render"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/shipped"
)

// shippedCourse reads the course inside the program.
func shippedCourse(t testing.TB) (*scenarios.Course, *generator.Drawer) {
	t.Helper()
	fsys, err := shipped.Course(shipped.Default)
	if err != nil {
		t.Fatal(err)
	}
	course, ds := scenarios.ReadCourse(fsys, families.Vocabulary())
	for _, d := range ds {
		t.Errorf("%s:%d: %s", d.At.File, d.At.Line, d.Summary)
	}
	if course == nil {
		t.Fatal("the shipped course cannot be read")
	}
	drawer, ds := generator.Prepare(course, families.Named)
	for _, d := range ds {
		t.Errorf("%s:%d: %s", d.At.File, d.At.Line, d.Summary)
	}
	if drawer == nil {
		t.Fatal("the shipped course cannot be drawn")
	}
	return course, drawer
}

var testSecret = generator.Source{Secret: bytes.Repeat([]byte{7}, 32), Seed: "1"}

func workbook(t testing.TB, f *exercises.Form) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := render.NewRenderer().Workbook(&b, render.WorkbookOf(f)); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestAssessmentHoldsNoAnswer is promise 6: with random values in the place of
// all answers, slips, working, charts and faults, the bytes of an assessment
// workbook do not change. The same change shows in a practice workbook, so the
// test can fail.
func TestAssessmentHoldsNoAnswer(t *testing.T) {
	forms := 10000
	if testing.Short() {
		forms = 60
	}
	_, drawer := shippedCourse(t)
	defer debug.SetGCPercent(debug.SetGCPercent(400)) // most of the time is the collector's otherwise
	var wg sync.WaitGroup
	workers := runtime.GOMAXPROCS(0)
	for w := range workers {
		wg.Go(func() {
			r := rand.New(rand.NewPCG(1, uint64(w)))
			for n := w + 1; n <= forms && !t.Failed(); n += workers {
				holdsNoAnswer(t, drawer, r, n)
			}
		})
	}
	wg.Wait()
	r := rand.New(rand.NewPCG(1, 2))
	form, err := drawer.Form(generator.Source{Seed: "x"}, exercises.Practice, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	before := workbook(t, form)
	scramble(r, &form.Items[0].Item)
	if bytes.Equal(before, workbook(t, form)) {
		t.Error("a practice workbook does not change with its key: this test cannot fail")
	}
}

// holdsNoAnswer scrambles the keys of one form of the test's secret.
func holdsNoAnswer(t *testing.T, drawer *generator.Drawer, r *rand.Rand, n int) {
	form, err := drawer.Form(testSecret, exercises.Assessment, n, nil)
	if err != nil {
		t.Error(err)
		return
	}
	before := workbook(t, form)
	var texts []string
	if n%40 == 1 { // looking for sentences costs ten times what the rest does
		texts = keyTexts(form)
	}
	for i := range form.Items {
		scramble(r, &form.Items[i].Item)
	}
	if !bytes.Equal(before, workbook(t, form)) {
		t.Errorf("form %d: the workbook changes with its key", n)
	}
	page := string(before)
	for _, s := range texts {
		if strings.Contains(page, s) {
			t.Errorf("form %d: the workbook holds %q of its key", n, s)
		}
	}
	for _, s := range []string{fmt.Sprintf("%x", testSecret.Secret), string(testSecret.Secret), "feedback", "Assessor only", "tolerance comes"} {
		if strings.Contains(page, s) {
			t.Errorf("form %d: the workbook holds %q", n, s)
		}
	}
}

// keyTexts lists the sentences of a key, and the printed workings, that the
// sheets do not print themselves.
func keyTexts(f *exercises.Form) []string {
	var out []string
	add := func(t prose.Text) {
		if s := t.Plain(); len(s) > 12 {
			out = append(out, s)
		}
	}
	for _, d := range f.Items {
		if d.Item.Key.Fault != "" {
			out = append(out, d.Item.Key.Fault)
		}
		for _, p := range d.Item.Key.Parts {
			add(p.Why)
			for _, s := range p.Working {
				add(s.Text)
				if s.Def != nil {
					out = append(out, s.Def.Lines(s.Env)[1])
				}
			}
			for _, s := range p.Slips {
				add(s.Feedback)
				out = append(out, s.Name)
			}
		}
	}
	return out
}

// scramble puts random values in the place of everything in a key.
func scramble(r *rand.Rand, item *exercises.Item) {
	number := func() formula.Value { return formula.Decimal(r.Int64N(1e6), 2) }
	text := prose.Text{Doc: prose.ParsePlain(fmt.Sprintf("nonsense %d", r.Uint64()))}
	def := func(d formula.Definition) formula.Definition {
		d.Expr = formula.Lit{V: number()}
		return d
	}
	k := &item.Key
	k.Fault, k.FaultName, k.Chart, k.Env = text.Plain(), text.Plain(), nil, nil
	if k.Bench != nil {
		k.Bench = &exercises.Bench{Loop: text.Plain(), Setup: []prose.Text{text}, Steps: []exercises.BenchStep{{Text: text.Plain(), Critical: r.IntN(2) == 0}}, Stop: text}
	}
	for i := range k.Parts {
		p, sheet := &k.Parts[i], item.Sheet.Parts[i]
		option := func(box string) string {
			for _, b := range sheet.Boxes {
				if b.ID == box && len(b.Options) > 0 {
					return b.Options[r.IntN(len(b.Options))].ID
				}
			}
			return ""
		}
		p.Why, p.Working = text, []exercises.Step{{Text: text}}
		for j := range p.Answers {
			a := &p.Answers[j]
			a.Value, a.Tolerance, a.Def, a.Option = number(), number(), def(a.Def), option(a.Box)
			a.Stop, a.Shows, a.Decide, a.Marks = !a.Stop, nil, nil, 0
			if a.Order != nil {
				steps := slices.Clone(a.Order.Steps)
				r.Shuffle(len(steps), func(x, y int) { steps[x], steps[y] = steps[y], steps[x] })
				a.Order = &exercises.Order{Steps: steps}
			}
		}
		for j := range p.Slips {
			s := &p.Slips[j]
			s.ID, s.Name, s.Feedback = "x", text.Plain(), text
			for m := range s.Answers {
				s.Answers[m].Value, s.Answers[m].Def, s.Answers[m].Option = number(), def(s.Answers[m].Def), option(s.Answers[m].Box)
				s.Answers[m].Order, s.Answers[m].Stop = nil, !s.Answers[m].Stop
			}
		}
		r.Shuffle(len(p.Slips), func(a, b int) { p.Slips[a], p.Slips[b] = p.Slips[b], p.Slips[a] })
		for j := range p.Credit {
			p.Credit[j].For = text
		}
	}
}
