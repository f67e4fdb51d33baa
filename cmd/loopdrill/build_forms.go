package main

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"sync"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/scenarios"
	"loopdrill/scenarios/classlist"
	"loopdrill/scenarios/diag"
)

// drawn is the forms of a build and what their drawing cost.
type drawn struct {
	forms   []*exercises.Form
	tally   *generator.Tally
	redrawn int
	near    []generator.Close
}

// draw draws forms 1 to n. The first are kept apart from each other and so come
// one after the other; those behind them depend on their number alone and are
// drawn several at a time.
func draw(ctx context.Context, d *generator.Drawer, src generator.Source, purpose exercises.Purpose, sitting, n, workers int) (drawn, error) {
	tallies := make([]generator.Tally, workers)
	class, err := d.Class(src, purpose, sitting, min(n, generator.ClassSize), &tallies[0])
	if err != nil {
		return drawn{}, err
	}
	forms := append(class.Forms, make([]*exercises.Form, n-len(class.Forms))...)
	errs := make([]error, n)
	var wg sync.WaitGroup
	for w := range workers {
		wg.Go(func() {
			for i := len(class.Forms) + w; i < n && ctx.Err() == nil; i += workers {
				forms[i], errs[i] = d.FormOf(src, purpose, generator.Which{Number: i + 1, Sitting: sitting}, &tallies[w])
			}
		})
	}
	wg.Wait()
	if i := slices.IndexFunc(errs, func(err error) bool { return err != nil }); i >= 0 {
		return drawn{}, errs[i]
	}
	total := &generator.Tally{}
	for i := range tallies {
		total.Add(&tallies[i])
	}
	return drawn{forms, total, class.Redrawn, class.Close}, nil
}

// assign gives each form to a person of the class.
func assign(forms []*exercises.Form, class classlist.List) {
	for i, p := range class {
		forms[i].Person = exercises.Person{Number: p.Number, Name: p.Name}
	}
}

// exerciseIDs reads the ids of --only, and says what is wrong with them.
func exerciseIDs(list string, course *scenarios.Course) (ids []string, wrong, hint string) {
	var known []string
	for _, e := range course.Exercises {
		known = append(known, e.ID)
	}
	for _, id := range strings.Split(list, ",") {
		id = strings.TrimSpace(id)
		switch {
		case !slices.Contains(known, id):
			return nil, fmt.Sprintf("--only names the exercise %q, which the course does not have", id), diag.Hint(id, "exercises", known)
		case slices.Contains(ids, id):
			return nil, fmt.Sprintf("--only names the exercise %q twice", id), ""
		}
		ids = append(ids, id)
	}
	return ids, "", ""
}

// limit leaves on the forms only the exercises asked for, in the order of the
// course; none asked for leaves all.
func limit(forms []*exercises.Form, only []string) {
	if len(only) == 0 {
		return
	}
	for _, f := range forms {
		f.Items = slices.DeleteFunc(f.Items, func(d exercises.Drawn) bool { return !slices.Contains(only, d.Exercise.ID) })
	}
}

// sharedPairs is among how many forms each pair is compared for the report.
const sharedPairs = 200

// apartness says how much the forms have in common.
func apartness(d *generator.Drawer, got drawn) string {
	var b strings.Builder
	n := min(len(got.forms), generator.ClassSize)
	switch {
	case n < 2:
		return ""
	case len(got.near) == 0:
		fmt.Fprintf(&b, "apart: no two of the first %d forms share more than a tenth of their numbers, or a fault with the same evidence (%d were drawn again)\n", n, got.redrawn)
	default:
		fmt.Fprintf(&b, "NOT apart, whatever was drawn: the course has too few different draws of some exercises; give them more loops or faults\n")
		for i, c := range got.near {
			if i == 5 {
				fmt.Fprintf(&b, "  and %d more pairs\n", len(got.near)-i)
				break
			}
			fmt.Fprintf(&b, "  forms %d and %d share %d of %d numbers", c.Other, c.Number, c.Shared, c.Of)
			if len(c.Evidence) > 0 {
				fmt.Fprintf(&b, ", and the same fault with the same evidence in %s", strings.Join(c.Evidence, ", "))
			}
			b.WriteByte('\n')
		}
	}
	if len(got.forms) > generator.ClassSize {
		first := got.forms[:min(len(got.forms), sharedPairs)]
		worst, sum, of := 0.0, 0, 0
		for _, m := range d.MeetAll(first) {
			sum, of = sum+m.Shared, of+m.Of
			worst = max(worst, float64(m.Shared)/float64(max(m.Of, 1)))
		}
		fmt.Fprintf(&b, "of any two of the first %d forms %.1f %% of the numbers are alike, at most %.0f %%\n", len(first), 100*float64(sum)/float64(max(of, 1)), 100*worst)
	}
	return b.String()
}
