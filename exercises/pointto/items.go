package pointto

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

// The symbols of the family: k the ring's point, e the error, N by how many
// divisions the output moves the needle, m where it rests, n where it points,
// E what somebody makes of that, R the receiver's resistor, v the value shown.
const (
	symRing     formula.Sym = "k"
	symError    formula.Sym = "e"
	symMoved    formula.Sym = "N"
	symRest     formula.Sym = "m"
	symPoints   formula.Sym = "n"
	symBelieved formula.Sym = "E"
	symOhm      formula.Sym = "R"
	symShown    formula.Sym = "v"
	symShown0   formula.Sym = "v_0"
	symShown100 formula.Sym = "v_100"
	symCurrent  formula.Sym = "I"
	symIdeal    formula.Sym = "I_k"
	symLimit    formula.Sym = "tol"
)

// drawn is what all parts are built from.
type drawn struct {
	exercises.Composer
	*situation
	env  formula.Env
	per  formula.Expr // percent of span of one division
	stop formula.Value
	half formula.Value // half a small mark, divisions
}

func (p *plan) build(pick *exercises.Picker, s *situation) (exercises.Item, error) {
	d := p.drawn(s)
	item := p.start(d)
	var mv formula.Expr = symMoved
	switch {
	case s.level == "easy":
		item.Add(d.centre("a"))
		e, key := d.errorPart("b")
		item.Add(e, key)
		mv = formula.Div(symError, d.per)
	default:
		label := "a"
		if s.level == "hard" {
			item.Add(d.voltsPart(label))
			label = "b"
		}
		item.Add(d.moved(label))
	}
	label := string(rune('a' + len(item.Sheet.Parts)))
	if err := d.faces(pick, &item, label, mv); err != nil {
		return item, err
	}
	label = string(rune('a' + len(item.Sheet.Parts)))
	switch {
	case s.level == "usual":
		item.Add(d.believed(label))
	case s.known == resistor:
		item.Add(d.cause(label))
	case s.known == shown:
		item.Add(d.verdict(label))
	}
	item.Key.Env = d.env
	return item, nil
}

func (p *plan) drawn(s *situation) *drawn {
	per := nullbalance.PerDivision(s.face)
	tk, _ := s.loop.Tolerance.Places(3)
	d := &drawn{situation: s, per: formula.Lit{V: per, Unit: "%/div"},
		stop: formula.Int(int64(s.face.Divisions)), half: formula.Ratio(1, int64(2*s.face.SmallPerDiv))}
	d.Prompts = prompts
	d.Words = []string{
		"tag", s.loop.Tag, "service", s.loop.Service, "x", fmt.Sprint(s.x), "ring", fmt.Sprint(s.ring),
		"input", nullbalance.InputText(s.loop, s.x),
		"tolerance", "± " + exercises.Quantity(s.loop.Tolerance, "%"),
		"perdivision", exercises.Quantity(per, "%"), "span", exercises.Quantity(s.signal.High.Sub(s.signal.Low), s.signal.Unit),
		"rest", nullbalance.Words(s.face, loop.Needle{Code: s.rest}),
		"ohm", formula.WithUnit(s.ohm.Text(1), "Ω"),
	}
	d.env = formula.Env{
		{Sym: symRing, V: formula.Int(int64(s.ring)), Unit: "%"},
		{Sym: symRest, V: nullbalance.Divisions(s.face, s.rest), Unit: "div", Decimals: 1},
		{Sym: symLimit, V: s.loop.Tolerance, Unit: "%", Decimals: tk},
	}.With(s.signal.Bind()...)
	switch s.known {
	case asError:
		k, _ := s.off.Places(2)
		d.env = d.env.With(formula.Binding{Sym: symError, V: s.off, Unit: "%", Decimals: k})
		d.Words = append(d.Words, "given", signed(s.off, "%"))
	case resistor:
		d.env = d.env.With(
			formula.Binding{Sym: symCurrent, V: s.output, Unit: "mA", Decimals: 3},
			formula.Binding{Sym: symOhm, V: s.ohm, Unit: "Ω", Decimals: 1}).With(signal.Current.Bind()...)
		d.Words = append(d.Words, "given", formula.WithUnit(s.output.Text(3), "mA"))
	case shown:
		d.bindShown()
	default:
		d.env = d.env.With(formula.Binding{Sym: s.signal.Sym(), V: s.output, Unit: s.signal.Unit, Decimals: 3})
		d.Words = append(d.Words, "given", formula.WithUnit(s.output.Text(3), s.signal.Unit))
	}
	return d
}

// bindShown binds the value that the receiver shows and the ends of its range.
func (d *drawn) bindShown() {
	r := d.loop.Shows
	share := d.output.Sub(d.signal.Low).Div(d.signal.High.Sub(d.signal.Low))
	if d.loop.Action == scenarios.Reverse {
		share = formula.Int(1).Sub(share)
	}
	v := r.Low.Add(r.Span().Mul(share))
	bind := func(s formula.Sym, v formula.Value) formula.Binding {
		k, _ := v.Places(6)
		return formula.Binding{Sym: s, V: v, Unit: r.Unit.Symbol, Decimals: k}
	}
	d.env = d.env.With(bind(symShown, v), bind(symShown0, r.Low), bind(symShown100, r.High))
	d.Words = append(d.Words, "given", exercises.Quantity(v, r.Unit.Symbol),
		"low", exercises.Quantity(r.Low, r.Unit.Symbol), "high", exercises.Quantity(r.High, r.Unit.Symbol))
}

// signed prints a value with its sign, the plus too.
func signed(v formula.Value, unit string) string {
	if v.Sign() > 0 {
		return "+" + exercises.Quantity(v, unit)
	}
	return exercises.Quantity(v, unit)
}

// lever names the position of the lever.
func (s *situation) lever() string {
	if s.set.Place == loop.AcrossReceiver {
		return "Voltage"
	}
	return "Current"
}

func (p *plan) start(d *drawn) exercises.Item {
	var item exercises.Item
	s := &item.Sheet
	intro := "intro." + string(d.known)
	if d.known == shown && d.loop.Action == scenarios.Reverse {
		intro += "-reverse"
	}
	s.Title, s.Intro, s.Cautions = p.exercise.Title, d.Text(intro), nullbalance.Cautions()
	if d.level == "easy" {
		s.Intro = d.Text("intro.easy")
	} else {
		s.Figures = append(s.Figures, d.figure("rest", loop.Needle{Code: d.rest}))
		s.Figures[0].Caption = prompts.Text("face.rest")
	}
	item.Key.Fault = nullbalance.FaultWords(d.set, d.face)
	if d.known == resistor {
		item.Key.Fault += "; receiver's resistor " + formula.WithUnit(d.ohm.Text(1), "Ω")
	}
	return item
}

func (d *drawn) figure(id string, n loop.Needle) exercises.Figure {
	return exercises.Figure{ID: id, Face: &exercises.Face{Design: d.face, Lever: d.lever(), Ring: d.ring, Needle: n, CellLine: true}}
}

// ideal is the signal at which the ring stands.
func (d *drawn) ideal() formula.Expr {
	return signal.At(signal.OfPercent(symRing), d.signal.Zero(), d.signal.Full())
}

func (d *drawn) width() formula.Expr { return formula.Sub(d.signal.Full(), d.signal.Zero()) }

// centre asks, at the easy level, for the current at which the needle rests.
func (d *drawn) centre(label string) (exercises.Part, exercises.PartKey) {
	def := formula.Definition{Sym: symIdeal, Expr: d.ideal(), Unit: "mA", Decimals: 2}
	key := d.NumberKey(label, def, d.env, formula.Value{}, "exact", "centre")
	share := signal.OfPercent(symRing)
	d.ToldSlip(&key, "dead-zero", "live zero forgotten", formula.Mul(share, d.signal.Full()))
	d.ToldSlip(&key, "lower-not-added", "lower end not added", formula.Mul(share, d.width()))
	d.ToldSlip(&key, "upper-as-span", "upper end taken for the span", formula.Add(d.signal.Zero(), formula.Mul(share, d.signal.Full())))
	d.ToldSlip(&key, "wrong-end", "counted from the wrong end", formula.Sub(d.signal.Full(), formula.Mul(share, d.width())))
	part := d.Number(label, "centre", def, "")
	d.env = d.env.With(bind(def, d.env, label))
	return part, key
}

func bind(def formula.Definition, env formula.Env, label string) formula.Binding {
	b, _ := def.Bind(env, label) // exact, cannot fail
	return b
}

// errorPart asks, at the easy level, for the error; it goes on from (a).
func (d *drawn) errorPart(label string) (exercises.Part, exercises.PartKey) {
	off := formula.Sub(symCurrent, symIdeal)
	of := func(whole formula.Expr) formula.Expr {
		return formula.Mul(formula.Div(off, whole), formula.Percent100())
	}
	def := formula.Definition{Sym: symError, Expr: of(d.width()), Unit: "%", Decimals: 2}
	key := d.NumberKey(label, def, d.env, d.face.PerSmallMark.Div(formula.Int(2)), "percent", "error")
	d.ToldSlip(&key, "sign", "sign swapped", formula.Neg(def.Expr))
	d.ToldSlip(&key, "error-in-signal", "error given in the signal's unit", off)
	d.ToldSlip(&key, "dead-zero-error", "percentage of the upper end less the ring's point",
		formula.Sub(formula.Mul(formula.Div(symCurrent, d.signal.Full()), formula.Percent100()), symRing))
	d.ToldSlip(&key, "of-reading", "error of the reading", of(symIdeal))
	d.ToldSlip(&key, "of-upper", "error of the upper end", of(d.signal.Full()))
	part := d.Number(label, "error", def, "of span")
	d.env = d.env.With(bind(def, d.env, label))
	return part, key
}

// voltsPart asks, at the hard level, for the volts across the receiver.
func (d *drawn) voltsPart(label string) (exercises.Part, exercises.PartKey) {
	half := d.face.PerSmallMark.Div(formula.Int(200)).Mul(d.signal.High.Sub(d.signal.Low))
	def := formula.Definition{Sym: d.signal.Sym(), Unit: "V", Decimals: 3}
	var key exercises.PartKey
	if d.known == resistor {
		def.Expr = signal.Drop(symCurrent, symOhm)
		key = d.NumberKey(label, def, d.env, half, "volts", "drop")
		ideal := signal.At(signal.OfPercent(symRing), signal.Current.Zero(), signal.Current.Full())
		d.ToldSlip(&key, "nominal-resistor", "resistor taken for 250 Ω", signal.Drop(symCurrent, formula.Lit{V: formula.Int(nominalOhm), Unit: "Ω"}))
		d.ToldSlip(&key, "ideal-current", "right current taken for the one that flows", signal.Drop(ideal, symOhm))
		d.ToldSlip(&key, "live-zero-added", "live zero added to a drop", formula.Add(d.signal.Zero(), def.Expr))
		d.ToldSlip(&key, "prefix", "mA taken for A", formula.Mul(symCurrent, symOhm))
		d.ToldSlip(&key, "divided", "divided where Ohm's law multiplies", formula.Div(formula.Mul(symOhm, formula.Lit{V: formula.Decimal(1, 1)}), symCurrent))
	} else {
		low, high := d.signal.Zero(), d.signal.Full()
		if d.loop.Action == scenarios.Reverse {
			low, high = high, low
		}
		def.Expr = signal.Scale(symShown, symShown0, symShown100, low, high)
		key = d.NumberKey(label, def, d.env, half, "volts", "scale")
		share := signal.Fraction(symShown, symShown0, symShown100)
		d.ToldSlip(&key, "wrong-end", "counted from the wrong end", signal.At(share, high, low))
		d.ToldSlip(&key, "dead-zero", "live zero forgotten", formula.Mul(share, d.signal.Full()))
		d.ToldSlip(&key, "lower-not-added", "lower end not added", formula.Mul(share, d.width()))
		d.ToldSlip(&key, "upper-as-span", "upper end taken for the span", formula.Add(d.signal.Zero(), formula.Mul(share, d.signal.Full())))
		if !d.loop.Shows.Low.IsZero() && !d.loop.Shows.High.IsZero() {
			d.ToldSlip(&key, "range-low-left-on", "lower end of the range not taken off", signal.At(formula.Div(symShown, symShown100), low, high))
		}
	}
	part := d.Number(label, "volts", def, "")
	part.Lines = 2
	if b, err := def.Bind(d.env, label); err == nil {
		d.env = d.env.With(b)
	}
	return part, key
}

// moved asks by how many divisions the output moves the needle.
func (d *drawn) moved(label string) (exercises.Part, exercises.PartKey) {
	def := formula.Definition{Sym: symMoved, Unit: "div", Decimals: 1}
	var e formula.Expr = symError
	work := "moved-error"
	if d.known != asError {
		off := formula.Sub(d.signal.Sym(), d.ideal())
		e = formula.Mul(formula.Div(off, d.width()), formula.Percent100())
		work = "moved"
	}
	def.Expr = formula.Div(e, d.per)
	key := d.NumberKey(label, def, d.env, d.half, "divisions", work)
	d.NumberSlip(&key, "sign", "sign swapped", formula.Neg(def.Expr))
	d.NumberSlip(&key, "percent-as-divisions", "percent taken for divisions", e)
	d.NumberSlip(&key, "marks-as-divisions", "small marks counted as divisions", formula.Mul(def.Expr, formula.Num(int64(d.face.SmallPerDiv))))
	if d.known == asError {
		d.ToldSlip(&key, "multiplied", "multiplied by what a division stands for", formula.Mul(symError, d.per))
	} else {
		d.ToldSlip(&key, "dead-zero-error", "percentage of the upper end less the ring's point", formula.Div(formula.Sub(
			formula.Mul(formula.Div(d.signal.Sym(), d.signal.Full()), formula.Percent100()), symRing), d.per))
		off := formula.Sub(d.signal.Sym(), d.ideal())
		of := func(whole formula.Expr) formula.Expr {
			return formula.Div(formula.Mul(formula.Div(off, whole), formula.Percent100()), d.per)
		}
		d.ToldSlip(&key, "of-reading", "error of the reading", of(d.ideal()))
		d.ToldSlip(&key, "of-upper", "error of the upper end", of(d.signal.Full()))
	}
	part := d.Number(label, "moved", def, "")
	part.Lines = 2
	if b, err := def.Bind(d.env, label); err == nil {
		d.env = d.env.With(b)
	}
	return part, key
}
