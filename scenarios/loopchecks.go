package scenarios

import (
	"fmt"
	"strings"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/unit"
)

// firstLetters are the first identification letters of ISA-5.1, table of
// identification letters, for the kinds of loop that we have.
var firstLetters = map[Kind]byte{Flow: 'F', Level: 'L', Pressure: 'P', Temperature: 'T'}

// letterSays names what a first letter of a tag stands for in ISA-5.1.
var letterSays = map[byte]string{
	'A': "analysis", 'B': "burner or combustion", 'C': "a user's choice", 'D': "a user's choice", 'E': "voltage", 'F': "flow", 'G': "a user's choice",
	'H': "hand", 'I': "current", 'J': "power", 'K': "time", 'L': "level", 'M': "a user's choice", 'N': "a user's choice", 'O': "a user's choice",
	'P': "pressure", 'Q': "quantity", 'R': "radiation", 'S': "speed", 'T': "temperature", 'U': "multivariable", 'V': "vibration", 'W': "weight",
	'X': "unclassified", 'Y': "event", 'Z': "position",
}

// checkTag holds the letters of a tag against ISA-5.1: the first names what is
// measured, by function and not by construction (so a differential-pressure
// cell that measures flow is FT); a modifier may follow; the rest are
// functions, of which T, transmit, must be one.
func (f *file) checkTag(b *block, l *Loop) {
	v := b.get("tag")
	if !v.ok {
		return
	}
	letters, _, _ := strings.Cut(l.Tag, "-")
	want := firstLetters[l.Kind]
	before := f.r.found[f.path]
	defer func() { // a tag that will change is no measure for references
		f.r.gaps = f.r.gaps || f.r.found[f.path] > before
	}()
	if b.get("kind").ok && letters[0] != want {
		hint := fmt.Sprintf("call it %c%s, or change kind", want, l.Tag[1:])
		if letters[0] == 'P' && letters[1] == 'D' {
			hint = fmt.Sprintf("ISA-5.1 names what is measured and not how: a differential-pressure cell for %s is %cT", l.Kind, want)
		}
		f.err(RuleTagLetters, v.at(), fmt.Sprintf("tag %s begins with %c for %s, but the loop measures %s", l.Tag, letters[0], letterSays[letters[0]], l.Kind), hint)
		return
	}
	rest := letters[1:]
	if len(rest) > 1 && strings.IndexByte("DFJKMQSXYZ", rest[0]) >= 0 {
		rest = rest[1:] // modifier of the first letter: D differential, F ratio, Q total, ...
	}
	for i := range len(rest) {
		if strings.IndexByte("ACIRST", rest[i]) < 0 {
			f.err(RuleTagLetters, v.at(), fmt.Sprintf("%c in tag %s is no function of a transmitter", rest[i], l.Tag),
				"letters behind the first are I indicate, R record, C control, S switch, A alarm, T transmit")
			return
		}
	}
	if !strings.Contains(rest, "T") {
		f.err(RuleTagLetters, v.at(), fmt.Sprintf("tag %s has no T behind its first letter, so it does not name a transmitter", l.Tag),
			fmt.Sprintf("write the transmitter's tag, such as %cT-%s", letters[0], l.Tag[len(letters)+1:]))
	}
}

// fits lists, for each kind, what its transmitter can sense and its receiver
// show.
var fits = map[Kind]struct{ input, shows []unit.Dimension }{
	Level:       {in(unit.Pressure, unit.Length), in(unit.Length, unit.Percent, unit.Volume, unit.Mass, unit.Pressure)},
	Flow:        {in(unit.Pressure, unit.VolumeFlow, unit.MassFlow), in(unit.VolumeFlow, unit.MassFlow, unit.Percent, unit.Pressure)},
	Pressure:    {in(unit.Pressure), in(unit.Pressure, unit.Percent)},
	Temperature: {in(unit.Temperature), in(unit.Temperature, unit.Percent)},
}

func (f *file) checkRanges(b *block, l *Loop) {
	for _, name := range []string{"input", "shows"} {
		v := b.get(name)
		if !v.ok {
			continue
		}
		switch v.rng.Span().Sign() {
		case 0:
			f.err(RuleSpanZero, v.at(), fmt.Sprintf("%s %s has a span of 0", name, v.rng), "the upper end must lie above the lower end")
		case -1:
			up := unit.Range{Low: v.rng.High, High: v.rng.Low, Unit: v.rng.Unit, Decimals: v.rng.Decimals}
			hint := fmt.Sprintf("write the lower end first, %q", name+": "+up.String())
			if name == "input" && l.Action == Direct {
				hint += "; if the output falls while the input rises, add \"action: reverse\""
			} else if name == "input" {
				hint += "; \"action: reverse\" already swaps the ends of the signal"
			}
			f.err(RuleRangeOrder, v.at(), fmt.Sprintf("%s %s runs downwards", name, v.rng), hint)
		}
		if unqualified(v.text) {
			f.warn(RuleWaterColumn, v.at(), fmt.Sprintf("%q does not say at which temperature the water column is; the conventional one is taken", v.text),
				waterHint)
		}
		kind := fits[l.Kind]
		dims := kind.input
		if name == "shows" {
			dims = kind.shows
		}
		if b.get("kind").ok && !containsDimension(dims, v.rng.Unit.Dimension) {
			f.err(RuleDimension, v.at(), fmt.Sprintf("the %s of a %s loop is given as a %s", name, l.Kind, v.rng.Unit.Dimension), "it can be a "+joinDimensions(dims))
		}
	}
	in, out := b.get("input"), b.get("shows")
	if l.Root == NoRoot && in.ok && out.ok && in.rng.Unit.Dimension == out.rng.Unit.Dimension && (l.Kind == Pressure || l.Kind == Temperature) {
		same, err := in.rng.Convert(out.rng.Unit)
		if err == nil && !(same.Low.Equal(out.rng.Low) && same.High.Equal(out.rng.High)) {
			f.warn(RuleShows, out.at(), fmt.Sprintf("the transmitter senses %s, the receiver shows %s", in.rng, out.rng), "leave \"shows\" out if both are the same; if they are meant to differ, say why in \"service\"")
		}
	}
}

// waterHint names the water columns that differ.
const waterHint = "write inH2O(conv), inH2O(4C) or inH2O(60F); they differ by up to 0.1 %"

// unqualified says whether a water column is written without its temperature.
func unqualified(s string) bool {
	s = strings.ReplaceAll(s, "₂", "2")
	return strings.HasSuffix(s, "H2O")
}

func containsDimension(ds []unit.Dimension, d unit.Dimension) bool {
	for _, x := range ds {
		if x == d {
			return true
		}
	}
	return false
}

func joinDimensions(ds []unit.Dimension) string {
	out := make([]string, len(ds))
	for i, d := range ds {
		out[i] = d.String()
	}
	return strings.Join(out, ", ")
}

func (f *file) checkRoot(b *block, l *Loop) {
	in, out := b.get("input"), b.get("shows")
	if l.Root == NoRoot {
		if l.Kind == Flow && in.ok && in.rng.Unit.Dimension == unit.Pressure && out.ok && out.rng.Unit.Dimension != unit.Pressure {
			f.warn(RuleRoot, b.at("shows"), fmt.Sprintf("a flow of %s is shown from a differential pressure of %s without a square root", out.rng, in.rng),
				"add \"root: transmitter\" or \"root: receiver\"")
		}
		return
	}
	at := b.at("root")
	if l.Kind != Flow && b.get("kind").ok {
		f.err(RuleRoot, at, fmt.Sprintf("a %s loop has no square root to take", l.Kind), "root is for flow from differential pressure")
		return
	}
	if in.ok && in.rng.Unit.Dimension != unit.Pressure {
		f.err(RuleRoot, at, fmt.Sprintf("the square root is taken of a differential pressure, but the input is %s", in.rng), "give the input as a pressure, or leave root out")
	} else if in.ok && !in.rng.Low.IsZero() {
		f.err(RuleRoot, in.at(), fmt.Sprintf("with a square root the input must start at 0, but it is %s", in.rng), "flow is proportional to the root of a differential pressure that starts at 0")
	}
	if out.ok && !out.rng.Low.IsZero() {
		f.err(RuleRoot, out.at(), fmt.Sprintf("with a square root the flow shown must start at 0, but it is %s", out.rng), "no differential pressure is no flow")
	}
	if l.Action == Reverse {
		f.err(RuleRoot, at, "a square root and a reverse action do not go together here", "leave out one of the two")
	}
}

// checkTolerance holds tolerance and adjust_at against each other and against
// what a needle can show.
func (f *file) checkTolerance(b *block, l *Loop, p *Plant) {
	tol, adj := b.get("tolerance"), b.get("adjust_at")
	mark := p.Checker.Face.PerSmallMark
	if mark.Sign() > 0 {
		for _, v := range []*value{tol, adj} {
			if v.ok && v.quantity.V.Sub(mark).Sign() < 0 {
				f.err(RuleTolerance, v.at(), fmt.Sprintf("%s is finer than the checker resolves: one small mark is %s of span", v.quantity, percent(mark)),
					fmt.Sprintf("give at least %s %%span, or the checker a finer movement", plainNumber(mark)))
			}
		}
		stop := mark.Mul(formula.Int(int64(p.Checker.Face.Stop())))
		if tol.ok && tol.quantity.V.Sub(stop).Sign() >= 0 {
			f.warn(RuleTolerance, tol.at(), fmt.Sprintf("an error of %s lies on or beyond the needle's stop at %s of span, so that no reading shows it", tol.quantity, percent(stop)), "")
		}
	}
	if tol.ok && adj.ok && adj.quantity.V.Sub(tol.quantity.V).Sign() > 0 {
		f.err(RuleAdjustAt, adj.at(), fmt.Sprintf("adjust_at %s lies above the tolerance %s: a transmitter could fail without being adjusted", adj.quantity, tol.quantity),
			"give at most the tolerance, or leave the key out")
	}
}

func percent(v formula.Value) string { return plainNumber(v) + " %" }

func plainNumber(v formula.Value) string {
	k, _ := v.Places(6)
	return strings.Replace(v.Text(k), "\u2212", "-", 1)
}

// checkBudget holds the supply against the lift-off voltage at the highest
// current that the transmitter sends, with everything that hangs in the loop:
//
//	U_tx = U - I (R_supply + R_out + R_return + R_receiver [+ R_checker])
//
// Short without the checker is an error; short only while the checker is in
// the loop is a warning, for then the needle would blame a good loop.
func (f *file) checkBudget(b *block, l *Loop) {
	supply, wiring, tx, rx := b.get("supply").block, b.get("wiring").block, b.get("transmitter").block, b.get("receiver").block
	if supply == nil || wiring == nil || tx == nil || rx == nil || !supply.allOK("voltage", "resistance") || !wiringOK(wiring) ||
		!tx.allOK("lift_off", "high") || !rx.allOK("resistor", "impedance") {
		return
	}
	q := &l.Params
	amp := q.Transmitter.HighMilliamp / 1000
	receiver := q.Receiver.ShuntOhm * q.Receiver.InputOhm / (q.Receiver.ShuntOhm + q.Receiver.InputOhm)
	ohms := q.Supply.InternalOhm + q.Wiring.OutOhm + q.Wiring.ReturnOhm + receiver
	left := q.Supply.Volt - amp*ohms
	with := left - amp*q.Checker.ResistorOhm
	const slack = 1e-9 // volts; figures are written in decimals, the sum is not
	high, lift, volts := tx.get("high").quantity, tx.get("lift_off").quantity, supply.get("voltage").quantity
	at := b.place()
	for _, c := range []*block{wiring, rx, tx, supply} {
		if c.n != nil {
			at = f.head(c.n)
		}
	}
	if supply.written("voltage") {
		at = supply.at("voltage")
	}
	switch {
	case left < q.Transmitter.LiftOffVolt-slack:
		f.err(RuleSupply, at, fmt.Sprintf("at %s the loop of %s leaves %s V of %s to the transmitter, which needs %s", high, ohmsOf(ohms, l.Cable), number(left), volts, lift),
			fmt.Sprintf("the supply needs at least %s V, or the loop must have at most %s ohm", number(q.Transmitter.LiftOffVolt+amp*ohms), number((q.Supply.Volt-q.Transmitter.LiftOffVolt)/amp)))
	case with < q.Transmitter.LiftOffVolt-slack:
		f.warn(RuleSupplyChecker, at, fmt.Sprintf("with the checker's %s ohm in the loop, %s V are left to the transmitter at %s, which needs %s: the top of the range clips only while the checker is in",
			number(q.Checker.ResistorOhm), number(with), high, lift),
			fmt.Sprintf("if that is not the lesson, give the supply at least %s V", number(q.Transmitter.LiftOffVolt+amp*(ohms+q.Checker.ResistorOhm))))
	}
	if lim := supply.get("limit"); lim.ok && q.Supply.LimitMilliamp < q.Transmitter.HighMilliamp {
		f.err(RuleSupply, lim.at(), fmt.Sprintf("the supply limits at %s, below the %s that the transmitter sends", lim.quantity, high), "give a higher limit, or leave the key out")
	}
	if q.Receiver.ShuntOhm != 250 {
		f.warn(RuleReceiver, rx.at("resistor"), fmt.Sprintf("4-20 mA through %s makes %s to %s V, not 1 to 5 V", rx.get("resistor").quantity, number(q.Receiver.ShuntOhm*0.004), number(q.Receiver.ShuntOhm*0.020)),
			"exercises across the receiver expect 250 ohm")
	}
}

// checkPneumatic warns of electrical keys in a loop that has no current.
func (f *file) checkPneumatic(b *block, l *Loop) {
	for _, name := range []string{"supply", "wiring", "transmitter", "receiver"} {
		if b.written(name) {
			f.warn(RulePneumatic, f.at(b.get(name).name), fmt.Sprintf("%q means nothing in a loop with the signal %s", name, l.Signal.Name), "leave it out")
		}
	}
}
