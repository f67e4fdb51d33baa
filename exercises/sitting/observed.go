package sitting

import (
	"fmt"
	"slices"

	"loopdrill/exercises/answerfile"
)

// Seen is what an assessor saw of a step of a practical task.
type Seen string

// What can be seen of a step.
const (
	Done     Seen = "done"
	Prompted Seen = "prompted" // done after a prompt; the words are noted
	NotDone  Seen = "not done"
	NotSeen  Seen = "not seen"
)

// Step is a step of a practical task as it was ticked.
type Step struct {
	Text     string
	Critical bool
	Result   Seen
	Words    string // of the prompt, or a remark
}

// Task is a practical task on a real loop as it was observed.
type Task struct {
	Name, Assessor, Date string
	// What the observation sheet has beside the steps; empty: not said.
	Identity     string // how it was made sure who it was
	Serials      string // serial numbers of the instruments
	Conditions   string // where, on which loop, energised or not
	Arrangements string // sitting, reader, scribe, extra time
	Stopped      string // why the task was broken off; such a task is not passed
	Steps        []Step
}

// Outcome is what became of a practical task.
type Outcome string

// The outcomes. A critical step that was prompted or not done fails the task
// whatever the rest; one that was not seen, or hardly half of the steps seen,
// leaves it undecided.
const (
	TaskPassed    Outcome = "passed"
	TaskFailed    Outcome = "not yet"
	TaskUndecided Outcome = "undecided"
)

// Outcome judges a task against the pass mark of the course, a percentage of the
// steps that were seen; a step done after a prompt counts as not done. 0 asks for
// the critical steps alone.
func (t Task) Outcome(passMark int) Outcome {
	if t.Stopped != "" {
		return TaskFailed
	}
	done, seen, undecided := 0, 0, false
	for _, s := range t.Steps {
		if s.Result != NotSeen {
			seen++
		}
		switch {
		case s.Result == Done:
			done++
		case s.Critical && s.Result == NotSeen:
			undecided = true
		case s.Critical:
			return TaskFailed
		}
	}
	switch {
	case undecided || seen == 0 || 2*seen < len(t.Steps):
		return TaskUndecided
	case 100*done < passMark*seen:
		return TaskFailed
	}
	return TaskPassed
}

// Counts counts the steps by what was seen of them.
func (t Task) Counts() map[Seen]int {
	m := map[Seen]int{}
	for _, s := range t.Steps {
		m[s.Result]++
	}
	return m
}

func (c *collector) observed(w *Work, r answerfile.Row) {
	results := []Seen{Done, Prompted, NotDone, NotSeen}
	result := Seen(folded(r.Get("result")))
	if !slices.Contains(results, result) {
		c.fault(answerfile.RuleValue, r.Place("result"), fmt.Sprintf("%q is not what can be seen of a step", r.Get("result")), "done, prompted, not done, or not seen")
		return
	}
	critical := folded(r.Get("critical"))
	if !slices.Contains([]string{"", "yes", "no", "x"}, critical) {
		c.fault(answerfile.RuleValue, r.Place("critical"), fmt.Sprintf("%q does not say whether the step is critical", r.Get("critical")), "yes or no")
		return
	}
	switch {
	case r.Get("step") == "" || r.Get("task") == "":
		c.fault(answerfile.RuleValue, r.At, "this row has no task or no step", "")
		return
	case result == Prompted && r.Get("words") == "":
		c.fault(answerfile.RuleUnsigned, r.Place("words"), "a step done after a prompt needs the words of the prompt", "")
		return
	case !c.signed(r, "assessor", "date"), c.twice(w, "the step "+r.Get("step")+" of "+r.Get("task"), "step", r):
		return
	}
	name := oneLine(r.Get("task"))
	i := slices.IndexFunc(w.Observed, func(t Task) bool { return t.Name == name })
	if i < 0 {
		i = len(w.Observed)
		w.Observed = append(w.Observed, Task{Name: name, Assessor: oneLine(r.Get("assessor")), Date: oneLine(r.Get("date"))})
	}
	task := &w.Observed[i]
	for column, field := range map[string]*string{"identity": &task.Identity, "serial numbers": &task.Serials,
		"conditions": &task.Conditions, "arrangements": &task.Arrangements, "stopped": &task.Stopped} {
		if *field == "" {
			*field = oneLine(r.Get(column))
		}
	}
	task.Steps = append(task.Steps, Step{
		Text: oneLine(r.Get("step")), Critical: critical == "yes" || critical == "x", Result: result, Words: oneLine(r.Get("words"))})
}
