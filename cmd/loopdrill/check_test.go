package main

import (
	"bytes"
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/generator"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/shipped"
)

// stuck is a family of which next to nothing can be drawn: what a course is
// tried out with, and then never again.
type stuck struct{ exercises.Family }

func (s stuck) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	p, ds := s.Family.Prepare(e)
	return stuckPlan{p}, ds
}

type stuckPlan struct{ exercises.Plan }

func (p stuckPlan) Item(u uint64) (exercises.Item, error) {
	if slices.Contains(generator.Points(1, 300), u) {
		return p.Plan.Item(u)
	}
	return exercises.Item{}, exercises.Reject("nothing ever fits")
}

// An exercise that cannot be drawn is an error at its place, with the excerpt,
// and the others are drawn all the same.
func TestCheckExerciseThatCannotBeDrawn(t *testing.T) {
	c := look(shipped.Default)
	first := true
	c.drawer, _ = generator.Prepare(c.course, func(name string) exercises.Family {
		f := families.Named(name)
		if first {
			first = false
			return stuck{f}
		}
		return f
	})
	var out, stderr bytes.Buffer
	a := app{Stdout: &out, Stderr: &stderr}
	a.survey(c, 3)
	var b strings.Builder
	if err := c.write(&b, 3, false); err != nil {
		t.Fatal(err)
	}
	if code := a.verdict(c, false); code != exitFaults {
		t.Errorf("exit code %d", code)
	}
	for _, want := range []string{
		`live-zero-basics/course.yaml:`, `error: form 1 cannot be drawn: exercise "scale-percent"`, `the last for nothing ever fits`, "- id: scale-percent\n",
		"  1  scale-percent      0   1000  100.0", "  2  scale-others       3 ",
	} {
		if !strings.Contains(strings.ReplaceAll(b.String(), "\u00a0", " "), want) {
			t.Errorf("%q is missing in\n%s", want, b.String())
		}
	}
	if len(c.surveys) != len(c.course.Exercises) {
		t.Errorf("%d surveys", len(c.surveys))
	}
}

// What only many draws show is a warning.
func TestCheckOddities(t *testing.T) {
	choice := func(forms, right int) generator.BoxSurvey {
		return generator.BoxSurvey{Box: "b", Kind: exercises.ChoiceBox, Forms: forms,
			Options: []generator.OptionShare{{Option: "low", Offered: forms, Right: right}, {Option: "high", Offered: forms, Right: forms - right}}}
	}
	survey := func(forms, distinct int, b generator.BoxSurvey, faults ...generator.FaultShare) *generator.Survey {
		return &generator.Survey{Exercise: "x", Forms: forms, Distinct: distinct, Boxes: []generator.BoxSurvey{b}, Faults: faults}
	}
	for _, row := range []struct {
		name string
		s    *generator.Survey
		rule string // empty: nothing odd
	}{
		{"nothing odd", survey(200, 200, choice(200, 90), generator.FaultShare{Fault: "low-zero", Forms: 200}), ""},
		{"one option always", survey(200, 200, choice(200, 200)), "same-answer"},
		{"one option always, but only where it is asked", survey(200, 200, choice(120, 120)), ""},
		{"one option always, of few draws", survey(20, 20, choice(20, 20)), ""},
		{"a fault never", survey(200, 200, choice(200, 90), generator.FaultShare{Fault: "low-zero"}), "fault-never-drawn"},
		{"one form", survey(200, 1, choice(200, 200)), "one-form"},
	} {
		ds := oddities(row.s, diag.Place{})
		switch {
		case row.rule == "" && len(ds) > 0:
			t.Errorf("%s: %v", row.name, ds)
		case row.rule != "" && (len(ds) != 1 || ds[0].Rule != row.rule || ds[0].Severity != diag.Warning):
			t.Errorf("%s: %v, want one %s", row.name, ds, row.rule)
		}
	}
}

// The shipped courses are silent, with a hundred draws too, and the figures do
// not depend on the run.
func TestCheckShippedCourses(t *testing.T) {
	for _, name := range shipped.Names() {
		code, first, stderr := run("check", name, "--draws", "100", "--json")
		if code != exitFine || stderr != "" {
			t.Errorf("%s: exit code %d, %q", name, code, stderr)
		}
		var out []struct {
			Course           string
			Errors, Warnings int
			Exercises        []generator.Survey
		}
		if err := json.Unmarshal([]byte(first), &out); err != nil {
			t.Fatal(err)
		}
		if len(out) != 1 || out[0].Course != name || out[0].Errors+out[0].Warnings != 0 || len(out[0].Exercises) < 3 {
			t.Errorf("%s: %+v", name, out)
		}
		if _, again, _ := run("check", name, "--draws", "100", "--json"); again != first {
			t.Errorf("%s: a second run gives other figures", name)
		}
	}
}

func TestPercentText(t *testing.T) {
	for _, row := range []struct {
		share    float64
		decimals int
		want     string
	}{
		{0, 1, "0 %"}, {0.5, 0, "50 %"}, {1, 0, "100 %"}, {0.0004, 1, "<0.1 %"}, {0.0005, 1, "0.1 %"}, {0.004, 0, "<1 %"}, {0.00004, 2, "<0.01 %"}, {0.123, 1, "12.3 %"},
	} {
		if got := strings.ReplaceAll(percentText(row.share, row.decimals), "\u00a0", " "); got != row.want {
			t.Errorf("%g with %d decimals: %q, want %q", row.share, row.decimals, got, row.want)
		}
	}
}
