package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
)

// The road of "source to the receiver": a receiver written forwards, from the
// place along its range to the volts that it takes there; everything else is
// searched for on it. What is the matter is decided by what each fault would
// do to the readings: the ohms that the checker sees, and the line through both
// errors.
var sendRoad = &road{
	family: "send-to-receiver",
	knows:  func(s sheet) bool { return strings.Contains(s.intro, "The checker stands at Send") },
	task:   func(p part) string { return p.sendTask() },
	slips:  sendSlips,
}

func init() {
	sendRoad.work = sheet.workSend
	roads = append(roads, sendRoad)
}

func TestSending(t *testing.T) { sendRoad.travel(t, plantFiles(sendRoad.family, widePlant, 2)) }

func (p part) sendTask() string {
	for _, c := range []struct{ words, task string }{
		{"How many volts does the checker send?", "volts"},
		{"What should the receiver show?", "right"},
		{"What is the receiver's error, in percent of span?", "error"},
		{"At how many volts would a right receiver show what this one shows?", "back"},
		{"Is the receiver within its tolerance", "verdict"},
		{"What should the receiver show at both points", "rights"},
		{"How far off does it read at both points", "errors"},
		{"How far are the volts at the receiver's terminals off", "arrived"},
		{"What is the matter?", "which"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// receiver is a receiver and what was sent into it.
type receiver struct {
	low, high float64 // of what it shows
	unit      string
	action    string // "direct", "reverse", "root" or "rooted"
	tol       float64
	needle    float64 // divisions, where the face is shown
	at        []sendPoint
}

type sendPoint struct {
	ring                   float64
	open, connected, shown float64
}

var (
	showsRange   = regexp.MustCompile(`shows (\S+) (\S+) to (\S+) (\S+?)(?: at 1 to 5 V)?\. `)
	showsReverse = regexp.MustCompile(`the receiver shows (\S+) (\S+) at 1 V and (\S+) (\S+) at 5 V\.`)
	nowShows     = regexp.MustCompile(`Now it shows (\S+) (\S+)\. It may be off by`)
)

func (s sheet) seeReceiver() (*receiver, error) {
	r := &receiver{action: "direct", needle: math.NaN()}
	m := showsRange.FindStringSubmatch(s.intro)
	switch {
	case strings.Contains(s.intro, "The loop acts in reverse:"):
		r.action = "reverse"
		if m = showsReverse.FindStringSubmatch(s.intro); m != nil {
			m[1], m[3] = m[3], m[1]
		}
	case strings.Contains(s.intro, "the receiver takes the square root"):
		r.action = "root"
	case strings.Contains(s.intro, "In this loop the transmitter takes the square root"):
		r.action = "rooted"
	}
	if m == nil || m[2] != m[4] {
		return nil, fmt.Errorf("nothing says what the receiver shows")
	}
	var err error
	if r.low, err = number(m[1]); err != nil {
		return nil, err
	}
	if r.high, err = number(m[3]); err != nil {
		return nil, err
	}
	r.unit = m[2]
	if t := tolerance.FindStringSubmatch(s.intro); t != nil {
		r.tol, _ = number(t[1])
	}
	if len(s.tables) == 1 && len(s.tables[0].rows) == 2 {
		for _, row := range s.tables[0].rows {
			var p sendPoint
			for i, to := range []*float64{&p.ring, &p.open, &p.connected, &p.shown} {
				v, unit, err := quantity(row[i])
				if want := []string{"%", "V", "V", r.unit}[i]; err != nil || unit != want {
					return nil, fmt.Errorf("%q in a column of %s: %v", row[i], want, err)
				}
				*to = v
			}
			r.at = append(r.at, p)
		}
		return r, nil
	}
	now, ring := nowShows.FindStringSubmatch(s.intro), ringAt.FindStringSubmatch(s.intro)
	if now == nil || ring == nil || now[2] != r.unit {
		return nil, fmt.Errorf("nothing says what the receiver shows now")
	}
	p := sendPoint{}
	if p.shown, err = number(now[1]); err != nil {
		return nil, err
	}
	p.ring, _ = number(ring[1])
	for _, f := range s.faces {
		if f.lever != "Send" || float64(f.ring) != p.ring {
			return nil, fmt.Errorf("a face at %s, ring %d", f.lever, f.ring)
		}
		mark, err := s.voltsPerMark(f)
		if err != nil {
			return nil, err
		}
		r.needle = float64(f.marks) * mark
	}
	r.at = []sendPoint{p}
	return r, nil
}

// takes is the volts at which a right receiver stands at u of its range.
func (r *receiver) takes(u float64) float64 {
	switch r.action {
	case "reverse":
		return mix(5, 1, u)
	case "root":
		return mix(1, 5, u*u)
	}
	return mix(1, 5, u)
}

// right is what it should show with the ring at a percentage; back the volts
// for what it shows.
func (r *receiver) right(ring float64) float64 {
	u, _ := search(r.takes, mix(1, 5, ring/100))
	return mix(r.low, r.high, u)
}

func (r *receiver) place(v float64) float64 { return (v - r.low) / (r.high - r.low) }

func (s sheet) workSend() (replies, error) {
	r, err := s.seeReceiver()
	if err != nil {
		return nil, err
	}
	out := replies{}
	written := map[int]float64{} // what it should show, as written down
	errors := [2]float64{}
	for _, p := range s.parts {
		task := p.sendTask()
		if task == "verdict" || task == "which" {
			words := chooseWithin
			if task == "which" {
				words = r.matter(errors)
			} else if math.Abs(errors[0]) > r.tol {
				words = chooseOutside
			}
			rep, err := p.choose(words)
			if err != nil {
				return nil, err
			}
			out[p.boxes[0].id] = rep
			continue
		}
		for i, b := range p.boxes {
			pt := r.at[i]
			if want := map[string]string{"volts": "V", "back": "V", "right": r.unit, "rights": r.unit}[task]; b.unit != want && !(want == "" && b.unit == "% of span") {
				return nil, fmt.Errorf("(%s) is in %q", p.label, b.unit)
			}
			var v float64
			switch task {
			case "volts":
				v = mix(1, 5, pt.ring/100)
			case "right", "rights":
				v = r.right(pt.ring)
				k, err := p.asks(b)
				if err != nil {
					return nil, err
				}
				written[i] = rounded(v, k)
			case "error", "errors":
				v = (r.place(pt.shown) - r.place(written[i])) * 100
				errors[i] = rounded(v, 2)
			case "back":
				v = r.takes(r.place(pt.shown))
			case "arrived":
				u, err := searchWide(func(u float64) float64 { return mix(1, 5, u) }, pt.connected)
				if err != nil {
					return nil, err
				}
				v = u*100 - pt.ring
			default:
				return nil, fmt.Errorf("(%s) asks for nothing known: %q", p.label, p.prompt)
			}
			out[b.id] = reply{number: v}
		}
	}
	return out, nil
}

var toDecimals = regexp.MustCompile(`Give (?:it|both|them) (?:to (\d) decimals?|as (?:a )?whole numbers?)\.`)

// asks is how many decimals a box asks for, beside it or, in a table, in the
// prompt.
func (p part) asks(b *box) (int, error) {
	if b.decimals >= 0 {
		return b.decimals, nil
	}
	m := toDecimals.FindStringSubmatch(p.prompt)
	if m == nil {
		return 0, fmt.Errorf("(%s) does not say how many decimals", p.label)
	}
	if m[1] == "" {
		return 0, nil
	}
	return int(m[1][0] - '0'), nil
}

// searchWide is search from a whole range below to a whole range above.
func searchWide(f func(float64) float64, want float64) (float64, error) {
	u, err := search(func(u float64) float64 { return f(3*u - 1) }, want)
	return 3*u - 1, err
}

const (
	zeroOff  = "the receiver's zero is off"
	spanOff  = "the receiver's span is off"
	isLoaded = "the receiver draws too much current from the checker; perhaps its 250 Ω resistor is still in"
	cellWeak = "the checker's cell is weak"
)

// matter says what is the matter at the two points. The ohms that the checker
// sees go by how its volts fall from open to connected, behind 2 ohm of its own;
// a thousand and more load nobody.
func (r *receiver) matter(errors [2]float64) string {
	top := r.at[1]
	if fall := top.open - top.connected; fall > 0 && 2*top.connected/fall < 1000 {
		return isLoaded
	}
	if math.Abs(top.open/mix(1, 5, top.ring/100)-1) > 0.004 {
		return cellWeak
	}
	// Where the line through both errors meets nothing: at 0 % for a span
	// error, nowhere near for a zero error.
	slope := (errors[1] - errors[0]) / (r.at[1].ring - r.at[0].ring)
	atNothing := errors[0] - slope*r.at[0].ring
	if math.Abs(atNothing) > math.Abs(errors[1])/2 {
		return zeroOff
	}
	return spanOff
}
