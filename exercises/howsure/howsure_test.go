package howsure

import (
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/calendar"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

func rangeOf(t *testing.T, s string) unit.Range {
	t.Helper()
	r, err := unit.ParseRange(s)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

func loopOf(t *testing.T, input, tolerance string) *scenarios.Loop {
	t.Helper()
	v, err := formula.ParseDecimal(tolerance)
	if err != nil {
		t.Fatal(err)
	}
	r := rangeOf(t, input)
	return &scenarios.Loop{Tag: "PT-1", Service: "pressure", Kind: scenarios.Pressure, Input: r, Shows: r, Action: scenarios.Direct,
		Signal: signal.Current, Params: loop.Healthy(), Tolerance: v, AdjustAt: v}
}

// TestGaugeRanges: gauges that are said to cover a loop do, none goes below full
// vacuum, and those that are said to be too small are.
func TestGaugeRanges(t *testing.T) {
	for _, input := range []string{"0..40 kPa", "2..32 kPa", "-20..-4 kPa", "-90..0 kPa", "-50..50 kPa", "0..16 bar", "-1..5 bar", "0..500 mbar", "100..900 kPa", "0..145 psi", "-12.5..37.5 kPa"} {
		l := rangeOf(t, input)
		fit, small := ranges(l), tooSmall(l)
		if len(fit) < 3 || len(small) == 0 {
			t.Errorf("%s: %d gauges fit, %d are too small", input, len(fit), len(small))
		}
		for _, g := range fit {
			if g.Low.Float64() > l.Low.Float64() || g.High.Float64() < l.High.Float64() {
				t.Errorf("%s: a gauge of %s does not cover it", input, g.Text())
			}
			kPa, err := unit.Quantity{V: g.Low, Unit: g.Unit}.Convert(unit.Must("kPa"))
			if err != nil || kPa.Float64() < -100.0001 {
				t.Errorf("%s: a gauge of %s begins below full vacuum", input, g.Text())
			}
		}
		for _, g := range small {
			if covers(g, l) {
				t.Errorf("%s: a gauge of %s covers it", input, g.Text())
			}
		}
	}
}

// TestMonthEnd has the leap years in it; by a printed calendar.
func TestMonthEnd(t *testing.T) {
	for _, c := range []struct {
		from calendar.Day
		n    int
		want string
	}{
		{calendar.Day{Year: 2027, Month: 1, Day: 10}, 0, "2027-01-31"},
		{calendar.Day{Year: 2027, Month: 1, Day: 10}, 1, "2027-02-28"},
		{calendar.Day{Year: 2027, Month: 1, Day: 10}, -1, "2026-12-31"},
		{calendar.Day{Year: 2027, Month: 12, Day: 3}, 2, "2028-02-29"},
		{calendar.Day{Year: 2028, Month: 3, Day: 31}, -13, "2027-02-28"},
		{calendar.Day{Year: 2028, Month: 3, Day: 31}, 12, "2029-03-31"},
		{calendar.Day{Year: 2100, Month: 1, Day: 1}, 1, "2100-02-28"},
	} {
		if got := c.from.MonthEnd(c.n).String(); got != c.want {
			t.Errorf("%v and %d months: got %s, want %s", c.from, c.n, got, c.want)
		}
	}
}

// TestPartsOfOwnGauges: a gauge of the plant plays the part that its range, its
// date and its accuracy give it, and none where two things speak against it.
// Loop 0 to 40 kPa, ± 0.5 %, checker 0.1 %; the shares by hand.
func TestPartsOfOwnGauges(t *testing.T) {
	b := bench{loop: loopOf(t, "0..40 kPa", "0.5"), tolerance: 0.5, checker: 0.1}
	job := calendar.Day{Year: 2028, Month: 3, Day: 15}
	const none = -1
	for _, c := range []struct {
		name, rng string
		accuracy  int64 // thousandths of a percent
		due       string
		want      int
	}{
		{"0.06 %, in date", "0..60 kPa", 40, "2028-03-31", usable},
		{"the day itself", "0..60 kPa", 40, "2028-03-15", usable},
		{"a day late", "0..60 kPa", 40, "2028-03-14", overdue},
		{"does not reach 40 kPa", "0..25 kPa", 40, "2028-03-31", none}, // 0.025 %: its share hardly shows
		{"does not reach 40 kPa, and shows", "0..25 kPa", 90, "2028-03-31", small},
		{"0.6 %", "0..600 kPa", 40, "2028-03-31", coarse},
		{"0.6 % and late", "0..600 kPa", 40, "2028-03-01", none},
		{"too small and late", "0..25 kPa", 90, "2028-03-01", none},
		{"4.0 to 1, too near to tell", "0..60 kPa", 50, "2028-03-31", none},
		{"no date given", "0..60 kPa", 40, "", none},
	} {
		g := gauge{rng: rangeOf(t, c.rng), accuracy: formula.Decimal(c.accuracy, 3), due: c.due}
		got, ok := b.part(g, job)
		if !ok {
			got = none
		}
		if got != c.want {
			t.Errorf("%s: got part %d, want %d", c.name, got, c.want)
		}
	}
}

// TestWhatIsRefused: a checker whose accuracy is not given, or takes too much.
func TestWhatIsRefused(t *testing.T) {
	for _, c := range []struct {
		name, level, tolerance string
		checker                formula.Value
		rule                   string
	}{
		{"easy leaves the checker out", "easy", "0.5", formula.Value{}, ""},
		{"no accuracy", "usual", "0.5", formula.Value{}, "checker-accuracy"},
		{"half of the tolerance is the most", "usual", "0.5", formula.Ratio(26, 100), "checker-accuracy"},
		{"a quarter", "usual", "0.5", formula.Ratio(1, 8), ""},
		{"no room for 4 to 1", "hard", "0.5", formula.Ratio(1, 8), "checker-accuracy"},
		{"room for 4 to 1", "hard", "0.5", formula.Ratio(1, 10), ""},
		{"tolerance too small", "easy", "0.3", formula.Value{}, "loop-does-not-fit"},
	} {
		e := &scenarios.Exercise{ID: "x", Title: "X", Family: "how-sure", Level: c.level, Loops: []*scenarios.Loop{loopOf(t, "0..40 kPa", c.tolerance)},
			Plant: &scenarios.Plant{Name: "Works", Checker: scenarios.Checker{ID: "NB-1", Accuracy: c.checker}}}
		plan, ds := Family{}.Prepare(e)
		switch {
		case c.rule == "" && (plan == nil || len(ds) > 0):
			t.Errorf("%s: refused: %v", c.name, ds)
		case c.rule != "" && (plan != nil || len(ds) != 1 || ds[0].Rule != c.rule):
			t.Errorf("%s: got %v, want the rule %s", c.name, ds, c.rule)
		}
	}
}

// TestSameDraw: the same point gives the same page, and no plan is changed by
// drawing from it.
func TestSameDraw(t *testing.T) {
	for _, level := range []string{"easy", "usual", "hard"} {
		e := &scenarios.Exercise{ID: "x", Title: "X", Family: "how-sure", Level: level, Loops: []*scenarios.Loop{loopOf(t, "0..40 kPa", "0.5")},
			Plant: &scenarios.Plant{Name: "Works", Checker: scenarios.Checker{ID: "NB-1", Accuracy: formula.Ratio(1, 10)}}}
		plan, ds := Family{}.Prepare(e)
		if plan == nil {
			t.Fatal(ds)
		}
		const step = 0x9e3779b97f4a7c15
		text := func(i exercises.Item) (out string) {
			for _, f := range i.Sheet.Figures {
				for _, r := range f.Table.Rows {
					for _, c := range r.Cells {
						out += c.Text + "|"
					}
				}
			}
			return out
		}
		var first []string
		for round := range 2 {
			for n := range uint64(50) {
				item, err := plan.Item(n * step)
				got := text(item)
				if err != nil {
					got = err.Error()
				}
				if round == 0 {
					first = append(first, got)
				} else if first[n] != got {
					t.Errorf("%s, draw %d: %q, then %q", level, n, first[n], got)
				}
			}
		}
	}
}
