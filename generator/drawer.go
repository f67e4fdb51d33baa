package generator

import (
	"cmp"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
)

// maxTries is how many draws of one exercise may be thrown away in a row
// before the generator gives up. With a reject rate of one half this happens
// once in 10^300 forms.
const maxTries = 1000

// Drawer draws the forms of one course. It is immutable and safe for
// concurrent use.
type Drawer struct {
	course *scenarios.Course
	plans  []plan
	digest string // of the course's files and the versions of its families

	// By plan, worked out when first wanted: the boxes whose answer is the
	// same on every form, and the values that a box often has.
	fixed func() [][]string
	usual func() []map[string][]int64

	classes *classes
}

type plan struct {
	exercise *scenarios.Exercise
	version  int
	plan     exercises.Plan
}

// Prepare works out once what every form of the course needs. families finds
// a family by its name. What stops an exercise from being drawn comes back as
// diagnostics, at the place where the course asks for it.
func Prepare(course *scenarios.Course, families func(name string) exercises.Family) (*Drawer, []diag.Diagnostic) {
	var plans []plan
	var ds []diag.Diagnostic
	for _, e := range course.Exercises {
		f := families(e.Family)
		if f == nil {
			ds = append(ds, diag.Diagnostic{
				Severity: diag.Error, Rule: "unknown-family",
				Summary: fmt.Sprintf("exercise %q asks for the family %q, which does not exist", e.ID, e.Family),
				At:      diag.Place{File: e.File, Line: e.Line, Column: e.Column, Width: 1},
			})
			continue
		}
		p, more := f.Prepare(e)
		ds = append(ds, more...)
		if p != nil && !slices.ContainsFunc(more, isError) {
			ds = append(ds, tryOut(e, p)...)
		}
		plans = append(plans, plan{e, f.Version(), p})
	}
	if slices.ContainsFunc(ds, isError) {
		return nil, ds
	}
	return newDrawer(course, plans), ds
}

func newDrawer(course *scenarios.Course, plans []plan) *Drawer {
	d := &Drawer{course: course, plans: plans, classes: &classes{of: map[classKey]*Class{}}}
	d.digest = d.sources()
	d.fixed = sync.OnceValue(d.fixedBoxes)
	d.usual = sync.OnceValue(d.usualValues)
	return d
}

// Digest tells the course's files and the versions of its families from any
// others: SHA-256, in hexadecimal.
func (d *Drawer) Digest() string { return d.digest }

func (d *Drawer) sources() string {
	h := sha256.New()
	for _, s := range d.course.Sources {
		fmt.Fprintf(h, "%q %d\n", s.Path, len(s.Bytes))
		h.Write(s.Bytes)
	}
	for _, p := range d.plans {
		fmt.Fprintf(h, "%q %q %d\n", p.exercise.ID, p.exercise.Family, p.version)
	}
	return hex.EncodeToString(h.Sum(nil))
}

// FamilyVersions gives the version of each family that the course uses, by
// name.
func (d *Drawer) FamilyVersions() map[string]int {
	out := map[string]int{}
	for _, p := range d.plans {
		out[p.exercise.Family] = p.version
	}
	return out
}

func isError(d diag.Diagnostic) bool { return d.Severity == diag.Error }

// Rejects counts the draws of one exercise and those thrown away, by reason.
type Rejects struct {
	Exercise string        `json:"-"`
	Draws    int           `json:"draws"`
	Reasons  []ReasonCount `json:"reasons"` // most frequent first
}

// ReasonCount is how often one reason came up.
type ReasonCount struct {
	Reason exercises.Reject `json:"reason"`
	Count  int              `json:"count"`
}

// Rejected is the number of draws thrown away.
func (r Rejects) Rejected() int {
	n := 0
	for _, c := range r.Reasons {
		n += c.Count
	}
	return n
}

// Tally adds up rejects over many forms. The zero Tally is empty. It is not
// safe for concurrent use; give each worker its own and [Tally.Add] them.
type Tally struct {
	ids    []string
	draws  map[string]int
	counts map[string]map[exercises.Reject]int
}

func (t *Tally) note(exercise string, rejected exercises.Reject) {
	if t == nil {
		return
	}
	if t.draws == nil {
		t.draws, t.counts = map[string]int{}, map[string]map[exercises.Reject]int{}
	}
	if t.counts[exercise] == nil {
		t.counts[exercise] = map[exercises.Reject]int{}
		t.ids = append(t.ids, exercise)
	}
	t.draws[exercise]++
	if rejected != "" {
		t.counts[exercise][rejected]++
	}
}

// Add adds another tally to t.
func (t *Tally) Add(o *Tally) {
	for _, id := range o.ids {
		rejected := 0
		for reason, n := range o.counts[id] {
			rejected += n
			for range n {
				t.note(id, reason)
			}
		}
		for range o.draws[id] - rejected {
			t.note(id, "")
		}
	}
}

// Report gives the counts, one row an exercise, in the order of the course.
func (t *Tally) Report(course *scenarios.Course) []Rejects {
	var out []Rejects
	for _, e := range course.Exercises {
		out = append(out, t.of(e.ID))
	}
	return out
}

// of gives the counts of one exercise.
func (t *Tally) of(exercise string) Rejects {
	r := Rejects{Exercise: exercise, Draws: t.draws[exercise], Reasons: []ReasonCount{}}
	for reason, n := range t.counts[exercise] {
		r.Reasons = append(r.Reasons, ReasonCount{reason, n})
	}
	slices.SortFunc(r.Reasons, func(a, b ReasonCount) int {
		return cmp.Or(-cmp.Compare(a.Count, b.Count), cmp.Compare(a.Reason, b.Reason))
	})
	return r
}

// Form draws form number n of the first sitting, from 1, without looking at
// other forms. tally may be nil. An exercise that cannot be drawn within
// [maxTries] is an error that names it and its reasons.
func (d *Drawer) Form(src Source, purpose exercises.Purpose, n int, tally *Tally) (*exercises.Form, error) {
	return d.FormOf(src, purpose, Which{Number: n}, tally)
}

// FormOf draws any form. One of a later sitting has no drawn number in common
// with the forms that the same person had in the sittings before, and one that
// was drawn again keeps away from those before it in its class: these are drawn
// for it too.
func (d *Drawer) FormOf(src Source, purpose exercises.Purpose, w Which, tally *Tally) (*exercises.Form, error) {
	if err := w.check(); err != nil {
		return nil, err
	}
	if w.Redraw > 0 {
		if w.Number > ClassSize {
			return nil, fmt.Errorf("form %d cannot have been drawn again: only the first %d are", w.Number, ClassSize)
		}
		c, err := d.begun(src, purpose, w.sitting(), w.Number)
		if err != nil {
			return nil, err
		}
		form := c.Forms[w.Number-1]
		if form.Code != d.code(src, purpose, w) {
			return nil, fmt.Errorf("form %d was not drawn again %d times", w.Number, w.Redraw)
		}
		return form, nil
	}
	earlier, err := d.earlier(src, purpose, w)
	if err != nil {
		return nil, err
	}
	return d.form(src, purpose, w, earlier, nil, tally)
}

// form draws one form that has no number in common with earlier ones, and if
// it is a redraw, little with those that left traces.
func (d *Drawer) form(src Source, purpose exercises.Purpose, w Which, earlier []*exercises.Form, traces []*trace, tally *Tally) (*exercises.Form, error) {
	if (purpose == exercises.Assessment) != (src.Secret != nil) {
		return nil, fmt.Errorf("forms for %s need %s", purpose, map[bool]string{true: "the secret of the course", false: "a seed, and no secret"}[purpose == exercises.Assessment])
	}
	form := &exercises.Form{
		Course: d.course, Purpose: purpose, Number: w.Number, Sitting: w.sitting(),
		Code: d.code(src, purpose, w), Version: Version,
	}
	if purpose == exercises.Practice {
		form.Seed = src.Seed
	}
	choose, of := func(int, []exercises.Item) int { return 0 }, 1
	if w.Redraw > 0 {
		choose, of = d.away(traces), 3+3*w.Redraw // more each time, since few are needed as a rule
	}
	for i, p := range d.plans {
		var avoid func(*exercises.Item) bool
		if len(earlier) > 0 {
			avoid = func(item *exercises.Item) bool {
				return slices.ContainsFunc(earlier, func(f *exercises.Form) bool {
					return d.meets(i, item, &f.Items[i].Item)
				})
			}
		}
		next := src.points(d.course.ID, p.exercise.ID, p.version, w)
		var items []exercises.Item
		for range of {
			item, err := p.draw(next, avoid, tally)
			if err != nil {
				return nil, err
			}
			items = append(items, item)
		}
		form.Items = append(form.Items, exercises.Drawn{Exercise: p.exercise, Item: items[choose(i, items)]})
	}
	return form, nil
}

// draw tries one point after the other. avoid may be nil.
func (p plan) draw(next func() uint64, avoid func(*exercises.Item) bool, tally *Tally) (exercises.Item, error) {
	var last exercises.Reject
	for range maxTries {
		item, err := Try(p.plan, next())
		if err == nil {
			err = weigh(&item, p.exercise.Marks)
		}
		if err == nil && avoid != nil && avoid(&item) {
			err = RejectEarlier
		}
		if err == nil {
			tally.note(p.exercise.ID, "")
			return item, nil
		}
		r, ok := err.(exercises.Reject)
		if !ok {
			return item, fmt.Errorf("exercise %q: %w", p.exercise.ID, err)
		}
		if r == rejectBrokenForm {
			return item, fmt.Errorf("exercise %q: the family %s made %s; please report this", p.exercise.ID, p.exercise.Family, r)
		}
		last = r
		tally.note(p.exercise.ID, r)
	}
	return exercises.Item{}, fmt.Errorf("exercise %q: %d draws in a row were thrown away, the last for %s; give it more loops or faults", p.exercise.ID, maxTries, last)
}

// Try draws one item at the point u and holds the promises against it. A
// broken promise comes back as an error of type [exercises.Reject].
func Try(p exercises.Plan, u uint64) (exercises.Item, error) {
	item, err := p.Item(u)
	if err != nil {
		return item, err
	}
	return item, settle(&item)
}

// Points gives n points of a draw space spread evenly, for tests and for
// check: the same for the same seed.
func Points(seed uint64, n int) []uint64 {
	var key [32]byte
	binary.LittleEndian.PutUint64(key[:], seed)
	r := rand.NewChaCha8(key)
	out := make([]uint64, n)
	for i := range out {
		out[i] = r.Uint64()
	}
	return out
}
