package scenarios_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"loopdrill/scenarios"
)

// TestSetting reads where an exercise takes place in a course of two plants,
// of which the second alone has output loops.
func TestSetting(t *testing.T) {
	const other = `plant: other
name: Other Mill
makes: board
loops:
  - {tag: LT-201, service: level of the chest, kind: level, input: 0..10 kPa, tolerance: 0.5 %span}
  - {tag: LT-202, service: level of the vat, kind: level, input: 0..10 kPa, tolerance: 0.5 %span}
outputs:
  - {tag: FV-203, service: flow of stock, positioner: {stroke: 40 mm}}
  - {tag: FV-204, service: flow of water}
`
	for _, r := range []struct{ name, keys, plant, loops, outputs string }{
		{"nothing named", "family: scale-it", "ferrow", "LT-101 FT-102 PT-103 TT-104 PT-105", ""},
		{"the plant", "family: scale-it\n        plant: other", "other", "LT-201 LT-202", ""},
		{"loops of the second", "family: scale-it\n        loops: [LT-202]", "other", "LT-202", ""},
		{"outputs where they are", "family: output-side", "other", "", "FV-203"},
		{"outputs named", "family: output-side\n        outputs: [FV-203]", "other", "", "FV-203"},
		{"both sides", "family: both-sides", "other", "LT-201 LT-202", "FV-203 FV-204"},
		{"both, the loops named", "family: both-sides\n        loops: [LT-201]", "other", "LT-201", "FV-203 FV-204"},
		{"both, the outputs named", "family: both-sides\n        outputs: [FV-204, FV-203]", "other", "LT-201 LT-202", "FV-204 FV-203"},
		{"neither", "family: paper-only", "ferrow", "", ""},
		{"neither, in the second", "family: paper-only\n        plant: other", "other", "", ""},
	} {
		fsys := base(t)
		fsys["plants/other.yaml"] = &fstest.MapFile{Data: []byte(other)}
		s := strings.Replace(string(fsys["course.yaml"].Data), "plants: [ferrow]", "plants: [ferrow, other]", 1)
		fsys["course.yaml"].Data = []byte(strings.Replace(s, "family: five-point-check", r.keys, 1))
		c, ds := scenarios.ReadCourse(fsys, vocabulary())
		if c == nil || len(ds) > 0 {
			t.Errorf("%s: %+v", r.name, ds)
			continue
		}
		e := c.Exercises[len(c.Exercises)-1]
		var loops, outputs []string
		for _, l := range e.Loops {
			loops = append(loops, l.Tag)
		}
		for _, o := range e.Outputs {
			outputs = append(outputs, o.Tag)
		}
		if e.Plant.ID != r.plant || strings.Join(loops, " ") != r.loops || strings.Join(outputs, " ") != r.outputs {
			t.Errorf("%s: %s, loops %v, outputs %v", r.name, e.Plant.ID, loops, outputs)
		}
	}
}
