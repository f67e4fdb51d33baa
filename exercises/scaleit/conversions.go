package scaleit

import (
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// conversion is one kind of question: from one side to the other.
type conversion struct {
	ask  string // entry of the prompts
	work string
	from side
	to   side
	key  formula.Expr
	wild []slipFormula // the slips that can be made in it
}

// slipFormula is a misconception and the formula it amounts to.
type slipFormula struct {
	id string
	x  formula.Expr
}

// linear is the plain proportion between two ranges; reverse counts down from
// the upper end of the answer's range.
func linear(ask, work string, from, to side, reverse bool) conversion {
	c := conversion{ask: ask, work: work, from: from, to: to}
	at := to.at
	if reverse {
		at = to.atFromTop
	}
	f := from.fraction()
	c.key = at(f)
	if !from.percent && !from.lowV.IsZero() {
		if !from.highV.IsZero() {
			c.add("dead-zero", at(formula.Div(from.sym, from.high)))
			c.add("upper-as-span", at(formula.Div(formula.Sub(from.sym, from.low), from.high)))
		}
		c.add("zero-left-on", at(formula.Div(from.sym, formula.Sub(from.high, from.low))))
	}
	if reverse {
		c.add("reverse-missed", to.at(f))
	} else {
		c.add("ends-swapped", to.atFromTop(f))
	}
	if to.percent || to.lowV.IsZero() {
		return c
	}
	share := f
	if reverse {
		share = formula.Sub(formula.Num(1), f)
	}
	c.add("lower-not-added", formula.Mul(share, to.width()))
	if !reverse && !to.highV.IsZero() {
		c.add("upper-for-span", formula.Add(to.low, formula.Mul(f, to.high)))
	}
	// From one live zero to another the share of the upper end is right by
	// chance (all four signals begin at a fifth of their upper end).
	if to.signal && !from.signal {
		c.add("dead-zero-out", formula.Mul(share, to.high))
	}
	return c
}

func (c *conversion) add(id string, x formula.Expr) {
	c.wild = append(c.wild, slipFormula{id, x})
}

// root goes from differential pressure (or a signal in proportion to it) to
// flow (or a signal in proportion to it).
func root(ask, work string, from, to side) conversion {
	f := from.fraction()
	c := conversion{ask: ask, work: work, from: from, to: to, key: to.at(formula.Sqrt(f))}
	c.add("root-forgotten", to.at(f))
	c.add("root-and-square", to.at(formula.Square(f)))
	if !from.lowV.IsZero() {
		c.add("dead-zero-root", to.at(formula.Sqrt(formula.Div(from.sym, from.high))))
		c.add("zero-left-on-root", to.at(formula.Sqrt(formula.Div(from.sym, from.width()))))
	}
	c.addLiveZeroOut(formula.Sqrt(f))
	return c
}

// square goes the other way.
func square(ask, work string, from, to side) conversion {
	f := from.fraction()
	c := conversion{ask: ask, work: work, from: from, to: to, key: to.at(formula.Square(f))}
	c.add("root-forgotten", to.at(f))
	c.add("root-and-square", to.at(formula.Sqrt(f)))
	c.addLiveZeroOut(formula.Square(f))
	if to.lowV.IsZero() {
		c.add("ends-swapped", to.atFromTop(formula.Square(f)))
	}
	return c
}

func (c *conversion) addLiveZeroOut(share formula.Expr) {
	if c.to.signal {
		c.add("lower-not-added", formula.Mul(share, c.to.width()))
		c.add("dead-zero-out", formula.Mul(share, c.to.high))
	}
}

// conversions lists the questions of one level for one loop, in the order of
// the parts.
func conversions(level string, l *scenarios.Loop) []conversion {
	sig, value := signalSide(l.Signal), valueSide(l)
	volt := signalSide(signal.Voltage)
	switch level {
	case "easy":
		return []conversion{
			linear("signal-percent", "percent", sig, percentSide, false),
			linear("percent-signal", "from-percent", percentSide, sig, false),
			linear("signal-other", "linear", sig, signalSide(otherSignal(l.Signal)), false),
		}
	case "hard":
		if l.Root == scenarios.RootTransmitter {
			twice := linear("rooted-signal-flow", "rooted", sig, value, false)
			twice.wild = append(twice.wild[:3:3], slipFormula{"rooted-twice", value.at(formula.Sqrt(sig.fraction()))})
			return []conversion{
				root("root-dp-signal", "root-signal", inputSide(l), sig),
				twice,
				square("rooted-flow-dp", "square-dp", value, inputSide(l)),
			}
		}
		cs := []conversion{
			root("root-signal-flow", "root", sig, value),
			square("root-flow-signal", "square", value, sig),
		}
		if l.Signal.Name == signal.Current.Name {
			cs = append(cs, root("root-volt-flow", "root", volt, value))
		}
		return cs
	}
	reverse := l.Action == scenarios.Reverse
	work := "linear"
	if reverse {
		work = "reverse"
	}
	cs := []conversion{
		linear("signal-value", work, sig, value, reverse),
		linear("value-signal", work, value, sig, reverse),
	}
	if l.Signal.Name == signal.Current.Name {
		cs = append(cs, linear("volt-value", work, volt, value, reverse))
	}
	return cs
}

// otherSignal is the signal that a given one is carried over to.
func otherSignal(s signal.Signal) signal.Signal {
	switch s.Name {
	case signal.Current.Name:
		return signal.PneumaticUS
	case signal.Voltage.Name:
		return signal.PneumaticSI
	default:
		return signal.Current
	}
}
