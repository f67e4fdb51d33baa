package main

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/shipped"
	"loopdrill/scenarios/unit"
)

const measureHelp = `Show what checker, receiver and voltmeter read on a loop, sound or with a fault.

Usage:
  loopdrill measure LOOP [OPTIONS]
  loopdrill measure --faults [--json]

LOOP is the tag of a loop with a current, such as LT-2104. The needle is read
with the trigger held, everything else with the trigger released; each reading
is rounded as its instrument shows it.

Loop:
  --course COURSE      a course folder, or the name of a shipped course
                       (default: live-zero-basics)
  --fault NAME[=SIZE]  what is wrong with it. SIZE is a number, in the unit of the
                       fault or with a unit of its own: low-zero=0.8,
                       "corroded-terminal=1.2 kohm"; two sizes have a comma
                       between: zero-and-span=-1.2,0.6. Left out, one from the
                       middle of the range is taken, and named. Some pairs of
                       faults can be given together, by a second --fault.
  --faults             list all faults: sizes, what they do and show, remedy, cautions

Reading:
  --points LIST        percent of the input, -25 to 125 (default: 0,25,50,75,100)
  --falling            the points are approached from above
  --checker PLACE      series: in series at the transmitter (default)
                       room: in series at the receiver
                       across: voltage terminals across the receiver
                       none: only a voltmeter and a milliammeter are at hand
  --rest MARKS         where the needle rests with the trigger released, in small
                       marks right of the centre, negative to the left (default 0)

Output:
  --json               for a machine: every reading rounded and unrounded
  -h, --help           this text

Example:
  $ loopdrill measure LT-2104 --fault low-zero=0.8 --points 0,50,100
`

// The points that can be measured, percent of the input.
const (
	lowestPoint, highestPoint = -25, 125
	mostPoints                = 200
)

// checkerPlaces are the words of --checker.
var checkerPlaces = []struct {
	name  string
	place loop.Place
}{
	{"series", loop.SeriesField},
	{"room", loop.SeriesRoom},
	{"across", loop.AcrossReceiver},
	{"none", loop.NotConnected},
}

// measurement is a loop with what is wrong in it, and what was read there.
type measurement struct {
	course  *scenarios.Course
	plant   *scenarios.Plant
	loop    *scenarios.Loop
	faults  []inserted
	points  []formula.Value // percent
	falling bool
	params  loop.Params // with the faults in it
	rows    []loop.Measured
	notes   []string
}

func (a app) runMeasure(args []string) int {
	flags := newFlags("measure")
	course := flags.String("course", shipped.Default, "")
	faults := flags.StringArray("fault", nil, "")
	list := flags.Bool("faults", false, "")
	points := flags.String("points", "", "")
	falling := flags.Bool("falling", false, "")
	checker := flags.String("checker", "series", "")
	rest := flags.Int("rest", 0, "")
	asJSON := flags.Bool("json", false, "")
	if code, done := a.parseFlags(flags, args, measureHelp); done {
		return code
	}
	wrong := func(err error) int {
		var m *unit.Mistake
		if errors.As(err, &m) {
			return a.wrongUsage("measure", m.What, m.Hint)
		}
		return a.wrongUsage("measure", err.Error())
	}
	if *list {
		if flags.NArg() > 0 || len(*faults) > 0 {
			return a.wrongUsage("measure", "--faults lists the faults and measures nothing", "leave LOOP and --fault out")
		}
		return a.print(listFaults(*asJSON))
	}
	place := slices.IndexFunc(checkerPlaces, func(p struct {
		name  string
		place loop.Place
	}) bool {
		return p.name == *checker
	})
	switch {
	case flags.NArg() == 0:
		return a.wrongUsage("measure", "no LOOP is named", "give the tag of a loop, such as LT-2104")
	case flags.NArg() > 1:
		return a.wrongUsage("measure", fmt.Sprintf("there is one LOOP to measure, not %d", flags.NArg()), "put a fault's size with its unit into quotes, and points without blanks")
	case place < 0:
		names := []string{"series", "room", "across", "none"}
		return a.wrongUsage("measure", fmt.Sprintf("--checker is %q, it must be series, room, across or none", *checker), diag.Hint(*checker, "places", names))
	}

	m := measurement{falling: *falling}
	var err error
	if m.points, err = parsePoints(*points, *falling); err != nil {
		return wrong(err)
	}
	if m.faults, err = parseFaults(*faults); err != nil {
		return wrong(err)
	}
	c, code := a.readCourse("measure", *course)
	if c == nil {
		return code
	}
	m.course = c
	if err := m.find(flags.Arg(0)); err != nil {
		return wrong(err)
	}
	if err := m.arrange(checkerPlaces[place].place, flags.Changed("checker"), *rest); err != nil {
		return wrong(err)
	}
	if err := m.take(); err != nil {
		return wrong(err)
	}
	if *asJSON {
		return a.print(m.json())
	}
	if code := a.print(m.text()); code != exitFine {
		return code
	}
	for _, n := range m.notes {
		fmt.Fprintf(a.Stderr, "note: %s\n", n)
	}
	return exitFine
}

// readCourse reads a course for a command that only looks at it, and reports
// its errors; warnings are the business of build and check.
func (a app) readCourse(command, name string) (*scenarios.Course, int) {
	fsys, err := openCourse(name)
	if err != nil {
		return nil, a.failed(command, err)
	}
	course, ds := scenarios.ReadCourse(fsys, families.Vocabulary())
	if course == nil {
		if err := diag.Write(a.Stderr, diag.From(fsys), ds, a.colour()); err != nil {
			return nil, exitIO
		}
		errs, _ := diag.Count(ds)
		a.complain(command, fmt.Sprintf("%s: %s", name, plural(errs, "error")))
		return nil, exitFaults
	}
	return course, exitFine
}

// parsePoints reads "0,25,50". Nothing gives the five points of a check, from
// above where the run falls.
func parsePoints(s string, falling bool) ([]formula.Value, error) {
	if s == "" {
		s = "0,25,50,75,100"
		if falling {
			s = "100,75,50,25,0"
		}
	}
	var out []formula.Value
	for _, word := range strings.Split(s, ",") {
		q, err := unit.Parse(word)
		if err != nil {
			var m *unit.Mistake
			if errors.As(err, &m) {
				m.What, m.Hint = "--points: "+m.What, "give percentages with commas between, such as 0,25,50"
			}
			return nil, err
		}
		if d := q.Unit.Dimension; d != unit.Number && d != unit.Percent && d != unit.PercentOfSpan {
			return nil, &unit.Mistake{What: fmt.Sprintf("--points: %s is a %s, points are percent of the input", q, d), Hint: "loopdrill convert turns a value into percent"}
		}
		if x := q.V.Float64(); !(x >= lowestPoint && x <= highestPoint) {
			return nil, &unit.Mistake{What: fmt.Sprintf("--points: %s is outside %d to %d %%", q, lowestPoint, highestPoint)}
		}
		if out = append(out, q.V); len(out) > mostPoints {
			return nil, &unit.Mistake{What: fmt.Sprintf("--points: more than %d points", mostPoints)}
		}
	}
	return out, nil
}

// find looks the loop up by its tag, in capitals or not.
func (m *measurement) find(tag string) error {
	var tags []string
	for _, p := range m.course.Plants {
		for _, l := range p.Loops {
			if strings.EqualFold(l.Tag, tag) {
				if l.Signal.Unit != "mA" {
					return &unit.Mistake{What: fmt.Sprintf("%s has the signal %s: there is no current loop to measure", l.Tag, l.Signal.Name),
						Hint: "loops with a current: " + strings.Join(m.currentLoops(), ", ")}
				}
				m.plant, m.loop = p, l
				return nil
			}
			tags = append(tags, l.Tag)
		}
	}
	return &unit.Mistake{What: fmt.Sprintf("the course %s has no loop %q", m.course.ID, tag), Hint: diag.Hint(tag, "loops", tags)}
}

func (m *measurement) currentLoops() []string {
	var tags []string
	for _, p := range m.course.Plants {
		for _, l := range p.Loops {
			if l.Signal.Unit == "mA" {
				tags = append(tags, l.Tag)
			}
		}
	}
	return tags
}

// arrange puts the checker and the faults into the loop.
func (m *measurement) arrange(place loop.Place, placeGiven bool, rest int) error {
	p := m.loop.Params
	c := &p.Checker
	c.Place = place
	stop := int(math.Round(c.StopDivision / c.MarkDivision))
	switch {
	case rest < -stop || rest > stop:
		return &unit.Mistake{What: fmt.Sprintf("--rest is %d, the needle of %s can rest at -%d to %d small marks", rest, m.plant.Checker.ID, stop, stop)}
	case rest != 0 && place == loop.NotConnected:
		return &unit.Mistake{What: "--rest is of the checker's needle, and --checker none puts no checker in"}
	}
	c.RestDivision = float64(rest) * c.MarkDivision
	for _, x := range m.faults {
		if err := m.suits(x.fault, place, placeGiven, rest); err != nil {
			return err
		}
		var err error
		if p, err = x.fault.Apply(p, x.values()...); err != nil {
			return err
		}
	}
	// A transmitter on a falling run is no fault; it is set behind the faults
	// because a hysteresis has no side of its own.
	p.Transmitter.Falling = m.falling
	if err := p.Validate(); err != nil {
		return &unit.Mistake{What: fmt.Sprintf("%s of this size cannot be in %s: %s", m.faultNames(), m.loop.Tag, strings.ReplaceAll(err.Error(), "\n", "; "))}
	}
	m.params = p
	return nil
}

// suits says why a fault cannot be in this loop, as it is set up.
func (m *measurement) suits(f loop.Fault, place loop.Place, placeGiven bool, rest int) error {
	parts := append([]string{f.Name}, f.Parts...)
	has := func(name string) bool { return slices.Contains(parts, name) }
	const across = "current-terminals-across-receiver"
	switch {
	case !f.OnInput():
		return &unit.Mistake{What: fmt.Sprintf("%s belongs to an output loop, from a controller to a valve; %s is an input loop", f.Name, m.loop.Tag),
			Hint: fmt.Sprintf("%s has no output loop yet; faults of input loops: loopdrill measure --faults", m.plant.Name)}
	case has(across) && placeGiven:
		return &unit.Mistake{What: fmt.Sprintf("%s says itself where the checker is put in", across), Hint: "leave --checker out"}
	case place == loop.NotConnected && involves(f, loop.GroupChecker):
		return &unit.Mistake{What: fmt.Sprintf("%s is a fault of the checker or its use, and --checker none puts none in", f.Name)}
	case has("mechanical-zero-off") && rest != 0:
		return &unit.Mistake{What: "--rest and the fault mechanical-zero-off say the same thing", Hint: "give one of them"}
	case m.loop.Root == scenarios.RootTransmitter && sensed(f):
		return &unit.Mistake{What: fmt.Sprintf("%s is a fault before the square root that %s takes, and only faults behind it are worked out", f.Name, m.loop.Tag),
			Hint: "take a loop without a root, or with the root in the receiver"}
	}
	return nil
}

// involves says whether a fault, or one of a pair, sits in a group.
func involves(f loop.Fault, g loop.Group) bool {
	if f.Group == g {
		return true
	}
	for _, name := range f.Parts {
		if p, ok := loop.FaultNamed(name); ok && p.Group == g {
			return true
		}
	}
	return false
}

// sensed says whether a fault acts on what the transmitter senses.
func sensed(f loop.Fault) bool {
	if involves(f, loop.GroupSensing) {
		return true
	}
	return slices.ContainsFunc(f.Sizes, func(s loop.Size) bool { return strings.Contains(s.Unit, "input span") })
}

func (m *measurement) faultNames() string {
	var names []string
	for _, x := range m.faults {
		names = append(names, x.fault.Name)
	}
	return strings.Join(names, " and ")
}

// take reads the instruments.
func (m *measurement) take() error {
	var xs []float64
	for _, x := range m.points {
		if m.loop.Root == scenarios.RootTransmitter && x.Sign() < 0 {
			return &unit.Mistake{What: fmt.Sprintf("--points: %s takes the square root, and there is none below 0 %%", m.loop.Tag)}
		}
		xs = append(xs, x.Div(formula.Int(100)).Float64())
	}
	rows, err := m.params.Measure(xs...)
	if err != nil {
		return err
	}
	m.rows = rows
	note := func(format string, args ...any) { m.notes = append(m.notes, fmt.Sprintf(format, args...)) }
	if m.loop.Root == scenarios.RootTransmitter {
		note("%s takes the square root itself: its points are percent of the flow, and the input stands beside them", m.loop.Tag)
	}
	if m.params.Checker.Place != loop.NotConnected {
		var off []string
		for _, x := range m.points {
			n, err := x.Div(formula.Int(5)).Round(0)
			if err != nil || !formula.Int(n*5).Equal(x) || x.Sign() < 0 || n > 20 {
				off = append(off, plainPercent(x))
			}
		}
		if len(off) > 0 {
			note("the ring clicks every 5 %% from 0 to 100 %%; at %s the needle is what a ring set there (or at the end) would show", strings.Join(off, ", "))
		}
	}
	for i := range rows {
		if !rows[i].Clear() {
			note("at %s a reading lies in the middle between two steps of its instrument; either of them may be seen", plainPercent(m.points[i]))
		}
	}
	return nil
}

func plainPercent(x formula.Value) string {
	k, _ := x.Places(6)
	return formula.WithUnit(x.Text(k), "%")
}
