package gothere

import (
	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
)

// The usual level: one transmitter on one barrier, by the comparisons of IEC
// 60079-14 (a simple circuit with one source):
//
//	Uo ≤ Ui   Io ≤ Ii   Po ≤ Pi   Co ≥ Ci + Ccable   Lo ≥ Li + Lcable
//
// The two last are asked as lengths. What is left out on purpose, and said on
// the page or in the lesson:
//   - Co and Lo are pairs that hold at the same time. Where the papers give them
//     singly, a rule of the standard halves both if the devices' own Ci and Li
//     are each more than 1 % of them (from memory); that is for the person who
//     signs the loop's papers.
//   - Instead of Lcable ≤ Lo − Li the cable's L/R may be held against Lo/Ro; the
//     papers of these loops give no Lo/Ro.
//   - Faults between the cores of a multicore cable.

// The verdicts of a pair; may is one of them.
const (
	voltage     = "voltage"
	current     = "current"
	power       = "power"
	capacitance = "capacitance"
	inductance  = "inductance"
)

const (
	rejectCable exercises.Reject = "no cable that shows the verdict clearly"
	rejectSmall exercises.Reject = "a barrier that allows unlikely little"

	symUo     formula.Sym = "U_o"
	symUi     formula.Sym = "U_i"
	symIo     formula.Sym = "I_o"
	symIi     formula.Sym = "I_i"
	symPo     formula.Sym = "P_o"
	symPi     formula.Sym = "P_i"
	symCi     formula.Sym = "C_i"
	symLi     formula.Sym = "L_i"
	symPerC   formula.Sym = "C_c"
	symPerL   formula.Sym = "L_c"
	symLength formula.Sym = "l"
	symLeft   formula.Sym = "C_left"
	symByC    formula.Sym = "l_C"
	symByL    formula.Sym = "l_L"
)

// cable is a drawn cable: nF a kilometre, hundredths of mH a kilometre, m.
// Figures of the size that instrument pairs have (common practice, no source).
type cable struct{ perC, perL, length int }

// drawCable draws one for gas of group IIC, and for IIB, where more is allowed,
// one that is longer and has more.
func drawCable(pick *exercises.Picker, gas int) cable {
	perC := []int{60, 70, 80, 90, 95, 105, 110, 120, 135, 150, 165, 180, 200}
	c := cable{perL: 5 * pick.Between(8, 20)}
	if gas == 1 {
		c.perC, c.length = perC[5+pick.Int(8)], 10*pick.Between(60, 140)
	} else {
		c.perC, c.length = perC[pick.Int(9)], 10*pick.Between(20, 90)
	}
	return c
}

// likely says whether a Co in nF and a Lo in hundredths of mH are not far below
// what barriers allow for gas of that group.
func likely(gas, co, lo int) bool {
	return gas == 2 && co >= 25 && lo >= 15 || gas == 1 && co >= 110 && lo >= 50
}

// clear is by how many metres at least a longest cable lies beside the length
// of the cable and beside the other longest cable.
const clear = 12

// byC is the longest cable for so many nF and byL for so many µH, in hundredths
// of a metre, rounded down.
func (c cable) byC(nF int) int { return 100000 * nF / c.perC }
func (c cable) byL(uH int) int { return 10000 * uH / c.perL }

// downward says whether the nearest metre to so many hundredths is the one
// below: then nobody who rounds as usual rounds a limit up.
func downward(hundredths int) bool { return hundredths%100 < 48 }

// roomC gives nF and roomL µH (a multiple of step, less own) for a longest cable
// of about so many metres that is not rounded up.
func (c cable) roomC(metres int) int {
	n := c.perC * metres / 1000
	for range 40 {
		if n > 0 && downward(c.byC(n)) {
			return n
		}
		n++
	}
	return 0
}

// roomL gives Lo in hundredths of mH.
func (c cable) roomL(metres, own int) int {
	n := (c.perL*metres/100 + own) / 10
	for range 40 {
		if room := 10*n - own; room > 0 && downward(c.byL(room)) {
			return n
		}
		n++
	}
	return 0
}

// connected is a barrier, a transmitter and a cable: tenths of a volt, mA, mW,
// nF, hundredths of mH (Lo) and µH (Li); Pi in hundredths of a watt.
type connected struct {
	cable
	uo, ui, io, ii, po, pi int
	gas                    int // 1: IIB, 2: IIC
	co, lo                 [3]int
	ci, li                 int
}

// drawSource draws volts and milliamps that a barrier can give: 15 to 28 V and
// 45 to 120 mA.
func drawSource(pick *exercises.Picker) (uo, io int) {
	return pick.Between(150, 280), pick.Between(45, 120)
}

// above is a limit that lets a value pass or not.
func above(pick *exercises.Picker, value int, fails bool, near, far int) int {
	if fails {
		return value - pick.Between(near, near+far/3)
	}
	return value + pick.Between(near, near+far)
}

// times is a share of n in percent.
func times(pick *exercises.Picker, n, low, high int) int { return n * pick.Between(low, high) / 100 }

// metres draws the two longest cables; short says which is the shorter and
// fails whether it is shorter than the cable.
func (c cable) metres(pick *exercises.Picker, short string, fails bool) (byC, byL int) {
	less := times(pick, c.length, 110, 170)
	if fails {
		less = times(pick, c.length, 55, 88)
	}
	more := times(pick, max(less, c.length), 125, 215)
	if short == capacitance {
		return less, more
	}
	return more, less
}

// shows says whether the two longest cables, in hundredths of a metre, say
// clearly what they are to say.
func (c cable) shows(byC, byL int, short string, fails bool) bool {
	less, more := byC/100, byL/100
	if short == inductance {
		less, more = more, less
	}
	if fails {
		return less >= 25 && less+clear <= c.length && more >= c.length+clear
	}
	return less >= c.length+clear && more >= less+clear
}

func drawPair(pick *exercises.Picker) (connected, error) {
	verdict := []string{may, voltage, current, power, capacitance, inductance}[pick.Int(6)]
	short := []string{capacitance, inductance}[pick.Int(2)]
	fails := verdict == capacitance || verdict == inductance
	if fails {
		short = verdict
	}
	d := connected{gas: 1 + pick.Int(2)}
	d.cable = drawCable(pick, d.gas)
	d.uo, d.io = drawSource(pick)
	d.po = d.uo * d.io / 40 // a source with a straight line: a quarter of volts times milliamps
	d.ui = above(pick, d.uo, verdict == voltage, 3, 60)
	d.ii = above(pick, d.io, verdict == current, 3, 70)
	d.pi = above(pick, (d.po+5)/10, verdict == power, 3, 30)
	d.ci, d.li = pick.Between(2, 24), 5*pick.Between(4, 40)
	byC, byL := d.metres(pick, short, fails)
	room := d.roomC(byC)
	lo := d.roomL(byL, d.li)
	if room == 0 || lo == 0 || !d.shows(d.byC(room), d.byL(10*lo-d.li), short, fails) {
		return d, rejectCable
	}
	d.co[d.gas], d.lo[d.gas] = d.ci+room, lo
	// The other group: what IIC allows is a quarter to a sixth of IIB for C, and
	// a third to a quarter for L.
	c, l := pick.Between(40, 60), pick.Between(30, 40)
	if d.gas == 2 {
		d.co[1], d.lo[1] = d.co[2]*c/10, d.lo[2]*l/10
	} else {
		d.co[2], d.lo[2] = d.co[1]*10/c, d.lo[1]*10/l
	}
	if !likely(1, d.co[1], d.lo[1]) || !likely(2, d.co[2], d.lo[2]) {
		return d, rejectSmall
	}
	return d, nil
}

var (
	nano   = formula.Lit{V: formula.Int(1000), Unit: "nF/µF"}
	micro  = formula.Lit{V: formula.Int(1000), Unit: "µH/mH"}
	metres = formula.Lit{V: formula.Int(1000), Unit: "m/km"}
	metre  = formula.Decimal(5, 1) // half a metre, for rounding on the way
)

func symCo(gas int) formula.Sym { return formula.Sym("C_" + groups[gas]) }
func symLo(gas int) formula.Sym { return formula.Sym("L_" + groups[gas]) }

// leftC is what a Co in µF leaves beside so many nF, in nF; leftL what a Lo in
// mH leaves beside so many µH, in µH.
func leftC(allowed, own formula.Expr) formula.Expr {
	return formula.Sub(formula.Mul(nano, allowed), own)
}

func leftL(allowed, own formula.Expr) formula.Expr {
	return formula.Sub(formula.Mul(micro, allowed), own)
}

// lengthC is the cable for so many nF, m. For so many µH there is no factor: µH
// by mH/km is m.
func lengthC(left formula.Expr) formula.Expr {
	return formula.Div(formula.Mul(metres, left), symPerC)
}

// half is what somebody gets who halves.
func half(x formula.Expr) formula.Expr { return formula.Div(x, formula.Num(2)) }

func (p *plan) pair(l *scenarios.Loop, d connected) (exercises.Item, error) {
	w := p.start(l, "pair", groups[d.gas], "intrinsic-safety")
	w.table("pair", "plates", "barrier", "transmitter")
	w.row("voltage", w.bind("Uo", symUo, tenths(d.uo), "V", 1), w.bind("Ui", symUi, tenths(d.ui), "V", 1))
	w.row("current", w.bind("Io", symIo, whole(d.io), "mA", 0), w.bind("Ii", symIi, whole(d.ii), "mA", 0))
	w.row("power", w.bind("Po", symPo, whole(d.po), "mW", 0), w.bind("Pi", symPi, hundreds(d.pi), "W", 2))
	for g := 1; g <= 2; g++ {
		w.row("allowed-c-"+groups[g], w.bind("Co", symCo(g), thousand(d.co[g]), "µF", 3), none)
		w.row("allowed-l-"+groups[g], w.bind("Lo", symLo(g), hundreds(d.lo[g]), "mH", 2), none)
	}
	w.row("inside-c", none, w.bind("Ci", symCi, whole(d.ci), "nF", 0))
	w.row("inside-l", none, w.bind("Li", symLi, whole(d.li), "µH", 0))
	w.cable(d.cable, groups[d.gas])

	other := 3 - d.gas
	left := []exercises.Told{
		{ID: "own-forgotten", Name: "Ci forgotten", X: formula.Mul(nano, symCo(d.gas))},
		{ID: "own-added", Name: "Ci added", X: formula.Add(formula.Mul(nano, symCo(d.gas)), symCi)},
	}
	if d.co[other] > d.ci {
		left = append(left, exercises.Told{ID: "other-group", Name: "the other group's figure taken", X: leftC(symCo(other), symCi)})
	}
	if d.co[d.gas] > 2*d.ci {
		left = append(left, exercises.Told{ID: "halved", Name: "halved without need", X: formula.Sub(half(formula.Mul(nano, symCo(d.gas))), symCi)})
	}
	if d.co[d.gas] > 10*d.ci {
		left = append(left, exercises.Told{ID: "hundred", Name: "a microfarad taken for 100 nF", X: formula.Sub(formula.Mul(formula.Num(100), symCo(d.gas)), symCi)})
	}
	w.Ask("left", formula.Definition{Sym: symLeft, Expr: leftC(symCo(d.gas), symCi), Unit: "nF"}, "", formula.Int(0), left...)
	byC := []exercises.Told{
		{ID: "own-forgotten-again", Name: "Ci forgotten", X: lengthC(formula.Add(symLeft, symCi))},
		{ID: "there-and-back", Name: "the way back counted", X: half(lengthC(symLeft))},
		{ID: "kilometres", Name: "kilometres written for metres", X: formula.Div(symLeft, symPerC)},
	}
	if d.co[d.gas] > 2*d.ci {
		byC = append(byC, exercises.Told{ID: "own-taken-twice", Name: "Ci taken off twice", X: lengthC(formula.Sub(symLeft, symCi))})
	}
	w.Ask("by-c", formula.Definition{Sym: symByC, Expr: lengthC(symLeft), Unit: "m"}, "", metre, byC...)
	byL := []exercises.Told{
		{ID: "li-forgotten", Name: "Li forgotten", X: formula.Div(formula.Mul(micro, symLo(d.gas)), symPerL)},
		{ID: "li-added", Name: "Li added", X: formula.Div(formula.Add(formula.Mul(micro, symLo(d.gas)), symLi), symPerL)},
		{ID: "there-and-back", Name: "the way back counted", X: half(formula.Div(leftL(symLo(d.gas), symLi), symPerL))},
		{ID: "kilometres", Name: "kilometres written for metres", X: formula.Div(formula.Sub(symLo(d.gas), formula.Div(symLi, micro)), symPerL)},
	}
	if 10*d.lo[other] > d.li {
		byL = append(byL, exercises.Told{ID: "other-group", Name: "the other group's figure taken", X: formula.Div(leftL(symLo(other), symLi), symPerL)})
	}
	w.Ask("by-l", formula.Definition{Sym: symByL, Expr: formula.Div(leftL(symLo(d.gas), symLi), symPerL), Unit: "m"}, "", metre, byL...)

	short := formula.Relation{A: symByC, Op: formula.Less, B: symByL}
	if err := w.Choose("limits", []string{"limit-c", "limit-l"},
		[]exercises.Decision{{Rel: &short, Option: "limit-c"}, {Option: "limit-l"}},
		exercises.Misled{ID: "larger", Name: "the larger of the two taken", Option: "limit-c"},
		exercises.Misled{ID: "larger", Name: "the larger of the two taken", Option: "limit-l"}); err != nil {
		return w.Item, err
	}
	return w.Item, w.pairVerdict()
}

// cable prints the table of the cable, with the group of the gas above it.
func (w *sheet) cable(c cable, gas string) {
	w.table("cable", "cable", "figure")
	w.row("gas", gas)
	w.row("length", w.bind("", symLength, whole(c.length), "m", 0))
	w.row("per-c", w.bind("", symPerC, whole(c.perC), "nF/km", 0))
	w.row("per-l", w.bind("", symPerL, hundreds(c.perL), "mH/km", 2))
}

func (w *sheet) pairVerdict() error {
	over := func(a, b formula.Expr) *formula.Relation {
		return &formula.Relation{A: a, Op: formula.Greater, B: b}
	}
	w.Item.Key.Env = w.Env
	volts, amps := over(symUo, symUi), over(symIo, symIi)
	watts := over(symPo, formula.Mul(formula.Lit{V: formula.Int(1000), Unit: "mW/W"}, symPi))
	long, longL := over(symLength, symByC), over(symLength, symByL)
	return w.Choose("pair", []string{may, voltage, current, power, capacitance, inductance},
		[]exercises.Decision{{Rel: volts, Option: voltage}, {Rel: amps, Option: current}, {Rel: watts, Option: power},
			{Rel: long, Option: capacitance}, {Rel: longL, Option: inductance}, {Option: may}},
		exercises.Misled{ID: "voltage-unseen", Name: "voltages not compared", Option: may, Rel: volts},
		exercises.Misled{ID: "current-unseen", Name: "currents not compared", Option: may, Rel: amps},
		exercises.Misled{ID: "power-unseen", Name: "powers not compared", Option: may, Rel: watts},
		exercises.Misled{ID: "larger-trusted", Name: "the larger of the two lengths trusted", Option: may},
		exercises.Misled{ID: "voltage-turned", Name: "voltages compared the wrong way round", Option: voltage},
		exercises.Misled{ID: "current-turned", Name: "currents compared the wrong way round", Option: current},
		exercises.Misled{ID: "power-prefix", Name: "milliwatts held against watts", Option: power},
		exercises.Misled{ID: "capacitance-turned", Name: "length by capacitance compared the wrong way round", Option: capacitance},
		exercises.Misled{ID: "inductance-turned", Name: "length by inductance compared the wrong way round", Option: inductance})
}
