package whatnext

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
)

// item is an exercise being drawn and built.
type item struct {
	exercises.Composer
	*bench
	deal  *deal
	hand  *hand
	level string
	right int // number of the test that tells most, of those offered
	list  []suspect

	// Levels easy and usual: the fault that an outcome leaves alone, and the number
	// of the test; at easy the cell of the table that is left open besides.
	aloneFault          string
	aloneTest           int
	openTest, openFault int
	// Level hard: the share asked for is of the sizes above the turn.
	askedAbove bool
}

// plain is a fault's name in words.
func plain(name string) string { return nullbalance.FaultName(name) }

// unitOf is a unit of sizes as it is printed.
func unitOf(unit string) string {
	if unit == "ohm" {
		return "Ω"
	}
	return unit
}

func (it *item) build(title string, pick *exercises.Picker) (exercises.Item, error) {
	it.Prompts = prompts
	it.Words = []string{"tag", it.loop.Tag, "service", it.loop.Service, "count", fmt.Sprint(len(it.list))}
	var out exercises.Item
	s := &out.Sheet
	s.Title, s.Intro = title, it.Text("intro."+it.level)
	s.Cautions = it.cautions()
	s.Figures = append(s.Figures, exercises.Figure{ID: "sheet", Caption: it.Text("sheet"), Table: nullbalance.LoopSheet(it.params)})
	var err error
	if it.level == "easy" {
		err = it.easy(&out, pick)
	} else {
		err = it.narrowed(&out, pick)
	}
	return out, err
}

// cautions are those of every live loop, and of the sensing lines where an input
// goes straight to the port.
func (it *item) cautions() []string {
	out := nullbalance.Cautions()
	for _, t := range it.deal.tests {
		if tests[t].reading.Setup.AtPort {
			out = append(out, "vent-and-isolate", "manifold")
		}
	}
	return out
}

// easy asks for one cell of the table, for the fault that an outcome leaves
// alone, and for the test.
func (it *item) easy(out *exercises.Item, pick *exercises.Picker) error {
	it.openCell(pick)
	s := &out.Sheet
	s.Figures = append(s.Figures,
		exercises.Figure{ID: "list", Caption: it.Text("list"), Table: it.listTable()},
		exercises.Figure{ID: "tests", Caption: it.Text("tests"), Table: it.testTable()},
		exercises.Figure{ID: "shows", Caption: it.Text("shows.easy"), Table: it.showsTable(true)})
	out.Add(it.cell("a"))
	out.Add(it.alone("b"))
	return it.which(out, "c", formula.Binding{Decimals: 1})
}

// narrowed asks what is still possible; then for the fault that an outcome leaves
// alone, or at level hard for a share and an average; and for the test.
func (it *item) narrowed(out *exercises.Item, pick *exercises.Picker) error {
	s := &out.Sheet
	s.Figures = append(s.Figures,
		exercises.Figure{ID: "seen", Caption: it.Text("seen"), Table: it.seenTable()},
		exercises.Figure{ID: "list", Caption: it.Text("list"), Table: it.listTable()},
		exercises.Figure{ID: "tests", Caption: it.Text("tests"), Table: it.testTable()})
	out.Add(it.possible("a"))
	if it.level == "usual" {
		s.Figures = append(s.Figures, exercises.Figure{ID: "shows", Caption: it.Text("shows.usual"), Table: it.showsTable(false)})
		out.Add(it.alone("b"))
		return it.which(out, "c", formula.Binding{Decimals: 1})
	}
	of, ok := it.averageAsked(pick)
	if !ok {
		return RejectPlain
	}
	it.askedAbove = pick.Int(2) == 0
	s.Figures = append(s.Figures, exercises.Figure{ID: "turn", Caption: it.Text("turn"), Table: it.turnTable()})
	share, err := it.addShare(out, "b", of)
	if err != nil {
		return err
	}
	return it.which(out, "d", it.addAverage(out, "c", of, share))
}

// averageAsked draws the test whose average is asked for: one at which a fault
// can show either of two things.
func (it *item) averageAsked(pick *exercises.Picker) (int, bool) {
	for _, i := range pick.Shuffle(len(it.deal.tests)) {
		if a := it.averageOf(it.deal.tests[i], false); a.straddles() {
			return i, true
		}
	}
	return 0, false
}

// openCell draws the cell of the table that is left open: an outcome first, so
// that none is the answer too often, then one of the faults that show it.
func (it *item) openCell(pick *exercises.Picker) {
	for {
		// Any test but that of the next part.
		it.openTest = (it.aloneTest + 1 + pick.Int(len(it.deal.tests)-1)) % len(it.deal.tests)
		t := it.deal.tests[it.openTest]
		var wanted []int
		for o, times := range tests[t].kind.asked {
			for range times {
				wanted = append(wanted, o)
			}
		}
		o := wanted[pick.Int(len(wanted))]
		for _, i := range pick.Shuffle(len(it.list)) {
			if it.list[i].above[t] == o {
				it.openFault = i
				return
			}
		}
	}
}

// soundOutcome is what a test shows of a sound loop.
func (it *item) soundOutcome(t int) int {
	k := tests[t].kind
	for o := range k.outcomes {
		if low, high := k.window(o, it.sound[t]); it.sound[t] >= low && it.sound[t] < high {
			return o
		}
	}
	return len(k.outcomes) - 1
}

// outcome is an outcome in words.
func (it *item) outcome(t, o int) string {
	return it.Text("seen." + tests[t].kind.id + "-" + tests[t].kind.outcomes[o]).Plain()
}

// number is how a test is called on the page: "test 2".
func number(i int) string { return fmt.Sprint(i + 1) }

func (it *item) short(t int) string { return it.Text("short." + tests[t].id).Plain() }
