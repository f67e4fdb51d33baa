package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// bindGiven brings the given into the unit of its range. A bare number is in
// that unit already.
func (c *conversion) bindGiven() (formula.Binding, error) {
	b := formula.Binding{Sym: c.letters()[0], V: c.given.V, Unit: c.from.Unit.Symbol, Decimals: c.given.Decimals}
	if c.given.Unit == (unit.Unit{}) || c.given.Unit == c.from.Unit {
		return b, nil
	}
	v, err := c.given.Convert(c.from.Unit)
	if err != nil {
		var m *unit.Mistake
		if errors.As(err, &m) && m.Hint == "" && c.given.Unit.Dimension == unit.Percent {
			m.Hint = `to start from percent of span give --from "0..100 %"`
		}
		return b, err
	}
	b.V = v
	b.Decimals, _ = v.Places(6)
	return b, nil
}

// letters gives the symbols of the given and of the result.
func (c *conversion) letters() [2]formula.Sym {
	letter := func(r unit.Range) formula.Sym {
		switch r.Unit.Dimension {
		case unit.Current:
			return signal.Current.Sym()
		case unit.Voltage:
			return signal.Voltage.Sym()
		case unit.Pressure:
			return signal.PneumaticSI.Sym()
		case unit.Resistance:
			return "R"
		case unit.Temperature:
			return "T"
		case unit.Length:
			return "h"
		case unit.VolumeFlow, unit.MassFlow:
			return "q"
		case unit.Percent, unit.PercentOfSpan:
			if percentRange(r) {
				return "x"
			}
		}
		return "a"
	}
	out := [2]formula.Sym{letter(c.from), letter(c.to)}
	if out[0] == out[1] {
		out[1] = "y"
	}
	return out
}

// percentRange reports whether r is 0..100 %, for which formulas are written
// with the percentage itself.
func percentRange(r unit.Range) bool {
	return (r.Unit.Dimension == unit.Percent || r.Unit.Dimension == unit.PercentOfSpan) &&
		r.Low.IsZero() && r.High.Equal(formula.Int(100))
}

// write sets up the formulas and their symbols. There is no second formula
// anywhere: the value printed is the value of this one.
func (c *conversion) write() {
	l := c.letters()
	in, out := l[0], l[1]
	ends := func(s formula.Sym, r unit.Range) [2]formula.Binding {
		return [2]formula.Binding{
			{Sym: s + "_0", V: r.Low, Unit: r.Unit.Symbol, Decimals: r.Decimals},
			{Sym: s + "_100", V: r.High, Unit: r.Unit.Symbol, Decimals: r.Decimals},
		}
	}
	a, b := ends(in, c.from), ends(out, c.to)
	c.env = formula.Env{c.value, a[0], a[1], b[0], b[1]}

	fraction := signal.Fraction(in, a[0].Sym, a[1].Sym)
	c.share = formula.Definition{Sym: "x", Expr: signal.Percent(in, a[0].Sym, a[1].Sym), Unit: "%", Decimals: 2}
	if percentRange(c.from) {
		fraction = signal.OfPercent(in)
		c.share.Expr = in
	}
	switch c.law {
	case root:
		fraction = formula.Sqrt(fraction)
	case square:
		fraction = formula.Square(fraction)
	}
	result := signal.At(fraction, b[0].Sym, b[1].Sym)
	if percentRange(c.to) {
		result = formula.Mul(fraction, formula.Percent100())
	}
	decimals := c.decimals
	if decimals < 0 {
		decimals = max(c.to.Decimals, finest(c.to.Span()))
	}
	c.def = formula.Definition{Sym: out, Expr: result, Unit: c.to.Unit.Symbol, Decimals: decimals}
}

// finest is the number of decimals, at most 9, that show a thousandth of a
// span.
func finest(span formula.Value) int {
	for k := range 9 {
		if c, err := formula.Decimal(1, k).Cmp(span.Abs().Div(formula.Int(1000))); err == nil && c <= 0 {
			return k
		}
	}
	return 9
}

// note collects what somebody should know who uses the result. An error says
// that the result cannot be given at all.
func (c *conversion) note() error {
	add := func(format string, args ...any) { c.notes = append(c.notes, fmt.Sprintf(format, args...)) }

	if _, err := c.def.Bind(c.env, ""); errors.Is(err, formula.ErrUndefined) {
		return fmt.Errorf("the result is too large to be written with %d decimals", c.def.Decimals)
	}
	x := c.share.Eval(c.env)
	if x.Sign() < 0 || x.Sub(formula.Int(100)).Sign() > 0 {
		add("%s lies outside the range %s", withUnit(c.value), c.from)
	}
	if _, places := c.value.V.Places(6); !places {
		add("%s is rounded in the working; the calculation goes on with the unrounded value", withUnit(c.value))
	}
	if c.law == root && !c.startsAtZero() {
		add("the root law holds for a differential pressure that starts at zero; this range starts at %s",
			formula.WithUnit(c.from.Low.Text(c.from.Decimals), c.from.Unit.Symbol))
	}
	if isSignal(c.from, signal.Current) {
		c.noteBand(c.value)
	}
	if isSignal(c.to, signal.Current) {
		c.noteBand(formula.Binding{V: c.def.Eval(c.env), Unit: c.def.Unit, Decimals: c.def.Decimals})
	}
	return nil
}

// startsAtZero reports whether the range is one of which a root may be taken:
// from zero, or a live-zero signal that stands for such a range.
func (c *conversion) startsAtZero() bool {
	if c.from.Low.IsZero() {
		return true
	}
	for _, s := range signal.All() {
		if isSignal(c.from, s) {
			return true
		}
	}
	return false
}

// isSignal reports whether r is the signal s, either way up.
func isSignal(r unit.Range, s signal.Signal) bool {
	return r.Unit.Symbol == s.Unit &&
		(r.Low.Equal(s.Low) && r.High.Equal(s.High) || r.Low.Equal(s.High) && r.High.Equal(s.Low))
}

// noteBand says what NAMUR NE 43 makes of a current; nothing of a normal one.
func (c *conversion) noteBand(current formula.Binding) {
	band, err := signal.BandOf(current.V)
	what := ""
	switch {
	case err != nil:
		what = "lies on a limit of NAMUR NE 43"
	case band == signal.FailureLow:
		what = "is a failure signal after NAMUR NE 43 (" + signal.FailureBelow.Text(1) + " mA and below), not a measured value"
	case band == signal.FailureHigh:
		what = "is a failure signal after NAMUR NE 43 (" + signal.FailureAbove.Text(0) + " mA and above), not a measured value"
	case band == signal.UnderRange:
		what = "is under-range after NAMUR NE 43 (down to " + signal.LowestValue.Text(1) + " mA), still a measured value"
	case band == signal.OverRange:
		what = "is over-range after NAMUR NE 43 (up to " + signal.HighestValue.Text(1) + " mA), still a measured value"
	case band == signal.Undefined:
		what = "lies between the measured values and the failure signals of NAMUR NE 43, where nothing is defined"
	default:
		return
	}
	c.notes = append(c.notes, withUnit(current)+" "+what)
}

func withUnit(b formula.Binding) string { return formula.WithUnit(b.V.Text(b.Decimals), b.Unit) }

// givenLine says how the value came into the unit of its range; empty if it was
// given in it.
func (c *conversion) givenLine() string {
	if c.given.Unit == (unit.Unit{}) || c.given.Unit == c.from.Unit {
		return ""
	}
	equals := "="
	if _, all := c.value.V.Places(6); !all {
		equals = "≈"
	}
	return fmt.Sprintf("%s %s %s", c.given.Text(), equals, withUnit(c.value))
}

// shareLines is the working of the percentage of span; empty where the given
// or the result is that percentage.
func (c *conversion) shareLines() []string {
	if percentRange(c.from) || percentRange(c.to) && c.law == proportional {
		return nil
	}
	share := c.share
	if c.def.Sym == share.Sym { // the result is a percentage too, another one
		share.Sym = c.value.Sym + "_%"
	}
	return share.Lines(c.env)
}

// text lays out the result on the first line and the working below it.
func (c *conversion) text() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n", formula.WithUnit(c.def.Result(c.env).Value, c.def.Unit))
	if g := c.givenLine(); g != "" {
		fmt.Fprintf(&b, "\nGiven\n  %s\n", g)
	}
	block := func(head string, lines []string) {
		if len(lines) > 0 {
			fmt.Fprintf(&b, "\n%s\n  %s\n", head, strings.Join(lines, "\n  "))
		}
	}
	block("Percent of the span "+c.from.String(), c.shareLines())
	block("In the range "+c.to.String(), c.def.Lines(c.env))
	return b.String()
}

// json is the result for a machine. Numbers are plain decimals; the unrounded
// value is as near as a float64 comes to it.
func (c *conversion) json() string {
	v := c.def.Eval(c.env)
	lines := append(c.shareLines(), c.def.Lines(c.env)...)
	if g := c.givenLine(); g != "" {
		lines = append([]string{g}, lines...)
	}
	notes := c.notes
	if notes == nil {
		notes = []string{}
	}
	out := struct {
		Value    float64     `json:"value"`
		Rounded  json.Number `json:"rounded"`
		Decimals int         `json:"decimals"`
		Unit     string      `json:"unit"`
		Percent  float64     `json:"percentOfSpan"`
		Given    string      `json:"given"`
		From     string      `json:"from"`
		To       string      `json:"to"`
		Law      law         `json:"law"`
		Working  []string    `json:"working"`
		Notes    []string    `json:"notes"`
	}{
		v.Float64(), json.Number(strings.ReplaceAll(v.Text(c.def.Decimals), "\u2212", "-")), c.def.Decimals,
		c.to.Unit.Name(), c.share.Eval(c.env).Float64(), c.given.String(), c.from.String(), c.to.String(), c.law, lines, notes,
	}
	var b bytes.Buffer
	enc := json.NewEncoder(&b)
	enc.SetEscapeHTML(false)
	enc.SetIndent("", "  ")
	if err := enc.Encode(out); err != nil {
		// Every number above is finite once note has passed.
		panic("convert: a result that JSON cannot hold")
	}
	return b.String()
}
