// Package families lists the families of exercise: the one place in which a
// new family is registered.
package families

import (
	"loopdrill/exercises"
	"loopdrill/exercises/adjust"
	"loopdrill/exercises/bench"
	"loopdrill/exercises/budget"
	"loopdrill/exercises/diagnose"
	"loopdrill/exercises/fivepoint"
	"loopdrill/exercises/gothere"
	"loopdrill/exercises/howsure"
	"loopdrill/exercises/needle"
	"loopdrill/exercises/outside"
	"loopdrill/exercises/pointto"
	"loopdrill/exercises/ranging"
	"loopdrill/exercises/ready"
	"loopdrill/exercises/scaleit"
	"loopdrill/exercises/sending"
	"loopdrill/exercises/tempinput"
	"loopdrill/exercises/whatnext"
	"loopdrill/exercises/writeup"
	"loopdrill/scenarios"
)

// All lists the families in the order in which a course uses them.
func All() []exercises.Family {
	return []exercises.Family{
		scaleit.Family{},
		needle.Family{},
		pointto.Family{},
		fivepoint.Family{},
		adjust.Family{},
		sending.Family{},
		outside.Family{},
		ready.Family{},
		diagnose.Family{},
		whatnext.Family{},
		budget.Family{},
		ranging.Family{},
		howsure.Family{},
		tempinput.Family{},
		gothere.Family{},
		writeup.Family{},
		bench.Family{},
	}
}

// Named finds a family by its name, or nil.
func Named(name string) exercises.Family {
	for _, f := range All() {
		if f.Spec().Name == name {
			return f
		}
	}
	return nil
}

// Vocabulary is what the reader of courses must know of them.
func Vocabulary() scenarios.Vocabulary {
	var v scenarios.Vocabulary
	for _, f := range All() {
		v.Families = append(v.Families, f.Spec())
	}
	return v
}
