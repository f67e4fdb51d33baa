package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
)

// The road of "output side": a valve and what leads to it, written backwards
// from how far the valve is open to the output of the controller; what is
// asked forwards is searched for. The device that is off is found by mending
// one after the other and looking whether the valve then stands right.
var outRoad = &road{
	family: "output-side",
	knows: func(s sheet) bool {
		return strings.Contains(s.intro, "The controller sends 4 to 20 mA") || strings.Contains(s.intro, "share one controller output") ||
			strings.Contains(s.intro, "drives no valve, and that in a cascade")
	},
	task:  func(p part) string { return p.outTask() },
	slips: outSlips,
}

func init() {
	outRoad.work = sheet.workOut
	roads = append(roads, outRoad)
}

// outPlant adds output loops to the wide plant.
const outPlant = widePlant + `outputs:
  - {tag: FV-331, service: flow of the raw brine}
  - {tag: LV-332, service: level of the brine pit, converter: {coil: 220 ohm, air: 150 kPa}}
  - {tag: PV-333, service: pressure of the flash steam, positioner: {stroke: 40 mm}}
`

func TestOutputSide(t *testing.T) { outRoad.travel(t, plantFiles(outRoad.family, outPlant, 2)) }

func (p part) outTask() string {
	for _, c := range []struct{ words, task string }{
		{"The controller's output stands at", "current"},
		{"Which air pressure does the converter make", "air"},
		{"At another time the gauge at the positioner shows", "open"},
		{"Which current opens the valve to", "needs"},
		{"How far is valve ", "travel"},
		{"At which output of the controller is valve", "asked"},
		{"Which set point does that current ask for?", "set"},
		{"At which output of the controller would the set point be", "back"},
		{"With the controller's output still at", "wrong"},
		{"Look at the row of the highest output.", "steps"},
		{"Over the three rows, how is the valve off?", "kind"},
		{"What is off?", "which"},
		{"At the highest output, how does the valve stand?", "way"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// outOf reads the first number of a prompt after some words.
func outOf(prompt, after string) (float64, error) {
	_, rest, ok := strings.Cut(prompt, after)
	if !ok {
		return 0, fmt.Errorf("%q says no %q", prompt, after)
	}
	word, _, _ := strings.Cut(rest, " ")
	return number(strings.TrimRight(word, ".?,"))
}

// ends are the ends of the part of the signal that strokes a valve: at the
// first the valve has no signal, at the second all of it.
type strokes struct {
	first, last float64
	close       bool
}

// signalAt is the signal at which the valve is open so far; backwards.
func (v strokes) signalAt(open float64) float64 {
	if v.close {
		return mix(v.last, v.first, open/100)
	}
	return mix(v.first, v.last, open/100)
}

// openAt searches how far the valve is open at a signal; outside its part it
// stays at its end.
func (v strokes) openAt(signal float64) float64 {
	signal = math.Max(v.first, math.Min(v.last, signal))
	u, _ := search(func(u float64) float64 { return v.signalAt(100 * u) }, signal)
	return 100 * u
}

// chained is what the page of an exercise says.
type chained struct {
	close          bool
	a, b           strokes
	low, high      float64 // of a set point
	unit           string
	rows           [][4]float64 // output, current, air, how far open
	output, wanted float64
}

var (
	setPointRuns = regexp.MustCompile(`whose set point runs from (\S+) (\S+) to (\S+) (\S+)\.$`)
	actionWord   = regexp.MustCompile(`(The valve|A|B) is air to (open|close): without air its spring holds it (open|shut)`)
)

func (s sheet) seeChain() (*chained, error) {
	c := &chained{}
	for _, m := range actionWord.FindAllStringSubmatch(s.intro, -1) {
		close := m[2] == "close"
		if close != (m[3] == "open") {
			return nil, fmt.Errorf("a valve that is air to %s rests %s", m[2], m[3])
		}
		switch m[1] {
		case "A":
			c.a = strokes{4, 12, close}
		case "B":
			c.b = strokes{12, 20, close}
		default:
			c.close = close
		}
	}
	if c.a.last > 0 && !strings.Contains(s.intro, "the one of A strokes it over 4 to 12 mA, the one of B over 12 to 20 mA") {
		return nil, fmt.Errorf("nothing says how the range is split")
	}
	if m := setPointRuns.FindStringSubmatch(s.intro); m != nil {
		var err error
		if c.low, err = number(m[1]); err != nil {
			return nil, err
		}
		if c.high, err = number(m[3]); err != nil {
			return nil, err
		}
		if c.unit = m[2]; c.unit != m[4] {
			return nil, fmt.Errorf("a set point from %s to %s", m[2], m[4])
		}
	}
	for _, t := range s.tables {
		if strings.Join(t.heads, "|") != "Controller's output|Milliammeter|Gauge at the positioner|Valve open" {
			return nil, fmt.Errorf("a table of %q", t.heads)
		}
		for _, row := range t.rows {
			var r [4]float64
			for i, cell := range row {
				v, unit, err := quantity(cell)
				if want := []string{"%", "mA", "kPa", "%"}[i]; err != nil || unit != want {
					return nil, fmt.Errorf("%q in a column of %s: %v", cell, want, err)
				}
				r[i] = v
			}
			c.rows = append(c.rows, r)
		}
	}
	return c, nil
}

func (c *chained) top() [4]float64 { return c.rows[len(c.rows)-1] }

// milliamps and kilopascals are those of an output in percent.
func milliamps(output float64) float64   { return mix(4, 20, output/100) }
func kilopascals(output float64) float64 { return mix(20, 100, output/100) }

// outputFor searches the output that makes a current or an air.
func outputFor(of func(float64) float64, v float64) float64 {
	u, _ := searchWide(func(u float64) float64 { return of(100 * u) }, v)
	return 100 * u
}

func (s sheet) workOut() (replies, error) {
	c, err := s.seeChain()
	if err != nil {
		return nil, err
	}
	out := replies{}
	units := map[string]string{"current": "mA", "air": "kPa", "open": "% of travel", "needs": "mA", "travel": "% of travel",
		"asked": "% of output", "set": c.unit, "back": "% of output", "wrong": c.unit}
	current := 0.0
	for _, p := range s.parts {
		task := p.outTask()
		var r reply
		if want := units[task]; want != p.boxes[0].unit && task != "steps" {
			return nil, fmt.Errorf("(%s) is in %q, not in %q", p.label, p.boxes[0].unit, want)
		}
		switch task {
		case "current":
			if c.output, err = outOf(p.prompt, "stands at "); err != nil {
				return nil, err
			}
			current = milliamps(c.output)
			r.number = current
		case "air":
			r.number = kilopascals(c.output)
		case "open":
			var air float64
			if air, err = outOf(p.prompt, "shows "); err == nil {
				r.number = strokes{20, 100, c.close}.openAt(air)
			}
		case "needs":
			var open float64
			if open, err = outOf(p.prompt, "opens the valve to "); err == nil {
				r.number = strokes{4, 20, c.close}.signalAt(open)
			}
		case "travel":
			r.number = c.valveOf(p).openAt(current)
		case "asked":
			if c.wanted, err = outOf(p.prompt, c.nameOf(p)+" "); err == nil {
				r.number = outputFor(milliamps, c.valveOf(p).signalAt(c.wanted))
			}
		case "set":
			r.number = mix(c.low, c.high, c.output/100)
		case "back":
			var v float64
			if v, err = outOf(p.prompt, "would the set point be "); err == nil {
				r.number = outputFor(func(k float64) float64 { return mix(c.low, c.high, k/100) }, v)
			}
		case "wrong":
			var flows float64
			if flows, err = outOf(p.prompt, "milliammeter shows "); err == nil {
				r.number = mix(c.low, c.high, outputFor(milliamps, flows)/100) - mix(c.low, c.high, c.output/100)
			}
		case "steps":
			own := c.own(c.top())
			if len(p.boxes) != 3 {
				return nil, fmt.Errorf("(%s) has %d boxes", p.label, len(p.boxes))
			}
			for i, b := range p.boxes {
				if want := []string{"controller's output", "converter", "positioner with valve"}[i]; b.row != want {
					return nil, fmt.Errorf("box %s is in the row %q", b.id, b.row)
				}
				out[b.id] = reply{number: own[i]}
			}
			continue
		case "kind":
			r, err = p.choose(c.overRange())
		case "which":
			r, err = p.choose(c.device())
		case "way":
			words := wayShut
			if c.offAt(c.top()) > 0 {
				words = wayOpen
			}
			r, err = p.choose(words)
		default:
			err = fmt.Errorf("(%s) asks for nothing known: %q", p.label, p.prompt)
		}
		if err != nil {
			return nil, err
		}
		out[p.boxes[0].id] = r
	}
	return out, nil
}

// nameOf is the letter of the valve that a part asks about.
func (c *chained) nameOf(p part) string {
	_, rest, _ := strings.Cut(p.prompt, "valve ")
	return rest[:1]
}

func (c *chained) valveOf(p part) strokes {
	if c.nameOf(p) == "A" {
		return c.a
	}
	return c.b
}

// own is what each device does wrong by itself in a row.
func (c *chained) own(r [4]float64) [3]float64 {
	byCurrent, byAir := outputFor(milliamps, r[1]), outputFor(kilopascals, r[2])
	valve := strokes{0, 100, c.close}
	return [3]float64{byCurrent - r[0], byAir - byCurrent, r[3] - valve.openAt(byAir)}
}

// offAt is how much further the valve is open in a row than is asked.
func (c *chained) offAt(r [4]float64) float64 {
	return r[3] - strokes{0, 100, c.close}.openAt(r[0])
}

const (
	offAlike  = "alike at all outputs"
	offGrows  = "more and more from the bottom of the signal to its top"
	offFlat   = "right up to a point, and beyond it the valve does not follow"
	isOutput  = "the controller's output"
	isConvert = "the converter of current to air"
	isValve   = "the positioner"
	isAir     = "the supply air of the converter"
	wayOpen   = "further open than the controller asks"
	wayShut   = "further shut than the controller asks"
)

// overRange holds the three rows against a line alike, a line from nothing and
// a line with a knee, and takes what fits best.
func (c *chained) overRange() string {
	var alike, grows float64
	for _, r := range c.rows {
		share := r[0] / c.top()[0]
		alike += math.Pow(c.offAt(r)-c.offAt(c.top()), 2)
		grows += math.Pow(c.offAt(r)-c.offAt(c.top())*share, 2)
	}
	flat := math.Pow(c.offAt(c.rows[0]), 2) + math.Pow(c.offAt(c.rows[1]), 2)
	switch best := math.Min(alike, math.Min(grows, flat)); best {
	case alike:
		return offAlike
	case grows:
		return offGrows
	}
	return offFlat
}

// device mends one device after the other at the highest output: with the
// culprit mended, the valve stands where it is asked to.
func (c *chained) device() string {
	own := c.own(c.top())
	total := c.offAt(c.top())
	sign := 1.0
	if c.close {
		sign = -1
	}
	left := [3]float64{total - sign*own[0], total - sign*own[1], total - own[2]}
	best := 0
	for i := range left {
		if math.Abs(left[i]) < math.Abs(left[best]) {
			best = i
		}
	}
	if best == 1 && c.overRange() == offFlat {
		return isAir
	}
	return []string{isOutput, isConvert, isValve}[best]
}
