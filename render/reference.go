package render

import (
	"strconv"
	"strings"

	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// tradeFormula is a formula of the trade as lessons and reference pages show
// it: the same trees that the exercises compute with.
type tradeFormula struct {
	id    string // as a formula block of a lesson names it
	name  string
	def   formula.Definition
	where string // what the symbols mean
}

// tradeFormulas lists the formulas in the order of the reference page, with the
// symbols of signal s.
func tradeFormulas(s signal.Signal) []tradeFormula {
	x, v := formula.Sym("x"), formula.Sym("V")
	v0, v100 := v+"_0", v+"_100"
	dp, q100 := formula.Sym("Δp"), formula.Sym("Q_100")
	is, zero, full := s.Sym(), s.Zero(), s.Full()
	def := func(sym formula.Sym, expr formula.Expr) formula.Definition {
		return formula.Definition{Sym: sym, Expr: expr}
	}
	ends := s.Letter + " is the signal, with the ends " + signalName(s)
	return []tradeFormula{
		{"percent", "Percent of span from the signal", def(x, signal.Percent(is, zero, full)), ends},
		{"signal", "Signal from percent of span", def(is, signal.At(signal.OfPercent(x), zero, full)), ends},
		{"value", "Value from the signal, direct action", def(v, signal.Scale(is, zero, full, v0, v100)),
			"V is the value, with its ends at 0 % and 100 % of the range"},
		{"value-reverse", "Value from the signal, reverse action", def(v, signal.Scale(is, zero, full, v100, v0)),
			"reverse action: the full signal stands for the lower end of the range"},
		{"flow-root", "Flow from differential pressure", def("Q", formula.Mul(q100, formula.Sqrt(formula.Div(dp, dp+"_100")))),
			"for ranges that start at zero, and constant density"},
		{"span-error", "Error in percent of span", def("e", signal.SpanError(is, is+"_ideal", zero, full)),
			"indicated minus ideal: what is too high has a positive error"},
		{"zero-error", "Zero error", def("e_zero", formula.Sym("e_0")),
			"the error at 0 % of the range, in percent of span"},
		{"span-error-of-range", "Span error", def("e_span", formula.Sub(formula.Sym("e_100"), formula.Sym("e_0"))),
			"the error at 100 % less the error at 0 %, in percent of span"},
		{"drop", "Voltage across a resistor", def("U", signal.Drop(formula.Sym("I"), formula.Sym("R"))),
			"I in mA, R in Ω, U in V: 250 Ω turns 4–20 mA into 1–5 V"},
	}
}

// tradeFormulaOf finds a formula by its id.
func tradeFormulaOf(id string, s signal.Signal) (tradeFormula, bool) {
	for _, f := range tradeFormulas(s) {
		if f.id == id {
			return f, true
		}
	}
	return tradeFormula{}, false
}

// formula writes a formula in symbols and, with what env knows of a loop, a
// second time with its numbers put in; what is not known stays a symbol.
func (p *page) formula(f tradeFormula, env formula.Env) {
	p.raw("<p class=\"formula-line\">")
	p.equation(f.def.Sym, f.def.Symbols())
	p.raw("</p>\n")
	known := false
	for _, s := range formula.Symbols(f.def.Expr) {
		_, ok := env.Lookup(s)
		known = known || ok
	}
	if known {
		p.raw("<p class=\"formula-line\">")
		p.equation(f.def.Sym, f.def.Numbers(env))
		p.raw("</p>\n")
	}
	p.raw("<p class=\"where\">")
	p.text(f.where)
	p.raw("</p>")
}

func (p *page) equation(sym formula.Sym, s formula.Shape) {
	p.b = p.r.appendMath(p.b, formula.SymShape(sym))
	p.raw(" = ")
	p.b = p.r.appendMath(p.b, s)
}

// endsOf binds the ends of a loop's signal and of what its receiver shows.
func endsOf(l *scenarios.Loop) formula.Env {
	shows := l.Shows
	bind := func(sym formula.Sym, v formula.Value) formula.Binding {
		return formula.Binding{Sym: sym, V: v, Unit: shows.Unit.Symbol, Decimals: shows.Decimals}
	}
	env := formula.Env(l.Signal.Bind()).With(bind("V_0", shows.Low), bind("V_100", shows.High))
	if l.Root != scenarios.NoRoot {
		env = env.With(bind("Q_100", shows.High),
			formula.Binding{Sym: "Δp_100", V: l.Input.High, Unit: l.Input.Unit.Symbol, Decimals: l.Input.Decimals})
	}
	return env
}

// reference writes the last page of a workbook: the formulas that are allowed,
// the live-zero signals, and what the marks on the face mean.
func (p *page) reference(faces []FaceNote) {
	run := p.namedPage("Reference")
	p.raw("<section class=\"reference ", run, "\" id=\"reference\" aria-labelledby=\"reference-head\">\n",
		"<div class=\"lesson-head\"><h2 id=\"reference-head\"><span class=\"eyebrow\">Reference</span> Formulas and signals</h2></div>\n",
		"<dl class=\"formulas\">\n")
	for _, f := range tradeFormulas(signal.Current) {
		p.raw("<div><dt>")
		p.text(f.name)
		p.raw("</dt><dd>")
		p.formula(f, nil)
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
	p.scroll("The live-zero signals", false)
	p.raw("<table class=\"signals\">\n<caption>The live-zero signals at five points</caption>\n<thead><tr><th scope=\"col\">Signal</th>")
	points := []int64{0, 25, 50, 75, 100}
	for _, x := range points {
		p.raw("<th scope=\"col\">", strconv.FormatInt(x, 10), "&nbsp;%</th>")
	}
	p.raw("</tr></thead>\n<tbody>\n")
	for _, s := range signal.All() {
		p.raw("<tr><th scope=\"row\">")
		p.text(signalName(s))
		p.raw("</th>")
		for _, x := range points {
			v := formula.Eval(signal.At(signal.OfPercent(formula.Num(x)), s.Zero(), s.Full()), s.Bind())
			p.raw("<td>")
			p.text(formula.WithUnit(shortest(v, 2), s.Unit))
			p.raw("</td>")
		}
		p.raw("</tr>\n")
	}
	p.raw("</tbody></table></div>\n<p class=\"where\">The same formulas serve a voltage U and an air pressure p with their own ends. 20–100 kPa and 3–15 psi are two signals, not one in two units.</p>\n")
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

// signalName prints the name of a signal with a dash between its ends.
func signalName(s signal.Signal) string {
	return strings.ReplaceAll(strings.Replace(s.Name, "-", "–", 1), " ", "\u00a0")
}
