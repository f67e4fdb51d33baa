package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"

	"loopdrill/scenarios/loop"
)

// The road of "at the bench": an instructor of ours builds the loop from the
// words of the bench card and lets the loop solver, which is checked against a
// circuit simulator, say what its instruments show; the apprentice reads those
// instruments, fills in the page, and reckons from what was written down. The
// expected readings that the card prints are held against them, too.
var benchRoad = &road{
	family: "at-the-bench",
	knows:  func(s sheet) bool { return strings.HasPrefix(s.intro, "A task at the bench.") },
	task:   func(p part) string { return p.benchTask() },
	slips:  benchSlips,
	several: map[string]func(s sheet, p part) ([]string, error){
		"rest/seen-aslant":      func(sheet, part) ([]string, error) { return []string{"left of the centre", "right of the centre"}, nil },
		"first/adjusted-inside": benchScrews,
		"first/span-first":      func(sheet, part) ([]string, error) { return []string{"raise the span", "lower the span"}, nil },
		"first/zero-by-habit":   func(sheet, part) ([]string, error) { return []string{"raise the zero", "lower the zero"}, nil },
	},
}

func init() {
	benchRoad.work = sheet.workBench
	roads = append(roads, benchRoad)
}

func TestAtTheBench(t *testing.T) {
	benchRoad.travel(t, plantFiles(benchRoad.family, widePlant, 2))
}

// rig is the loop on the bench, built from the card.
type rig struct {
	found, left loop.Params
	rest        float64 // divisions
	cell, line  float64 // needle in the cell position, divisions
	weak        float64 // volts of the cell under load; 0 where it is good
	supply      float64 // as rated
	ohms        float64 // of line and supply
	expected    [2][][]string
}

func (p part) benchTask() string {
	for _, c := range []struct{ words, task string }{
		{"Where does the checker's needle rest", "rest"},
		{"Where does the needle stand with the lever at Cell", "cell"},
		{"Fill in what you read as found", "found"},
		{"Which current do the receiver's volts give", "volts"},
		{"Which currents do the receiver's volts give", "volts"},
		{"Which currents does the needle give", "needle"},
		{"What resistance has the receiver", "resistance"},
		{"Take what stands across", "lost"},
		{"Is the transmitter within", "verdict"},
		{"What do you do first", "first"},
		{"What is the matter", "which"},
		{"Fill in what you read as left", "left"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// deal gives each sheet of a task at the bench the loop of its card.
func (b *book) deal(sheets []sheet) error {
	if !strings.Contains(b.cards, "bench-task") {
		return nil
	}
	root, err := readHTML(b.cards)
	if err != nil {
		return err
	}
	for _, n := range root.all("section", "bench-task") {
		r, err := readCard(n)
		if err != nil {
			return fmt.Errorf("card %s: %w", n.attr("id"), err)
		}
		for i := range sheets {
			if n.attr("id") == fmt.Sprintf("t%d", sheets[i].num) {
				sheets[i].rig = r
			}
		}
	}
	return nil
}

// amount is a printed number with its unit, as a pattern.
const amount = `([+\x{2212}]?[0-9.]+) `

var (
	supplyWords = regexp.MustCompile(`^` + amount + `V, ` + amount + `Ω inside$`)
	ohmWords    = regexp.MustCompile(`^` + amount + `Ω;`)
	setupWords  = []struct {
		is  *regexp.Regexp
		set func(r *rig, v []float64)
	}{
		{regexp.MustCompile(`^Set a zero error of ` + amount + `% of span: `), func(r *rig, v []float64) { r.found.Transmitter.Zero = v[0] / 100 }},
		{regexp.MustCompile(`^Set a zero error of ` + amount + `% of span first: .*Then a span error of ` + amount + `% of span at 100 %`), func(r *rig, v []float64) {
			r.found.Transmitter.Zero, r.found.Transmitter.Span = v[0]/100, v[1]/100
		}},
		{regexp.MustCompile(`^Set a span error of ` + amount + `% of span at 100 %: `), func(r *rig, v []float64) { r.found.Transmitter.Span = v[0] / 100 }},
		{regexp.MustCompile(`^Put a decade box set to ` + amount + `Ω into the line`), func(r *rig, v []float64) { r.found.Wiring.TerminalOhm = v[0] }},
		{regexp.MustCompile(`^Turn the supply down to ` + amount + `V,`), func(r *rig, v []float64) { r.found.Supply.Volt = v[0] }},
		{regexp.MustCompile(`^Put a decade box set to ` + amount + `kΩ across the transmitter`), func(r *rig, v []float64) { r.found.Wiring.AcrossTransmitterOhm = 1000 * v[0] }},
		{regexp.MustCompile(`^Put a decade box set to ` + amount + `Ω in the place of the receiver`), func(r *rig, v []float64) { r.found.Receiver.ShuntOhm = v[0] }},
		{regexp.MustCompile(`so that it has ` + amount + `V at the checker's load`), func(r *rig, v []float64) { r.weak = v[0] }},
		{regexp.MustCompile(`the needle rests at ` + amount + `div, last of all`), func(r *rig, v []float64) { r.rest = v[0] }},
	}
	plainWords = []string{"In the workshop only", "Build the loop", "With nothing wrong yet", "Put nothing into the loop",
		"See that the checker's cell is good", "See that the needle rests on its centre", "Measure everything yourself", "Cover what you have put in"}
)

// readCard builds the loop of a bench card.
func readCard(n *node) (*rig, error) {
	r := &rig{found: loop.Healthy()}
	r.found.Supply.LimitMilliamp = 0
	table := readTable(n.first("table", "rig").parentless())
	line := 0.0
	for _, row := range table.rows {
		switch row[0] {
		case "Supply":
			m := supplyWords.FindStringSubmatch(row[1])
			if m == nil {
				return nil, fmt.Errorf("a supply of %q", row[1])
			}
			r.found.Supply.Volt, _ = number(m[1])
			r.found.Supply.InternalOhm, _ = number(m[2])
			line += r.found.Supply.InternalOhm
		case "Line, out", "Line, back":
			m := ohmWords.FindStringSubmatch(row[1])
			if m == nil {
				return nil, fmt.Errorf("a line of %q", row[1])
			}
			v, _ := number(m[1])
			line += v
			if row[0] == "Line, out" {
				r.found.Wiring.OutOhm = v
			} else {
				r.found.Wiring.ReturnOhm = v
			}
		case "Receiver":
			if !strings.HasPrefix(row[1], "250 Ω, input 1 MΩ") {
				return nil, fmt.Errorf("a receiver of %q", row[1])
			}
		}
	}
	r.supply, r.ohms, r.left = r.found.Supply.Volt, line, r.found
	setup := n.all("section", "bench-steps")[0]
	for _, li := range setup.all("li", "") {
		if err := r.setUp(strings.TrimSpace(li.words())); err != nil {
			return nil, err
		}
	}
	tables := n.all("section", "expected")
	if len(tables) != 3 {
		return nil, fmt.Errorf("%d tables of readings", len(tables))
	}
	ready := readTable(tables[0]).rows
	rest, _, err := quantity(ready[0][1])
	if err != nil || rest != r.rest {
		return nil, fmt.Errorf("the needle is set to rest at %v and expected at %q", r.rest, ready[0][1])
	}
	r.cell, r.line = 10, 4
	if m := regexp.MustCompile(`^` + amount + `div, line at ` + amount + `div$`).FindStringSubmatch(ready[1][1]); m != nil {
		r.cell, _ = number(m[1])
		r.line, _ = number(m[2])
	} else if !strings.HasPrefix(ready[1][1], "the right stop") {
		return nil, fmt.Errorf("a cell reading of %q", ready[1][1])
	}
	r.expected = [2][][]string{readTable(tables[1]).rows, readTable(tables[2]).rows}
	if strings.HasSuffix(tables[2].first("h4", "").words(), "nothing adjusted") {
		r.left = r.found
	}
	return r, nil
}

// parentless lets a table be read like a figure that holds it.
func (n *node) parentless() *node { return &node{name: "figure", kids: []*node{n}} }

func (r *rig) setUp(words string) error {
	for _, w := range setupWords {
		m := w.is.FindStringSubmatch(words)
		if m == nil {
			continue
		}
		var v []float64
		for _, s := range m[1:] {
			x, err := number(strings.TrimPrefix(s, "+"))
			if err != nil {
				return err
			}
			v = append(v, x)
		}
		w.set(r, v)
		return nil
	}
	if !slices.ContainsFunc(plainWords, func(p string) bool { return strings.HasPrefix(words, p) }) {
		return fmt.Errorf("nobody knows how to %q", words)
	}
	return nil
}

// readings are needle, receiver volts and transmitter volts at a point.
type readings struct{ needle, rx, tx float64 }

// shows lets the solver read the instruments. Between two small marks the right
// one is read.
func shows(p loop.Params, percent float64) readings {
	held, free := p.Solve(percent/100, true), p.Solve(percent/100, false)
	return readings{
		needle: min(10, max(-10, math.Floor(held.Deflection/0.2+0.5+1e-6)/5)),
		rx:     rounded(free.ReceiverVolt, 3), tx: rounded(free.TransmitterVolt, 1)}
}

// points are the inputs of a table, in percent.
func (p part) points() []float64 {
	var out []float64
	for _, b := range p.boxes {
		v, _, err := quantity(b.row)
		if err == nil && !slices.Contains(out, v) {
			out = append(out, v)
		}
	}
	return out
}

func (s sheet) benchPart(task string) part {
	for _, p := range s.parts {
		if p.benchTask() == task {
			return p
		}
	}
	return part{}
}

func (s sheet) given(name string) (float64, error) {
	for _, row := range s.tables[0].rows {
		if row[0] == name {
			v, _, _ := strings.Cut(strings.TrimPrefix(row[1], "± "), " ")
			return number(v)
		}
	}
	return 0, fmt.Errorf("no given %q", name)
}

// stood are the readings as found or as left, point by point.
func (s sheet) stood(p loop.Params) []readings {
	var out []readings
	for _, x := range s.benchPart("found").points() {
		out = append(out, shows(p, x))
	}
	return out
}

// fill writes readings into a table, row by row and column by column.
func (p part) fill(into replies, all []readings) {
	i := -1
	last := ""
	for _, b := range p.boxes {
		if b.row != last {
			i, last = i+1, b.row
		}
		v := all[i].needle
		switch b.column {
		case "Receiver":
			v = all[i].rx
		case "Transmitter":
			v = all[i].tx
		}
		into[b.id] = reply{number: v}
	}
}

// hold compares what the card expects with the loop built from it.
func (r *rig) hold(s sheet) error {
	for k, params := range []loop.Params{r.found, r.left} {
		all := s.stood(params)
		for i, row := range r.expected[k] {
			// Point, input, then reading and empty box in turn.
			want := []float64{all[i].needle, all[i].rx, all[i].tx}
			for c := 2; c < len(row); c += 2 {
				v, _, err := quantity(strings.TrimPrefix(row[c], "+"))
				if err != nil || math.Abs(v-want[c/2-1]) > 1e-9 {
					return fmt.Errorf("the card expects %q at %s, the loop built from it shows %v", row[c], row[0], want[c/2-1])
				}
			}
		}
	}
	return nil
}

// amps is a current that makes the needle stand there, by the checker's volts.
func amps(x, needle float64) float64 {
	volts := 1 + 4*x/100 + needle*0.02
	return volts / 250 * 1000
}

// benchSums are what is reckoned from what was written down.
type benchSums struct {
	all        []readings
	low, top   float64 // points
	currents   map[string]float64
	resistance float64
	lost       [2]float64
}

func (s sheet) sums() benchSums {
	x := s.benchPart("found").points()
	b := benchSums{all: s.stood(s.rig.found), low: x[0], top: x[len(x)-1]}
	first, last := b.all[0], b.all[len(x)-1]
	i := [2]float64{rounded(amps(b.low, first.needle), 2), rounded(amps(b.top, last.needle), 2)}
	b.resistance = rounded(last.rx/i[1]*1000, 1)
	for k, r := range []readings{first, last} {
		b.lost[k] = s.rig.supply - r.tx - r.rx - i[k]/1000*250 - i[k]/1000*s.rig.ohms
	}
	return b
}

func (s sheet) workBench() (replies, error) {
	if s.rig == nil {
		return nil, fmt.Errorf("no bench card for this task")
	}
	if err := s.rig.hold(s); err != nil {
		return nil, err
	}
	mine := replies{}
	b := s.sums()
	for _, p := range s.parts {
		chosen := ""
		switch p.benchTask() {
		case "rest":
			chosen = []string{"left of the centre", "on the centre", "right of the centre"}[1+int(math.Copysign(math.Ceil(math.Abs(s.rig.rest)/10), s.rig.rest))]
		case "cell":
			chosen = "left of the line"
			if s.rig.cell >= s.rig.line {
				chosen = "at the line or to the right of it"
			}
		case "found":
			p.fill(mine, b.all)
		case "left":
			p.fill(mine, s.stood(s.rig.left))
		case "volts":
			for _, x := range p.boxes {
				mine[x.id] = reply{number: s.at(x).rx / 250 * 1000}
			}
		case "needle":
			for _, x := range p.boxes {
				v, _, _ := quantity(x.row)
				mine[x.id] = reply{number: amps(v, s.at(x).needle)}
			}
		case "resistance":
			mine[p.boxes[0].id] = reply{number: b.resistance}
		case "lost":
			for k, x := range p.boxes {
				mine[x.id] = reply{number: b.lost[k]}
			}
		case "verdict", "first":
			var err error
			if chosen, err = s.judge(p.benchTask()); err != nil {
				return nil, err
			}
		case "which":
			chosen = s.matter()
		default:
			return nil, fmt.Errorf("a part that asks %q", p.prompt)
		}
		if chosen != "" {
			r, err := p.choose(chosen)
			if err != nil {
				return nil, err
			}
			mine[p.boxes[0].id] = r
		}
	}
	return mine, nil
}

// at gives the readings as found at the row of a box.
func (s sheet) at(b *box) readings {
	v, _, _ := quantity(b.row)
	return shows(s.rig.found, v)
}

// judge compares volts on the checker's resistor: 4 V are the span.
func (s sheet) judge(what string) (string, error) {
	limit := "Tolerance"
	if what == "first" {
		limit = "The site adjusts beyond"
	}
	percent, err := s.given(limit)
	if err != nil {
		return "", err
	}
	all := s.stood(s.rig.found)
	worst := 0.0
	for _, r := range all {
		worst = max(worst, math.Abs(r.needle*0.02))
	}
	inside := worst <= percent*0.04+1e-9
	low, top := all[0].needle, all[len(all)-1].needle
	switch {
	case what == "verdict" && inside:
		return "yes, within", nil
	case what == "verdict":
		return "no, outside", nil
	case inside:
		return "record it and leave the screws alone", nil
	case low <= -0.4:
		return "raise the zero", nil
	case low >= 0.4:
		return "lower the zero", nil
	case top < 0:
		return "raise the span", nil
	}
	return "lower the span", nil
}

// matter finds the fault by building all of them anew: which of the five loops,
// of some size, shows what was found?
func (s sheet) matter() string {
	found := s.stood(s.rig.found)
	near := func(p loop.Params) bool {
		for i, r := range s.stood(p) {
			if math.Abs(r.needle-found[i].needle) > 0.21 || math.Abs(r.rx-found[i].rx) > 0.006 || math.Abs(r.tx-found[i].tx) > 0.11 {
				return false
			}
		}
		return true
	}
	sound := s.rig.left
	if near(sound) {
		return "nothing: the loop is sound"
	}
	says := ""
	try := func(words string, from, to, step float64, change func(p *loop.Params, v float64)) {
		for v := from; v <= to; v += step {
			p := sound
			if change(&p, v); near(p) {
				if says != "" && says != words {
					says = "two faults fit"
				} else {
					says = words
				}
				return
			}
		}
	}
	try("a resistance in the line", 40, 200, 2.5, func(p *loop.Params, v float64) { p.Wiring.TerminalOhm = v })
	try("a supply below its rating", 10, sound.Supply.Volt-1, 0.1, func(p *loop.Params, v float64) { p.Supply.Volt = v })
	try("a leak across the transmitter", 20, 140, 0.25, func(p *loop.Params, v float64) { p.Wiring.AcrossTransmitterOhm = 1000 * v })
	try("the receiver's resistor", 225, 275, 0.25, func(p *loop.Params, v float64) { p.Receiver.ShuntOhm = v })
	return says
}
