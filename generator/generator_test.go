package generator

import (
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"hash"
	"io"
	"os"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
)

var update = flag.Bool("update", false, "rewrite the golden of form digests; an intended change also raises Version")

func testDrawer(t testing.TB) *Drawer {
	t.Helper()
	d, ds := Prepare(testCourse(), families.Named)
	for _, x := range ds {
		if x.Severity == "error" {
			t.Fatal(x.Summary)
		}
	}
	return d
}

// fingerprint lists everything of a form that a page could print, as text.
func fingerprint(f *exercises.Form) string {
	var b strings.Builder
	fmt.Fprintln(&b, f.Code, f.Purpose, f.Number, f.Seed, f.Version)
	for _, d := range f.Items {
		b.WriteString(itemPrint(d))
	}
	return b.String()
}

// itemPrint is the same for one exercise.
func itemPrint(d exercises.Drawn) string {
	var b strings.Builder
	s, k := d.Item.Sheet, d.Item.Key
	fmt.Fprintln(&b, d.Exercise.ID, s.Title, s.Intro.Plain(), s.Cautions, k.Fault)
	for _, g := range s.Figures {
		fmt.Fprint(&b, g.ID, g.Caption.Plain())
		if g.Face != nil {
			fmt.Fprint(&b, g.Face.Lever, g.Face.Ring, g.Face.Needle)
		}
		if g.Table != nil {
			fmt.Fprint(&b, g.Table.Columns, g.Table.Rows)
		}
		if g.Drawing != nil {
			fmt.Fprint(&b, *g.Drawing)
		}
		fmt.Fprintln(&b)
	}
	for i, p := range s.Parts {
		fmt.Fprintln(&b, p.Label, p.Prompt.Plain(), p.Marks)
		for _, box := range p.Boxes {
			for _, o := range box.Options {
				fmt.Fprint(&b, o.ID, " ", o.Text.Plain(), o.Figure, "|")
			}
		}
		key := k.Parts[i]
		for _, a := range key.Answers {
			fmt.Fprintln(&b, a.Box, a.Value.Text(6), a.Tolerance.Text(6), a.Option, a.Order, a.Stop)
			if a.Def.Expr != nil {
				fmt.Fprintln(&b, strings.Join(a.Def.Lines(a.Env), "|"))
			}
		}
		for _, sl := range key.Slips {
			fmt.Fprintln(&b, sl.ID, sl.Feedback.Plain())
			for _, a := range sl.Answers {
				fmt.Fprintln(&b, a.Box, a.Value.Text(6), a.Option, a.Order, a.Stop)
			}
		}
	}
	return b.String()
}

var secret = Source{Secret: []byte("0123456789abcdef0123456789abcdef"), Seed: "1"}

// TestGoldenForms pins what each source yields. Do not edit the golden: an
// intended change of any family, prompt or formula raises Version (and the
// family's own), and then -update rewrites it.
func TestGoldenForms(t *testing.T) {
	d := testDrawer(t)
	var b strings.Builder
	fmt.Fprintf(&b, "generator %s\n", Version)
	// One line an exercise, so that a new family adds lines and leaves the
	// others as they were.
	sums := make([]hash.Hash, len(d.plans))
	for i := range sums {
		sums[i] = sha256.New()
	}
	for n := 1; n <= 12; n++ {
		for _, c := range []struct {
			src     Source
			purpose exercises.Purpose
		}{{Source{Seed: "golden"}, exercises.Practice}, {secret, exercises.Assessment}} {
			f, err := d.Form(c.src, c.purpose, n, nil)
			if err != nil {
				t.Fatal(err)
			}
			fmt.Fprintf(&b, "%s ", f.Code)
			for i, item := range f.Items {
				io.WriteString(sums[i], itemPrint(item))
			}
		}
	}
	b.WriteString("\n")
	for i, p := range d.plans {
		fmt.Fprintf(&b, "%s version %d: %s\n", p.exercise.ID, p.version, hex.EncodeToString(sums[i].Sum(nil)[:12]))
	}
	const file = "testdata/forms.golden"
	if *update {
		if err := os.MkdirAll("testdata", 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	if b.String() != string(want) {
		t.Errorf("forms differ from the golden: the same source gives other numbers or words\n got %s\nwant %s", b.String(), want)
	}
}

// TestSameFormSameText draws a form twice, alone and after others.
func TestSameFormSameText(t *testing.T) {
	d := testDrawer(t)
	src := Source{Seed: "again"}
	alone, err := d.Form(src, exercises.Practice, 7, nil)
	if err != nil {
		t.Fatal(err)
	}
	for n := 1; n <= 9; n++ {
		f, err := d.Form(src, exercises.Practice, n, nil)
		if err != nil {
			t.Fatal(err)
		}
		if same := fingerprint(f) == fingerprint(alone); same != (n == 7) {
			t.Errorf("form %d equal to form 7: %v", n, same)
		}
	}
}

// TestStreamsAreApart checks promise 5's second half: an exercise keeps its
// numbers when others are added before or after it, and changes with each
// thing its stream is derived from.
func TestStreamsAreApart(t *testing.T) {
	src := Source{Seed: "s"}
	base := src.stream("course", "exercise", 1, Which{Number: 1}).Uint64()
	for name, other := range map[string]uint64{
		"course":   src.stream("course2", "exercise", 1, Which{Number: 1}).Uint64(),
		"exercise": src.stream("course", "exercise2", 1, Which{Number: 1}).Uint64(),
		"family":   src.stream("course", "exercise", 2, Which{Number: 1}).Uint64(),
		"form":     src.stream("course", "exercise", 1, Which{Number: 2}).Uint64(),
		"seed":     Source{Seed: "t"}.stream("course", "exercise", 1, Which{Number: 1}).Uint64(),
		"secret":   Source{Seed: "s", Secret: []byte("s")}.stream("course", "exercise", 1, Which{Number: 1}).Uint64(),
		"sitting":  src.stream("course", "exercise", 1, Which{Number: 1, Sitting: 2}).Uint64(),
		"redraw":   src.stream("course", "exercise", 1, Which{Number: 1, Redraw: 1}).Uint64(),
		// Fields are told apart by their lengths.
		"joined": src.stream("courseexercise", "", 1, Which{Number: 1}).Uint64(),
	} {
		if other == base {
			t.Errorf("the stream does not depend on the %s", name)
		}
	}

	whole, part := testCourse(), testCourse()
	part.Exercises = part.Exercises[3:5]
	dw, _ := Prepare(whole, families.Named)
	dp, _ := Prepare(part, families.Named)
	fw, err := dw.Form(src, exercises.Practice, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	fp, err := dp.Form(src, exercises.Practice, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	fw.Items = fw.Items[3:5]
	fw.Code, fp.Code = "", "" // of other course files
	if fingerprint(fw) != fingerprint(fp) {
		t.Error("an exercise changes when others are left out")
	}
}

func TestFormRefuses(t *testing.T) {
	d := testDrawer(t)
	for name, c := range map[string]struct {
		src     Source
		purpose exercises.Purpose
		n       int
	}{
		"form 0":                      {Source{Seed: "s"}, exercises.Practice, 0},
		"too large a number":          {Source{Seed: "s"}, exercises.Practice, MostForms + 1},
		"assessment without a secret": {Source{Seed: "s"}, exercises.Assessment, 1},
		"practice from a secret":      {secret, exercises.Practice, 1},
	} {
		if _, err := d.Form(c.src, c.purpose, c.n, nil); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
}

// TestCodes checks the form codes: they read back, carry purpose and number,
// and no single wrong character and no swap of neighbours goes unnoticed.
func TestCodes(t *testing.T) {
	d := testDrawer(t)
	for _, w := range []Which{{1, 1, 0}, {2, 1, 3}, {17, 2, 0}, {900, 5, MostRedraws - 1}, {MostForms, MostSittings, 1}, {MostForms, MostSittings, MostRedraws - 1}} {
		for _, p := range []exercises.Purpose{exercises.Practice, exercises.Assessment} {
			code := d.code(secret, p, w)
			c, err := ParseCode(strings.ToLower(strings.ReplaceAll(code, "-", " ")))
			if err != nil || c.Which != w || c.Purpose != p || c.String() != code {
				t.Fatalf("%s: %+v, %v", code, c, err)
			}
			raw := strings.ReplaceAll(code, "-", "")
			for i := range raw {
				for _, r := range alphabet {
					if byte(r) == raw[i] {
						continue
					}
					if _, err := ParseCode(raw[:i] + string(r) + raw[i+1:]); err == nil {
						t.Fatalf("%s with %c at %d passes", code, r, i)
					}
				}
				if i > 0 && raw[i] != raw[i-1] {
					swapped := raw[:i-1] + string(raw[i]) + string(raw[i-1]) + raw[i+1:]
					if _, err := ParseCode(swapped); err == nil {
						t.Fatalf("%s with %d and %d swapped passes", code, i-1, i)
					}
				}
			}
		}
	}
	for _, bad := range []string{"", "224", "22422-22P7", "O0011-1ILI2", strings.Repeat("2", 100), "2é422-22P79"} {
		if _, err := ParseCode(bad); err == nil {
			t.Errorf("%q is taken for a form code", bad)
		}
	}
}

// TestOpenSeed: letters that are confused in speech are left out.
func TestOpenSeed(t *testing.T) {
	if got := OpenSeed("o0i1lABCdefghij2345"); got != "ABCDEFGH" {
		t.Errorf("got %s", got)
	}
}

// TestPickerSpreads checks that a picker's choices are even, and that
// neighbouring points agree in their first choices and points far apart do
// not.
func TestPickerSpreads(t *testing.T) {
	counts := map[int]int{}
	const n = 30000
	for _, u := range Points(5, n) {
		p := exercises.NewPicker(u)
		for range 12 { // far beyond one refill
			p.Int(100)
		}
		counts[p.Int(6)]++
	}
	for k, c := range counts {
		if c < n/6-450 || c > n/6+450 { // six standard deviations are 387
			t.Errorf("%d was picked %d times of %d", k, c, n)
		}
	}
	for i := range uint64(10) {
		p := exercises.NewPicker(i * (1<<63/5 + 1))
		if got := p.Int(10); got != int(i) {
			t.Errorf("point %d/10 picks %d", i, got)
		}
	}
}

func BenchmarkForm(b *testing.B) {
	d := testDrawer(b)
	n := 0
	for b.Loop() {
		n++
		if _, err := d.Form(Source{Seed: "bench"}, exercises.Practice, 1+n%MostForms, nil); err != nil {
			b.Fatal(err)
		}
	}
}
