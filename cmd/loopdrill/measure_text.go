package main

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
)

// ideal is what a sound transmitter sends at the point x, in mA.
func (m *measurement) ideal(x formula.Value) formula.Value {
	if m.loop.Action == scenarios.Reverse {
		x = formula.Int(100).Sub(x)
	}
	return formula.Int(4).Add(x.Mul(formula.Ratio(16, 100)))
}

// input is what the transmitter senses at the point x, in the unit of its
// input. Where it takes the root, x is of the flow.
func (m *measurement) input(x formula.Value) formula.Value {
	share := x.Div(formula.Int(100))
	if m.loop.Root == scenarios.RootTransmitter {
		share = share.Mul(share)
	}
	return m.loop.Input.Low.Add(m.loop.Input.Span().Mul(share))
}

// shows is what the receiver shows, in the unit of its scale, to a thousandth
// of it. A receiver that takes the root takes it of what it reads and shows 0
// below that.
func (m *measurement) shows(r *loop.Measured) (formula.Value, int) {
	code := r.Display.Code
	switch {
	case m.loop.Action == scenarios.Reverse:
		code = 1000 - code
	case m.loop.Root == scenarios.RootReceiver:
		code = int(math.Floor(float64(1000*math.Sqrt(max(0, r.Display.Exact/100))) + 0.5))
	}
	s := m.loop.Shows
	return s.Low.Add(s.Span().Mul(formula.Ratio(int64(code), 1000))), max(s.Decimals, finest(s.Span()))
}

// decimalsOf are the decimals with which a quantity is read.
func decimalsOf(q loop.Quantity) int {
	k := 0
	for n := q.PerUnit(); n > 1; n /= 10 {
		k++
	}
	return k
}

// reading prints a reading as its instrument shows it.
func reading(q loop.Quantity, r loop.Rounded) string {
	return formula.Decimal(int64(r.Code), decimalsOf(q)).Text(decimalsOf(q))
}

// divisions turns small marks of the checker's face into divisions.
func (m *measurement) divisions(code int) formula.Value {
	return formula.Ratio(int64(code), int64(math.Round(1/m.params.Checker.MarkDivision)))
}

// needle says where a needle stands: "−1.6", or "on its left stop".
func (m *measurement) needle(r loop.Rounded) string {
	if r.Stop != loop.NoStop {
		return r.Stop.String()
	}
	s := m.divisions(r.Code).Text(1)
	if r.Code > 0 {
		s = "+" + s
	}
	return s
}

// rest is where the needle stands with the trigger released.
func (m *measurement) rest() loop.Rounded {
	n, clear := m.params.Checker.Needle(m.params.Checker.RestDivision)
	return loop.Rounded{Exact: m.params.Checker.RestDivision, Code: n.Code, Stop: n.Stop, Clear: clear}
}

// text lays the readings out as a table.
func (m *measurement) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s, %s (%s)\n", m.loop.Tag, m.loop.Service, m.plant.Name)
	label := "fault:"
	for _, x := range m.faults {
		for _, line := range x.words() {
			fmt.Fprintf(&b, "%-9s%s\n", label, line)
			label = "and"
		}
	}
	if len(m.faults) == 0 {
		fmt.Fprintf(&b, "%-9snone\n", label)
	}
	with := m.params.Checker.Place != loop.NotConnected
	fmt.Fprintf(&b, "%-9s%s\n", "checker:", m.params.Checker.Place)
	if m.falling {
		fmt.Fprintf(&b, "%-9sfalling\n", "run:")
	}
	b.WriteByte('\n')
	of := "of input"
	if m.loop.Root == scenarios.RootTransmitter {
		of = "of flow"
	}
	head := [][]string{
		{"point", "input", "should", "loop", "receiver", "receiver", "receiver", "transmitter", "supply"},
		{of, "", "send", "current", "volts", "reading", "shows", "volts", "volts"},
		{"%", m.loop.Input.Unit.Symbol, "mA", "mA", "V", "% of span", m.loop.Shows.Unit.Symbol, "V", "V"},
	}
	if with {
		head[0] = append(head[0], "needle")
		head[1] = append(head[1], "")
		head[2] = append(head[2], "divisions")
	}
	rows := head
	for i := range m.rows {
		r, x := &m.rows[i], m.points[i]
		px, _ := x.Places(4)
		sends := m.ideal(x)
		shown, decimals := m.shows(r)
		row := []string{
			x.Text(px), m.inputText(x), sends.Text(2), reading(loop.LoopCurrent, r.Current),
			reading(loop.ReceiverVolts, r.Receiver), reading(loop.ReceiverDisplay, r.Display), shown.Text(decimals),
			reading(loop.TransmitterVolts, r.Transmitter), reading(loop.SupplyVolts, r.Supply),
		}
		if with {
			row = append(row, m.needle(r.Needle))
		}
		rows = append(rows, row)
	}
	b.WriteString(table(rows))
	if with {
		first := &m.rows[0]
		verdict := "weak"
		if first.CellGood {
			verdict = "good"
		}
		b.WriteByte('\n')
		line := int(math.Round(m.params.Checker.CellLineDivision / m.params.Checker.MarkDivision))
		fmt.Fprintf(&b, "at rest:    needle %s\n", withDivisions(m.needle(m.rest())))
		fmt.Fprintf(&b, "cell check: needle %s, the line of a good cell at +%s; %s V under load: %s\n",
			withDivisions(m.needle(first.CellNeedle)), withDivisions(m.divisions(line).Text(1)), reading(loop.CellVolts, first.Cell), verdict)
	}
	b.WriteByte('\n')
	for _, id := range m.cautions() {
		fmt.Fprintf(&b, "caution: %s\n", cautionSentence(id))
	}
	return b.String()
}

func withDivisions(s string) string {
	if strings.HasPrefix(s, "on ") {
		return s
	}
	return s + " divisions"
}

// inputText prints the input at a point without its unit, with the decimals of
// the range or as many more as it needs.
func (m *measurement) inputText(x formula.Value) string {
	v := m.input(x)
	k, _ := v.Places(4)
	quarter, _ := m.input(formula.Int(25)).Places(4)
	return v.Text(max(k, m.loop.Input.Decimals, quarter))
}

// cautions lists those of every live loop, and those of the faults.
func (m *measurement) cautions() []string {
	ids := nullbalance.Cautions()
	for _, x := range m.faults {
		for _, c := range x.fault.Cautions {
			if !slices.Contains(ids, string(c)) {
				ids = append(ids, string(c))
			}
		}
	}
	return ids
}

// cautionSentence is the first sentence of a caution: its duty.
func cautionSentence(id string) string {
	doc, ok := scenarios.Caution(id)
	if !ok {
		return id
	}
	text := strings.ReplaceAll(prose.Text{Doc: doc}.Plain(), "\n", " ")
	if i := strings.Index(text, ". "); i >= 0 {
		text = text[:i+1]
	}
	return text
}

// table sets rows of cells into columns, two blanks apart: flush right, but for
// the columns named, which are flush left.
func table(rows [][]string, left ...int) string {
	var width []int
	for _, row := range rows {
		for i, cell := range row {
			if i == len(width) {
				width = append(width, 0)
			}
			width[i] = max(width[i], utf8.RuneCountInString(cell))
		}
	}
	var b strings.Builder
	for _, row := range rows {
		line := ""
		for i, cell := range row {
			blanks := strings.Repeat(" ", width[i]-utf8.RuneCountInString(cell))
			if slices.Contains(left, i) {
				line += "  " + cell + blanks
			} else {
				line += "  " + blanks + cell
			}
		}
		b.WriteString(strings.TrimRight(line, " ") + "\n")
	}
	return b.String()
}

// The readings for a machine. Rounded is what the instrument shows, unrounded
// what it rounds; the needle's is in divisions, as if there were no stops.
type (
	jsonReading struct {
		Rounded   json.Number `json:"rounded"`
		Unrounded float64     `json:"unrounded"`
		Unit      string      `json:"unit"`
	}
	jsonNeedle struct {
		Marks     int         `json:"smallMarks"`
		Divisions json.Number `json:"divisions"`
		Stop      string      `json:"stop"` // "left", "right" or empty
		Unrounded float64     `json:"unrounded"`
	}
	jsonValue struct {
		Value json.Number `json:"value"`
		Unit  string      `json:"unit"`
	}
	jsonPoint struct {
		Percent       json.Number `json:"percent"`
		Input         jsonValue   `json:"input"`
		ShouldSend    jsonValue   `json:"shouldSend"`
		Current       jsonReading `json:"loopCurrent"`
		Receiver      jsonReading `json:"receiverVolts"`
		Reading       jsonReading `json:"receiverReading"`
		Shows         jsonValue   `json:"receiverShows"`
		Transmitter   jsonReading `json:"transmitterVolts"`
		Supply        jsonReading `json:"supplyVolts"`
		SupplyCurrent float64     `json:"supplyMilliampUnrounded"`
		Needle        *jsonNeedle `json:"needle"`
		Clear         bool        `json:"clear"` // no reading on the edge between two steps
	}
	jsonCell struct {
		Good   bool        `json:"good"`
		Volts  jsonReading `json:"volts"`
		Needle jsonNeedle  `json:"needle"`
		Line   json.Number `json:"lineDivisions"`
	}
	jsonSize struct {
		Name   string  `json:"name"`
		Value  float64 `json:"value"`
		Unit   string  `json:"unit"`
		Chosen bool    `json:"chosen"` // by loopdrill, because none was given
	}
	jsonInserted struct {
		Name  string     `json:"name"`
		Sizes []jsonSize `json:"sizes"`
	}
)

func plainNumber(v formula.Value, decimals int) json.Number {
	return json.Number(strings.ReplaceAll(v.Text(decimals), "\u2212", "-"))
}

func (m *measurement) jsonNeedle(r loop.Rounded) *jsonNeedle {
	n := &jsonNeedle{Marks: r.Code, Divisions: plainNumber(m.divisions(r.Code), 1), Unrounded: r.Exact}
	switch r.Stop {
	case loop.LeftStop:
		n.Stop = "left"
	case loop.RightStop:
		n.Stop = "right"
	}
	return n
}

// json gives the readings for a machine.
func (m *measurement) json() string {
	read := func(q loop.Quantity, r loop.Rounded) jsonReading {
		k := decimalsOf(q)
		return jsonReading{plainNumber(formula.Decimal(int64(r.Code), k), k), r.Exact, q.Unit()}
	}
	out := struct {
		Course   string         `json:"course"`
		Plant    string         `json:"plant"`
		Loop     string         `json:"loop"`
		Faults   []jsonInserted `json:"faults"`
		Checker  string         `json:"checker"`
		Falling  bool           `json:"falling"`
		Points   []jsonPoint    `json:"points"`
		Rest     *jsonNeedle    `json:"atRest"`
		Cell     *jsonCell      `json:"cellCheck"`
		Notes    []string       `json:"notes"`
		Cautions []string       `json:"cautions"`
	}{
		Course: m.course.ID, Plant: m.plant.ID, Loop: m.loop.Tag, Faults: []jsonInserted{},
		Checker: m.params.Checker.Place.String(), Falling: m.falling, Notes: append([]string{}, m.notes...), Cautions: m.cautions(),
	}
	for _, x := range m.faults {
		f := jsonInserted{Name: x.fault.Name, Sizes: []jsonSize{}}
		for _, s := range x.sizes {
			f.Sizes = append(f.Sizes, jsonSize{s.Name, s.value, s.Unit, s.chosen})
		}
		out.Faults = append(out.Faults, f)
	}
	with := m.params.Checker.Place != loop.NotConnected
	for i := range m.rows {
		r, x := &m.rows[i], m.points[i]
		px, _ := x.Places(6)
		input := m.input(x)
		pin, _ := input.Places(6)
		sends := m.ideal(x)
		psend, _ := sends.Places(6)
		shown, decimals := m.shows(r)
		p := jsonPoint{
			Percent: plainNumber(x, px), Input: jsonValue{plainNumber(input, pin), m.loop.Input.Unit.Name()},
			ShouldSend: jsonValue{plainNumber(sends, psend), "mA"},
			Current:    read(loop.LoopCurrent, r.Current), Receiver: read(loop.ReceiverVolts, r.Receiver),
			Reading: read(loop.ReceiverDisplay, r.Display), Shows: jsonValue{plainNumber(shown, decimals), m.loop.Shows.Unit.Name()},
			Transmitter: read(loop.TransmitterVolts, r.Transmitter), Supply: read(loop.SupplyVolts, r.Supply),
			SupplyCurrent: r.Released.SupplyMilliamp, Clear: r.Clear(),
		}
		if with {
			p.Needle = m.jsonNeedle(r.Needle)
		}
		out.Points = append(out.Points, p)
	}
	if with {
		first := &m.rows[0]
		out.Rest = m.jsonNeedle(m.rest())
		line := int(math.Round(m.params.Checker.CellLineDivision / m.params.Checker.MarkDivision))
		out.Cell = &jsonCell{first.CellGood, read(loop.CellVolts, first.Cell), *m.jsonNeedle(first.CellNeedle), plainNumber(m.divisions(line), 1)}
	}
	return indented(out)
}

// indented is v as JSON for people and machines. v holds only finite numbers.
func indented(v any) string {
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(v); err != nil {
		panic("loopdrill: a result that JSON cannot hold")
	}
	return b.String()
}
