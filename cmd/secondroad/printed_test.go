package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"
)

// printed checks what an exercise prints against itself and against what other
// exercises of the page print about the same loop. It knows no key.
func (s sheet) printed(rows map[string]loopRow) (out []string) {
	object := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	mine, err := s.work()
	if err != nil {
		return []string{err.Error()}
	}
	s.percentages(object)
	switch {
	case len(s.loops) > 0:
		s.printedScaling(mine, object)
	default:
		s.printedReadings(mine, rows, object)
	}
	return out
}

// inBand says whether a signal is one that an instrument sends.
func inBand(v float64, unit string) bool {
	top := upper[unit]
	return v >= lowestShare*top-1e-9 && v <= highestShare*top+1e-9
}

// printedScaling: what is given and asked lies within the ranges of the table;
// each loop of the table is asked about; no part prints the answer of another,
// or asks about the same state of the same loop.
func (s sheet) printedScaling(mine replies, object func(string, ...any)) {
	type state struct {
		a      asked
		u      float64
		answer string
	}
	var states []state
	rows := map[string]int{}
	for _, r := range s.loops {
		if _, twice := rows[r.tag]; twice {
			object("%s stands in the table twice", r.tag)
		}
		rows[r.tag] = 0
	}
	for _, p := range s.parts {
		a, err := s.understand(p)
		if err != nil {
			object("%v", err)
			return
		}
		rows[a.p.row.tag]++
		if name := p.boxes[0].label; tagWord.MatchString(name) && !strings.Contains(name, a.p.row.tag) {
			object("(%s) asks about %s, its box about %q", p.label, a.p.row.tag, name)
		}
		u, err := search(a.shows, a.given)
		if err != nil || u < 0.01 || u > 0.99 {
			object("(%s): the given lies at %.3f of its range (%v)", p.label, u, err)
		}
		answer := mine[p.boxes[0].id].number
		for _, v := range []struct {
			kind, unit string
			value      float64
		}{{a.kind.given, a.unit, a.given}, {a.kind.want, p.boxes[0].unit, answer}} {
			unit := v.unit
			switch v.kind {
			case "signal", "second signal", "volts":
				if !inBand(v.value, unit) {
					object("(%s): no instrument sends %v %s", p.label, v.value, unit)
				}
			case "value":
				if v.value < a.p.showLow || v.value > a.p.showHigh {
					object("(%s): the receiver does not show %v %s", p.label, v.value, unit)
				}
			case "dp":
				if v.value < a.p.inLow || v.value > a.p.inHigh {
					object("(%s): the transmitter does not take %v %s", p.label, v.value, unit)
				}
			case "percent":
				if v.value < 0 || v.value > 100 {
					object("(%s): %v %% of span", p.label, v.value)
				}
			default:
				object("(%s): %q", p.label, v.kind)
			}
		}
		if b := p.boxes[0]; b.decimals < 0 {
			object("(%s) does not say how many decimals", p.label)
		}
		states = append(states, state{a, u, plain(answer, p.boxes[0].decimals) + " " + strings.TrimSuffix(p.boxes[0].unit, " of span")})
	}
	for tag, n := range rows {
		if n == 0 {
			object("%s stands in the table, and nothing asks about it", tag)
		}
	}
	for i, a := range states {
		for j, b := range states {
			if i == j || a.a.p.row.tag != b.a.p.row.tag {
				continue
			}
			if printsNumber(s.parts[j].prompt, a.answer) {
				object("part (%s) prints the answer of part (%s), %s", s.parts[j].label, s.parts[i].label, a.answer)
			}
			if math.Abs(a.u-b.u) < 0.01 && j > i {
				object("parts (%s) and (%s) ask about the same state of %s", s.parts[i].label, s.parts[j].label, a.a.p.row.tag)
			}
		}
	}
}

// printsNumber looks for a number with its unit in a text: 8.03 mA is not in 18.03 mA.
func printsNumber(text, number string) bool {
	for rest := text; ; {
		before, after, found := strings.Cut(rest, number)
		if !found {
			return false
		}
		if before == "" || !strings.ContainsAny(before[len(before)-1:], "0123456789.") {
			return true
		}
		rest = after
	}
}

// plain prints a number as the page would.
func plain(v float64, decimals int) string {
	return strings.Replace(fmt.Sprintf("%.*f", decimals, rounded(v, decimals)), "-", "\u2212", 1)
}

// intro of a reading names its loop and what that measures.
var loopAndService = regexp.MustCompile(`[Ll]oop ([FLPT]D?T-\d+), (.*?)(?:, as found)?\. `)

// printedReadings: the loop is the one that the page describes elsewhere; what
// is put in is that share of its range, and the ring stands where a right
// output would be; needles that are to be read lie inside the scale, and what
// they mean inside the transmitter's limits.
func (s sheet) printedReadings(mine replies, known map[string]loopRow, object func(string, ...any)) {
	m := loopAndService.FindStringSubmatch(s.intro)
	if m == nil || m[1] != s.tag {
		object("the introduction names no loop: %q", s.intro)
		return
	}
	row, ok := known[s.tag]
	if ok && row.measures != m[2] {
		object("%s measures %q, and the introduction says %q", s.tag, row.measures, m[2])
	}
	for _, f := range append(s.stationFaces(), s.faces...) {
		last := len(f.scale.right)
		if f.stop == 0 && f.lever != "Cell" && (f.marks >= last || f.marks <= -last) {
			object("a needle on the last mark of the scale: a reading, or the stop?")
		}
		if f.ring >= 0 && f.ring%5 != 0 {
			object("the ring stands at %d %%, where it does not click", f.ring)
		}
		if (f.lever == "Current" || f.lever == "Voltage") != (f.ring >= 0) {
			object("lever at %s, ring at %d", f.lever, f.ring)
		}
	}
	put := func(printed string, share int, ring int) {
		if !ok {
			return
		}
		p, err := newPicture(row)
		if err != nil {
			object("%v", err)
			return
		}
		v, unit, err := quantity(printed)
		if want := mix(p.inLow, p.inHigh, float64(share)/100); err != nil || unit != p.inUnit || math.Abs(v-want) > 1e-9 {
			object("%d %% of %s is %v %s, and %q is put in", share, row.input, want, p.inUnit, printed)
		}
		right := share
		if p.reverse {
			right = 100 - share
		}
		if ring != right {
			object("%s is %s: at %d %% of its range the ring belongs at %d %%, not %d %%", s.tag, row.action, share, right, ring)
		}
	}
	if len(s.stations) == 0 {
		b, err := s.seeBench()
		if err != nil {
			object("%v", err)
			return
		}
		put(putIn.FindStringSubmatch(s.intro)[1], b.put, b.ring)
		for _, p := range s.parts {
			if task := p.task(); task == "output" || task == "limit output" {
				if box := p.boxes[0]; !inBand(mine[box.id].number, box.unit) {
					object("(%s): no transmitter sends %.3f %s", p.label, mine[box.id].number, box.unit)
				}
			}
		}
		return
	}
	c, err := s.seeCheck()
	if err != nil {
		object("%v", err)
		return
	}
	if !strings.Contains(s.grid, fmt.Sprintf("± %v %%", c.tol)) || !strings.Contains(s.grid, "from \u22125 to +5 % of span") {
		object("the chart to draw in is made for another tolerance: %q", s.grid)
	}
	for i, st := range s.stations {
		put(st.facts["Input"], c.points[i].percent, st.face.ring)
		// With a weak cell what is read is not what flows.
		if o := st.boxes["Output found"]; o != nil && !inBand(mine[o.id].number, "mA") {
			object("at %d %%: no transmitter sends %.3f mA", c.points[i].percent, mine[o.id].number)
		}
		if v := mine[st.boxes["Error found"].id].number; math.Abs(v) > 5 {
			object("at %d %%: an error of %.2f %% does not fit the chart", c.points[i].percent, v)
		}
	}
}

func (s sheet) stationFaces() []seenFace {
	var out []seenFace
	for _, st := range s.stations {
		out = append(out, st.face)
	}
	return out
}

var percentWord = regexp.MustCompile(`\d %( of span| of its span| of its range| of range)?`)

// percentages: each percentage in the words of an exercise says of what.
func (s sheet) percentages(object func(string, ...any)) {
	texts := []string{s.intro}
	for _, p := range s.parts {
		texts = append(texts, p.prompt)
	}
	for _, text := range texts {
		for _, m := range percentWord.FindAllStringSubmatch(text, -1) {
			if m[1] == "" {
				object("a percentage of nothing: %q in %q", m[0], text)
			}
		}
	}
}

// printedPage holds the exercises of a page against each other, each by itself.
// compared is how many readings could be held against a table of their loop.
func printedPage(b *book, sheets []sheet) (objections []string, compared int) {
	known := map[string]loopRow{}
	for _, s := range sheets {
		for _, r := range s.loops {
			if have, ok := known[r.tag]; ok && have != r {
				objections = append(objections, fmt.Sprintf("two tables differ about %s: %v, %v", r.tag, have, r))
			}
			known[r.tag] = r
		}
	}
	for _, s := range sheets {
		where := b.keys[s.num-1].where(b.course)
		for _, o := range s.printed(known) {
			objections = append(objections, where+": "+o)
		}
		if _, ok := known[s.tag]; ok {
			compared++
		}
	}
	return objections, compared
}

// TestPrintedCanFail puts something wrong on a page and sees it found.
func TestPrintedCanFail(t *testing.T) {
	b := newBook(t, shippedCourse(t), 1, 10)
	for _, c := range []struct{ name, old, new string }{
		{"a percentage of nothing", "% of span at most, either way", "% at most, either way"},
		{"another input than the table has", "<dt>Input</dt><dd>12.5\u00a0kPa", "<dt>Input</dt><dd>12\u00a0kPa"},
		{"another service than the table has", "</strong>, level of the starch wash tank", "</strong>, level of the syrup tank"},
		{"a chart with another band", "lines at the tolerance of ± 0.5", "lines at the tolerance of ± 0.6"},
		{"a loop in the table that nothing asks about", `<tr><th scope="row" class="nb">PT-1407`, `<tr><th scope="row" class="nb">PT-1408</th><td>x</td><td>0 to 1 kPa</td><td>0 to 1 kPa</td><td>4–20 mA</td><td>direct-acting</td></tr><tr><th scope="row" class="nb">PT-1407`},
		{"a box about another loop", `">level at LT-2104<`, `">level at LT-2117<`},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := strings.ReplaceAll(b.html, c.old, c.new)
			if page == b.html {
				t.Fatalf("the page holds no %q", c.old)
			}
			sheets, err := readSheets(page)
			if err != nil {
				t.Fatal(err)
			}
			if out, _ := printedPage(b, sheets); len(out) == 0 {
				t.Error("nobody objects")
			}
		})
	}
}

func TestPrintsNumber(t *testing.T) {
	for text, want := range map[string]bool{
		"It sends 8.03 mA.": true, "It sends 18.03 mA.": false, "8.03 mA": true,
		"18.03 mA, then 8.03 mA": true, "nothing": false, "−8.03 mA": true,
	} {
		if got := printsNumber(text, "8.03 mA"); got != want {
			t.Errorf("%q: %v", text, got)
		}
	}
}
