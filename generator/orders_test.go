package generator

import (
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/exercises/marking"
)

// mostExtensions bounds how many right orders of one box are tried; where there
// are more, as many are drawn at random.
const mostExtensions = 120

// holdOrders marks order boxes: every order that the pairs allow earns full
// marks; one in which a step that keeps people safe comes too late, or is left
// out, earns nothing; the order in which the steps are printed, and what a slip
// gives, are wrong. It gives how many right orders were tried.
func holdOrders(t *testing.T, u uint64, item exercises.Item) (right int) {
	t.Helper()
	for i, part := range item.Sheet.Parts {
		for j, box := range part.Boxes {
			if box.Kind != exercises.OrderBox {
				continue
			}
			key := item.Key.Parts[i].Answers[j].Order
			mark := func(order []string) marking.PartResult {
				r, err := marking.MarkItem(item, map[string]string{box.ID: strings.Join(order, ", ")}, marking.Terms{})
				if err != nil {
					t.Fatalf("u=%d, box %s: %v", u, box.ID, err)
				}
				return r.Parts[i]
			}
			full := part.Marks
			if len(part.Boxes) > 1 {
				t.Fatalf("u=%d: part %s has an order among other boxes, which this test cannot tell apart", u, part.Label)
			}
			r := rand.New(rand.NewPCG(u, 5))
			orders := extensions(key, r)
			for _, o := range orders {
				if got := mark(o); got.Least != full || got.Most != full {
					t.Errorf("u=%d: the right order %v earns %d of %d", u, o, got.Least, full)
				}
			}
			right += len(orders)
			for _, p := range key.Safety {
				o := slices.Clone(orders[r.IntN(len(orders))])
				at, to := slices.Index(o, p[0]), slices.Index(o, p[1])
				late := slices.Insert(slices.Delete(slices.Clone(o), at, at+1), to, p[0])
				for _, bad := range [][]string{late, slices.Delete(slices.Clone(o), at, at+1)} {
					if got := mark(bad); got.Most != 0 || !got.Safety {
						t.Errorf("u=%d: %s does not come before %s in %v, and that earns %d of %d", u, p[0], p[1], bad, got.Most, full)
					}
				}
			}
			var printed []string
			for _, o := range box.Options {
				printed = append(printed, o.ID)
			}
			wrong := [][]string{printed}
			for _, s := range item.Key.Parts[i].Slips {
				wrong = append(wrong, s.Answers[0].Order)
			}
			for _, o := range wrong {
				if got := mark(o); got.Most >= full {
					t.Errorf("u=%d: %v is printed or a slip's, and earns full marks", u, o)
				}
			}
		}
	}
	return right
}

// extensions lists the orders that keep all pairs, or draws some of them where
// there are many. It knows nothing of how marking finds them.
func extensions(key *exercises.Order, r *rand.Rand) [][]string {
	pairs := append(slices.Clone(key.Before), key.Safety...)
	free := func(done []string) []string {
		var out []string
		for _, s := range key.Steps {
			waits := slices.ContainsFunc(pairs, func(p [2]string) bool { return p[1] == s && !slices.Contains(done, p[0]) })
			if !waits && !slices.Contains(done, s) {
				out = append(out, s)
			}
		}
		return out
	}
	var all [][]string
	var walk func(done []string)
	walk = func(done []string) {
		if len(all) > mostExtensions {
			return
		}
		if len(done) == len(key.Steps) {
			all = append(all, slices.Clone(done))
			return
		}
		for _, s := range free(done) {
			walk(append(done[:len(done):len(done)], s))
		}
	}
	walk(nil)
	if len(all) <= mostExtensions {
		return all
	}
	all = all[:0]
	for range mostExtensions {
		var done []string
		for len(done) < len(key.Steps) {
			f := free(done)
			done = append(done, f[r.IntN(len(f))])
		}
		all = append(all, done)
	}
	return all
}
