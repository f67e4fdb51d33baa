package formula

import "strings"

// Shape is an expression with its values put in or left out, as a small tree
// that a writer can lay out (as plain text here, as MathML in render).
// Exactly one of the groups of fields is used, chosen by Kind.
type Shape struct {
	Kind ShapeKind
	Text string // Symbol: base name; Number: digits with minus sign
	Sub  string // Symbol: subscript
	Unit string // Number: unit, may be empty
	Op   Op     // Operation
	Args []Shape
	Name string // Function: max, min
}

// ShapeKind says what a [Shape] is.
type ShapeKind int

// The kinds of shape.
const (
	ShapeSymbol ShapeKind = iota
	ShapeNumber
	ShapeOperation // Args[0] Op Args[1]; OpDiv is laid out as a fraction
	ShapeNegative  // −Args[0]
	ShapeAbs       // |Args[0]|
	ShapeSqrt      // √Args[0]
	ShapeSquare    // Args[0]²
	ShapeFunction  // Name(Args...)
	ShapeBracket   // (Args[0])
)

// Symbols gives the shape of x with its symbols left as they are.
func (d Definition) Symbols() Shape { return shape(d.Expr, nil, false) }

// Numbers gives the shape of x with the values of env put in, each printed as
// it was given, with its unit.
func (d Definition) Numbers(env Env) Shape { return shape(d.Expr, env, true) }

// ShapeOf gives the shape of any expression, with values put in if numbers is
// true.
func ShapeOf(x Expr, env Env, numbers bool) Shape { return shape(x, env, numbers) }

func shape(x Expr, env Env, numbers bool) Shape {
	switch x := x.(type) {
	case Sym:
		if numbers {
			if b, ok := env.Lookup(x); ok {
				n := Shape{Kind: ShapeNumber, Text: b.V.Text(b.Decimals), Unit: b.Unit}
				return n
			}
		}
		return SymShape(x)
	case Lit:
		k, _ := x.V.Places(6)
		return Shape{Kind: ShapeNumber, Text: x.V.Text(k), Unit: x.Unit}
	case Bin:
		return Shape{Kind: ShapeOperation, Op: x.Op, Args: []Shape{
			operand(x.A, x, env, numbers, false),
			operand(x.B, x, env, numbers, true),
		}}
	case Fn:
		kind := map[FnName]ShapeKind{FnNeg: ShapeNegative, FnAbs: ShapeAbs, FnSqrt: ShapeSqrt, FnSquare: ShapeSquare}[x.Name]
		a := shape(x.A, env, numbers)
		if (x.Name == FnNeg && (x.A.level() <= levelSum || negative(a))) ||
			(x.Name == FnSquare && (x.A.level() < levelAtom || a.Kind == ShapeNumber && (a.Unit != "" || negative(a)))) {
			a = Shape{Kind: ShapeBracket, Args: []Shape{a}}
		}
		return Shape{Kind: kind, Args: []Shape{a}}
	case Extreme:
		s := Shape{Kind: ShapeFunction, Name: "min"}
		if x.Max {
			s.Name = "max"
		}
		for _, t := range x.Terms {
			s.Args = append(s.Args, shape(t, env, numbers))
		}
		return s
	}
	return Shape{}
}

// operand puts brackets where plain text needs them; a fraction's own line
// needs fewer, which the MathML writer takes off again.
func operand(x Expr, parent Bin, env Env, numbers, right bool) Shape {
	s := shape(x, env, numbers)
	need := x.level() < parent.level() ||
		right && x.level() == parent.level() && (parent.Op == OpSub || parent.Op == OpDiv) ||
		right && x.level() == levelSign ||
		right && negative(s)
	if b, ok := x.(Bin); ok && right && parent.Op == OpMul && b.Op == OpDiv {
		need = false
	}
	if need {
		return Shape{Kind: ShapeBracket, Args: []Shape{s}}
	}
	return s
}

func negative(s Shape) bool {
	return s.Kind == ShapeNumber && strings.HasPrefix(s.Text, "\u2212")
}

// SymShape gives the shape of a symbol alone.
func SymShape(x Sym) Shape {
	base, sub, _ := strings.Cut(string(x), "_")
	return Shape{Kind: ShapeSymbol, Text: base, Sub: sub}
}

// String prints the shape as one line of plain text.
func (s Shape) String() string {
	var b strings.Builder
	s.write(&b)
	return b.String()
}

func (s Shape) write(b *strings.Builder) {
	switch s.Kind {
	case ShapeSymbol:
		b.WriteString(s.Text)
		if s.Sub != "" {
			b.WriteString("_" + s.Sub)
		}
	case ShapeNumber:
		b.WriteString(WithUnit(s.Text, s.Unit))
	case ShapeOperation:
		s.Args[0].write(b)
		b.WriteString(" " + s.Op.Sign() + " ")
		s.Args[1].write(b)
	case ShapeNegative:
		b.WriteString("\u2212")
		s.Args[0].write(b)
	case ShapeAbs:
		b.WriteString("|")
		s.Args[0].write(b)
		b.WriteString("|")
	case ShapeSqrt:
		b.WriteString("√(")
		s.Args[0].write(b)
		b.WriteString(")")
	case ShapeSquare:
		s.Args[0].write(b)
		b.WriteString("²")
	case ShapeFunction:
		b.WriteString(s.Name + "(")
		for i, a := range s.Args {
			if i > 0 {
				b.WriteString("; ")
			}
			a.write(b)
		}
		b.WriteString(")")
	case ShapeBracket:
		b.WriteString("(")
		s.Args[0].write(b)
		b.WriteString(")")
	}
}

// Sign is the printed sign of the operation.
func (o Op) Sign() string {
	switch o {
	case OpAdd:
		return "+"
	case OpSub:
		return "\u2212"
	case OpMul:
		return "×"
	default:
		return "/"
	}
}

// WithUnit joins a printed number and its unit by a no-break space, as SI
// wants it; a pure number stays alone.
func WithUnit(number, unit string) string {
	if unit == "" {
		return number
	}
	return number + "\u00a0" + unit
}
