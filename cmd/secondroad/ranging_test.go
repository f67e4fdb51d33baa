package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
)

// The road of "level and flow": pressures are balanced in pascals, kilograms
// over a square metre, centimetre by centimetre of column from the tap down or
// up; levels and flows at a current, and flows that are shown wrongly, are found
// by trying. Squares go by logarithms, and no root is taken.
var rangingRoad = &road{
	family: "level-and-flow",
	knows: func(s sheet) bool {
		return strings.Contains(s.intro, "has to be ranged for the levels of the table") || strings.Contains(s.intro, "The loop gets a new range")
	},
	task:  func(p part) string { return p.rangingTask() },
	slips: rangingSlips,
}

func init() {
	rangingRoad.work = sheet.workRanging
	roads = append(roads, rangingRoad)
}

func TestLevelAndFlow(t *testing.T) {
	rangingRoad.travel(t, plantFiles(rangingRoad.family, widePlant, 2))
}

func (p part) rangingTask() string {
	for _, c := range []struct{ words, task string }{
		{"At which differential pressure must the transmitter send 4 mA?", "lrv"},
		{"At which differential pressure must it send 20 mA?", "urv"},
		{"The liquid stands ", "current"},
		{"The transmitter sends ", "level"},
		{"The leg has lost its uppermost ", "lost"},
		{"Which differential pressure belongs to 100 % of the new range?", "new-range"},
		{"The new range is set and checked.", "points"},
		{"With the new range the transmitter sends ", "flow"},
		{"Later the transmitter is found with a zero error of ", "flow-error"},
		{"It was so for ", "amount"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// tank is what the page tells of a vessel. Heights are metres above the lower
// tap; the cell of a transmitter below it has a negative one.
type tank struct {
	water              float64 // pascal for a metre of water
	liquid, filling    float64 // specific gravities
	empty, full        float64
	cell, leg          float64
	wet, dry           bool
	level, sends, lost float64
}

// orifice is what it tells of a flow.
type orifice struct {
	dp, flow, newFlow float64
	rooted            bool // by the transmitter
	sends             float64
	runs, zero        float64 // percent of the flow span, of the span of pressure
	days, hours       float64 // hours or minutes of a day
	places            int     // of the pressure asked for
}

var (
	sentLevel   = regexp.MustCompile(`^The liquid stands (\S+) m above the lower tap\.`)
	sentCurrent = regexp.MustCompile(`he transmitter sends (\S+) mA\.`)
	sentLost    = regexp.MustCompile(`^The leg has lost its uppermost (\S+) m of filling, and nobody has noticed\..*indicated minus true\?$`)
	sentZero    = regexp.MustCompile(`a zero error of (\S+) % of its differential pressure span, indicated minus true;.*The flow was (\S+) % of the flow span, above the low-flow cut-off\..*indicated minus true\?$`)
	sentDays    = regexp.MustCompile(`^It was so for (\d+) days, day and night, at that flow\..*counted minus true\?$`)
)

// read reads the numbers that a sentence holds.
func readSentence(of *regexp.Regexp, text string, to ...*float64) error {
	m := of.FindStringSubmatch(strings.ReplaceAll(text, "\u00a0", " "))
	if m == nil {
		return fmt.Errorf("the question says something else: %q", text)
	}
	for i, p := range to {
		v, err := number(m[i+1])
		if err != nil {
			return err
		}
		*p = v
	}
	return nil
}

func (s sheet) givenRows(unit map[string]string, to map[string]*float64) error {
	if len(s.tables) != 1 {
		return fmt.Errorf("%d tables of givens", len(s.tables))
	}
	for _, row := range s.tables[0].rows {
		name, text := strings.ReplaceAll(row[0], "\u00a0", " "), strings.ReplaceAll(row[1], "\u00a0", " ")
		p, known := to[name]
		if !known {
			return fmt.Errorf("nobody knows the given %q", name)
		}
		v, in, _ := strings.Cut(text, " ")
		if want, ok := unit[name]; ok && want != in {
			return fmt.Errorf("%q is given for %s", text, name)
		}
		var err error
		if *p, err = number(v); err != nil {
			return err
		}
	}
	return nil
}

func (s sheet) seeTank() (tank, error) {
	t := tank{wet: strings.Contains(s.intro, "kept full of another liquid"), dry: strings.Contains(s.intro, "is dry and stays dry"),
		leg: math.NaN(), filling: math.NaN()}
	below, over, gas := math.NaN(), math.NaN(), math.NaN()
	unit := map[string]string{"Level at 0 %, above the lower tap": "m", "Level at 100 %, above the lower tap": "m",
		"Transmitter, below the lower tap": "m", "Transmitter, above the lower tap": "m",
		"Upper tap, up to which the leg is full, above the lower tap": "m", "Pressure of the gas above the liquid": "kPa",
		"One metre of water, specific gravity 1 (conventional; reckon with it)": "kPa/m"}
	err := s.givenRows(unit, map[string]*float64{
		"One metre of water, specific gravity 1 (conventional; reckon with it)": &t.water,
		"Specific gravity of the vessel's liquid":                               &t.liquid, "Specific gravity of the leg's filling": &t.filling,
		"Level at 0 %, above the lower tap": &t.empty, "Level at 100 %, above the lower tap": &t.full,
		"Transmitter, below the lower tap": &below, "Transmitter, above the lower tap": &over,
		"Upper tap, up to which the leg is full, above the lower tap": &t.leg, "Pressure of the gas above the liquid": &gas,
	})
	if err != nil {
		return t, err
	}
	t.water *= 1000
	if math.IsNaN(below) == math.IsNaN(over) {
		return t, fmt.Errorf("the transmitter is in no place, or in two")
	}
	if t.cell = over; math.IsNaN(over) {
		t.cell = -below
	}
	if t.wet != !math.IsNaN(t.leg) || t.wet != !math.IsNaN(t.filling) || t.dry != !math.IsNaN(gas) {
		return t, fmt.Errorf("the table and the introduction differ in the leg")
	}
	for _, p := range s.parts {
		switch p.rangingTask() {
		case "current":
			err = readSentence(sentLevel, p.prompt, &t.level)
		case "level":
			err = readSentence(sentCurrent, p.prompt, &t.sends)
		case "lost":
			err = readSentence(sentLost, p.prompt, &t.lost)
		}
		if err != nil {
			return t, err
		}
	}
	return t, t.looksLike(s.drawings)
}

// looksLike holds the sketch, its labels and its words, against the table.
func (t tank) looksLike(d []drawing) error {
	if len(d) != 1 {
		return fmt.Errorf("%d drawings", len(d))
	}
	metres := func(v float64) string { return fmt.Sprintf("%.2f m", math.Abs(v)) }
	side := "above"
	if t.cell < 0 {
		side = "below"
	}
	heights := []float64{t.empty, t.full, t.cell}
	says := []string{"From the lower tap up to 0 % " + metres(t.empty), "up to 100 % " + metres(t.full),
		"The transmitter is " + metres(t.cell) + " " + side + " the lower tap"}
	if t.wet {
		heights = append(heights, t.leg)
		says = append(says, "up to the upper tap "+metres(t.leg), "a filled leg")
	}
	for _, w := range says {
		if !strings.Contains(d[0].words, w) {
			return fmt.Errorf("the sketch does not say %q: %q", w, d[0].words)
		}
	}
	drawn := map[string]int{}
	for _, l := range d[0].labels {
		if strings.HasSuffix(l, "m") {
			drawn[strings.ReplaceAll(l, "\u00a0", " ")]++
		}
	}
	for _, h := range heights {
		if drawn[metres(h)]--; drawn[metres(h)] < 0 {
			return fmt.Errorf("the sketch does not show %s", metres(h))
		}
	}
	for l, n := range drawn {
		if n > 0 {
			return fmt.Errorf("the sketch shows %s, which the table lacks", l)
		}
	}
	return nil
}

// column is the pressure in pascals that a column of liquid adds on the way
// from the height top to the height bottom, a centimetre at a time.
func (t tank) column(gravity, top, bottom float64) float64 {
	steps := int(math.Round((top - bottom) * 100))
	sign := 1.0
	if steps < 0 {
		steps, sign = -steps, -1
	}
	sum := 0.0
	for range steps {
		sum += t.water / 100 * gravity
	}
	return sign * sum
}

// senses is the difference in pascals at a level, over any gas.
func (t tank) senses(level float64) float64 {
	const gas = 170_000
	high, low := gas+t.column(t.liquid, level, t.cell), float64(gas)
	if t.wet {
		low += t.column(t.filling, t.leg, t.cell)
	}
	return high - low
}

// ends is the range in kilopascals, as it is written down.
func (t tank) ends() (low, high float64) {
	return rounded(t.senses(t.empty)/1000, 2), rounded(t.senses(t.full)/1000, 2)
}

// rises finds where something that rises reaches a value, by halving.
func rises(f func(x float64) float64, value, low, high float64) float64 {
	return falls(func(x float64) float64 { return -f(x) }, -value, low, high)
}

// along is the share of the way from a to b at which x stands, found by trying.
func along(x, a, b float64) float64 {
	if b < a {
		return 1 - along(x, b, a)
	}
	return rises(func(share float64) float64 { return mix(a, b, share) }, x, -3, 4)
}

// atCurrent finds what stands at a current when a and b stand at 4 and 20 mA.
func atCurrent(mA, a, b float64) float64 { return mix(a, b, along(mA, 4, 20)) }

// legError is the error, percent of span, when the low side lacks pascals.
func (t tank) legError(pascal float64) float64 {
	low, high := t.ends()
	true1 := (low + high) / 2
	return 100 * (along(true1+pascal/1000, low, high) - along(true1, low, high))
}

func (s sheet) seeMeter() (orifice, error) {
	var m orifice
	err := s.givenRows(nil, map[string]*float64{"Differential pressure at 100 %, old range": &m.dp,
		"Flow at 100 %, old range": &m.flow, "Flow at 100 %, new range": &m.newFlow})
	if err != nil {
		return m, err
	}
	switch m.rooted = strings.Contains(s.intro, "The transmitter takes the root: its 4–20 mA are in proportion to the flow"); {
	case m.rooted == strings.Contains(s.intro, "the receiver takes the root"):
		return m, fmt.Errorf("nobody takes the root, or two do")
	}
	at := "receiver"
	if m.rooted {
		at = "transmitter"
	}
	if len(s.drawings) != 1 || !strings.HasSuffix(s.drawings[0].words, "The sign √ stands at the "+at+".") {
		return m, fmt.Errorf("the sketch shows the root elsewhere than at the %s: %v", at, s.drawings)
	}
	unit := map[string]string{} // of the givens
	for _, row := range s.tables[0].rows {
		_, unit[row[0]], _ = strings.Cut(strings.ReplaceAll(row[1], "\u00a0", " "), " ")
	}
	for _, p := range s.parts {
		for _, b := range p.boxes {
			in := strings.ReplaceAll(b.unit, "\u00a0", " ")
			switch task := p.rangingTask(); {
			case (task == "new-range" || task == "points") && in != unit["Differential pressure at 100 %, old range"],
				task == "flow" && in != unit["Flow at 100 %, old range"],
				task == "flow-error" && in != "% of flow span":
				return m, fmt.Errorf("(%s) asks for %s in %q", p.label, task, in)
			case task == "amount":
				amount, per, _ := strings.Cut(unit["Flow at 100 %, new range"], "/")
				m.hours = 24
				if strings.HasPrefix(per, "min") {
					m.hours = 24 * 60
				} else if per != "h" {
					return m, fmt.Errorf("a flow per %q", per)
				}
				if in != amount && in != amount+strings.TrimPrefix(per, "min") {
					return m, fmt.Errorf("(%s) asks for an amount in %q", p.label, in)
				}
			}
		}
		switch p.rangingTask() {
		case "new-range":
			m.places = p.boxes[0].decimals
		case "flow":
			err = readSentence(sentCurrent, p.prompt, &m.sends)
		case "flow-error":
			err = readSentence(sentZero, p.prompt, &m.zero, &m.runs)
		case "amount":
			err = readSentence(sentDays, p.prompt, &m.days)
		}
		if err != nil {
			return m, err
		}
	}
	return m, nil
}

// holds is the pressure that a plate holds back at a flow which has full at top:
// it goes by the logarithm, twice as fast as the flow.
func holds(flow, top, full float64) float64 {
	if flow <= 0 {
		return 0
	}
	return full * math.Exp(2*(math.Log(flow)-math.Log(top)))
}

// newDP is the new upper end as it is written down.
func (m orifice) newDP() float64 { return rounded(holds(m.newFlow, m.flow, m.dp), m.places) }

// runsAt is the flow at a current in a range with top, by trying flows; rooted
// is who takes the root.
func (m orifice) runsAt(mA, top float64, rooted bool) float64 {
	return rises(func(flow float64) float64 {
		if rooted {
			return mix(4, 20, flow/top)
		}
		return mix(4, 20, holds(flow, top, 1))
	}, mA, 0, 2*top)
}

// shows is the flow, percent of its span, that is shown for one that runs, when
// the pressure is off by zero percent of its span.
func (m orifice) shows(runs, zero float64) float64 {
	return rises(func(flow float64) float64 { return holds(flow, 100, 100) }, holds(runs, 100, 100)+zero, 0, 200)
}

// off is its error as it is written down.
func (m orifice) off() float64 { return rounded(m.shows(m.runs, m.zero)-m.runs, 2) }

// counts adds up day by day what percent of a flow makes.
func (m orifice) counts(percent, top, days, hours float64) float64 {
	sum := 0.0
	for range int(days) {
		sum += percent * top / 100 * hours
	}
	return sum
}

func (s sheet) workRanging() (replies, error) {
	mine := replies{}
	if strings.Contains(s.intro, "The loop gets a new range") {
		m, err := s.seeMeter()
		if err != nil {
			return nil, err
		}
		for _, p := range s.parts {
			say := func(v float64) { mine[p.boxes[0].id] = reply{number: v} }
			switch p.rangingTask() {
			case "new-range":
				say(holds(m.newFlow, m.flow, m.dp))
			case "points":
				if err := p.eachFlow(mine, func(percent float64) float64 { return holds(percent, 100, m.newDP()) }); err != nil {
					return nil, err
				}
			case "flow":
				say(m.runsAt(m.sends, m.newFlow, m.rooted))
			case "flow-error":
				say(m.shows(m.runs, m.zero) - m.runs)
			case "amount":
				say(m.counts(m.off(), m.newFlow, m.days, m.hours))
			default:
				return nil, fmt.Errorf("nobody knows the question %q", p.prompt)
			}
		}
		return mine, nil
	}
	t, err := s.seeTank()
	if err != nil {
		return nil, err
	}
	for _, p := range s.parts {
		say := func(v float64) { mine[p.boxes[0].id] = reply{number: v} }
		want := map[string]string{"lrv": "kPa", "urv": "kPa", "current": "mA", "level": "m", "lost": "% of span"}[p.rangingTask()]
		if p.boxes[0].unit != want {
			return nil, fmt.Errorf("(%s) asks for %s in %q", p.label, p.rangingTask(), p.boxes[0].unit)
		}
		switch p.rangingTask() {
		case "lrv":
			say(t.senses(t.empty) / 1000)
		case "urv":
			say(t.senses(t.full) / 1000)
		case "current":
			say(rises(func(mA float64) float64 { return atCurrent(mA, t.empty, t.full) }, t.level, 0, 24))
		case "level":
			say(atCurrent(t.sends, t.empty, t.full))
		case "lost":
			say(t.legError(t.column(t.filling, t.leg, t.leg-t.lost)))
		}
	}
	return mine, nil
}

// eachFlow fills the boxes of a table by the flow at the head of their rows.
func (p part) eachFlow(into replies, f func(percent float64) float64) error {
	for _, b := range p.boxes {
		v, unit, err := quantity(strings.ReplaceAll(b.row, "\u00a0", " "))
		if err != nil || unit != "%" || b.column != "Differential pressure" {
			return fmt.Errorf("the box %s stands at %q, %q", b.id, b.row, b.column)
		}
		into[b.id] = reply{number: f(v)}
	}
	return nil
}
