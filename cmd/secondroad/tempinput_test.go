package secondroad

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The road of "temperature inputs": the printed extract is laid out as one long
// line of figures; between two of them each counts by how near it is, and a
// temperature is searched by halving until the line gives what was measured.
var tempRoad = &road{
	family: "temperature-inputs",
	knows: func(s sheet) bool {
		return strings.Contains(s.intro, "has a Pt100") || strings.Contains(s.intro, "has a thermocouple of type")
	},
	task:  func(p part) string { return p.tempTask() },
	slips: tempSlips,
}

func init() {
	tempRoad.work = sheet.workTemp
	roads = append(roads, tempRoad)
}

// tempPlant has inputs of every kind that the family takes, invented: ranges
// from below zero and from above, narrow and wide, and every type.
const tempPlant = `
plant: sundvik
name: Sundvik Kiln Works
makes: bricks and glazed tiles
checker: {id: NB-8}
loops:
  - {tag: TT-501, service: temperature of the slip tank, kind: temperature, sensor: Pt100, input: -50..50 °C, tolerance: 0.5 %span}
  - {tag: TT-502, service: temperature of the drying room, kind: temperature, sensor: Pt100, input: 0..100 °C, tolerance: 0.8 %span}
  - {tag: TT-503, service: temperature of the steam, kind: temperature, sensor: Pt100, input: 100..300 °C, tolerance: 0.5 %span}
  - {tag: TT-504, service: temperature of the flue, kind: temperature, sensor: Pt100, input: 0..450 °C, tolerance: 0.75 %span}
  - {tag: TT-505, service: temperature of the cooling zone, kind: temperature, sensor: Pt100, input: -20..120 °C, tolerance: 1 %span, transmitter: {lift_off: 10.5 V, low: 3.9 mA, high: 20.8 mA}}
  - {tag: TT-511, service: temperature of the kiln head, kind: temperature, sensor: thermocouple K, input: 0..800 °C, tolerance: 1 %span}
  - {tag: TT-512, service: temperature of the burner air, kind: temperature, sensor: thermocouple J, input: -20..300 °C, tolerance: 1 %span}
  - {tag: TT-513, service: temperature of the exhaust, kind: temperature, sensor: thermocouple T, input: -10..350 °C, tolerance: 1 %span, transmitter: {lift_off: 10.5 V, low: 3.7 mA, high: 20.5 mA}}
`

func TestTemperatureInputs(t *testing.T) {
	tempRoad.travel(t, plantFiles(tempRoad.family, tempPlant, 2))
}

func (p part) tempTask() string {
	for _, c := range []struct{ words, task string }{
		{"What must the decade box be set to", "decade"},
		{"The sensor itself is then measured", "found"},
		{"The sensor is connected again", "current"},
		{"Later a lead of the sensor breaks", "open"},
		{"Later a strand of wire shorts", "short"},
		{"Later a terminal corrodes", "added"},
		{"In two-wire connection", "seen"},
		{"What temperature does it take that for", "taken"},
		{"How large is the error of the two-wire", "error"},
		{"Now all three leads are connected", "left"},
		{"With which connection", "verdict"},
		{"A millivolt source takes the place", "send"},
		{"The thermocouple is connected again", "whole"},
		{"What temperature has the measuring junction", "junction"},
		{"Somebody replaces the compensating cable", "shift"},
		{"What temperature does the transmitter take that for", "shown"},
		{"Some weeks later", "which"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// spot is a figure of the extract.
type spot struct{ celsius, v float64 }

// tempInput is what the page says of an input.
type tempInput struct {
	low, high, fail, lowest, highest   float64
	at, lead1, lead2, lead3, tolerance float64
	terminals, head, goal, volt        float64
	point, ohm, added, now             float64 // in the questions
	table                              []spot
	kind                               string // "Pt100", or the letter of a thermocouple

	// value and celsius look up, steep is the ohms of a degree; they may be put
	// in place of those of the printed table.
	value, celsius, steep func(x float64) float64
}

func (s sheet) seeTemp() (*tempInput, error) {
	in := &tempInput{kind: "Pt100"}
	if _, after, ok := strings.Cut(s.intro, "thermocouple of type "); ok {
		in.kind = after[:1]
	}
	if len(s.tables) != 2 {
		return nil, fmt.Errorf("%d tables", len(s.tables))
	}
	for _, row := range s.tables[0].rows {
		place, ok := map[string]*float64{
			"Range, at 4 mA": &in.low, "Range, at 20 mA": &in.high, "Failure current, set for an open sensor": &in.fail,
			"Failure current, set for an open thermocouple": &in.fail, "True temperature of the sensor": &in.at,
			"Lead 1, with its terminals": &in.lead1, "Lead 2, with its terminals": &in.lead2, "Lead 3, with its terminals": &in.lead3,
			"Terminals of the transmitter": &in.terminals, "Head of the thermocouple": &in.head, "Temperature to be simulated": &in.goal,
			"Measured at the terminals, thermocouple connected": &in.volt,
		}[row[0]]
		var err error
		switch {
		case ok:
			*place, _, err = quantity(row[1])
		case row[0] == "Signal" && row[1] == "4 mA to 20 mA":
		case row[0] == "Tolerance of the loop":
			in.tolerance, _, err = quantity(strings.TrimSuffix(strings.TrimPrefix(row[1], "± "), " of span"))
		case row[0] == "Limits of its measured values":
			a, b, _ := strings.Cut(row[1], " to ")
			if in.lowest, _, err = quantity(a); err == nil {
				in.highest, _, err = quantity(b)
			}
		default:
			err = fmt.Errorf("nobody knows the given %q", row[0])
		}
		if err != nil {
			return nil, err
		}
	}
	for _, row := range s.tables[1].rows {
		from, err := number(row[0])
		if err != nil {
			return nil, err
		}
		for i, cell := range row[1:] {
			if cell == "–" {
				continue
			}
			on, err := number(strings.TrimPrefix(s.tables[1].heads[i+1], "+ "))
			if err != nil {
				return nil, err
			}
			v, err := number(cell)
			if err != nil {
				return nil, err
			}
			if n := len(in.table); n > 0 && (v <= in.table[n-1].v || from+on != in.table[n-1].celsius+10) {
				return nil, fmt.Errorf("the figure of %v °C does not follow on that before", from+on)
			}
			in.table = append(in.table, spot{from + on, v})
		}
	}
	for _, p := range s.parts {
		for _, c := range []struct {
			before string
			to     *float64
		}{{"be set to for ", &in.point}, {"measured, and it has ", &in.ohm}, {"corrodes and adds ", &in.added}, {"The loop current is ", &in.now}} {
			if _, after, ok := strings.Cut(p.prompt, c.before); ok {
				v, _, _ := strings.Cut(after, " ")
				var err error
				if *c.to, err = number(v); err != nil {
					return nil, err
				}
			}
		}
	}
	in.steep = in.slope
	in.value, in.celsius = in.onLine, func(v float64) float64 {
		first, last := in.table[0].celsius, in.table[len(in.table)-1].celsius
		return falls(func(t float64) float64 { return -in.onLine(t) }, -v, first, last)
	}
	return in, nil
}

// below is the place of the last figure at or below a temperature.
func (in *tempInput) below(celsius float64) int {
	i := slices.IndexFunc(in.table, func(x spot) bool { return x.celsius > celsius }) - 1
	if i < 0 {
		i = len(in.table) - 2
	}
	return i
}

// onLine weighs the two figures beside a temperature.
func (in *tempInput) onLine(celsius float64) float64 {
	i := in.below(celsius)
	a, b := in.table[i], in.table[i+1]
	return (a.v*(b.celsius-celsius) + b.v*(celsius-a.celsius)) / (b.celsius - a.celsius)
}

// written is a number as it is written down before one goes on.
func written(v float64, decimals int) float64 { return rounded(v, decimals) }

func (in *tempInput) milliamp(celsius float64) float64 {
	// The distance from 4 mA is to that from 20 mA as those in degrees are.
	return (4*(in.high-celsius) + 20*(celsius-in.low)) / (in.high - in.low)
}

// The answers, each from those written before it.
func (in *tempInput) goalAt() float64   { return (in.low*(100-in.point) + in.high*in.point) / 100 }
func (in *tempInput) decade() float64   { return in.value(in.goalAt()) }
func (in *tempInput) found() float64    { return written(in.celsius(in.ohm), 1) }
func (in *tempInput) seen() float64     { return written(in.value(in.at)+in.lead1+in.lead2, 2) }
func (in *tempInput) taken() float64    { return written(in.celsius(in.seen()), 1) }
func (in *tempInput) span() float64     { return in.high - in.low }
func (in *tempInput) twoError() float64 { return 100 * (in.taken() - in.at) / in.span() }

// kelvins is how many degrees the printed figures about the true temperature
// give an error in ohms.
func (in *tempInput) kelvins(ohm float64) float64 {
	return ohm / in.steep(in.at)
}

func (in *tempInput) slope(celsius float64) float64 {
	i := in.below(celsius)
	return (in.table[i+1].v - in.table[i].v) / 10
}
func (in *tempInput) threeError() float64 { return in.kelvins(in.lead1 - in.lead3) }
func (in *tempInput) whole() float64      { return written(in.volt+in.value(in.terminals), 3) }
func (in *tempInput) junction() float64   { return written(in.celsius(in.whole()), 1) }
func (in *tempInput) shift() float64      { return written(in.value(in.terminals)-in.value(in.head), 3) }
func (in *tempInput) shown() float64      { return written(in.celsius(in.whole()+in.shift()), 1) }

const (
	twoOrThree, threeOnly, noneOfThem = "with two leads, and with three", "with three leads only", "with neither"
	copperCable, shortThere           = "plain copper instead of compensating cable, from head to cabinet", "a short across the terminals of the transmitter"
	wiresSwapped, burntThrough        = "the two wires swapped at the terminals of the transmitter", "the thermocouple burnt through"
)

// answer gives a number, or the words of an option.
func (in *tempInput) answer(task string) (v float64, chosen string, err error) {
	mA := func(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0") + " mA" }
	switch task {
	case "decade":
		return in.decade(), "", nil
	case "found":
		return in.celsius(in.ohm), "", nil
	case "current":
		return in.milliamp(in.found()), "", nil
	case "open":
		return 0, mA(in.fail), nil
	case "short":
		return 0, mA(in.lowest), nil
	case "added":
		if in.ohm+in.added <= in.value(in.high) {
			return 0, "", fmt.Errorf("the added ohms do not leave the range")
		}
		return 0, mA(in.highest), nil
	case "seen":
		return in.value(in.at) + in.lead1 + in.lead2, "", nil
	case "taken":
		return in.celsius(in.seen()), "", nil
	case "error":
		return in.twoError(), "", nil
	case "left":
		return in.threeError(), "", nil
	case "verdict":
		allowed := in.tolerance * in.span() / 100
		switch {
		case math.Abs(written(in.twoError(), 2))*in.span()/100 <= allowed:
			return 0, twoOrThree, nil
		case math.Abs(written(in.threeError(), 2)) <= allowed:
			return 0, threeOnly, nil
		}
		return 0, noneOfThem, nil
	case "send":
		return in.value(in.goal) - in.value(in.terminals), "", nil
	case "whole":
		return in.volt + in.value(in.terminals), "", nil
	case "junction":
		return in.celsius(in.whole()), "", nil
	case "shift":
		return in.value(in.terminals) - in.value(in.head), "", nil
	case "shown":
		return in.celsius(in.whole() + in.shift()), "", nil
	case "which":
		return 0, in.which(), nil
	}
	return 0, "", fmt.Errorf("nobody knows the task %q", task)
}

// which foretells the current of every fault and takes the nearest.
func (in *tempInput) which() string {
	limited := func(emf float64) float64 {
		if emf < in.value(in.low) {
			return in.lowest
		}
		return in.milliamp(in.celsius(emf))
	}
	best, least := "", math.Inf(1)
	terminals := in.value(in.terminals)
	for _, f := range []struct {
		words string
		mA    float64
	}{
		{copperCable, limited(in.whole() + in.shift())},
		{shortThere, limited(0 + terminals)},
		{wiresSwapped, limited(-in.volt + terminals)},
		{burntThrough, in.fail},
	} {
		if off := math.Abs(f.mA - in.now); off < least {
			best, least = f.words, off
		}
	}
	return best
}

func (s sheet) workTemp() (replies, error) {
	in, err := s.seeTemp()
	if err != nil {
		return nil, err
	}
	return s.workInput(in)
}

func (s sheet) workInput(in *tempInput) (replies, error) {
	mine := replies{}
	for _, p := range s.parts {
		v, chosen, err := in.answer(p.tempTask())
		if err != nil {
			return nil, err
		}
		mine[p.boxes[0].id] = reply{number: v}
		if chosen != "" {
			r, err := p.pick(chosen)
			if err != nil {
				return nil, err
			}
			mine[p.boxes[0].id] = r[p.boxes[0].id]
		}
	}
	return mine, nil
}

// TestTemperatureFunctions works the pages with the functions behind the
// tables: IEC 60751 written out here, turned round by halving, and the
// reference functions of ITS-90, which package signal holds against NIST
// SRD 60. Nothing of the printed table is used, and every number must lie
// within the tolerance of its key: whoever uses an instrument with the function
// built in is marked right.
func TestTemperatureFunctions(t *testing.T) {
	c, err := prepare(tempRoad.family, plantFiles(tempRoad.family, tempPlant, 2))
	if err != nil {
		t.Fatal(err)
	}
	forms := 300
	if raceEnabled || testing.Short() {
		forms = 40
	}
	worst := map[string]float64{}
	for from := 1; from <= forms; from += 20 {
		b := newBook(t, c, from, 20)
		sheets, err := readSheets(b.html)
		if err != nil {
			t.Fatal(err)
		}
		for _, s := range sheets {
			k := b.keys[s.num-1]
			in, err := s.seeTemp()
			if err != nil {
				t.Fatal(err)
			}
			in.value = published(t, in.kind)
			in.steep = func(c float64) float64 { return in.value(c+0.5) - in.value(c-0.5) }
			in.celsius = func(v float64) float64 {
				return falls(func(c float64) float64 { return -in.value(c) }, -v, -150, in.table[len(in.table)-1].celsius+5)
			}
			mine, err := s.workInput(in)
			if err != nil {
				t.Fatal(err)
			}
			for i, p := range s.parts {
				a := k.item.Key.Parts[i].Answers[0]
				r := mine[a.Box]
				if r.option != a.Option {
					t.Errorf("%s (%s): the function marks %q, the key %q", k.where(b.course), p.label, r.option, a.Option)
				}
				if a.Option != "" {
					continue
				}
				share := math.Abs(rounded(r.number, a.Def.Decimals)-a.Value.Float64()) / a.Tolerance.Float64()
				worst[p.tempTask()] = max(worst[p.tempTask()], share)
				if share > 1+1e-9 {
					t.Errorf("%s (%s): the function gives %v, the key %v ± %v", k.where(b.course), p.label, r.number, a.Value.Float64(), a.Tolerance.Float64())
				}
			}
		}
	}
	for _, name := range keysOf(worst) {
		t.Logf("%-10s at most %3.0f %% of the tolerance away", name, 100*worst[name])
	}
}

func published(t *testing.T, kind string) func(celsius float64) float64 {
	if kind == "Pt100" {
		return func(c float64) float64 {
			r := 100 + 0.39083*c - 0.00005775*c*c
			if c < 0 {
				r -= 4.183e-10 * (c - 100) * c * c * c
			}
			return r
		}
	}
	return func(c float64) float64 {
		v, err := signal.Thermocouple(kind).Millivolt(formula.Float(c))
		if err != nil {
			t.Fatal(err)
		}
		return v.Float64()
	}
}
