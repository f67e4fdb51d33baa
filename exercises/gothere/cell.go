package gothere

import "loopdrill/exercises"

// The checker's cell: only the type that the certificate names, changed outside
// the hazardous area, and no repair in the field.

// The right things to do.
const (
	fitHere  = "cell-here"     // outside the area already
	fitOut   = "cell-out"      // named, but inside the area
	fetch    = "cell-fetch"    // not the type that is named
	workshop = "cell-workshop" // damaged
)

// cell is the state of the checker and what is at hand.
type cell struct {
	do          string
	named, bag  int // index into cellTypes
	inside      bool
	damage, way int // index into damages; way counts variants of the words
}

// cellTypes are invented type names of cells; all of them 9 V, so that
// fitting and voltage say nothing.
var cellTypes = []string{"QA-9, alkaline", "QB-9, alkaline", "QL-9, lithium", "QZ-9, zinc"}

func drawCell(pick *exercises.Picker) cell {
	c := cell{do: []string{fitHere, fitOut, fetch, workshop}[pick.Int(4)]}
	c.named = pick.Int(len(cellTypes))
	c.bag = c.named
	c.inside = true
	c.way = pick.Int(3)
	switch c.do {
	case fitHere:
		c.inside = false
	case fetch:
		c.bag = (c.named + 1 + pick.Int(len(cellTypes)-1)) % len(cellTypes)
	case workshop:
		c.damage = 1 + pick.Int(3)
		c.inside = pick.Int(2) == 0
	}
	return c
}

func (w *sheet) cellTable(c cell) {
	numbered := func(name string, n int) string {
		return w.Text(name + "-" + string(rune('1'+n))).Plain()
	}
	w.table("cell", "state", "is")
	w.row("cell-named", cellTypes[c.named])
	w.row("cell-bag", cellTypes[c.bag])
	if c.inside {
		w.row("cell-place", numbered("inside", c.way))
	} else {
		w.row("cell-place", numbered("outside", c.way))
	}
	w.row("cell-check", w.Text("cell-weak").Plain())
	if c.damage > 0 {
		w.row("cell-case", numbered("damage", c.damage-1))
	} else {
		w.row("cell-case", w.Text("sound").Plain())
	}
}

// askCell asks what to do. Behind each wrong option stands what somebody has
// not looked at who takes it.
func (w *sheet) askCell(c cell) {
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	options := []string{fitHere, fitOut, fetch, workshop}
	slips := map[string]map[string][2]string{
		fitHere: {fitOut: {"place-missed", "a place outside the area taken for one inside"},
			fetch:    {"named-refused", "the named type refused"},
			workshop: {"cell-is-repair", "a change of cell taken for a repair"}},
		fitOut: {fitHere: {"cell-inside", "cell changed inside the area"},
			fetch:    {"named-refused", "the named type refused"},
			workshop: {"cell-is-repair", "a change of cell taken for a repair"}},
		fetch: {fitHere: {"cell-inside", "cell changed inside the area"},
			fitOut:   {"same-volts", "any cell of 9 V taken for good"},
			workshop: {"cell-is-repair", "a change of cell taken for a repair"}},
		workshop: {fitHere: {"damage-unseen-here", "damage passed over, cell fitted on the spot"},
			fitOut: {"damage-unseen", "damage passed over, cell fitted outside"},
			fetch:  {"cell-suspected", "the cell's type blamed, damage passed over"}},
	}
	key := w.ChoiceKey(label, c.do, exercises.Step{Text: w.Text("work." + c.do)})
	for _, o := range options {
		if s, ok := slips[c.do][o]; ok {
			key.Slips = append(key.Slips, w.ChoiceSlip(label, s[0], s[1], o))
		}
	}
	w.Item.Add(w.Choice(label, "cell", options...), key)
}
