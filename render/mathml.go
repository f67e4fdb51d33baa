package render

import (
	"strings"

	"loopdrill/scenarios/formula"
)

// Formulas are written as MathML Core from the shapes of package formula, so
// that markup comes from here alone and every text in it is escaped. A formula in
// running text carries itself as one line of plain text (alttext).

// appendShape appends the MathML of a shape, without the math element around
// it. A division becomes a fraction, and brackets that only the plain text
// needed are taken off.
func (r *Renderer) appendShape(dst []byte, s formula.Shape) []byte {
	switch s.Kind {
	case formula.ShapeSymbol:
		if s.Sub == "" {
			return appendIdentifier(dst, s.Text)
		}
		dst = append(dst, "<msub>"...)
		dst = appendIdentifier(dst, s.Text)
		if isNumber(s.Sub) {
			dst = appendElement(dst, "mn", s.Sub)
		} else {
			dst = appendElement(dst, "mtext", s.Sub)
		}
		return append(dst, "</msub>"...)
	case formula.ShapeNumber:
		return appendQuantity(dst, s.Text, s.Unit)
	case formula.ShapeOperation:
		if s.Op == formula.OpDiv {
			dst = append(dst, "<mfrac>"...)
			for _, a := range s.Args[:2] {
				dst = r.appendRow(dst, bare(a))
			}
			return append(dst, "</mfrac>"...)
		}
		dst = r.appendOperand(dst, s.Args[0])
		dst = appendOperator(dst, s.Op.Sign())
		return r.appendOperand(dst, s.Args[1])
	case formula.ShapeNegative:
		dst = append(dst, `<mo form="prefix">`+"\u2212</mo>"...)
		return r.appendOperand(dst, s.Args[0])
	case formula.ShapeAbs:
		dst = append(dst, `<mrow><mo form="prefix" stretchy="true">|</mo>`...)
		dst = r.appendShape(dst, bare(s.Args[0]))
		return append(dst, `<mo form="postfix" stretchy="true">|</mo></mrow>`...)
	case formula.ShapeSqrt:
		dst = append(dst, "<msqrt>"...)
		dst = r.appendShape(dst, bare(s.Args[0]))
		return append(dst, "</msqrt>"...)
	case formula.ShapeSquare:
		dst = append(dst, "<msup>"...)
		base := s.Args[0] // has the brackets that plain text needs
		if base.Kind == formula.ShapeSquare {
			base = formula.Shape{Kind: formula.ShapeBracket, Args: []formula.Shape{base}}
		}
		dst = r.appendRow(dst, base)
		return append(dst, "<mn>2</mn></msup>"...)
	case formula.ShapeFunction:
		dst = appendFunctionOpen(append(dst, "<mrow>"...), s.Name)
		for i, a := range s.Args {
			if i > 0 {
				dst = append(dst, functionSeparator...)
			}
			dst = r.appendShape(dst, a)
		}
		return append(append(dst, functionClose...), "</mrow>"...)
	case formula.ShapeBracket:
		dst = append(dst, `<mrow><mo>(</mo>`...)
		dst = r.appendShape(dst, s.Args[0])
		return append(dst, `<mo>)</mo></mrow>`...)
	}
	return dst
}

// appendRow appends a shape as one element, for places that count elements.
func (r *Renderer) appendRow(dst []byte, s formula.Shape) []byte {
	if s.Kind == formula.ShapeSymbol || s.Kind == formula.ShapeNumber {
		return r.appendShape(dst, s) // one element as it is
	}
	dst = append(dst, "<mrow>"...)
	dst = r.appendShape(dst, s)
	return append(dst, "</mrow>"...)
}

// appendOperand appends an operand of a sum or product: a product or sum
// inside another stands in a row of its own, so that readers of MathML hear
// what belongs together.
func (r *Renderer) appendOperand(dst []byte, s formula.Shape) []byte {
	if s.Kind == formula.ShapeOperation && s.Op != formula.OpDiv || s.Kind == formula.ShapeNegative {
		return r.appendRow(dst, s)
	}
	return r.appendShape(dst, s)
}

// bare takes off brackets that a fraction's line, a root or bars replace.
func bare(s formula.Shape) formula.Shape {
	for s.Kind == formula.ShapeBracket {
		s = s.Args[0]
	}
	return s
}

// appendIdentifier appends a symbol: one letter slanted, as browsers do by
// themselves, several letters upright.
func appendIdentifier(dst []byte, name string) []byte { return appendElement(dst, "mi", name) }

// appendQuantity appends a number with its unit. The minus sign of a negative
// number is an operator of its own, which is how it is spaced and read right.
func appendQuantity(dst []byte, number, unit string) []byte {
	digits, negative := strings.CutPrefix(number, "\u2212")
	// One row keeps number and unit together when a fraction is laid out, and
	// the no-break space is what the plain text has.
	if negative || unit != "" {
		dst = append(dst, "<mrow>"...)
	}
	if negative {
		dst = append(dst, "<mo>\u2212</mo>"...)
	}
	dst = appendElement(dst, "mn", digits)
	if unit != "" {
		dst = appendElement(dst, "mtext", "\u00a0"+unit)
	}
	if negative || unit != "" {
		dst = append(dst, "</mrow>"...)
	}
	return dst
}

// appendOperator appends a sign between two operands of a row. What stands
// first, last or inside a row needs no form: MathML takes it from the place.
func appendOperator(dst []byte, op string) []byte {
	dst = append(dst, `<mo>`...)
	dst = appendText(dst, op)
	return append(dst, `</mo>`...)
}

func appendElement(dst []byte, name, text string) []byte {
	dst = append(dst, '<')
	dst = append(dst, name...)
	dst = append(dst, '>')
	dst = appendText(dst, text)
	dst = append(dst, "</"...)
	dst = append(dst, name...)
	return append(dst, '>')
}

func isNumber(s string) bool {
	for _, c := range s {
		if c < '0' || c > '9' {
			return false
		}
	}
	return s != ""
}

// appendMath appends a shape as a formula in a line of text.
func (r *Renderer) appendMath(dst []byte, s formula.Shape) []byte {
	dst = openMath(dst, s.String())
	dst = r.appendShape(dst, s)
	return append(dst, "</math>"...)
}

// openMath begins a math element.
func openMath(dst []byte, alttext string) []byte {
	dst = append(dst, `<math alttext="`...)
	dst = appendAttr(dst, alttext)
	return append(dst, `">`...)
}

// The pieces of a function between and after its arguments; see
// [appendFunctionOpen] for what stands before them.
const (
	functionSeparator = `<mo separator="true">;</mo>`
	functionClose     = `<mo form="postfix">)</mo>`
)

// appendFunctionOpen appends the name of a function, the invisible sign of its
// application, and the bracket.
func appendFunctionOpen(dst []byte, name string) []byte {
	dst = appendElement(dst, "mi", name)
	return append(dst, "<mo>\u2061</mo><mo form=\"prefix\">(</mo>"...)
}
