package budget

import (
	"loopdrill/exercises"
	"loopdrill/scenarios/cable"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// The symbols of the family. Ohms have R, volts U.
const (
	symVolt    formula.Sym = "U"
	symLift    formula.Sym = "U_L"
	symMost    formula.Sym = "I"
	symSupply  formula.Sym = "R_s"
	symRx      formula.Sym = "R_r"
	symBarrier formula.Sym = "R_b"
	symPerKm   formula.Sym = "r"
	symLength  formula.Sym = "l"
	symWarmth  formula.Sym = "t"
	symWire    formula.Sym = "R_w"
	symAll     formula.Sym = "R"
	symLeft    formula.Sym = "U_T"
	symLeftC   formula.Sym = "U_C"
	symMax     formula.Sym = "R_m"
	symLongest formula.Sym = "l_m"
	symAllC    formula.Sym = "R_C"
	symHighest formula.Sym = "I_C"
	symChecker formula.Sym = "R_k"
)

// checker is the ohms of the checker, of which its current position is made.
var (
	thousand = formula.Num(1000)
	twenty   = formula.Lit{V: formula.Int(20), Unit: "mA"}
	twoFifty = formula.Lit{V: formula.Int(250), Unit: "Ω"}
	tenth    = formula.Decimal(5, 2) // half the last place of a tenth
	hundreds = formula.Decimal(5, 3) // half the last place of a hundredth
)

func (p *plan) start(d drawn, level string) *exercises.Draft {
	w := &exercises.Draft{}
	w.Prompts = prompts
	w.Words = []string{"tag", d.loop.Tag, "service", d.loop.Service, "most", exercises.Quantity(d.most, "mA")}
	s := &w.Item.Sheet
	s.Title, s.Intro, s.Cautions = p.exercise.Title, w.Text("intro."+level), []string{"practice-figures", "before-test-lead", "open-loop"}
	if level != "easy" { // the checker goes into a loop with a barrier
		s.Cautions = append(s.Cautions, "intrinsic-safety")
	}
	places := func(v formula.Value) int { k, _ := v.Places(3); return k }
	w.Given("supply", symVolt, d.volt, "V", places(d.volt))
	w.Given("own", symSupply, d.supply, "Ω", places(d.supply))
	w.Given("lift", symLift, d.lift, "V", places(d.lift))
	w.Given("most", symMost, d.most, "mA", places(d.most))
	w.Given("receiver", symRx, d.rx, "Ω", places(d.rx))
	w.Given("barrier", symBarrier, d.barrier, "Ω", 0)
	w.Given("length", symLength, d.length, "m", 0)
	w.Given("per-km", symPerKm, d.perKm, "Ω/km", places(d.perKm))
	if level != "easy" {
		w.Given("warmth", symWarmth, d.warmth, "°C", 0)
		w.Given("checker", symChecker, checkerOhm, "Ω", 0)
	}
	w.Item.Key.Fault = "nothing"
	return w
}

// drop is volts of a current in mA through ohms, and left what remains of the
// supply.
func left(current, ohm formula.Expr) formula.Expr {
	return formula.Sub(symVolt, signal.Drop(current, ohm))
}

// there is one conductor at 20 °C.
func there() formula.Expr { return formula.Div(formula.Mul(symPerKm, symLength), thousand) }

// askWire asks for the cable's ohms.
func askWire(w *exercises.Draft, warm bool) {
	def := formula.Definition{Sym: symWire, Expr: formula.Mul(formula.Num(2), there()), Unit: "Ω", Decimals: 1}
	slips := []exercises.Told{
		{ID: "one-conductor", Name: "one conductor counted", X: there()},
		{ID: "length-forgotten", Name: "ohms of a kilometre taken for the cable's", X: formula.Mul(formula.Num(2), symPerKm)},
		{ID: "four-conductors", Name: "both conductors counted twice", X: formula.Mul(formula.Num(4), there())},
		{ID: "way-halved", Name: "the length halved", X: formula.Div(there(), formula.Num(2))},
	}
	name := "wire"
	if warm {
		name = "wire-warm"
		def.Expr = cable.Loop(symPerKm, symLength, symWarmth)
		hot := func(x formula.Expr) formula.Expr { return formula.Mul(x, cable.Warmed(symWarmth)) }
		slips = []exercises.Told{
			{ID: "one-conductor", Name: "one conductor counted", X: hot(there())},
			{ID: "length-forgotten", Name: "ohms of a kilometre taken for the cable's", X: hot(formula.Mul(formula.Num(2), symPerKm))},
			{ID: "four-conductors", Name: "both conductors counted twice", X: hot(formula.Mul(formula.Num(4), there()))},
			{ID: "cold", Name: "temperature forgotten", X: formula.Mul(formula.Num(2), there())},
			{ID: "from-zero", Name: "warmed from 0 °C instead of 20 °C", X: formula.Mul(formula.Mul(formula.Num(2), there()),
				formula.Add(formula.Num(1), formula.Mul(formula.Lit{V: formula.Decimal(4, 3)}, symWarmth)))},
		}
	}
	w.Ask(name, def, "", tenth, slips...)
}

// sum adds ohms up.
func sum(first formula.Expr, more ...formula.Expr) formula.Expr {
	for _, x := range more {
		first = formula.Add(first, x)
	}
	return first
}

func (p *plan) easy(d drawn) (exercises.Item, error) {
	w := p.start(d, "easy")
	askWire(w, false)
	w.Ask("all", formula.Definition{Sym: symAll, Expr: sum(symSupply, symRx, symBarrier, symWire), Unit: "Ω", Decimals: 1}, "", tenth,
		exercises.Told{ID: "receiver-forgotten", Name: "receiver forgotten", X: sum(symSupply, symBarrier, symWire)},
		exercises.Told{ID: "barrier-forgotten", Name: "barrier forgotten", X: sum(symSupply, symRx, symWire)},
		exercises.Told{ID: "checker-counted", Name: "checker counted that is not in the loop", X: sum(symSupply, symRx, symBarrier, symWire, twoFifty)},
		exercises.Told{ID: "wire-doubled", Name: "both conductors counted twice", X: sum(symSupply, symRx, symBarrier, symWire, symWire)},
		exercises.Told{ID: "receiver-twice", Name: "receiver counted twice", X: sum(symSupply, symRx, symRx, symBarrier, symWire)},
		exercises.Told{ID: "supply-forgotten", Name: "the supply's own resistance forgotten", X: sum(symRx, symBarrier, symWire)})
	askLeft(w, symLeft, "left", symAll)
	return w.Item, enough(w)
}

// askLeft asks for the volts left for the transmitter.
func askLeft(w *exercises.Draft, sym formula.Sym, name string, ohm formula.Expr) {
	drop := signal.Drop(symMost, ohm)
	w.Ask(name, formula.Definition{Sym: sym, Expr: formula.Sub(symVolt, drop), Unit: "V", Decimals: 2}, "", hundreds,
		exercises.Told{ID: "drop-given", Name: "the drop given for what is left", X: drop},
		exercises.Told{ID: "lift-off-taken", Name: "lift-off taken off as well", X: formula.Sub(formula.Sub(symVolt, drop), symLift)},
		exercises.Told{ID: "twenty", Name: "20 mA taken", X: left(twenty, ohm)},
		exercises.Told{ID: "milliamps-at-zero", Name: "the current of the live zero taken", X: left(formula.Lit{V: formula.Int(4), Unit: "mA"}, ohm)})
}

func enough(w *exercises.Draft) error {
	ok := formula.Relation{A: symLeft, Op: formula.GreaterEq, B: symLift}
	w.Item.Key.Env = w.Env
	return w.Choose("enough", []string{"enough", "short"},
		[]exercises.Decision{{Rel: &ok, Option: "enough"}, {Option: "short"}},
		exercises.Misled{ID: "twenty-enough", Name: "judged at 20 mA", Option: "enough", Rel: &formula.Relation{A: left(twenty, symAll), Op: formula.GreaterEq, B: symLift}},
		exercises.Misled{ID: "supply-compared", Name: "the supply itself compared with the lift-off", Option: "enough"},
		exercises.Misled{ID: "checker-judged", Name: "judged with a checker that is not in", Option: "short", Rel: &formula.Relation{A: left(symMost, sum(symAll, twoFifty)), Op: formula.Less, B: symLift}},
		exercises.Misled{ID: "drop-compared", Name: "the drop compared with the lift-off", Option: "short"})
}

// who asks whether, and because of what, the loop runs short.
func who(w *exercises.Draft, without, with formula.Relation, noChecker, twentyAll formula.Relation) error {
	w.Item.Key.Env = w.Env
	return w.Choose("who", []string{both, blame, neither},
		[]exercises.Decision{{Rel: &with, Option: both}, {Rel: &without, Option: blame}, {Option: neither}},
		exercises.Misled{ID: "twenty-both", Name: "judged at 20 mA", Option: both, Rel: &twentyAll},
		exercises.Misled{ID: "checker-left-out", Name: "checker's own resistor forgotten", Option: both, Rel: &noChecker},
		exercises.Misled{ID: "lift-off-forgotten", Name: "lift-off forgotten", Option: both},
		exercises.Misled{ID: "checker-to-blame", Name: "the checker blamed for what the loop does", Option: blame},
		exercises.Misled{ID: "loop-blamed", Name: "the loop blamed for what the checker does", Option: neither})
}

func (p *plan) usual(d drawn) (exercises.Item, error) {
	w := p.start(d, "usual")
	askWire(w, true)
	all := sum(symSupply, symRx, symBarrier, symWire)
	askBoth(w, symLeft, "left-all", all, "")
	askBoth(w, symLeftC, "left-checker", sum(all, symChecker), "c")
	ok := formula.Relation{A: symLeft, Op: formula.GreaterEq, B: symLift}
	with := formula.Relation{A: symLeftC, Op: formula.GreaterEq, B: symLift}
	err := who(w, ok, with, ok, formula.Relation{A: left(twenty, sum(all, symChecker)), Op: formula.GreaterEq, B: symLift})
	return w.Item, err
}

// askBoth asks for the volts left where the ohms are not asked for before.
func askBoth(w *exercises.Draft, sym formula.Sym, name string, ohm formula.Expr, checker string) {
	drop := signal.Drop(symMost, ohm)
	less := func(x formula.Expr) formula.Expr { return left(symMost, formula.Sub(ohm, x)) }
	more := func(x formula.Expr) formula.Expr { return left(symMost, formula.Add(ohm, x)) }
	slips := []exercises.Told{
		{ID: "drop-given", Name: "the drop given for what is left", X: drop},
		{ID: "lift-off-taken", Name: "lift-off taken off as well", X: formula.Sub(formula.Sub(symVolt, drop), symLift)},
		{ID: "twenty", Name: "20 mA taken", X: left(twenty, ohm)},
		{ID: "barrier-forgotten", Name: "barrier forgotten", X: less(symBarrier)},
	}
	if checker != "" {
		slips = append(slips, exercises.Told{ID: "checker-left-out", Name: "checker's own resistor forgotten", X: less(symChecker)},
			exercises.Told{ID: "checker-twice", Name: "checker's resistor applied twice", X: more(symChecker)})
	} else {
		slips = append(slips, exercises.Told{ID: "receiver-forgotten", Name: "receiver forgotten", X: less(symRx)},
			exercises.Told{ID: "checker-counted", Name: "checker counted that is not in the loop", X: more(symChecker)})
	}
	w.Ask(name, formula.Definition{Sym: sym, Expr: formula.Sub(symVolt, drop), Unit: "V", Decimals: 2}, "", hundreds, slips...)
}

func (p *plan) hard(d drawn) (exercises.Item, error) {
	w := p.start(d, "hard")
	w.Ask("max", formula.Definition{Sym: symMax, Expr: signal.MaxLoad(symVolt, symLift, symMost), Unit: "Ω", Decimals: 1}, "", tenth,
		exercises.Told{ID: "lift-off-forgotten", Name: "lift-off forgotten", X: formula.Mul(formula.Div(symVolt, symMost), thousand)},
		exercises.Told{ID: "twenty", Name: "20 mA taken", X: signal.MaxLoad(symVolt, symLift, twenty)},
		exercises.Told{ID: "lift-off-added", Name: "lift-off added", X: formula.Mul(formula.Div(formula.Add(symVolt, symLift), symMost), thousand)},
		exercises.Told{ID: "receiver-off", Name: "receiver taken off already", X: formula.Sub(signal.MaxLoad(symVolt, symLift, symMost), symRx)})
	// What hangs in the loop beside cable and checker; the longest cable is one
	// that 10 m or more are left for.
	rest := sum(symSupply, symRx, symBarrier)
	one := formula.Mul(formula.Div(symPerKm, thousand), cable.Warmed(symWarmth))
	metre := formula.Mul(formula.Num(2), one)
	def := formula.Definition{Sym: symLongest, Expr: formula.Div(formula.Sub(symMax, rest), metre), Unit: "m", Decimals: 0}
	tenthOhm, _ := formula.Eval(formula.Div(formula.Lit{V: formula.Decimal(1, 1)}, metre), w.Env).Truncate(0)
	w.Words = append(w.Words, "metres", exercises.Quantity(formula.Int(tenthOhm+1), "m"))
	if v := def.Eval(w.Env); v.Float64() < 50 {
		return w.Item, rejectShort
	}
	w.Ask("longest", def, "", formula.Int(tenthOhm+1),
		exercises.Told{ID: "one-conductor", Name: "one conductor counted", X: formula.Div(formula.Sub(symMax, rest), one)},
		exercises.Told{ID: "cold", Name: "temperature forgotten", X: formula.Div(formula.Sub(symMax, rest), formula.Mul(formula.Num(2), formula.Div(symPerKm, thousand)))},
		exercises.Told{ID: "receiver-forgotten", Name: "receiver forgotten", X: formula.Div(formula.Sub(symMax, sum(symSupply, symBarrier)), metre)},
		exercises.Told{ID: "barrier-forgotten", Name: "barrier forgotten", X: formula.Div(formula.Sub(symMax, sum(symSupply, symRx)), metre)},
		exercises.Told{ID: "loads-forgotten", Name: "all ohms given to the cable", X: formula.Div(symMax, metre)})
	wire := cable.Loop(symPerKm, symLength, symWarmth)
	w.Ask("all-checker", formula.Definition{Sym: symAllC, Expr: sum(rest, wire, symChecker), Unit: "Ω", Decimals: 1}, "", tenth,
		exercises.Told{ID: "checker-left-out", Name: "checker's own resistor forgotten", X: sum(rest, wire)},
		exercises.Told{ID: "checker-twice", Name: "checker's resistor applied twice", X: sum(rest, wire, symChecker, symChecker)},
		exercises.Told{ID: "one-conductor", Name: "one conductor counted", X: sum(rest, formula.Div(wire, formula.Num(2)), symChecker)},
		exercises.Told{ID: "cold", Name: "temperature forgotten", X: sum(rest, formula.Mul(formula.Num(2), there()), symChecker)},
		exercises.Told{ID: "barrier-forgotten", Name: "barrier forgotten", X: sum(symSupply, symRx, wire, symChecker)})
	carries := func(v, ohm formula.Expr) formula.Expr { return formula.Mul(formula.Div(v, ohm), thousand) }
	volts := formula.Sub(symVolt, symLift)
	w.Ask("highest", formula.Definition{Sym: symHighest, Expr: carries(volts, symAllC), Unit: "mA", Decimals: 2}, "", hundreds,
		exercises.Told{ID: "lift-off-forgotten", Name: "lift-off forgotten", X: carries(symVolt, symAllC)},
		exercises.Told{ID: "checker-left-out", Name: "checker's own resistor forgotten", X: carries(volts, formula.Sub(symAllC, symChecker))},
		exercises.Told{ID: "checker-twice", Name: "checker's resistor applied twice", X: carries(volts, formula.Add(symAllC, symChecker))},
		exercises.Told{ID: "most-given", Name: "the current asked for given, not the one that flows", X: symMost})
	with := formula.Relation{A: symHighest, Op: formula.GreaterEq, B: symMost}
	without := formula.Relation{A: formula.Sub(symAllC, symChecker), Op: formula.LessEq, B: symMax}
	err := who(w, without, with, without, formula.Relation{A: symHighest, Op: formula.GreaterEq, B: twenty})
	return w.Item, err
}

// rejectShort: a barrier that leaves nothing for any cable.
const rejectShort exercises.Reject = "no room for a cable"
