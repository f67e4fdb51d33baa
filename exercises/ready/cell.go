package ready

import (
	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// The symbols of the family, all in divisions: m where the needle rests, n
// where it stands at Cell, l the line of a good cell, d how far past it the
// cell is; q and r the same two of a reading of the table, v a void one.
const (
	symRest    formula.Sym = "m"
	symCell    formula.Sym = "n"
	symLine    formula.Sym = "l"
	symPast    formula.Sym = "d"
	symDayRest formula.Sym = "q"
	symReading formula.Sym = "r"
	symVoid    formula.Sym = "v"
	symError   formula.Sym = "e"

	// As read by somebody who takes small marks for tenths.
	symRestTenths formula.Sym = "m_tenths"
	symCellTenths formula.Sym = "n_tenths"
)

// Where the cell line must stand so that weak and good cells both show on the
// face, small marks; and how far from the line a cell is drawn at least.
const (
	lowestLine, highestLine = 15, 30
	clearOfLine             = nullbalance.Clear
)

var (
	divisionHalf = formula.Decimal(1, 1) // half a small mark, divisions
	zeroDiv      = formula.Lit{V: formula.Int(0), Unit: "div"}
)

// needleAt is a needle at a small mark, on its stop where there is one.
func needleAt(code int) loop.Needle {
	switch {
	case code >= stopMark:
		return loop.Needle{Code: stopMark, Stop: loop.RightStop}
	case code <= -stopMark:
		return loop.Needle{Code: -stopMark, Stop: loop.LeftStop}
	}
	return loop.Needle{Code: code}
}

// stopMark is the small mark of a face's stop: nullbalance.FitsFace.
const stopMark = 50

func (w *item) show(id, lever string, n loop.Needle) {
	w.Item.Sheet.Figures = append(w.Item.Sheet.Figures, exercises.Figure{ID: id, Caption: w.Text("face." + id),
		Face: &exercises.Face{Design: w.face, Lever: lever, Needle: n, CellLine: true}})
}

// read binds where a needle stands, and what somebody reads who takes small
// marks for tenths.
func (w *item) read(sym, tenths formula.Sym, code int) {
	w.Env = w.Env.With(
		formula.Binding{Sym: sym, V: nullbalance.Divisions(w.face, code), Unit: "div", Decimals: 1},
		formula.Binding{Sym: tenths, V: nullbalance.Tenths(w.face, code), Unit: "div", Decimals: 1})
}

func (w *item) perDivision() formula.Expr {
	return formula.Lit{V: nullbalance.PerDivision(w.face), Unit: "%/div"}
}

// either draws a number of small marks on either side of the centre.
func (w *item) either(least, most int) int {
	n := w.pick.Between(least, most)
	if w.pick.Int(2) == 0 {
		return -n
	}
	return n
}

// rest asks for the mechanical zero.
func (w *item) rest() {
	code := w.either(4, 15)
	w.show("rest", "Rest", needleAt(code))
	w.read(symRest, symRestTenths, code)
	w.Item.Key.Env = w.Env
	five := formula.Num(int64(w.face.SmallPerDiv))
	// The answer is the reading itself: what is asked is to read it, with its
	// sign.
	w.Words = append(w.Words, "rest", nullbalance.Words(w.face, needleAt(code)))
	w.Ask("rest", formula.Definition{Sym: "N", Expr: symRest, Unit: "div", Decimals: 1}, "", divisionHalf,
		exercises.Told{ID: "side", Name: "sides of the needle swapped", X: formula.Neg(symRest)},
		exercises.Told{ID: "marks-as-divisions", Name: "small marks counted as divisions", X: formula.Mul(symRest, five)},
		exercises.Told{ID: "percent-given", Name: "percent of span given for divisions", X: formula.Mul(symRest, w.perDivision())},
		exercises.Told{ID: "marks-as-tenths", Name: "small marks counted as tenths of a division", X: symRestTenths},
		exercises.Told{ID: "side-and-marks", Name: "small marks counted, and the sides swapped", X: formula.Neg(formula.Mul(symRest, five))})
}

// The cell as it is found.
const (
	goodCell = "good"
	weakCell = "weak"
	unmoved  = "unmoved" // the needle stands where it rests
)

// cell asks how far the needle stands past its line once the mechanical zero is
// right, and what that says.
func (w *item) cell() error {
	line := w.face.CellLineSmall
	state := []string{goodCell, weakCell, unmoved}[w.pick.Int(3)]
	code := 0
	switch state {
	case goodCell:
		code = w.pick.Between(line+clearOfLine, stopMark-1)
	case weakCell:
		for code = w.pick.Between(-12, line-clearOfLine); code > -4 && code < 4; code++ {
		}
	}
	n := needleAt(code)
	w.show("cell", "Cell", n)
	w.read(symCell, symCellTenths, code)
	w.Env = w.Env.With(formula.Binding{Sym: symLine, V: nullbalance.Divisions(w.face, line), Unit: "div", Decimals: 1})
	w.Item.Key.Env = w.Env
	w.Words = append(w.Words, "cell", nullbalance.Words(w.face, n))
	five := formula.Num(int64(w.face.SmallPerDiv))
	w.Ask("reach", formula.Definition{Sym: symPast, Expr: formula.Sub(symCell, symLine), Unit: "div", Decimals: 1}, "", divisionHalf,
		exercises.Told{ID: "past-turned", Name: "line less reading", X: formula.Sub(symLine, symCell)},
		exercises.Told{ID: "reading-given", Name: "the reading given as it stands", X: symCell},
		exercises.Told{ID: "line-added", Name: "the line added", X: formula.Add(symCell, symLine)},
		exercises.Told{ID: "percent-given", Name: "percent of span given for divisions", X: formula.Mul(formula.Sub(symCell, symLine), w.perDivision())},
		exercises.Told{ID: "marks-as-divisions", Name: "small marks counted as divisions", X: formula.Mul(formula.Sub(symCell, symLine), five)},
		exercises.Told{ID: "marks-as-tenths", Name: "small marks counted as tenths of a division", X: formula.Sub(symCellTenths, symLine)})
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	key := w.ChoiceKey(label, state, exercises.Step{Text: w.Text("work.cell-" + state)})
	wrong := map[string][2][2]string{ // by what is right: id and option
		goodCell: {{"line-exact", weakCell}, {"trigger-doubted-cell", unmoved}},
		weakCell: {{"right-is-good", goodCell}, {"weak-as-nothing", unmoved}},
		unmoved:  {{"centre-is-null", goodCell}, {"changed-at-once", weakCell}},
	}[state]
	names := map[string]string{"line-exact": "only a needle on the line taken for good", "trigger-doubted-cell": "trigger doubted although the needle has moved",
		"right-is-good": "any place right of the centre taken for good", "moved-is-good": "any movement taken for good",
		"weak-as-nothing": "a weak cell taken for no reading", "centre-is-null": "the centre taken for a null", "changed-at-once": "cell changed though nothing was measured"}
	for _, s := range wrong {
		id := s[0]
		if id == "right-is-good" && code < 0 {
			id = "moved-is-good"
		}
		key.Slips = append(key.Slips, w.ChoiceSlip(label, id, names[id], s[1]))
	}
	part := w.Choice(label, "cell", goodCell, weakCell, unmoved)
	w.Item.Add(part, key)
	w.Item.Key.Fault = found[state]
	return nil
}

// found tells the assessor what was put in.
var found = map[string]string{goodCell: "good cell", weakCell: "weak cell", unmoved: "trigger not pressed, or a dead cell"}

// cellWithRest asks how far past its line a cell is when the mechanical zero is
// off, and what that means. In half of the draws what is read and what is left
// lie on different sides of the line.
func (w *item) cellWithRest() error {
	line := w.face.CellLineSmall
	m := w.either(3, 8)
	state := []string{goodCell, weakCell}[w.pick.Int(2)]
	most := map[string]int{goodCell: stopMark - 1 - line - max(m, 0), weakCell: line}[state]
	if trap := w.pick.Int(2) == 0; trap && (m > 0) == (state == weakCell) {
		most = max(clearOfLine, abs(m)-1)
	}
	past := w.pick.Between(clearOfLine, most)
	if state == weakCell {
		past = -past
	}
	code := line + m + past
	if abs(code) >= stopMark {
		return rejectCell
	}
	w.show("rest", "Rest", needleAt(m))
	w.show("cell-rest", "Cell", needleAt(code))
	w.read(symRest, symRestTenths, m)
	w.read(symCell, symCellTenths, code)
	w.Env = w.Env.With(formula.Binding{Sym: symLine, V: nullbalance.Divisions(w.face, line), Unit: "div", Decimals: 1})
	w.Item.Key.Env = w.Env
	w.Words = append(w.Words, "rest", nullbalance.Words(w.face, needleAt(m)), "cell", nullbalance.Words(w.face, needleAt(code)))
	w.Item.Key.Fault = found[state]
	sub := formula.Sub
	w.Ask("past", formula.Definition{Sym: symPast, Expr: sub(sub(symCell, symRest), symLine), Unit: "div", Decimals: 1}, "", divisionHalf,
		exercises.Told{ID: "rest-left-in", Name: "mechanical zero not taken off", X: sub(symCell, symLine)},
		exercises.Told{ID: "rest-added", Name: "mechanical zero added", X: sub(formula.Add(symCell, symRest), symLine)},
		exercises.Told{ID: "line-forgotten", Name: "the line forgotten", X: sub(symCell, symRest)},
		exercises.Told{ID: "past-turned", Name: "line less reading", X: sub(symLine, sub(symCell, symRest))},
		exercises.Told{ID: "marks-as-tenths", Name: "small marks counted as tenths of a division", X: sub(sub(symCellTenths, symRestTenths), symLine)},
		exercises.Told{ID: "reading-given", Name: "the reading given as it stands", X: symCell})
	reaches := formula.Relation{A: symPast, Op: formula.GreaterEq, B: zeroDiv}
	reads := formula.Relation{A: symCell, Op: formula.GreaterEq, B: symLine}
	short := formula.Relation{A: symCell, Op: formula.Less, B: symLine}
	return w.Choose("may", []string{goodCell, weakCell},
		[]exercises.Decision{{Rel: &reaches, Option: goodCell}, {Option: weakCell}},
		exercises.Misled{ID: "judged-as-read", Name: "cell judged with the mechanical zero in it", Option: goodCell, Rel: &reads},
		exercises.Misled{ID: "right-is-good", Name: "any place right of the centre taken for good", Option: goodCell},
		exercises.Misled{ID: "judged-as-read", Name: "cell judged with the mechanical zero in it", Option: weakCell, Rel: &short},
		exercises.Misled{ID: "line-exact", Name: "only a needle on the line taken for good", Option: weakCell})
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// volt is a cell without load that brings the needle to a small mark in the
// cell position, the mechanical zero on centre.
func volt(c *scenarios.Checker, mark int) float64 {
	p := c.Params
	return p.GoodCellVolt + float64(float64(mark-c.Face.CellLineSmall)*c.Face.CellPerSmall.Float64()) + float64(p.CellOhm*p.CellLoadMilliamp*1e-3)
}
