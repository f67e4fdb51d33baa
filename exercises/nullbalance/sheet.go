package nullbalance

import (
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// LoopSheet prints what a loop is when all is well: without it no reading says
// anything.
func LoopSheet(p loop.Params) *exercises.Table {
	ohm := func(v float64) string { return quantity(v, "Ω") }
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Loop sheet"}, {Head: "When all is well"}}}
	for _, row := range [][2]string{
		{"Supply", quantity(p.Supply.Volt, "V") + ", " + ohm(p.Supply.InternalOhm) + " inside, at most " + quantity(p.Supply.LimitMilliamp, "mA")},
		{"Conductor out, conductor back", ohm(p.Wiring.OutOhm) + ", " + ohm(p.Wiring.ReturnOhm)},
		{"Transmitter", "works from " + quantity(p.Transmitter.LiftOffVolt, "V") + ", sends " + quantity(p.Transmitter.LowMilliamp, "mA") + " to " + quantity(p.Transmitter.HighMilliamp, "mA")},
		{"Receiver", ohm(p.Receiver.ShuntOhm) + ", its input " + quantity(p.Receiver.InputOhm/1e6, "MΩ")},
		{"Checker", ohm(p.Checker.ResistorOhm) + ", mechanical zero on centre, cell past its line"},
	} {
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: row[0]}, {Text: row[1]}}})
	}
	return t
}

// quantity prints a given of the plant file with as many decimals as it needs,
// two at the most.
func quantity(v float64, unit string) string {
	text := formula.Float(v).Text(2)
	if strings.Contains(text, ".") {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	return formula.WithUnit(text, unit)
}
