package secondroad

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// The road of "will it drive it?": the loop is walked metre by metre of cable
// and ohm by ohm, volts being lost on the way; the longest cable and the
// highest current are found by trying.
var budgetRoad = &road{
	family: "will-it-drive-it",
	knows:  func(s sheet) bool { return strings.Contains(s.intro, "gets another cable and a barrier") },
	task:   func(p part) string { return p.budgetTask() },
	slips:  budgetSlips,
}

func init() {
	budgetRoad.work = sheet.workBudget
	roads = append(roads, budgetRoad)
}

func TestWillItDriveIt(t *testing.T) {
	budgetRoad.travel(t, plantFiles(budgetRoad.family, widePlant, 2))
}

func (p part) budgetTask() string {
	for _, c := range []struct{ words, task string }{
		{"What resistance has the cable", "wire"},
		{"What resistance is in the loop altogether", "all"},
		{"How many volts are left for the transmitter at", "left"},
		{"How many volts are left for it at", "left-checker"},
		{"Does the supply drive the loop?", "enough"},
		{"How much resistance may the loop have", "max"},
		{"How long may the cable be", "longest"},
		{"The cable is as long as the table says.", "all-checker"},
		{"Which current can the loop carry", "highest"},
		{"Does the loop clip, and when?", "who"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// budgeted is what the table of givens says.
type budgeted struct {
	volt, own, lift, most, receiver, barrier, length, perKm, warmth, checker float64

	written bool // the cable's ohms are asked for first, and gone on from
}

func (s sheet) seeBudget() (budgeted, error) {
	b := budgeted{warmth: 20}
	if len(s.tables) != 1 {
		return b, fmt.Errorf("%d tables of givens", len(s.tables))
	}
	b.written = s.parts[0].budgetTask() == "wire"
	for _, row := range s.tables[0].rows {
		places := map[string]struct {
			to   *float64
			unit string
		}{
			"Supply": {&b.volt, "V"}, "Supply's own resistance": {&b.own, "Ω"}, "Lift-off voltage of the transmitter": {&b.lift, "V"},
			"Highest current": {&b.most, "mA"}, "Receiver's resistor": {&b.receiver, "Ω"}, "Barrier": {&b.barrier, "Ω"},
			"Cable from supply to transmitter, length": {&b.length, "m"}, "One conductor at 20 °C": {&b.perKm, "Ω/km"},
			"Cable, temperature in summer": {&b.warmth, "°C"}, "Checker's own resistor": {&b.checker, "Ω"},
		}
		place, ok := places[strings.ReplaceAll(row[0], "\u00a0", " ")]
		if !ok {
			return b, fmt.Errorf("nobody knows the given %q", row[0])
		}
		v, unit, ok := strings.Cut(strings.ReplaceAll(row[1], "\u00a0", " "), " ")
		if !ok || unit != place.unit {
			return b, fmt.Errorf("%q is given for %s", row[1], row[0])
		}
		var err error
		if *place.to, err = number(v); err != nil {
			return b, err
		}
	}
	return b, nil
}

// wire is the ohms of a cable: each degree adds 4 ohms to a thousand, and the
// current goes there and comes back.
func (b budgeted) wire(length float64) float64 {
	there := length * b.perKm / 1000
	back := there
	degrees := b.warmth - 20
	return there + back + (there+back)*4*degrees/1000
}

// leftAt is what is left of the supply after everything in the way.
func (b budgeted) leftAt(milliamp float64, ohms ...float64) float64 {
	volt := b.volt
	for _, r := range ohms {
		volt -= milliamp * r / 1000
	}
	return volt
}

func (b budgeted) hung(length float64) []float64 {
	wire := b.wire(length)
	if b.written {
		wire = math.Round(10*wire) / 10
	}
	return []float64{b.own, b.receiver, b.barrier, wire}
}

// falls finds where something that falls reaches a level, by halving.
func falls(f func(x float64) float64, level, low, high float64) float64 {
	for range 200 {
		mid := (low + high) / 2
		if f(mid) >= level {
			low = mid
		} else {
			high = mid
		}
	}
	return low
}

func sumOf(ohms []float64) float64 {
	all := 0.0
	for _, r := range ohms {
		all += r
	}
	return all
}

func (s sheet) workBudget() (replies, error) {
	b, err := s.seeBudget()
	if err != nil {
		return nil, err
	}
	hung := b.hung(b.length)
	with := append(hung[:len(hung):len(hung)], b.checker)
	mine := replies{}
	for _, p := range s.parts {
		id := p.boxes[0].id
		say := func(v float64) { mine[id] = reply{number: v} }
		var chosen string
		switch p.budgetTask() {
		case "wire":
			say(b.wire(b.length))
		case "all":
			say(sumOf(hung))
		case "left":
			say(b.leftAt(b.most, hung...))
		case "left-checker":
			say(b.leftAt(b.most, with...))
		case "max":
			say(b.mostOhms())
		case "longest":
			say(b.longest())
		case "all-checker":
			say(sumOf(with))
		case "highest":
			say(b.highest(with))
		case "enough":
			chosen = "no, less than the lift-off voltage is left"
			if b.leftAt(b.most, hung...) >= b.lift {
				chosen = "yes, the lift-off voltage is left"
			}
		case "who":
			switch {
			case b.leftAt(b.most, with...) >= b.lift:
				chosen = "it never clips, with the checker or without"
			case b.leftAt(b.most, hung...) >= b.lift:
				chosen = "it clips only while the checker is in it"
			default:
				chosen = "it clips without the checker as well"
			}
		default:
			return nil, fmt.Errorf("nobody knows the question %q", p.prompt)
		}
		if chosen != "" {
			r, err := p.pick(chosen)
			if err != nil {
				return nil, err
			}
			mine[id] = r[id]
		}
	}
	return mine, nil
}

// budgetSlip makes an apprentice of one slip with a number.
func budgetSlip(wrong func(b budgeted) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		b, err := s.seeBudget()
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: {number: wrong(b)}}, nil
	}
}

// budgetChoice makes an apprentice of one slip with a choice.
func budgetChoice(wrong func(b budgeted) string) apprentice {
	return func(s sheet, p part) (replies, error) {
		b, err := s.seeBudget()
		if err != nil {
			return nil, err
		}
		return p.pick(wrong(b))
	}
}

const (
	driven, notDriven                 = "yes, the lift-off voltage is left", "no, less than the lift-off voltage is left"
	neverClips, onlyThen, alwaysClips = "it never clips, with the checker or without", "it clips only while the checker is in it", "it clips without the checker as well"
)

// cold is the same loop in winter, once its cable with one conductor, all and
// with what hangs in it without and with the checker.
func (b budgeted) cold() budgeted  { b.warmth = 20; return b }
func (b budgeted) once() float64   { return b.wire(b.length) / 2 }
func (b budgeted) all() []float64  { return b.hung(b.length) }
func (b budgeted) with() []float64 { return append(b.hung(b.length), b.checker) }

// without leaves some ohms out, more puts some in.
func without(ohms []float64, r float64) []float64 { return append(ohms, -r) }
func more(ohms []float64, r float64) []float64    { return append(ohms, r) }

// mostOhms is what the loop may have altogether.
func (b budgeted) mostOhms() float64 {
	return falls(func(r float64) float64 { return b.leftAt(b.most, r) }, b.lift, 0, 1e5)
}

// longest goes on from the most ohms as they were written down, to a tenth.
func (b budgeted) longest() float64 {
	written := math.Round(10*b.mostOhms()) / 10
	return falls(func(m float64) float64 { return written - sumOf(b.hung(m)) }, 0, 0, 1e6)
}

// highest goes on from all ohms with the checker as they were written down.
func (b budgeted) highest(ohms []float64) float64 {
	written := math.Round(10*sumOf(b.with())) / 10
	off := sumOf(ohms) - sumOf(b.with())
	return falls(func(i float64) float64 { return b.leftAt(i, written+off) }, b.lift, 0, 1e4)
}

var budgetSlips = map[string]apprentice{}

func init() {
	one := func(name string, wrong func(b budgeted) float64) { budgetSlips[name] = budgetSlip(wrong) }
	one("wire/one-conductor", func(b budgeted) float64 { return b.once() })
	one("wire/length-forgotten", func(b budgeted) float64 { return b.wire(1000) })
	one("wire/four-conductors", func(b budgeted) float64 { return 2 * b.wire(b.length) })
	one("wire/way-halved", func(b budgeted) float64 { return b.once() / 2 })
	one("wire/cold", func(b budgeted) float64 { return b.cold().wire(b.length) })
	one("wire/from-zero", func(b budgeted) float64 { b.warmth += 20; return b.wire(b.length) })

	one("all/receiver-forgotten", func(b budgeted) float64 { return sumOf(without(b.all(), b.receiver)) })
	one("all/barrier-forgotten", func(b budgeted) float64 { return sumOf(without(b.all(), b.barrier)) })
	one("all/supply-forgotten", func(b budgeted) float64 { return sumOf(without(b.all(), b.own)) })
	one("all/checker-counted", func(b budgeted) float64 { return sumOf(more(b.all(), 250)) })
	one("all/wire-doubled", func(b budgeted) float64 { return sumOf(more(b.all(), b.all()[3])) })

	for task, ohms := range map[string]func(b budgeted) []float64{"left": budgeted.all, "left-checker": budgeted.with} {
		one(task+"/drop-given", func(b budgeted) float64 { return b.volt - b.leftAt(b.most, ohms(b)...) })
		one(task+"/lift-off-taken", func(b budgeted) float64 { return b.leftAt(b.most, ohms(b)...) - b.lift })
		one(task+"/twenty", func(b budgeted) float64 { return b.leftAt(20, ohms(b)...) })
		one(task+"/barrier-forgotten", func(b budgeted) float64 { return b.leftAt(b.most, without(ohms(b), b.barrier)...) })
	}
	one("left/milliamps-at-zero", func(b budgeted) float64 { return b.leftAt(4, b.all()...) })
	one("left/receiver-forgotten", func(b budgeted) float64 { return b.leftAt(b.most, without(b.all(), b.receiver)...) })
	one("left/checker-counted", func(b budgeted) float64 { return b.leftAt(b.most, b.with()...) })
	one("left-checker/checker-left-out", func(b budgeted) float64 { return b.leftAt(b.most, b.all()...) })
	one("left-checker/checker-twice", func(b budgeted) float64 { return b.leftAt(b.most, more(b.with(), b.checker)...) })

	one("max/twenty", func(b budgeted) float64 { return (b.volt - b.lift) / 0.020 })
	one("max/lift-off-forgotten", func(b budgeted) float64 { return b.volt / b.most * 1000 })
	one("max/lift-off-added", func(b budgeted) float64 { return (b.volt + b.lift) / b.most * 1000 })
	one("max/receiver-off", func(b budgeted) float64 { return (b.volt-b.lift)/b.most*1000 - b.receiver })

	one("longest/cold", func(b budgeted) float64 { return b.cold().longest() })
	one("longest/one-conductor", func(b budgeted) float64 { return 2 * b.longest() })
	one("longest/receiver-forgotten", func(b budgeted) float64 { b.receiver = 0; return b.longest() })
	one("longest/barrier-forgotten", func(b budgeted) float64 { b.barrier = 0; return b.longest() })
	one("longest/loads-forgotten", func(b budgeted) float64 {
		b.barrier, b.receiver, b.own = 0, 0, 0
		return b.longest()
	})

	one("all-checker/cold", func(b budgeted) float64 { return sumOf(b.cold().with()) })
	one("all-checker/checker-left-out", func(b budgeted) float64 { return sumOf(b.all()) })
	one("all-checker/checker-twice", func(b budgeted) float64 { return sumOf(more(b.with(), b.checker)) })
	one("all-checker/one-conductor", func(b budgeted) float64 { return sumOf(without(b.with(), b.once())) })
	one("all-checker/barrier-forgotten", func(b budgeted) float64 { return sumOf(without(b.with(), b.barrier)) })

	one("highest/checker-left-out", func(b budgeted) float64 { return b.highest(b.all()) })
	one("highest/checker-twice", func(b budgeted) float64 { return b.highest(more(b.with(), b.checker)) })
	one("highest/lift-off-forgotten", func(b budgeted) float64 { b.lift = 0; return b.highest(b.with()) })
	one("highest/most-given", func(b budgeted) float64 { return b.most })

	choose := func(name string, wrong func(b budgeted) string) { budgetSlips[name] = budgetChoice(wrong) }
	enoughAt := func(b budgeted, ok bool) string {
		if ok {
			return driven
		}
		return notDriven
	}
	choose("enough/twenty-enough", func(b budgeted) string { return enoughAt(b, b.leftAt(20, b.all()...) >= b.lift-1e-9) })
	choose("enough/supply-compared", func(b budgeted) string { return enoughAt(b, b.volt >= b.lift) })
	choose("enough/checker-judged", func(b budgeted) string {
		return enoughAt(b, b.leftAt(b.most, more(b.all(), 250)...) >= b.lift)
	})
	choose("enough/drop-compared", func(b budgeted) string { return notDriven })
	choose("who/twenty-both", func(b budgeted) string {
		if !b.written && math.Round(100*b.highest(b.with())) >= 2000 { // as it was written before
			return neverClips
		}
		if b.leftAt(20, b.with()...) >= b.lift-1e-9 {
			return neverClips
		}
		return onlyThen
	})
	choose("who/checker-left-out", func(b budgeted) string {
		if b.leftAt(b.most, b.all()...) >= b.lift {
			return neverClips
		}
		return alwaysClips
	})
	choose("who/lift-off-forgotten", func(b budgeted) string { return neverClips })
	choose("who/checker-to-blame", func(b budgeted) string { return onlyThen })
	choose("who/loop-blamed", func(b budgeted) string { return alwaysClips })
}
