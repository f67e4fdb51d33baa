package ready

import (
	"fmt"
	"slices"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// What a reading is worth, the options of each row.
const (
	counts      = "counts"
	corrected   = "corrected"
	voidCell    = "void-cell"
	voidRing    = "void-ring"
	voidTrigger = "void-trigger"
)

var worths = []string{counts, corrected, voidCell, voidRing, voidTrigger}

// next is how far on the ring is turned to prove that the trigger is pressed,
// percent of span.
const next = 10

// row is one reading of the table.
type row struct {
	worth   string
	rest    int // small marks
	cell    loop.Needle
	x, ring int // percent
	needle  loop.Needle
	on      loop.Needle // with the ring turned on
}

// usable says whether a reading gives an error.
func (r row) usable() bool { return r.worth == counts || r.worth == corrected }

// draw draws a reading of the given worth through the loop.
func (w *item) draw(worth string) (row, error) {
	line := w.face.CellLineSmall
	r := row{worth: worth, x: []int{25, 50, 75}[w.pick.Int(3)]}
	if worth == corrected || worth != counts && w.pick.Int(2) == 0 {
		r.rest = w.either(2, 8)
	}
	mark := w.pick.Between(line+4, stopMark-9)
	if worth == voidCell {
		mark = line - w.pick.Between(3, 8)
	}
	r.ring = r.x
	if worth == voidRing {
		r.ring += []int{10, 15, -25}[w.pick.Int(3)]
	}
	set := nullbalance.Set{Loop: w.loop, Checker: w.plan.checker, Place: loop.SeriesField, Rest: r.rest,
		CellVolt: volt(w.plan.checker, mark),
		Zero:     (float64(w.either(3, 18)) + 0.1) * w.face.PerSmallMark.Float64() / 100}
	var err error
	if r.cell, err = set.Cell(); err != nil {
		return r, err
	}
	if r.cell.Stop != loop.NoStop || (r.cell.Code-r.rest < line) != (worth == voidCell) || abs(r.cell.Code-r.rest-line) < clearOfLine {
		return r, rejectCell
	}
	for _, at := range []struct {
		ring int
		to   *loop.Needle
	}{{r.ring, &r.needle}, {r.ring + next, &r.on}} {
		p := set.Params()
		p.Checker.RingShift += float64(at.ring-r.x) / 100
		p.Checker.TriggerNotHeld = worth == voidTrigger
		var clear bool
		if *at.to, clear = p.Checker.Needle(p.Solve(float64(r.x)/100, true).Deflection); !clear {
			return r, nullbalance.RejectEdge
		}
	}
	on, still := r.on.Stop != loop.NoStop, r.needle.Stop == loop.NoStop && r.needle.Code == r.rest
	switch worth {
	case counts, corrected:
		// A reading at rest, or one that needs no correction, says nothing.
		if r.needle.Stop != loop.NoStop || still || !on {
			return r, rejectMissed
		}
	case voidRing:
		if r.needle.Stop == loop.NoStop || !on {
			return r, rejectMissed
		}
	case voidTrigger:
		if !still || r.on != r.needle {
			return r, rejectMissed
		}
	case voidCell:
		if still || !on {
			return r, rejectMissed
		}
	}
	return r, nil
}

// sort asks what each of n readings is worth. With usable one of them, at a
// place that is drawn, counts once it is corrected, and no other one does.
func (w *item) sort(n int, usable bool) ([]row, error) {
	at, others := -1, worths
	if usable {
		at, others = w.pick.Int(n), []string{counts, voidCell, voidRing, voidTrigger}
	}
	var rows []row
	for i := range n {
		worth := corrected
		if i != at {
			worth = others[w.pick.Int(len(others))]
		}
		r, err := w.draw(worth)
		if err != nil {
			return nil, err
		}
		rows = append(rows, r)
	}
	w.table(rows)
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	part := exercises.Part{Label: label, Prompt: w.Text("ask.sort"), Marks: n}
	key := exercises.PartKey{Label: label, Working: []exercises.Step{{Text: w.Text("work.sort")}, {Table: w.why(rows)}},
		Credit: []exercises.Credit{{Marks: n, For: w.Text("credit.sort")}}}
	for i, r := range rows {
		box := exercises.Box{ID: fmt.Sprintf("%s.%d", label, i+1), Kind: exercises.ChoiceBox, Name: w.Text("name.day", "n", fmt.Sprint(i+1)).Plain()}
		for _, o := range worths {
			box.Options = append(box.Options, exercises.Option{ID: o, Text: w.Text("option." + o)})
		}
		part.Boxes = append(part.Boxes, box)
		key.Answers = append(key.Answers, exercises.Answer{Box: box.ID, Option: r.worth})
	}
	w.mistaken(&key, rows)
	w.Item.Add(part, key)
	if w.Item.Key.Fault != "" {
		w.Item.Key.Fault = "today " + w.Item.Key.Fault
	}
	return rows, nil
}

// mistaken adds the misconceptions about the readings: those that see one thing
// everywhere, then those that miss one thing.
func (w *item) mistaken(key *exercises.PartKey, rows []row) {
	for _, s := range []struct {
		id, name string
		wrong    func(r row) string
	}{
		{"all-counted", "every reading taken as it stands", func(row) string { return counts }},
		{"all-corrected", "every reading corrected", func(row) string { return corrected }},
		{"line-misread", "needles past the cell line taken for short of it", func(row) string { return voidCell }},
		{"neighbour-misread", "the needle at the next point taken for a wrong ring", func(row) string { return voidRing }},
		{"trigger-doubted", "trigger doubted although the needle flies to its stop", func(row) string { return voidTrigger }},
		{"rest-forgotten", "mechanical zero not looked at", func(r row) string { return instead(r.worth, corrected, counts) }},
		{"cell-unseen", "cell not looked at", func(r row) string {
			if r.rest != 0 {
				return instead(r.worth, voidCell, corrected)
			}
			return instead(r.worth, voidCell, counts)
		}},
		{"null-believed", "a needle that never moved taken for a null", func(r row) string { return instead(r.worth, voidTrigger, counts) }},
		{"stop-believed", "a stop taken for a reading", func(r row) string {
			if r.rest != 0 {
				return instead(r.worth, voidRing, corrected)
			}
			return instead(r.worth, voidRing, counts)
		}},
	} {
		slip := exercises.Slip{ID: s.id, Name: s.name, Feedback: w.Text("slip." + s.id)}
		for i, r := range rows {
			slip.Answers = append(slip.Answers, exercises.SlipAnswer{Box: key.Answers[i].Box, Option: s.wrong(r)})
		}
		same := func(a, b []exercises.SlipAnswer) bool {
			return slices.EqualFunc(a, b, func(x, y exercises.SlipAnswer) bool { return x.Option == y.Option })
		}
		right := slices.ContainsFunc(rows, func(r row) bool { return s.wrong(r) != r.worth })
		if right && !slices.ContainsFunc(key.Slips, func(o exercises.Slip) bool { return same(o.Answers, slip.Answers) }) {
			key.Slips = append(key.Slips, slip)
		}
	}
}

// instead gives b for a, and everything else as it is.
func instead(worth, a, b string) string {
	if worth == a {
		return b
	}
	return worth
}

// table prints the readings.
func (w *item) table(rows []row) {
	t := &exercises.Table{}
	for _, head := range []string{"day", "rest", "cell", "input", "ring", "needle", "on"} {
		t.Columns = append(t.Columns, exercises.Column{Head: w.Text("head."+head, "on", fmt.Sprint(next)).Plain()})
	}
	for i, r := range rows {
		cells := []exercises.Cell{{Text: fmt.Sprint(i + 1)}}
		for _, text := range []string{w.needle(needleAt(r.rest)), w.needle(r.cell), percent(r.x), percent(r.ring), w.needle(r.needle), w.needle(r.on)} {
			cells = append(cells, exercises.Cell{Text: text})
		}
		t.Rows = append(t.Rows, exercises.Row{Cells: cells})
	}
	w.Item.Sheet.Figures = append(w.Item.Sheet.Figures, exercises.Figure{ID: "days", Caption: w.Text("table.days"), Table: t})
}

func percent(n int) string { return formula.WithUnit(fmt.Sprint(n), "%") }

// needle prints where a needle stands, a stop in words.
func (w *item) needle(n loop.Needle) string {
	switch n.Stop {
	case loop.LeftStop:
		return w.Text("stop.left").Plain()
	case loop.RightStop:
		return w.Text("stop.right").Plain()
	}
	return nullbalance.Words(w.face, n)
}

// why says of each reading what decides, for the worked solution.
func (w *item) why(rows []row) *exercises.Table {
	t := &exercises.Table{Columns: []exercises.Column{{Head: w.Text("head.day").Plain()}, {Head: w.Text("head.why").Plain()}}}
	for i, r := range rows {
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: fmt.Sprint(i + 1)}, {Text: w.Text("why."+r.worth,
			"rest", w.needle(needleAt(r.rest)), "cell", w.needle(r.cell), "input", percent(r.x), "ring", percent(r.ring)).Plain()}}})
	}
	return t
}

// first asks for the error that the first usable reading gives.
func (w *item) first(rows []row) {
	i := slices.IndexFunc(rows, row.usable)
	r := rows[i]
	w.Env = w.Env.With(
		formula.Binding{Sym: symReading, V: nullbalance.Divisions(w.face, r.needle.Code), Unit: "div", Decimals: 1},
		formula.Binding{Sym: symDayRest, V: nullbalance.Divisions(w.face, r.rest), Unit: "div", Decimals: 1})
	per, five := w.perDivision(), formula.Num(int64(w.face.SmallPerDiv))
	moved := formula.Sub(symReading, symDayRest)
	w.Words = append(w.Words, "n", fmt.Sprint(i+1))
	slips := []exercises.Told{
		{ID: "error-sign", Name: "sign swapped", X: formula.Neg(formula.Mul(moved, per))},
		{ID: "divisions-as-percent", Name: "divisions taken for percent", X: moved},
		{ID: "marks-as-divisions", Name: "small marks counted as divisions", X: formula.Mul(formula.Mul(moved, five), per)},
	}
	if r.rest != 0 {
		slips = append(slips,
			exercises.Told{ID: "rest-left-in", Name: "mechanical zero not taken off", X: formula.Mul(symReading, per)},
			exercises.Told{ID: "rest-added", Name: "mechanical zero added", X: formula.Mul(formula.Add(symReading, symDayRest), per)})
	}
	for _, v := range rows[:i] {
		if v.needle.Stop == loop.NoStop && v.needle.Code != 0 {
			w.Env = w.Env.With(formula.Binding{Sym: symVoid, V: nullbalance.Divisions(w.face, v.needle.Code), Unit: "div", Decimals: 1})
			slips = append(slips, exercises.Told{ID: "void-taken", Name: "a void reading taken", X: formula.Mul(symVoid, per)})
			break
		}
	}
	w.Item.Key.Env = w.Env
	half := nullbalance.PerDivision(w.face).Mul(divisionHalf)
	w.Ask("error", formula.Definition{Sym: symError, Expr: formula.Mul(moved, per), Unit: "%", Decimals: 2}, "of span", half, slips...)
}
