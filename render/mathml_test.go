package render

import (
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"loopdrill/scenarios/formula"
)

// node is an element of MathML as a parser sees it.
type node struct {
	name string
	form string
	alt  string
	text string
	sub  []*node
}

func readXML(s string) (*node, error) {
	d := xml.NewDecoder(strings.NewReader("<root>" + s + "</root>"))
	stack := []*node{{}}
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return stack[0].sub[0].sub[0], nil
		}
		if err != nil {
			return nil, fmt.Errorf("%w in %s", err, s)
		}
		top := stack[len(stack)-1]
		switch tok := tok.(type) {
		case xml.StartElement:
			n := &node{name: tok.Name.Local}
			for _, a := range tok.Attr {
				switch a.Name.Local {
				case "form":
					n.form = a.Value
				case "alttext":
					n.alt = a.Value
				}
			}
			top.sub = append(top.sub, n)
			stack = append(stack, n)
		case xml.EndElement:
			stack = stack[:len(stack)-1]
			top.inferForms()
		case xml.CharData:
			top.text += string(tok)
		}
	}
}

// inferForms gives signs without a form the one that MathML Core takes from
// their place: first in a row of several prefix, last postfix, else infix.
func (n *node) inferForms() {
	for i, s := range n.sub {
		switch {
		case s.name != "mo" || s.form != "":
		case i == 0 && len(n.sub) > 1:
			s.form = "prefix"
		case i == len(n.sub)-1 && len(n.sub) > 1:
			s.form = "postfix"
		default:
			s.form = "infix"
		}
	}
}

func (n *node) all(name string) []*node {
	var out []*node
	if n.name == name {
		out = append(out, n)
	}
	for _, s := range n.sub {
		out = append(out, s.all(name)...)
	}
	return out
}

// reading works a formula out from its MathML as an eye reads it: rows group
// nothing, only brackets, bars, fraction lines and roots do.
type reading struct {
	tokens []*node
}

// flat lists what stands side by side; units and phantoms are looked through.
func flat(nodes []*node) []*node {
	var out []*node
	for _, n := range nodes {
		switch n.name {
		case "mrow", "math":
			out = append(out, flat(n.sub)...)
		case "mtext", "mphantom":
		default:
			out = append(out, n)
		}
	}
	return out
}

func read(nodes ...*node) float64 {
	r := &reading{flat(nodes)}
	v := r.sum()
	if len(r.tokens) != 0 {
		panic(fmt.Sprintf("%d signs are left over, the first %s %q", len(r.tokens), r.tokens[0].name, r.tokens[0].text))
	}
	return v
}

func (r *reading) is(text, form string) bool {
	return len(r.tokens) > 0 && r.tokens[0].name == "mo" && r.tokens[0].text == text && (form == "" || r.tokens[0].form == form)
}

func (r *reading) take(text, form string) bool {
	if !r.is(text, form) {
		return false
	}
	r.tokens = r.tokens[1:]
	return true
}

func (r *reading) must(text, form string) {
	if !r.take(text, form) {
		panic("no " + form + " " + text)
	}
}

func (r *reading) sum() float64 {
	v := r.product()
	for {
		switch {
		case r.take("+", "infix"):
			v += r.product()
		case r.take("\u2212", "infix"):
			v -= r.product()
		default:
			return v
		}
	}
}

func (r *reading) product() float64 {
	v := r.factor()
	for r.take("×", "infix") {
		v *= r.factor()
	}
	return v
}

func (r *reading) factor() float64 {
	if r.take("\u2212", "prefix") {
		return -r.factor()
	}
	if r.take("(", "prefix") {
		v := r.sum()
		r.must(")", "postfix")
		return v
	}
	if r.take("|", "prefix") {
		v := r.sum()
		r.must("|", "postfix")
		return math.Abs(v)
	}
	n := r.tokens[0]
	r.tokens = r.tokens[1:]
	switch n.name {
	case "mn":
		v, err := strconv.ParseFloat(n.text, 64)
		if err != nil {
			panic(err)
		}
		return v
	case "mfrac":
		if len(n.sub) != 2 {
			panic("a fraction of other than two")
		}
		return read(n.sub[0]) / read(n.sub[1])
	case "msqrt":
		return math.Sqrt(read(n.sub...))
	case "msup":
		if len(n.sub) != 2 || n.sub[1].text != "2" {
			panic("no square")
		}
		// An eye takes the square of the last sign only, so a base of
		// several needs its brackets.
		base := flat(n.sub[:1])
		if len(base) > 1 && !(base[0].text == "(" && base[len(base)-1].text == ")" || base[0].text == "|" || base[0].name == "mi") || base[0].name == "msup" {
			panic("a square of something that needs brackets")
		}
		v := read(n.sub[0])
		return v * v
	case "mi":
		r.must("\u2061", "")
		r.must("(", "prefix")
		v := r.sum()
		for r.take(";", "") {
			w := r.sum()
			if (w > v) == (n.text == "max") {
				v = w
			}
		}
		r.must(")", "postfix")
		return v
	}
	panic("not a number: " + n.name + " " + n.text)
}

var anyEnv = formula.Env{
	{Sym: "a", V: formula.Decimal(-25, 1), Unit: "mA", Decimals: 1},
	{Sym: "b_0", V: formula.Int(3)},
	{Sym: "c", V: formula.Decimal(125, 2), Unit: "V", Decimals: 2},
	{Sym: "d_max", V: formula.Int(-7)},
}

func anyExpr(t *rapid.T, depth int) formula.Expr {
	if depth == 0 || rapid.IntRange(0, 3).Draw(t, "leaf") == 0 {
		return rapid.SampledFrom([]formula.Expr{
			formula.Sym("a"), formula.Sym("b_0"), formula.Sym("c"), formula.Sym("d_max"),
			formula.Num(2), formula.Num(-4), formula.Percent100(),
		}).Draw(t, "atom")
	}
	a := anyExpr(t, depth-1)
	switch rapid.IntRange(0, 9).Draw(t, "kind") {
	case 0:
		return formula.Neg(a)
	case 1:
		return formula.Abs(a)
	case 2:
		return formula.Sqrt(formula.Abs(a))
	case 3:
		return formula.Square(a)
	case 4:
		return formula.Max(a, anyExpr(t, depth-1))
	case 5:
		return formula.Min(a, anyExpr(t, depth-1), formula.Sym("c"))
	}
	return formula.Bin{Op: rapid.SampledFrom([]formula.Op{formula.OpAdd, formula.OpSub, formula.OpMul, formula.OpDiv}).Draw(t, "op"),
		A: a, B: anyExpr(t, depth-1)}
}

// What is printed works out to the answer: the MathML of any formula with its
// numbers put in, read by eye, gives what the formula gives; broken into lines
// or not.
func TestMathMLWorksOutToTheAnswer(t *testing.T) {
	r := NewRenderer()
	rapid.Check(t, func(t *rapid.T) {
		x := anyExpr(t, 4)
		want := formula.Eval(x, anyEnv)
		if !want.Defined() || math.Abs(want.Float64()) > 1e9 {
			t.Skip("no value, or so large that float64 rounds it")
		}
		d := formula.Definition{Sym: "y_1", Expr: x, Decimals: 3}
		check := func(what string, got float64) {
			if !(math.Abs(got-want.Float64()) <= 1e-7*(1+math.Abs(want.Float64()))) {
				t.Fatalf("%s of %s reads as %v, want %v", what, d.Numbers(anyEnv), got, want.Float64())
			}
		}
		defer func() {
			if p := recover(); p != nil {
				if _, own := p.(string); own {
					t.Fatalf("%s: %v", d.Numbers(anyEnv), p)
				}
				panic(p)
			}
		}()
		one, err := readXML(string(r.appendMath(nil, d.Numbers(anyEnv))))
		if err != nil {
			t.Fatal(err)
		}
		check("the formula", read(one))

		block, err := readXML(string(r.appendDefinition(nil, d, anyEnv)))
		if err != nil {
			t.Fatal(err)
		}
		if len(block.sub) != 3 {
			return // a mere number is not repeated
		}
		tokens := flat(block.sub[1].sub)
		if tokens[0].name != "mo" || tokens[0].text != "=" {
			t.Fatalf("the line does not begin with =, but %q", tokens[0].text)
		}
		check("the line", read(tokens[1:]...))
	})
}

func TestShapes(t *testing.T) {
	a, b := formula.Sym("a"), formula.Sym("b_max")
	for name, row := range map[string]struct {
		x    formula.Expr
		want string
	}{
		"symbol with a word":   {b, `<msub><mi>b</mi><mtext>max</mtext></msub>`},
		"symbol with a number": {formula.Sym("I_100"), `<msub><mi>I</mi><mn>100</mn></msub>`},
		"number with unit":     {formula.Percent100(), `<mrow><mn>100</mn><mtext>` + "\u00a0" + `%</mtext></mrow>`},
		"negative":             {formula.Num(-4), `<mrow><mo>−</mo><mn>4</mn></mrow>`},
		"fraction takes off brackets": {formula.Div(formula.Sub(a, formula.Num(1)), formula.Sub(formula.Num(2), formula.Num(1))),
			`<mfrac><mrow><mi>a</mi><mo>−</mo><mn>1</mn></mrow><mrow><mn>2</mn><mo>−</mo><mn>1</mn></mrow></mfrac>`},
		"root takes off brackets": {formula.Sqrt(formula.Add(a, formula.Num(1))), `<msqrt><mi>a</mi><mo>+</mo><mn>1</mn></msqrt>`},
		"product keeps brackets": {formula.Mul(a, formula.Sub(formula.Num(2), formula.Num(1))),
			`<mi>a</mi><mo>×</mo><mrow><mo>(</mo><mn>2</mn><mo>−</mo><mn>1</mn><mo>)</mo></mrow>`},
		"square of a fraction keeps brackets": {formula.Square(formula.Div(a, formula.Num(2))),
			`<msup><mrow><mrow><mo>(</mo><mfrac><mi>a</mi><mn>2</mn></mfrac><mo>)</mo></mrow></mrow><mn>2</mn></msup>`},
		"escaped": {formula.Lit{V: formula.Int(1), Unit: "<&>"}, `<mrow><mn>1</mn><mtext>` + "\u00a0" + `&lt;&amp;&gt;</mtext></mrow>`},
	} {
		if got := string(NewRenderer().appendShape(nil, formula.ShapeOf(row.x, nil, false))); got != row.want {
			t.Errorf("%s:\n got %s\nwant %s", name, got, row.want)
		}
	}
}

var share = formula.Definition{
	Sym: "x",
	Expr: formula.Mul(formula.Div(formula.Sub(formula.Sym("I"), formula.Sym("I_0")),
		formula.Sub(formula.Sym("I_100"), formula.Sym("I_0"))), formula.Percent100()),
	Unit: "%", Decimals: 2,
}

func liveZero(hundredths int64) formula.Env {
	return formula.Env{
		{Sym: "I", V: formula.Decimal(hundredths, 2), Unit: "mA", Decimals: 2},
		{Sym: "I_0", V: formula.Int(4), Unit: "mA"},
		{Sym: "I_100", V: formula.Int(20), Unit: "mA"},
	}
}

// plain writes MathML as one line of plain text: what the eye sees, with
// brackets where a fraction's line holds a sum together.
func (n *node) plain() string {
	side := func(n *node) string {
		for _, s := range n.sub {
			if s.name == "mo" && s.form == "infix" {
				return "(" + n.plain() + ")"
			}
		}
		return n.plain()
	}
	switch n.name {
	case "mphantom":
		return ""
	case "mo":
		switch {
		case n.text == "\u2061":
			return ""
		case n.form == "infix" && strings.Contains("()|", n.text) || n.form != "infix":
			return n.text
		case n.text == ";":
			return "; "
		}
		return " " + n.text + " "
	case "msub":
		return n.sub[0].plain() + "_" + n.sub[1].plain()
	case "msup":
		return n.sub[0].plain() + "²"
	case "mfrac":
		return side(n.sub[0]) + " / " + side(n.sub[1])
	}
	out := n.text
	for _, s := range n.sub {
		out += s.plain()
	}
	if n.name == "msqrt" {
		return "√(" + out + ")"
	}
	return out
}

// lines gives the plain text of each line of a working.
func lines(t *testing.T, html []byte) []string {
	t.Helper()
	block, err := readXML(string(html))
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, line := range block.sub {
		var parts []string
		for _, m := range line.all("math") {
			parts = append(parts, strings.TrimSpace(m.plain()))
		}
		for _, s := range line.all("span") {
			parts = append(parts, "["+s.text+"]")
		}
		out = append(out, strings.ReplaceAll(strings.Join(parts, " "), "\u00a0", " "))
	}
	return out
}

func TestDefinitionInLines(t *testing.T) {
	for name, row := range map[string]struct {
		d    formula.Definition
		env  formula.Env
		want []string
	}{
		"rounded": {share, liveZero(855), []string{
			"x = (I − I_0) / (I_100 − I_0) × 100 %",
			"= (8.55 mA − 4 mA) / (20 mA − 4 mA) × 100 %",
			"= 28.4375 % ≈ 28.44 %"}},
		"exact": {share, liveZero(800), []string{
			"x = (I − I_0) / (I_100 − I_0) × 100 %",
			"= (8.00 mA − 4 mA) / (20 mA − 4 mA) × 100 %",
			"= 25.00 %"}},
		"a symbol alone": {formula.Definition{Sym: "y", Expr: formula.Sym("I"), Unit: "mA", Decimals: 2}, liveZero(855), []string{
			"y = I", "= 8.55 mA"}},
		"a number alone": {formula.Definition{Sym: "y", Expr: formula.Num(7)}, nil, []string{"y = 7", "= 7"}},
		"undefined": {formula.Definition{Sym: "y", Expr: formula.Div(formula.Num(1), formula.Num(0)), Decimals: 1}, nil, []string{
			"y = 1 / 0", "= undefined"}},
		"root": {formula.Definition{Sym: "q", Expr: formula.Sqrt(formula.Num(2)), Decimals: 2}, nil, []string{
			"q = √(2)", "= 1.41421… ≈ 1.41"}},
	} {
		got := lines(t, NewRenderer().appendDefinition(nil, row.d, row.env))
		if strings.Join(got, "\n") != strings.Join(row.want, "\n") {
			t.Errorf("%s:\n got %q\nwant %q", name, got, row.want)
		}
	}
}

func TestRelationInLines(t *testing.T) {
	e := func(hundredths int64) formula.Env {
		return formula.Env{
			{Sym: "e", V: formula.Decimal(hundredths, 2), Unit: "%", Decimals: 2},
			{Sym: "f", V: formula.Int(1), Unit: "%"},
			{Sym: "e_max", V: formula.Decimal(5, 1), Unit: "%", Decimals: 1},
		}
	}
	within := formula.Relation{A: formula.Abs(formula.Sym("e")), Op: formula.LessEq, B: formula.Sym("e_max")}
	for name, row := range map[string]struct {
		rel  formula.Relation
		env  formula.Env
		want []string
	}{
		"does not hold": {within, e(-62), []string{"|e| ≤ e_max", "|−0.62 %| ≤ 0.5 %", "0.62 % ≤ 0.5 % [does not hold]"}},
		"holds":         {within, e(50), []string{"|e| ≤ e_max", "|0.50 %| ≤ 0.5 %", "0.5 % ≤ 0.5 % [holds]"}},
		"numbers alone": {formula.Relation{A: formula.Sym("e"), Op: formula.Less, B: formula.Num(0)}, e(-62), []string{"e < 0", "−0.62 % < 0 [holds]"}},
		"sum":           {formula.Relation{A: formula.Sub(formula.Sym("e"), formula.Sym("f")), Op: formula.Greater, B: formula.Sym("e_max")}, e(20), []string{"e − f > e_max", "0.20 % − 1 % > 0.5 %", "−0.8 % > 0.5 % [does not hold]"}},
		"unit not plain": {formula.Relation{A: formula.Div(formula.Sym("e"), formula.Sym("f")), Op: formula.Greater, B: formula.Num(0)}, e(20), []string{
			"e / f > 0", "0.20 % / 1 % > 0 [holds]"}},
		"undefined": {formula.Relation{A: formula.Div(formula.Sym("e"), formula.Num(0)), Op: formula.Greater, B: formula.Num(0)}, e(20), []string{
			"e / 0 > 0", "0.20 % / 0 > 0 [cannot be decided]"}},
	} {
		got := lines(t, NewRenderer().appendRelation(nil, row.rel, row.env))
		if strings.Join(got, "\n") != strings.Join(row.want, "\n") {
			t.Errorf("%s:\n got %q\nwant %q", name, got, row.want)
		}
	}
}

// A long line may be broken before its outer signs; its parts together are the
// plain text.
func TestLongLineIsBroken(t *testing.T) {
	long := formula.Definition{Sym: "F", Unit: "m³/h", Decimals: 1, Expr: formula.Add(formula.Sym("F_0"),
		formula.Mul(share.Expr.(formula.Bin).A, formula.Sub(formula.Sym("F_100"), formula.Sym("F_0"))))}
	env := liveZero(855).With(
		formula.Binding{Sym: "F_0", V: formula.Int(20), Unit: "m³/h"},
		formula.Binding{Sym: "F_100", V: formula.Int(350), Unit: "m³/h"})
	block, err := readXML(string(NewRenderer().appendDefinition(nil, long, env)))
	if err != nil {
		t.Fatal(err)
	}
	if n := len(block.sub[1].all("math")); n != 3 {
		t.Errorf("%d pieces, want 3", n)
	}
	want := strings.ReplaceAll("= "+long.Numbers(env).String(), "\u00a0", " ")
	if got := lines(t, NewRenderer().appendDefinition(nil, long, env))[1]; got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func BenchmarkDefinition(b *testing.B) {
	r := NewRenderer()
	env := liveZero(855)
	var dst []byte
	for b.Loop() {
		dst = r.appendDefinition(dst[:0], share, env)
	}
}
