package whatnext

import (
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

func testPlan(t testing.TB, level string) exercises.Plan {
	t.Helper()
	plant := &scenarios.Plant{Name: "Test Works", Checker: scenarios.Checker{Params: loop.HealthyChecker(), Face: scenarios.Face{
		Divisions: 10, SmallPerDiv: 5, PerSmallMark: formula.Ratio(1, 10), CellLineSmall: 20, CellPerSmall: formula.Ratio(1, 50)}}}
	kpa, _ := unit.Lookup("kPa")
	in := unit.Range{Low: formula.Int(0), High: formula.Int(100), Unit: kpa}
	l := &scenarios.Loop{Tag: "PT-1", Service: "pressure", Kind: scenarios.Pressure, Input: in, Shows: in, Action: scenarios.Direct, Signal: signal.Current, Params: loop.Healthy()}
	plan, ds := Family{}.Prepare(&scenarios.Exercise{ID: "x", Level: level, Plant: plant, Loops: []*scenarios.Loop{l}})
	if plan == nil {
		t.Fatal(ds)
	}
	return plan
}

// TestNothingGivesAway: the test whose average is asked for is not the answer
// more often than any other, a fault is possible or ruled out in its turn, and
// every fault and test of a level is right in two draws of a hundred.
func TestNothingGivesAway(t *testing.T) {
	for _, level := range []string{"easy", "usual", "hard"} {
		plan := testPlan(t, level)
		const n = 4000
		good, same := 0, 0
		tests, faults, alone := map[string]int{}, map[string]int{}, map[string]int{}
		for i := range uint64(n) {
			item, err := plan.Item(i * ((1<<64 - 1) / n))
			if err != nil {
				continue
			}
			good++
			parts, sheet := item.Key.Parts, item.Sheet.Parts
			right := parts[len(parts)-1].Answers[0].Option
			tests[right]++
			for k := range sheet {
				if ask := sheet[k].Prompt.Plain(); strings.HasPrefix(ask, "How many of the faults") {
					asked := int(ask[strings.Index(ask, "test ")+5] - '1')
					if sheet[len(sheet)-1].Boxes[0].Options[asked].ID == right {
						same++
					}
				}
			}
			if level != "hard" {
				alone[parts[1].Answers[0].Option]++
			}
			if level == "easy" {
				continue
			}
			for k, a := range parts[0].Answers {
				if a.Option == "possible" {
					faults[sheet[0].Boxes[k].Name]++
				}
			}
		}
		t.Logf("%s: %d draws, the average is that of the best test in %.0f %%; %v %v", level, good, 100*float64(same)/float64(good), tests, faults)
		if 100*same > 35*good {
			t.Errorf("%s: the test asked about is the answer in %d of %d draws", level, same, good)
		}
		// The usual lists have thirty faults; each is possible often enough, and
		// left alone by an outcome in its hundredth draw.
		least := map[string]int{"easy": 50, "usual": 100, "hard": 50}[level]
		for name, times := range alone {
			if least*times < good {
				t.Errorf("%s: %s is left alone in %d of %d draws", level, name, times, good)
			}
		}
		for _, m := range []map[string]int{tests, faults} {
			for name, times := range m {
				if 50*times < good {
					t.Errorf("%s: %s is right in %d of %d draws", level, name, times, good)
				}
			}
		}
	}
}
