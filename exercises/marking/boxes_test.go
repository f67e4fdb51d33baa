package marking

import (
	"fmt"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
)

// kinds is an exercise with a box of every kind, worked by hand.
//
//	(a) two numbers that may lie on the stop: a.1 = 1.50 ± 0.055, a.2 on its
//	    stop; 2 marks
//	(b) U = 2.94 V ± 0.006, the unit is asked for and has one of 2 marks
//	(c) a product to 3 figures, 0.0123 ± 0.00005; 1 mark
//	(d) an order of four steps; 4 marks of the part, and 1 for d.2
//	(e) words to be judged; 3 marks
//	(f) the unit is asked for again; 2 marks
func kinds(t testing.TB) exercises.Item {
	number := func(v formula.Value, unit string, decimals int, tolerance formula.Value) exercises.Answer {
		return exercises.Answer{Def: formula.Definition{Sym: "x", Expr: formula.Lit{V: v, Unit: unit}, Unit: unit, Decimals: decimals}, Tolerance: tolerance}
	}
	var item exercises.Item
	add := func(label string, marks, unitMark int, boxes []exercises.Box, answers []exercises.Answer, slips ...exercises.Slip) {
		for i := range boxes {
			boxes[i].ID = label
			if len(boxes) > 1 {
				boxes[i].ID = fmt.Sprintf("%s.%d", label, i+1)
			}
			answers[i].Box = boxes[i].ID
		}
		item.Add(exercises.Part{Label: label, Marks: marks, Boxes: boxes}, exercises.PartKey{Label: label, Answers: answers, UnitMark: unitMark, Slips: slips})
	}
	percent := exercises.Box{Kind: exercises.NumberBox, Unit: "%", Decimals: 2, MayStop: true}
	stopSlip := formula.Definition{Sym: "x", Expr: formula.Num(5), Unit: "%", Decimals: 2}
	add("a", 2, 0, []exercises.Box{percent, percent},
		[]exercises.Answer{number(formula.Decimal(150, 2), "%", 2, formula.Decimal(55, 3)), {Stop: true}},
		exercises.Slip{ID: "stop-read", Answers: []exercises.SlipAnswer{{Box: "a.2", Def: stopSlip}}},
		exercises.Slip{ID: "stop-everywhere", Answers: []exercises.SlipAnswer{{Box: "a.1", Stop: true}}})
	volts := number(formula.Decimal(294, 2), "V", 2, formula.Decimal(6, 3))
	volts.Shows = &exercises.Shows{Low: formula.Int(0), High: formula.Int(6)}
	asked := exercises.Box{Kind: exercises.NumberBox, Unit: "V", Decimals: 2, UnitAsked: true}
	add("b", 2, 1, []exercises.Box{asked}, []exercises.Answer{volts})
	add("c", 1, 0, []exercises.Box{{Kind: exercises.NumberBox, Unit: "V", Decimals: 4, Figures: 3}},
		[]exercises.Answer{number(formula.Decimal(123, 4), "V", 4, formula.Decimal(5, 5))})
	words := func(s string) prose.Text { return prose.Text{Doc: prose.ParsePlain(s)} }
	order := exercises.Box{Kind: exercises.OrderBox, Options: []exercises.Option{
		{ID: "read", Text: words("read")}, {ID: "tell", Text: words("tell the operator")}, {ID: "cell", Text: words("check the cell")}, {ID: "zero", Text: words("check the zero")}}}
	add("d", 5, 0, []exercises.Box{order, {Kind: exercises.ChoiceBox, Options: []exercises.Option{{ID: "yes"}, {ID: "no"}}}},
		[]exercises.Answer{
			{Marks: 4, Order: &exercises.Order{Steps: []string{"tell", "cell", "zero", "read"},
				Before: [][2]string{{"cell", "read"}, {"zero", "read"}}, Safety: [][2]string{{"tell", "read"}}}},
			{Marks: 1, Option: "yes"}},
		exercises.Slip{ID: "read-first", Answers: []exercises.SlipAnswer{{Box: "d.1", Order: []string{"read", "tell", "cell", "zero"}}}})
	add("e", 3, 0, []exercises.Box{{Kind: exercises.JudgedBox}}, []exercises.Answer{{}})
	volts.Shows = nil // not said; a meter on a loop shows no thousand volts
	add("f", 2, 1, []exercises.Box{asked}, []exercises.Answer{volts})
	return item
}

const allRight = "a.1=1.5|a.2.stop=stop|b=2.94 V|c=0.0123|d.1=tell, cell, zero, read|d.2=yes|e=some words|f=2.94|f.unit=V"

func TestKindsOfBox(t *testing.T) {
	item := kinds(t)
	full := map[string]int{"e": 3}
	for _, row := range []struct {
		name, given string
		terms       Terms
		box, want   string // verdict and rule of one box, or "" for none
		marks       string // of parts a to f, as "2 2 1 5 3 2"; a range as "0-3"
	}{
		{"all right", "", Terms{Hand: full}, "e", "BY_HAND judged.by-hand", "2 2 1 5 3 2"},
		{"words wait for a mark", "", Terms{}, "e", "QUERY judged.waits", "2 2 1 5 0-3 2"},
		{"words in part", "", Terms{Hand: map[string]int{"e": 1}}, "e", "BY_HAND judged.by-hand", "2 2 1 5 1 2"},
		{"words marked with none", "", Terms{Hand: map[string]int{"e": 0}}, "e", "BY_HAND judged.by-hand", "2 2 1 5 0 2"},
		{"no words, from a page", "e=", Terms{}, "e", "BLANK M9.blank", "2 2 1 5 0 2"},
		{"no words, from paper", "e=", Terms{Paper: true}, "e", "QUERY judged.waits", "2 2 1 5 0-3 2"},

		{"a tick written as x", "a.2.stop=x", Terms{Hand: full}, "a.2", "CORRECT M9.stop", "2 2 1 5 3 2"},
		{"a tick in words", "a.2.stop=|a.2=on its stop.", Terms{Hand: full}, "a.2", "CORRECT M9.stop", "2 2 1 5 3 2"},
		{"no tick", "a.2.stop=no", Terms{Hand: full}, "a.2", "BLANK M9.blank", "1 2 1 5 3 2"},
		{"a tick that is none", "a.2.stop=maybe", Terms{Hand: full}, "a.2", "QUERY M9.tick", "1-2 2 1 5 3 2"},
		{"number and tick", "a.2=5", Terms{Hand: full}, "a.2", "QUERY M9.tick", "1-2 2 1 5 3 2"},
		{"number and tick, settled", "a.2=5", Terms{Hand: full, Settled: map[string]Settlement{"a.2": {Reads: "on its stop"}}}, "a.2", "CORRECT M9.stop", "2 2 1 5 3 2"},
		{"a number where the stop is right", "a.2.stop=|a.2=5.00", Terms{Hand: full}, "a.2", "WRONG M9.stop stop-read", "1 2 1 5 3 2"},
		{"a 0 where the stop is right", "a.2.stop=|a.2=0", Terms{Hand: full}, "a.2", "WRONG M9.stop", "1 2 1 5 3 2"},
		{"two readings, neither is the stop", "a.2.stop=|a.2=1,500", Terms{Hand: full}, "a.2", "WRONG M9.stop", "1 2 1 5 3 2"},
		{"not readable where the stop is right", "a.2.stop=|a.2=5?", Terms{Hand: full}, "a.2", "QUERY M5.unknown", "1-2 2 1 5 3 2"},
		{"a tick where a number is right", "a.1=|a.1.stop=stop", Terms{Hand: full}, "a.1", "WRONG M9.stop stop-everywhere", "1 2 1 5 3 2"},

		{"unit in its own box", "b=2.94|b.unit=volts", Terms{Hand: full}, "b", "CORRECT M7.within", "2 2 1 5 3 2"},
		{"unit in both", "b=2.94 V|b.unit=V", Terms{Hand: full}, "b", "CORRECT M7.within", "2 2 1 5 3 2"},
		{"two units", "b=2.94 V|b.unit=mA", Terms{Hand: full}, "b", "QUERY M5.unknown", "2 0-2 1 5 3 2"},
		{"no unit: its mark", "b=2.94", Terms{Hand: full}, "b", "UNIT_MISSING M6.missing", "2 1 1 5 3 2"},
		{"no unit anywhere: once an exercise", "b=2.94|f.unit=", Terms{Hand: full}, "f", "UNIT_MISSING M6.missing", "2 1 1 5 3 2"},
		{"only the second has none", "f.unit=", Terms{Hand: full}, "f", "UNIT_MISSING M6.missing", "2 2 1 5 3 1"},
		{"another quantity, the number right", "b=2.94 mA", Terms{Hand: full}, "b", "WRONG_UNIT M5.quantity", "2 1 1 5 3 2"},
		{"the number wrong: no unit to lose", "b=3|f.unit=", Terms{Hand: full}, "f", "UNIT_MISSING M6.missing", "2 0 1 5 3 1"},
		{"in millivolts", "b=2940 mV", Terms{Hand: full}, "b", "CORRECT M7.within", "2 2 1 5 3 2"},
		{"what the meter can show decides: 2,945 is not thousands", "b=2,945 V", Terms{Hand: full}, "b", "CORRECT M7.within", "2 2 1 5 3 2"},

		{"no supply gives 2945 V", "f=2,945", Terms{Hand: full}, "f", "CORRECT M7.within", "2 2 1 5 3 2"},

		{"too few figures", "c=0.012", Terms{Hand: full}, "c", "WRONG M7.outside", "2 2 0 5 3 2"},
		{"too many figures", "c=0.012300", Terms{Hand: full}, "c", "SF M10.figures", "2 2 1 5 3 2"},
		{"one more is accepted", "c=0.01230", Terms{Hand: full}, "c", "CORRECT M7.within", "2 2 1 5 3 2"},

		{"the other order of free steps", "d.1=tell, zero, cell, read", Terms{Hand: full}, "d.1", "CORRECT M12.order", "2 2 1 5 3 2"},
		{"by letters", "d.1=B C D A", Terms{Hand: full}, "d.1", "CORRECT M12.order", "2 2 1 5 3 2"},
		{"by the numbers on paper", "d.1=4 1 2 3", Terms{Hand: full}, "d.1", "CORRECT M12.order", "2 2 1 5 3 2"},
		{"one pair against: τ 4/6 of 4 marks", "d.1=tell, cell, read, zero", Terms{Hand: full}, "d.1", "WRONG M12.order", "2 2 1 3 3 2"},
		{"a safety step too late: the part earns nothing", "d.1=read, tell, cell, zero", Terms{Hand: full}, "d.1", "WRONG M12.safety read-first", "2 2 1 0 3 2"},
		{"no order typed", "d.1=read=1, tell=1, cell=2, zero=", Terms{Hand: full}, "d.1", "QUERY M12.no-step", "2 2 1 1-5 3 2"},
		{"the order settled", "d.1=?", Terms{Hand: full, Settled: map[string]Settlement{"d.1": {Verdict: Correct}}}, "d.1", "CORRECT assessor.settled", "2 2 1 5 3 2"},
		{"the choice of its part wrong", "d.2=no", Terms{Hand: full}, "d.2", "WRONG M11.option", "2 2 1 4 3 2"},
	} {
		t.Run(row.name, func(t *testing.T) {
			given := answers(allRight)
			for k, v := range answers(row.given + "|") {
				given[k] = v
			}
			r, err := MarkItem(item, given, row.terms)
			if err != nil {
				t.Fatal(err)
			}
			var marks []string
			for _, p := range r.Parts {
				m := fmt.Sprint(p.Least)
				if p.Most != p.Least {
					m += fmt.Sprintf("-%d", p.Most)
				}
				marks = append(marks, m)
				for _, b := range p.Boxes {
					if b.Box != row.box {
						continue
					}
					got := string(b.Verdict) + " " + string(b.Rule)
					for _, s := range b.Slips {
						got += " " + s.ID
					}
					if got != row.want {
						t.Errorf("%s: %s, want %s (%q)", b.Box, got, row.want, b.Ask)
					}
				}
			}
			if s := strings.Join(marks, " "); s != row.marks {
				t.Errorf("marks %s, want %s", s, row.marks)
			}
		})
	}
}

// A strange key is told from one that the exercise has.
func TestTakes(t *testing.T) {
	item := kinds(t)
	for key, want := range map[string]bool{"a.1": true, "a.1.stop": true, "a.1.unit": false, "b.unit": true, "b.stop": false,
		"b.working": true, "a.working": true, "a": false, "e": true, "q": false, "": false, "z.working": false} {
		if got := Takes(item.Sheet, key); got != want {
			t.Errorf("%q: %v", key, got)
		}
		if _, err := MarkItem(item, map[string]string{key: "x"}, Terms{}); (err == nil) != want {
			t.Errorf("%q marked: %v", key, err)
		}
	}
}

// The mark for figures is lost once a form; overrides take the place of marks,
// and say what they replaced.
func TestForm(t *testing.T) {
	form := &exercises.Form{Items: []exercises.Drawn{
		{Exercise: &scenarios.Exercise{Number: 1}, Item: kinds(t)}, {Exercise: &scenarios.Exercise{Number: 2}, Item: kinds(t)}}}
	given := answers(allRight)
	given["c"] = "0.012300"
	both := map[int]map[string]string{1: given, 2: given}
	terms := map[int]Terms{1: {Hand: map[string]int{"e": 3}}, 2: {}}
	r, err := MarkForm(form, both, terms, nil)
	if err != nil {
		t.Fatal(err)
	}
	if r.Marks != 30 || r.Least != 26 || r.Most != 29 || !r.Items[0].Parts[2].FiguresOff || r.Items[1].Parts[2].FiguresOff {
		t.Errorf("%d to %d of %d", r.Least, r.Most, r.Marks)
	}
	r, err = MarkForm(form, both, terms, []Override{{Part: "2.e", Mark: 2, Reason: "seen", By: "AB"}, {Part: "1.b", Mark: 0, Reason: "copied", By: "AB"}})
	if err != nil {
		t.Fatal(err)
	}
	if r.Least != 26 || r.Most != 26 || len(r.Overrides) != 2 || r.Overrides[1].WasMost != 3 || r.Items[0].Parts[1].Override.WasLeast != 2 {
		t.Errorf("%d to %d, %+v", r.Least, r.Most, r.Overrides)
	}
	for _, bad := range []Override{{Part: "2.q"}, {Part: "3.a"}, {Part: "2.e", Mark: 4}, {Part: "2.e", Mark: -1}} {
		if _, err := MarkForm(form, both, terms, []Override{bad}); err == nil {
			t.Errorf("%+v was applied", bad)
		}
	}
}
