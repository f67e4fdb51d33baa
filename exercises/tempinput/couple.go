package tempinput

import (
	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// The symbols of the exercises about a thermocouple. Emfs have E with the
// reference junction at 0 °C, and U where they are measured or sent.
const (
	symRef    formula.Sym = "t_r"
	symHead   formula.Sym = "t_h"
	symGoal   formula.Sym = "t_a"
	symSend   formula.Sym = "U_a"
	symVolt   formula.Sym = "U_m"
	symWhole  formula.Sym = "E_m"
	symShift  formula.Sym = "F"
	symCopper formula.Sym = "t_c"
	symNow    formula.Sym = "I"
	symLeast  formula.Sym = "I_l"
	symMost   formula.Sym = "I_h"
)

// What two, one and three look-ups may be off in mV; the bend of the table and
// its rounding make at most 0.002 mV each.
var (
	oneLook   = formula.Decimal(2, 3)
	twoLooks  = formula.Decimal(4, 3)
	backLook  = formula.Decimal(45, 4) // the answer before, and the look-up itself
	shiftLook = formula.Decimal(9, 3)  // two answers before, and the look-up itself
)

// The faults of the last question.
const (
	copper  = "copper"
	shorted = "short"
	crossed = "crossed"
	burnt   = "open"
)

// The reasons for which a draw of a thermocouple is thrown away.
const (
	rejectNear  exercises.Reject = "temperatures too close to each other"
	rejectLimit exercises.Reject = "crossed wires that do not reach the limit"
)

// junctions are the temperatures of a draw.
type junctions struct {
	ref, head, goal formula.Value // °C
	volt            formula.Value // mV at the terminals
	i               int           // figure below the measuring junction
}

// junctions draws them: the measured emf as whole microvolts between two
// figures of the upper half of the range.
func (in *input) junctions(pick *exercises.Picker) (j junctions, ok bool) {
	t := in.table
	span := int(in.high - in.low)
	between := func() int { return pick.Between(1, 9) }
	ref := step*pick.Between(1, 3) + between()
	head := step*pick.Between(5, 8) + between()
	goal := step*(pick.Between(int(in.low)+span*3/10, int(in.high)-step-1)/step) + between()
	j.i = int(int64(pick.Between(int(in.low)+span*55/100, int(in.low)+span*85/100))-t.low) / step
	j.ref, j.head, j.goal = formula.Int(int64(ref)), formula.Int(int64(head)), formula.Int(int64(goal))
	rise, _ := t.v[j.i+1].Sub(t.v[j.i]).Mul(formula.Int(1000)).Truncate(0)
	whole := t.v[j.i].Add(formula.Decimal(int64(pick.Between(int(rise)/8, int(rise)*7/8)), 3))
	r, inside := t.at(j.ref)
	if !inside {
		return j, false
	}
	// Rounded so that the emf to be found lies in whole microvolts too.
	reference := t.v[r].Add(j.ref.Sub(t.celsius(r)).Div(formula.Int(step)).Mul(t.v[r+1].Sub(t.v[r])))
	volt, err := whole.Sub(reference).Rounded(3)
	j.volt = volt
	return j, err == nil
}

func (p *plan) hard(in *input, pick *exercises.Picker) (exercises.Item, error) {
	state := []string{copper, shorted, crossed, burnt}[pick.Int(4)]
	fail := []formula.Value{failUp, failDown}[pick.Int(2)]
	j, ok := in.junctions(pick)
	t := in.table
	if !ok || j.goal.Sub(t.celsius(j.i)).Abs().Float64() < 2*step {
		return exercises.Item{}, rejectNear
	}
	w := p.start(in)
	w.Row(w.Text("given.signal").Plain(), w.Text("given.signal-is").Plain())
	w.Row(w.Text("given.limits").Plain(), w.Text("given.limits-are").Plain())
	w.Row(w.Text("given.open-couple").Plain(), exercises.Quantity(fail, "mA"))
	w.Given("reference", symRef, j.ref, "°C", 0)
	w.Given("head", symHead, j.head, "°C", 0)
	w.Given("goal", symGoal, j.goal, "°C", 0)
	w.Given("measured", symVolt, j.volt, "mV", 3)
	t.print(w, "extract.couple")
	look := func(behind string, celsius formula.Value) (lines, bool) {
		i, ok := t.at(celsius)
		if !ok {
			return lines{}, false
		}
		return t.look(w, behind, i), true
	}
	// Everything that is looked up, also by those who look up the wrong thing.
	ref, ok1 := look("r", j.ref)
	head, ok2 := look("h", j.head)
	goal, ok3 := look("a", j.goal)
	less, ok4 := look("d", j.goal.Sub(j.ref))
	if !ok1 || !ok2 || !ok3 {
		return exercises.Item{}, rejectNear
	}
	eRef, eHead, eGoal := ref.value(symRef), head.value(symHead), goal.value(symGoal)
	slips := []exercises.Told{
		{ID: "reference-forgotten", Name: "reference junction forgotten", X: eGoal},
		{ID: "reference-added", Name: "emf of the reference junction added", X: formula.Add(eGoal, eRef)},
		{ID: "poles-swapped", Name: "reference minus measuring junction", X: formula.Sub(eRef, eGoal)},
		{ID: "line-below", Name: "figure of the line below taken", X: formula.Sub(goal.v1, eRef)},
		{ID: "head-for-terminals", Name: "temperature of the head taken for that of the terminals", X: formula.Sub(eGoal, eHead)},
	}
	if ok4 {
		slips = append(slips, exercises.Told{ID: "degrees-subtracted", Name: "degrees subtracted instead of millivolts", X: less.value(formula.Sub(symGoal, symRef))})
	}
	w.Ask("send", formula.Definition{Sym: symSend, Expr: formula.Sub(eGoal, eRef), Unit: "mV", Decimals: 3}, "", twoLooks, slips...)

	w.Ask("whole", formula.Definition{Sym: symWhole, Expr: formula.Add(symVolt, eRef), Unit: "mV", Decimals: 3}, "", oneLook,
		exercises.Told{ID: "reference-forgotten", Name: "reference junction forgotten", X: symVolt},
		exercises.Told{ID: "reference-subtracted", Name: "emf of the reference junction taken off", X: formula.Sub(symVolt, eRef)},
		exercises.Told{ID: "head-for-terminals", Name: "temperature of the head taken for that of the terminals", X: formula.Add(symVolt, eHead)},
		exercises.Told{ID: "reference-twice", Name: "reference junction counted twice", X: formula.Add(formula.Add(symVolt, eRef), eRef)},
		exercises.Told{ID: "line-below", Name: "figure of the line below taken", X: formula.Add(symVolt, ref.v1)})

	l := t.look(w, "m", j.i)
	slips = []exercises.Told{
		{ID: "line-below", Name: "temperature of the line below taken", X: l.t1},
		{ID: "degrees-added-too", Name: "degrees of the reference junction added as well", X: formula.Add(l.celsius(symWhole), symRef)},
		{ID: "degrees-taken-off", Name: "degrees of the reference junction taken off", X: formula.Sub(l.celsius(symWhole), symRef)},
		{ID: "from-above", Name: "counted on from the line above", X: formula.Add(l.t2, l.part(symWhole))},
	}
	if k, ok := t.of(j.volt); ok {
		bare := t.look(w, "u", k)
		slips = append(slips,
			exercises.Told{ID: "degrees-added", Name: "degrees added instead of millivolts", X: formula.Add(bare.celsius(symVolt), symRef)})
	}
	w.Ask("junction", formula.Definition{Sym: symFound, Expr: l.celsius(symWhole), Unit: "°C", Decimals: 1}, "", t.kelvin(backLook), slips...)

	w.Ask("shift", formula.Definition{Sym: symShift, Expr: formula.Sub(eRef, eHead), Unit: "mV", Decimals: 3}, "", twoLooks,
		exercises.Told{ID: "shift-swapped", Name: "terminals and head swapped", X: formula.Sub(eHead, eRef)},
		exercises.Told{ID: "shift-head", Name: "only the head counted", X: formula.Neg(eHead)},
		exercises.Told{ID: "shift-terminals", Name: "only the terminals counted", X: formula.Neg(eRef)},
		exercises.Told{ID: "shift-added", Name: "both emfs added", X: formula.Add(eRef, eHead)})

	k, ok := t.of(formula.Eval(formula.Add(symWhole, symShift), w.Env))
	if !ok {
		return exercises.Item{}, rejectNear
	}
	l = t.look(w, "c", k)
	slips = []exercises.Told{
		{ID: "copper-harmless", Name: "copper taken to change nothing", X: symFound},
		{ID: "whole-head-off", Name: "all degrees of the head taken off", X: formula.Sub(symFound, symHead)},
		{ID: "line-below", Name: "temperature of the line below taken", X: l.t1},
		{ID: "shift-in-degrees", Name: "millivolts taken off as degrees", X: formula.Add(symFound, symShift)},
		{ID: "degrees-of-junctions", Name: "difference in degrees taken off instead of millivolts", X: formula.Sub(symFound, formula.Sub(symHead, symRef))},
	}
	if k, ok := t.of(formula.Eval(formula.Sub(symWhole, symShift), w.Env)); ok {
		up := t.look(w, "v", k)
		slips = append(slips, exercises.Told{ID: "shift-other-way", Name: "shift counted the other way", X: up.celsius(formula.Sub(symWhole, symShift))})
	}
	w.Ask("shown", formula.Definition{Sym: symCopper, Expr: l.celsius(formula.Add(symWhole, symShift)), Unit: "°C", Decimals: 1}, "", t.kelvin(shiftLook), slips...)
	return w.Item, p.which(w, in, j, state, fail)
}

// which asks for the fault behind a current.
func (p *plan) which(w *exercises.Draft, in *input, j junctions, state string, fail formula.Value) error {
	now := map[string]formula.Value{burnt: fail, crossed: in.limits[0],
		shorted: formula.Eval(current(symRef), w.Env), copper: formula.Eval(current(symCopper), w.Env)}[state]
	now, err := now.Rounded(1)
	if err != nil {
		return exercises.RejectDraft
	}
	// Crossed wires bring E_r - (E_m - E_r); the figure of 0 % must lie above.
	ref, _ := formula.Eval(symWhole, w.Env).Sub(j.volt).Rounded(3)
	zero, _ := in.table.at(formula.Int(in.low))
	if state == crossed && ref.Sub(j.volt).Add(formula.Decimal(3, 1)).Sub(in.table.v[zero]).Sign() >= 0 {
		return rejectLimit
	}
	w.Words = append(w.Words, "now", formula.WithUnit(now.Text(1), "mA"))
	w.Env = w.Env.With(
		formula.Binding{Sym: symLeast, V: in.limits[0], Unit: "mA", Decimals: places(in.limits[0])},
		formula.Binding{Sym: symMost, V: in.limits[1], Unit: "mA", Decimals: places(in.limits[1])},
		formula.Binding{Sym: symNow, V: now, Unit: "mA", Decimals: 1})
	w.Item.Key.Env, w.Item.Key.Fault = w.Env, w.Text("option."+state).Plain()
	above := formula.Relation{A: symNow, Op: formula.Greater, B: symMost}
	below := formula.Relation{A: symNow, Op: formula.Less, B: symLeast}
	least := formula.Relation{A: symNow, Op: formula.LessEq, B: symLeast}
	near := formula.Relation{A: formula.Abs(formula.Sub(symNow, current(symRef))), Op: formula.LessEq, B: formula.Lit{V: formula.Decimal(1, 1), Unit: "mA"}}
	return w.Choose("which", []string{copper, shorted, crossed, burnt},
		[]exercises.Decision{{Rel: &above, Option: burnt}, {Rel: &below, Option: burnt}, {Rel: &least, Option: crossed}, {Rel: &near, Option: shorted}, {Option: copper}},
		exercises.Misled{ID: "copper-blamed", Name: "copper cable blamed for more than it can do", Option: copper},
		exercises.Misled{ID: "short-blamed", Name: "a short taken for any wrong reading", Option: shorted},
		exercises.Misled{ID: "crossing-blamed", Name: "crossed wires taken for any wrong reading", Option: crossed},
		exercises.Misled{ID: "burnout-blamed", Name: "an open thermocouple taken for any wrong reading", Option: burnt})
}
