package generator

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/shipped"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// The plant of these tests is made here in Go, so that a mistake in the reader
// and a mistake in a family fail differently. All numbers are invented.

func decimal(s string) formula.Value {
	v, err := formula.ParseDecimal(s)
	if err != nil {
		panic(err)
	}
	return v
}

func span(low, high, symbol string) unit.Range {
	u, ok := unit.Lookup(symbol)
	if !ok {
		panic("no unit " + symbol)
	}
	return unit.Range{Low: decimal(low), High: decimal(high), Unit: u}
}

func testPlant() *scenarios.Plant {
	mk := func(tag string, kind scenarios.Kind, in, shows unit.Range, tolerance, adjust string) *scenarios.Loop {
		return &scenarios.Loop{Tag: tag, Service: "service of " + tag, Kind: kind, Input: in, Shows: shows,
			Action: scenarios.Direct, Signal: signal.Current, Params: loop.Healthy(),
			Tolerance: decimal(tolerance), AdjustAt: decimal(adjust)}
	}
	p := &scenarios.Plant{ID: "test", Name: "Test Works"}
	level := mk("LT-1", scenarios.Level, span("0", "25", "kPa"), span("0", "2.5", "m"), "0.5", "0.5")
	wet := mk("LT-2", scenarios.Level, span("-12", "-2", "kPa"), span("0", "1000", "mm"), "1", "0.5")
	temp := mk("TT-3", scenarios.Temperature, span("50", "250", "°C"), span("50", "250", "°C"), "0.75", "0.5")
	temp.Sensor = scenarios.Pt100
	reverse := mk("LT-4", scenarios.Level, span("0", "30", "kPa"), span("0", "3", "m"), "0.5", "0.5")
	reverse.Action = scenarios.Reverse
	reverse.Params.Transmitter.ReverseActing = true
	flow := mk("FT-5", scenarios.Flow, span("0", "20", "kPa"), span("0", "60", "m3/h"), "0.5", "0.5")
	flow.Root = scenarios.RootReceiver
	rooted := mk("FT-6", scenarios.Flow, span("0", "32", "kPa"), span("0", "150", "m3/h"), "0.5", "0.5")
	rooted.Root = scenarios.RootTransmitter
	volt := mk("PT-7", scenarios.Pressure, span("0", "600", "kPa"), span("0", "600", "kPa"), "0.5", "0.5")
	volt.Signal = signal.Voltage
	pneu := mk("PT-8", scenarios.Pressure, span("-1", "5", "bar"), span("-1", "5", "bar"), "0.5", "0.5")
	pneu.Signal = signal.PneumaticSI
	psi := mk("TT-9", scenarios.Temperature, span("-40", "180", "°F"), span("-40", "180", "°F"), "0.5", "0.5")
	psi.Signal = signal.PneumaticUS
	p.Loops = []*scenarios.Loop{level, wet, temp, reverse, flow, rooted, volt, pneu, psi}
	p.Checker = scenarios.Checker{ID: "NB-1", Params: loop.HealthyChecker(), Face: scenarios.Face{
		Divisions: 10, SmallPerDiv: 5, PerSmallMark: formula.Ratio(1, 10), CellLineSmall: 20, CellPerSmall: formula.Ratio(1, 50)}}
	p.Checker.Accuracy, p.Checker.Due = decimal("0.1"), "2027-03-31"
	p.Outputs = []*scenarios.Output{
		{Tag: "FV-11", Service: "flow of rinse water", Params: loop.HealthyOutput()},
		{Tag: "LV-12", Service: "level of the rinse tank", Params: loop.HealthyOutput()},
	}
	p.Standards = []scenarios.Standard{
		{ID: "gauge-a", Name: "test gauge A", Range: span("0", "100", "kPa"), Accuracy: decimal("0.05"), Due: "2027-01-31"},
		{ID: "gauge-b", Name: "test gauge B", Range: span("0", "1000", "kPa"), Accuracy: decimal("0.1"), Due: "2027-02-28"},
	}
	return p
}

// ownLoops are further loops of the test plant for single families, so that what
// others draw stays as it is.
var ownLoops = map[string][]*scenarios.Loop{
	"temperature-inputs": {{Tag: "TT-10", Service: "service of TT-10", Kind: scenarios.Temperature,
		Input: span("0", "600", "°C"), Shows: span("0", "600", "°C"), Action: scenarios.Direct, Signal: signal.Current,
		Sensor: scenarios.ThermocoupleK, Params: loop.Healthy(), Tolerance: decimal("1"), AdjustAt: decimal("0.5")}},
}

// testCourse has one exercise of every family at every level, with all loops
// that fit.
func testCourse() *scenarios.Course {
	p := testPlant()
	c := &scenarios.Course{ID: "test-course", Plants: []*scenarios.Plant{p}, PassMark: 70}
	for _, f := range families.All() {
		spec := f.Spec()
		for _, level := range spec.Levels {
			e := &scenarios.Exercise{Number: len(c.Exercises) + 1, ID: spec.Name + "-" + level.Name, Title: "Title", Family: spec.Name, Level: level.Name, Plant: p}
			for _, l := range append(p.Loops[:len(p.Loops):len(p.Loops)], ownLoops[spec.Name]...) {
				if spec.Fits == nil {
					continue
				}
				if _, ok := spec.Fits(level.Name, l); ok {
					e.Loops = append(e.Loops, l)
				}
			}
			if spec.MinOutputs > 0 {
				e.Outputs = p.Outputs
			}
			c.Exercises = append(c.Exercises, e)
		}
	}
	return c
}

// draws is how many seeds each family and level is tested over. Under the race
// detector, which costs ten times the time, so few that no share can be held.
func draws() int {
	switch {
	case raceEnabled:
		return 100
	case testing.Short():
		return 1500
	}
	return 12000
}

// courses lists the shipped courses whose forms are drawn in tests: under the
// race detector the first one, where a class takes a minute.
func courses() []string {
	if raceEnabled {
		return []string{shipped.Default}
	}
	return shipped.Names()
}

// few is n, and a tenth of it under the race detector.
func few(n int) int {
	if raceEnabled {
		return n / 10
	}
	return n
}

// TestPromises draws every family at every level and holds promises 1, 2, 3, 4
// and 10 against each item that comes through; it reports the rate of rejects
// and fails where more than half are thrown away.
func TestPromises(t *testing.T) {
	course := testCourse()
	for _, e := range course.Exercises {
		t.Run(e.ID, func(t *testing.T) {
			t.Parallel()
			f := families.Named(e.Family)
			plan, ds := f.Prepare(e)
			for _, d := range ds {
				if d.Severity == "error" {
					t.Fatal(d.Summary)
				}
			}
			tally, good, tried, orders := &Tally{}, 0, 0, 0
			slips := map[string]int{}
			options := choices{}
			faults := map[string]int{}
			seen := map[string]bool{}
			for _, u := range Points(uint64(e.Number), 4*draws()) {
				if good == draws() {
					break
				}
				tried++
				item, err := Try(plan, u)
				if r, ok := err.(exercises.Reject); ok {
					if r == rejectBrokenForm {
						t.Fatalf("u=%d: a malformed item", u)
					}
					tally.note(e.ID, r)
					continue
				} else if err != nil {
					t.Fatal(err)
				}
				tally.note(e.ID, "")
				good++
				holdPromises(t, u, item)
				if good%60 == 1 {
					orders += holdOrders(t, u, item)
				}
				if t.Failed() {
					return
				}
				fingerprint := ""
				faults[item.Key.FaultName]++
				for i, k := range item.Key.Parts {
					for _, s := range k.Slips {
						slips[k.Label+" "+s.ID]++
					}
					for _, a := range k.Answers {
						fingerprint += a.Option + a.Value.Text(4) + " "
						if a.Order != nil {
							fingerprint += fmt.Sprint(a.Order.Steps)
						}
					}
					options.note(item.Sheet.Parts[i], k)
				}
				if !asksNumber(item.Sheet) {
					fingerprint += shows(item.Sheet)
				}
				seen[fingerprint] = true
			}
			if good < draws() {
				t.Errorf("only %d of %d draws came through", good, tried)
			}
			if 2*good < tried {
				t.Errorf("%d of %d draws were thrown away", tried-good, tried)
			}
			if draws() >= 12000 && len(seen) < 1000 {
				t.Errorf("only %d distinct forms in %d draws", len(seen), good)
			}
			r := tally.Report(&scenarios.Course{Exercises: []*scenarios.Exercise{e}})[0]
			t.Logf("%d draws, %.1f %% rejected, %d distinct; %v", tried, 100*float64(tried-good)/float64(tried), len(seen), r.Reasons)
			if orders > 0 {
				t.Logf("%d right orders were marked", orders)
			}
			t.Logf("slips %v", slips)
			t.Logf("right options\n%s", options)
			if raceEnabled {
				return
			}
			options.hold(t, e.Family, good)
			for name, n := range faults {
				if 50*n < good {
					t.Errorf("the fault %q is in %d of %d draws, under 2 %%", name, n, good)
				}
			}
		})
	}
}

// asksNumber says whether some box of a sheet takes a number. Forms of one that
// does differ by their numbers, others by what they show.
func asksNumber(s exercises.Sheet) bool {
	for _, p := range s.Parts {
		for _, b := range p.Boxes {
			if b.Kind == exercises.NumberBox {
				return true
			}
		}
	}
	return false
}

// holdPromises checks one item without asking the code that made it.
func holdPromises(t *testing.T, u uint64, item exercises.Item) {
	t.Helper()
	fail := func(format string, args ...any) {
		t.Errorf("u=%d: %s", u, fmt.Sprintf(format, args...))
	}
	for i, part := range item.Sheet.Parts {
		key := item.Key.Parts[i]
		marks := 0
		for _, c := range key.Credit {
			marks += c.Marks
		}
		if marks != part.Marks || part.Marks < 1 {
			fail("part %s is worth %d marks, its credits %d", part.Label, part.Marks, marks)
		}
		if len(key.Working) == 0 {
			fail("part %s has no working", part.Label)
		}
		// Promise 1: a printed result is the answer.
		for j, a := range key.Answers {
			box := part.Boxes[j]
			if box.Kind != exercises.NumberBox || a.Stop {
				continue
			}
			lines := a.Def.Lines(a.Env)
			want := formula.WithUnit(a.Value.Text(box.Decimals), box.Unit)
			if last := lines[len(lines)-1]; len(last) < len(want) || last[len(last)-len(want):] != want {
				fail("part %s: working ends in %q, the answer is %q", part.Label, last, want)
			}
			// Promise 10: every number has its unit, a percentage says of what.
			if box.Unit == "" || box.Unit == "%" && box.Of == "" {
				fail("box %s has no unit or does not say of what", box.ID)
			}
			// Promise 4: the givens of the key are what is printed, so they
			// are exact decimals of their printed places.
			for _, b := range a.Env {
				if k, exact := b.V.Places(b.Decimals); !exact || k > b.Decimals {
					fail("box %s: %s is not what is printed with %d decimals", box.ID, b.Sym, b.Decimals)
				}
			}
			if !a.Value.Defined() || math.Abs(a.Value.Float64()) > 1e6 {
				fail("box %s: answer %v", box.ID, a.Value)
			}
		}
		// Promise 3, in floating point and pair by pair.
		numeric := false
		for j, b := range part.Boxes {
			numeric = numeric || b.Kind == exercises.NumberBox && !key.Answers[j].Stop
		}
		if numeric && len(key.Slips) < 3 {
			fail("part %s has %d slips", part.Label, len(key.Slips))
		}
		all := [][]string{written(part, key, nil)}
		for k := range key.Slips {
			all = append(all, written(part, key, &key.Slips[k]))
		}
		for x := range all {
			for y := range x {
				if !told(all[x], all[y], key) {
					fail("part %s: slips or key %d and %d cannot be told apart: %v %v", part.Label, x, y, all[x], all[y])
				}
			}
		}
	}
}

func written(part exercises.Part, key exercises.PartKey, s *exercises.Slip) []string {
	var out []string
	for i, box := range part.Boxes {
		a := key.Answers[i]
		order := []string(nil)
		if a.Order != nil {
			order = a.Order.Steps
		}
		v := one(box, a.Option, a.Value, order, a.Stop)
		if s != nil {
			for _, sa := range s.Answers {
				if sa.Box == box.ID {
					v = one(box, sa.Option, sa.Value, sa.Order, sa.Stop)
				}
			}
		}
		out = append(out, v)
	}
	return out
}

// one is an answer as text to compare.
func one(box exercises.Box, option string, v formula.Value, order []string, stop bool) string {
	switch {
	case stop:
		return "on its stop"
	case box.Kind == exercises.NumberBox:
		return fmt.Sprint(v.Float64())
	case box.Kind == exercises.OrderBox:
		return strings.Join(order, " > ")
	}
	return option
}

func told(a, b []string, key exercises.PartKey) bool {
	for i := range a {
		var x, y float64
		n, _ := fmt.Sscan(a[i], &x)
		m, _ := fmt.Sscan(b[i], &y)
		if n == 1 && m == 1 && key.Answers[i].Option == "" {
			if math.Abs(x-y) > 2*key.Answers[i].Tolerance.Float64()+1e-12 {
				return true
			}
		} else if a[i] != b[i] {
			return true
		}
	}
	return false
}

// TestTallyAdds checks that two tallies add up.
func TestTallyAdds(t *testing.T) {
	var a, b Tally
	a.note("x", "")
	b.note("x", RejectEdge)
	b.note("x", "")
	a.Add(&b)
	r := a.Report(&scenarios.Course{Exercises: []*scenarios.Exercise{{ID: "x"}}})[0]
	if r.Draws != 3 || r.Rejected() != 1 {
		t.Errorf("got %+v", r)
	}
}
