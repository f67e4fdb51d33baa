package sample

import (
	"strconv"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// vessel is a drawing of a tank with its two legs.
func vessel(words string) *exercises.Drawing {
	return &exercises.Drawing{
		Width: 800, Height: 560, Words: words,
		Shapes: []exercises.Shape{
			{Points: [][2]int{{120, 260}, {420, 260}, {420, 460}, {120, 460}}, Closed: true, Fill: true},
			{Points: [][2]int{{120, 60}, {420, 60}, {420, 460}, {120, 460}}, Closed: true, Heavy: true},
			{Points: [][2]int{{420, 100}, {620, 100}, {620, 400}}},
			{Points: [][2]int{{420, 440}, {580, 440}}},
			{Points: [][2]int{{620, 440}}, Radius: 40, Heavy: true},
			{Points: [][2]int{{60, 260}, {110, 260}}, Dashed: true},
			{Points: [][2]int{{700, 440}, {700, 110}}, Arrow: true},
		},
		Labels: []exercises.Label{
			{At: [2]int{60, 245}, Text: "60 %", Anchor: exercises.AnchorMiddle},
			{At: [2]int{620, 450}, Text: "LT", Anchor: exercises.AnchorMiddle},
			{At: [2]int{710, 280}, Text: "4.0 m"},
		},
	}
}

// kinds has every kind of box that the other samples have not: an order, words,
// a choice of faces and of drawings, a tick for the stop, a unit that is asked
// for; and a table with empty cells, a drawing and a chart of two runs.
func kinds(i int64) exercises.Item {
	at := func(n int, stop loop.Stop) *exercises.Face {
		return &exercises.Face{Design: Face, Lever: "Current", Ring: 50, Needle: loop.Needle{Code: n, Stop: stop}}
	}
	s := exercises.Sheet{
		Intro:    Text("LT-3305 hangs on a tank with a wet leg, as drawn."),
		Cautions: []string{"pressure"},
		Figures: []exercises.Figure{
			{ID: "tank", Caption: Text("The tank with its two legs"), Drawing: vessel("a tank, liquid standing at 60 %, a leg from its top and one from its bottom to the transmitter; from tap to tap 4.0 m")},
			{ID: "log", Caption: Text("What the log says; two cells are yours"), Table: &exercises.Table{
				Columns: []exercises.Column{{}, {Head: "Rising", Unit: "mA"}, {Head: "Falling", Unit: "mA"}},
				Rows: []exercises.Row{
					{Cells: []exercises.Cell{{Text: "50 %"}, {Text: "11.90"}, {}}},
					{Cells: []exercises.Cell{{Text: "100 %"}, {Text: "19.92"}, {}}},
				}}},
			{ID: "needle-1", Face: at(int(-12-i), 0)},
			{ID: "needle-2", Face: at(int(12+i), 0)},
			{ID: "needle-3", Face: at(50, loop.RightStop)},
			{ID: "sketch-1", Drawing: vessel("a tank with liquid at 60 %, first sketch")},
			{ID: "sketch-2", Drawing: vessel("a tank with liquid at 60 %, second sketch")},
		},
	}
	order := exercises.Box{ID: "a", Kind: exercises.OrderBox, Name: "order of the steps", Options: []exercises.Option{
		{ID: "open", Text: Text("open the equalising valve")}, {ID: "permit", Text: Text("get the permit and tell the control room")},
		{ID: "read", Text: Text("read the output")}, {ID: "shut", Text: Text("shut the two block valves")}}}
	faces := exercises.Box{ID: "b", Kind: exercises.ChoiceBox, Name: "the face that shows the loop high", Options: []exercises.Option{
		{ID: "left", Figure: "needle-1"}, {ID: "right", Figure: "needle-2"}, {ID: "stop", Figure: "needle-3"}}}
	sketches := exercises.Box{ID: "c", Kind: exercises.ChoiceBox, Name: "the sketch that fits", Options: []exercises.Option{
		{ID: "one", Text: Text("wet leg"), Figure: "sketch-1"}, {ID: "two", Text: Text("dry leg"), Figure: "sketch-2"}}}
	reading := number("d.1", "error at 50 %", "%", "of span", 1)
	reading.MayStop = true
	stopped := number("d.2", "error at 100 %", "%", "of span", 1)
	stopped.MayStop = true
	pressure := number("e", "pressure at the transmitter", "kPa", "", 1)
	pressure.UnitAsked, pressure.Figures = true, 3
	words := exercises.Box{ID: "f", Kind: exercises.JudgedBox, Name: "what you would write in the log"}
	table := &exercises.Table{
		Columns: []exercises.Column{{Head: "Input", Unit: "%"}, {Head: "Error", Unit: "% of span"}},
		Rows:    []exercises.Row{{Cells: []exercises.Cell{{Text: "50"}, {Box: "d.1"}}}, {Cells: []exercises.Cell{{Text: "100"}, {Box: "d.2"}}}}}
	s.Parts = []exercises.Part{
		{Label: "a", Prompt: Text("In which order do you take the transmitter out of service?"), Marks: 4, Boxes: []exercises.Box{order}},
		{Label: "b", Prompt: Text("Which needle shows the loop high?"), Marks: 1, Boxes: []exercises.Box{faces}},
		{Label: "c", Prompt: Text("Which sketch is of this tank?"), Marks: 1, Boxes: []exercises.Box{sketches}},
		{Label: "d", Prompt: Text("Give the two errors."), Marks: 2, Table: table, Boxes: []exercises.Box{reading, stopped}, Lines: 1},
		{Label: "e", Prompt: Text("What pressure stands at the transmitter?"), Marks: 2, Boxes: []exercises.Box{pressure}, Lines: 2},
		{Label: "f", Prompt: Text("Write the line for the log."), Marks: 2, Boxes: []exercises.Box{words}, Lines: 4},
	}
	head := formula.Definition{Sym: "p", Expr: formula.Mul(formula.Mul(formula.Sym("ρ"), formula.Sym("g")), formula.Sym("h")), Unit: "kPa", Decimals: 1}
	env := formula.Env{{Sym: "ρ", V: formula.Int(1), Unit: "t/m³"}, {Sym: "g", V: formula.Decimal(98, 1), Unit: "m/s²", Decimals: 1}, {Sym: "h", V: formula.Decimal(24, 1), Unit: "m", Decimals: 1}}
	p, _ := head.Bind(env, "")
	half := formula.Decimal(5, 2)
	var up, down []exercises.ChartPoint
	for n := range int64(5) {
		up = append(up, exercises.ChartPoint{Input: int(25 * n), Error: formula.Decimal(-6+n, 1)})
		down = append(down, exercises.ChartPoint{Input: int(100 - 25*n), Error: formula.Decimal(2+n, 1)})
	}
	one := []exercises.Credit{{Marks: 1, For: Text("the answer")}}
	return exercises.Item{Sheet: s, Key: exercises.Key{
		Fault: "the needle sticks", Env: env,
		Chart: &exercises.Chart{Title: "LT-3305, both ways", Name: "rising, as found", Points: up, Tolerance: formula.Decimal(5, 1), Worst: 4, WorstIn: 1,
			More: []exercises.ChartSeries{{Name: "falling, as found", Points: down}, {Name: "rising, as left", Points: []exercises.ChartPoint{{Input: 0}, {Input: 50, Error: formula.Decimal(1, 1)}, {Input: 100}}}}},
		Parts: []exercises.PartKey{
			{Label: "a", Answers: []exercises.Answer{{Box: "a", Order: &exercises.Order{Steps: []string{"permit", "shut", "open", "read"},
				Before: [][2]string{{"shut", "read"}, {"permit", "open"}}, Safety: [][2]string{{"permit", "shut"}}}}},
				Working: []exercises.Step{{Text: Text("What keeps people safe comes first."), Table: &exercises.Table{
					Columns: []exercises.Column{{Head: "Step"}, {Head: "Why here"}},
					Rows:    []exercises.Row{{Cells: []exercises.Cell{{Text: "permit"}, {Text: "nobody else works on the loop"}}}}}}},
				Slips:  []exercises.Slip{{ID: "permit-late", Name: "permit after the valves", Feedback: Text("The permit comes before any hand on a valve."), Answers: []exercises.SlipAnswer{{Box: "a", Order: []string{"shut", "permit", "open", "read"}}}}},
				Credit: []exercises.Credit{{Marks: 4, For: Text("the order, less what is out of it")}}},
			{Label: "b", Answers: []exercises.Answer{{Box: "b", Option: "right"}}, Credit: one,
				Slips: []exercises.Slip{{ID: "direction", Name: "direction swapped", Feedback: Text("Left is low."), Answers: []exercises.SlipAnswer{{Box: "b", Option: "left"}}}}},
			{Label: "c", Answers: []exercises.Answer{{Box: "c", Option: "one"}}, Credit: one},
			{Label: "d", Answers: []exercises.Answer{right(reading, formula.Decimal(-4, 1), half), {Box: "d.2", Stop: true}}, Credit: []exercises.Credit{{Marks: 2, For: Text("one for each")}},
				Slips: []exercises.Slip{
					{ID: "stop-read", Name: "stop taken for a reading", Feedback: Text("On the stop the needle says only which side."), Answers: []exercises.SlipAnswer{{Box: "d.2", Value: formula.Int(5)}}},
					{ID: "gave-up", Name: "a reading taken for the stop", Feedback: Text("That needle can be read."), Answers: []exercises.SlipAnswer{{Box: "d.1", Stop: true}}}}},
			{Label: "e", Answers: []exercises.Answer{right(pressure, p.V, half)}, UnitMark: 1, Working: []exercises.Step{{Def: &head, Env: env}}, Why: Text("Half a unit of the last place asked for."),
				Credit: []exercises.Credit{{Marks: 1, For: Text("the number")}, {Marks: 1, For: Text("the unit")}}},
			{Label: "f", Answers: []exercises.Answer{{Box: "f"}}, Working: []exercises.Step{{Text: Text("For instance: *LT-" + strconv.Itoa(3305) + " found low, 0.6 % at 0 %.*")}},
				Credit: []exercises.Credit{{Marks: 1, For: Text("tag and date")}, {Marks: 1, For: Text("as found, before any adjustment")}}},
		}}}
}
