package whatnext

import (
	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

func row(cells ...string) exercises.Row {
	var r exercises.Row
	for _, c := range cells {
		r.Cells = append(r.Cells, exercises.Cell{Text: c})
	}
	return r
}

func columns(heads ...string) []exercises.Column {
	var out []exercises.Column
	for _, h := range heads {
		out = append(out, exercises.Column{Head: h})
	}
	return out
}

// does is what a fault does, in print.
func does(f *loop.Fault) string { return nullbalance.FaultText(f.Does) }

// sizes prints the range of a suspect's sizes.
func (s *suspect) sizes() string {
	if len(s.fault.Sizes) == 0 {
		return "–"
	}
	size := &s.fault.Sizes[0]
	return size.Name + " " + s.low.Text(s.decimals) + " to " + formula.WithUnit(s.high.Text(s.decimals), unitOf(size.Unit))
}

// listTable is the list of faults.
func (it *item) listTable() *exercises.Table {
	t := &exercises.Table{Columns: columns("Fault", "What it does", "Its sizes")}
	for i := range it.list {
		s := &it.list[i]
		t.Rows = append(t.Rows, row(plain(s.fault.Name), does(&s.fault), s.sizes()))
	}
	return t
}

// testTable is the list of tests, and what is told apart.
func (it *item) testTable() *exercises.Table {
	t := &exercises.Table{Columns: columns("Test", "What is done", "When all is well", "What is told apart")}
	for i, n := range it.deal.tests {
		t.Rows = append(t.Rows, row(number(i), it.Text("test."+tests[n].id).Plain(), it.well(n), it.Text("told."+tests[n].kind.id).Plain()))
	}
	return t
}

// well is what a test shows of the sound loop.
func (it *item) well(t int) string {
	q := tests[t].reading.Quantity
	if q.IsNeedle() {
		return it.outcome(t, it.soundOutcome(t))
	}
	decimals := 0
	for n := q.PerUnit(); n > 1; n /= 10 {
		decimals++
	}
	return formula.WithUnit(formula.Float(it.sound[t]).Text(decimals), q.Unit())
}

// seenTable is what was done so far.
func (it *item) seenTable() *exercises.Table {
	t := &exercises.Table{Columns: columns("What was done", "What was seen")}
	for _, s := range it.deal.panel.seen {
		n := testNamed(s[0])
		t.Rows = append(t.Rows, row(it.Text("test."+s[0]).Plain(), it.Text("seen."+tests[n].kind.id+"-"+s[1]).Plain()))
	}
	return t
}

// showsTable is what each fault shows at each test, but for the open cell.
func (it *item) showsTable(open bool) *exercises.Table {
	t := &exercises.Table{Columns: columns("Fault")}
	for i := range it.deal.tests {
		t.Columns = append(t.Columns, exercises.Column{Head: "Test " + number(i)})
	}
	for k := range it.list {
		r := row(plain(it.list[k].fault.Name))
		for i, n := range it.deal.tests {
			text := it.shows(&it.list[k], n)
			if open && i == it.openTest && k == it.openFault {
				text = "?"
			}
			r.Cells = append(r.Cells, exercises.Cell{Text: text})
		}
		t.Rows = append(t.Rows, r)
	}
	return t
}

// shows is what a suspect shows at a test, both things where it may be either.
func (it *item) shows(s *suspect, t int) string {
	if o, ok := s.single(t); ok {
		return it.outcome(t, o)
	}
	return it.outcome(t, s.below[t]) + " or " + it.outcome(t, s.above[t])
}

// turning is the suspect that may show either of two things.
func (it *item) turning() *suspect {
	for i := range it.list {
		if it.list[i].below != nil {
			return &it.list[i]
		}
	}
	return nil
}

// turnText is the size at which its outcome turns.
func (s *suspect) turnText() string {
	return formula.WithUnit(s.turn.Text(s.turnDecimals), unitOf(s.fault.Sizes[0].Unit))
}

// turnTable is where the one suspect begins to show something else.
func (it *item) turnTable() *exercises.Table {
	s := it.turning()
	t := &exercises.Table{Columns: columns("Fault", "Test", "Below "+s.turnText(), "Above "+s.turnText())}
	for i, n := range it.deal.tests {
		if s.below[n] != s.above[n] {
			t.Rows = append(t.Rows, row(plain(s.fault.Name), number(i), it.outcome(n, s.below[n]), it.outcome(n, s.above[n])))
		}
	}
	return t
}
