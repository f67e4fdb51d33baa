package diagnose

import (
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
)

// TestEveryFaultIsFound: every fault of every panel is left alone by some tests
// at some of its sizes, whatever the points.
func TestEveryFaultIsFound(t *testing.T) {
	plant := &scenarios.Plant{Checker: scenarios.Checker{Params: loop.HealthyChecker()}}
	l := &scenarios.Loop{Tag: "PT-1", Kind: scenarios.Pressure, Params: loop.Healthy()}
	b, err := benchOf(plant, l)
	if err != nil {
		t.Fatal(err)
	}
	for level, lists := range panels {
		for _, panel := range lists {
			for _, name := range panel {
				var found []*finding
				for row := range points {
					var w workable
					f, err := w.find(b.bench, b.fault(name), panel, row)
					if err != nil {
						t.Fatal(err)
					}
					if len(f) == 0 {
						t.Errorf("%s, points %v: no size of %s is left alone", level, points[row], name)
					}
					found = append(found, f...)
				}
				count := map[string]int{}
				for _, got := range found {
					id := ""
					for _, c := range got.chosen {
						id += tests[c].id + " "
					}
					count[id]++
				}
				t.Logf("%-6s %-28s %3d of them %v", level, name, len(found), count)
			}
		}
	}
}
