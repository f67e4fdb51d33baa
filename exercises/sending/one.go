package sending

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

// The symbols of the family: k the ring's point, v what the receiver shows
// with the ends of its range, w what it should show, e its error, s the volts
// that would make a right receiver show v. Of the hard level, with L and H for
// its lower and its upper point: O the volts open, C connected, u what the
// volts are off.
const (
	symRing  formula.Sym = "k"
	symShown formula.Sym = "v"
	symLow   formula.Sym = "v_0"
	symHigh  formula.Sym = "v_100"
	symRight formula.Sym = "w"
	symError formula.Sym = "e"
	symBack  formula.Sym = "s"
	symLimit formula.Sym = "tol"
	symRest  formula.Sym = "m"
)

var volt0, volt100 = signal.Voltage.Zero(), signal.Voltage.Full()

// base is what the parts of all levels are built from.
type base struct {
	exercises.Composer
	*sent
	env  formula.Env
	unit string
}

func newBase(s *sent) base {
	r := s.loop.Shows
	b := base{sent: s, unit: r.Unit.Symbol}
	b.Prompts = prompts
	b.Words = []string{"tag", s.loop.Tag, "service", s.loop.Service,
		"low", exercises.Quantity(r.Low, b.unit), "high", exercises.Quantity(r.High, b.unit),
		"range", exercises.Quantity(r.Span(), b.unit), "unit", b.unit,
		"tolerance", "± " + exercises.Quantity(s.loop.Tolerance, "%"), "places", fmt.Sprint(s.places)}
	ends := func(v formula.Value) int { k, _ := v.Places(6); return k }
	tk, _ := s.loop.Tolerance.Places(3)
	b.env = formula.Env{
		{Sym: symLow, V: r.Low, Unit: b.unit, Decimals: ends(r.Low)},
		{Sym: symHigh, V: r.High, Unit: b.unit, Decimals: ends(r.High)},
		{Sym: symLimit, V: s.loop.Tolerance, Unit: "%", Decimals: tk},
	}.With(signal.Voltage.Bind()...)
	return b
}

// at is the value at a share of the receiver's range.
func at(share formula.Expr) formula.Expr { return signal.At(share, symLow, symHigh) }

func valueSpan() formula.Expr { return formula.Sub(symHigh, symLow) }

// one is an item with one point.
type one struct {
	base
}

func (p *plan) buildOne(s *sent) (exercises.Item, error) {
	b := &one{newBase(s)}
	b.Words = append(b.Words, "ring", fmt.Sprint(s.ring), "shown", formula.WithUnit(s.shown.Text(s.places), b.unit),
		"sent", formula.WithUnit(formula.Int(1).Add(formula.Ratio(int64(4*s.ring), 100)).Text(2), "V"))
	per := nullbalance.PerDivision(s.face)
	b.env = b.env.With(
		formula.Binding{Sym: symRing, V: formula.Int(int64(s.ring)), Unit: "%"},
		formula.Binding{Sym: symShown, V: s.shown, Unit: b.unit, Decimals: s.places},
		formula.Binding{Sym: symRest, V: nullbalance.Divisions(s.face, s.rest).Mul(per), Unit: "%", Decimals: 2})

	var it exercises.Item
	sh := &it.Sheet
	sh.Title, sh.Intro, sh.Cautions = p.exercise.Title, b.Text("intro."+b.kind()), nullbalance.Cautions()
	if s.level == "usual" {
		sh.Figures = []exercises.Figure{{ID: "send", Caption: prompts.Text("face.send"),
			Face: &exercises.Face{Design: s.face, Lever: "Send", Ring: s.ring, Needle: loop.Needle{Code: s.rest}, CellLine: true}}}
	}
	label := func() string { return string(rune('a' + len(it.Sheet.Parts))) }
	if s.level == "easy" {
		it.Add(b.volts(label()))
	}
	it.Add(b.right(label()))
	it.Add(b.error(label()))
	if s.level == "usual" {
		it.Add(b.back(label()))
	}
	it.Add(b.verdict(label()))
	it.Key.Env = b.env
	it.Key.Fault = "receiver shows " + formula.WithUnit(s.shown.Text(s.places), b.unit)
	return it, nil
}

// kind names the texts that fit the loop.
func (b *one) kind() string {
	switch {
	case b.loop.Action == scenarios.Reverse:
		return "reverse"
	case b.loop.Root == scenarios.RootReceiver:
		return "root"
	case b.loop.Root == scenarios.RootTransmitter:
		return "rooted"
	}
	return "direct"
}

func (b *one) next(def formula.Definition, label string) error {
	bound, err := def.Bind(b.env, label)
	if err == nil {
		b.env = b.env.With(bound)
	}
	return err
}

// volts asks, at the easy level, which volts go out.
func (b *one) volts(label string) (exercises.Part, exercises.PartKey) {
	share := signal.OfPercent(symRing)
	width := formula.Sub(volt100, volt0)
	def := formula.Definition{Sym: signal.Voltage.Sym(), Expr: signal.At(share, volt0, volt100), Unit: "V", Decimals: 2}
	key := b.NumberKey(label, def, b.env, formula.Value{}, "exact", "volts")
	b.ToldSlip(&key, "dead-zero", "live zero forgotten", formula.Mul(share, volt100))
	b.ToldSlip(&key, "lower-not-added", "lower end not added", formula.Mul(share, width))
	b.ToldSlip(&key, "upper-as-span", "upper end taken for the span", formula.Add(volt0, formula.Mul(share, volt100)))
	b.ToldSlip(&key, "volts-wrong-end", "counted from the wrong end", formula.Sub(volt100, formula.Mul(share, width)))
	return b.Number(label, "volts", def, ""), key
}

// right asks what the receiver should show.
func (b *one) right(label string) (exercises.Part, exercises.PartKey) {
	share := signal.OfPercent(symRing)
	def := formula.Definition{Sym: symRight, Unit: b.unit, Decimals: b.places}
	// Somebody who takes the ring's percentage of 5 V, or the volts as a share
	// of 5 V or of 4 V.
	volts := formula.Expr(signal.At(share, volt0, volt100))
	dead := formula.Div(volts, volt100)
	left := formula.Div(volts, formula.Sub(volt100, volt0))
	shift := signal.Fraction(formula.Mul(share, volt100), volt0, volt100)
	form := func(x formula.Expr) formula.Expr { return at(x) }
	switch b.kind() {
	case "reverse":
		form = func(x formula.Expr) formula.Expr { return signal.At(x, symHigh, symLow) }
	case "root":
		form = func(x formula.Expr) formula.Expr { return at(formula.Sqrt(x)) }
	}
	def.Expr = form(share)
	key := b.NumberKey(label, def, b.env, b.step().Div(formula.Int(2)), "value", "right-"+b.kind())
	switch b.kind() {
	case "reverse":
		b.ToldSlip(&key, "reverse-missed", "reverse action missed", at(share))
	case "root":
		b.ToldSlip(&key, "root-forgotten", "root forgotten", at(share))
		b.ToldSlip(&key, "squared", "squared where a root is taken", at(formula.Square(share)))
	case "rooted":
		b.ToldSlip(&key, "rooted-twice", "root taken twice", at(formula.Sqrt(share)))
		b.ToldSlip(&key, "squared", "squared where a root is taken", at(formula.Square(share)))
	default:
		b.ToldSlip(&key, "wrong-end", "counted from the wrong end", signal.At(share, symHigh, symLow))
	}
	b.ToldSlip(&key, "dead-zero-value", "volts taken as a share of 5 V", form(dead))
	if b.kind() != "root" {
		b.ToldSlip(&key, "zero-left-on", "live zero not taken off the volts", form(left))
		b.ToldSlip(&key, "percent-of-five", "ring's percentage taken of 5 V", form(shift))
	}
	if b.kind() != "reverse" && !b.loop.Shows.Low.IsZero() {
		b.ToldSlip(&key, "range-low-not-added", "lower end of the range not added", formula.Mul(share, valueSpan()))
		b.ToldSlip(&key, "share-of-upper", "share of the upper end of the range", formula.Mul(share, symHigh))
	}
	part := b.Number(label, "right", def, "")
	if b.next(def, label) != nil {
		b.env = b.env.With(formula.Binding{Sym: symRight, V: formula.Ratio(0, 0)}) // settle throws it away
	}
	return part, key
}

// error asks for the receiver's error; it goes on from what it should show.
func (b *one) error(label string) (exercises.Part, exercises.PartKey) {
	off := formula.Sub(symShown, symRight)
	of := func(whole formula.Expr) formula.Expr {
		return formula.Mul(formula.Div(off, whole), formula.Percent100())
	}
	def := formula.Definition{Sym: symError, Expr: of(valueSpan()), Unit: "%", Decimals: 2}
	key := b.NumberKey(label, def, b.env, b.halfShown(), "error", "error")
	b.ToldSlip(&key, "sign", "sign swapped", formula.Neg(def.Expr))
	b.ToldSlip(&key, "error-in-units", "error given in the unit of the value", off)
	b.ToldSlip(&key, "of-reading", "error of the reading", of(symRight))
	if !b.loop.Shows.Low.IsZero() {
		b.ToldSlip(&key, "of-upper", "error of the upper end", of(symHigh))
	}
	if b.level == "usual" {
		b.ToldSlip(&key, "needle-read", "needle read with the lever at Send", symRest)
	}
	b.ToldSlip(&key, "fraction", "share of one given, not percent", formula.Div(off, valueSpan()))
	part := b.Number(label, "error", def, "of span")
	b.next(def, label)
	return part, key
}

// halfShown is half the last place of the receiver in percent of span, rounded
// up to hundredths so that it can be printed.
func (s *sent) halfShown() formula.Value {
	half := s.stepPercent().Div(formula.Int(2))
	up, _ := half.Truncate(2)
	v := formula.Decimal(up, 2)
	if v.Sub(half).Sign() < 0 {
		v = v.Add(formula.Decimal(1, 2))
	}
	return v
}

// back asks, at the usual level, for the volts that a right receiver would
// show this value at.
func (b *one) back(label string) (exercises.Part, exercises.PartKey) {
	share := signal.Fraction(symShown, symLow, symHigh)
	def := formula.Definition{Sym: symBack, Unit: "V", Decimals: 3}
	low, high := volt0, volt100
	x := share
	switch b.kind() {
	case "reverse":
		low, high = high, low
	case "root":
		x = formula.Square(share)
	}
	def.Expr = signal.At(x, low, high)
	key := b.NumberKey(label, def, b.env, formula.Ratio(4, 1000), "back", "back-"+b.kind())
	width := formula.Sub(volt100, volt0)
	b.ToldSlip(&key, "volts-sent", "the volts sent given", signal.At(signal.OfPercent(symRing), volt0, volt100))
	switch b.kind() {
	case "root":
		b.ToldSlip(&key, "square-forgotten", "square forgotten", signal.At(share, low, high))
		b.ToldSlip(&key, "rooted-back", "root taken where a square is", signal.At(formula.Sqrt(share), low, high))
	case "reverse":
		b.ToldSlip(&key, "reverse-missed", "reverse action missed", signal.At(share, volt0, volt100))
	default:
		b.ToldSlip(&key, "volts-wrong-end", "counted from the wrong end", signal.At(share, volt100, volt0))
	}
	if b.kind() != "reverse" {
		b.ToldSlip(&key, "lower-not-added", "lower end not added", formula.Mul(x, width))
		b.ToldSlip(&key, "dead-zero", "live zero forgotten", formula.Mul(x, volt100))
	}
	if !b.loop.Shows.Low.IsZero() && !b.loop.Shows.High.IsZero() {
		b.ToldSlip(&key, "range-low-left-on", "lower end of the range not taken off", signal.At(formula.Div(symShown, symHigh), low, high))
	}
	b.ToldSlip(&key, "milliamps", "mA given for V", signal.At(x, formula.Mul(low, formula.Num(4)), formula.Mul(high, formula.Num(4))))
	part := b.Number(label, "back", def, "")
	part.Lines = 2
	return part, key
}

// verdict asks whether the receiver is within its tolerance.
func (b *one) verdict(label string) (exercises.Part, exercises.PartKey) {
	within := formula.Relation{A: formula.Abs(symError), Op: formula.LessEq, B: symLimit}
	rel, right, wrong := within, "within", "outside"
	if holds, _ := rel.Holds(b.env); !holds {
		right, wrong = wrong, right
		rel.Op = formula.Greater
	}
	key := b.ChoiceKey(label, right, exercises.Step{Text: b.Text("work.verdict")}, exercises.Step{Rel: &rel, Env: b.env})
	key.Answers[0].Env = b.env
	key.Answers[0].Decide = []exercises.Decision{{Rel: &within, Option: "within"}, {Option: "outside"}}
	off := formula.Sub(symShown, symRight)
	for _, w := range []struct {
		id, name string
		x        formula.Expr
	}{
		{"sign-compared", "error compared with its sign", symError},
		{"units-compared", "error in units compared with percent", formula.Abs(off)},
		{"reading-compared", "error of the reading compared", formula.Abs(formula.Mul(formula.Div(off, symRight), formula.Percent100()))},
		{"needle-compared", "needle read with the lever at Send", formula.Abs(symRest)},
	} {
		if w.id == "needle-compared" && b.level != "usual" {
			continue
		}
		seems, err := (formula.Relation{A: w.x, Op: formula.LessEq, B: symLimit}).Holds(b.env)
		if err == nil && seems == (wrong == "within") {
			key.Slips = []exercises.Slip{b.ChoiceSlip(label, w.id, w.name, wrong)}
			break
		}
	}
	if len(key.Slips) == 0 {
		key.Slips = []exercises.Slip{b.ChoiceSlip(label, "verdict-turned", "verdict turned round", wrong)}
	}
	return b.Choice(label, "verdict", "within", "outside"), key
}
