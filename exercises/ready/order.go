package ready

import (
	"slices"

	"loopdrill/exercises"
)

// order asks for the order of some steps of the job. Which steps are shown is
// drawn; what must come before what follows from the whole job, so that a step
// that is not shown still parts its neighbours.
func (w *item) order() {
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	steps := w.shown()
	key := &exercises.Order{Steps: steps}
	must := w.task.closure()
	for _, p := range w.task.safety {
		if slices.Contains(steps, p[0]) && slices.Contains(steps, p[1]) {
			key.Safety = append(key.Safety, p)
		}
	}
	for i, a := range steps {
		for _, b := range steps[i+1:] {
			pair := [2]string{a, b}
			if must[pair] && !slices.Contains(key.Safety, pair) && !followed(steps, pair, must) {
				key.Before = append(key.Before, pair)
			}
		}
	}
	marks := map[string]int{"easy": 3, "usual": 4, "hard": 5}[w.plan.exercise.Level]
	ask := w.Text("ask.order-" + w.task.id)
	box := exercises.Box{ID: label, Kind: exercises.OrderBox, Name: w.Text("name.order").Plain()}
	for _, i := range w.printed(steps, key, must) {
		box.Options = append(box.Options, exercises.Option{ID: steps[i], Text: w.Text("step." + steps[i])})
	}
	part := exercises.Part{Label: label, Prompt: ask, Marks: marks, Boxes: []exercises.Box{box}}
	k := exercises.PartKey{Label: label,
		Answers: []exercises.Answer{{Box: label, Order: key}},
		Working: []exercises.Step{{Text: w.Text("work.order-" + w.task.id)}, {Text: w.Text("work.order-safety")}},
		Credit:  []exercises.Credit{{Marks: marks, For: w.Text("credit.order")}},
	}
	taken := [][]string{steps}
	for _, s := range w.task.slips {
		wrong, ok := s.put(steps)
		if !ok || allowed(wrong, must) || slices.ContainsFunc(taken, func(t []string) bool { return slices.Equal(t, wrong) }) {
			continue
		}
		taken = append(taken, wrong)
		k.Slips = append(k.Slips, exercises.Slip{ID: s.id, Name: s.name, Feedback: w.Text("slip." + s.id),
			Answers: []exercises.SlipAnswer{{Box: label, Order: wrong}}})
	}
	w.Item.Add(part, k)
}

// shown draws the steps, in the order of the job.
func (w *item) shown() []string {
	steps := w.task.steps
	if i := slices.Index(steps, w.task.upTo); i >= 0 {
		steps = steps[:i+1]
	}
	in := map[string]bool{}
	for _, s := range w.task.core {
		in[s] = true
	}
	var rest []string
	for _, s := range steps {
		if !in[s] {
			rest = append(rest, s)
		}
	}
	mixed := w.pick.Shuffle(len(rest))
	for _, i := range mixed[:min(len(mixed), w.task.shown-len(in))] {
		in[rest[i]] = true
	}
	var out []string
	for _, s := range steps {
		if in[s] {
			out = append(out, s)
		}
	}
	return out
}

// printed draws the order in which the steps are printed: none that is right.
func (w *item) printed(steps []string, key *exercises.Order, must map[[2]string]bool) []int {
	mixed := w.pick.Shuffle(len(steps))
	given := make([]string, len(steps))
	for i, j := range mixed {
		given[i] = steps[j]
	}
	if allowed(given, must) {
		slices.Reverse(mixed)
	}
	return mixed
}

// closure lists all pairs that the pairs of the job make.
func (j *job) closure() map[[2]string]bool {
	must := map[[2]string]bool{}
	for _, p := range join(j.before, j.safety) {
		must[p] = true
	}
	for _, mid := range j.steps {
		for _, a := range j.steps {
			for _, b := range j.steps {
				if must[[2]string{a, mid}] && must[[2]string{mid, b}] {
					must[[2]string{a, b}] = true
				}
			}
		}
	}
	return must
}

// followed says whether a pair follows from two others among the steps.
func followed(steps []string, p [2]string, must map[[2]string]bool) bool {
	return slices.ContainsFunc(steps, func(mid string) bool {
		return must[[2]string{p[0], mid}] && must[[2]string{mid, p[1]}]
	})
}

// allowed says whether an order keeps every pair.
func allowed(order []string, must map[[2]string]bool) bool {
	for i, a := range order {
		for _, b := range order[:i] {
			if must[[2]string{a, b}] {
				return false
			}
		}
	}
	return true
}

// put moves the steps as the misconception does; false where one of them is not
// among the steps.
func (m misplaced) put(steps []string) ([]string, bool) {
	out := slices.Clone(steps)
	for _, move := range m.moves {
		from := slices.Index(out, move[0])
		if from < 0 || !slices.Contains(out, move[2]) {
			return nil, false
		}
		out = slices.Delete(out, from, from+1)
		to := slices.Index(out, move[2])
		if move[1] == after {
			to++
		}
		out = slices.Insert(out, to, move[0])
	}
	return out, true
}
