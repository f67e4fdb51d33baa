package secondroad

import (
	"fmt"
	"slices"
	"strings"
	"testing"
)

// The road of "how sure?": no root is taken and no limit is worked out. Two
// uncertainties are put together by comparing squares until they fit; a ratio
// is how often one width goes into another, found by trying; a verdict is the
// interval that a reading leaves for the true error, held against the interval
// that is permitted; dates are counted in days.
var sureRoad = &road{
	family: "how-sure",
	knows: func(s sheet) bool {
		return strings.Contains(s.intro, "coverage factor k = 2")
	},
	task:  func(p part) string { return p.sureTask() },
	slips: sureSlips,
}

func init() {
	sureRoad.work = sheet.workSure
	roads = append(roads, sureRoad)
}

// surePlant has test gauges of its own, in three units, beside its loops.
var surePlant = strings.Replace(widePlant, "checker: {id: NB-7}", "checker: {id: NB-7, accuracy: 0.09 %span, due: 2029-02-28}", 1) + `standards:
  - {id: gauge-1, name: test gauge of the shop, range: 0..160 kPa, accuracy: 0.04 %span, due: 2028-11-30}
  - {id: gauge-2, name: compound test gauge, range: -100..60 kPa, accuracy: 0.05 %span, due: 2028-07-31}
  - {id: gauge-3, name: small compound gauge, range: -25..60 kPa, accuracy: 0.025 %span, due: 2028-09-30}
  - {id: gauge-4, name: gauge of the bench, range: 0..1 bar, accuracy: 0.05 %span, due: 2028-09-30}
`

func TestHowSure(t *testing.T) { sureRoad.travel(t, plantFiles(sureRoad.family, surePlant, 2)) }

func (p part) sureTask() string {
	for _, c := range []struct{ words, task string }{
		{"What is the uncertainty U95 of the gauge, in percent", "share"},
		{"What is the uncertainty U95 of the gauge that may be used", "share"},
		{"What is the uncertainty U95 of the gauge, in ", "abs"},
		{"What is it in percent of the loop's span?", "share-easy"},
		{"What is the uncertainty U95 of gauge and checker together", "both"},
		{"What is the test uncertainty ratio", "ratio"},
		{"Does it meet 4 to 1?", "four"},
		{"A guard band as wide as U95 of both", "accept"},
		{"Judge each point with that guard band.", "points"},
		{"Which gauge may be used for this job?", "gauge"},
		{"What is the smallest tolerance", "least"},
		{"What do the two rules say", "rules"},
		{"The site goes by the guard band.", "record"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// measure is a range that something has, and percent how far it may be off.
type measure struct {
	low, high, percent float64
	due                int // days
}

// sure is what the page says, and what of it has been written down on the way.
type sure struct {
	loop           measure
	down, up       float64 // the permitted errors, percent
	gauge          measure
	checker        float64
	found          []float64
	cupboard       []measure
	job            int
	largest        float64
	hard, usual    bool
	places         int     // decimals of the first answer at level easy
	abs, uG, uBoth float64 // as written down
	ratio          float64
}

// days counts days from a day long ago.
func days(date string) (int, error) {
	var y, m, d int
	if n, err := fmt.Sscanf(date, "%d-%d-%d", &y, &m, &d); n != 3 || err != nil {
		return 0, fmt.Errorf("no date: %q", date)
	}
	n := d
	for year := 2000; year < y; year++ {
		n += 365
		if year%4 == 0 { // no century in sight
			n++
		}
	}
	for month := 1; month < m; month++ {
		switch {
		case month == 2 && y%4 == 0:
			n += 29
		case month == 2:
			n += 28
		case slices.Contains([]int{4, 6, 9, 11}, month):
			n += 30
		default:
			n += 31
		}
	}
	return n, nil
}

func plainSpaces(s string) string { return strings.ReplaceAll(s, "\u00a0", " ") }

func readMeasure(s string) (measure, string, error) {
	low, high, unit, err := interval(plainSpaces(s))
	return measure{low: low, high: high}, unit, err
}

func (s sheet) seeSure() (*sure, error) {
	b := &sure{}
	if len(s.tables) < 1 {
		return nil, fmt.Errorf("no table of givens")
	}
	unit := ""
	percent := func(to *float64, cell string) error {
		v, u, err := quantity(plainSpaces(cell))
		if err == nil && u != "%" {
			err = fmt.Errorf("%q is no percentage", cell)
		}
		*to = v
		return err
	}
	for _, row := range s.tables[0].rows {
		var err error
		switch row[0] {
		case "Range of the loop":
			b.loop, unit, err = readMeasure(row[1])
		case "Lower limit of the error, of the loop's span":
			err = percent(&b.down, row[1])
		case "Upper limit of the error, of the loop's span":
			err = percent(&b.up, row[1])
		case "Gauge", "Checker due":
		case "Range of the gauge":
			var u string
			if b.gauge, u, err = readMeasure(row[1]); err == nil && u != unit {
				err = fmt.Errorf("gauge in %s, loop in %s", u, unit)
			}
		case "Accuracy of the gauge, of its own span":
			err = percent(&b.gauge.percent, row[1])
		case "Accuracy of the checker, of the signal's span":
			err = percent(&b.checker, row[1])
		case "Day of the job":
			b.hard = true
			b.job, err = days(row[1])
		case "Largest error then found, of the loop's span":
			err = percent(&b.largest, row[1])
		default:
			err = fmt.Errorf("nobody knows the given %q", row[0])
		}
		if err != nil {
			return nil, err
		}
	}
	if len(s.tables) == 2 && !b.hard {
		b.usual = true
		for _, row := range s.tables[1].rows {
			e, err := number(row[1])
			if err != nil {
				return nil, err
			}
			b.found = append(b.found, e)
		}
	}
	if b.hard {
		for _, row := range s.tables[1].rows {
			g, u, err := readMeasure(row[2])
			if err == nil && u != unit {
				err = fmt.Errorf("gauge in %s, loop in %s", u, unit)
			}
			if err == nil {
				g.percent, err = number(row[3])
			}
			if err == nil {
				g.due, err = days(row[4])
			}
			if err != nil {
				return nil, err
			}
			b.cupboard = append(b.cupboard, g)
		}
		for _, g := range b.cupboard {
			if b.may(g) {
				b.gauge = g
			}
		}
	}
	b.write(s)
	return b, nil
}

// write works out what is written down on the way, rounded as the page asks.
func (b *sure) write(s sheet) {
	if !b.usual && !b.hard {
		b.places = s.parts[0].boxes[0].decimals
		b.abs = rounded(b.gauge.far(), b.places)
		b.uG = rounded(b.percentOf(b.abs), 3)
		b.uBoth = b.uG
	} else {
		b.uG = rounded(b.percentOf(b.gauge.far()), 3)
		b.uBoth = rounded(together(b.uG, b.checker), 3)
	}
	b.ratio = rounded(b.fits(2*b.uBoth), 1)
}

// far is how far an instrument may be off, in its own unit: as many hundredths
// of its measure as it says.
func (g measure) far() float64 {
	hundredth := (g.high - g.low) / 100
	return g.percent * hundredth
}

// percentOf finds how many percent of the loop's span something is.
func (b *sure) percentOf(off float64) float64 {
	return falls(func(p float64) float64 { return off - mix(0, b.loop.high-b.loop.low, p/100) }, 0, 0, 1e6)
}

// together finds the uncertainty whose square holds both squares.
func together(u, v float64) float64 {
	return falls(func(x float64) float64 { return u*u + v*v - x*x }, 0, 0, 1e4)
}

// fits is how often a width goes into the permitted one.
func (b *sure) fits(width float64) float64 {
	return falls(func(n float64) float64 { return b.up - b.down - n*width }, 0, 0, 1e6)
}

// may says whether a gauge of the cupboard may be used.
func (b *sure) may(g measure) bool { return b.onScale(g) && g.due >= b.job && b.enough(g) }

// onScale goes along the loop's range.
func (b *sure) onScale(g measure) bool {
	for i := range 11 {
		at := mix(b.loop.low, b.loop.high, float64(i)/10)
		if at < g.low-1e-9 || at > g.high+1e-9 {
			return false
		}
	}
	return true
}

// enough compares squares: four times what both may be off must fit.
func (b *sure) enough(g measure) bool {
	u := g.far() / (b.loop.high - b.loop.low) * 100
	side := (b.up - b.down) / 2
	return 16*(u*u+b.checker*b.checker) <= side*side
}

// accept tries sizes of error, a thousandth at a time: the last whose interval
// still lies inside.
func (b *sure) accept(guard float64) float64 {
	last := 0
	for n := 0; float64(n)/1000+guard <= b.up+1e-9; n++ {
		last = n
	}
	return float64(last) / 1000
}

// least tries tolerances, a thousandth at a time.
func (b *sure) least(u float64) float64 {
	n := 0
	for ; 2*float64(n)/1000 < 4*2*u-1e-9; n++ {
	}
	return float64(n) / 1000
}

const (
	certainPass, noVerdict, certainFail = "pass", "cannot say", "fail"
)

// verdict holds the interval of the true error against the permitted one.
func (b *sure) verdict(e, u float64) string {
	low, high := e-u, e+u
	switch {
	case low >= b.down-1e-9 && high <= b.up+1e-9:
		return certainPass
	case low > b.up+1e-9 || high < b.down-1e-9:
		return certainFail
	}
	return noVerdict
}

func ruled(alone, guarded string) string {
	return alone + " with the tolerance alone, " + guarded + " with the guard band"
}

var recorded = map[string]string{
	certainPass: "passed as found; nobody downstream needs to be told",
	noVerdict:   "neither passed nor failed; check again with better standards",
	certainFail: "failed as found; report what it measured since the last good check",
}

func yesNo(yes bool) string {
	if yes {
		return "yes, it does"
	}
	return "no, it does not"
}

// pickAll marks one option in each box of a part, by its words.
func (p part) pickAll(words func(i int) string) (replies, error) {
	out := replies{}
	for i, b := range p.boxes {
		w := words(i)
		at := slices.IndexFunc(b.options, func(o option) bool { return o.text == w })
		if at < 0 {
			return nil, fmt.Errorf("no option of %s says %q", b.id, w)
		}
		out[b.id] = reply{option: b.options[at].value}
	}
	return out, nil
}

func (s sheet) workSure() (replies, error) {
	b, err := s.seeSure()
	if err != nil {
		return nil, err
	}
	mine := replies{}
	for _, p := range s.parts {
		var r replies
		say := func(v float64) { r = replies{p.boxes[0].id: {number: v}} }
		switch p.sureTask() {
		case "abs":
			say(b.gauge.far())
		case "share-easy":
			say(b.percentOf(b.abs))
		case "share":
			say(b.percentOf(b.gauge.far()))
		case "both":
			say(together(b.uG, b.checker))
		case "ratio":
			say(b.fits(2 * b.uBoth))
		case "accept":
			say(b.accept(b.uBoth))
		case "least":
			say(b.least(b.uBoth))
		case "four":
			r, err = p.pick(yesNo(b.fits(2*b.uBoth) >= 4))
		case "points":
			for i, box := range p.boxes {
				if want := fmt.Sprintf("error %s %%", strings.ReplaceAll(fmt.Sprintf("%.2f", b.found[i]), "-", "\u2212")); !strings.Contains(plainSpaces(box.label), want) {
					return nil, fmt.Errorf("the box %q does not say %q", box.label, want)
				}
			}
			r, err = p.pickAll(func(i int) string { return b.verdict(b.found[i], b.uBoth) })
		case "gauge":
			var good []string
			for i, g := range b.cupboard {
				if b.may(g) {
					good = append(good, fmt.Sprintf("gauge no. %d", i+1))
				}
			}
			if len(good) != 1 {
				return nil, fmt.Errorf("%d gauges may be used", len(good))
			}
			r, err = p.pick(good[0])
		case "rules":
			r, err = p.pick(ruled(b.verdict(b.largest, 0), b.verdict(b.largest, b.uBoth)))
		case "record":
			r, err = p.pick(recorded[b.verdict(b.largest, b.uBoth)])
		default:
			return nil, fmt.Errorf("nobody knows the question %q", p.prompt)
		}
		if err != nil {
			return nil, err
		}
		for id, x := range r {
			mine[id] = x
		}
	}
	return mine, nil
}
