package secondroad

import (
	"fmt"
	"slices"

	"loopdrill/exercises"
)

// sorted is an order as somebody gives it who knows why: the steps by their
// values, and which of them must come before which.
type sorted struct {
	steps []string
	must  map[[2]string]bool // all pairs, also those that follow from others
	// danger are those pairs whose second step does harm where the first has
	// not been done, and none where it has.
	danger map[[2]string]bool
}

// objections holds an order against a key: both must keep the same pairs.
func (s *sorted) objections(key *exercises.Order) []string {
	if s == nil || key == nil {
		return []string{"an order on one side only"}
	}
	var out []string
	theirs := map[[2]string]bool{}
	for _, p := range append(slices.Clone(key.Before), key.Safety...) {
		theirs[p] = true
	}
	safe := map[[2]string]bool{}
	for _, p := range key.Safety {
		safe[p] = true
	}
	for _, p := range key.Safety {
		if !s.danger[p] {
			out = append(out, fmt.Sprintf("the key says that %s before %s keeps people safe, and no harm is seen", p[0], p[1]))
		}
	}
	s.close(theirs)
	s.close(safe)
	for _, a := range s.steps {
		for _, b := range s.steps {
			p := [2]string{a, b}
			if theirs[p] != s.must[p] {
				out = append(out, fmt.Sprintf("%s before %s: the road says %v, the key %v", a, b, s.must[p], theirs[p]))
			}
			if s.danger[p] && !safe[p] {
				out = append(out, fmt.Sprintf("%s before %s keeps people safe, and the key does not say so", a, b))
			}
		}
	}
	if !same(key.Steps, s.steps) {
		out = append(out, fmt.Sprintf("the key has the steps %v, the page %v", key.Steps, s.steps))
	}
	if b := broken(key.Steps, s.must); len(b) > 0 {
		out = append(out, fmt.Sprintf("the order of the key breaks %v", b))
	}
	return out
}

// close adds what follows from pairs.
func (s *sorted) close(pairs map[[2]string]bool) {
	for _, mid := range s.steps {
		for _, a := range s.steps {
			for _, b := range s.steps {
				if pairs[[2]string{a, mid}] && pairs[[2]string{mid, b}] {
					pairs[[2]string{a, b}] = true
				}
			}
		}
	}
}

// same says whether two lists have the same entries.
func same(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return slices.Equal(a, b)
}

// broken lists the pairs that an order turns round.
func broken(order []string, must map[[2]string]bool) [][2]string {
	var out [][2]string
	for i, b := range order {
		for _, a := range order[i+1:] {
			if must[[2]string{a, b}] {
				out = append(out, [2]string{a, b})
			}
		}
	}
	slices.SortFunc(out, func(p, q [2]string) int { return slices.Compare(p[:], q[:]) })
	return out
}

// meets says whether an order breaks what a slip's order breaks; where sl is
// nil, whether it is right.
func (s *sorted) meets(a exercises.Answer, sl *exercises.Slip) bool {
	if s == nil {
		return false
	}
	var wrong []string
	if sl != nil {
		for _, x := range sl.Answers {
			if x.Box == a.Box {
				wrong = x.Order
			}
		}
	}
	return slices.Equal(broken(s.steps, s.must), broken(wrong, s.must))
}
