package whatnext

import (
	"fmt"
	"slices"

	"loopdrill/scenarios/formula"
)

// group is what shows one outcome of a test: so many faults for certain, and the
// one that may show either of two things at some of its sizes.
type group struct {
	outcome int
	certain int
	below   bool // that one does so below its turn
	above   bool // or above it
}

// groups sorts faults by what they show at a test: those still possible, or with
// listed all of the list. Outcomes that none can show are left out.
func (it *item) groups(t int, listed bool) []group {
	var out []group
	for o := range tests[t].kind.outcomes {
		g := group{outcome: o}
		for i := range it.list {
			s := &it.list[i]
			if !s.possible && !listed {
				continue
			}
			if shows, ok := s.single(t); !ok {
				g.below, g.above = g.below || s.below[t] == o, g.above || s.above[t] == o
			} else if shows == o {
				g.certain++
			}
		}
		if g.certain > 0 || g.below || g.above {
			out = append(out, g)
		}
	}
	return out
}

const (
	symFaults = formula.Sym("n")
	symListed = formula.Sym("N")
	symShare  = formula.Sym("s")
)

func symGroup(k int) formula.Sym   { return formula.Sym(fmt.Sprintf("g_%d", k+1)) }
func symAll(k int) formula.Sym     { return formula.Sym(fmt.Sprintf("h_%d", k+1)) }
func symAverage(i int) formula.Sym { return formula.Sym(fmt.Sprintf("A_%d", i+1)) }

// average is how many faults a test leaves on average: each outcome leaves its
// group, as often as the outcome comes.
//
//	A = (g_1² + g_2² + ...)/n
//
// where one fault may show either of two things, its share s of the one and the
// rest of the other go in for g once, and the whole fault the other time:
//
//	A = ((g_1 + s) (g_1 + 1) + (g_2 + 1 − s) (g_2 + 1) + ...)/n
//
// s being the share of the sizes on the side that is asked about.
type average struct {
	groups     []group
	askedAbove bool
	of         func(k int) formula.Sym // counts of certain faults
	n          formula.Sym
}

// averageOf takes a test apart for the faults still possible; with listed for
// all of the list, as those do it who have crossed nothing out.
func (it *item) averageOf(t int, listed bool) average {
	a := average{groups: it.groups(t, listed), askedAbove: it.askedAbove, of: symGroup, n: symFaults}
	if listed {
		a.of, a.n = symAll, symListed
	}
	return a
}

// straddles says whether the fault that may show either does so at this test.
func (a *average) straddles() bool {
	return slices.ContainsFunc(a.groups, func(g group) bool { return g.above || g.below })
}

// with1 is a group with the fault that may show either in it.
func (a *average) with1(k int) formula.Expr { return formula.Add(a.of(k), formula.Num(1)) }

// sum is what the average divides by the number of faults.
func (a *average) sum(share formula.Expr) formula.Expr {
	var sum formula.Expr
	for k, g := range a.groups {
		var term formula.Expr
		switch {
		case !g.above && !g.below:
			term = formula.Square(a.of(k))
		case g.above == a.askedAbove:
			term = formula.Mul(formula.Add(a.of(k), share), a.with1(k))
		default:
			term = formula.Mul(formula.Sub(a.with1(k), share), a.with1(k))
		}
		if sum == nil {
			sum = term
		} else {
			sum = formula.Add(sum, term)
		}
	}
	return sum
}

// sizes are the groups as large as they can be.
func (a *average) sizes() []formula.Expr {
	var out []formula.Expr
	for k, g := range a.groups {
		if g.above || g.below {
			out = append(out, a.with1(k))
		} else {
			out = append(out, a.of(k))
		}
	}
	return out
}

// shareGiven is the share as it goes into the formula.
func shareGiven() formula.Expr { return formula.Div(symShare, formula.Percent100()) }

// expr is the formula of the average.
func (a *average) expr() formula.Expr { return formula.Div(a.sum(shareGiven()), a.n) }

// counts binds the counts of an average.
func (it *item) counts(a *average) formula.Env {
	left := 0
	for i := range it.list {
		if it.list[i].possible || a.n == symListed {
			left++
		}
	}
	env := formula.Env{{Sym: a.n, V: formula.Int(int64(left))}}
	for k, g := range a.groups {
		env = env.With(formula.Binding{Sym: a.of(k), V: formula.Int(int64(g.certain))})
	}
	return env
}
