package generator

import (
	"fmt"
	"slices"
	"sync"

	"loopdrill/exercises"
)

// ClassSize is how many forms, by their numbers from 1, are kept apart from
// each other; those with larger numbers are drawn as they come.
const ClassSize = 40

// Two forms of a class have at most one in shareLimit of their numeric answers
// in common.
const shareLimit = 10

// Class is the forms of a class, in the order of their numbers.
type Class struct {
	Forms   []*exercises.Form
	Redrawn int // forms that were drawn again
	// Close are the forms that could not be kept apart from another one.
	Close []Close
}

// Close is a pair of forms that have too much in common, whatever was drawn.
type Close struct {
	Number, Other int
	Meeting
}

// Meeting is what two forms have in common.
type Meeting struct {
	Shared, Of int      // numeric answers alike within the tolerance, of those both ask for
	Evidence   []string // ids of exercises with the same fault and the same evidence
}

// Apart says whether neighbours may have such forms.
func (m Meeting) Apart() bool { return len(m.Evidence) == 0 && shareLimit*m.Shared <= m.Of }

// Class draws the forms 1 to n, n at most [ClassSize], of one sitting. A form
// that has more than a tenth of its numeric answers in common with one before
// it, or the same fault with the same evidence, is drawn again, now with an eye
// on the forms before it. Whether it is depends on those alone, so that a
// larger class begins with the same forms. If none of [MostRedraws] will do,
// the one with the least in common is taken and the pair comes back in Close.
//
// Answers that are the same on every form of the course do not count.
func (d *Drawer) Class(src Source, purpose exercises.Purpose, sitting, n int, tally *Tally) (*Class, error) {
	if n < 0 || n > ClassSize {
		return nil, fmt.Errorf("a class of %d forms; up to %d are kept apart", n, ClassSize)
	}
	var before []*Class
	for s := 1; s < sitting; s++ {
		c, err := d.class(src, purpose, s, n, before, nil)
		if err != nil {
			return nil, err
		}
		before = append(before, c)
	}
	return d.class(src, purpose, sitting, n, before, tally)
}

// class draws a class whose earlier sittings are known.
func (d *Drawer) class(src Source, purpose exercises.Purpose, sitting, n int, before []*Class, tally *Tally) (*Class, error) {
	c := &Class{}
	var traces []*trace
	for number := 1; number <= n; number++ {
		var earlier []*exercises.Form
		for _, b := range before {
			earlier = append(earlier, b.Forms[number-1])
		}
		var best *exercises.Form
		var bestTrace *trace
		var bestClose []Close
		for redraw := range MostRedraws {
			w := Which{Number: number, Sitting: sitting, Redraw: redraw}
			if err := w.check(); err != nil {
				return nil, err
			}
			form, err := d.form(src, purpose, w, earlier, traces, tally)
			if err != nil {
				return nil, err
			}
			t := d.trace(form)
			var near []Close
			for i, o := range traces {
				if m := t.meeting(o); !m.Apart() {
					near = append(near, Close{number, i + 1, m})
				}
			}
			if best == nil || weight(near) < weight(bestClose) {
				best, bestTrace, bestClose = form, t, near
				if len(near) == 0 {
					if redraw > 0 {
						c.Redrawn++
					}
					break
				}
			}
		}
		c.Forms, traces, c.Close = append(c.Forms, best), append(traces, bestTrace), append(c.Close, bestClose...)
	}
	return c, nil
}

// classes remembers the classes that were drawn for the sake of a form in them,
// so that thirty forms that are looked up by their codes cost one class.
type classes struct {
	mu sync.Mutex
	of map[classKey]*Class
}

type classKey struct {
	secret, seed string
	purpose      exercises.Purpose
	sitting      int
}

// begun gives the beginning of a class, of at least n forms.
func (d *Drawer) begun(src Source, purpose exercises.Purpose, sitting, n int) (*Class, error) {
	d.classes.mu.Lock()
	defer d.classes.mu.Unlock()
	key := classKey{string(src.Secret), src.Seed, purpose, sitting}
	if c := d.classes.of[key]; c != nil && len(c.Forms) >= n {
		return c, nil
	}
	// Some more than asked for, since others will follow.
	c, err := d.Class(src, purpose, sitting, min((n+7)/8*8, ClassSize), nil)
	if err == nil {
		d.classes.of[key] = c
	}
	return c, err
}

// away gives, for a form that is drawn again, the choice among draws of the
// exercises, taken one after the other: the one that leaves the forms before it
// with the least in common.
func (d *Drawer) away(traces []*trace) func(i int, items []exercises.Item) int {
	shared, fixed := make([]int, len(traces)), d.fixed()
	return func(i int, items []exercises.Item) int {
		best, least := 0, -1
		var bestShared []int
		for k := range items {
			it := traceItem("", &items[k], fixed[i])
			now, cost := slices.Clone(shared), 0
			for j, t := range traces {
				m := Meeting{}
				it.meet(&t.items[i], &m)
				now[j] += m.Shared
				cost += now[j]*now[j] + 100000*len(m.Evidence)
			}
			if least < 0 || cost < least {
				best, least, bestShared = k, cost, now
			}
		}
		shared = bestShared
		return best
	}
}

// weight orders what redraws have in common with the forms before them.
func weight(near []Close) int {
	w := 0
	for _, c := range near {
		w += 1000*len(c.Evidence) + 1000*c.Shared/max(c.Of, 1)
	}
	return w
}

// earlier gives the forms of the sittings before w of the same person.
func (d *Drawer) earlier(src Source, purpose exercises.Purpose, w Which) ([]*exercises.Form, error) {
	var out []*exercises.Form
	for s := 1; s < w.sitting(); s++ {
		if w.Number > ClassSize {
			f, err := d.form(src, purpose, Which{Number: w.Number, Sitting: s}, out, nil, nil)
			if err != nil {
				return nil, err
			}
			out = append(out, f)
			continue
		}
		c, err := d.begun(src, purpose, s, w.Number)
		if err != nil {
			return nil, err
		}
		out = append(out, c.Forms[w.Number-1])
	}
	return out, nil
}

// MeetAll says what each two of the forms have in common.
func (d *Drawer) MeetAll(forms []*exercises.Form) []Meeting {
	var out []Meeting
	var traces []*trace
	for _, f := range forms {
		t := d.trace(f)
		for _, o := range traces {
			out = append(out, t.meeting(o))
		}
		traces = append(traces, t)
	}
	return out
}

// Meet says what two forms of the course have in common.
func (d *Drawer) Meet(a, b *exercises.Form) Meeting { return d.trace(a).meeting(d.trace(b)) }

// trace is what a form is compared by.
type trace struct{ items []itemTrace }

type itemTrace struct {
	exercise string
	numbers  []traceNumber // in the order of the boxes
	evidence string        // empty where no fault was put in
}

type traceNumber struct {
	box              string
	value, tolerance int64 // units of 10^-9
}

func (d *Drawer) trace(f *exercises.Form) *trace {
	t := &trace{}
	fixed := d.fixed()
	for i := range f.Items {
		t.items = append(t.items, traceItem(f.Items[i].Exercise.ID, &f.Items[i].Item, fixed[i]))
	}
	return t
}

func traceItem(exercise string, item *exercises.Item, fixed []string) itemTrace {
	it := itemTrace{exercise: exercise, numbers: numbersOf(item, fixed)}
	if name := item.Key.FaultName; name != "" {
		it.evidence = name + "\n" + evidence(item)
	}
	return it
}

// numbersOf lists the numeric answers of an item but those of fixed boxes. A task
// at the bench has none: they are read on a loop while somebody watches, and
// those as left are nearly the same for all who do well.
func numbersOf(item *exercises.Item, fixed []string) []traceNumber {
	var out []traceNumber
	if item.Key.Bench != nil {
		return nil
	}
	for i, part := range item.Sheet.Parts {
		for j, box := range part.Boxes {
			a := item.Key.Parts[i].Answers[j]
			if box.Kind != exercises.NumberBox || a.Stop {
				continue
			}
			// The same id may ask now for one thing and now for another.
			id := box.ID + " " + box.Unit
			if slices.Contains(fixed, id) {
				continue
			}
			v, err1 := a.Value.Round(9)
			t, err2 := a.Tolerance.Round(9)
			if err1 == nil && err2 == nil {
				out = append(out, traceNumber{id, v, t})
			}
		}
	}
	return out
}

// alike says whether one answer could be copied from the other.
func (n traceNumber) alike(m traceNumber) bool {
	diff := n.value - m.value
	return max(diff, -diff) <= max(n.tolerance, m.tolerance)
}

// eachPair calls f for the numbers that both lists ask for.
func eachPair(a, b []traceNumber, f func(x, y traceNumber)) {
	for i, x := range a {
		if i < len(b) && b[i].box == x.box { // nearly always
			f(x, b[i])
			continue
		}
		if j := slices.IndexFunc(b, func(y traceNumber) bool { return y.box == x.box }); j >= 0 {
			f(x, b[j])
		}
	}
}

func (t *trace) meeting(o *trace) Meeting {
	var m Meeting
	for i := range t.items {
		t.items[i].meet(&o.items[i], &m)
	}
	return m
}

func (a *itemTrace) meet(b *itemTrace, m *Meeting) {
	eachPair(a.numbers, b.numbers, func(x, y traceNumber) {
		m.Of++
		if x.alike(y) {
			m.Shared++
		}
	})
	if a.evidence != "" && a.evidence == b.evidence {
		m.Evidence = append(m.Evidence, b.exercise)
	}
}

// evidence is what a sheet shows, as text to compare. What a task at the bench
// shows is what was set up there.
func evidence(item *exercises.Item) string {
	s := &item.Sheet
	b := []byte(s.Intro.Plain())
	if item.Key.Bench != nil {
		b = append(b, item.Key.Fault...)
	}
	for _, f := range s.Figures {
		switch {
		case f.Face != nil:
			b = fmt.Appendln(b, f.Face.Lever, f.Face.Ring, f.Face.Needle)
		case f.Table != nil:
			b = fmt.Appendln(b, f.Table.Rows)
		}
	}
	return string(b)
}

// meets says whether two items of plan i have a drawn number in common, or the
// same fault with the same evidence. A value that many draws have in a box (an
// error of 0 at 0 %, where only the span is off) is none: nobody is helped by
// meeting it again.
func (d *Drawer) meets(i int, a, b *exercises.Item) bool {
	met := a.Key.FaultName != "" && a.Key.FaultName == b.Key.FaultName && evidence(a) == evidence(b)
	usual := d.usual()[i]
	eachPair(numbersOf(a, nil), numbersOf(b, nil), func(x, y traceNumber) {
		met = met || x.alike(y) && !slices.ContainsFunc(usual[x.box], func(v int64) bool {
			return traceNumber{value: v, tolerance: x.tolerance}.alike(x)
		})
	})
	return met
}

// probes is how many draws of an exercise are looked at to learn which values
// its boxes have often; usualIn is what counts as often: one draw in so many.
const (
	probes  = 160
	usualIn = 20
)

// usualValues finds, for each plan and each of its number boxes, the values
// that at least one draw in [usualIn] has.
func (d *Drawer) usualValues() []map[string][]int64 {
	out := make([]map[string][]int64, len(d.plans))
	for i, p := range d.plans {
		counts := map[string]map[int64]int{}
		for _, u := range Points(1, probes) {
			item, err := Try(p.plan, u)
			if err != nil {
				continue
			}
			for _, n := range numbersOf(&item, nil) {
				if counts[n.box] == nil {
					counts[n.box] = map[int64]int{}
				}
				counts[n.box][n.value]++
			}
		}
		out[i] = map[string][]int64{}
		for box, values := range counts {
			all := 0
			for _, n := range values {
				all += n
			}
			for v, n := range values {
				if usualIn*n >= all {
					out[i][box] = append(out[i][box], v)
				}
			}
			slices.Sort(out[i][box])
		}
	}
	return out
}

// fixedBoxes finds, for each plan, the number boxes with the same answer in
// every draw.
func (d *Drawer) fixedBoxes() [][]string {
	out := make([][]string, len(d.plans))
	for i, p := range d.plans {
		values := map[string][]int64{}
		var boxes []string
		for _, u := range Points(1, probes) {
			item, err := Try(p.plan, u)
			if err != nil {
				continue
			}
			for _, n := range numbersOf(&item, nil) {
				if values[n.box] == nil {
					boxes = append(boxes, n.box)
				}
				if len(values[n.box]) < 2 && !slices.Contains(values[n.box], n.value) {
					values[n.box] = append(values[n.box], n.value)
				}
			}
		}
		for _, b := range boxes {
			if len(values[b]) == 1 {
				out[i] = append(out[i], b)
			}
		}
	}
	return out
}
