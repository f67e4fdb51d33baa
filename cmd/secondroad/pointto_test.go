package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"loopdrill/scenarios/loop"
)

// The road of "where will it point?": the loop solver moves the needle. The
// known output is put into a loop of our own (24 V, 250 Ω), the movement
// is solved with the trigger held, and what a part asks for follows from the
// deflection, never from percent of span.
var pointRoad = &road{
	family: "where-will-it-point",
	knows: func(s sheet) bool {
		for _, p := range s.parts {
			if p.pointTask() == "face" {
				return true
			}
		}
		return false
	},
	task:    func(p part) string { return p.pointTask() },
	slips:   pointSlips,
	several: pointSeveral,
}

func init() {
	pointRoad.work = sheet.workPoint
	roads = append(roads, pointRoad)
}

func TestPointTo(t *testing.T) { pointRoad.travel(t, plantFiles(pointRoad.family, widePlant, 2)) }

func (p part) pointTask() string {
	for _, c := range []struct{ words, task string }{
		{"Which current would leave the needle at the centre", "centre"},
		{"What is the error of the output, in percent of span?", "error"},
		{"What stands across the receiver's resistor", "volts"},
		{"The trigger is pressed. By how many divisions would the output move the needle", "moved"},
		{"Which face shows the needle with the trigger pressed?", "face"},
		{"Somebody reads that needle without having looked where it rests.", "believed"},
		{"What moves the needle away from where it rests?", "cause"},
		{"Somebody judges the loop by that needle", "verdict"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// pointed is what the page of a "where will it point?" exercise says.
type pointed struct {
	ring   int
	volts  bool       // the checker compares volts
	rest   int        // small marks
	milli  float64    // mA in the loop; NaN where it is not given
	off    float64    // error in percent of span where that is given
	volt   float64    // V across the receiver, trigger released
	ohm    float64    // of the receiver
	shown  [3]float64 // the value, and those at 1 V and at 5 V
	known  string
	tol    float64
	mark   float64 // one small mark, volts
	perDiv int
}

var (
	milliShows = regexp.MustCompile(`milliammeter in the (?:same )?loop shows (\S+) mA\.`)
	offBy      = regexp.MustCompile(`known to be off by \+?(\S+) % of span at this point`)
	voltShows  = regexp.MustCompile(`voltmeter across the same resistor shows (\S+) V\.`)
	ohmShows   = regexp.MustCompile(`measured with (\S+) Ω\.`)
	showsAt    = regexp.MustCompile(`it shows (\S+) (\S+) at (\d) V and (\S+) (\S+) at (\d) V\. Now, with the trigger released, it shows (\S+) (\S+)\. `)
)

func (s sheet) seePoint() (b pointed, err error) {
	get := func(r *regexp.Regexp, to *float64) bool {
		m := r.FindStringSubmatch(s.intro)
		if m == nil {
			return false
		}
		var e error
		if *to, e = number(m[1]); e != nil {
			err = e
		}
		return true
	}
	b.ohm, b.milli, b.volt, b.off = 250, math.NaN(), math.NaN(), math.NaN()
	switch {
	case get(ohmShows, &b.ohm):
		get(milliShows, &b.milli)
		b.known, b.volts = "resistor", true
	case get(milliShows, &b.milli):
		b.known = "current"
	case get(offBy, &b.off):
		b.known = "error"
	case get(voltShows, &b.volt):
		b.known, b.volts = "volts", true
	default:
		m := showsAt.FindStringSubmatch(s.intro)
		if m == nil || m[2] != m[5] || m[2] != m[8] {
			return b, fmt.Errorf("no output is known")
		}
		b.known, b.volts = "shown", true
		var at [3]float64
		for i, j := range []int{7, 1, 4} {
			if at[i], err = number(m[j]); err != nil {
				return b, err
			}
		}
		if m[3] == "5" && m[6] == "1" {
			at[1], at[2] = at[2], at[1]
		} else if m[3] != "1" || m[6] != "5" {
			return b, fmt.Errorf("a receiver of %s to %s V", m[3], m[6])
		}
		if strings.Contains(s.intro, "acts in reverse") != (m[3] == "5") {
			return b, fmt.Errorf("a reverse loop whose receiver is not")
		}
		b.shown = at
	}
	if err != nil {
		return b, err
	}
	where := map[bool]string{true: "The checker stands at Voltage, across the receiver's ", false: "The checker stands at Current, in series at the transmitter;"}[b.volts]
	m := ringAt.FindStringSubmatch(s.intro)
	if m == nil || !strings.Contains(s.intro, where) || !strings.Contains(s.intro, "Its cell is good") {
		return b, fmt.Errorf("it is not said how the checker stands")
	}
	fmt.Sscan(m[1], &b.ring)
	b.tol = math.NaN()
	get(tolerance, &b.tol)
	switch {
	case len(s.faces) == 1 && s.faces[0].caption == "Trigger released" && s.faces[0].stop == 0:
		b.rest = s.faces[0].marks
	case len(s.faces) != 0 || !strings.Contains(s.intro, "with the trigger released the needle rests at the centre"):
		return b, fmt.Errorf("nothing says where the needle rests")
	}
	for _, p := range s.parts {
		for _, o := range p.boxes[0].options {
			f := o.face
			if f == nil {
				continue
			}
			b.perDiv = f.scale.perDiv
			if b.mark, err = s.voltsPerMark(*f); err != nil {
				return b, err
			}
			if f.ring != b.ring || f.lever != map[bool]string{true: "Voltage", false: "Current"}[b.volts] {
				return b, fmt.Errorf("a face at %s, ring %d", f.lever, f.ring)
			}
		}
	}
	return b, nil
}

// across is what stands across the resistor with the trigger released.
func (b pointed) across() (float64, error) {
	switch b.known {
	case "volts":
		return b.volt, nil
	case "resistor":
		return b.milli * b.ohm / 1000, nil
	case "shown":
		if b.shown[1] > b.shown[2] { // search wants a value that it can halve
			u, err := search(func(u float64) float64 { return -mix(b.shown[1], b.shown[2], u) }, -b.shown[0])
			return mix(1, 5, u), err
		}
		u, err := search(func(u float64) float64 { return mix(b.shown[1], b.shown[2], u) }, b.shown[0])
		return mix(1, 5, u), err
	}
	return math.NaN(), nil
}

// current is the current of the loop in mA.
func (b pointed) current() (float64, error) {
	switch b.known {
	case "current", "resistor":
		return b.milli, nil
	case "error":
		return mix(4, 20, (float64(b.ring)+b.off)/100), nil
	}
	v, err := b.across()
	return v / 250 * 1000, err
}

// solved is how the loop solver moves the needle, in small marks from where
// it rests, in a loop with the given current and resistor.
func (b pointed) solved(milliamp, ohm float64) float64 {
	p := loop.Healthy()
	p.Supply.Volt, p.Transmitter.LowMilliamp, p.Transmitter.HighMilliamp = 60, 0, 50
	p.Receiver.ShuntOhm = ohm
	p.Receiver.InputOhm = 1e12
	// The movement of the wide plants' checkers: 250 Ω, 998 Ω and 2 Ω; a small
	// mark is what the reference page says.
	c := loop.HealthyChecker()
	c.MicroampPerDivision = b.mark * float64(b.perDiv) / 1250 * 1e6
	c.Place = loop.SeriesField
	if b.volts {
		c.Place = loop.AcrossReceiver
	}
	p.Checker = c
	x := float64(b.ring) / 100
	p.Transmitter.Zero = (milliamp-4)/16 - x
	return p.Solve(x, true).Deflection * float64(b.perDiv)
}

// points is where the needle points as it is drawn: the mark, or the stop.
func points(marks float64) (mark, stop int) {
	n := int(math.Floor(marks + 0.5))
	switch {
	case n >= 50:
		return 50, 1
	case n <= -50:
		return -50, -1
	}
	return n, 0
}

// face finds the option whose needle is nearest to a place in small marks.
func (p part) face(marks float64) (reply, error) {
	at, stop := points(marks)
	for _, o := range p.boxes[0].options {
		if o.face != nil && o.face.marks == at && o.face.stop == stop {
			return reply{option: o.value}, nil
		}
	}
	return reply{}, fmt.Errorf("no face has its needle at mark %d", at)
}

func (s sheet) workPoint() (replies, error) {
	b, err := s.seePoint()
	if err != nil {
		return nil, err
	}
	i, err := b.current()
	if err != nil {
		return nil, err
	}
	u, err := b.across()
	if err != nil {
		return nil, err
	}
	marks := b.solved(i, b.ohm)
	// What is asked in numbers goes by the volts that are compared.
	off := (i*250/1000 - reference(b.ring)) / b.mark
	if b.volts {
		off = (math.Round(u*1000)/1000 - reference(b.ring)) / b.mark
	}
	if math.Abs(off-marks) > 0.45 {
		return nil, fmt.Errorf("the solver moves the needle by %v marks, the volts say %v", marks, off)
	}
	out := replies{}
	for _, p := range s.parts {
		var r reply
		if want := map[string]string{"centre": "mA", "error": "% of span", "believed": "% of span", "volts": "V", "moved": "div"}[p.pointTask()]; p.boxes[0].unit != want {
			return nil, fmt.Errorf("(%s) is in %q, not in %q", p.label, p.boxes[0].unit, want)
		}
		switch p.pointTask() {
		case "centre":
			r.number = reference(b.ring) / resistor * 1000
		case "error":
			r.number = percent(off * b.mark)
		case "volts":
			r.number = u
		case "moved":
			r.number = off / float64(b.perDiv)
		case "face":
			r, err = p.face(marks + float64(b.rest))
		case "believed":
			at, _ := points(off + float64(b.rest))
			r.number = percent(float64(at) * b.mark)
		case "cause":
			r, err = p.choose(b.pull())
		case "verdict":
			seen, _ := points(marks + float64(b.rest))
			bad := func(marks float64) bool { return math.Abs(percent(marks*b.mark)) > b.tol }
			r, err = p.choose(verdictWords(bad(float64(seen)), bad(off)))
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

const (
	currentAlone  = "the current alone"
	resistorAlone = "the resistor alone"
	bothOneWay    = "current and resistor, both the same way"
	bothAgainst   = "current and resistor, one against the other"
)

// pull says what moves the needle, by taking each away in turn.
func (b pointed) pull() string {
	right := reference(b.ring) / resistor * 1000
	byCurrent, byResistor := b.milli-right, right*(b.ohm-250)
	switch {
	case math.Abs(byCurrent) < 1e-9:
		return resistorAlone
	case math.Abs(byResistor) < 1e-9:
		return currentAlone
	case byCurrent*byResistor > 0:
		return bothOneWay
	}
	return bothAgainst
}

func verdictWords(failed, outside bool) string {
	out := map[bool]string{false: "it is passed", true: "it is failed"}[failed]
	if failed == outside {
		return out + ", and it is " + map[bool]string{false: "within", true: "outside"}[outside] + " its tolerance"
	}
	return out + ", though it is " + map[bool]string{false: "within", true: "outside"}[outside] + " its tolerance"
}
