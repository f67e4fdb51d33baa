package render

import (
	"strconv"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// NamedFormula is a formula of the trade as lessons and reference pages show
// it: the same tree that the exercises compute with.
type NamedFormula struct {
	ID    string // as a lesson's formula block names it
	Name  string
	Def   formula.Definition
	Where string // what the symbols mean
}

// Formulas lists the formulas in the order of the reference page.
func Formulas() []NamedFormula {
	s, s0, s100 := formula.Sym("S"), formula.Sym("S_0"), formula.Sym("S_100")
	v, v0, v100 := formula.Sym("V"), formula.Sym("V_0"), formula.Sym("V_100")
	x, dp := formula.Sym("x"), formula.Sym("x_dp")
	e0, e100 := formula.Sym("e_0"), formula.Sym("e_100")
	def := func(sym formula.Sym, expr formula.Expr, unit string) formula.Definition {
		return formula.Definition{Sym: sym, Expr: expr, Unit: unit}
	}
	return []NamedFormula{
		{"percent", "Signal to percent of span", def(x, signal.Percent(s, s0, s100), "%"),
			"S is the signal, S0 and S100 its values at 0 and 100 %"},
		{"signal", "Percent of span to signal", def(s, signal.At(signal.OfPercent(x), s0, s100), ""),
			"with reverse action the two ends change places"},
		{"value", "Percent of span to value", def(v, signal.At(signal.OfPercent(x), v0, v100), ""),
			"V0 and V100 are the values shown at 0 and 100 %"},
		{"flow-root", "Differential pressure to flow", def(x, formula.Mul(formula.Sqrt(signal.OfPercent(dp)), formula.Percent100()), "%"),
			"both in percent of their ranges, for a range that starts at zero and constant density"},
		{"span-error", "Error in percent of span", def("e", signal.SpanError(formula.Sym("S_is"), formula.Sym("S_ideal"), s0, s100), "%"),
			"indicated minus ideal: a reading that is too high has a positive error"},
		{"zero-error", "Zero error", def(formula.Sym("e_zero"), e0, "%"),
			"the error at 0 %, in percent of span"},
		{"span-adjust", "Span error", def(formula.Sym("e_span"), formula.Sub(e100, e0), "%"),
			"the error at 100 % less the error at 0 %, in percent of span"},
		{"voltage", "Current to voltage", def(formula.Sym("U"), signal.Drop(formula.Sym("I"), formula.Sym("R")), "V"),
			"I in mA, R in ohm, U in V; 250 ohm turns 4-20 mA into 1-5 V"},
	}
}

// Formula finds a formula by its id.
func Formula(id string) (NamedFormula, bool) {
	for _, f := range Formulas() {
		if f.ID == id {
			return f, true
		}
	}
	return NamedFormula{}, false
}

// formula writes a formula in symbols.
func (p *page) formula(f NamedFormula) {
	p.raw("<p class=\"formula-line\">")
	p.b = p.r.appendMath(p.b, formula.SymShape(f.Def.Sym))
	p.raw(" = ")
	p.b = p.r.appendMath(p.b, f.Def.Symbols())
	p.raw("</p>\n<p class=\"where\">")
	p.text(f.Where)
	p.raw("</p>")
}

// reference writes the last page of a workbook: the formulas that are allowed,
// the live-zero signals, and what the marks on the face mean.
func (p *page) reference(faces []FaceNote) {
	run := p.namedPage("Reference")
	p.raw("<section class=\"reference ", run, "\" id=\"reference\" aria-labelledby=\"reference-head\">\n",
		"<div class=\"lesson-head\"><h2 id=\"reference-head\"><span class=\"eyebrow\">Reference</span> Formulas and signals</h2></div>\n",
		"<dl class=\"formulas\">\n")
	for _, f := range Formulas() {
		p.raw("<div><dt>")
		p.text(f.Name)
		p.raw("</dt><dd>")
		p.formula(f)
		p.raw("</dd></div>\n")
	}
	p.raw("</dl>\n")
	p.liveZeroTable()
	for _, f := range faces {
		p.faceNote(f, len(faces) > 1)
	}
	p.raw("</section>\n")
}

// liveZeroTable gives the standard signals at the five points, computed.
func (p *page) liveZeroTable() {
	p.raw("<div class=\"scroll\"><table class=\"signals\">\n<caption>The live-zero signals at five points</caption>\n<thead><tr><th scope=\"col\">Signal</th>")
	points := []int64{0, 25, 50, 75, 100}
	for _, x := range points {
		p.raw("<th scope=\"col\">", strconv.FormatInt(x, 10), "&nbsp;%</th>")
	}
	p.raw("</tr></thead>\n<tbody>\n")
	for _, s := range signal.All() {
		p.raw("<tr><th scope=\"row\">")
		p.text(s.Name)
		p.raw("</th>")
		for _, x := range points {
			v := formula.Eval(signal.At(signal.OfPercent(formula.Num(x)), s.Zero(), s.Full()), s.Bind())
			p.raw("<td>")
			p.text(formula.WithUnit(shortest(v, 2), s.Unit))
			p.raw("</td>")
		}
		p.raw("</tr>\n")
	}
	p.raw("</tbody></table></div>\n<p class=\"where\">20-100 kPa and 3-15 psi are two signals, not one in two units.</p>\n")
}

// faceNote explains the divisions of a checker's face.
func (p *page) faceNote(f FaceNote, several bool) {
	if f.Face.Divisions == 0 {
		return
	}
	division := f.Face.PerSmallMark.Mul(formula.Int(int64(f.Face.SmallPerDiv)))
	p.raw("<div class=\"boxed face-note\"><p class=\"boxed-head\">What the face of the checker means")
	if several {
		p.text(" (" + f.Plant + ")")
	}
	p.raw("</p>\n<ul><li>One division is ")
	p.text(formula.WithUnit(shortest(division, 3), "% of span"))
	p.raw(", one small mark ")
	p.text(formula.WithUnit(shortest(f.Face.PerSmallMark, 3), "% of span"))
	p.raw(".</li>\n<li>Needle left of the centre: the output is low. Right: it is high.</li>\n<li>A needle on its stop says only that the error is at least ")
	p.text(formula.WithUnit(shortest(division.Mul(formula.Int(int64(f.Face.Divisions))), 3), "% of span"))
	p.raw(" to that side, less what the mechanical zero adds.</li></ul></div>\n")
}
