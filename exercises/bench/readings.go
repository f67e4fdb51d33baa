package bench

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// The symbols of the family, each with the point behind it: n, u and v are what
// the bench card expects of needle, receiver volts and transmitter volts, N, U
// and V what was written down as found; a and b what it expects of needle and
// receiver volts as left.
func symAt(letter string, x int) formula.Sym { return formula.Sym(fmt.Sprintf("%s_%d", letter, x)) }

const (
	symRest   formula.Sym = "m"   // where the needle rested, divisions
	symPer    formula.Sym = "d"   // percent of span a division
	symLimit  formula.Sym = "tol" // percent of span
	symAdjust formula.Sym = "lim" // percent of span
	symRx     formula.Sym = "R_r" // the receiver's resistor, ohm
	symOwn    formula.Sym = "R_c" // the checker's own, ohm
	symSupply formula.Sym = "V_s" // the supply's rating, V
	symLine   formula.Sym = "R_l" // cable and supply by the loop sheet, ohm
	symCell   formula.Sym = "c"   // volts of the cell under load, V
	symGood   formula.Sym = "g"   // of a cell that just reaches its line, V
	symRegul  formula.Sym = "r"   // of the regulator, V
	symOhm    formula.Sym = "R"   // of the receiver as measured, ohm
)

func symCurrent(x int) formula.Sym { return symAt("I", x) }
func symLost(x int) formula.Sym    { return symAt("L", x) }

// Decimals of what is written down: the resolution of the instruments.
const (
	needlePlace = 1 // divisions; a small mark is 0.2
	rxPlace     = 3 // V
	txPlace     = 1 // V
)

// What the parts of a bench may be off. A zero or span is set by the checker
// itself, to one small mark; the receiver's resistor is a precision part; the
// supply and its leads are what they are. Common practice of workshops, no
// source.
var (
	rxPart = formula.Ratio(5, 1000) // V: 0.1 % of 5 V across the receiver's resistor
	txPart = formula.Ratio(1, 5)    // V: the supply, and the loop's leads
)

// tolerances of the three columns, without the half unit of the last place.
type tolerances struct{ needle, rx, tx formula.Value }

func (t *task) tolerances() tolerances {
	f := t.face()
	mark := nullbalance.Divisions(f, 1)
	// One small mark of span across the receiver: 4 V are the span.
	setting := f.PerSmallMark.Mul(formula.Ratio(4, 100))
	return tolerances{
		needle: mark.Mul(formula.Ratio(3, 2)),
		rx:     formula.Ratio(1, 2000).Add(setting).Add(rxPart),
		tx:     formula.Ratio(1, 20).Add(txPart),
	}
}

// steps of an instrument as an exact decimal.
func stepped(r loop.Rounded, decimals int) formula.Value {
	return formula.Decimal(int64(r.Code), decimals)
}

func (t *task) needleOf(m *loop.Measured) formula.Value {
	return nullbalance.Divisions(t.face(), m.Needle.Code)
}

// expected binds everything that the bench card says.
func (t *task) expected() formula.Env {
	f, c := t.face(), t.plant.Checker.Params
	tol, _ := t.loop.Tolerance.Places(3)
	adj, _ := t.loop.AdjustAt.Places(3)
	volt := exact(t.loop.Params.Supply.Volt)
	places, _ := volt.Places(3)
	env := make(formula.Env, 0, 64)
	env = append(env, formula.Env{
		{Sym: symPer, V: nullbalance.PerDivision(f), Unit: "%/div", Decimals: 2},
		{Sym: symLimit, V: t.loop.Tolerance, Unit: "%", Decimals: tol},
		{Sym: symAdjust, V: t.loop.AdjustAt, Unit: "%", Decimals: adj},
		{Sym: symRx, V: formula.Int(250), Unit: "Ω"},
		{Sym: symOwn, V: formula.Int(250), Unit: "Ω"},
		{Sym: symLine, V: rounded(line(t.loop), 1), Unit: "Ω", Decimals: 1},
		{Sym: symSupply, V: volt, Unit: "V", Decimals: places},
		{Sym: symRest, V: nullbalance.Divisions(f, t.rest), Unit: "div", Decimals: needlePlace},
	}...)
	if t.cell != 0 {
		env = append(env,
			formula.Binding{Sym: symCell, V: t.cellVolt(), Unit: "V", Decimals: 2},
			formula.Binding{Sym: symGood, V: exact(c.RegulatorVolt + c.DropOutVolt), Unit: "V", Decimals: 3},
			formula.Binding{Sym: symRegul, V: exact(c.RegulatorVolt), Unit: "V", Decimals: 3})
	}
	for i, x := range t.points {
		env = append(env,
			formula.Binding{Sym: symAt("n", x), V: t.needleOf(&t.was[i]), Unit: "div", Decimals: needlePlace},
			formula.Binding{Sym: symAt("u", x), V: stepped(t.was[i].Receiver, rxPlace), Unit: "V", Decimals: rxPlace},
			formula.Binding{Sym: symAt("v", x), V: stepped(t.was[i].Transmitter, txPlace), Unit: "V", Decimals: txPlace},
			formula.Binding{Sym: symAt("a", x), V: t.needleOf(&t.is[i]), Unit: "div", Decimals: needlePlace},
			formula.Binding{Sym: symAt("b", x), V: stepped(t.is[i].Receiver, rxPlace), Unit: "V", Decimals: rxPlace})
	}
	return env
}

// cellVolt is what the cell has under load, V, to 0.01 V.
func (t *task) cellVolt() formula.Value {
	c := t.checker()
	volt, _ := c.CellUnderLoad()
	v, err := formula.Float(volt).Rounded(2)
	if err != nil { // half way between two hundredths: the upper one
		n, _ := formula.Float(volt + 1e-4).Round(2)
		return formula.Decimal(n, 2)
	}
	return v
}

// exact is a figure of the plant file again as the decimal that it was written
// as; three decimals are enough for volts and ohms.
func exact(x float64) formula.Value {
	v, err := formula.Float(x).Rounded(3)
	if err != nil {
		n, _ := formula.Float(x + 1e-7).Round(3)
		return formula.Decimal(n, 3)
	}
	return v
}

// column is one column of numbers in a table to fill in.
type column struct {
	head, name, unit string
	letter           string // of what the card expects
	as               string // of what is written down; "" where nothing goes on from it
	decimals         int
	tolerance        formula.Value
}

// grid builds a part with a table: a row a point, a column an instrument. The
// boxes go row by row.
func (b *item) grid(label, ask string, columns []column) (exercises.Part, exercises.PartKey) {
	part := exercises.Part{Label: label, Prompt: b.Text("ask." + ask), Marks: len(columns)}
	key := exercises.PartKey{Label: label}
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Input, % of range"}, {Head: "Input"}}}
	for _, c := range columns {
		t.Columns = append(t.Columns, exercises.Column{Head: c.head})
	}
	var written []formula.Binding
	for _, x := range b.points {
		row := exercises.Row{Cells: []exercises.Cell{{Text: formula.WithUnit(fmt.Sprint(x), "%")}, {Text: nullbalance.InputText(b.loop, x)}}}
		for _, c := range columns {
			id := fmt.Sprintf("%s.%d", label, len(part.Boxes)+1)
			part.Boxes = append(part.Boxes, exercises.Box{ID: id, Kind: exercises.NumberBox,
				Name: fmt.Sprintf("%s at %d %%", c.name, x), Unit: c.unit, Decimals: c.decimals})
			sym := c.as
			if sym == "" {
				sym = c.letter + "'"
			}
			def := formula.Definition{Sym: symAt(sym, x), Expr: symAt(c.letter, x), Unit: c.unit, Decimals: c.decimals}
			key.Answers = append(key.Answers, exercises.Answer{Box: id, Def: def, Env: b.env,
				Tolerance: exercises.Tolerance(c.tolerance, c.decimals)})
			if c.as != "" {
				bound, _ := def.Bind(b.env, id) // an exact decimal of its places, cannot fail
				written = append(written, bound)
			}
			row.Cells = append(row.Cells, exercises.Cell{Box: id})
		}
		t.Rows = append(t.Rows, row)
	}
	part.Table = t
	b.env = b.env.With(written...)
	return part, key
}
