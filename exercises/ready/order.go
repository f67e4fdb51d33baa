package ready

import (
	"slices"
	"strings"

	"loopdrill/exercises"
)

// order asks for the order of some steps of the job. Which steps are shown is
// drawn; what must come first has a reason that the working gives.
func (w *item) order() {
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	sets := w.task.asked
	steps := w.task.of(sets[w.pick.Int(len(sets))])
	pairs := w.task.pairs(steps)
	key := &exercises.Order{Steps: steps, Before: pairs.before, Safety: pairs.safety}
	marks := map[string]int{"easy": 3, "usual": 4, "hard": 5}[w.plan.exercise.Level]
	box := exercises.Box{ID: label, Kind: exercises.OrderBox, Name: w.Text("name.order").Plain()}
	for _, i := range w.printed(steps, pairs) {
		box.Options = append(box.Options, exercises.Option{ID: steps[i], Text: w.Text("step." + steps[i])})
	}
	part := exercises.Part{Label: label, Prompt: w.Text("ask.order-" + w.task.id), Marks: marks, Boxes: []exercises.Box{box}}
	k := exercises.PartKey{Label: label,
		Answers: []exercises.Answer{{Box: label, Order: key}},
		Working: []exercises.Step{{Text: w.Text("work.order")}, {Table: w.reasons(box, pairs)}, {Text: w.Text("work.order-free")}},
		Credit:  []exercises.Credit{{Marks: marks, For: w.Text("credit.order")}},
	}
	taken := [][]string{steps}
	for _, s := range w.task.slips {
		wrong, ok := s.put(steps)
		if !ok || pairs.keep(wrong) || slices.ContainsFunc(taken, func(t []string) bool { return slices.Equal(t, wrong) }) {
			continue
		}
		taken = append(taken, wrong)
		k.Slips = append(k.Slips, exercises.Slip{ID: s.id, Name: s.name, Feedback: w.Text("slip." + s.id),
			Answers: []exercises.SlipAnswer{{Box: label, Order: wrong}}})
	}
	w.Item.Add(part, k)
}

// reasons is the table of what comes before what, and why: a row for each rule
// and each set of steps that it puts first.
func (w *item) reasons(box exercises.Box, p pairs) *exercises.Table {
	t := &exercises.Table{}
	for _, head := range []string{"first", "then", "reason"} {
		t.Columns = append(t.Columns, exercises.Column{Head: w.Text("head." + head).Plain()})
	}
	letter := func(step string) string {
		return string(rune('A' + slices.IndexFunc(box.Options, func(o exercises.Option) bool { return o.ID == step })))
	}
	all := join(p.safety, p.before)
	for _, r := range w.task.rules {
		var firsts, thens []string // rows of this rule
		for _, b := range r.then {
			var first []string
			for _, a := range r.first {
				if slices.Contains(all, [2]string{a, b}) {
					first = append(first, letter(a))
				}
			}
			f := strings.Join(first, ", ")
			switch i := slices.Index(firsts, f); {
			case f == "":
			case i >= 0:
				thens[i] += ", " + letter(b)
			default:
				firsts, thens = append(firsts, f), append(thens, letter(b))
			}
		}
		why := w.Text("why." + r.why).Plain()
		if r.safe {
			why = w.Text("why-safe", "why", why).Plain()
		}
		for i := range firsts {
			t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: firsts[i]}, {Text: thens[i]}, {Text: why}}})
		}
	}
	return t
}

// pairs are the pairs of some steps of which the first must come before the
// second: those that keep people safe, and the others. What follows from pairs
// is left out, but a pair for safety only where it follows from others for
// safety.
type pairs struct{ before, safety [][2]string }

func (j *job) pairs(steps []string) pairs {
	must, safe := map[[2]string]bool{}, map[[2]string]bool{}
	for _, r := range j.rules {
		for _, a := range r.first {
			for _, b := range r.then {
				if slices.Contains(steps, a) && slices.Contains(steps, b) {
					must[[2]string{a, b}] = true
					safe[[2]string{a, b}] = safe[[2]string{a, b}] || r.safe
				}
			}
		}
	}
	for p, is := range safe {
		if !is {
			delete(safe, p)
		}
	}
	direct := func(of map[[2]string]bool) map[[2]string]bool {
		all := closed(steps, of)
		out := map[[2]string]bool{}
		for p := range of {
			if !slices.ContainsFunc(steps, func(mid string) bool { return all[[2]string{p[0], mid}] && all[[2]string{mid, p[1]}] }) {
				out[p] = true
			}
		}
		return out
	}
	must, safe = direct(must), direct(safe)
	var out pairs
	for _, b := range steps {
		for _, a := range steps {
			switch p := [2]string{a, b}; {
			case safe[p]:
				out.safety = append(out.safety, p)
			case must[p]:
				out.before = append(out.before, p)
			}
		}
	}
	return out
}

// closed adds what follows from pairs.
func closed(steps []string, of map[[2]string]bool) map[[2]string]bool {
	all := map[[2]string]bool{}
	for p := range of {
		all[p] = true
	}
	for _, mid := range steps {
		for _, a := range steps {
			for _, b := range steps {
				if all[[2]string{a, mid}] && all[[2]string{mid, b}] {
					all[[2]string{a, b}] = true
				}
			}
		}
	}
	return all
}

// keep says whether an order keeps every pair.
func (p pairs) keep(order []string) bool {
	for _, q := range join(p.before, p.safety) {
		if slices.Index(order, q[0]) > slices.Index(order, q[1]) {
			return false
		}
	}
	return true
}

// printed draws the order in which the steps are printed: none that is right.
func (w *item) printed(steps []string, p pairs) []int {
	mixed := w.pick.Shuffle(len(steps))
	given := make([]string, len(steps))
	for i, j := range mixed {
		given[i] = steps[j]
	}
	if p.keep(given) {
		slices.Reverse(mixed)
	}
	return mixed
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

func join(lists ...[][2]string) [][2]string {
	var out [][2]string
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}
