package writeup

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// Symbols: at each point r the right output, a the reading as found (rising), d
// the falling one, l the one as left; e, f and g their errors. E, G and H are the
// largest error as found, as left, and the hysteresis.
const (
	symLimit      formula.Sym = "tol"
	symAdjust     formula.Sym = "adj"
	symWorst      formula.Sym = "E"
	symWorstLeft  formula.Sym = "G"
	symHysteresis formula.Sym = "H"
)

// at names a letter's symbols at the points, once for all exercises.
func at(letter string) (out [5]formula.Sym) {
	for i, x := range points {
		out[i] = formula.Sym(fmt.Sprintf("%s_%d", letter, x))
	}
	return out
}

var (
	rights, founds, fallings, lefts = at("r"), at("a"), at("d"), at("l")
	errors, downs, errorsLeft       = at("e"), at("f"), at("g")
)

func symRight(i int) formula.Sym     { return rights[i] }
func symFound(i int) formula.Sym     { return founds[i] }
func symFalling(i int) formula.Sym   { return fallings[i] }
func symAsLeft(i int) formula.Sym    { return lefts[i] }
func symError(i int) formula.Sym     { return errors[i] }
func symDown(i int) formula.Sym      { return downs[i] }
func symErrorLeft(i int) formula.Sym { return errorsLeft[i] }

// errorPlaces are the decimals in which errors are written.
const errorPlaces = 2

// half is half of the last place of an error, percent of span. A reading is
// written to 0.001 mA, half of which is 0.003 % of span, less than that.
var half = formula.Decimal(5, errorPlaces+1)

var span = formula.Lit{V: formula.Int(16), Unit: "mA"}

// run is one run over the points, of which errors are asked for.
type run struct {
	name     string // "found", "falling", "left"
	errors   [5]int
	reading  func(i int) formula.Sym
	error    func(i int) formula.Sym
	first, n int // number of its first box, and how many points have one
	// instead is the reading that somebody takes who mistakes one run for
	// another; nil: none stands on the page.
	instead func(i int) formula.Sym
}

// box is the id of the box at a point, empty where there is none.
func (r run) box(label string, i int) string {
	if i >= r.n {
		return ""
	}
	return fmt.Sprintf("%s.%d", label, r.first+i)
}

// ofSpan is how far a reading is from the right output in percent of a span.
func ofSpan(reading, right, span formula.Expr) formula.Expr {
	return formula.Mul(formula.Div(formula.Sub(reading, right), span), formula.Percent100())
}

// askErrors is the part with the table: the errors of one run or two.
func (b *build) askErrors(runs ...run) {
	const label = "a"
	ask := "errors-" + b.level
	part := exercises.Part{Label: label, Prompt: b.Text("ask." + ask), Table: b.readings(label, runs)}
	tolerance := exercises.Tolerance(half, errorPlaces)
	key := exercises.PartKey{Label: label, Why: b.Text("tolerance.errors", "tolerance", exercises.Quantity(tolerance, "%"))}
	var written []formula.Binding
	var worst struct{ run, i int }
	for k, r := range runs {
		for i := range points[:r.n] {
			id := r.box(label, i)
			def := formula.Definition{Sym: r.error(i), Unit: "%", Decimals: errorPlaces, Expr: ofSpan(r.reading(i), symRight(i), span)}
			key.Answers = append(key.Answers, exercises.Answer{Box: id, Def: def, Env: b.Env, Tolerance: tolerance})
			part.Boxes = append(part.Boxes, exercises.Box{ID: id, Kind: exercises.NumberBox, Unit: "%", Of: "of span", Decimals: errorPlaces,
				Name: b.Text("box."+r.name, "x", b.inputAt(i)).Plain()})
			bound, _ := def.Bind(b.Env, id) // exact, cannot fail
			written = append(written, bound)
			if size(r.errors[i]) > size(runs[worst.run].errors[worst.i]) {
				worst.run, worst.i = k, i
			}
		}
		key.Credit = append(key.Credit, exercises.Credit{Marks: r.n, For: b.Text("credit.errors-" + r.name)})
		part.Marks += r.n
	}
	shown := key.Answers[runs[worst.run].first-1+worst.i].Def
	key.Working = []exercises.Step{{Text: b.Text("work.errors", "input", b.inputAt(worst.i))}, {Def: &shown, Env: b.Env}}

	every := func(id, name string, x func(r run, i int) formula.Expr) {
		var all []formula.Expr
		for _, r := range runs {
			for i := range points[:r.n] {
				all = append(all, x(r, i))
			}
		}
		b.ToldSlip(&key, id, name, all...)
	}
	every("sign", "sign swapped", func(r run, i int) formula.Expr { return ofSpan(symRight(i), r.reading(i), span) })
	every("milliamps", "error in mA given for percent", func(r run, i int) formula.Expr { return formula.Sub(r.reading(i), symRight(i)) })
	every("of-reading", "percent of the reading", func(r run, i int) formula.Expr {
		return ofSpan(r.reading(i), symRight(i), r.reading(i))
	})
	every("of-twenty", "span taken as the upper value", func(r run, i int) formula.Expr {
		return ofSpan(r.reading(i), symRight(i), formula.Lit{V: formula.Int(20), Unit: "mA"})
	})
	every("half-span", "half the span taken", func(r run, i int) formula.Expr {
		return ofSpan(r.reading(i), symRight(i), formula.Lit{V: formula.Int(8), Unit: "mA"})
	})
	if runs[0].instead != nil {
		every("runs-swapped-"+b.level, "one run taken for another", func(r run, i int) formula.Expr {
			return ofSpan(r.instead(i), symRight(i), span)
		})
	}
	b.Item.Add(part, key)
	b.Env = b.Env.With(written...)
}

func size(x int) int { return max(x, -x) }

// foundErrors are the written errors as found, falling ones too.
func (b *build) foundErrors() []formula.Expr {
	var out []formula.Expr
	for i := range points {
		out = append(out, symError(i))
	}
	if b.level == "hard" {
		for i := range points[:4] {
			out = append(out, symDown(i))
		}
	}
	return out
}

func leftErrors() []formula.Expr {
	var out []formula.Expr
	for i := range points {
		out = append(out, symErrorLeft(i))
	}
	return out
}

// largest is the largest of some errors by size.
func largest(errors []formula.Expr) formula.Expr {
	var sizes []formula.Expr
	for _, e := range errors {
		sizes = append(sizes, formula.Abs(e))
	}
	return formula.Max(sizes...)
}

// smallest is the smallest of some errors by size.
func smallest(errors []formula.Expr) formula.Expr {
	var sizes []formula.Expr
	for _, e := range errors {
		sizes = append(sizes, formula.Abs(e))
	}
	return formula.Min(sizes...)
}

func mean(x []formula.Expr) formula.Expr {
	sum := x[0]
	for _, y := range x[1:] {
		sum = formula.Add(sum, y)
	}
	return formula.Div(sum, formula.Num(int64(len(x))))
}

func inMilliamps(percent formula.Expr) formula.Expr {
	return formula.Mul(formula.Div(percent, formula.Percent100()), span)
}

// askWorst asks for the largest error as found, by size.
func (b *build) askWorst() {
	e := b.foundErrors()
	slips := []exercises.Told{
		{ID: "worst-milliamps", Name: "largest error in mA", X: inMilliamps(largest(e))},
		{ID: "highest-signed", Name: "largest error taken with its sign", X: formula.Max(e...)},
		{ID: "lowest-signed", Name: "lowest error taken for the largest", X: formula.Min(e...)},
	}
	if b.level == "usual" {
		slips = append(slips, exercises.Told{ID: "left-for-found", Name: "as left taken for as found", X: largest(leftErrors())})
	}
	slips = append(slips,
		exercises.Told{ID: "first-by-habit", Name: "error at the first point taken by habit", X: formula.Abs(symError(0))},
		exercises.Told{ID: "last-by-habit", Name: "error at the last point taken by habit", X: formula.Abs(symError(4))},
		exercises.Told{ID: "spread", Name: "distance between the highest and the lowest error", X: formula.Sub(formula.Max(e...), formula.Min(e...))},
		exercises.Told{ID: "smallest", Name: "smallest error taken", X: smallest(e)},
		exercises.Told{ID: "margin", Name: "distance from the tolerance given", X: formula.Abs(formula.Sub(symLimit, largest(e)))},
		exercises.Told{ID: "mean", Name: "mean of the errors", X: mean(e)})
	b.Ask("worst", formula.Definition{Sym: symWorst, Expr: largest(e), Unit: "%", Decimals: errorPlaces}, "of span", half, slips...)
}

// askWorstLeft asks for the largest error as left.
func (b *build) askWorstLeft() {
	g := leftErrors()
	b.Ask("worst-left", formula.Definition{Sym: symWorstLeft, Expr: largest(g), Unit: "%", Decimals: errorPlaces}, "of span", half,
		exercises.Told{ID: "found-for-left", Name: "as found taken for as left", X: symWorst},
		exercises.Told{ID: "worst-milliamps", Name: "largest error in mA", X: inMilliamps(largest(g))},
		exercises.Told{ID: "highest-signed", Name: "largest error taken with its sign", X: formula.Max(g...)},
		exercises.Told{ID: "lowest-signed", Name: "lowest error taken for the largest", X: formula.Min(g...)},
		exercises.Told{ID: "spread", Name: "distance between the highest and the lowest error", X: formula.Sub(formula.Max(g...), formula.Min(g...))},
		exercises.Told{ID: "smallest", Name: "smallest error taken", X: smallest(g)},
		exercises.Told{ID: "margin", Name: "distance from the tolerance given", X: formula.Abs(formula.Sub(symLimit, largest(g)))},
		exercises.Told{ID: "first-by-habit", Name: "error at the first point taken by habit", X: formula.Abs(symErrorLeft(0))},
		exercises.Told{ID: "last-by-habit", Name: "error at the last point taken by habit", X: formula.Abs(symErrorLeft(4))},
		exercises.Told{ID: "mean", Name: "mean of the errors", X: mean(g)})
}
