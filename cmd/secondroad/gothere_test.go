package secondroad

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// The road of "may it go there": the surface is warmed degree by degree until
// the gas ignites, the ambient is looked at in every degree of the year, a
// group or a zone is a set of names. Capacitance and inductance are stored
// energy, at the voltage and the current that the papers allow them for, and
// the longest cable is found by laying metre after metre until it stores too much.
var gothereRoad = &road{
	family: "may-it-go-there",
	knows:  func(s sheet) bool { return strings.HasPrefix(s.intro, "On paper only:") },
	task:   func(p part) string { return p.gothereTask() },
	slips:  gothereSlips,
}

func init() {
	gothereRoad.work = sheet.workGothere
	roads = append(roads, gothereRoad)
}

func TestMayItGoThere(t *testing.T) {
	gothereRoad.travel(t, plantFiles(gothereRoad.family, widePlant, 2))
}

func (p part) gothereTask() string {
	for _, c := range []struct{ words, task string }{
		{"By how many kelvin does the surface", "margin"},
		{"By how many kelvin does the place stay", "reserve"},
		{"For gases of which groups", "groups"},
		{"For which zones", "zones"},
		{"What follows from these papers?", "place"},
		{"What capacitance do the papers leave", "left"},
		{"How long may the cable be by its capacitance?", "by-c"},
		{"How long may the cable be by its capacitance while", "by-c-with"},
		{"How long may the cable be by its inductance while", "by-l-with"},
		{"How long may the cable be by its inductance?", "by-l"},
		{"Which of the two limits the cable?", "limits"},
		{"What is the highest voltage in the loop", "sum-u"},
		{"What is the highest current in the loop", "sum-i"},
		{"What capacitance do the devices bring", "all-c"},
		{"The checker's cell check falls short", "cell"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	if strings.HasPrefix(p.prompt, "The cable is as long as the table says. What follows") {
		for _, o := range p.boxes[0].options {
			if strings.HasPrefix(o.text, "the checker may not") {
				return "who"
			}
		}
		return "pair"
	}
	return ""
}

// nameplates is what stands in all tables of a page: by row and head of the
// column, without the head where a table has one column of figures.
type nameplates map[string]string

func (s sheet) seeNameplates() nameplates {
	n := nameplates{}
	plain := func(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }
	for _, t := range s.tables {
		for _, row := range t.rows {
			for i, cell := range row[1:] {
				name := plain(row[0])
				switch {
				case len(row) > 2:
					name += ", " + plain(t.heads[i+1])
				case t.heads[0] == "Cable":
					name = "Cable " + strings.ToLower(name)
				}
				n[name] = plain(cell)
			}
		}
	}
	return n
}

// of reads a figure and wants its unit; "Uo = 22.4 V" and "22.4 V" alike.
func (n nameplates) of(name, unit string) float64 {
	text := n[name]
	if _, after, ok := strings.Cut(text, " = "); ok {
		text = after
	}
	v, u, err := quantity(text)
	if err != nil || u != unit {
		panic(fmt.Sprintf("%s says %q, %s is wanted: %v", name, n[name], unit, err))
	}
	return v
}

// marking takes "Ex ib IIB T4 Gb" apart.
func (n nameplates) marking() (level, group, class string) {
	f := strings.Fields(n["Marking"])
	if len(f) != 5 || f[0] != "Ex" {
		panic("a marking " + n["Marking"])
	}
	return f[1], f[2], f[3]
}

// made is for which groups, and for which zones, a device is made.
var made = map[string][]string{
	"IIA": {"IIA"}, "IIB": {"IIA", "IIB"}, "IIC": {"IIA", "IIB", "IIC"},
	"ic": {"2"}, "ib": {"1", "2"}, "ia": {"0", "1", "2"},
}

// degrees counts how far a surface can be warmed before the gas ignites;
// below none where it is too hot already.
func degrees(surface, ignition float64) float64 {
	n := 0.0
	for ; surface < ignition; surface++ {
		n++
	}
	for ; surface > ignition; surface-- {
		n--
	}
	return n
}

// keeps is the least room that any temperature of the year leaves.
func keeps(low, top, from, to float64) float64 {
	least := 1e9
	for t := low; t <= top; t++ {
		least = min(least, to-t, t-from)
	}
	return least
}

func (n nameplates) ambient() (low, top, from, to float64) {
	return n.of("Ambient temperature, lowest", "°C"), n.of("Ambient temperature, highest", "°C"),
		n.of("Ambient temperature, from", "°C"), n.of("Ambient temperature, to", "°C")
}

const noObjection = "nothing on these papers speaks against it"

func (n nameplates) placeVerdict() string {
	level, group, class := n.marking()
	switch {
	case degrees(n.of(class, "°C"), n.of("Ignition temperature of the gas", "°C")) <= 0:
		return "it may not: its surface can get too hot"
	case keeps(n.ambient()) < 0:
		return "it may not: the place leaves its ambient limits"
	case !slices.Contains(made[group], n["Group of the gas"]):
		return "it may not: its group does not cover this gas"
	case !slices.Contains(made[level], n["Zone"]):
		return "it may not: its level is too low for the zone"
	}
	return noObjection
}

// wired is a loop of a page, in nF, µH, V, mA, mW, m.
type wired struct {
	perC, perL, length    float64
	co, lo, other, otherL float64 // for the group of the gas, for the other one
	uo, io, po            float64 // of the barrier
	uk, ik                float64 // of the checker
	ui, ii, pi, ci, li    []float64
	allowedC, allowedL    float64 // with the checker
}

func (n nameplates) wired() wired {
	w := wired{perC: n.of("Cable capacitance", "nF/km"), perL: 1000 * n.of("Cable inductance", "mH/km"), length: n.of("Cable length", "m")}
	if _, ok := n["Voltage, gives, Barrier"]; ok {
		w.uo, w.io = n.of("Voltage, gives, Barrier", "V"), n.of("Current, gives, Barrier", "mA")
		w.uk, w.ik = n.of("Voltage, gives, Checker", "V"), n.of("Current, gives, Checker", "mA")
		for _, d := range []string{"Transmitter", "Indicator", "Checker"} {
			w.ui = append(w.ui, n.of("Voltage, stands, "+d, "V"))
			w.ii = append(w.ii, n.of("Current, stands, "+d, "mA"))
			w.ci = append(w.ci, n.of("Capacitance inside, "+d, "nF"))
			w.li = append(w.li, n.of("Inductance inside, "+d, "µH"))
		}
		w.co, w.allowedC = 1000*n.of("Capacitance, Without the checker", "µF"), 1000*n.of("Capacitance, With the checker", "µF")
		w.lo, w.allowedL = 1000*n.of("Inductance, Without the checker", "mH"), 1000*n.of("Inductance, With the checker", "mH")
		return w
	}
	gas := n["Cable group of the gas"]
	not := map[string]string{"IIB": "IIC", "IIC": "IIB"}[gas]
	w.uo, w.io, w.po = n.of("Voltage, Barrier", "V"), n.of("Current, Barrier", "mA"), n.of("Power, Barrier", "mW")
	w.ui, w.ii, w.pi = []float64{n.of("Voltage, Transmitter", "V")}, []float64{n.of("Current, Transmitter", "mA")}, []float64{1000 * n.of("Power, Transmitter", "W")}
	w.ci, w.li = []float64{n.of("Capacitance inside, Transmitter", "nF")}, []float64{n.of("Inductance inside, Transmitter", "µH")}
	w.co, w.other = 1000*n.of("Capacitance allowed, "+gas+", Barrier", "µF"), 1000*n.of("Capacitance allowed, "+not+", Barrier", "µF")
	w.lo, w.otherL = 1000*n.of("Inductance allowed, "+gas+", Barrier", "mH"), 1000*n.of("Inductance allowed, "+not+", Barrier", "mH")
	return w
}

// lays counts the metres that can be laid while what is stored, by the devices
// and a metre at a time by the cable, is not more than what is allowed to be
// stored. size is the square of the voltage or the current, halved.
func lays(allowed, perKm, size float64, devices ...float64) float64 {
	stored := 0.0
	for _, d := range devices {
		stored += d * size
	}
	metres := 0.0
	for stored+(metres+1)*perKm/1000*size <= allowed*size*(1+1e-12) {
		metres++
	}
	return metres
}

func (w wired) byC(allowed float64) float64 { return lays(allowed, w.perC, w.uo*w.uo/2, w.ci...) }
func (w wired) byL(allowed float64) float64 { return lays(allowed, w.perL, w.io*w.io/2, w.li...) }

// stands says whether all of some limits are kept.
func stands(value float64, limits []float64) bool {
	return !slices.ContainsFunc(limits, func(l float64) bool { return value > l+1e-9 })
}

func (w wired) pairVerdict() string {
	switch {
	case !stands(w.uo, w.ui):
		return "it may not: too much voltage"
	case !stands(w.io, w.ii):
		return "it may not: too much current"
	case !stands(w.po, w.pi):
		return "it may not: too much power"
	case w.byC(w.co) < w.length:
		return "it may not: too much capacitance"
	case w.byL(w.lo) < w.length:
		return "it may not: too much inductance"
	}
	return noObjection
}

// alone is the loop without the checker, and what it fails in: "" where all
// is well.
func (w wired) alone() string {
	w.ui, w.ii, w.ci, w.li = w.ui[:2], w.ii[:2], w.ci[:2], w.li[:2]
	w.po = 0
	v := w.pairVerdict()
	_, reason, _ := strings.Cut(v, "it may not: too much ")
	return reason
}

const loopMayNot = "the loop itself may not, even without the checker"

func (w wired) whoVerdict() string {
	if w.alone() != "" {
		return loopMayNot
	}
	switch {
	case !stands(w.uo+w.uk, w.ui):
		return "the checker may not go in: too much voltage"
	case !stands(w.io+w.ik, w.ii):
		return "the checker may not go in: too much current"
	case w.byC(w.allowedC) < w.length:
		return "the checker may not go in: too much capacitance"
	case w.byL(w.allowedL) < w.length:
		return "the checker may not go in: too much inductance"
	}
	return noObjection
}

// The four ways with a spent cell.
const (
	cellHere     = "fit the cell from the bag where you stand"
	cellOut      = "take the checker out of the area, then fit that cell"
	cellFetch    = "leave that cell out and fetch one of the named type"
	cellWorkshop = "take the checker out of use, for a workshop that may repair it"
)

func (n nameplates) cellVerdict() string {
	switch {
	case n["Case and leads"] != "sound":
		return cellWorkshop
	case n["Type that the certificate names"] != n["Type in the tool bag"]:
		return cellFetch
	case strings.HasPrefix(n["Where you stand"], "zone"):
		return cellOut
	}
	return cellHere
}

// groupWords and zoneWords are the options for what a device is made for.
var (
	groupWords = map[string]string{"IIA": "IIA only", "IIB": "IIA and IIB", "IIC": "IIA, IIB and IIC"}
	zoneWords  = map[string]string{"ic": "zone 2 only", "ib": "zones 1 and 2", "ia": "zones 0, 1 and 2"}
)

func (s sheet) workGothere() (mine replies, err error) {
	defer func() {
		if p := recover(); p != nil {
			mine, err = nil, fmt.Errorf("%v", p)
		}
	}()
	n := s.seeNameplates()
	mine = replies{}
	for _, p := range s.parts {
		number, chosen, known := n.gothere(p.gothereTask())
		if !known {
			return nil, fmt.Errorf("nobody knows the question %q", p.prompt)
		}
		if chosen == "" {
			mine[p.boxes[0].id] = reply{number: number}
			continue
		}
		r, err := p.pick(chosen)
		if err != nil {
			return nil, err
		}
		mine[p.boxes[0].id] = r[p.boxes[0].id]
	}
	return mine, nil
}

// gothere answers one question.
func (n nameplates) gothere(task string) (number float64, chosen string, known bool) {
	var w wired
	if _, ok := n["Cable length"]; ok {
		w = n.wired()
	}
	known = true
	switch task {
	case "margin":
		_, _, class := n.marking()
		number = degrees(n.of(class, "°C"), n.of("Ignition temperature of the gas", "°C"))
	case "reserve":
		number = keeps(n.ambient())
	case "groups":
		_, group, _ := n.marking()
		chosen = groupWords[group]
	case "zones":
		level, _, _ := n.marking()
		chosen = zoneWords[level]
	case "place":
		chosen = n.placeVerdict()
	case "left":
		number = lays(w.co, 1000, w.uo*w.uo/2, w.ci...) // a cable of 1 nF a metre
	case "by-c":
		number = w.byC(w.co)
	case "by-l":
		number = w.byL(w.lo)
	case "limits":
		chosen = "its inductance"
		if w.byC(w.co) < w.byL(w.lo) {
			chosen = "its capacitance"
		}
	case "pair":
		chosen = w.pairVerdict()
	case "sum-u":
		number = w.uo + w.uk
	case "sum-i":
		number = w.io + w.ik
	case "all-c":
		number = sumOf(w.ci)
	case "by-c-with":
		number = w.byC(w.allowedC)
	case "by-l-with":
		number = w.byL(w.allowedL)
	case "who":
		chosen = w.whoVerdict()
	case "cell":
		chosen = n.cellVerdict()
	default:
		known = false
	}
	return number, chosen, known
}
