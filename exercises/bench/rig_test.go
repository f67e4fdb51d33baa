package bench

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/marking"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// benchCourse is a plant with one loop, in Go.
func benchExercise(t *testing.T, level string) exercises.Plan {
	t.Helper()
	kpa, _ := unit.Lookup("kPa")
	l := &scenarios.Loop{Tag: "LT-1", Service: "level of the pit", Kind: scenarios.Level,
		Input: unit.Range{Low: formula.Int(0), High: formula.Int(40), Unit: kpa}, Action: scenarios.Direct, Signal: signal.Current,
		Params: loop.Healthy(), Tolerance: formula.Int(1), AdjustAt: formula.Ratio(1, 2)}
	l.Shows = l.Input
	p := &scenarios.Plant{ID: "test", Name: "Test Works", Loops: []*scenarios.Loop{l},
		Checker: scenarios.Checker{ID: "NB-1", Params: loop.HealthyChecker(), Face: scenarios.Face{
			Divisions: 10, SmallPerDiv: 5, PerSmallMark: formula.Ratio(1, 10), CellLineSmall: 20, CellPerSmall: formula.Ratio(1, 50)}}}
	plan, ds := Family{}.Prepare(&scenarios.Exercise{ID: "x", Number: 1, Title: "Title", Level: level, Plant: p, Loops: p.Loops})
	if plan == nil || len(ds) > 0 {
		t.Fatal(ds)
	}
	return plan
}

// items calls f with draws spread over the draw space, answers rounded.
func items(t *testing.T, level string, n int, f func(item exercises.Item)) {
	t.Helper()
	plan := benchExercise(t, level)
	for i := range n {
		item, err := plan.Item(uint64(i+1) * 0x9e3779b97f4a7c15)
		if err != nil {
			continue
		}
		for p := range item.Key.Parts {
			for k := range item.Key.Parts[p].Answers {
				a := &item.Key.Parts[p].Answers[k]
				if a.Def.Expr != nil {
					if a.Value, err = a.Def.Eval(a.Env).Rounded(a.Def.Decimals); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
		f(item)
	}
}

// TestRigWithinItsCardEarnsFullMarks sets up rigs that are off by as much as the
// card permits, at random, to one side and to the other. A careful apprentice
// reads them, reckons from what was read and decides by it, and has full marks.
func TestRigWithinItsCardEarnsFullMarks(t *testing.T) {
	r := rand.New(rand.NewPCG(17, 1))
	for _, level := range []string{"easy", "usual", "hard"} {
		worked := 0
		items(t, level, 150, func(item exercises.Item) {
			for _, way := range []string{"up", "down", "any"} {
				given, err := readOffRig(item, func() float64 {
					switch way {
					case "up":
						return 1
					case "down":
						return -1
					}
					return 2*r.Float64() - 1
				})
				if err != nil {
					t.Fatal(err)
				}
				got, err := marking.MarkItem(item, given, marking.Terms{})
				if err != nil {
					t.Fatal(err)
				}
				marks := 0
				for _, p := range item.Sheet.Parts {
					marks += p.Marks
				}
				if got.Least != marks {
					t.Fatalf("%s, %s, %s: %d of %d marks: %v", level, item.Key.Fault, way, got.Least, marks, given)
				}
				worked++
			}
		})
		if worked < 400 {
			t.Errorf("%s: only %d rigs", level, worked)
		}
	}
}

// readOffRig gives the answers of somebody whose readings differ from those
// expected by a share of what they may be off, and who goes on from them. All
// readings of a column are off alike, as those of one rig are, and never by more
// than its last place allows.
func readOffRig(item exercises.Item, share func() float64) (map[string]string, error) {
	given := map[string]string{}
	own := map[string]formula.Value{}
	for p, key := range item.Key.Parts {
		off := map[string]float64{}
		for i, a := range key.Answers {
			box := item.Sheet.Parts[p].Boxes[i]
			env := a.Env
			for _, b := range a.Env {
				if v, ok := own[b.From]; ok && b.From != "" {
					b.V = v
					env = env.With(b)
				}
			}
			switch {
			case box.Kind == exercises.ChoiceBox && len(a.Decide) == 0:
				given[box.ID] = a.Option
			case box.Kind == exercises.ChoiceBox:
				for _, d := range a.Decide {
					holds := true
					if d.Rel != nil {
						var err error
						if holds, err = d.Rel.Holds(env); err != nil {
							return nil, err
						}
					}
					if holds {
						given[box.ID] = d.Option
						break
					}
				}
			default:
				v := a.Def.Eval(env).Float64()
				if item.Sheet.Parts[p].Table != nil && len(key.Answers) > 3 { // a table of readings
					kind := box.Unit + fmt.Sprint(box.Decimals)
					if _, ok := off[kind]; !ok {
						off[kind] = share()
					}
					v += off[kind] * (a.Tolerance.Float64() - 0.501*pow(box.Decimals))
				}
				w, err := formula.Float(v).Rounded(box.Decimals)
				if err != nil {
					w = a.Value
				}
				own[box.ID] = w
				given[box.ID] = w.Text(box.Decimals)
			}
		}
	}
	return given, nil
}

func pow(decimals int) float64 {
	v := 1.0
	for range decimals {
		v /= 10
	}
	return v
}

// TestSheetTellsNothing compares sheets of one loop with the same points: the
// set-up, the cell and the mechanical zero change not a word of them.
func TestSheetTellsNothing(t *testing.T) {
	for _, level := range []string{"easy", "usual", "hard"} {
		seen, faults := map[string]string{}, map[string]bool{}
		items(t, level, 500, func(item exercises.Item) {
			points := fmt.Sprint(item.Sheet.Parts[len(item.Sheet.Parts)-1].Table.Rows)
			text := fmt.Sprintf("%+v", plain(item.Sheet))
			if was, ok := seen[points]; ok && was != text {
				t.Fatalf("%s: two sheets of the same points differ:\n%s\n%s", level, was, text)
			}
			seen[points] = text
			faults[item.Key.Fault] = true
		})
		if len(faults) < 20 {
			t.Errorf("%s: only %d set-ups were compared", level, len(faults))
		}
	}
}

// plain is all that a sheet prints.
func plain(s exercises.Sheet) []string {
	out := []string{s.Title, s.Intro.Plain(), fmt.Sprint(s.Cautions)}
	for _, f := range s.Figures {
		out = append(out, f.ID, f.Caption.Plain(), fmt.Sprint(*f.Table))
	}
	for _, p := range s.Parts {
		out = append(out, p.Label, p.Prompt.Plain(), fmt.Sprint(p.Marks, p.Lines))
		if p.Table != nil {
			out = append(out, fmt.Sprint(*p.Table))
		}
		for _, b := range p.Boxes {
			out = append(out, b.ID, b.Name, b.Unit, fmt.Sprint(b.Decimals))
			for _, o := range b.Options {
				out = append(out, o.ID, o.Text.Plain())
			}
		}
	}
	return out
}

// TestCardByHand holds expected readings against figures reckoned by hand for
// the loop of loop.Healthy: 24 V, 45 ohm of supply and line, 250 ohm in receiver
// and checker. With the trigger released the movement carries nothing.
func TestCardByHand(t *testing.T) {
	plan := benchExercise(t, "usual").(*plan)
	for _, row := range []struct {
		name       string
		zero, span int // small marks
		x          int // index of the point
		needle     string
		rx, tx     string
	}{
		// 4 mA: 4 × 249.9375 ohm = 1.000 V (0.99975); 24 − 4 mA × 545 = 21.82 V.
		{"sound, 0 %", 0, 0, 0, "0.0", "1.000", "21.8"},
		// 20 mA: 4.99875 V; 24 − 10.9 = 13.1 V.
		{"sound, 100 %", 0, 0, 4, "0.0", "4.999", "13.1"},
		// Zero −1 %: 3.84 mA: 0.95976 V; 24 − 2.0928 = 21.907 V; −1 % / 0.5 % = −2 div.
		{"zero −1 %, 0 %", -10, 0, 0, "−2.0", "0.960", "21.9"},
		// Span +2 % at 50 %: +1 % of span, 12.16 mA: 3.03924 V; 24 − 6.6272 = 17.373 V.
		{"span +2 %, 50 %", 0, 20, 2, "2.0", "3.039", "17.4"},
		// Zero −1 % and span +3 % at 75 %: −1 + 2.25 = +1.25 %, between two marks,
		// the right one: 1.3 % / 0.5 % = 2.6 div; 16.2 mA: 4.04899 V; 24 − 8.829 = 15.171 V.
		{"both, 75 %", -10, 30, 3, "2.6", "4.049", "15.2"},
	} {
		t.Run(row.name, func(t *testing.T) {
			d := &task{prepared: plan.loops[0], level: "usual", points: []int{0, 25, 50, 75, 100}, zero: row.zero, span: row.span}
			if row.zero != 0 || row.span != 0 {
				d.fault = "zero-and-span"
			}
			if err := d.measure(); err != nil {
				t.Fatal(err)
			}
			m := &d.was[row.x]
			if got := d.needleOf(m).Text(1); got != row.needle {
				t.Errorf("needle %s, want %s", got, row.needle)
			}
			if got := stepped(m.Receiver, rxPlace).Text(rxPlace); got != row.rx {
				t.Errorf("receiver %s, want %s", got, row.rx)
			}
			if got := stepped(m.Transmitter, txPlace).Text(txPlace); got != row.tx {
				t.Errorf("transmitter %s, want %s", got, row.tx)
			}
		})
	}
}

// BenchmarkItem draws items of each level.
func BenchmarkItem(b *testing.B) {
	for _, level := range []string{"easy", "usual", "hard"} {
		b.Run(level, func(b *testing.B) {
			t := &testing.T{}
			plan := benchExercise(t, level)
			for i := 0; b.Loop(); i++ {
				_, _ = plan.Item(uint64(i) * 0x9e3779b97f4a7c15)
			}
		})
	}
}
