// Package ready is the family "ready the checker": what is done before, around
// and after a reading, in which order, and which readings count. Steps are put
// in order (the checker into a live loop, a manifold shut and opened with a dry
// or a wet leg), the mechanical zero and the cell are read from the face, and
// readings of several days are sorted into those that count and those that are
// void.
package ready

import (
	_ "embed"
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/prose"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/ready/prompts.md", promptsFile)

const (
	rejectMissed exercises.Reject = "a reading that is not what was drawn"
	rejectCell   exercises.Reject = "a cell reading too near to its line"
)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "ready-the-checker",
		Purpose: "make checker and loop ready in a safe order, and say which readings count",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "six steps around the checker's way into the loop; mechanical zero and cell from one face each"},
			{Name: "usual", Changes: "seven steps, manifolds and the way back among the jobs; the cell with the mechanical zero off; three readings to sort"},
			{Name: "hard", Changes: "nine steps; four readings to sort, and the error that the first usable one gives"},
		},
		Takes:    "loops with 4-20 mA and direct action, without a square root in the transmitter; manifolds are asked about with flows, with levels whose range begins below 0 (wet leg) and with those whose range begins above 0 (dry leg); a face of 10 divisions of 5 small marks, at most 0.1 % of span each",
		MinLoops: 1,
		Fits:     fits,
	}
}

func fits(_ string, l *scenarios.Loop) (string, bool) {
	if why, ok := nullbalance.Fits(l); !ok {
		return why, false
	}
	switch {
	case l.Root == scenarios.RootTransmitter:
		return "takes the square root in the transmitter, so that the ring's point is not that of its input", false
	case l.Action == scenarios.Reverse:
		return "is reverse-acting, so that the ring's point is not that of its input", false
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "steps and readings without a fault of the loop", nil)
	face := e.Plant.Checker.Face
	switch why, ok := nullbalance.FitsFace(face); {
	case !ok:
		ds = append(ds, exercises.At(e, diag.Error, "face-does-not-fit", fmt.Sprintf("exercise %q cannot use the checker of %s, which %s", e.ID, e.Plant.Name, why), ""))
	case face.CellLineSmall < lowestLine || face.CellLineSmall > highestLine:
		ds = append(ds, exercises.At(e, diag.Error, "face-does-not-fit",
			fmt.Sprintf("exercise %q cannot use the checker of %s, whose cell line leaves no room for weak and good cells on the face", e.ID, e.Plant.Name),
			"put the line between 3 and 6 divisions"))
	}
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e, checker: &e.Plant.Checker, loops: s.Loops, tasks: map[*scenarios.Loop][]task{}}
	for _, l := range s.Loops {
		tasks := tasksOf(e.Level, l)
		for i := range tasks {
			tasks[i].asked = tasks[i].sets()
		}
		p.tasks[l] = tasks
	}
	return p, nil
}

type plan struct {
	exercise *scenarios.Exercise
	checker  *scenarios.Checker
	loops    []*scenarios.Loop
	tasks    map[*scenarios.Loop][]task
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	l := p.loops[pick.Int(len(p.loops))]
	tasks := p.tasks[l]
	w := &item{plan: p, loop: l, face: p.checker.Face, task: tasks[pick.Int(len(tasks))], pick: pick}
	w.Prompts = prompts
	w.Words = []string{"tag", l.Tag, "service", l.Service, "plant", p.exercise.Plant.Name,
		"perdivision", exercises.Quantity(nullbalance.PerDivision(w.face), "%"),
		"line", nullbalance.Words(w.face, needleAt(w.face.CellLineSmall))}
	s := &w.Item.Sheet
	s.Title, s.Intro = p.exercise.Title, w.Text("intro")
	s.Cautions = w.task.cautions
	w.order()
	var err error
	switch p.exercise.Level {
	case "easy":
		w.rest()
		err = w.cell()
	case "usual":
		if err = w.cellWithRest(); err == nil {
			_, err = w.sort(3, false)
		}
	default:
		if err = w.cellWithRest(); err == nil {
			var rows []row
			if rows, err = w.sort(4, true); err == nil {
				w.first(rows)
			}
		}
	}
	return w.Item, err
}

// item is an exercise being built.
type item struct {
	exercises.Draft
	plan *plan
	loop *scenarios.Loop
	face scenarios.Face
	task task
	pick *exercises.Picker
}
