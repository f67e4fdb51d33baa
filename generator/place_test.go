package generator

import (
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/scenarios"
)

// TestPlace holds that a course which says where the checker is put in gets
// faces with that lever and no other, at every level.
func TestPlace(t *testing.T) {
	f := families.Named("read-the-needle")
	for place, lever := range map[string]string{scenarios.PlaceTransmitter: "Current", scenarios.PlaceReceiver: "Voltage"} {
		for _, level := range []string{"easy", "usual", "hard"} {
			p := testPlant()
			e := &scenarios.Exercise{ID: "x", Family: "read-the-needle", Level: level, Plant: p, Place: place}
			for _, l := range p.Loops {
				if _, ok := f.Spec().Fits(level, l); ok {
					e.Loops = append(e.Loops, l)
				}
			}
			plan, ds := f.Prepare(e)
			if len(ds) > 0 {
				t.Fatal(ds[0].Summary)
			}
			var tally Tally
			faces, good := 0, 0
			points := Points(11, 4000)
			for _, u := range points {
				item, err := Try(plan, u)
				if r, ok := err.(exercises.Reject); ok {
					tally.note("x", r)
					continue
				}
				good++
				for _, fig := range item.Sheet.Figures {
					if fig.Face == nil || fig.Face.Lever == "Rest" {
						continue
					}
					faces++
					if fig.Face.Lever != lever {
						t.Fatalf("%s, %s: lever at %s", place, level, fig.Face.Lever)
					}
				}
			}
			if faces < good || good < len(points)/2 {
				t.Errorf("%s, %s: %d of %d drawn, %d faces; %v", place, level, good, len(points), faces, tally.of("x").Reasons)
			}
			t.Log(place, level, good, tally.of("x").Reasons)
		}
	}
}
