package render

import (
	"strings"
	"unicode/utf8"

	"loopdrill/scenarios/formula"
)

// The lines of a worked solution are printed from the formula that computed
// the answer: symbols, numbers put in, result, under one another with their
// equals signs in a column. They carry no plain text beside their MathML, which
// browsers would neither show nor print.

// wide is the width, in characters, from which a line is set as several math
// elements that may stand under one another: a browser breaks no line inside
// one. It is what fits beside the symbol on a screen of 320 px.
const wide = 26

// appendDefinition appends a formula with its symbols, with the numbers of env
// put in, and its result. Where the result had to be rounded it is given with
// more figures first, then ≈ and the rounded value. A formula that is a mere
// number or symbol does not repeat itself.
func (r *Renderer) appendDefinition(dst []byte, d formula.Definition, env formula.Env) []byte {
	name, symbols, numbers := formula.SymShape(d.Sym), d.Symbols(), d.Numbers(env)
	result := d.Result(env)
	if !d.Eval(env).Defined() {
		result.Exact = "" // "undefined" has no further figures
	}

	dst = append(dst, `<div class="working">`...)
	dst = r.appendWorkingLine(dst, name, true, symbols)
	if text := numbers.String(); text != symbols.String() && text != formula.WithUnit(result.Value, result.Unit) {
		dst = r.appendWorkingLine(dst, name, false, numbers)
	}

	dst = append(dst, `<div class="line">`...)
	dst = append(dst, `<math>`...)
	dst = r.appendLeft(dst, name, false)
	if result.Exact != "" {
		dst = appendQuantity(dst, result.Exact, result.Unit)
		dst = appendOperator(dst, "≈")
	}
	dst = append(dst, `<mrow class="result">`...)
	dst = appendQuantity(dst, result.Value, result.Unit)
	return append(dst, `</mrow></math></div></div>`...)
}

// appendWorkingLine appends "name = shape". On all lines but the first the name
// keeps its room and is neither seen nor read out.
func (r *Renderer) appendWorkingLine(dst []byte, name formula.Shape, first bool, s formula.Shape) []byte {
	dst = append(dst, `<div class="line">`...)
	terms := []term{{shape: s}}
	if width(s) > wide {
		terms = split(s, nil, "")
	}
	for i, t := range terms {
		if i > 0 {
			dst = append(dst, ' ')
		}
		dst = append(dst, `<math>`...)
		if i == 0 {
			dst = r.appendLeft(dst, name, first)
		} else {
			dst = appendBroken(dst, t.op)
		}
		dst = r.appendTerm(dst, t)
		dst = append(dst, `</math>`...)
	}
	return append(dst, `</div>`...)
}

// appendTerm appends a term with what of a function or of bars opens before it
// and closes behind it. Bars that stand in two math elements cannot stretch.
func (r *Renderer) appendTerm(dst []byte, t term) []byte {
	switch t.open {
	case "":
	case "|":
		dst = append(dst, `<mo form="prefix" stretchy="false">|</mo>`...)
	default:
		dst = appendFunctionOpen(dst, strings.TrimSuffix(t.open, "("))
	}
	dst = r.appendOperand(dst, t.shape)
	switch t.close {
	case "":
	case "|":
		dst = append(dst, `<mo form="postfix" stretchy="false">|</mo>`...)
	default:
		dst = append(dst, functionClose...)
	}
	return dst
}

// appendBroken appends the sign before which a line was broken.
func appendBroken(dst []byte, op string) []byte {
	if op == ";" {
		return append(dst, functionSeparator...)
	}
	dst = append(dst, `<mo form="infix">`...) // it stands first
	dst = appendText(dst, op)
	return append(dst, `</mo>`...)
}

// appendLeft appends the left side of a line with its equals sign.
func (r *Renderer) appendLeft(dst []byte, name formula.Shape, shown bool) []byte {
	if shown {
		dst = r.appendShape(dst, name)
	} else {
		dst = append(dst, `<mphantom>`...)
		dst = r.appendShape(dst, name)
		dst = append(dst, `</mphantom>`...)
	}
	return appendOperator(dst, "=")
}

// term is a part of a sum or product with the sign before it.
type term struct {
	op          string
	open, close string // of a function that is broken between its arguments, or of bars
	shape       formula.Shape
}

// split takes a chain of sums and products apart where a line may be broken:
// before a sign that stands outside all brackets. The terms in order, each
// after its sign, are the plain text of s.
func split(s formula.Shape, out []term, op string) []term {
	if s.Kind == formula.ShapeOperation && s.Op != formula.OpDiv {
		out = split(s.Args[0], out, op)
		return split(s.Args[1], out, s.Op.Sign())
	}
	if s.Kind == formula.ShapeAbs {
		// Bars may be broken inside where nothing else of them could be.
		if inside := split(bare(s.Args[0]), nil, op); len(inside) > 1 && inside[0].open == "" && inside[len(inside)-1].close == "" {
			inside[0].open, inside[len(inside)-1].close = "|", "|"
			return append(out, inside...)
		}
	}
	if s.Kind == formula.ShapeFunction && len(s.Args) > 1 {
		for i, a := range s.Args {
			t := term{op: ";", shape: a}
			if i == 0 {
				t.op, t.open = op, s.Name+"("
			}
			if i == len(s.Args)-1 {
				t.close = ")"
			}
			out = append(out, t)
		}
		return out
	}
	return append(out, term{op: op, shape: s})
}

// width is about how many characters wide a shape is set.
func width(s formula.Shape) int {
	n := utf8.RuneCountInString(s.Text) + utf8.RuneCountInString(s.Sub) + utf8.RuneCountInString(s.Name)
	if s.Unit != "" {
		n += 1 + utf8.RuneCountInString(s.Unit)
	}
	if s.Kind == formula.ShapeOperation && s.Op == formula.OpDiv {
		return max(width(bare(s.Args[0])), width(bare(s.Args[1])))
	}
	for _, a := range s.Args {
		n += width(a)
	}
	switch s.Kind {
	case formula.ShapeOperation:
		n += 3
	case formula.ShapeBracket, formula.ShapeAbs, formula.ShapeSqrt:
		n += 2
	case formula.ShapeFunction:
		n += 2 * len(s.Args)
	case formula.ShapeNegative, formula.ShapeSquare:
		n++
	}
	return n
}

// appendRelation appends a comparison with the numbers of env put in, what both
// sides come to, and whether it holds, in words:
//
//	|e_75| ≤ e_max
//	|−0.62 %| ≤ 0.5 %  does not hold
func (r *Renderer) appendRelation(dst []byte, rel formula.Relation, env formula.Env) []byte {
	symbols := [2]formula.Shape{formula.ShapeOf(rel.A, env, false), formula.ShapeOf(rel.B, env, false)}
	numbers := [2]formula.Shape{formula.ShapeOf(rel.A, env, true), formula.ShapeOf(rel.B, env, true)}
	values := [2]formula.Shape{valueShape(rel.A, numbers[0], env), valueShape(rel.B, numbers[1], env)}

	lines := [][2]formula.Shape{symbols}
	for _, next := range [][2]formula.Shape{numbers, values} {
		last := lines[len(lines)-1]
		if next[0].String() != last[0].String() || next[1].String() != last[1].String() {
			lines = append(lines, next)
		}
	}
	verdict := "cannot be decided"
	if holds, err := rel.Holds(env); err == nil && holds {
		verdict = "holds"
	} else if err == nil {
		verdict = "does not hold"
	}

	dst = append(dst, `<div class="working">`...)
	for i, line := range lines {
		dst = append(dst, `<div class="line">`...)
		if width(line[0])+width(line[1]) <= wide {
			dst = append(dst, `<math>`...)
			dst = r.appendOperand(dst, line[0])
			dst = appendOperator(dst, string(rel.Op))
			dst = r.appendOperand(dst, line[1])
			dst = append(dst, `</math>`...)
		} else {
			dst = r.appendTerms(dst, split(line[1], split(line[0], nil, ""), string(rel.Op)))
		}
		if i == len(lines)-1 {
			dst = append(dst, ` <span class="verdict">`...)
			dst = append(dst, verdict...)
			dst = append(dst, `</span>`...)
		}
		dst = append(dst, `</div>`...)
	}
	return append(dst, `</div>`...)
}

// appendTerms appends terms as math elements of their own, between which the
// line may be broken; each but the first begins with its sign.
func (r *Renderer) appendTerms(dst []byte, terms []term) []byte {
	for i, t := range terms {
		if i > 0 {
			dst = append(dst, ' ')
		}
		dst = append(dst, `<math>`...)
		if i > 0 {
			dst = appendBroken(dst, t.op)
		}
		dst = r.appendTerm(dst, t)
		dst = append(dst, `</math>`...)
	}
	return dst
}

// valueShape is the value of x as a number, or its shape with the numbers put
// in where it is a number already, has no value, or its unit is not plain from
// its terms.
func valueShape(x formula.Expr, numbers formula.Shape, env formula.Env) formula.Shape {
	unit, plain := unitOf(numbers)
	v := formula.Eval(x, env)
	if numbers.Kind == formula.ShapeNumber || !plain || !v.Defined() {
		return numbers
	}
	places, exact := v.Places(4)
	text := v.Text(places)
	if !exact {
		if n, err := v.Truncate(places); err == nil {
			text = formula.Decimal(n, places).Text(places)
		}
		text += "…"
	}
	return formula.Shape{Kind: formula.ShapeNumber, Text: text, Unit: unit}
}

// unitOf is the unit of a shape made of numbers of one unit by operations that
// keep it; ok is false for every other shape.
func unitOf(s formula.Shape) (unit string, ok bool) {
	switch s.Kind {
	case formula.ShapeNumber:
		return s.Unit, true
	case formula.ShapeOperation:
		if s.Op == formula.OpMul || s.Op == formula.OpDiv {
			return "", false
		}
	case formula.ShapeNegative, formula.ShapeAbs, formula.ShapeFunction, formula.ShapeBracket:
	default:
		return "", false
	}
	for i, a := range s.Args {
		u, ok := unitOf(a)
		if !ok || i > 0 && u != unit {
			return "", false
		}
		unit = u
	}
	return unit, len(s.Args) > 0
}
