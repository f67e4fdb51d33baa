package formula

// Expr is a formula: a tree of symbols, numbers and operations. Trees are
// made once (they hold no drawn number) and evaluated under an [Env].
type Expr interface {
	eval(env Env) Value
	level() int // how tightly it binds, for brackets
}

// Sym is a symbol such as "I" or "I_100": what follows the underscore is its
// subscript.
type Sym string

// Lit is a number that belongs to the formula itself, such as the 100 of a
// percentage. Unit is printed behind it and may be empty.
type Lit struct {
	V    Value
	Unit string
}

// Op is one of the four operations of [Bin].
type Op byte

// The operations.
const (
	OpAdd Op = '+'
	OpSub Op = '-'
	OpMul Op = '*'
	OpDiv Op = '/'
)

// Bin is A Op B.
type Bin struct {
	Op   Op
	A, B Expr
}

// Fn is a function of one argument.
type Fn struct {
	Name FnName
	A    Expr
}

// FnName names the functions of [Fn].
type FnName string

// The functions.
const (
	FnNeg    FnName = "neg"
	FnAbs    FnName = "abs"
	FnSqrt   FnName = "sqrt"
	FnSquare FnName = "square"
)

// Extreme is the largest or smallest of its terms.
type Extreme struct {
	Max   bool
	Terms []Expr
}

// Num is the whole number n as part of a formula.
func Num(n int64) Expr { return Lit{V: Int(n)} }

// Percent100 is the factor that turns a fraction into percent, printed
// "100 %".
func Percent100() Expr { return Lit{V: Int(100), Unit: "%"} }

// Add is a + b.
func Add(a, b Expr) Expr { return Bin{OpAdd, a, b} }

// Sub is a − b.
func Sub(a, b Expr) Expr { return Bin{OpSub, a, b} }

// Mul is a × b.
func Mul(a, b Expr) Expr { return Bin{OpMul, a, b} }

// Div is a / b, undefined where b is 0.
func Div(a, b Expr) Expr { return Bin{OpDiv, a, b} }

// Neg is −a.
func Neg(a Expr) Expr { return Fn{FnNeg, a} }

// Abs is |a|.
func Abs(a Expr) Expr { return Fn{FnAbs, a} }

// Sqrt is the square root of a, undefined where a is negative.
func Sqrt(a Expr) Expr { return Fn{FnSqrt, a} }

// Square is a².
func Square(a Expr) Expr { return Fn{FnSquare, a} }

// Max is the largest of its terms.
func Max(terms ...Expr) Expr { return Extreme{true, terms} }

// Min is the smallest of its terms.
func Min(terms ...Expr) Expr { return Extreme{false, terms} }

// Binding gives a symbol its value in one exercise.
type Binding struct {
	Sym      Sym
	V        Value
	Unit     string // printed behind the value; empty for a pure number
	Decimals int    // with which it was printed in the exercise

	// From is the id of the answer box ("a", "b.3") of an earlier part whose
	// answer this is; empty for a printed given. Marking puts the
	// apprentice's own value here to follow a wrong answer through.
	From string

	// Def is set where the value is worked out from earlier bindings and asked
	// for in no box of its own: the largest of five errors. Marking works it
	// out anew from the apprentice's own values.
	Def *Definition
}

// Env is the list of symbols known in one exercise. Later bindings of the same
// symbol win, so a list can be extended without copying.
type Env []Binding

// Lookup finds the binding of s.
func (e Env) Lookup(s Sym) (Binding, bool) {
	for i := len(e) - 1; i >= 0; i-- {
		if e[i].Sym == s {
			return e[i], true
		}
	}
	return Binding{}, false
}

// With returns e extended by b, leaving e as it is.
func (e Env) With(b ...Binding) Env {
	return append(e[:len(e):len(e)], b...)
}

// Eval evaluates x under env. A symbol that env lacks, a division by zero or
// the root of a negative number gives an undefined value, which
// [Value.Defined] reports.
func Eval(x Expr, env Env) Value { return x.eval(env) }

// Symbols lists the symbols of x in the order of their first appearance.
func Symbols(x Expr) []Sym {
	var out []Sym
	walk(x, func(s Sym) {
		for _, have := range out {
			if have == s {
				return
			}
		}
		out = append(out, s)
	})
	return out
}

func walk(x Expr, f func(Sym)) {
	switch x := x.(type) {
	case Sym:
		f(x)
	case Bin:
		walk(x.A, f)
		walk(x.B, f)
	case Fn:
		walk(x.A, f)
	case Extreme:
		for _, t := range x.Terms {
			walk(t, f)
		}
	}
}

func (s Sym) eval(env Env) Value {
	if b, ok := env.Lookup(s); ok {
		return b.V
	}
	return Ratio(0, 0)
}

func (l Lit) eval(Env) Value { return l.V }

func (b Bin) eval(env Env) Value {
	x, y := b.A.eval(env), b.B.eval(env)
	switch b.Op {
	case OpAdd:
		return x.Add(y)
	case OpSub:
		return x.Sub(y)
	case OpMul:
		return x.Mul(y)
	default:
		return x.Div(y)
	}
}

func (f Fn) eval(env Env) Value {
	v := f.A.eval(env)
	switch f.Name {
	case FnNeg:
		return v.Neg()
	case FnAbs:
		return v.Abs()
	case FnSqrt:
		return v.Sqrt()
	default:
		return v.Mul(v)
	}
}

func (m Extreme) eval(env Env) Value {
	var best Value
	for i, t := range m.Terms {
		v := t.eval(env)
		if !v.Defined() {
			return v
		}
		if i == 0 || (v.Sub(best).Sign() > 0) == m.Max && v.Sub(best).Sign() != 0 {
			best = v
		}
	}
	return best
}

const (
	levelSum = iota + 1
	levelProduct
	levelSign
	levelAtom
)

func (Sym) level() int     { return levelAtom }
func (Lit) level() int     { return levelAtom }
func (Extreme) level() int { return levelAtom }

func (f Fn) level() int {
	if f.Name == FnNeg {
		return levelSign
	}
	return levelAtom
}

func (b Bin) level() int {
	if b.Op == OpAdd || b.Op == OpSub {
		return levelSum
	}
	return levelProduct
}
