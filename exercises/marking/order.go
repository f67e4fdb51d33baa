package marking

import (
	"fmt"
	"math/big"
	"math/bits"
	"strconv"
	"strings"
)

// Ordering is how an order was judged.
type Ordering struct {
	Given   []string // ids in the order given
	Omitted []string // ids that were left out, in the order of the question
	Nearest []string // the right order nearest to what was given
	Move    []string // the fewest steps to move: what is not in the longest run of Given
	Tau     Pairs    // the pairs of steps, given against nearest
	Marks   int      // earned
	// Broken are the safety pairs whose first step comes after the second or
	// is left out; the part then earns nothing.
	Broken [][2]string
}

// relation checks the partial order; before[i] is the set of steps that must
// come before step i.
func (o *Order) relation() (before []uint, err error) {
	if _, err := named(o.Steps); err != nil {
		return nil, err
	}
	n := len(o.Steps)
	switch {
	case n < 2 || n > mostSteps:
		return nil, fmt.Errorf("an order of %d steps; between 2 and %d can be marked", n, mostSteps)
	case o.Marks < 0:
		return nil, fmt.Errorf("an order for %d marks", o.Marks)
	}
	index := map[string]int{}
	for i, s := range o.Steps {
		if _, twice := index[s.ID]; twice {
			return nil, fmt.Errorf("step %q is there twice", s.ID)
		}
		index[s.ID] = i
	}
	before = make([]uint, n)
	for _, pair := range append(o.Before[:len(o.Before):len(o.Before)], o.Safety...) {
		a, ok1 := index[pair[0]]
		b, ok2 := index[pair[1]]
		if !ok1 || !ok2 {
			return nil, fmt.Errorf("%q before %q names a step that is not there", pair[0], pair[1])
		}
		before[b] |= 1 << a
	}
	// Whatever is free of what must precede it can be done; in a circle
	// nothing is.
	var done uint
	for range o.Steps {
		for i, need := range before {
			if need&^done == 0 {
				done |= 1 << i
			}
		}
	}
	for i, s := range o.Steps {
		if done&(1<<i) == 0 {
			return nil, fmt.Errorf("step %q waits for a step that waits for it", s.ID)
		}
	}
	return before, nil
}

func (o *Order) judge(text string) Result {
	t, rule, ok := tidy(text)
	switch {
	case !ok:
		return unread(text, rule)
	case isBlank(t):
		return Result{Text: text, Verdict: Blank, Rule: RuleBlank}
	}
	given, ok := o.list(t)
	if !ok {
		return query(text, RuleNoStep, "it is not a list of the steps, each once; which order is meant?")
	}
	before, _ := o.relation() // Check has seen it
	ord := o.rank(given, before)
	r := Result{Text: text, Verdict: Wrong, Rule: RuleOrder, Order: &ord}
	switch {
	case len(ord.Broken) > 0:
		r.Rule = RuleSafety
	case len(ord.Omitted) == 0 && ord.Tau.Against == 0:
		r.Verdict, r.NumberRight = Correct, true
	}
	r.Readings = []Reading{{Text: strings.Join(ord.Given, ", "), Verdict: r.Verdict, Rule: r.Rule}}
	return r
}

// list reads the steps in the order typed. They may be parted by commas,
// semicolons, arrows or spaces, and by nothing where every name that has one
// letter will do. Numbers instead are those beside the steps, in their printed
// order, as they stand on paper: "2, 3, 1" puts the third step first.
func (o *Order) list(t string) (given []int, ok bool) {
	if given, ok := o.numbered(t); ok {
		return given, true
	}
	names, _ := named(o.Steps)
	for _, parts := range [][]string{
		strings.FieldsFunc(t, func(r rune) bool { return strings.ContainsRune(",;>→", r) }),
		strings.FieldsFunc(t, func(r rune) bool { return strings.ContainsRune(",;>→ ", r) }),
		strings.Split(t, ""),
	} {
		if given, ok := steps(parts, names); ok {
			return given, true
		}
	}
	return nil, false
}

// numbered reads a number for each step, or a dash for a step that has none. No
// name of a step may be a number, or it would have two readings.
func (o *Order) numbered(t string) (given []int, ok bool) {
	for _, s := range o.Steps {
		for _, name := range append([]string{s.ID}, s.Names...) {
			if _, err := strconv.Atoi(name); err == nil {
				return nil, false
			}
		}
	}
	parts := strings.FieldsFunc(t, func(r rune) bool { return strings.ContainsRune(",; ", r) })
	if len(parts) != len(o.Steps) {
		return nil, false
	}
	at := make([]int, len(parts)) // step at each place, from 1; 0 none
	for i, p := range parts {
		if isBlank(p) {
			continue
		}
		n, err := strconv.Atoi(p)
		if err != nil || n < 1 || n > len(at) || at[n-1] != 0 {
			return nil, false
		}
		at[n-1] = i + 1
	}
	for _, i := range at {
		if i > 0 {
			given = append(given, i-1)
		}
	}
	return given, len(given) > 0
}

// steps looks up each name; none may be there twice.
func steps(parts []string, names map[string]int) (given []int, ok bool) {
	seen := map[int]bool{}
	for _, p := range parts {
		t, _, ok := tidyWords(p)
		i, have := names[t]
		if !ok || !have || seen[i] {
			return nil, false
		}
		seen[i] = true
		given = append(given, i)
	}
	return given, len(given) > 0
}

// rank compares the order given with the nearest right one.
func (o *Order) rank(given []int, before []uint) Ordering {
	n := len(o.Steps)
	place := make([]int, n) // in what was given; omitted steps are all last
	for i := range place {
		place[i] = len(given)
	}
	var ord Ordering
	for p, i := range given {
		place[i] = p
		ord.Given = append(ord.Given, o.Steps[i].ID)
	}
	for i, s := range o.Steps {
		if place[i] == len(given) {
			ord.Omitted = append(ord.Omitted, s.ID)
		}
	}
	right := nearest(place, before)
	rank := make([]int, n)
	for p, i := range right {
		rank[i] = p
		ord.Nearest = append(ord.Nearest, o.Steps[i].ID)
	}
	ord.Tau, _ = Compare(place, rank)

	seq := make([]int, len(given))
	for p, i := range given {
		seq[p] = rank[i]
	}
	stays := map[int]bool{}
	for _, p := range LongestRun(seq) {
		stays[p] = true
	}
	for p, i := range given {
		if !stays[p] {
			ord.Move = append(ord.Move, o.Steps[i].ID)
		}
	}

	index := map[string]int{}
	for i, s := range o.Steps {
		index[s.ID] = i
	}
	for _, pair := range o.Safety {
		a, b := index[pair[0]], index[pair[1]]
		if place[a] == len(given) || place[a] > place[b] {
			ord.Broken = append(ord.Broken, pair)
		}
	}
	if len(ord.Broken) == 0 {
		ord.Marks = share(ord.Tau, o.Marks, len(given), n)
	}
	return ord
}

// share is the largest whole m with m ≤ marks × max(0, τ_b) × given/all, worked
// out on squares of whole numbers: τ_b has a root in it where steps are tied.
// given of all steps were put in order. Without that factor leaving out only the
// last step would cost nothing, and naming three of six would earn nine tenths.
func share(p Pairs, marks, given, all int) int {
	run := p.Alike - p.Against
	if run <= 0 {
		return 0
	}
	most := new(big.Int).SetInt64(int64(marks) * int64(run) * int64(given))
	most.Mul(most, most)
	m := marks
	for m > 0 {
		x := big.NewInt(int64(m) * int64(all))
		x.Mul(x, x).Mul(x, big.NewInt(int64(p.All-p.TiedX)*int64(p.All-p.TiedY)))
		if x.Cmp(most) <= 0 {
			break
		}
		m--
	}
	return m
}

// nearest finds, among the orders in which nothing precedes what must come
// before it, the one with the fewest pairs against the places given: the least
// cost of putting each set of steps first, worked up from the empty set. Of
// several it prefers, from the last place on, the step given last.
func nearest(place []int, before []uint) []int {
	n := len(place)
	const never = 1 << 30
	full := uint(1)<<n - 1
	cost := make([]int, full+1)
	last := make([]int8, full+1)
	for set := uint(1); set <= full; set++ {
		cost[set] = never
		for i := range n {
			rest := set &^ (1 << i)
			if set == rest || before[i]&^rest != 0 || cost[rest] == never {
				continue
			}
			c := cost[rest]
			for left := rest; left != 0; left &= left - 1 {
				if place[bits.TrailingZeros(left)] > place[i] {
					c++
				}
			}
			if c < cost[set] || c == cost[set] && place[i] >= place[last[set]] {
				cost[set], last[set] = c, int8(i)
			}
		}
	}
	out := make([]int, n)
	for p, set := n-1, full; p >= 0; p-- {
		out[p] = int(last[set])
		set &^= 1 << out[p]
	}
	return out
}
