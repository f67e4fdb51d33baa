// Package gothere is the family "may it go there": on paper, from invented
// nameplates, whether a device may stand in a hazardous area (temperature
// class, ambient, group, zone), whether a barrier and a transmitter may be
// connected with a certain cable (entity parameters), and what a checker put
// into that loop adds.
//
// Every page says that it is an exercise on paper and no permit. What the
// exercises leave out on purpose is said in entity.go.
package gothere

import (
	_ "embed"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/gothere/prompts.md", promptsFile)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "may-it-go-there",
		Purpose: "say from nameplates, on paper only, whether a device may go into a hazardous area and into a loop there",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "one device and one place: temperature class, ambient, group, zone, and what follows"},
			{Name: "usual", Changes: "one transmitter on one barrier: five comparisons, the longest cable by capacitance and by inductance"},
			{Name: "hard", Changes: "two devices, and the checker as a second source: sums, the longest cable, who is to blame, the cell"},
		},
		Takes:    "loops with 4-20 mA, for their tags and services; the nameplates are invented with every draw",
		MinLoops: 1,
		Fits: func(_ string, l *scenarios.Loop) (string, bool) {
			if l.Signal.Name != signal.Current.Name {
				return "does not send 4-20 mA", false
			}
			return "", true
		},
	}
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "nameplates and no fault", nil)
	if len(ds) > 0 {
		return nil, ds
	}
	return &plan{exercise: e, loops: s.Loops}, nil
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []*scenarios.Loop
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	l := p.loops[0]
	switch p.exercise.Level {
	case "easy":
		d, err := drawPlace(pick)
		if err != nil {
			return exercises.Item{}, err
		}
		l = p.loops[pick.Int(len(p.loops))]
		return p.place(l, d)
	case "usual":
		d, err := drawPair(pick)
		if err != nil {
			return exercises.Item{}, err
		}
		l = p.loops[pick.Int(len(p.loops))]
		return p.pair(l, d)
	}
	d, err := drawThree(pick)
	if err != nil {
		return exercises.Item{}, err
	}
	l = p.loops[pick.Int(len(p.loops))]
	return p.three(l, d)
}

// sheet is a draft with tables of its own: nameplates side by side.
type sheet struct{ exercises.Draft }

// start begins an exercise; gas is the group of the gas.
func (p *plan) start(l *scenarios.Loop, level, gas string, cautions ...string) *sheet {
	w := &sheet{}
	w.Prompts = prompts
	w.Env = make(formula.Env, 0, 32)
	w.Words = []string{"tag", l.Tag, "service", l.Service, "group", gas}
	w.Item.Sheet.Title = p.exercise.Title
	w.Item.Sheet.Intro = w.Text("intro." + level)
	w.Item.Sheet.Cautions = append([]string{"paper-only"}, cautions...)
	return w
}

// table begins a table of givens; heads are entries "head.NAME".
func (w *sheet) table(name string, heads ...string) {
	t := &exercises.Table{}
	for _, h := range heads {
		t.Columns = append(t.Columns, exercises.Column{Head: w.Text("head." + h).Plain()})
	}
	w.Item.Sheet.Figures = append(w.Item.Sheet.Figures, exercises.Figure{ID: name, Caption: w.Text("table." + name), Table: t})
}

// none stands in a cell that has no figure.
const none = "–"

// row adds a row to the last table; "row.NAME" names it.
func (w *sheet) row(name string, cells ...string) {
	t := w.Item.Sheet.Figures[len(w.Item.Sheet.Figures)-1].Table
	r := exercises.Row{Cells: []exercises.Cell{{Text: w.Text("row." + name).Plain()}}}
	for _, c := range cells {
		r.Cells = append(r.Cells, exercises.Cell{Text: c})
	}
	t.Rows = append(t.Rows, r)
}

// bind binds a given and prints it: "Uo = 22.4 V", or without a name "22.4 V".
func (w *sheet) bind(shown string, sym formula.Sym, v formula.Value, unit string, decimals int) string {
	// Appended, not copied as With does: while the tables are written nobody
	// else holds the list.
	w.Env = append(w.Env, formula.Binding{Sym: sym, V: v, Unit: unit, Decimals: decimals})
	text := formula.WithUnit(v.Text(decimals), unit)
	if shown != "" {
		text = shown + " = " + text
	}
	return text
}

// whole and tenths are drawn numbers as values.
func whole(n int) formula.Value    { return formula.Int(int64(n)) }
func tenths(n int) formula.Value   { return formula.Decimal(int64(n), 1) }
func hundreds(n int) formula.Value { return formula.Decimal(int64(n), 2) }
func thousand(n int) formula.Value { return formula.Decimal(int64(n), 3) }
