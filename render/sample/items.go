package sample

import (
	"strconv"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

var (
	percent = signal.Percent(formula.Sym("I"), signal.Current.Zero(), signal.Current.Full())
)

func number(id, name, unit, of string, decimals int) exercises.Box {
	return exercises.Box{ID: id, Kind: exercises.NumberBox, Name: name, Unit: unit, Of: of, Decimals: decimals}
}

func choice(id, name string, options ...string) exercises.Box {
	b := exercises.Box{ID: id, Kind: exercises.ChoiceBox, Name: name}
	for i, o := range options {
		b.Options = append(b.Options, exercises.Option{ID: "o" + strconv.Itoa(i+1), Text: Text(o)})
	}
	return b
}

func right(b exercises.Box, v formula.Value, tolerance formula.Value) exercises.Answer {
	return exercises.Answer{Box: b.ID, Value: v, Tolerance: tolerance}
}

// scaleIt has number boxes alone, one of them with a fraction and a root.
func scaleIt(i int64) exercises.Item {
	ma := formula.Decimal(960+8*i, 2)
	env := formula.Env(signal.Current.Bind()).With(formula.Binding{Sym: "I", V: ma, Unit: "mA", Decimals: 2})
	x := formula.Definition{Sym: "x", Expr: percent, Unit: "%", Decimals: 1}
	dead := formula.Definition{Sym: "x", Expr: formula.Mul(formula.Div(formula.Sym("I"), signal.Current.Full()), formula.Percent100()), Unit: "%", Decimals: 1}
	root := formula.Definition{Sym: "q", Expr: formula.Mul(formula.Sqrt(signal.Fraction(formula.Sym("I"), signal.Current.Zero(), signal.Current.Full())), formula.Percent100()), Unit: "%", Decimals: 1}
	a, b := number("a", "signal", "%", "of span", 1), number("b", "flow", "%", "of range", 1)
	xv, _ := x.Bind(env, "")
	dv, _ := dead.Bind(env, "")
	qv, _ := root.Bind(env, "")
	return exercises.Item{
		Sheet: exercises.Sheet{
			Intro: Text("Work out each value and write it into its box. Keep at least five figures on the way and round only the answer."),
			Parts: []exercises.Part{
				{Label: "a", Prompt: Text("The transmitter LT-3305 sends " + ma.Text(2) + "\u00a0mA. At what percentage of its span does the signal stand?"), Marks: 2, Boxes: []exercises.Box{a}, Lines: 3},
				{Label: "b", Prompt: Text("Another transmitter sends the same current, in proportion to a differential pressure; the receiver takes the square root. What flow does it show?"), Marks: 2, Boxes: []exercises.Box{b}, Lines: 3},
			},
		},
		Key: exercises.Key{Env: env, Parts: []exercises.PartKey{
			{Label: "a", Answers: []exercises.Answer{right(a, xv.V, formula.Decimal(5, 2))},
				Working: []exercises.Step{{Text: Text("Take the live zero off the signal and divide by the span of the signal."), Def: &x, Env: env}},
				Why:     Text("Half a unit of the last place asked for."),
				Slips: []exercises.Slip{{ID: "dead-zero", Name: "forgot the live zero", Feedback: Text("You divided by 20 mA. The signal begins at 4 mA: take that off first."),
					Answers: []exercises.SlipAnswer{{Box: "a", Value: dv.V}}}},
				Credit: []exercises.Credit{{Marks: 1, For: Text("taking the live zero off")}, {Marks: 1, For: Text("the value within tolerance")}}},
			{Label: "b", Answers: []exercises.Answer{right(b, qv.V, formula.Decimal(5, 2))},
				Working: []exercises.Step{{Text: Text("Flow goes with the square root of the differential pressure."), Def: &root, Env: env}},
				Why:     Text("Half a unit of the last place asked for."),
				Slips: []exercises.Slip{{ID: "no-root", Name: "forgot the root", Feedback: Text("That is the differential pressure. The flow goes with its square root."),
					Answers: []exercises.SlipAnswer{{Box: "b", Value: xv.V}}}},
				Credit: []exercises.Credit{{Marks: 2, For: Text("the value within tolerance")}}},
		}},
	}
}

// needle has a face, choices and numbers.
func needle(i int64) exercises.Item {
	code := -13 + 5*int(i)
	e := formula.Decimal(int64(code), 1)
	env := formula.Env{{Sym: "n", V: formula.Ratio(int64(code), 5), Unit: "div", Decimals: 1}, {Sym: "k", V: formula.Decimal(5, 1), Unit: "%/div", Decimals: 1}}
	def := formula.Definition{Sym: "e", Expr: formula.Mul(formula.Sym("n"), formula.Sym("k")), Unit: "%", Decimals: 1}
	limit := formula.Relation{A: formula.Abs(formula.Sym("e")), Op: formula.Greater, B: formula.Sym("T")}
	limitEnv := formula.Env{{Sym: "e", V: e, Unit: "%", Decimals: 1}, {Sym: "T", V: formula.Decimal(5, 1), Unit: "%", Decimals: 1}}
	a := choice("a", "the output is", "low", "right", "high", "not to be told from this needle")
	b1, b2 := number("b.1", "deflection", "div", "", 1), number("b.2", "error", "%", "of span", 1)
	c := choice("c", "verdict", "within the tolerance: record it", "beyond the tolerance: record it, then adjust")
	return exercises.Item{
		Sheet: exercises.Sheet{
			Intro:    Text("LT-3305 measures the level of the brine buffer, 0 to 25 kPa as 4–20 mA. Its tolerance is ± 0.5 % of span. The checker is in series with the loop, mechanical zero and cell are good."),
			Cautions: []string{"open-loop"},
			Figures: []exercises.Figure{
				{ID: "face-1", Caption: Text("The reading at 50 %"), Face: &exercises.Face{Design: Face, Lever: "Current", Ring: 50, Needle: loop.Needle{Code: code}}},
				{ID: "face-2", Caption: Text("The same point, ring at 25 %"), Face: &exercises.Face{Design: Face, Lever: "Current", Ring: 25, Needle: loop.Needle{Code: 50, Stop: loop.RightStop}}},
			},
			Parts: []exercises.Part{
				{Label: "a", Prompt: Text("Is the output low, right or high?"), Marks: 1, Boxes: []exercises.Box{a}},
				{Label: "b", Prompt: Text("How far from the centre does the needle stand, and what error is that?"), Marks: 2, Boxes: []exercises.Box{b1, b2}, Lines: 2},
				{Label: "c", Prompt: Text("What is your verdict?"), Marks: 1, Boxes: []exercises.Box{c}},
			},
		},
		Key: exercises.Key{Fault: "low zero " + e.Text(1) + " % of span", Env: env, Parts: []exercises.PartKey{
			{Label: "a", Answers: []exercises.Answer{{Box: "a", Option: "o1"}}, Working: []exercises.Step{{Text: Text("The needle stands left of the centre: the output is **low**.")}},
				Slips:  []exercises.Slip{{ID: "direction", Name: "direction swapped", Feedback: Text("Left is low: the loop brings less than the reference."), Answers: []exercises.SlipAnswer{{Box: "a", Option: "o3"}}}},
				Credit: []exercises.Credit{{Marks: 1, For: Text("the direction")}}},
			{Label: "b", Answers: []exercises.Answer{right(b1, formula.Ratio(int64(code), 5), formula.Decimal(1, 1)), right(b2, e, formula.Decimal(1, 1))},
				Working: []exercises.Step{{Text: Text("One division is 0.5 % of span."), Def: &def, Env: env}},
				Why:     Text("Half a small mark on the face, and half a unit of the last place asked for."),
				Slips: []exercises.Slip{
					{ID: "small-mark", Name: "small mark taken for a division", Feedback: Text("You counted small marks. Five of them make a division."), Answers: []exercises.SlipAnswer{{Box: "b.1", Value: formula.Int(int64(code))}, {Box: "b.2", Value: formula.Ratio(int64(code), 2)}}},
					{ID: "direction", Name: "direction swapped", Feedback: Text("The size is right. Left of the centre is low, so the sign is minus."), Answers: []exercises.SlipAnswer{{Box: "b.1", Value: formula.Ratio(int64(-code), 5)}, {Box: "b.2", Value: e.Neg()}}}},
				Credit: []exercises.Credit{{Marks: 1, For: Text("the deflection")}, {Marks: 1, For: Text("the error with its sign")}}},
			{Label: "c", Answers: []exercises.Answer{{Box: "c", Option: "o2"}}, Working: []exercises.Step{{Rel: &limit, Env: limitEnv}},
				Credit: []exercises.Credit{{Marks: 1, For: Text("the verdict that follows from the error")}}},
		}},
	}
}

// fivePoint has faces and boxes in the cells of tables, an empty grid and an
// error chart.
func fivePoint(i int64) exercises.Item {
	codes := []int64{-6 - i, -5, -4, -3, -2}
	givens := exercises.Table{Columns: []exercises.Column{{Head: "Input", Unit: "% of range"}, {Head: "Ring", Unit: "%"}, {Head: "Needle"}}}
	fill := exercises.Table{Columns: []exercises.Column{{Head: "Input", Unit: "%"}, {Head: "Should be", Unit: "mA"}, {Head: "Error", Unit: "% of span"}, {Head: "Verdict"}}}
	s := exercises.Sheet{
		Intro:    Text("TT-3322 was checked at five points, as found. Its tolerance is ± 0.5 % of span."),
		Cautions: []string{"as-found-first", "settle-each-point"},
	}
	chart := exercises.Chart{Title: "TT-3322 as found", Tolerance: formula.Decimal(5, 1), Worst: 0}
	var boxes []exercises.Box
	var answers []exercises.Answer
	var swapped []exercises.SlipAnswer
	for n, code := range codes {
		at, id := strconv.Itoa(25*n), strconv.Itoa(n+1)
		s.Figures = append(s.Figures, exercises.Figure{ID: "face-" + id, Face: &exercises.Face{Design: Face, Lever: "Current", Ring: 25 * n, Needle: loop.Needle{Code: int(code)}}})
		givens.Rows = append(givens.Rows, exercises.Row{Cells: []exercises.Cell{{Text: at}, {Text: at}, {Figure: "face-" + id}}})
		fill.Rows = append(fill.Rows, exercises.Row{Cells: []exercises.Cell{{Text: at}, {Text: formula.Int(int64(4 + 4*n)).Text(2)}, {Box: "a." + id}, {Box: "v." + id}}})
		e, v := number("a."+id, "error at "+at+" %", "%", "of span", 1), choice("v."+id, "verdict at "+at+" %", "in", "out")
		boxes = append(boxes, e, v)
		verdict := "o1"
		if code < -5 {
			verdict = "o2"
		}
		answers = append(answers, right(e, formula.Decimal(code, 1), formula.Decimal(5, 2)), exercises.Answer{Box: v.ID, Option: verdict})
		swapped = append(swapped, exercises.SlipAnswer{Box: e.ID, Value: formula.Decimal(-code, 1)})
		chart.Points = append(chart.Points, exercises.ChartPoint{Input: 25 * n, Error: formula.Decimal(code, 1)})
	}
	s.Figures = append(s.Figures,
		exercises.Figure{ID: "readings", Caption: Text("The readings as found"), Table: &givens},
		exercises.Figure{ID: "grid", Caption: Text("Draw the five errors here"), Grid: &exercises.Grid{Tolerance: formula.Decimal(5, 1)}})
	c := choice("c", "first adjustment", "zero, upwards", "zero, downwards", "span, upwards", "span, downwards")
	zero := formula.Definition{Sym: "e_zero", Expr: formula.Sym("e_0"), Unit: "%", Decimals: 1}
	span := formula.Definition{Sym: "e_span", Expr: formula.Sub(formula.Sym("e_100"), formula.Sym("e_0")), Unit: "%", Decimals: 1}
	env := formula.Env{{Sym: "e_0", V: formula.Decimal(codes[0], 1), Unit: "%", Decimals: 1}, {Sym: "e_100", V: formula.Decimal(codes[4], 1), Unit: "%", Decimals: 1}}
	b1, b2 := number("b.1", "zero error", "%", "of span", 1), number("b.2", "span error", "%", "of span", 1)
	s.Parts = []exercises.Part{
		{Label: "a", Prompt: Text("Read the five needles and fill in the table. A point that is beyond the tolerance is *out*."), Marks: 5, Table: &fill, Boxes: boxes},
		{Label: "b", Prompt: Text("What are the zero error and the span error?"), Marks: 2, Boxes: []exercises.Box{b1, b2}, Lines: 3},
		{Label: "c", Prompt: Text("Which adjustment comes first, and which way?"), Marks: 1, Boxes: []exercises.Box{c}},
	}
	spanV, _ := span.Bind(env, "")
	return exercises.Item{Sheet: s, Key: exercises.Key{
		Fault: "low zero −0.6 % and span drift +0.4 % of span", Env: env, Chart: &chart,
		Parts: []exercises.PartKey{
			{Label: "a", Answers: answers, Why: Text("Half a small mark on the face."), Working: []exercises.Step{{Text: Text("One small mark is 0.1 % of span; left is minus.")}},
				Slips:  []exercises.Slip{{ID: "direction", Name: "direction swapped", Feedback: Text("All sizes are right. Left of the centre is low: give each a minus."), Answers: swapped}},
				Credit: []exercises.Credit{{Marks: 5, For: Text("one for each point")}}},
			{Label: "b", Answers: []exercises.Answer{right(b1, formula.Decimal(codes[0], 1), formula.Decimal(5, 2)), right(b2, spanV.V, formula.Decimal(1, 1))},
				Working: []exercises.Step{{Text: Text("The zero error is the error at 0 %."), Def: &zero, Env: env}, {Text: Text("The span error is what is left at 100 % when the zero error is taken away."), Def: &span, Env: env}},
				Why:     Text("Half a small mark for each reading that goes in."),
				Slips:   []exercises.Slip{{ID: "sum", Name: "error at 100 % called span error", Feedback: Text("That is the error at 100 %. Take the zero error off it."), Answers: []exercises.SlipAnswer{{Box: "b.2", Value: formula.Decimal(codes[4], 1)}}}},
				Credit:  []exercises.Credit{{Marks: 1, For: Text("the zero error")}, {Marks: 1, For: Text("the span error")}}},
			{Label: "c", Answers: []exercises.Answer{{Box: "c", Option: "o1"}}, Working: []exercises.Step{{Text: Text("Zero at 0 % comes first; it is low, so upwards.")}}, Credit: []exercises.Credit{{Marks: 1, For: Text("zero, upwards")}}},
		},
	}}
}

// whatNext has long options and a table of printed givens.
func whatNext(int64) exercises.Item {
	a := choice("a", "next step",
		"Adjust the zero until the needle stands on the centre.",
		"Put the lever to *Cell* and see whether the needle passes the line: a weak cell makes every good transmitter look high in proportion.",
		"Write the five readings down and give the transmitter back as it is.")
	return exercises.Item{
		Sheet: exercises.Sheet{
			Intro:    Text("Nobody has looked at the checker this morning. At the receiver of LT-3305 you read:"),
			Cautions: []string{"before-test-lead"},
			Figures: []exercises.Figure{{ID: "givens", Caption: Text("Readings at the receiver"), Table: &exercises.Table{
				Columns: []exercises.Column{{Head: "Input", Unit: "kPa"}, {Head: "Receiver shows", Unit: "m"}, {Head: "Voltmeter", Unit: "V"}},
				Rows: []exercises.Row{
					{Cells: []exercises.Cell{{Text: "0"}, {Text: "0.00"}, {Text: "1.00"}}},
					{Cells: []exercises.Cell{{Text: "12.5"}, {Text: "1.26"}, {Text: "3.02"}}},
					{Cells: []exercises.Cell{{Text: "25"}, {Text: "2.51"}, {Text: "5.04"}}},
				}}}},
			Parts: []exercises.Part{{Label: "a", Prompt: Text("What do you do next?"), Marks: 2, Boxes: []exercises.Box{a}}},
		},
		Key: exercises.Key{Fault: "weak cell", Parts: []exercises.PartKey{{
			Label: "a", Answers: []exercises.Answer{{Box: "a", Option: "o2"}},
			Working: []exercises.Step{{Text: Text("The errors grow in proportion, and the cell has not been checked.")}},
			Slips:   []exercises.Slip{{ID: "no-cell-check", Name: "cell not checked", Feedback: Text("A weak cell would have you adjust a good transmitter."), Answers: []exercises.SlipAnswer{{Box: "a", Option: "o1"}}}},
			Credit:  []exercises.Credit{{Marks: 2, For: Text("checks the cell first")}},
		}}},
	}
}
