package exercises

import (
	"fmt"
	"slices"
	"strings"

	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// Screened is what a family may use of an exercise of a course.
type Screened struct {
	Loops  []*scenarios.Loop
	Faults []string
}

// Screen holds the loops and faults that an exercise names against what a
// family can use: the faults of its spec that prints can show (prints says
// what that is: "one needle reading"), and the loops that fit the level. byDefault are the
// faults taken where the exercise names none. What does not fit comes back as
// errors at the place of the exercise.
func Screen(e *scenarios.Exercise, spec scenarios.Spec, prints string, byDefault []string) (Screened, []diag.Diagnostic) {
	s := Screened{Faults: e.Faults}
	if len(s.Faults) == 0 {
		s.Faults = byDefault
	}
	var ds []diag.Diagnostic
	for _, f := range s.Faults {
		if !slices.Contains(spec.Faults, f) {
			ds = append(ds, At(e, diag.Error, "fault-cannot-show",
				fmt.Sprintf("the fault %q cannot show in exercise %q, which prints %s", f, e.ID, prints),
				"take some of "+strings.Join(spec.Faults, ", ")))
		}
	}
	for _, l := range e.Loops {
		if why, ok := spec.Fits(e.Level, l); !ok {
			ds = append(ds, At(e, diag.Error, "loop-does-not-fit", fmt.Sprintf("exercise %q cannot use %s, which %s", e.ID, l.Tag, why), ""))
			continue
		}
		s.Loops = append(s.Loops, l)
	}
	if len(s.Loops) == 0 && len(ds) == 0 && spec.TakesLoops() {
		ds = append(ds, At(e, diag.Error, "no-loop", fmt.Sprintf("exercise %q has no loop to ask about at level %s", e.ID, e.Level),
			"name loops that fit the level under \"loops\""))
	}
	return s, ds
}

// At makes a diagnostic at the place of an exercise.
func At(e *scenarios.Exercise, severity diag.Severity, rule, summary, hint string) diag.Diagnostic {
	return diag.Diagnostic{Severity: severity, Rule: rule, Summary: summary, Hint: hint,
		At: diag.Place{File: e.File, Line: e.Line, Column: e.Column, Width: 1}}
}
