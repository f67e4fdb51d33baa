package generator

import (
	"regexp"
	"strconv"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// narrowSizes is what the plant of the test gives for the sizes of faults.
func narrowSizes(p *scenarios.Plant) {
	bounds := func(ends ...string) (out []scenarios.SizeBounds) {
		for i := 0; i < len(ends); i += 2 {
			out = append(out, scenarios.SizeBounds{Low: decimal(ends[i]), High: decimal(ends[i+1])})
		}
		return out
	}
	p.Faults = []scenarios.FaultRange{
		{Name: "low-zero", Sizes: bounds("0.3", "1.2")},
		{Name: "low-zero", Loops: p.Loops[:1], Sizes: bounds("0.8", "1.2")},
		{Name: "high-zero", Sizes: bounds("0.7", "2")},
		{Name: "span-low", Sizes: bounds("1", "3")},
		{Name: "span-high", Sizes: bounds("0.7", "2.5")},
		{Name: "zero-and-span", Sizes: bounds("-1.2", "-0.5", "-2", "2")},
		{Name: "weak-cell", Sizes: bounds("6.2", "6.5")},
	}
}

var faultPart = regexp.MustCompile(`(zero error|span error) (−?)([0-9.]+)`)

// TestSizesOfThePlant reads the size of the fault back from what the assessor
// is told, and holds it against what the plant file permits. A needle may be
// half a small mark off its mark, and the five-point check adds a tenth of one:
// 0.05 % of span.
func TestSizesOfThePlant(t *testing.T) {
	const slack = 0.05
	for _, name := range []string{"read-the-needle", "five-point-check"} {
		for _, level := range []string{"easy", "usual", "hard"} {
			t.Run(name+"-"+level, func(t *testing.T) {
				t.Parallel()
				p := testPlant()
				narrowSizes(p)
				f := families.Named(name)
				e := &scenarios.Exercise{ID: "x", Family: name, Level: level, Plant: p}
				for _, l := range p.Loops {
					if _, ok := f.Spec().Fits(level, l); ok {
						e.Loops = append(e.Loops, l)
					}
				}
				plan, ds := f.Prepare(e)
				for _, d := range ds {
					if d.Severity == "error" {
						t.Fatal(d.Summary)
					}
				}
				good, tried := 0, 0
				seen := map[string]int{}
				for _, u := range Points(7, 6000) {
					tried++
					item, err := Try(plan, u)
					if _, ok := err.(exercises.Reject); ok {
						continue
					}
					if err != nil {
						t.Fatal(err)
					}
					good++
					checkSize(t, p, item, slack, seen)
				}
				if good < tried/2 {
					t.Errorf("%d of %d draws were thrown away", tried-good, tried)
				}
				for fault, n := range seen {
					if n < 50 {
						t.Errorf("%s came up %d times in %d", fault, n, good)
					}
				}
				if want := map[string]int{"read-the-needle": 5, "five-point-check": 6}[name]; len(seen) != want && level != "easy" {
					t.Errorf("%d faults came up, wanted %d", len(seen), want)
				}
			})
		}
	}
}

func checkSize(t *testing.T, p *scenarios.Plant, item exercises.Item, slack float64, seen map[string]int) {
	t.Helper()
	fault := item.Key.FaultName
	seen[fault]++
	if fault == "weak-cell" { // the volts are told under load
		return
	}
	got := map[string]float64{}
	for _, m := range faultPart.FindAllStringSubmatch(strings.ReplaceAll(item.Key.Fault, "\u00a0", " "), -1) {
		v, err := strconv.ParseFloat(m[3], 64)
		if err != nil {
			t.Fatal(err)
		}
		if m[2] != "" {
			v = -v
		}
		got[m[1]] = v
	}
	want := map[string][][2]float64{
		"high-zero": {{0.7, 2}}, "span-low": {{-3, -1}}, "span-high": {{0.7, 2.5}}, "zero-and-span": {{-1.2, -0.5}, {-2, 2}},
		"low-zero": {{-1.2, -0.3}},
	}[fault]
	parts := []string{"zero error"}
	switch fault {
	case "span-low", "span-high":
		parts = []string{"span error"}
	case "zero-and-span":
		parts = append(parts, "span error")
	}
	for i, part := range parts {
		if v := got[part]; v < want[i][0]-slack || v > want[i][1]+slack {
			t.Errorf("%s: %s of %.2f %% lies outside %v: %s", fault, part, v, want[i], item.Key.Fault)
		}
	}
	if len(got) == 0 {
		t.Errorf("no size in %q", item.Key.Fault)
	}
}

// TestSizesThatLeaveNothing holds that a plant whose sizes no exercise can ask
// about is told so, at the place of the exercise.
func TestSizesThatLeaveNothing(t *testing.T) {
	for _, name := range []string{"read-the-needle", "five-point-check"} {
		p := testPlant()
		// 4.9 to 5.1 % lies on the stop, or too near to it.
		p.Faults = []scenarios.FaultRange{{Name: "high-zero", Sizes: []scenarios.SizeBounds{{Low: decimal("5"), High: decimal("5.1")}}}}
		e := &scenarios.Exercise{ID: "x", Family: name, Level: "easy", Plant: p, Loops: p.Loops[:1], Faults: []string{"high-zero"}}
		_, ds := families.Named(name).Prepare(e)
		if len(ds) != 1 || ds[0].Rule != "sizes-leave-nothing" {
			t.Errorf("%s: %+v", name, ds)
		}
	}
}

// TestFaultThatCannotShow takes the room below 4 mA away, without which a low
// zero is no error at 0 %, and with it the five-point check of one.
func TestFaultThatCannotShow(t *testing.T) {
	p := testPlant()
	p.Loops[0].Params.Transmitter.LowMilliamp = 4
	e := &scenarios.Exercise{ID: "x", Family: "five-point-check", Level: "easy", Plant: p, Loops: p.Loops[:1], Faults: []string{"low-zero", "span-low"}}
	f := families.Named(e.Family)
	_, ds := f.Prepare(e)
	if len(ds) != 1 || ds[0].Rule != "fault-cannot-show" || !strings.Contains(ds[0].Summary, "low-zero") {
		t.Errorf("%+v", ds)
	}
	e.Loops = p.Loops[:2] // the other loop has room
	if _, ds := f.Prepare(e); len(ds) > 0 {
		t.Errorf("%+v", ds)
	}
}

// idle is a family of which nothing can be drawn.
type idle struct{ exercises.Family }

func (idle) Prepare(*scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) { return never{}, nil }

// TestCourseThatCannotBeDrawn holds that no form must be asked for to be told.
func TestCourseThatCannotBeDrawn(t *testing.T) {
	course := testCourse()
	course.Exercises = course.Exercises[:1]
	d, ds := Prepare(course, func(name string) exercises.Family { return idle{families.Named(name)} })
	if d != nil || len(ds) != 1 || ds[0].Rule != "cannot-be-drawn" || !strings.Contains(ds[0].Summary, string(rejectToy)) {
		t.Errorf("%+v", ds)
	}
}
