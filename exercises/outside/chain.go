package outside

import (
	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The symbols of the family: k the controller's output, I the current, p the
// air, y how far the valve is open. Of split range y_A and y_B; of a set point
// w the set point with the ends of its range, v another one.
const (
	symOutput  formula.Sym = "k"
	symCurrent formula.Sym = "I"
	symAir     formula.Sym = "p"
	symGauge   formula.Sym = "p_g"
	symOpen    formula.Sym = "y"
	symWanted  formula.Sym = "y_w"
	symNeeds   formula.Sym = "I_w"
)

var (
	low, top     = signal.Current.Zero(), signal.Current.Full()
	air0, air100 = signal.PneumaticSI.Zero(), signal.PneumaticSI.Full()
)

// base is what the parts of all levels are built from.
type base struct {
	exercises.Composer
	output *scenarios.Output
	close  bool // air closes the valve
	env    formula.Env
}

func newBase(o *scenarios.Output, close bool) base {
	b := base{output: o, close: close, env: formula.Env(signal.Current.Bind()).With(signal.PneumaticSI.Bind()...)}
	b.Prompts = prompts
	b.Words = []string{"tag", o.Tag, "service", o.Service, "action", action(close), "rests", rests(close)}
	return b
}

func action(close bool) string {
	if close {
		return "air to close"
	}
	return "air to open"
}

// rests says what the spring does without air.
func rests(close bool) string {
	if close {
		return "open"
	}
	return "shut"
}

// opening is how far a valve is open, in percent of its travel, at a share of
// its signal.
func opening(share formula.Expr, close bool) formula.Expr {
	open := formula.Mul(share, formula.Percent100())
	if close {
		return formula.Sub(formula.Percent100(), open)
	}
	return open
}

// stem is the share of the signal that opens a valve so far.
func stem(open formula.Expr, close bool) formula.Expr {
	if close {
		open = formula.Sub(formula.Percent100(), open)
	}
	return signal.OfPercent(open)
}

const (
	ofTravel = "of travel"
	ofOutput = "of output"
)

// cautions stand before every exercise about a valve.
func cautions() []string { return []string{"practice-figures", "before-test-lead", "open-loop"} }

func (b *base) next(def formula.Definition, label string) {
	if bound, err := def.Bind(b.env, label); err == nil {
		b.env = b.env.With(bound)
	}
}

// bound is a given.
func bound(s formula.Sym, v formula.Value, unit string, decimals int) formula.Binding {
	return formula.Binding{Sym: s, V: v, Unit: unit, Decimals: decimals}
}

// halves draws a percentage in half percents.
func halves(pick *exercises.Picker, from, to int) formula.Value {
	return formula.Decimal(int64(5*pick.Between(2*from, 2*to)), 1)
}

// rejectAlike: one part would give another away.
const rejectAlike exercises.Reject = "two parts about the same state"

// apart says whether states of the signal, in percent, lie so far apart that
// none gives another away.
func apart(states ...formula.Value) bool {
	for i, v := range states {
		for _, w := range states[:i] {
			if v.Sub(w).Abs().Sub(formula.Int(3)).Sign() < 0 {
				return false
			}
		}
	}
	return true
}

// chain draws the easy exercise: each step of the chain by itself, about states
// that do not follow from one another.
func (p *plan) chain(pick *exercises.Picker) (exercises.Item, error) {
	close := pick.Int(2) == 1
	b := newBase(p.outputs[pick.Int(len(p.outputs))], close)
	k := halves(pick, 5, 45)
	if pick.Int(2) == 1 {
		k = k.Add(formula.Int(50))
	}
	gauge := formula.Decimal(int64(4*pick.Between(55, 240)), 1)
	wanted := formula.Int(int64(pick.Between(5, 95)))
	if wanted.Sub(formula.Int(50)).IsZero() {
		wanted = wanted.Add(formula.Int(3)) // half open is the same for both actions
	}
	come := wanted
	if close {
		come = formula.Int(100).Sub(wanted)
	}
	if !apart(k, gauge.Sub(formula.Int(20)).Div(formula.Ratio(8, 10)), come) {
		return exercises.Item{}, rejectAlike
	}
	b.env = b.env.With(b.outputAt(k), bound(symGauge, gauge, "kPa", 1), bound(symWanted, wanted, "%", 0))
	b.Words = append(b.Words, "k", exercises.Quantity(k, "%"), "gauge", formula.WithUnit(gauge.Text(1), "kPa"), "wanted", exercises.Quantity(wanted, "%"))

	var it exercises.Item
	it.Sheet.Title, it.Sheet.Intro, it.Sheet.Cautions = p.exercise.Title, b.Text("intro.easy"), cautions()
	it.Add(b.current("a"))
	it.Add(b.air("b"))
	it.Add(b.open("c"))
	it.Add(b.needs("d"))
	it.Key.Env = b.env
	it.Key.Fault = "nothing; " + action(close)
	return it, nil
}

// outputAt binds the controller's output as it is printed.
func (b *base) outputAt(k formula.Value) formula.Binding {
	places, _ := k.Places(1)
	return bound(symOutput, k, "%", places)
}

// tolerances of a worked figure: half a unit of the last place, and for what
// an instrument shows half of what that can show.
var (
	halfMilliamp = formula.Decimal(5, 3)
	halfAir      = formula.Decimal(5, 2)
	halfTravel   = formula.Decimal(1, 1)
)

// current asks for the current of an output.
func (b *base) current(label string) (exercises.Part, exercises.PartKey) {
	share := signal.OfPercent(symOutput)
	width := formula.Sub(top, low)
	def := formula.Definition{Sym: symCurrent, Expr: signal.At(share, low, top), Unit: "mA", Decimals: 2}
	key := b.NumberKey(label, def, b.env, halfMilliamp, "current", "current")
	b.ToldSlip(&key, "dead-zero", "live zero forgotten", formula.Mul(share, top))
	b.ToldSlip(&key, "lower-not-added", "lower end not added", formula.Mul(share, width))
	b.ToldSlip(&key, "upper-as-span", "upper end taken for the span", formula.Add(low, formula.Mul(share, top)))
	b.ToldSlip(&key, "wrong-end", "counted from the wrong end", signal.At(share, top, low))
	part := b.Number(label, "current", def, "")
	b.next(def, label)
	return part, key
}

// air asks for the air that the converter makes of it.
func (b *base) air(label string) (exercises.Part, exercises.PartKey) {
	share := signal.Fraction(symCurrent, low, top)
	def := formula.Definition{Sym: symAir, Expr: signal.At(share, air0, air100), Unit: "kPa", Decimals: 1}
	key := b.NumberKey(label, def, b.env, halfAir, "air", "air")
	b.ToldSlip(&key, "lower-not-added", "lower end not added", formula.Mul(share, formula.Sub(air100, air0)))
	b.ToldSlip(&key, "dead-zero-air", "current taken as a share of 20 mA", signal.At(formula.Div(symCurrent, top), air0, air100))
	b.ToldSlip(&key, "upper-as-span-air", "upper end taken for the span", formula.Add(air0, formula.Mul(share, air100)))
	b.ToldSlip(&key, "psi-signal", "the signal of 3 to 15 psi taken", signal.At(share, formula.Num(3), formula.Num(15)))
	b.ToldSlip(&key, "wrong-end", "counted from the wrong end", signal.At(share, air100, air0))
	return b.Number(label, "air", def, ""), key
}

// open asks how far the valve is open at an air that is read.
func (b *base) open(label string) (exercises.Part, exercises.PartKey) {
	share := signal.Fraction(symGauge, air0, air100)
	def := formula.Definition{Sym: symOpen, Expr: opening(share, b.close), Unit: "%", Decimals: 1}
	key := b.NumberKey(label, def, b.env, halfTravel, "travel", "open-"+word(b.close))
	b.ToldSlip(&key, "action-missed", "action of the valve missed", opening(share, !b.close))
	b.ToldSlip(&key, "dead-zero-open", "air taken as a share of 100 kPa", opening(formula.Div(symGauge, air100), b.close))
	b.ToldSlip(&key, "zero-left-on", "live zero not taken off", opening(formula.Div(symGauge, formula.Sub(air100, air0)), b.close))
	b.ToldSlip(&key, "upper-as-span-open", "upper end taken for the span", opening(formula.Div(formula.Sub(symGauge, air0), air100), b.close))
	return b.Number(label, "open", def, ofTravel), key
}

func word(close bool) string {
	if close {
		return "close"
	}
	return "open"
}

// needs asks for the current that opens the valve so far.
func (b *base) needs(label string) (exercises.Part, exercises.PartKey) {
	share := stem(symWanted, b.close)
	def := formula.Definition{Sym: symNeeds, Expr: signal.At(share, low, top), Unit: "mA", Decimals: 2}
	key := b.NumberKey(label, def, b.env, halfMilliamp, "current", "needs-"+word(b.close))
	b.ToldSlip(&key, "action-missed", "action of the valve missed", signal.At(stem(symWanted, !b.close), low, top))
	b.ToldSlip(&key, "dead-zero", "live zero forgotten", formula.Mul(share, top))
	b.ToldSlip(&key, "lower-not-added", "lower end not added", formula.Mul(share, formula.Sub(top, low)))
	b.ToldSlip(&key, "upper-as-span", "upper end taken for the span", formula.Add(low, formula.Mul(share, top)))
	part := b.Number(label, "needs", def, "")
	part.Lines = 2
	return part, key
}
