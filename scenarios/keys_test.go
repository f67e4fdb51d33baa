package scenarios

import "testing"

// TestDescriptionsAreSound parses every example, default and limit that a key
// is described with, by the key's own type.
func TestDescriptionsAreSound(t *testing.T) {
	seen := map[*Record]bool{}
	var walk func(rec *Record)
	walk = func(rec *Record) {
		if seen[rec] {
			return
		}
		seen[rec] = true
		if rec.Says == "" || len(rec.Keys) == 0 {
			t.Errorf("%s is not described", rec.Name)
		}
		if rec.Example != "" {
			f := &file{r: &reader{found: map[string]int{}}, path: "x", text: rec.Example + "\n", lines: []string{rec.Example, ""}}
			docs, err := parseYAML(f.text)
			if err != nil {
				t.Fatalf("%s: %v", rec.Name, err)
			}
			if f.block(docs[0].Content[0], rec, "the example"); len(f.r.ds) > 0 {
				t.Errorf("%s: the example %q is refused: %+v", rec.Name, rec.Example, f.r.ds)
			}
		}
		for i := range rec.Keys {
			k := &rec.Keys[i]
			name := rec.Name + "." + k.Name
			if k.Says == "" {
				t.Errorf("%s is not described", name)
			}
			if k.Of != nil {
				walk(k.Of)
				continue
			}
			if k.Example == "" {
				t.Errorf("%s has no example", name)
			}
			if !k.Required && k.Default == "" && k.Otherwise == "" {
				t.Errorf("%s: what holds when it is left out?", name)
			}
			if k.Required && k.Default != "" {
				t.Errorf("%s is required and has a default", name)
			}
			f := &file{r: &reader{found: map[string]int{}}, path: "x", text: k.Name + ": " + k.Example + "\n", lines: []string{k.Name + ": " + k.Example, ""}}
			docs, err := parseYAML(f.text)
			if err != nil {
				t.Errorf("%s: %v", name, err)
				continue
			}
			n := docs[0].Content[0].Content
			if v := f.value(k, n[0], n[1], k.Name); !v.ok || len(f.r.ds) > 0 {
				t.Errorf("%s: the example %q is refused: %+v", name, k.Example, f.r.ds)
			}
			for _, s := range []string{k.Default, k.Low, k.High} {
				v := &value{f: f, key: k}
				if s == "" {
					continue
				}
				if problem := v.parse(s); problem != nil {
					t.Errorf("%s: %q is refused: %v", name, s, problem)
				}
			}
		}
	}
	for _, rec := range []*Record{CourseFile, PlantFile, FaceKeys, FormulaKeys, PointsKeys} {
		walk(rec)
	}
}
