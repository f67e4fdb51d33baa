package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The road of "write it up": each reading is turned into volts over 250 ohm and
// held against the volts that its input belongs to, found from the ends of the
// range; days are counted by a running number of days; what was counted wrongly
// is what was counted less what flowed. The record is held against the notebook
// entry by entry, and exactly one may fail.
var writeRoad = &road{
	family: "write-it-up",
	knows:  func(s sheet) bool { return strings.Contains(s.intro, "in the technician's notebook") },
	task:   func(p part) string { return p.writeTask() },
	slips:  map[string]apprentice{},
}

func init() {
	writeRoad.work = sheet.workRecord
	writeSlips(writeRoad.slips)
	roads = append(roads, writeRoad)
}

// writePlant gives the wide plant due dates, standards, and flows that run
// straight with their signal.
var writePlant = strings.Replace(widePlant, "checker: {id: NB-7}", `checker: {id: NB-7, due: 2029-03-03}
standards:
  - {id: low, name: water gauge, range: -60..60 kPa, accuracy: 0.05 %span, due: 2029-01-15}
  - {id: high, name: test gauge of the stores, range: -100..700 kPa, accuracy: 0.1 %span, due: 2028-12-31}
`, 1) + `  - {tag: FT-331, service: flow of the bitterns, kind: flow, input: 0..36 m3/h, tolerance: 0.8 %span, adjust_at: 0.4 %span}
  - {tag: FT-332, service: flow of the vapour, kind: flow, input: 0..40 kPa, shows: 0..12.5 t/h, root: transmitter, tolerance: 1 %span, adjust_at: 0.6 %span}
`

func TestWriteItUp(t *testing.T) { writeRoad.travel(t, plantFiles(writeRoad.family, writePlant, 2)) }

// TestWriteItUpCanFail spoils what stands on a page and sees the road object.
func TestWriteItUpCanFail(t *testing.T) {
	c, err := prepare("write-it-up", plantFiles(writeRoad.family, writePlant, 2))
	if err != nil {
		t.Fatal(err)
	}
	b := newBook(t, c, 1, 6)
	if err := workAll(b.html, b); err != nil {
		t.Fatalf("the page as it is: %v", err)
	}
	for _, c := range []struct{ name, old, new string }{
		{"another right output", "8.000\u00a0mA</td>", "8.001\u00a0mA</td>"},
		{"another tolerance", "may be off by ±", "may be off by ± 1"},
		{"another last good check", `<td>on <span class="nb">2028-`, `<td>on <span class="nb">2027-`},
		{"a second entry that cannot stand", "initials ", "no initials "},
		{"a signature by another", `R. K., <span class="nb">20`, `X. Y., <span class="nb">20`},
		{"a percentage of nothing", `% of span</span>`, `%</span>`},
	} {
		t.Run(c.name, func(t *testing.T) {
			page := strings.ReplaceAll(b.html, c.old, c.new)
			if page == b.html {
				t.Fatalf("the page holds no %q", c.old)
			}
			if err := workAll(page, b); err == nil {
				t.Error("nobody objects")
			}
		})
	}
}

func (p part) writeTask() string {
	for _, c := range []struct{ words, task string }{
		{"Fill in the errors", "errors"},
		{"How large is the largest error as found?", "worst"},
		{"How large is the largest error as left?", "worst-left"},
		{"How large is the hysteresis", "hysteresis"},
		{"What goes into the record as the verdict", "verdict"},
		{"By the site's rules, what did the readings", "call"},
		{"One entry of the colleague's record", "entry"},
		{"How many days is it from", "days"},
		{"By these readings, how much was counted wrongly", "quantity"},
		{"Write the remark for the record", "remark"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// jotted is what the page of a record says.
type jotted struct {
	tol, adj         float64
	right            []float64            // mA
	runs             map[string][]float64 // mA, by the head of the column
	notes, record    map[string]string
	order            []string // heads of the error columns: "found", "left", "rising", "falling"
	done, good, from string   // days
	dues             []string
	at, flow         float64
}

var (
	offAtMost  = regexp.MustCompile(`may be off by ± (\S+) % of span at most`)
	adjustWhen = regexp.MustCompile(`largest error as found is more than (\S+) % of span`)
	aDay       = regexp.MustCompile(`\d{4}-\d\d-\d\d`)
	dueOn      = regexp.MustCompile(`due (\d{4}-\d\d-\d\d)$`)
	serialOf   = regexp.MustCompile(`^(.*), serial number (\d+), due`)
	ranAt      = regexp.MustCompile(`^at (\d+) % of the flow's span, steadily`)
	struckOut  = regexp.MustCompile(`^as left at (.*): (\S+) mA struck out, (\S+) mA written beside it, (.*)$`)
)

func said(t seenTable) map[string]string {
	out := map[string]string{}
	for _, r := range t.rows {
		out[r[0]] = r[1]
	}
	return out
}

func (s sheet) seeRecord() (*jotted, error) {
	j := &jotted{runs: map[string][]float64{}}
	one := func(re *regexp.Regexp, text string, to *float64) error {
		m := re.FindStringSubmatch(text)
		if m == nil {
			return fmt.Errorf("%q does not say %v", text, re)
		}
		var err error
		*to, err = number(m[1])
		return err
	}
	intro := s.intro
	if err := one(offAtMost, intro, &j.tol); err != nil {
		return nil, err
	}
	if strings.Contains(intro, "The site adjusts") {
		if err := one(adjustWhen, intro, &j.adj); err != nil {
			return nil, err
		}
	}
	if len(s.tables) == 0 || len(s.tables) > 2 {
		return nil, fmt.Errorf("%d tables", len(s.tables))
	}
	j.notes = said(s.tables[0])
	if len(s.tables) == 2 {
		j.record = said(s.tables[1])
	}
	j.done, j.good = aDay.FindString(j.notes["Day of this check"]), aDay.FindString(j.notes["Last good check"])
	j.from = aDay.FindString(j.notes["Work order"])
	for _, name := range []string{"Input given with", "Output read on"} {
		if m := dueOn.FindStringSubmatch(j.notes[name]); m != nil {
			j.dues = append(j.dues, m[1])
		}
	}
	if j.done == "" || j.good == "" || j.from == "" || len(j.dues) == 0 || !(j.good < j.from && j.from < j.done) {
		return nil, fmt.Errorf("days that are missing or in no order: %v", j.notes)
	}
	if text := j.notes["The line ran"]; text != "" {
		if err := one(ranAt, text, &j.at); err != nil {
			return nil, err
		}
		low, high, _, err := interval(strings.TrimPrefix(j.notes["Flow at 4 mA and at 20 mA"], "from "))
		if err != nil {
			return nil, err
		}
		j.flow = high - low
	}
	return j, j.seeReadings(s.parts[0].table)
}

// seeReadings reads the table and sees that its right outputs belong to its
// inputs: straight, the other way round, or by the square.
func (j *jotted) seeReadings(t seenTable) error {
	var inputs []float64
	for _, r := range t.rows {
		in, _, err := quantity(r[0])
		if err != nil {
			return err
		}
		out, unit, err := quantity(r[1])
		if err != nil || unit != "mA" {
			return fmt.Errorf("a right output of %q", r[1])
		}
		inputs, j.right = append(inputs, in), append(j.right, out)
		for k, head := range t.heads[2:] {
			name, unit, _ := strings.Cut(head, " mA")
			if name == head {
				continue // a column of boxes
			}
			if unit != "" {
				return fmt.Errorf("a column headed %q", head)
			}
			if r[k+2] == "–" {
				continue
			}
			v, err := number(r[k+2])
			if err != nil {
				return err
			}
			j.runs[name] = append(j.runs[name], v)
		}
	}
	if len(inputs) != 5 {
		return fmt.Errorf("%d points", len(inputs))
	}
	fits := func(share func(u float64) float64) bool {
		for i, in := range inputs {
			u := (in - inputs[0]) / (inputs[4] - inputs[0])
			if math.Abs(j.right[i]*250/1000-mix(1, 5, share(u))) > 1e-6 {
				return false
			}
		}
		return true
	}
	if !fits(func(u float64) float64 { return u }) && !fits(func(u float64) float64 { return 1 - u }) && !fits(math.Sqrt) {
		return fmt.Errorf("right outputs %v do not belong to inputs %v", j.right, inputs)
	}
	for _, head := range t.heads {
		for words, run := range map[string]string{"Error as found % of span": "As found", "Error as left % of span": "As left",
			"Error, rising % of span": "As found, rising", "Error, falling % of span": "As found, falling"} {
			if head == words {
				j.order = append(j.order, run)
			}
		}
	}
	return nil
}

// errors are those of a run, in percent of the 4 V between 1 V and 5 V, as they
// are written down.
func (j *jotted) errors(run string) []float64 {
	var out []float64
	for i, v := range j.runs[run] {
		out = append(out, rounded((v*0.25-j.right[i]*0.25)*25, 2))
	}
	return out
}

func (j *jotted) found() []float64 {
	if up := j.errors("As found, rising"); up != nil {
		return append(up, j.errors("As found, falling")...)
	}
	return j.errors("As found")
}

func farthest(errors []float64) float64 {
	most := 0.0
	for _, e := range errors {
		most = math.Max(most, math.Abs(e))
	}
	return most
}

// dayNumber is a running number of days: 365 a year, and the leap days before.
func dayNumber(text string) int {
	var y, m, d int
	fmt.Sscanf(text, "%d-%d-%d", &y, &m, &d)
	// March begins the year, so that a leap day is its last.
	if m -= 2; m <= 0 {
		m, y = m+12, y-1
	}
	return y/4 - y/100 + y/400 + 367*m/12 + d + y*365
}

func (j *jotted) days() float64 { return float64(dayNumber(j.done) - dayNumber(j.good)) }

// gaps are how far the falling run lies above the rising one.
func (j *jotted) gaps() []float64 {
	up, down := j.errors("As found, rising"), j.errors("As found, falling")
	var out []float64
	for i := range down {
		out = append(out, down[i]-up[i])
	}
	return out
}

func (j *jotted) place() int { return int(j.at / 25) }

// miscounted is what was counted less what flowed, with the output off by so
// much.
func (j *jotted) miscounted(off float64) float64 {
	hours := 24 * j.days()
	return j.flow*(j.at+off)/100*hours - j.flow*j.at/100*hours
}

func (j *jotted) meanThere() float64 {
	return (j.errors("As found, rising")[j.place()] + j.errors("As found, falling")[j.place()]) / 2
}

const (
	isInside, isOutside, isVoid = "inside its tolerance", "outside its tolerance", "none: the readings do not count"
	toLeave                     = "to record them and leave the transmitter alone"
	toTurn                      = "to record them, adjust, and record as left"
	toAdjust                    = "to record them, adjust, and record as left; nothing to report back about"
	toReport                    = "to record them, adjust, record as left, and report back"
)

// byFigures is the verdict of a size, by the figures alone.
func (j *jotted) byFigures(size float64) string {
	if size <= j.tol+1e-9 { // a mean may lie on it
		return isInside
	}
	return isOutside
}

func (j *jotted) verdict() string {
	for _, due := range j.dues {
		if due < j.done {
			return isVoid
		}
	}
	return j.byFigures(farthest(j.found()))
}

// calls is what the site's rules call for; easy pages know nothing of reports.
func (j *jotted) calls(p part, size float64) string {
	switch {
	case size <= j.adj:
		return toLeave
	case p.wordsAre(toTurn):
		return toTurn
	case size <= j.tol:
		return toAdjust
	}
	return toReport
}

func (p part) wordsAre(text string) bool {
	return slices.ContainsFunc(p.boxes[0].options, func(o option) bool { return o.text == text })
}

var flaws = map[string]string{
	"overwritten": "the readings as found are not what was found",
	"no-serial":   "it cannot be told which standard was used",
	"past-due":    "the standard was used after its due date",
	"verdict":     "the verdict as left does not follow",
	"no-unit":     "there are readings without their unit",
	"no-initials": "a correction is not initialled by anybody",
}

// flaw holds the record against the notebook.
func (j *jotted) flaw() (string, error) {
	var out []string
	r := j.record
	standard := j.notes["Input given with"]
	if standard == "" {
		standard = j.notes["Output read on"]
	}
	m := serialOf.FindStringSubmatch(standard)
	if m == nil {
		return "", fmt.Errorf("no standard in %v", j.notes)
	}
	for name, want := range map[string]string{
		"Serial number of the transmitter": j.notes["Serial number of the transmitter"], "Day of this check": "on " + j.done,
		"Standard": m[1], "Standard, due": "on " + dueOn.FindStringSubmatch(standard)[1], "Signed": j.notes["Done by"] + ", " + j.done,
	} {
		if r[name] != want {
			return "", fmt.Errorf("%s is %q in the record, %q in the notebook", name, r[name], want)
		}
	}
	if reads := r["Output read on"]; reads != "" && reads != j.notes["Output read on"] {
		return "", fmt.Errorf("read on %q and on %q", reads, j.notes["Output read on"])
	}
	switch r["Serial number of the standard"] {
	case "No. " + m[2]:
	case "(left empty)":
		out = append(out, "no-serial")
	default:
		return "", fmt.Errorf("a standard of another number, %q", r["Serial number of the standard"])
	}
	if strings.TrimPrefix(r["Standard, due"], "on ") < j.done {
		out = append(out, "past-due")
	}
	for _, row := range []struct{ name, run string }{{"Readings as found, first point to last", "As found"}, {"Readings as left, first point to last", "As left"}} {
		_, list, _ := strings.Cut(r[row.name], ": ")
		if strings.Count(list, " mA") == 0 {
			out = append(out, "no-unit")
		} else if strings.Count(list, " mA") != 5 {
			return "", fmt.Errorf("units here and there: %q", list)
		}
		var all []float64
		for _, f := range strings.Split(list, ", ") {
			v, err := number(strings.TrimSuffix(f, " mA"))
			if err != nil {
				return "", err
			}
			all = append(all, v)
		}
		if !slices.Equal(all, j.runs[row.run]) {
			if row.run != "As found" || !slices.Equal(all, j.runs["As left"]) {
				return "", fmt.Errorf("%s is %v, read was %v", row.name, all, j.runs[row.run])
			}
			out = append(out, "overwritten")
		}
	}
	c := struckOut.FindStringSubmatch(r["Corrections"])
	if c == nil {
		return "", fmt.Errorf("a correction %q", r["Corrections"])
	}
	if v, err := number(c[3]); err != nil || !slices.Contains(j.runs["As left"], v) || c[2] == c[3] {
		return "", fmt.Errorf("corrected to %q, which was not read", c[3])
	}
	switch c[4] {
	case "initials " + j.notes["Done by"]:
	case "no initials":
		out = append(out, "no-initials")
	default:
		return "", fmt.Errorf("a correction by %q", c[4])
	}
	verdict, limit, _ := strings.Cut(r["Verdict as left"], " ± ")
	if limit != fmt.Sprintf("%v %% of span", j.tol) || verdict != "inside" && verdict != "outside" {
		return "", fmt.Errorf("a verdict as left of %q", r["Verdict as left"])
	}
	if (verdict == "inside") != (farthest(j.errors("As left")) <= j.tol) {
		out = append(out, "verdict")
	}
	if len(out) != 1 {
		return "", fmt.Errorf("%d entries cannot stand: %v", len(out), out)
	}
	return flaws[out[0]], nil
}

// fill answers the boxes of the table.
func (j *jotted) fill(p part, value func(run string, i int) float64) replies {
	out := replies{}
	k := 0
	for _, run := range j.order {
		for i := range j.runs[run] {
			// Boxes stand row by row; their ids count run by run.
			out[fmt.Sprintf("%s.%d", p.label, k+1)] = reply{number: value(run, i)}
			k++
		}
	}
	return out
}

func (s sheet) workRecord() (replies, error) {
	j, err := s.seeRecord()
	if err != nil {
		return nil, err
	}
	mine := replies{}
	for _, p := range s.parts {
		id := p.boxes[0].id
		chosen := ""
		switch p.writeTask() {
		case "errors":
			for k, r := range j.fill(p, func(run string, i int) float64 { return j.errors(run)[i] }) {
				mine[k] = r
			}
			if len(mine) != len(p.boxes) {
				return nil, fmt.Errorf("%d errors for %d boxes", len(mine), len(p.boxes))
			}
		case "worst":
			mine[id] = reply{number: farthest(j.found())}
		case "worst-left":
			mine[id] = reply{number: farthest(j.errors("As left"))}
		case "hysteresis":
			mine[id] = reply{number: farthest(j.gaps())}
		case "days":
			mine[id] = reply{number: j.days()}
		case "quantity":
			mine[id] = reply{number: j.miscounted(j.meanThere())}
		case "remark":
			if !p.boxes[0].judged {
				return nil, fmt.Errorf("nowhere to write the remark")
			}
		case "verdict":
			chosen = j.verdict()
		case "call":
			chosen = j.calls(p, farthest(j.found()))
		case "entry":
			if chosen, err = j.flaw(); err != nil {
				return nil, err
			}
		default:
			return nil, fmt.Errorf("nobody knows the question %q", p.prompt)
		}
		if chosen != "" {
			r, err := p.choose(chosen)
			if err != nil {
				return nil, err
			}
			mine[id] = r
		}
	}
	return mine, nil
}
