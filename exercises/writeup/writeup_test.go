package writeup

import (
	"math"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/calendar"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// TestDaysByMonths counts days by months as the lesson does.
func TestDaysByMonths(t *testing.T) {
	for _, row := range []struct {
		name, from, to string
		want           int // counted on a printed calendar, by hand
	}{
		{"over the end of the year", "2026-11-12", "2027-02-09", 89},
		{"over a leap day", "2028-01-23", "2028-04-12", 80},
		{"no leap day in 2027", "2027-01-23", "2027-04-12", 79},
		{"from month to month", "2027-04-30", "2027-05-01", 1},
		{"a whole year", "2027-06-15", "2028-06-15", 366},
	} {
		t.Run(row.name, func(t *testing.T) {
			from, ok1 := calendar.Parse(row.from)
			to, ok2 := calendar.Parse(row.to)
			if !ok1 || !ok2 || from.String() != row.from || to.String() != row.to {
				t.Fatalf("read as %v and %v", from, to)
			}
			c := count(from, to)
			if got := c.length - c.first + c.between + c.last; got != row.want || to.Number()-from.Number() != row.want {
				t.Errorf("%d by months, %d by the running number, want %d", got, to.Number()-from.Number(), row.want)
			}
		})
	}
	// By months and by the running number it is the same for any two days in
	// different months.
	start, _ := calendar.Parse("2026-12-25")
	for i := range 800 {
		from := start.Add(i)
		for apart := 31; apart < 420; apart += 13 {
			to := from.Add(apart)
			c := count(from, to)
			if got := c.length - c.first + c.between + c.last; got != apart {
				t.Fatalf("%v to %v: %d by months, %d by the running number", from, to, got, apart)
			}
		}
	}
	if _, ok := calendar.Parse("2027-02-29"); ok {
		t.Error("2027 has no 29 February")
	}
}

func rangeOf(low, high int64, symbol string) unit.Range {
	return unit.Range{Low: formula.Int(low), High: formula.Int(high), Unit: unit.Must(symbol)}
}

func flowLoop() *scenarios.Loop {
	return &scenarios.Loop{Tag: "FT-1", Kind: scenarios.Flow, Input: rangeOf(0, 20, "kPa"), Shows: rangeOf(0, 60, "m3/h"),
		Root: scenarios.RootTransmitter, Action: scenarios.Direct, Signal: signal.Current, Params: loop.Healthy(),
		Tolerance: formula.Ratio(1, 2), AdjustAt: formula.Ratio(1, 2)}
}

// TestFits refuses the loops that the family cannot ask about, and says why.
func TestFits(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(l *scenarios.Loop)
		level  string
		why    string // empty: it fits
	}{
		{"a flow", func(l *scenarios.Loop) {}, "hard", ""},
		{"volts", func(l *scenarios.Loop) { l.Signal = signal.Voltage }, "easy", "does not send 4-20 mA"},
		{"a narrow limit", func(l *scenarios.Loop) { l.AdjustAt = formula.Ratio(1, 10) }, "easy", "less than 0.2 %"},
		{"a wide tolerance", func(l *scenarios.Loop) { l.Tolerance = formula.Int(3) }, "easy", "more than 2 %"},
		{"a level", func(l *scenarios.Loop) { l.Kind = scenarios.Level }, "hard", "measures no flow"},
		{"a level at usual", func(l *scenarios.Loop) { l.Kind = scenarios.Level }, "usual", ""},
		{"the root in the receiver", func(l *scenarios.Loop) { l.Root = scenarios.RootReceiver }, "hard", "root in its receiver"},
		{"reverse", func(l *scenarios.Loop) { l.Action = scenarios.Reverse }, "hard", "reverse"},
		{"per minute", func(l *scenarios.Loop) { l.Shows = rangeOf(0, 60, "L/min") }, "hard", "not per hour"},
		{"from 5", func(l *scenarios.Loop) { l.Shows = rangeOf(5, 60, "m3/h") }, "hard", "begin at 0"},
		{"too little", func(l *scenarios.Loop) { l.Shows = rangeOf(0, 2, "t/h") }, "hard", "5 to 5000"},
	} {
		t.Run(row.name, func(t *testing.T) {
			l := flowLoop()
			row.change(l)
			why, ok := fits(row.level, l)
			if ok != (row.why == "") || !strings.Contains(why, row.why) {
				t.Errorf("fits %v: %q, want %q", ok, why, row.why)
			}
		})
	}
}

// TestDueDateIsNeeded: without a due date nothing can be said about one.
func TestDueDateIsNeeded(t *testing.T) {
	p := &scenarios.Plant{Name: "Works", Checker: scenarios.Checker{ID: "NB-1"}}
	e := &scenarios.Exercise{ID: "x", Level: "usual", Plant: p, Loops: []*scenarios.Loop{flowLoop()}}
	if _, ds := (Family{}).Prepare(e); len(ds) != 1 || ds[0].Rule != "no-due-date" || ds[0].Hint == "" {
		t.Errorf("got %v", ds)
	}
	p.Checker.Due = "2028-06-30"
	if _, ds := (Family{}).Prepare(e); len(ds) != 0 {
		t.Errorf("got %v", ds)
	}
}

// TestDrawnReadings looks at what is drawn, not at what is asked: no reading
// below what a transmitter can send, no error half way between two of two
// decimals, due dates that decide as they should.
func TestDrawnReadings(t *testing.T) {
	p := &scenarios.Plant{Name: "Works", Checker: scenarios.Checker{ID: "NB-1", Due: "2028-06-30"},
		Standards: []scenarios.Standard{{Name: "gauge", Range: rangeOf(0, 50, "kPa"), Due: "2028-03-31"}}}
	for _, level := range []string{"easy", "usual", "hard"} {
		plans, ds := (Family{}).Prepare(&scenarios.Exercise{ID: "x", Level: level, Plant: p, Loops: []*scenarios.Loop{flowLoop()}})
		if len(ds) > 0 {
			t.Fatal(ds)
		}
		drawn := 0
		for i := range uint64(4000) {
			pl := plans.(*plan)
			c, err := pl.draw(exercises.NewPicker(i * (math.MaxUint64 / 4000)))
			if err != nil {
				continue
			}
			drawn++
			for k := range points {
				for _, run := range [][5]int{c.found, c.falling, c.left} {
					if size(run[k])%8 == 4 {
						t.Fatalf("%s %d: an error of %d/160 %% lies half way", level, i, run[k])
					}
					if v := c.readingOf(k, run[k]).Float64(); v < 3.8 || v > 20.5 {
						t.Fatalf("%s %d: a reading of %v mA", level, i, v)
					}
				}
			}
			past := false
			for _, d := range c.devices {
				past = past || d.due.Number() < c.done.Number()
			}
			if past != (c.verdict == void || c.entry == pastDue) {
				t.Fatalf("%s %d: past a due date %v, verdict %s, entry %s", level, i, past, c.verdict, c.entry)
			}
			if !(c.lastGood.Number() < c.order.Number() && c.order.Number() < c.done.Number()) {
				t.Fatalf("%s %d: days in no order", level, i)
			}
		}
		if drawn < 3800 {
			t.Errorf("%s: only %d of 4000 draws came through", level, drawn)
		}
	}
}
