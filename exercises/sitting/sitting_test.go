package sitting

import (
	"encoding/csv"
	"errors"
	"fmt"
	"reflect"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/answerfile"
	"loopdrill/scenarios"
	"loopdrill/scenarios/classlist"
	"loopdrill/scenarios/formula"
)

// form n of a small course: 1.a asks for a number (n, ±0.5, 4 marks, the slip
// "double" doubles it), 2.a for one of two faults (4 marks), 2.b for words (2
// marks). Ten marks, 60 % pass.
func form(n int) *exercises.Form {
	course := &scenarios.Course{ID: "small", Title: "Small", PassMark: 60}
	def := formula.Definition{Sym: "x", Expr: formula.Num(int64(n)), Unit: "mA", Decimals: 0}
	double := def
	double.Expr = formula.Mul(formula.Num(2), formula.Num(int64(n)))
	var one, two exercises.Item
	one.Add(exercises.Part{Label: "a", Marks: 4, Boxes: []exercises.Box{{ID: "a", Kind: exercises.NumberBox, Name: "current", Unit: "mA"}}},
		exercises.PartKey{Label: "a", Answers: []exercises.Answer{{Box: "a", Def: def, Tolerance: formula.Decimal(5, 1)}},
			Slips: []exercises.Slip{{ID: "double", Name: "doubled", Answers: []exercises.SlipAnswer{{Box: "a", Def: double}}}}})
	fault := []string{"low-zero", "open-wire"}[n%2]
	two.Add(exercises.Part{Label: "a", Marks: 4, Boxes: []exercises.Box{{ID: "a", Kind: exercises.ChoiceBox, Options: []exercises.Option{{ID: "low-zero"}, {ID: "open-wire"}}}}},
		exercises.PartKey{Label: "a", Answers: []exercises.Answer{{Box: "a", Option: fault}}})
	two.Add(exercises.Part{Label: "b", Marks: 2, Boxes: []exercises.Box{{ID: "b", Kind: exercises.JudgedBox}}}, exercises.PartKey{Label: "b", Answers: []exercises.Answer{{Box: "b"}}})
	two.Key.FaultName = fault
	return &exercises.Form{Course: course, Purpose: exercises.Assessment, Number: n, Code: fmt.Sprintf("F%d", n), Items: []exercises.Drawn{
		{Exercise: &scenarios.Exercise{Number: 1, Title: "One"}, Item: one}, {Exercise: &scenarios.Exercise{Number: 2, Title: "Two"}, Item: two}}}
}

func setting(people ...string) Setting {
	var list classlist.List
	for i, p := range people {
		list = append(list, classlist.Person{Number: fmt.Sprint(i + 1), Name: p})
	}
	return Setting{CourseID: "small", People: list, Form: func(code string) (*exercises.Form, error) {
		for n := 1; n <= 40; n++ {
			if f := form(n); f.Code == strings.ToUpper(strings.TrimSpace(code)) {
				return f, nil
			}
		}
		return nil, errors.New("no such form")
	}}
}

func handed(code, name string, answers ...string) Input {
	var pairs []string
	for i := 0; i+1 < len(answers); i += 2 {
		pairs = append(pairs, fmt.Sprintf("%q: %q", answers[i], answers[i+1]))
	}
	return Input{Name: code + name + strings.Join(answers, "") + ".json", Data: []byte(fmt.Sprintf(`{"loopdrill": "answers", "version": 1, "form": %q, "course": "small", "who": {"name": %q}, "answers": {%s}}`, code, name, strings.Join(pairs, ", ")))}
}

func table(name, text string) Input { return Input{Name: name, Data: []byte(text)} }

// marked collects and marks.
func marked(t *testing.T, s Setting, inputs ...Input) (Report, []string) {
	t.Helper()
	works, notes := Collect(inputs, s)
	more, err := Mark(works, s)
	if err != nil {
		t.Fatal(err)
	}
	var rules []string
	for _, d := range append(notes, more...) {
		rules = append(rules, d.Rule)
	}
	return ReportOf(works), rules
}

// Each way in which work is set aside or passed over leaves the rest marked.
func TestCollect(t *testing.T) {
	ok := handed("F3", "", "1.a", "3")
	for _, row := range []struct {
		name   string
		class  []string
		inputs []Input
		rules  string
		marked string
	}{
		{"well", nil, nil, "", "F3"},
		{"a form of nobody knows where", nil, []Input{handed("X9", "", "1.a", "3")}, answerfile.RuleForm, "F3"},
		{"another course", nil, []Input{{"c.json", []byte(`{"loopdrill":"answers","version":1,"form":"F1","course":"large","answers":{}}`)}}, answerfile.RuleCourse, "F3"},
		{"a copy, however the code is typed", nil, []Input{handed("f3", " again", "1.a", "3")}, answerfile.RuleHandedIn, "F3"},
		{"twice with other answers: neither", nil, []Input{handed("F3", "", "1.a", "4")}, answerfile.RuleHandedIn + " " + answerfile.RuleHandedIn, ""},
		{"on paper and as a file: neither", nil, []Input{table("p.csv", "form,box,answer\nF3,1.a,9\nF3,2.a,A\n")}, answerfile.RuleHandedIn + " " + answerfile.RuleHandedIn, ""},
		{"a table with a row missing", nil, []Input{table("p.csv", "form,box,answer\nF4,1.a,4\n")}, answerfile.RuleHalf, "F3"},
		{"an empty form in a table says nothing", nil, []Input{table("p.csv", "form,box,answer\nF4,1.a,\nF4,2.a,\n")}, "", "F3"},
		{"a box that is not there", nil, []Input{handed("F4", "", "1.a", "4", "7.z", "1")}, answerfile.RuleBox, "F3 F4"},
		{"nobody has form 3", []string{"Ana", "Bo"}, nil, answerfile.RulePerson, ""},
		{"form 4 with the name of 1", []string{"Ana", "Bo", "Cy", "Di"}, []Input{handed("F4", " ana ", "1.a", "4")}, answerfile.RulePerson, "F3"},
		{"form 4 with nobody's name is marked", []string{"Ana", "Bo", "Cy", "Di"}, []Input{handed("F4", "Dinah", "1.a", "4")}, answerfile.RulePerson, "F3 F4"},
		{"decisions about what was not handed in", nil, []Input{table("d.csv", "form,box,reads,verdict,initials\nF5,1.a,5,,MB\n")}, answerfile.RuleUnused, "F3"},
		{"a decision about no query", nil, []Input{table("d.csv", "form,box,reads,verdict,initials\nF3,1.a,5,,MB\n")}, answerfile.RuleUnused, "F3"},
		{"a decision of both kinds", nil, []Input{table("d.csv", "form,box,reads,verdict,initials\nF3,1.a,5,wrong,MB\n")}, answerfile.RuleValue, "F3"},
		{"a decision without initials", nil, []Input{table("d.csv", "form,box,reads,verdict,initials\nF3,1.a,5,,\n")}, answerfile.RuleUnsigned, "F3"},
		{"rows left as they were", nil, []Input{table("d.csv", "form,box,reads,verdict,initials\nF3,1.a,,,\n")}, "", "F3"},
		{"a mark for a number box", nil, []Input{table("m.csv", "form,box,mark,initials\nF3,1.a,2,MB\n")}, answerfile.RuleBox, "F3"},
		{"a mark too high", nil, []Input{table("m.csv", "form,box,mark,initials\nF3,2.b,3,MB\n")}, answerfile.RuleMark, "F3"},
		{"half a mark", nil, []Input{table("m.csv", "form,box,mark,initials\nF3,2.b,1.5,MB\n")}, answerfile.RuleMark, "F3"},
		{"an override twice", nil, []Input{table("o.csv", "form,part,mark,reason,initials,date\nF3,1.a,1,r,MB,d\nF3,1.a,2,r,MB,d\n")}, answerfile.RuleTwice, "F3"},
	} {
		t.Run(row.name, func(t *testing.T) {
			r, rules := marked(t, setting(row.class...), append([]Input{ok}, row.inputs...)...)
			var codes []string
			for _, w := range r.Works {
				codes = append(codes, w.Form.Code)
			}
			if got := strings.Join(codes, " "); got != row.marked || strings.Join(rules, " ") != row.rules {
				t.Errorf("marked %q, said %v; want %q, %q", got, rules, row.marked, row.rules)
			}
		})
	}
}

// The figures of a class of five, worked by hand.
//
//	F1 1 right, fault right, words 2: 10    F2 "doubled", fault wrong, blank words: 0
//	F3 right, nothing else: 4               F4 doubled, fault right: 4
//	F5 "5?" is a query, fault right, words wait: 4 to 10
func TestReport(t *testing.T) {
	inputs := []Input{
		handed("F1", "", "1.a", "1", "2.a", "open-wire", "2.b", "w"), handed("F2", "", "1.a", "4", "2.a", "open-wire"),
		handed("F3", "", "1.a", "3"), handed("F4", "", "1.a", "8", "2.a", "low-zero"), handed("F5", "", "1.a", "5?", "2.a", "open-wire", "2.b", "w"),
		table("hand.csv", "form,box,mark,initials\nF1,2.b,2,MB\n"),
	}
	r, rules := marked(t, setting(), inputs...)
	if rules != nil {
		t.Errorf("said %v", rules)
	}
	if r.Marks != 10 || r.Pass != 6 || r.Passed != 1 || r.NotYet != 3 || r.Undecided != 1 || r.OpenQueries != 1 || r.OpenJudged != 1 {
		t.Errorf("%+v", r)
	}
	q := r.Questions
	if len(q) != 3 || q[0].Full != 2 || q[0].None != 2 || q[0].Open != 1 || q[1].Full != 3 || q[1].None != 2 || q[1].Blank != 1 || q[2].Full != 1 || q[2].None != 3 || q[2].Blank != 3 || q[2].Open != 1 {
		t.Errorf("questions %+v", q)
	}
	if !q[0].TooFew() {
		t.Error("2 of 4 is not too few to tell")
	}
	if len(r.Slips) != 1 || r.Slips[0].Total != 2 || !reflect.DeepEqual(r.Slips[0].Counts, []int{2, 0, 0}) || r.Slips[0].ByExercise[1] != 2 {
		t.Errorf("slips %+v", r.Slips)
	}
	// F1, F5 open-wire named open-wire; F2 low-zero named open-wire; F4 right; F3 blank.
	c := r.Faults
	if c == nil || !reflect.DeepEqual(c.Classes, []string{"low-zero", "open-wire"}) || !reflect.DeepEqual(c.Counts, [][]int{{1, 1}, {0, 2}}) || !reflect.DeepEqual(c.Blank, []int{0, 1}) || c.Right != 3 || c.All != 4 {
		t.Errorf("faults %+v", c)
	}
	if got := r.Mean.Text(1); got != "4.4" { // 10, 0, 4, 4, 4 with the open ones at their least
		t.Errorf("mean %s", got)
	}
	if groups := r.Queries(); len(groups) != 1 || groups[0].Key != "1.a" || groups[0].Queries[0].Stake != 4 {
		t.Errorf("queries %+v", groups)
	}

	// Decided: "5?" reads 5 mA, then 8 to 10 with the words still open.
	r, _ = marked(t, setting(), append(inputs, table("d.csv", "form,box,reads,verdict,initials\nF5,1.a,5 mA,,MB\n"))...)
	w := r.Works[4]
	if w.Result.Least != 8 || w.Result.Most != 10 || w.Standing() != Passed || w.Answers[1]["a"] != "5?" {
		t.Errorf("decided: %d to %d, %s, the text is %q", w.Result.Least, w.Result.Most, w.Standing(), w.Answers[1]["a"])
	}
}

func TestEmptyReport(t *testing.T) {
	if r := ReportOf(nil); r.Marks != 0 || r.Sample != nil || r.Alpha.Text(2) != "n/a" {
		t.Errorf("%+v", r)
	}
	r, _ := marked(t, setting(), handed("F1", "", "1.a", "1"))
	if r.Alpha.Text(2) != "n/a" || r.Error.Text(1) != "n/a" || r.Deviation.Text(1) != "n/a" || !r.TooFewForAlpha() {
		t.Errorf("one person: alpha %s, error %s", r.Alpha.Text(2), r.Error.Text(1))
	}
}

// TestSample goes through rule 16 with twenty forms of 10 marks; the pass mark
// is 6, the margin 5 % of 10 or one standard error.
func TestSample(t *testing.T) {
	var inputs []Input
	for n := 1; n <= 20; n++ {
		answers := []string{"1.a", fmt.Sprint(n), "2.a", form(n).Items[1].Item.Key.FaultName, "2.b", "w"}
		if n == 4 {
			answers[1] = "4?" // a query
		}
		inputs = append(inputs, handed(fmt.Sprintf("F%d", n), "", answers...))
	}
	hand := "form,box,mark,initials\n"
	for n := 1; n <= 20; n++ {
		hand += fmt.Sprintf("F%d,2.b,2,MB\n", n)
	}
	inputs = append(inputs, table("hand.csv", hand), table("over.csv", "form,part,mark,reason,initials,date\nF7,1.a,3,copied,MB,1 June\nF9,1.a,0,copied,MB,1 June\nF9,2.b,1,poor,MB,1 June\n"))
	r, _ := marked(t, setting(), inputs...)
	why := map[int]string{}
	rest := 0
	for _, s := range r.Sample {
		why[s.Work.Form.Number] = strings.Join(s.Why, "; ")
		if strings.HasPrefix(why[s.Work.Form.Number], "one in five") {
			rest++
		}
	}
	if !strings.Contains(why[4], "settle") || !strings.Contains(why[7], "override") || !strings.Contains(why[9], "near the pass mark; an override") {
		t.Errorf("%v", why)
	}
	if rest != 4 { // 17 are left, a fifth rounded up
		t.Errorf("%d of the rest: %v", rest, why)
	}
	again, _ := marked(t, setting(), inputs...)
	if len(again.Sample) != len(r.Sample) || again.Sample[0].Work.Form.Code != r.Sample[0].Work.Form.Code {
		t.Error("another sample when marked again")
	}
}

// Two markers on four parts: the same on three. Kappa by hand: agreed 3/4,
// by chance (2·2 + 2·1 + 0·1)/16 = 6/16, (0.75 − 0.375)/0.625 = 0.6.
func TestAgreement(t *testing.T) {
	r, _ := marked(t, setting(), handed("F1", "", "1.a", "1", "2.a", "open-wire"), handed("F2", "", "1.a", "7", "2.a", "open-wire"),
		table("s.csv", "form,part,second mark\nF1,1.a,4\nF1,2.a,4\nF2,1.a,0\nF2,2.a,1\n"))
	a := r.Second
	if a == nil || a.Parts != 4 || a.Same != 3 || a.Kappa.Text(3) != "0.600" || len(a.Differ) != 1 || a.Differ[0].Second != 1 {
		t.Errorf("%+v", a)
	}
	if a.Interval.Text(2) != "0.30 to 0.95" { // Wilson, 3 of 4
		t.Errorf("interval %s", a.Interval.Text(2))
	}
}

// TestObserved goes through rule 15.
func TestObserved(t *testing.T) {
	step := func(critical bool, r Seen) Step { return Step{Text: "s", Critical: critical, Result: r} }
	for _, row := range []struct {
		name  string
		steps []Step
		want  Outcome
	}{
		{"all done", []Step{step(true, Done), step(false, Done)}, TaskPassed},
		{"a critical step prompted", []Step{step(true, Prompted), step(false, Done), step(false, Done), step(false, Done)}, TaskFailed},
		{"a critical step not done", []Step{step(true, NotDone), step(false, Done)}, TaskFailed},
		{"a critical step not seen", []Step{step(true, NotSeen), step(false, Done)}, TaskUndecided},
		{"one not seen, another failed", []Step{step(true, NotSeen), step(true, NotDone)}, TaskFailed},
		{"two of four others prompted", []Step{step(true, Done), step(false, Prompted), step(false, Prompted), step(false, Done)}, TaskFailed},
		{"one of four others prompted", []Step{step(true, Done), step(false, Prompted), step(false, Done), step(false, Done)}, TaskPassed},
		{"hardly anything seen", []Step{step(true, Done), step(false, NotSeen), step(false, NotSeen)}, TaskUndecided},
		{"nothing", nil, TaskUndecided},
	} {
		if got := (Task{Steps: row.steps}).Outcome(60); got != row.want {
			t.Errorf("%s: %s, want %s", row.name, got, row.want)
		}
	}
}

// What the sheet says beside the steps is kept, and a task that was broken off is
// not passed, however well it began.
func TestObservedSheet(t *testing.T) {
	head := "form,task,step,critical,result,words,assessor,date,identity,serial numbers,conditions,arrangements,stopped\n"
	r, rules := marked(t, setting(), handed("F1", "", "1.a", "1"), table("o.csv", head+
		"F1,Bench,told the operator,yes,done,,MB,1 June,pass card,NB-7 no. 4,test bench,extra time,\nF1,Bench,manual,yes,done,,MB,1 June,,,,,permit ran out\n"+
		"F1,Other,told,yes,prompted,,MB,1 June,,,,,\n"))
	if len(rules) != 1 || rules[0] != answerfile.RuleUnsigned { // a prompt without its words
		t.Errorf("said %v", rules)
	}
	task := r.Works[0].Observed[0]
	if len(r.Works[0].Observed) != 1 || task.Identity != "pass card" || task.Serials != "NB-7 no. 4" || task.Arrangements != "extra time" || task.Stopped != "permit ran out" || task.Outcome(60) != TaskFailed {
		t.Errorf("%+v", task)
	}
}

// Tables are RFC 4180, safe in a spreadsheet, and read back as they were
// written.
func TestTables(t *testing.T) {
	r, _ := marked(t, setting("=1+1", "A, \"B\""), handed("F1", "", "1.a", "@x", "2.a", "open-wire"), handed("F2", "", "1.a", "-2"))
	var b strings.Builder
	if err := r.AnswersCSV(&b); err != nil {
		t.Fatal(err)
	}
	rows, err := csv.NewReader(strings.NewReader(b.String())).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	for _, row := range rows {
		for _, cell := range row {
			if cell != "" && strings.ContainsAny(cell[:1], "=+@\t\r") {
				t.Errorf("a spreadsheet would run %q", cell)
			}
		}
	}
	if rows[1][3] != "'@x" || rows[4][3] != "-2" {
		t.Errorf("answers %q, %q", rows[1][3], rows[4][3])
	}
	b.Reset()
	if err := BlankAnswers(&b, []*exercises.Form{form(1)}, nil); err != nil {
		t.Fatal(err)
	}
	if !strings.Contains(b.String(), "\r\n") || strings.Count(b.String(), "\r\n") != 3 {
		t.Errorf("%q", b.String())
	}
	file, d := answerfile.Read("x.csv", []byte(b.String()))
	if d != nil || file.Table.Kind != answerfile.Answers {
		t.Errorf("%+v", d)
	}
	if err := r.MarksCSV(&b); err != nil || !strings.Contains(b.String(), "'=1+1") {
		t.Errorf("%v %q", err, b.String())
	}
}
