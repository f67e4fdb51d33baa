package adjust

import (
	"slices"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// top asks, at the hard level, for the current at 100 % once the zero is set.
func (b *item) top(label string) (exercises.Part, exercises.PartKey) {
	zero := formula.Sub(symFound(0), lowEnd)
	def := formula.Definition{Sym: symTop, Expr: formula.Sub(symFound(100), zero), Unit: "mA", Decimals: 3}
	key := b.NumberKey(label, def, b.env, formula.Ratio(1, 1000), "current", "top")
	b.ToldSlip(&key, "top-stays", "the top thought to stay", symFound(100))
	b.ToldSlip(&key, "zero-added", "zero error added", formula.Add(symFound(100), zero))
	b.ToldSlip(&key, "top-in-proportion", "the zero screw thought to multiply", formula.Mul(symFound(100), formula.Div(lowEnd, symFound(0))))
	b.ToldSlip(&key, "bottom-taken-off", "the whole current at 0 % taken off", formula.Sub(symFound(100), symFound(0)))
	b.next(def, label)
	return b.Number(label, "top", def, ""), key
}

// bottom asks, at the hard level, for the current at 0 % after one pass: the
// span screw multiplies every current by what brings the top to 20 mA.
func (b *item) bottom(label string) (exercises.Part, exercises.PartKey) {
	def := formula.Definition{Sym: symBottom, Expr: formula.Mul(lowEnd, formula.Div(topEnd, symTop)), Unit: "mA", Decimals: 3}
	key := b.NumberKey(label, def, b.env, formula.Ratio(1, 1000), "current", "bottom")
	b.ToldSlip(&key, "no-interaction", "the zero thought to stay where it was set", formula.Add(lowEnd, formula.Lit{Unit: "mA"}))
	b.ToldSlip(&key, "ratio-turned", "ratio turned round", formula.Mul(lowEnd, formula.Div(symTop, topEnd)))
	b.ToldSlip(&key, "moved-alike", "the span screw thought to move both ends alike", formula.Add(lowEnd, formula.Sub(topEnd, symTop)))
	b.ToldSlip(&key, "top-as-found", "ratio to the top as found", formula.Mul(lowEnd, formula.Div(topEnd, symFound(100))))
	b.ToldSlip(&key, "bottom-as-found", "the bottom as found multiplied", formula.Mul(symFound(0), formula.Div(topEnd, symTop)))
	b.ToldSlip(&key, "bottom-part-alone", "only the difference of the ratio given", formula.Mul(lowEnd, formula.Div(formula.Sub(topEnd, symTop), symTop)))
	b.next(def, label)
	return b.Number(label, "bottom", def, ""), key
}

// leave asks where to leave the top so that setting the zero once more ends
// right at both ends: loop.Screws.LeaveAt in mA. The zero screw will take the
// top back by as much as the bottom is off, and the bottom is off by
//
//	4 mA (L/T - 1), so that L - 4 mA (L/T - 1) = 20 mA and L = 16 mA T/(T - 4 mA)
func (b *item) leave(label string) (exercises.Part, exercises.PartKey) {
	def := formula.Definition{Sym: symLeave, Expr: formula.Mul(span, formula.Div(symTop, formula.Sub(symTop, lowEnd))), Unit: "mA", Decimals: 3}
	key := b.NumberKey(label, def, b.env, formula.Ratio(1, 1000), "leave", "leave")
	off := formula.Sub(symTop, topEnd)
	b.ToldSlip(&key, "left-on-the-mark", "left at 20 mA", formula.Add(topEnd, formula.Lit{Unit: "mA"}))
	b.ToldSlip(&key, "short-of-the-mark", "left short of the mark", formula.Sub(topEnd, formula.Sub(def.Expr, topEnd)))
	b.ToldSlip(&key, "whole-error-over", "gone past the mark by the whole span error", formula.Sub(topEnd, off))
	b.ToldSlip(&key, "fifth-over", "gone past by a fifth of the span error", formula.Sub(topEnd, formula.Mul(off, formula.Div(lowEnd, topEnd))))
	b.ToldSlip(&key, "top-not-moved", "left where the zero put it", symTop)
	return b.Number(label, "leave", def, ""), key
}

// within says that what remains at 0 %, in percent of span, is within what
// "done" means.
func (b *item) within(remains formula.Expr) *formula.Relation {
	if b.read == 1 {
		return &formula.Relation{A: formula.Abs(remains), Op: formula.Less, B: formula.Lit{V: formula.Decimal(15, 2), Unit: "%"}}
	}
	return &formula.Relation{A: formula.Abs(remains), Op: formula.LessEq, B: formula.Lit{V: formula.Decimal(1, 1), Unit: "%"}}
}

// remains is what is left at 0 % after n passes, n from 1 to 3, in percent of
// span; it goes on from the answer about the first pass.
func (b *item) remains(n int) formula.Expr {
	if b.level == "usual" {
		var x formula.Expr = symOnce
		for range n - 1 {
			x = formula.Mul(x, symShare)
		}
		return x
	}
	return percent(formula.Sub(b.bottomAfter(n), lowEnd))
}

// bottomAfter is the current at 0 % after n passes of the hard level. Setting
// the zero takes the top from 20 mA down by as much as the bottom was high.
func (b *item) bottomAfter(n int) formula.Expr {
	if n == 1 {
		return symBottom
	}
	top := formula.Sub(formula.Add(lowEnd, topEnd), b.bottomAfter(n-1))
	return formula.Mul(lowEnd, formula.Div(topEnd, top))
}

// passes asks how many passes it takes.
func (b *item) passes(label string) (exercises.Part, exercises.PartKey) {
	options := usualPasses
	if b.level == "hard" {
		options = hardPasses
	}
	done := [2]string{"exact", "read"}[b.read]
	part := b.Choice(label, "passes-"+done, options...)
	key := b.ChoiceKey(label, b.found.passes, exercises.Step{Text: b.Text("work.passes-" + b.level)})
	a := &key.Answers[0]
	a.Env = b.env
	endless := &formula.Relation{A: symShare, Op: formula.GreaterEq, B: formula.Num(1)}
	if b.level == "usual" {
		a.Decide = append(a.Decide, exercises.Decision{Rel: endless, Option: "never"})
	}
	for n := 1; n <= 3; n++ {
		a.Decide = append(a.Decide, exercises.Decision{Rel: b.within(b.remains(n)), Option: options[n-1]})
	}
	a.Decide = append(a.Decide, exercises.Decision{Option: "four"})
	if b.found.passes == "never" {
		key.Working = append(key.Working, exercises.Step{Text: b.Text("work.never")}, exercises.Step{Rel: endless, Env: b.env})
	} else {
		key.Working = append(key.Working, exercises.Step{Text: b.Text("work.done-" + done)})
		for n := 1; n <= 3; n++ {
			rel := b.within(b.remains(n))
			holds, _ := rel.Holds(b.env)
			if !holds {
				rel.Op = map[formula.RelOp]formula.RelOp{formula.Less: formula.GreaterEq, formula.LessEq: formula.Greater}[rel.Op]
			}
			key.Working = append(key.Working, exercises.Step{Rel: rel, Env: b.env})
			if holds {
				break
			}
		}
	}
	key.Slips = b.passSlips(label, options)
	return part, key
}

// passSlips gives each wrong option the first misconception that leads to it:
// those that count otherwise, then those that do not count.
func (b *item) passSlips(label string, options []string) []exercises.Slip {
	screws := loop.Screws{SpanOnZero: float64(b.share) / 100}
	if b.level == "hard" {
		screws = loop.Screws{Pivot: 0.25}
	}
	// A count too near to the limit to be clear leads to no option.
	count := func(spread, read int) string {
		option, _ := classOf(screws, spread, read)
		return option
	}
	right := slices.Index(options, b.found.passes)
	var out []exercises.Slip
	for i, o := range options {
		id, name := "remains-underrated", "what remains underrated"
		switch {
		case i == right:
			continue
		case b.found.passes == "never":
			id, name = "endless-missed", "counted passes that never end"
		case o == "never":
			id, name = "called-endless", "called endless what grows smaller"
		case o == count(b.spread, 1-b.read):
			id, name = "read-for-exact", "counted as read where exactly is asked, or the other way round"
		case o == count(b.zero+b.spread, b.read):
			id, name = "zero-in-the-count", "counted from the error as found"
		case o == "one":
			id, name = "one-by-habit", "one pass by habit"
		case i == right+1:
			id, name = "check-counted", "the pass that only checks counted"
		case i == right-1:
			id, name = "last-pass-missed", "the last pass missed"
		case i > right:
			id, name = "remains-overrated", "what remains overrated"
		}
		out = append(out, b.ChoiceSlip(label, id, name, o))
	}
	return out
}
