package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"loopdrill/scenarios/loop"
)

// What the page of "what next?" says, and what the circuit shows of it.

// suspected is a fault of the list.
type suspected struct {
	name      string
	fault     loop.Fault
	low, high float64 // of the sizes printed
}

// offered is a test of the page.
type offered struct {
	number string
	deed   deed // its look is in the unit of the reading
	sound  float64
	told   []string
}

// nexting is what the page of an exercise says.
type nexting struct {
	sound    loop.Params
	list     []suspected
	tests    []offered
	done     []offered // with what was seen
	seen     []string
	table    map[[2]string]string // what the page says that a fault shows at a test
	turns    string               // the fault that may show either
	turn     float64
	turnOff  float64              // how far the printed turn may be rounded
	either   map[string][2]string // by test: below and above the turn
	asked    int                  // the side whose share is asked for: 0 below
	possible []int                // of the list

	shown map[[2]string]map[string]float64 // by fault and what is done
}

var (
	sizesSaid = regexp.MustCompile(` (\S+) to (\S+) (\S.*)$`)
	lowBy     = regexp.MustCompile(`^low by more than (\S+) (?:V|% of span)$`)
)

// seeNext reads the page, once.
func (s sheet) seeNext() (*nexting, error) {
	return recall(&s.memo.next, func() (*nexting, error) {
		n := &nexting{table: map[[2]string]string{}, either: map[string][2]string{}, shown: map[[2]string]map[string]float64{}}
		return n, s.readNext(n)
	})
}

func (s sheet) readNext(n *nexting) (err error) {
	for _, t := range s.tables {
		switch {
		case t.heads[0] == "Loop sheet":
			n.sound, err = soundLoop(t)
		case t.heads[0] == "What was done":
			for _, r := range t.rows {
				n.done = append(n.done, offered{number: r[0]})
				n.seen = append(n.seen, r[1])
			}
		case t.heads[1] == "What it does":
			for _, r := range t.rows {
				var x suspected
				if x, err = suspect(r); err != nil {
					return err
				}
				n.list = append(n.list, x)
			}
		case t.heads[1] == "What is done":
			for _, r := range t.rows {
				o := offered{number: r[0], told: strings.Split(spaced(r[3]), "; ")}
				if o.deed, err = nextDeed(r[1]); err != nil {
					return err
				}
				o.sound = o.deed.read(n.sound, nil, 0)
				if out := o.outcome(o.sound); r[2] != out && (out != "as it should be" || math.Abs(leading(r[2])-o.sound) > 0.06) {
					return fmt.Errorf("test %s shows %q when all is well, the page says %q", r[0], out, r[2])
				}
				n.tests = append(n.tests, o)
			}
		case t.heads[1] == "Test 1":
			for _, r := range t.rows {
				for i := 1; i < len(r); i++ {
					n.table[[2]string{r[0], fmt.Sprint(i)}] = r[i]
				}
			}
		case t.heads[1] == "Test":
			turn := strings.TrimPrefix(spaced(t.heads[2]), "Below ")
			n.turn = leading(turn)
			digits, _, _ := strings.Cut(turn, " ")
			_, behind, _ := strings.Cut(digits, ".")
			n.turnOff = 0.5 * math.Pow10(-len(behind))
			for _, r := range t.rows {
				n.turns = r[0]
				n.either[r[1]] = [2]string{r[2], r[3]}
			}
		default:
			return fmt.Errorf("a table with the heads %q", t.heads)
		}
		if err != nil {
			return err
		}
	}
	for i := range n.done {
		o := &n.done[i]
		if o.deed, err = nextDeed(o.number); err != nil {
			return err
		}
		o.told = []string{"low by more than 0.02 V", "as it should be within 0.02 V", "high by more than 0.02 V"}
		o.sound = o.deed.read(n.sound, nil, 0)
	}
	if len(n.tests) != 4 || len(n.list) < 5 {
		return fmt.Errorf("%d tests and %d faults", len(n.tests), len(n.list))
	}
	for i := range n.list {
		fits := true
		for k := range n.done {
			shows, err := n.shows(&n.list[i], &n.done[k])
			if err != nil {
				return err
			}
			if len(shows) != 1 {
				return fmt.Errorf("%s shows %v where %q was seen", n.list[i].name, shows, n.seen[k])
			}
			fits = fits && shows[n.seen[k]] > 0
		}
		if fits {
			n.possible = append(n.possible, i)
		}
	}
	for _, p := range s.parts {
		if p.whatNextTask() == "share" {
			if n.asked, _, err = n.side(p); err != nil {
				return err
			}
		}
	}
	return nil
}

func spaced(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

// leading is the number that a text begins with.
func leading(s string) float64 {
	v, _, _ := strings.Cut(spaced(s), " ")
	x, err := number(v)
	if err != nil {
		return math.NaN()
	}
	return x
}

var everyFault = loop.Faults()

// suspect understands a row of the list.
func suspect(r []string) (suspected, error) {
	x := suspected{name: r[0]}
	i := slices.IndexFunc(everyFault, func(f loop.Fault) bool { return f.Name == strings.ReplaceAll(r[0], " ", "-") })
	if i < 0 {
		return x, fmt.Errorf("nobody knows the fault %q", r[0])
	}
	x.fault = everyFault[i]
	if spaced(r[1]) != strings.NewReplacer("Mohm", "MΩ", " ohm", " Ω").Replace(x.fault.Does) {
		return x, fmt.Errorf("%s is said to do: %s", r[0], r[1])
	}
	if len(x.fault.Sizes) == 0 {
		if r[2] != "–" {
			return x, fmt.Errorf("%s has the size %q", r[0], r[2])
		}
		return x, nil
	}
	text := spaced(r[2])
	m := sizesSaid.FindStringSubmatch(text)
	size := &x.fault.Sizes[0]
	if m == nil || !strings.HasPrefix(text, size.Name+" ") || strings.ReplaceAll(m[3], "Ω", "ohm") != size.Unit {
		return x, fmt.Errorf("%s has the sizes %q", r[0], r[2])
	}
	var err error
	if x.low, err = number(m[1]); err != nil {
		return x, err
	}
	if x.high, err = number(m[2]); err != nil {
		return x, err
	}
	if !(x.low < x.high) || !size.Has(x.low) || !size.Has(x.high) {
		return x, fmt.Errorf("%s has sizes from %v to %v", r[0], x.low, x.high)
	}
	return x, nil
}

var nextDeeds = []struct {
	said string
	deed deed
}{
	{"Input and ring at 0 %, trigger pressed: needle", held(0, 0)},
	{"Input and ring at 50 %, trigger pressed: needle", held(50, 50)},
	{"Input and ring at 100 %, trigger pressed: needle", held(100, 100)},
	{"Input at 50 %, ring at 75 %, trigger tapped: needle", held(50, 75)},
	{"Input at 50 %, come to from above; ring at 50 %, trigger pressed: needle", with(held(50, 50), nil, func(p *loop.Params) { p.Transmitter.Falling = true })},
	{"Input of 50 % straight to the transmitter's own port; ring at 50 %, trigger pressed: needle", with(held(50, 50), nil, func(p *loop.Params) { p.Input = loop.Input{Gain: 1} })},
	{"Checker moved, in series at the receiver; input and ring at 100 %, trigger pressed: needle", with(held(100, 100), func(p *loop.Params) { p.Checker.Place = loop.SeriesRoom }, nil)},
	{"Lever at Cell, trigger pressed: needle", deed{needle: true, said: "cell", look: func(p *loop.Params) float64 {
		volt, _ := p.Checker.CellUnderLoad()
		return 5 * (4 + (volt-p.Checker.GoodCellVolt)/p.Checker.CellVoltPerDivision + p.Checker.RestDivision)
	}}},
	{"Voltmeter at the supply's terminals, input at 0 %", meter(func(q loop.Point) float64 { return q.SupplyVolt })(0, 0)},
	{"Voltmeter at the supply's terminals, input at 100 %", meter(func(q loop.Point) float64 { return q.SupplyVolt })(100, 0)},
	{"Voltmeter across the transmitter, input at 0 %", meter(func(q loop.Point) float64 { return q.TransmitterVolt })(0, 0)},
	{"Voltmeter across the receiver, input at 0 %", meter(func(q loop.Point) float64 { return q.ReceiverVolt })(0, 0)},
	{"Voltmeter across the receiver, input at 100 %", meter(func(q loop.Point) float64 { return q.ReceiverVolt })(100, 0)},
	{"Checker taken out of the loop; voltmeter across the receiver, input at 100 %", with(meter(func(q loop.Point) float64 { return q.ReceiverVolt })(100, 0), func(p *loop.Params) { p.Checker.Place = loop.NotConnected }, nil)},
	{"What the receiver shows, input at 0 %", meter(func(q loop.Point) float64 { return q.ReceiverPercent })(0, 0)},
	{"What the receiver shows, input at 100 %", meter(func(q loop.Point) float64 { return q.ReceiverPercent })(100, 0)},
}

// with arranges something before or after the fault comes in.
func with(d deed, before, after func(*loop.Params)) deed {
	d.before, d.after = before, after
	return d
}

func nextDeed(text string) (deed, error) {
	for _, k := range nextDeeds {
		if k.said == spaced(text) {
			return k.deed, nil
		}
	}
	return deed{}, fmt.Errorf("nobody knows how to do: %s", text)
}

// read is what a deed shows, unrounded: small marks, or the unit of the meter.
func (d deed) read(p loop.Params, f *loop.Fault, size float64) float64 {
	if d.before != nil {
		d.before(&p)
	}
	if f != nil {
		sizes := []float64{size}
		if len(f.Sizes) == 0 {
			sizes = nil
		}
		var err error
		if p, err = f.Apply(p, sizes...); err != nil {
			return math.NaN()
		}
	}
	if d.after != nil {
		d.after(&p)
	}
	return d.look(&p)
}

// outcome puts a reading under one of the outcomes told apart.
func (o *offered) outcome(v float64) string {
	if math.IsNaN(v) {
		return "cannot be"
	}
	if o.deed.needle {
		marks := math.Round(v)
		switch {
		case o.deed.said == "cell" && v >= 20:
			return "past the line"
		case o.deed.said == "cell":
			return "short of the line"
		case marks <= -stopsAt:
			return "left stop"
		case marks >= stopsAt:
			return "right stop"
		case marks < 0:
			return "left"
		case marks > 0:
			return "right"
		}
		return "centre"
	}
	limit := math.NaN()
	if m := lowBy.FindStringSubmatch(o.told[0]); m != nil {
		limit = leading(m[1])
	}
	switch {
	case v < o.sound-limit:
		return "low"
	case v > o.sound+limit && len(o.told) == 3:
		return "high"
	case math.IsNaN(limit):
		return "cannot be"
	}
	return "as it should be"
}

// How many sizes are tried: of a fault that shows one thing, and of the one that
// may show either.
const (
	sizesOfOne    = 25
	sizesOfEither = 200
)

// shows is how much of a fault's sizes shows what at a test, worked out once.
func (n *nexting) shows(x *suspected, o *offered) (map[string]float64, error) {
	at := [2]string{x.name, o.number}
	if out, ok := n.shown[at]; ok {
		return out, nil
	}
	out, err := n.tries(x, o)
	n.shown[at] = out
	return out, err
}

// tries puts sizes of a fault into the loop and reads a test.
func (n *nexting) tries(x *suspected, o *offered) (map[string]float64, error) {
	out := map[string]float64{}
	if len(x.fault.Sizes) == 0 {
		out[o.outcome(o.deed.read(n.sound, &x.fault, 0))]++
		return out, nil
	}
	steps := sizesOfOne
	either, turns := n.either[o.number]
	if turns = turns && x.name == n.turns; turns {
		steps = sizesOfEither
	}
	for k := range steps + 1 {
		size := x.low + (x.high-x.low)*float64(k)/float64(steps)
		if k == steps {
			size = x.high
		}
		shows := o.outcome(o.deed.read(n.sound, &x.fault, size))
		out[shows] += 1 / float64(steps+1)
		if !turns || math.Abs(size-n.turn) < 0.004*(x.high-x.low)+n.turnOff {
			continue
		}
		if says := either[0]; size < n.turn && shows != says {
			return nil, fmt.Errorf("%s of %v shows %q at test %s, the page says %q", x.name, size, shows, o.number, says)
		}
		if says := either[1]; size > n.turn && shows != says {
			return nil, fmt.Errorf("%s of %v shows %q at test %s, the page says %q", x.name, size, shows, o.number, says)
		}
	}
	if len(out) > 1 && !turns {
		return nil, fmt.Errorf("%s shows %v at test %s, and the page does not say so", x.name, out, o.number)
	}
	if says := n.table[[2]string{x.name, o.number}]; says != "" && says != "?" && out[says] == 0 {
		return nil, fmt.Errorf("%s shows %v at test %s, the page says %q", x.name, out, o.number, says)
	}
	if turns {
		// The sizes tried lie on both sides as the turn has it; to the hundredth
		// they are what the turn makes them.
		above := n.aboveTurn(x)
		if math.Abs(out[either[1]]-above) > 0.02+n.turnOff/(x.high-x.low) {
			return nil, fmt.Errorf("%s shows %v at test %s, the turn gives %v", x.name, out, o.number, above)
		}
		out = map[string]float64{either[0]: 1 - above, either[1]: above}
	}
	return out, nil
}
