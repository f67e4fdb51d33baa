package adjust

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The symbols of the family: J a current as found (with the point behind it),
// g the error at 100 % once the zero is set, e_x the error at another point
// then, e_S what is left when the span is set first, c the share by which the
// zero follows the span screw, e_1 the error at 0 % after one pass; of the hard
// level T the current at 100 % once the zero is set, Z_1 the current at 0 %
// after one pass, L the current at which to leave the top.
const (
	symSpread formula.Sym = "g"
	symPart   formula.Sym = "e_x"
	symSpanAt formula.Sym = "e_S"
	symShare  formula.Sym = "c"
	symOnce   formula.Sym = "e_1"
	symTop    formula.Sym = "T"
	symBottom formula.Sym = "Z_1"
	symLeave  formula.Sym = "L"
)

func symFound(x int) formula.Sym { return formula.Sym(fmt.Sprintf("J_%d", x)) }

var (
	lowEnd, topEnd = signal.Current.Zero(), signal.Current.Full()
	span           = formula.Sub(topEnd, lowEnd)
	// carried is what the last place of the milliammeter, 0.001 mA, makes of an
	// error in percent of span at both ends, rounded up.
	carried = formula.Ratio(1, 100)
)

// item is an item being built.
type item struct {
	exercises.Composer
	*found
	env formula.Env
}

func (p *plan) build(f *found) exercises.Item {
	b := &item{found: f}
	b.Prompts = prompts
	b.Words = []string{"tag", f.loop.Tag, "service", f.loop.Service, "x", fmt.Sprint(f.at),
		"share", formula.Decimal(int64(f.share), 2).Text(2)}
	b.env = formula.Env(signal.Current.Bind())
	points := []int{0, 25, 50, 75, 100}
	if f.level == "hard" {
		points = []int{0, 100}
	}
	for _, x := range points {
		b.env = b.env.With(formula.Binding{Sym: symFound(x), V: f.reading(x), Unit: "mA", Decimals: 3})
	}
	b.env = b.env.With(formula.Binding{Sym: symShare, V: formula.Decimal(int64(f.share), 2), Decimals: 2})

	var it exercises.Item
	s := &it.Sheet
	s.Title, s.Intro = p.exercise.Title, b.Text("intro."+f.level)
	s.Cautions = append(nullbalance.Cautions(), "as-found-first", "settle-each-point", "back-in-service")
	s.Figures = []exercises.Figure{{ID: "found", Caption: prompts.Text("found"), Table: b.table(points)}}
	it.Add(b.ways("a"))
	switch f.level {
	case "hard":
		it.Add(b.top("b"))
		it.Add(b.bottom("c"))
		it.Add(b.passes("d"))
		it.Add(b.leave("e"))
	case "usual":
		it.Add(b.spreadPart("b"))
		it.Add(b.once("c"))
		it.Add(b.passes("d"))
	default:
		it.Add(b.spreadPart("b"))
		it.Add(b.partWay("c"))
		it.Add(b.spanFirst("d"))
	}
	it.Key.Env = b.env
	it.Key.Fault = nullbalance.FaultWords(f.set, p.exercise.Plant.Checker.Face)
	return it
}

func (b *item) table(points []int) *exercises.Table {
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Point"}, {Head: "Put in"}, {Head: "Right output"}, {Head: "As found"}}}
	for _, x := range points {
		right := formula.Int(4).Add(formula.Ratio(int64(16*x), 100))
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{
			{Text: fmt.Sprintf("%d %%", x)}, {Text: nullbalance.InputText(b.loop, x)},
			{Text: exercises.Quantity(right, "mA")}, {Text: formula.WithUnit(b.reading(x).Text(3), "mA")},
		}})
	}
	return t
}

// percent turns a current into percent of span.
func percent(milliamp formula.Expr) formula.Expr {
	return formula.Mul(formula.Div(milliamp, span), formula.Percent100())
}

// next binds the answer of a part for the parts after it.
func (b *item) next(def formula.Definition, label string) {
	if bound, err := def.Bind(b.env, label); err == nil {
		b.env = b.env.With(bound)
	}
}

// ways asks which way both screws are turned.
func (b *item) ways(label string) (exercises.Part, exercises.PartKey) {
	right := b.way()
	zero, spread := formula.Sub(symFound(0), lowEnd), formula.Sub(formula.Sub(symFound(100), symFound(0)), span)
	key := b.ChoiceKey(label, right,
		exercises.Step{Text: b.Text("work.zero")}, b.side(zero),
		exercises.Step{Text: b.Text("work.span")}, b.side(spread))
	// Whoever looks at the top as found turns the span by that error.
	byTop := "down"
	if b.zero+b.spread < 0 {
		byTop = "up"
	}
	zeroWay, spanWay := right[:len(right)-len(after(right))-1], after(right)
	for _, o := range ways {
		z, s := o[:len(o)-len(after(o))-1], after(o)
		id, name := "both-wrong-way", "both screws the wrong way"
		switch {
		case o == right:
			continue
		case z == zeroWay && s == byTop && byTop != spanWay:
			id, name = "span-by-the-top", "span turned by the error at 100 % as found"
		case z == zeroWay:
			id, name = "span-wrong-way", "span the wrong way"
		case s == spanWay:
			id, name = "zero-wrong-way", "zero the wrong way"
		}
		key.Slips = append(key.Slips, b.ChoiceSlip(label, id, name, o))
	}
	return b.Choice(label, "ways", ways...), key
}

// after is what stands behind the hyphen of "up-down".
func after(way string) string {
	for i := range way {
		if way[i] == '-' {
			return way[i+1:]
		}
	}
	return ""
}

// side is a step that says whether something is below or above nothing.
func (b *item) side(x formula.Expr) exercises.Step {
	rel := formula.Relation{A: x, Op: formula.Less, B: formula.Lit{Unit: "mA"}}
	if holds, _ := rel.Holds(b.env); !holds {
		rel.Op = formula.Greater
	}
	return exercises.Step{Rel: &rel, Env: b.env}
}

// spreadPart asks for the error at 100 % once the zero has been set.
func (b *item) spreadPart(label string) (exercises.Part, exercises.PartKey) {
	left := formula.Sub(formula.Sub(symFound(100), symFound(0)), span)
	top := formula.Sub(symFound(100), topEnd)
	zero := formula.Sub(symFound(0), lowEnd)
	def := formula.Definition{Sym: symSpread, Expr: percent(left), Unit: "%", Decimals: 2}
	key := b.NumberKey(label, def, b.env, carried, "percent", "spread")
	b.NumberSlip(&key, "zero-left-in", "zero error left in", percent(top))
	b.ToldSlip(&key, "zero-added", "zero error added", percent(formula.Add(top, zero)))
	b.ToldSlip(&key, "sign", "sign swapped", formula.Neg(def.Expr))
	b.ToldSlip(&key, "error-in-signal", "error given in mA", left)
	b.ToldSlip(&key, "of-upper", "error of the upper end", formula.Mul(formula.Div(left, topEnd), formula.Percent100()))
	b.next(def, label)
	return b.Number(label, "spread", def, "of span"), key
}

// partWay asks, at the easy level, for the error between the ends then.
func (b *item) partWay(label string) (exercises.Part, exercises.PartKey) {
	share := func(x int) formula.Expr {
		return formula.Div(formula.Lit{V: formula.Int(int64(x)), Unit: "%"}, formula.Percent100())
	}
	def := formula.Definition{Sym: symPart, Expr: formula.Mul(symSpread, share(b.at)), Unit: "%", Decimals: 2}
	key := b.NumberKey(label, def, b.env, carried, "percent", "part-way")
	ideal := formula.Lit{V: formula.Int(4).Add(formula.Ratio(int64(16*b.at), 100)), Unit: "mA"}
	b.ToldSlip(&key, "as-found", "error as found given", percent(formula.Sub(symFound(b.at), ideal)))
	b.ToldSlip(&key, "like-the-top", "span error taken to be alike at every point", symSpread)
	b.ToldSlip(&key, "sign", "sign swapped", formula.Neg(def.Expr))
	b.ToldSlip(&key, "from-the-top", "share counted from the top", formula.Mul(symSpread, share(100-b.at)))
	b.ToldSlip(&key, "zero-mends-all", "the zero thought to mend every point", formula.Num(0))
	return b.Number(label, "part-way", def, "of span"), key
}

// spanFirst asks, at the easy level, what is left at 100 % when the span is set
// before the zero: setting the zero afterwards takes the top along.
func (b *item) spanFirst(label string) (exercises.Part, exercises.PartKey) {
	zero := formula.Sub(symFound(0), lowEnd)
	def := formula.Definition{Sym: symSpanAt, Expr: formula.Neg(percent(zero)), Unit: "%", Decimals: 2}
	key := b.NumberKey(label, def, b.env, carried, "percent", "span-first")
	b.ToldSlip(&key, "order-no-matter", "order thought not to matter", formula.Num(0))
	b.ToldSlip(&key, "sign", "sign swapped", percent(zero))
	b.ToldSlip(&key, "span-left", "the span error given", symSpread)
	b.ToldSlip(&key, "top-as-found", "error at 100 % as found given", percent(formula.Sub(symFound(100), topEnd)))
	b.ToldSlip(&key, "error-in-signal", "error given in mA", formula.Neg(zero))
	return b.Number(label, "span-first", def, "of span"), key
}

// once asks, at the usual level, for the error at 0 % after the first pass.
func (b *item) once(label string) (exercises.Part, exercises.PartKey) {
	def := formula.Definition{Sym: symOnce, Expr: formula.Neg(formula.Mul(symShare, symSpread)), Unit: "%", Decimals: 2}
	key := b.NumberKey(label, def, b.env, carried, "percent", "once")
	b.ToldSlip(&key, "no-interaction", "the zero thought to stay where it was set", formula.Num(0))
	b.ToldSlip(&key, "sign", "sign swapped", formula.Mul(symShare, symSpread))
	b.ToldSlip(&key, "moved-alike", "the span screw thought to move both ends alike", formula.Neg(symSpread))
	b.ToldSlip(&key, "share-of-found", "share of the error as found", formula.Neg(formula.Mul(symShare, percent(formula.Sub(symFound(100), topEnd)))))
	b.ToldSlip(&key, "divided-by-share", "divided by the share", formula.Neg(formula.Div(symSpread, symShare)))
	b.ToldSlip(&key, "zero-comes-back", "zero error as found thought to come back", percent(formula.Sub(symFound(0), lowEnd)))
	b.next(def, label)
	return b.Number(label, "once", def, "of span"), key
}
