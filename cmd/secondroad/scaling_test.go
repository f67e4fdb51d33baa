package secondroad

import (
	"fmt"
	"regexp"
	"strings"
)

// reply is what is written into one box.
type reply struct {
	number float64
	option string // value of the option marked; "" for a number
	order  *sorted
}

// replies are those to the boxes of an exercise, by the id of the box.
type replies map[string]reply

// upper holds the one constant of each live-zero signal. The lower end is a
// fifth of it.
var upper = map[string]float64{"mA": 20, "V": 5, "kPa": 100, "psi": 15}

// limits are how far a signal may go before it is no signal any more, in parts
// of its upper end: for a current 3.8 and 20.5 mA (IEC 60381-1 has the ends, the
// room beside them is the transmitter's, as the first lesson says).
const lowestShare, highestShare = 3.8 / 20, 20.5 / 20

// mix goes from a to b as u goes from 0 to 1.
func mix(a, b, u float64) float64 { return (1-u)*a + u*b }

// search finds the u in 0..1 at which a rising or falling function gives want,
// by halving.
func search(f func(float64) float64, want float64) (float64, error) {
	a, b := 0.0, 1.0
	fa, fb := f(a), f(b)
	if (want-fa)*(want-fb) > 0 {
		return 0, fmt.Errorf("%v lies outside %v to %v", want, fa, fb)
	}
	for range 80 {
		m := (a + b) / 2
		if (f(m)-want)*(fa-want) > 0 {
			a = m
		} else {
			b = m
		}
	}
	return (a + b) / 2, nil
}

// picture is a loop written forwards from u, the position of what the receiver
// shows along its range: what every instrument of the loop shows then.
type picture struct {
	row                      loopRow
	inLow, inHigh            float64
	showLow, showHigh        float64
	inUnit, showUnit, sigUni string
	sigHigh                  float64
	reverse, rootTx, rootRx  bool
}

func newPicture(r loopRow) (p picture, err error) {
	p.row = r
	if p.inLow, p.inHigh, p.inUnit, err = interval(r.input); err != nil {
		return p, err
	}
	if p.showLow, p.showHigh, p.showUnit, err = interval(r.shows); err != nil {
		return p, err
	}
	var low float64
	if low, p.sigHigh, p.sigUni, err = interval(r.signal); err != nil {
		return p, err
	}
	if upper[p.sigUni] != p.sigHigh || low*5 != p.sigHigh {
		return p, fmt.Errorf("%q is no live-zero signal", r.signal)
	}
	switch r.action {
	case "direct-acting":
	case "reverse-acting":
		p.reverse = true
	case "direct-acting, root in the receiver":
		p.rootRx = true
	case "direct-acting, root in the transmitter":
		p.rootTx = true
	default:
		return p, fmt.Errorf("an action not known: %q", r.action)
	}
	return p, nil
}

func (p picture) shows(u float64) float64 { return mix(p.showLow, p.showHigh, u) }

func (p picture) senses(u float64) float64 {
	if p.rootTx || p.rootRx {
		u *= u // differential pressure goes with the square of the flow
	}
	return mix(p.inLow, p.inHigh, u)
}

func (p picture) sends(u float64) float64 {
	from, to := p.sigHigh/5, p.sigHigh
	if p.reverse {
		from, to = to, from
	}
	if p.rootRx {
		u *= u
	}
	return mix(from, to, u)
}

// acrossReceiver is the voltage across its 250 ohm.
func (p picture) acrossReceiver(u float64) float64 { return p.sends(u) / 1000 * 250 }

var (
	tagWord  = regexp.MustCompile(`\b[FLPT]D?T-\d+\b`)
	withUnit = regexp.MustCompile(`(^|\s)(\x{2212}?\d+(?:\.\d+)?) ([^\s,;]+?)[,.;]?(?:\s|$)`)
)

// asked is a part of a scaling exercise as understood.
type asked struct {
	p     picture
	given float64
	unit  string                // of the given
	shows func(float64) float64 // what shows the given, from a position
	wants func(float64) float64 // what is asked for, from the same position
	kind  struct{ given, want string }
}

// understand reads a prompt: which loop, what is given, what is asked.
func (s sheet) understand(pt part) (asked, error) {
	place := s.memo.asked[pt.label]
	defer func() { s.memo.asked[pt.label] = place }()
	return recall(&place, func() (asked, error) { return s.understandAnew(pt) })
}

func (s sheet) understandAnew(pt part) (a asked, err error) {
	tags := tagWord.FindAllString(pt.prompt, -1)
	if len(tags) != 1 {
		return a, fmt.Errorf("(%s) names %d loops", pt.label, len(tags))
	}
	found := false
	for _, r := range s.loops {
		if r.tag == tags[0] {
			if a.p, err = newPicture(r); err != nil {
				return a, err
			}
			found = true
		}
	}
	if !found {
		return a, fmt.Errorf("(%s) asks about %s, which the table does not describe", pt.label, tags[0])
	}
	story, question := pt.prompt, ""
	if i := strings.LastIndex(strings.TrimSuffix(pt.prompt, "?"), ". "); i >= 0 {
		story, question = pt.prompt[:i], pt.prompt[i+2:]
	}
	var quantities [][]string
	for _, m := range withUnit.FindAllStringSubmatch(story, -1) {
		if m[3] != "Ω" {
			quantities = append(quantities, m)
		}
	}
	// "3-15 psi" names the second signal and gives nothing.
	if len(quantities) != 1 {
		return a, fmt.Errorf("(%s) gives %d quantities: %q", pt.label, len(quantities), story)
	}
	if a.given, err = number(quantities[0][2]); err != nil {
		return a, err
	}
	a.unit = quantities[0][3]

	// What shows the given?
	percent := func(u float64) float64 { return 100 * u }
	signalAlone := func(u float64) float64 { return mix(a.p.sigHigh/5, a.p.sigHigh, u) }
	said := func(w string) bool { return strings.Contains(story, w) }
	alone := false // the question is about the signal alone, u is its own position
	wantUnit := ""
	switch {
	case said("Across the 250 Ω resistor"):
		a.kind.given, a.shows, wantUnit = "volts", a.p.acrossReceiver, "V"
	case said("% of its span"):
		a.kind.given, a.shows, wantUnit, alone = "percent", percent, "%", true
	case said("is carried over"):
		a.kind.given, a.shows, wantUnit, alone = "signal", signalAlone, a.p.sigUni, true
	case said("The differential pressure at"):
		a.kind.given, a.shows, wantUnit = "dp", a.p.senses, a.p.inUnit
	case said(" sends ") && !said("shows a flow of"):
		a.kind.given, a.shows, wantUnit = "signal", a.p.sends, a.p.sigUni
	case said("measured by"), said("shows a flow of"):
		a.kind.given, a.shows, wantUnit = "value", a.p.shows, a.p.showUnit
	default:
		return a, fmt.Errorf("(%s) cannot be understood: %q", pt.label, pt.prompt)
	}
	if a.unit != wantUnit {
		return a, fmt.Errorf("(%s) gives %s, and the loop has %s there", pt.label, a.unit, wantUnit)
	}

	// What is asked for?
	asks := func(w string) bool { return strings.Contains(question, w) }
	wantUnit = ""
	switch {
	case asks("percentage of its span"):
		a.kind.want, a.wants, wantUnit, alone = "percent", percent, "% of span", true
	case asks("second signal"):
		i := strings.Index(story, "carried over to ")
		other := strings.Fields(story[i+len("carried over to "):])
		if i < 0 || len(other) < 2 {
			return a, fmt.Errorf("(%s) does not say which signal", pt.label)
		}
		unit := strings.Trim(other[1], ",.")
		_, top, _ := strings.Cut(strings.Replace(other[0], "\u2013", "-", 1), "-")
		if v, err := number(top); err != nil || upper[unit] != v {
			return a, fmt.Errorf("(%s): %q is no signal", pt.label, other[:2])
		}
		a.kind.want, wantUnit = "second signal", unit
		a.wants = func(u float64) float64 { return mix(upper[unit]/5, upper[unit], u) }
	case asks("transmitter send"), asks("should it send"):
		a.kind.want, a.wants, wantUnit = "signal", a.p.sends, a.p.sigUni
		if alone {
			a.wants = signalAlone
		}
	case asks("What differential pressure"):
		a.kind.want, a.wants, wantUnit = "dp", a.p.senses, a.p.inUnit
	case asks("What level"), asks("What flow"), asks("What pressure"), asks("What temperature"):
		a.kind.want, a.wants, wantUnit = "value", a.p.shows, a.p.showUnit
		if word := strings.Fields(question)[1]; !strings.HasPrefix(a.p.row.tag, strings.ToUpper(word[:1])) {
			return a, fmt.Errorf("(%s) asks for a %s at %s", pt.label, word, a.p.row.tag)
		}
	default:
		return a, fmt.Errorf("(%s) asks for nothing known: %q", pt.label, question)
	}
	if a.kind.given == "signal" && alone {
		a.shows = signalAlone
	}
	if len(pt.boxes) != 1 || pt.boxes[0].unit != wantUnit {
		return a, fmt.Errorf("(%s) has a box in %q where %q is asked", pt.label, pt.boxes[0].unit, wantUnit)
	}
	// What the prompt says of the root must be what the table says.
	if said("takes the square root") {
		if said("transmitter "+a.p.row.tag+" takes the square root itself") || said("The transmitter itself takes the square root") {
			if !a.p.rootTx {
				return a, fmt.Errorf("(%s): the table has no root in the transmitter", pt.label)
			}
		} else if !said("the receiver takes the square root") || !a.p.rootRx {
			return a, fmt.Errorf("(%s): prompt and table differ about the root", pt.label)
		}
	} else if a.p.rootTx || a.p.rootRx {
		return a, fmt.Errorf("(%s) does not speak of the root of %s", pt.label, a.p.row.tag)
	}
	return a, nil
}

// workScaling works an exercise of scaling.
func (s sheet) workScaling() (replies, error) {
	out := replies{}
	for _, pt := range s.parts {
		a, err := s.understand(pt)
		if err != nil {
			return nil, err
		}
		u, err := search(a.shows, a.given)
		if err != nil {
			return nil, fmt.Errorf("(%s): %w", pt.label, err)
		}
		out[pt.boxes[0].id] = reply{number: a.wants(u)}
	}
	return out, nil
}
