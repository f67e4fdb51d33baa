package secondroad

import "math"

// signalNow is what the checker compares, in mA or V, and the ends of that
// signal.
func (b pointed) signalNow() (now, ideal, low, high float64) {
	i, _ := b.current()
	if b.volts {
		u, _ := b.across()
		return math.Round(u*1000) / 1000, reference(b.ring), 1, 5
	}
	return i, reference(b.ring) / resistor * 1000, 4, 20
}

// pointing makes an apprentice of one slip with a number.
func pointing(wrong func(b pointed) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		b, err := s.seePoint()
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: {number: wrong(b)}}, nil
	}
}

// pointed at a face: wrong gives divisions from the centre, stops left out.
func choosing(wrong func(b pointed) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		b, err := s.seePoint()
		if err != nil {
			return nil, err
		}
		r, err := p.face(wrong(b) * float64(b.perDiv))
		return replies{p.boxes[0].id: r}, err
	}
}

// err is the error in percent of span, and per what one division stands for.
func (b pointed) err() float64 {
	now, ideal, low, high := b.signalNow()
	return (now - ideal) / (high - low) * 100
}

func (b pointed) per() float64     { return percent(b.mark) * float64(b.perDiv) }
func (b pointed) div() float64     { return b.err() / b.per() }
func (b pointed) restDiv() float64 { return float64(b.rest) / float64(b.perDiv) }
func (b pointed) share() float64   { return float64(b.ring) / 100 }

// written is the number of divisions as an earlier part has it.
func (b pointed) written() float64 { return rounded(b.div(), 1) }

func clipped(div float64) float64 { return math.Max(-10, math.Min(10, div)) }

func (b pointed) deadZero() float64 {
	now, _, _, high := b.signalNow()
	return now/high*100 - float64(b.ring)
}

func (b pointed) ofReading() float64 {
	now, ideal, _, _ := b.signalNow()
	return (now - ideal) / ideal * 100
}

// shownShare is the value as a share of the range between the ends as printed,
// lower one first.
func (b pointed) shownShare() (share, atLow, atHigh float64) {
	low, high := b.shown[1], b.shown[2]
	atLow, atHigh = 1, 5
	if low > high {
		low, high, atLow, atHigh = high, low, 5, 1
	}
	return (b.shown[0] - low) / (high - low), atLow, atHigh
}

var pointSlips = map[string]apprentice{
	"centre/dead-zero":       pointing(func(b pointed) float64 { return 20 * b.share() }),
	"centre/lower-not-added": pointing(func(b pointed) float64 { return 16 * b.share() }),
	"centre/upper-as-span":   pointing(func(b pointed) float64 { return 4 + 20*b.share() }),
	"centre/wrong-end":       pointing(func(b pointed) float64 { return 20 - 16*b.share() }),

	"error/sign":            pointing(func(b pointed) float64 { return -b.err() }),
	"error/error-in-signal": pointing(func(b pointed) float64 { return b.err() * 16 / 100 }),
	"error/dead-zero-error": pointing(pointed.deadZero),
	"error/of-reading":      pointing(pointed.ofReading),
	"error/of-upper":        pointing(func(b pointed) float64 { return b.err() * 16 / 20 }),

	"volts/nominal-resistor": pointing(func(b pointed) float64 { return b.milli / 4 }),
	"volts/ideal-current":    pointing(func(b pointed) float64 { return reference(b.ring) * b.ohm / 250 }),
	"volts/live-zero-added":  pointing(func(b pointed) float64 { return 1 + b.milli*b.ohm/1000 }),
	"volts/prefix":           pointing(func(b pointed) float64 { return b.milli * b.ohm }),
	"volts/divided":          pointing(func(b pointed) float64 { return b.ohm / b.milli / 10 }),
	"volts/wrong-end": pointing(func(b pointed) float64 {
		u, _ := b.across()
		return 6 - u
	}),
	"volts/dead-zero":       pointing(func(b pointed) float64 { x, _, _ := b.shownShare(); return 5 * x }),
	"volts/lower-not-added": pointing(func(b pointed) float64 { x, _, _ := b.shownShare(); return 4 * x }),
	"volts/upper-as-span":   pointing(func(b pointed) float64 { x, _, _ := b.shownShare(); return 1 + 5*x }),
	"volts/range-low-left-on": pointing(func(b pointed) float64 {
		_, low, high := b.shownShare()
		return mix(low, high, b.shown[0]/math.Max(b.shown[1], b.shown[2]))
	}),

	"moved/sign":                 pointing(func(b pointed) float64 { return -b.div() }),
	"moved/percent-as-divisions": pointing(pointed.err),
	"moved/marks-as-divisions":   pointing(func(b pointed) float64 { return 5 * b.div() }),
	"moved/multiplied":           pointing(func(b pointed) float64 { return b.err() * b.per() }),
	"moved/dead-zero-error":      pointing(func(b pointed) float64 { return b.deadZero() / b.per() }),
	"moved/of-reading":           pointing(func(b pointed) float64 { return b.ofReading() / b.per() }),
	"moved/of-upper":             pointing(func(b pointed) float64 { return b.div() * 4 / 5 }),

	"face/sides-swapped":        choosing(func(b pointed) float64 { return b.restDiv() - b.written() }),
	"face/percent-as-divisions": choosing(func(b pointed) float64 { return b.restDiv() + b.written()*b.per() }),
	"face/divisions-as-marks":   choosing(func(b pointed) float64 { return b.restDiv() + b.written()/5 }),
	"face/marks-as-divisions":   choosing(func(b pointed) float64 { return b.restDiv() + b.written()*5 }),
	"face/of-upper":             choosing(func(b pointed) float64 { return b.restDiv() + b.written()*4/5 }),
	"face/rest-left-out":        choosing(func(b pointed) float64 { return b.written() }),
	"face/rest-taken-off":       choosing(func(b pointed) float64 { return b.written() - b.restDiv() }),
	"face/of-reading":           choosing(func(b pointed) float64 { return b.restDiv() + b.ofReading()/b.per() }),
	"face/dead-zero-error":      choosing(func(b pointed) float64 { return b.restDiv() + b.deadZero()/b.per() }),
	"face/nominal-resistor": choosing(func(b pointed) float64 {
		return b.restDiv() + (b.milli/4-reference(b.ring))/b.mark/float64(b.perDiv)
	}),
	"face/ideal-current": choosing(func(b pointed) float64 {
		return b.restDiv() + reference(b.ring)*(b.ohm/250-1)/b.mark/float64(b.perDiv)
	}),

	"believed/true-error":           pointing(func(b pointed) float64 { return b.err() }),
	"believed/believed-sign":        pointing(func(b pointed) float64 { return -clipped(b.div()+b.restDiv()) * b.per() }),
	"believed/divisions-as-percent": pointing(func(b pointed) float64 { return clipped(b.div() + b.restDiv()) }),
	"believed/rest-off-believed":    pointing(func(b pointed) float64 { return clipped(b.div()-b.restDiv()) * b.per() }),
	"believed/stop-passed":          pointing(func(b pointed) float64 { return (b.div() + b.restDiv()) * b.per() }),
	"believed/rest-alone":           pointing(func(b pointed) float64 { return b.restDiv() * b.per() }),

	"cause/transmitter-blamed": always(currentAlone),
	"cause/resistor-blamed":    always(resistorAlone),
	"cause/ways-confused": says(func(s sheet) (string, error) {
		b, err := s.seePoint()
		if b.pull() == bothOneWay {
			return bothAgainst, err
		}
		return bothOneWay, err
	}),
	"verdict/needle-believed":      judged(func(seems, truth bool) (bool, bool) { return seems, !truth }),
	"verdict/rest-overlooked":      judged(func(seems, truth bool) (bool, bool) { return !seems, truth }),
	"verdict/both-verdicts-turned": judged(func(seems, truth bool) (bool, bool) { return !seems, !truth }),
}

// judged makes an apprentice who turns a verdict round.
func judged(turn func(seems, truth bool) (bool, bool)) apprentice {
	return says(func(s sheet) (string, error) {
		b, err := s.seePoint()
		bad := func(div float64) bool { return math.Abs(div)*b.per() > b.tol }
		return verdictWords(turn(bad(b.div()+b.restDiv()), bad(b.div()))), err
	})
}

var pointSeveral = map[string]func(s sheet, p part) ([]string, error){
	"cause/both-blamed": func(sheet, part) ([]string, error) { return []string{bothOneWay, bothAgainst}, nil },
}
