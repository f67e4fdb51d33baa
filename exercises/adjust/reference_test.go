package adjust

import (
	_ "embed"
	"encoding/csv"
	"math"
	"strconv"
	"strings"
	"testing"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

//go:embed testdata/passes.csv
var passesFile string

func hardItem() *item {
	b := &item{found: &found{level: "hard"}}
	b.Prompts = prompts
	return b
}

// TestReference holds the formulas of the hard level against the figures of
// testdata/passes.csv, whose head names their source.
func TestReference(t *testing.T) {
	r := csv.NewReader(strings.NewReader(passesFile))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	trace := 0
	for _, row := range rows[1:] {
		var v [3]float64
		for i, s := range row[1:] {
			if v[i], err = strconv.ParseFloat(s, 64); err != nil {
				t.Fatal(err)
			}
		}
		low, top := formula.Float(v[0]), formula.Float(v[1])
		b := hardItem()
		mA := func(at int64, percent formula.Value) formula.Value {
			return formula.Int(at).Add(percent.Mul(formula.Ratio(16, 100)))
		}
		b.env = formula.Env(signal.Current.Bind()).With(
			formula.Binding{Sym: symFound(0), V: mA(4, low)}, formula.Binding{Sym: symFound(100), V: mA(20, top)})
		_, key := b.top("b")
		b.env = b.env.With(formula.Binding{Sym: symTop, V: key.Answers[0].Def.Eval(b.env)})
		_, key = b.bottom("c")
		b.env = b.env.With(formula.Binding{Sym: symBottom, V: key.Answers[0].Def.Eval(b.env)})
		switch row[0] {
		case "trace":
			trace++
			if got := formula.Eval(b.remains(trace), b.env).Float64(); math.Abs(got-v[2]) > 0.00005 {
				t.Errorf("start %v/%v: after pass %d %.5f %% is left, the reference has %v", v[0], v[1], trace, got, v[2])
			}
		case "passes":
			n := 4 // what the last option stands for
			for i := 3; i >= 1; i-- {
				if holds, err := b.within(b.remains(i)).Holds(b.env); err != nil {
					t.Fatal(err)
				} else if holds {
					n = i
				}
			}
			if n != int(v[2]) {
				t.Errorf("start %v/%v: %d passes, the reference has %v", v[0], v[1], n, v[2])
			}
			if n, _ := (loop.Screws{Pivot: 0.25}).Passes(v[0]/100, v[1]/100, 0.001); n != int(v[2]) {
				t.Errorf("start %v/%v: the loop counts %d passes, the reference %v", v[0], v[1], n, v[2])
			}
		default:
			t.Errorf("a row of kind %q", row[0])
		}
	}
	if trace != 3 || len(rows) != 9 {
		t.Errorf("%d rows, %d of the trace", len(rows), trace)
	}
}

// TestReadingTrap: the start of the trace is done one pass earlier on a meter
// that shows tenths, the case that the reference names.
func TestReadingTrap(t *testing.T) {
	s := loop.Screws{Pivot: 0.25}
	if n, _ := s.PassesAsRead(0.02, 0.05, 0.001, 0.001); n != 2 {
		t.Errorf("%d passes as read, the reference has 2", n)
	}
	for read, want := range []string{"three", "two"} {
		n, _ := s.Passes(0.02, 0.05, limits[read])
		if hardPasses[n-1] != want {
			t.Errorf("meaning %d: %d passes, want %s", read, n, want)
		}
	}
}

// TestLeaveAt holds the current at which the top is left against the loop's
// own closed form, for every spread that the hard level draws.
func TestLeaveAt(t *testing.T) {
	for spread := -3520; spread <= 280; spread += 40 {
		top := 20 + float64(spread)/1000
		want := 20 + 16*(loop.Screws{Pivot: 0.25}).LeaveAt(0, float64(spread)/microSpan)
		b := hardItem()
		b.env = formula.Env(signal.Current.Bind()).With(formula.Binding{Sym: symTop, V: formula.Float(top), Unit: "mA", Decimals: 3})
		_, key := b.leave("e")
		if got := key.Answers[0].Def.Eval(b.env).Float64(); math.Abs(got-want) > 1e-9 {
			t.Errorf("top at %v mA: left at %v, the closed form has %v", top, got, want)
		}
	}
}
