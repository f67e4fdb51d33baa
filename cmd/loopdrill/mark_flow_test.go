package main

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"loopdrill/exercises"
)

// assessor is a folder in which somebody marks a class.
type assessor struct {
	t    *testing.T
	root string
}

func (a assessor) path(name string) string { return filepath.Join(a.root, filepath.FromSlash(name)) }

func (a assessor) put(name, text string) {
	a.t.Helper()
	if err := os.MkdirAll(filepath.Dir(a.path(name)), 0o755); err != nil {
		a.t.Fatal(err)
	}
	if err := os.WriteFile(a.path(name), []byte(text), 0o644); err != nil {
		a.t.Fatal(err)
	}
}

func (a assessor) read(name string) string {
	a.t.Helper()
	b, err := os.ReadFile(a.path(name))
	if err != nil {
		a.t.Fatal(err)
	}
	return string(b)
}

// table reads a CSV as rows by column.
func (a assessor) table(name string) []map[string]string {
	a.t.Helper()
	rows, err := csv.NewReader(strings.NewReader(a.read(name))).ReadAll()
	if err != nil {
		a.t.Fatal(err)
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		m := map[string]string{}
		for i, cell := range row {
			m[rows[0][i]] = cell
		}
		out = append(out, m)
	}
	return out
}

// runs marks what was handed in and checks the exit code.
func (a assessor) runs(want int, args ...string) (stdout, stderr string) {
	a.t.Helper()
	code, stdout, stderr := run(args...)
	if code != want {
		a.t.Fatalf("loopdrill %s: exit code %d, want %d\n%s%s", strings.Join(args, " "), code, want, stdout, stderr)
	}
	return stdout, stderr
}

func (a assessor) has(name string, wants ...string) {
	a.t.Helper()
	text := a.read(name)
	for _, w := range wants {
		if !strings.Contains(text, w) {
			a.t.Errorf("%s does not say %q", name, w)
		}
	}
}

// TestMarkClass goes through a marking as an assessor would: a class, paper and
// files together, a name on somebody else's form, queries decided, an override,
// an observed task, a second marker.
func TestMarkClass(t *testing.T) {
	a := assessor{t, t.TempDir()}
	a.put("class.csv", "number,name\n007,Kari Lindqvist\nE12,Ömer Şahin\n009,Tuva\n010,Ole\n")
	a.runs(exitFine, "build", "--class", a.path("class.csv"), "--seed", "may", "--out", a.path("made"))

	finder, s, _ := app{Stdout: &bytes.Buffer{}, Stderr: &bytes.Buffer{}}.setting(markOrder{build: a.path("made")})
	if finder == nil || len(s.People) != 4 {
		t.Fatalf("the build knows %d people", len(s.People))
	}
	forms, err := finder.built(t.Context(), 0, exercises.Practice)
	if err != nil {
		t.Fatal(err)
	}
	perfect := apprentice{r: rand.New(rand.NewPCG(1, 1)), skill: 1}

	// Paper: the empty table, filled in.
	a.runs(exitFine, "mark", "--blank-csv", a.path("blank"), "--build", a.path("made"))
	paper := perfect.works(forms[1])
	var b strings.Builder
	b.WriteString("form,person,box,asked,unit,answer\n")
	query := ""
	for _, row := range a.table("blank/answers.csv") {
		if row["form"] != forms[1].Code {
			continue
		}
		text := paper[row["box"]]
		if query == "" && strings.HasSuffix(row["box"], ".a") && !strings.Contains(row["box"], "stop") {
			query, text = row["box"], text+" or so"
		}
		fmt.Fprintf(&b, "%s,%s,%s,,,\"%s\"\n", row["form"], row["person"], row["box"], text)
	}
	a.put("in/paper.csv", b.String())
	a.put("in/1.json", string(answerJSON(t, forms[0], "kari  lindqvist", perfect.works(forms[0]))))
	a.put("in/3.json", string(answerJSON(t, forms[2], "Kari Lindqvist", perfect.works(forms[2])))) // another's name
	a.put("in/4.json", string(answerJSON(t, forms[3], "Ola?", perfect.works(forms[3]))))           // nobody's name

	mark := []string{"mark", a.path("in"), "--build", a.path("made"), "--out", a.path("marks")}
	stdout, stderr := a.runs(exitFaults, mark...)
	for _, want := range []string{"was made for 009 Tuva, and the name on it is that of Kari Lindqvist", `"Ola?"`} {
		if !strings.Contains(stderr, want) {
			t.Errorf("nothing said of %q:\n%s", want, stderr)
		}
	}
	if !strings.Contains(stdout, "3 forms marked") || !strings.Contains(stdout, "1 answer to decide") {
		t.Errorf("%s", stdout)
	}
	rows := a.table("marks/keep/marks.csv")
	if rows[0]["number"] != "007" || rows[1]["number"] != "E12" || rows[0]["marks"] != rows[0]["out of"] || !strings.Contains(rows[1]["marks"], "-") {
		t.Errorf("marks %v", rows)
	}
	page := func(kind string, n int) string { return fmt.Sprintf("%s-%02d-%s.html", kind, n, forms[n-1].Code) }
	a.has("marks/keep/queries.html", "Ömer Şahin", "or so")
	a.has("marks/keep/"+page("record", 1), "Evidence towards competence", "No practical task was observed")

	// Decisions, overrides, an observed task, a second marker.
	dec := a.table("marks/keep/decisions.csv")
	if len(dec) != 1 || dec[0]["box"] != query {
		t.Fatalf("decisions %v", dec)
	}
	a.put("in/decisions.csv", "form,box,reads,verdict,initials\n"+dec[0]["form"]+","+query+","+`"`+paper[query]+`"`+",,MB\n")
	name := fmt.Sprintf("%d.%s", forms[0].Items[0].Exercise.Number, forms[0].Items[0].Item.Sheet.Parts[0].Label)
	a.put("in/overrides.csv", "form,part,mark,reason,initials,date\n"+forms[0].Code+","+name+",0,\"copied, as both say\",MB,2 June\n"+forms[0].Code+",99.z,0,x,MB,1\n"+forms[3].Code+","+name+",0,,MB,\n")
	a.put("in/observed.csv", "form,task,step,critical,result,words,assessor,date\n"+
		forms[1].Code+",At the bench,told the operator,yes,done,,MB,3 June\n"+forms[1].Code+",At the bench,as found before any screw,yes,done,,MB,3 June\n"+
		forms[0].Code+",At the bench,told the operator,yes,prompted,\"What comes first?\",MB,3 June\n"+forms[3].Code+",At the bench,told the operator,yes,perhaps,,MB,3 June\n")
	a.put("in/second.csv", "form,part,second mark\n"+forms[0].Code+","+name+",1\n"+forms[1].Code+","+name+",2\n"+forms[3].Code+","+name+",77\n")
	stdout, stderr = a.runs(exitFaults, mark...)
	for _, want := range []string{`no part "99.z"`, "has no reason", `"perhaps"`, `"77"`} {
		if !strings.Contains(stderr, want) {
			t.Errorf("nothing said of %q:\n%s", want, stderr)
		}
	}
	if strings.Contains(stdout, "to decide") {
		t.Errorf("the query is still open: %s", stdout)
	}
	rows = a.table("marks/keep/marks.csv")
	if rows[0]["overrides"] != "1" || rows[0][name] != "0" || rows[1]["marks"] != rows[1]["out of"] {
		t.Errorf("marks %v", rows)
	}
	for _, p := range []string{"keep/" + page("record", 1), "hand-out/" + page("feedback", 1)} {
		a.has("marks/"+p, "copied, as both say", "MB", "2 June")
	}
	a.has("marks/keep/class-report.html", "1 override")
	a.has("marks/keep/"+page("record", 2), "Record of competence", "told the operator", "reads")
	a.has("marks/keep/"+page("record", 1), "Evidence towards competence", "What comes first?", "Not yet")
	a.has("marks/keep/second-marking.html", "1 of 2 parts have", "an override", "an answer that a person had to settle")
	first := contents(t, a.path("marks"))
	a.runs(exitFaults, mark...)
	for file, text := range contents(t, a.path("marks")) {
		if first[file] != text {
			t.Errorf("%s is another one when marked again", file)
		}
	}

	// What the assessor wrote into the folder is never lost.
	a.put("marks/keep/decisions.csv", "mine")
	_, stderr = a.runs(exitIO, mark...)
	if !strings.Contains(stderr, "decisions.csv was changed") || a.read("marks/keep/decisions.csv") != "mine" {
		t.Errorf("%s", stderr)
	}
	// Another seed marks nothing, and says why.
	_, stderr = a.runs(exitFaults, "mark", a.path("in/1.json"), "--seed", "june", "--out", a.path("none"))
	if !strings.Contains(stderr, "not of this build") {
		t.Errorf("%s", stderr)
	}
	if _, err := os.Stat(a.path("none")); err == nil {
		t.Error("a folder was written with nothing marked")
	}
}
