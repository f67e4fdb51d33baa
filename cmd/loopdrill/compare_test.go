package main

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/marking"
	"loopdrill/generator"
)

// fillIn puts answers into the boxes of a page as a hand would, by the names
// that answer files use.
const fillIn = `(answers => {
	for (const [name, value] of Object.entries(answers)) {
		const order = [...document.querySelectorAll(".order")].find(o => o.dataset.box === name);
		if (order) {
			const steps = value ? value.split(", ") : [];
			order.querySelectorAll(".order-step").forEach(s => { const i = steps.indexOf(s.dataset.step); s.querySelector(".place").value = i < 0 ? "" : i + 1; });
			order.querySelector(".place").dispatchEvent(new Event("input", {bubbles: true}));
			continue;
		}
		const fields = [...document.querySelectorAll("[name]")].filter(f => f.name === name);
		if (!fields.length) throw new Error("no field is called " + name);
		for (const f of fields) if (f.type === "radio" || f.type === "checkbox") f.checked = f.value === value; else f.value = value;
		fields[0].dispatchEvent(new Event("input", {bubbles: true}));
	}
})`

// compared presses the button of an exercise and gives what is said about each
// part.
const comparedNow = `(n => {
	const x = document.getElementById("x" + n);
	x.querySelector(".compare button").click();
	return [...x.querySelectorAll(".compared")].map(c => c.hidden ? "" : c.textContent);
})`

func (p *opened) compare(t *testing.T, number int, answers map[string]string) []string {
	t.Helper()
	data, err := json.Marshal(answers)
	if err != nil {
		t.Fatal(err)
	}
	return eval[[]string](t, p, fmt.Sprintf("(%s(%s), %s(%d))", fillIn, data, comparedNow, number))
}

// typed is what an apprentice writes into a box to give an answer; empty for
// one that nobody types.
func typed(number int, b exercises.Box, a exercises.Answer) map[string]string {
	name := fmt.Sprintf("%d.%s", number, b.ID)
	switch {
	case b.Kind == exercises.JudgedBox:
		return map[string]string{name: "words"}
	case b.Kind == exercises.OrderBox:
		return map[string]string{name: strings.Join(a.Order.Steps, ", ")}
	case b.Kind == exercises.ChoiceBox:
		return map[string]string{name: a.Option}
	case a.Stop:
		return map[string]string{name: "", name + ".stop": "stop"}
	}
	out := map[string]string{name: a.Value.Text(b.Decimals)}
	if b.MayStop {
		out[name+".stop"] = ""
	}
	if b.UnitAsked {
		out[name+".unit"] = b.Unit
	}
	return out
}

// TestCompareInBrowser works a practice workbook on screen: with the answers of
// the key every part is said to be correct, and with the answers of each slip
// its sentence is said.
func TestCompareInBrowser(t *testing.T) {
	folder := built(t, "practice")
	b := openBrowser(t, folder)
	_, drawer := shippedCourse(t)
	form, err := drawer.Form(generator.Source{Seed: "browser-check"}, exercises.Practice, 1, nil)
	if err != nil {
		t.Fatal(err)
	}
	p := b.open(t, one(t, folder, "hand-out/workbook-01-*.html"))
	if code := eval[string](t, p, `document.body.dataset.form`); code != form.Code {
		t.Fatalf("the page is of form %s, the key of %s", code, form.Code)
	}
	slips := 0
	for _, d := range form.Items {
		number := d.Exercise.Number
		for i, said := range p.compare(t, number, map[string]string{}) {
			if !strings.Contains(said, "No answer yet") {
				t.Errorf("exercise %d, part %d without an answer: %q", number, i+1, said)
			}
		}
		right := map[string]string{}
		for i, part := range d.Item.Sheet.Parts {
			for j, box := range part.Boxes {
				for k, v := range typed(number, box, d.Item.Key.Parts[i].Answers[j]) {
					right[k] = v
				}
			}
		}
		for i, said := range p.compare(t, number, right) {
			n := len(d.Item.Sheet.Parts[i].Boxes)
			if want := fmt.Sprintf("%d of %d correct", n, n); n == 1 && !strings.Contains(said, "Correct.") || n > 1 && !strings.Contains(said, want) {
				t.Errorf("exercise %d, part %d with the answers of its key: %q", number, i+1, said)
			}
		}
		for i, key := range d.Item.Key.Parts {
			for _, s := range key.Slips {
				slips++
				answers := map[string]string{}
				for _, a := range s.Answers {
					for _, box := range d.Item.Sheet.Parts[i].Boxes {
						if box.ID == a.Box {
							answer := exercises.Answer{Box: a.Box, Value: a.Value, Option: a.Option, Stop: a.Stop}
							if a.Order != nil {
								answer.Order = &exercises.Order{Steps: a.Order}
							}
							for k, v := range typed(number, box, answer) {
								answers[k] = v
							}
						}
					}
				}
				for k, v := range right {
					if _, ok := answers[k]; !ok {
						answers[k] = v
					}
				}
				said := p.compare(t, number, answers)[i]
				if !strings.Contains(plain(said), plain(s.Feedback.Plain())) || strings.Contains(said, "Correct.") {
					t.Errorf("exercise %d, part %d with the answers of slip %s: %q lacks %q", number, i+1, s.ID, said, s.Feedback.Plain())
				}
			}
		}
		p.compare(t, number, right)
	}
	if slips < 30 {
		t.Errorf("only %d slips were tried", slips)
	}
	for _, s := range p.heard() {
		t.Error(s)
	}
}

// TestMarkingCasesInBrowser judges every row of the reference file with the
// script of the pages in a browser.
func TestMarkingCasesInBrowser(t *testing.T) {
	data, err := os.ReadFile("../../exercises/marking/testdata/marking.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Questions map[string]struct {
			Kind, Key, Tol, Unit string
			UnitMode             string   `json:"unit_mode"`
			Figures              int      `json:"significant_figures"`
			Accept               []string `json:"accept"`
		} `json:"questions"`
		Cases []struct {
			Question, Input string
			Verdict         marking.Verdict
		} `json:"cases"`
	}
	if err := json.Unmarshal(data, &file); err != nil {
		t.Fatal(err)
	}
	folder := built(t, "practice")
	p := openBrowser(t, folder).open(t, one(t, folder, "hand-out/workbook-01-*.html"))
	got := eval[[]string](t, p, `(file => file.cases.map(c => {
		const q = file.questions[c.question];
		const exact = s => { const [whole, part = ""] = s.split("."); return part ? whole + part + "/1" + "0".repeat(part.length) : whole; };
		return marking.judge(q.kind === "choice" ? {choice: {options: [["right", ...q.accept]], right: "right"}}
			: {number: {key: exact(q.key), tolerance: exact(q.tol), unit: q.unit || "", mode: q.unit_mode, figures: q.significant_figures || 0}}, c.input).verdict;
	}))(`+string(data)+`)`)
	if len(got) != len(file.Cases) || len(got) < 20 {
		t.Fatalf("%d verdicts for %d cases", len(got), len(file.Cases))
	}
	for i, c := range file.Cases {
		if got[i] != string(c.Verdict) {
			t.Errorf("%s, %q: %s, want %s", c.Question, c.Input, got[i], c.Verdict)
		}
	}
}
