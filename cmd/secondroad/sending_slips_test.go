package secondroad

import "math"

// sendingSlip makes an apprentice of one slip, at each point that a part asks
// about; right is what the receiver should show there, as written down.
func sendingSlip(wrong func(r *receiver, pt sendPoint, right float64) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		r, err := s.seeReceiver()
		if err != nil {
			return nil, err
		}
		// The part about what it should show says to how many decimals.
		decimals := 6
		for _, q := range s.parts {
			if t := q.sendTask(); t == "right" || t == "rights" {
				decimals, _ = q.asks(q.boxes[0])
			}
		}
		out := replies{}
		for i, b := range p.boxes {
			out[b.id] = reply{number: wrong(r, r.at[i], rounded(r.right(r.at[i].ring), decimals))}
		}
		return out, nil
	}
}

// judging makes an apprentice who compares something else with the tolerance.
func judging(figure func(r *receiver, pt sendPoint, right float64) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		size := sendingSlip(figure)
		his, err := size(s, p)
		if err != nil {
			return nil, err
		}
		r, _ := s.seeReceiver()
		words := chooseOutside
		if his[p.boxes[0].id].number <= r.tol+1e-9 {
			words = chooseWithin
		}
		rep, err := p.choose(words)
		return replies{p.boxes[0].id: rep}, err
	}
}

func (r *receiver) span() float64 { return r.high - r.low }
func (r *receiver) off(pt sendPoint, right float64) float64 {
	return (pt.shown - right) / r.span() * 100
}
func (pt sendPoint) set() float64 { return mix(1, 5, pt.ring/100) }

// shows is what the receiver would show for a share of its signal, as whoever
// makes a slip about that share reckons on.
func (r *receiver) showsFor(share float64) float64 {
	switch r.action {
	case "reverse":
		share = 1 - share
	case "root":
		share = math.Sqrt(share)
	}
	return mix(r.low, r.high, share)
}

// signalShare is the share of the signal that belongs to what is shown.
func (r *receiver) signalShare(pt sendPoint) float64 {
	u := r.place(pt.shown)
	if r.action == "root" {
		return u * u
	}
	return u
}

var sendSlips = map[string]apprentice{
	"volts/dead-zero":       sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return pt.ring / 20 }),
	"volts/lower-not-added": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return pt.ring / 25 }),
	"volts/upper-as-span":   sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return 1 + pt.ring/20 }),
	"volts/volts-wrong-end": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return 6 - pt.set() }),

	"right/wrong-end":           sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return mix(r.high, r.low, pt.ring/100) }),
	"right/reverse-missed":      sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return mix(r.low, r.high, pt.ring/100) }),
	"right/root-forgotten":      sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.high * pt.ring / 100 }),
	"right/squared":             sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.high * pt.ring / 100 * pt.ring / 100 }),
	"right/rooted-twice":        sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.high * math.Sqrt(pt.ring/100) }),
	"right/dead-zero-value":     sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.showsFor(pt.set() / 5) }),
	"right/zero-left-on":        sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.showsFor(pt.set() / 4) }),
	"right/percent-of-five":     sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.showsFor((pt.ring/20 - 1) / 4) }),
	"right/range-low-not-added": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.span() * pt.ring / 100 }),
	"right/share-of-upper":      sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.high * pt.ring / 100 }),

	"error/sign":           sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return -r.off(pt, right) }),
	"error/error-in-units": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return pt.shown - right }),
	"error/of-reading":     sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return (pt.shown/right - 1) * 100 }),
	"error/of-upper":       sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return (pt.shown - right) / r.high * 100 }),
	"error/needle-read":    sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return percent(r.needle) }),
	"error/fraction":       sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.off(pt, right) / 100 }),

	"back/volts-sent":       sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return pt.set() }),
	"back/square-forgotten": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return mix(1, 5, r.place(pt.shown)) }),
	"back/rooted-back":      sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return mix(1, 5, math.Sqrt(r.place(pt.shown))) }),
	"back/reverse-missed":   sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return mix(1, 5, r.place(pt.shown)) }),
	"back/volts-wrong-end":  sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return mix(5, 1, r.place(pt.shown)) }),
	"back/lower-not-added":  sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return 4 * r.signalShare(pt) }),
	"back/dead-zero":        sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return 5 * r.signalShare(pt) }),
	"back/range-low-left-on": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 {
		if r.action == "reverse" {
			return mix(5, 1, pt.shown/r.high)
		}
		return mix(1, 5, pt.shown/r.high)
	}),
	"back/milliamps": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.takes(r.place(pt.shown)) / 250 * 1000 }),

	"verdict/sign-compared":  judging(func(r *receiver, pt sendPoint, right float64) float64 { return r.off(pt, right) }),
	"verdict/units-compared": judging(func(r *receiver, pt sendPoint, right float64) float64 { return math.Abs(pt.shown - right) }),
	"verdict/reading-compared": judging(func(r *receiver, pt sendPoint, right float64) float64 {
		return math.Abs(pt.shown/right-1) * 100
	}),
	"verdict/needle-compared": judging(func(r *receiver, pt sendPoint, right float64) float64 { return math.Abs(percent(r.needle)) }),
	"verdict/verdict-turned": func(s sheet, p part) (replies, error) {
		r, err := s.seeReceiver()
		if err != nil {
			return nil, err
		}
		pt := r.at[0]
		words := chooseWithin
		if math.Abs(r.off(pt, r.right(pt.ring))) < r.tol {
			words = chooseOutside
		}
		rep, err := p.choose(words)
		return replies{p.boxes[0].id: rep}, err
	},

	"rights/right-by-volts": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return mix(r.low, r.high, (pt.connected-1)/4) }),

	"arrived/dead-zero-volts":      sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return pt.connected*20 - pt.ring }),
	"arrived/zero-left-on-volts":   sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return pt.connected*25 - pt.ring }),
	"arrived/receiver-error-given": sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return r.off(pt, right) }),
	"arrived/sign":                 sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return percent(pt.set() - pt.connected) }),
	"arrived/open-volts":           sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return percent(pt.open - pt.set()) }),
	"arrived/error-in-volts":       sendingSlip(func(r *receiver, pt sendPoint, right float64) float64 { return pt.connected - pt.set() }),

	"which/zero-blamed":    always(zeroOff),
	"which/span-blamed":    always(spanOff),
	"which/loading-blamed": always(isLoaded),
	"which/cell-blamed":    always(cellWeak),
}

func init() {
	for _, id := range []string{"dead-zero-value", "wrong-end", "zero-left-on", "range-low-not-added", "share-of-upper"} {
		sendSlips["rights/"+id] = sendSlips["right/"+id]
	}
	for _, id := range []string{"sign", "error-in-units", "of-reading", "of-upper", "fraction"} {
		sendSlips["errors/"+id] = sendSlips["error/"+id]
	}
}
