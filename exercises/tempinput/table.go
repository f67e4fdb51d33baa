package tempinput

import (
	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// step is how far the lines of a table lie apart, and across how many of them a
// printed row holds, °C.
const (
	step    = 10
	perRow  = 5
	rowStep = step * perRow
)

// table is the extract that an exercise prints of the published table of a
// sensor: a figure for every 10 °C, rounded as such tables are.
type table struct {
	low      int64           // °C, of the first figure; a multiple of rowStep
	v        []formula.Value // ohm or mV
	decimals int
	unit     string
	letter   string // of the symbol of a figure: R or E
	least    formula.Value
}

// floorTo is the multiple of n at or below x.
func floorTo(x, n int64) int64 {
	q := x / n
	if q*n > x {
		q--
	}
	return q * n
}

// newTable computes the extract that covers a range in whole °C, rounded
// outwards to whole rows. It gives nil where the function of the sensor does
// not reach so far, or a figure cannot be rounded safely.
func newTable(s scenarios.Sensor, low, high int64) *table {
	t := &table{low: floorTo(low, rowStep), decimals: 2, unit: "Ω", letter: "R"}
	if _, couple := s.Thermocouple(); couple {
		t.decimals, t.unit, t.letter = 3, "mV", "E"
	}
	for c := t.low; c <= -floorTo(-high, rowStep); c += step {
		v, err := s.Sends(formula.Int(c))
		if err != nil {
			return nil
		}
		if v, err = v.Rounded(t.decimals); err != nil {
			return nil
		}
		t.v = append(t.v, v)
		if n := len(t.v); n > 1 {
			if rise := v.Sub(t.v[n-2]); n == 2 || rise.Sub(t.least).Sign() < 0 {
				t.least = rise
			}
		}
	}
	return t
}

// high is the temperature of the last figure, °C.
func (t *table) high() int64 { return t.low + step*int64(len(t.v)-1) }

// celsius is the temperature of a figure.
func (t *table) celsius(i int) formula.Value { return formula.Int(t.low + step*int64(i)) }

// at is the figure below a temperature, the last but one for the very end; ok is
// false outside the table.
func (t *table) at(celsius formula.Value) (i int, ok bool) {
	n, _ := celsius.Sub(formula.Int(t.low)).Div(formula.Int(step)).Truncate(0)
	ok = celsius.Sub(formula.Int(t.low)).Sign() >= 0 && celsius.Sub(formula.Int(t.high())).Sign() <= 0
	return min(int(n), len(t.v)-2), ok
}

// of is the figure below ohms or millivolts, as at has it.
func (t *table) of(v formula.Value) (i int, ok bool) {
	for i < len(t.v)-2 && v.Sub(t.v[i+1]).Sign() >= 0 {
		i++
	}
	return i, v.Sub(t.v[0]).Sign() >= 0 && v.Sub(t.v[len(t.v)-1]).Sign() <= 0
}

// kelvin is more than an error in ohm or mV makes anywhere in the table: in
// temperature, rounded up to half a tenth of a degree. Two who round on either
// side of an edge differ by a whole tenth, and both are right.
func (t *table) kelvin(v formula.Value) formula.Value {
	half := formula.Decimal(5, 2)
	return half.Mul(upTo(v.Mul(formula.Int(step)).Div(t.least).Div(half), 0))
}

// upTo rounds a positive value up.
func upTo(v formula.Value, decimals int) formula.Value {
	n, err := v.Truncate(decimals)
	if err != nil || !formula.Decimal(n, decimals).Equal(v) {
		n++
	}
	return formula.Decimal(n, decimals)
}

// lines are the two figures between which a value lies, as symbols: the line
// below and the line above.
type lines struct{ t1, v1, t2, v2 formula.Sym }

// look binds the two figures from the i-th under names that end in 1 and 2
// behind the given letters, and gives their symbols.
func (t *table) look(w *exercises.Draft, behind string, i int) lines {
	l := lines{t1: formula.Sym("t_" + behind + "1"), v1: formula.Sym(t.letter + "_" + behind + "1"),
		t2: formula.Sym("t_" + behind + "2"), v2: formula.Sym(t.letter + "_" + behind + "2")}
	w.Env = w.Env.With(
		formula.Binding{Sym: l.t1, V: t.celsius(i), Unit: "°C"},
		formula.Binding{Sym: l.v1, V: t.v[i], Unit: t.unit, Decimals: t.decimals},
		formula.Binding{Sym: l.t2, V: t.celsius(i + 1), Unit: "°C"},
		formula.Binding{Sym: l.v2, V: t.v[i+1], Unit: t.unit, Decimals: t.decimals})
	return l
}

// value is what stands between the lines for a temperature: a straight line
// from the one to the other.
func (l lines) value(celsius formula.Expr) formula.Expr {
	return signal.Scale(celsius, l.t1, l.t2, l.v1, l.v2)
}

// celsius undoes value.
func (l lines) celsius(v formula.Expr) formula.Expr {
	return signal.Scale(v, l.v1, l.v2, l.t1, l.t2)
}

// part is the share of the way from one line to the other, in °C.
func (l lines) part(v formula.Expr) formula.Expr {
	return formula.Mul(signal.Fraction(v, l.v1, l.v2), formula.Sub(l.t2, l.t1))
}

// print puts the extract on the sheet, five figures a row as published tables
// have ten.
func (t *table) print(w *exercises.Draft, caption string) {
	out := &exercises.Table{Columns: []exercises.Column{{Head: "°C"}}}
	for k := range perRow {
		out.Columns = append(out.Columns, exercises.Column{Head: "+\u00a0" + formula.Int(int64(k*step)).Text(0)})
	}
	for i := 0; i < len(t.v); i += perRow {
		cells := []exercises.Cell{{Text: t.celsius(i).Text(0)}}
		for k := i; k < min(i+perRow, len(t.v)); k++ {
			cells = append(cells, exercises.Cell{Text: t.v[k].Text(t.decimals)})
		}
		for len(cells) <= perRow {
			cells = append(cells, exercises.Cell{Text: "–"})
		}
		out.Rows = append(out.Rows, exercises.Row{Cells: cells})
	}
	w.Item.Sheet.Figures = append(w.Item.Sheet.Figures, exercises.Figure{ID: "extract", Caption: w.Text(caption), Table: out})
}
