package gothere

import (
	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
)

// The hard level: a transmitter and an indicator on one barrier, and a checker
// put into that loop. The checker's cell makes it a second source. Where it is
// not fixed how two sources are connected, both ways are gone through (IEC
// 60079-25, annex on interconnection of linear circuits; IEC 60079-14, annex on
// circuits with more than one source, from memory): in series the voltages add
// up, in parallel the currents do. A higher voltage or current allows less
// capacitance and inductance; how much less is looked up in IEC 60079-11 by whoever
// signs the loop's papers, so Co and Lo with the checker are printed. Such a
// circuit counts as level ib at best (from memory), so the page says zone 1.
// Power is printed as settled.

// neither: the loop may not be as it is, even without the checker.
const neither = "neither"

const (
	symUk     formula.Sym = "U_k"
	symIk     formula.Sym = "I_k"
	symSumU   formula.Sym = "U_s"
	symSumI   formula.Sym = "I_s"
	symAllC   formula.Sym = "C_s"
	symAlone  formula.Sym = "C_1"
	symBoth   formula.Sym = "C_2"
	symAloneL formula.Sym = "L_1"
	symBothL  formula.Sym = "L_2"
)

// The symbols of transmitter, indicator and checker, in this order.
var (
	limU = [3]formula.Sym{"U_it", "U_id", "U_ik"}
	limI = [3]formula.Sym{"I_it", "I_id", "I_ik"}
	ownC = [3]formula.Sym{"C_it", "C_id", "C_ik"}
	ownL = [3]formula.Sym{"L_it", "L_id", "L_ik"}
)

// chained is a barrier, three devices and a cable, in the units of connected.
type chained struct {
	cable
	uo, io, uk, ik int
	ui, ii, ci, li [3]int // transmitter, indicator, checker
	gas            int
	c1, c2         int // Co without and with the checker, nF
	l1, l2         int // Lo likewise, hundredths of mH
	state          string
	cell           cell
}

// limits draws what three devices stand: one of them lowest, the others more.
func limits(pick *exercises.Picker, lowest, who, near, far int) (out [3]int) {
	for i := range out {
		out[i] = lowest
		if i != who {
			out[i] += pick.Between(near, far)
		}
	}
	return out
}

func drawThree(pick *exercises.Picker) (chained, error) {
	d := chained{gas: 1 + pick.Int(2)}
	d.cable = drawCable(pick, d.gas)
	d.state = []string{may, voltage, current, capacitance, inductance, neither}[pick.Int(6)]
	d.cell = drawCell(pick)
	d.uo, d.io = drawSource(pick)
	d.uk, d.ik = pick.Between(6, 30), pick.Between(6, 30)
	why := ""
	if d.state == neither {
		why = []string{voltage, capacitance, inductance}[pick.Int(3)]
	}
	// The lowest limit: between barrier and sum it forbids the checker only,
	// below the barrier the loop itself.
	lowU, whoU := d.uo+d.uk+pick.Between(2, 50), pick.Int(3)
	switch {
	case d.state == voltage:
		lowU = d.uo + pick.Between(1, d.uk-2)
	case why == voltage:
		lowU, whoU = d.uo-pick.Between(2, 20), pick.Int(2)
	}
	lowI, whoI := d.io+d.ik+pick.Between(2, 50), pick.Int(3)
	if d.state == current {
		lowI = d.io + pick.Between(1, d.ik-2)
	}
	d.ui, d.ii = limits(pick, lowU, whoU, 3, 60), limits(pick, lowI, whoI, 4, 60)
	for i := range 3 {
		d.ci[i], d.li[i] = pick.Between(2, 16), 5*pick.Between(3, 24)
	}

	short := []string{capacitance, inductance}[pick.Int(2)]
	fails := d.state == capacitance || d.state == inductance
	if fails {
		short = d.state
	}
	byC, byL := d.metres(pick, short, fails)
	ownC, ownL := d.ci[0]+d.ci[1]+d.ci[2], d.li[0]+d.li[1]+d.li[2]
	needC := ownC - d.ci[2] + d.perC*d.length/1000 + 1
	needL := (ownL-d.li[2]+d.perL*d.length/100)/10 + 1
	if why == capacitance {
		byC = (needC - pick.Between(8, 14) - ownC) * 1000 / d.perC
	}
	if why == inductance {
		byL = (10*(needL-pick.Between(4, 8)) - ownL) * 100 / d.perL
	}
	roomC := d.roomC(byC)
	d.l2 = d.roomL(byL, ownL)
	if roomC == 0 || d.l2 == 0 || byC < 30 || byL < 30 {
		return d, rejectCable
	}
	roomL := 10*d.l2 - ownL
	if why != capacitance && why != inductance && !d.shows(d.byC(roomC), d.byL(roomL), short, fails) {
		return d, rejectCable
	}
	d.c2 = roomC + ownC
	d.c1, d.l1 = max(d.c2, needC)+pick.Between(4, 30), max(d.l2, needL)+pick.Between(4, 30)
	if why == capacitance {
		d.c1 = d.c2 + pick.Between(2, 5)
	}
	if why == inductance {
		d.l1 = d.l2 + pick.Between(1, 2)
	}
	if why == capacitance && d.c1+2 > needC || why == inductance && d.l1+1 > needL {
		return d, rejectCable
	}
	if !likely(d.gas, d.c2, d.l2) {
		return d, rejectSmall
	}
	return d, nil
}

// sum adds up terms.
func sum(first formula.Expr, more ...formula.Expr) formula.Expr {
	for _, x := range more {
		first = formula.Add(first, x)
	}
	return first
}

func (p *plan) three(l *scenarios.Loop, d chained) (exercises.Item, error) {
	w := p.start(l, "three", groups[d.gas], "intrinsic-safety", "cell-outside")
	w.table("plates", "plates", "barrier", "transmitter", "indicator", "checker")
	line := func(name, shown, unit string, decimals int, value func(int) formula.Value, first string, syms [3]formula.Sym, n [3]int) {
		cells := []string{first}
		for i, s := range syms {
			cells = append(cells, w.bind(shown, s, value(n[i]), unit, decimals))
		}
		w.row(name, cells...)
	}
	w.row("gives-u", w.bind("Uo", symUo, tenths(d.uo), "V", 1), none, none, w.bind("Uo", symUk, tenths(d.uk), "V", 1))
	w.row("gives-i", w.bind("Io", symIo, whole(d.io), "mA", 0), none, none, w.bind("Io", symIk, whole(d.ik), "mA", 0))
	line("stands-u", "Ui", "V", 1, tenths, none, limU, d.ui)
	line("stands-i", "Ii", "mA", 0, whole, none, limI, d.ii)
	line("inside-c", "Ci", "nF", 0, whole, none, ownC, d.ci)
	line("inside-l", "Li", "µH", 0, whole, none, ownL, d.li)
	w.table("allowed", "allowed", "alone", "with")
	w.row("allowed-c", w.bind("Co", symAlone, thousand(d.c1), "µF", 3), w.bind("Co", symBoth, thousand(d.c2), "µF", 3))
	w.row("allowed-l", w.bind("Lo", symAloneL, hundreds(d.l1), "mH", 2), w.bind("Lo", symBothL, hundreds(d.l2), "mH", 2))
	w.cable(d.cable, groups[d.gas])
	w.cellTable(d.cell)

	w.Ask("sum-u", formula.Definition{Sym: symSumU, Expr: formula.Add(symUo, symUk), Unit: "V", Decimals: 1}, "", formula.Int(0),
		exercises.Told{ID: "source-forgotten", Name: "the checker's own source forgotten", X: symUo},
		exercises.Told{ID: "sources-apart", Name: "one taken off the other", X: formula.Sub(symUo, symUk)},
		exercises.Told{ID: "limit-added", Name: "what the checker stands added", X: formula.Add(symUo, limU[2])})
	w.Ask("sum-i", formula.Definition{Sym: symSumI, Expr: formula.Add(symIo, symIk), Unit: "mA"}, "", formula.Int(0),
		exercises.Told{ID: "source-forgotten", Name: "the checker's own source forgotten", X: symIo},
		exercises.Told{ID: "sources-apart", Name: "one taken off the other", X: formula.Sub(symIo, symIk)},
		exercises.Told{ID: "limit-added", Name: "what the checker stands added", X: formula.Add(symIo, limI[2])})
	w.Ask("all-c", formula.Definition{Sym: symAllC, Expr: sum(ownC[0], ownC[1], ownC[2]), Unit: "nF"}, "", formula.Int(0),
		exercises.Told{ID: "checker-uncounted", Name: "the checker's own left out", X: sum(ownC[0], ownC[1])},
		exercises.Told{ID: "indicator-uncounted", Name: "the indicator's own left out", X: sum(ownC[0], ownC[2])},
		exercises.Told{ID: "transmitter-alone", Name: "the transmitter's own only", X: ownC[0]},
		exercises.Told{ID: "checker-twice", Name: "the checker's own counted twice", X: sum(ownC[0], ownC[1], ownC[2], ownC[2])})

	w.Ask("by-c-with", formula.Definition{Sym: symByC, Expr: lengthC(leftC(symBoth, symAllC)), Unit: "m"}, "", metre,
		exercises.Told{ID: "co-alone", Name: "Co without the checker taken", X: lengthC(leftC(symAlone, symAllC))},
		exercises.Told{ID: "own-forgotten", Name: "the devices' own forgotten", X: lengthC(formula.Mul(nano, symBoth))},
		exercises.Told{ID: "there-and-back", Name: "the way back counted", X: half(lengthC(leftC(symBoth, symAllC)))},
		exercises.Told{ID: "own-added", Name: "the devices' own added", X: lengthC(formula.Add(formula.Mul(nano, symBoth), symAllC))})
	all := sum(ownL[0], ownL[1], ownL[2])
	w.Ask("by-l-with", formula.Definition{Sym: symByL, Expr: formula.Div(leftL(symBothL, all), symPerL), Unit: "m"}, "", metre,
		exercises.Told{ID: "lo-alone", Name: "Lo without the checker taken", X: formula.Div(leftL(symAloneL, all), symPerL)},
		exercises.Told{ID: "checker-uncounted", Name: "the checker's own left out", X: formula.Div(leftL(symBothL, sum(ownL[0], ownL[1])), symPerL)},
		exercises.Told{ID: "own-forgotten", Name: "the devices' own forgotten", X: formula.Div(formula.Mul(micro, symBothL), symPerL)},
		exercises.Told{ID: "there-and-back", Name: "the way back counted", X: half(formula.Div(leftL(symBothL, all), symPerL))})
	if err := w.who(d); err != nil {
		return w.Item, err
	}
	w.askCell(d.cell)
	return w.Item, nil
}

// with is the option that forbids the checker for a reason.
func with(reason string) string { return "with-" + reason }

// who asks whether the loop may stay and whether the checker may go into it.
func (w *sheet) who(d chained) error {
	w.Item.Key.Env = w.Env
	over := func(a, b formula.Expr) *formula.Relation {
		return &formula.Relation{A: a, Op: formula.Greater, B: b}
	}
	loopU := over(symUo, formula.Min(limU[0], limU[1]))
	loopI := over(symIo, formula.Min(limI[0], limI[1]))
	loopC := over(sum(ownC[0], ownC[1], formula.Div(formula.Mul(symPerC, symLength), metres)), formula.Mul(nano, symAlone))
	loopL := over(sum(ownL[0], ownL[1], formula.Mul(symPerL, symLength)), formula.Mul(micro, symAloneL))
	withU := over(symSumU, formula.Min(limU[0], limU[1], limU[2]))
	withI := over(symSumI, formula.Min(limI[0], limI[1], limI[2]))
	withC, withL := over(symLength, symByC), over(symLength, symByL)
	slips := []exercises.Misled{
		{ID: "alone-unseen", Name: "the loop not looked at without the checker", Option: may, Rel: loopU},
		{ID: "alone-unseen", Name: "the loop not looked at without the checker", Option: may, Rel: loopC},
		{ID: "alone-unseen", Name: "the loop not looked at without the checker", Option: may, Rel: loopL},
		{ID: "checker-unseen", Name: "judged as if the checker were not in", Option: may},
	}
	for _, o := range []string{voltage, current, capacitance, inductance} {
		// Where the loop itself fails, and in this point, the checker is blamed
		// for it; elsewhere the comparison is turned round.
		blamed := map[string]*formula.Relation{voltage: loopU, current: loopI, capacitance: loopC, inductance: loopL}[o]
		slips = append(slips,
			exercises.Misled{ID: "checker-to-blame", Name: "the checker blamed for what the loop does", Option: with(o), Rel: blamed},
			exercises.Misled{ID: o + "-turned", Name: o + " compared the wrong way round", Option: with(o)})
	}
	if d.state == may {
		slips = append(slips, exercises.Misled{ID: "sound-forbidden", Name: "a sound loop refused", Option: neither})
	} else {
		slips = append(slips, exercises.Misled{ID: "loop-blamed", Name: "the loop blamed for what the checker does", Option: neither})
	}
	return w.Choose("who", []string{may, with(voltage), with(current), with(capacitance), with(inductance), neither},
		[]exercises.Decision{
			{Rel: loopU, Option: neither}, {Rel: loopI, Option: neither}, {Rel: loopC, Option: neither}, {Rel: loopL, Option: neither},
			{Rel: withU, Option: with(voltage)}, {Rel: withI, Option: with(current)}, {Rel: withC, Option: with(capacitance)}, {Rel: withL, Option: with(inductance)},
			{Option: may}}, slips...)
}
