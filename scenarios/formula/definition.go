package formula

// Definition is a named result: Sym = Expr, with the unit and the number of
// decimals in which it is given. It is the one source of a key: the answer is
// its value and the worked solution is its print.
type Definition struct {
	Sym      Sym
	Expr     Expr
	Unit     string
	Decimals int
}

// Eval gives the value, unrounded.
func (d Definition) Eval(env Env) Value { return d.Expr.eval(env) }

// Bind gives the value as a binding for later formulas, rounded to Decimals as
// somebody who carries on with the written answer would.
func (d Definition) Bind(env Env, from string) (Binding, error) {
	v, err := d.Eval(env).Rounded(d.Decimals)
	if err != nil {
		return Binding{}, err
	}
	return Binding{Sym: d.Sym, V: v, Unit: d.Unit, Decimals: d.Decimals, From: from}, nil
}

// Derive gives the value as [Definition.Bind] does for a result that no box asks
// for: whoever puts other values into env can work it out anew.
func (d Definition) Derive(env Env) (Binding, error) {
	b, err := d.Bind(env, "")
	b.Def = &d
	return b, err
}

// moreDecimals is how many decimals beyond those asked for a working shows.
const moreDecimals = 3

// Printable reports as an error ([ErrEdge], [ErrUndefined]) whether any digit
// that a working of d prints could differ between processors. Whoever draws
// exercises draws again.
func (d Definition) Printable(env Env) error {
	v := d.Eval(env)
	if _, err := v.Round(d.Decimals); err != nil {
		return err
	}
	if k, exact := v.Places(d.Decimals + moreDecimals); !exact {
		_, err := v.Truncate(k)
		return err
	}
	return nil
}

// Result is a computed value as it is printed at the end of a working.
type Result struct {
	Exact string // the value before rounding with up to three more decimals, cut off and with an ellipsis if it has more; empty if rounding changes nothing
	Value string // rounded to the decimals asked for
	Unit  string
}

// Result evaluates and prints d.
func (d Definition) Result(env Env) Result {
	v := d.Eval(env)
	r := Result{Value: v.Text(d.Decimals), Unit: d.Unit}
	k, exact := v.Places(d.Decimals + moreDecimals)
	switch {
	case exact && k > d.Decimals:
		r.Exact = v.Text(k)
	case !exact:
		if n, err := v.Truncate(k); err == nil {
			r.Exact = fixed(n, k)
			if n == 0 && v.Sign() < 0 {
				r.Exact = "\u2212" + r.Exact
			}
			r.Exact += "…"
		}
	}
	return r
}

// Lines prints d as plain text: symbols, numbers put in, result.
func (d Definition) Lines(env Env) []string {
	name := SymShape(d.Sym).String()
	r := d.Result(env)
	last := "= " + WithUnit(r.Value, r.Unit)
	if r.Exact != "" {
		last = "= " + WithUnit(r.Exact, r.Unit) + " ≈ " + WithUnit(r.Value, r.Unit)
	}
	return []string{
		name + " = " + d.Symbols().String(),
		name + " = " + d.Numbers(env).String(),
		name + " " + last,
	}
}

// Relation compares two formulas; it decides a choice and prints the reason.
type Relation struct {
	A  Expr
	Op RelOp
	B  Expr
}

// RelOp is a comparison.
type RelOp string

// The comparisons.
const (
	Less      RelOp = "<"
	LessEq    RelOp = "≤"
	Greater   RelOp = ">"
	GreaterEq RelOp = "≥"
	Equal     RelOp = "="
)

// Holds evaluates r. Values that are not exact and too close to call give
// [ErrEdge]; undefined ones [ErrUndefined].
func (r Relation) Holds(env Env) (bool, error) {
	c, err := r.A.eval(env).Cmp(r.B.eval(env))
	if err != nil {
		return false, err
	}
	switch r.Op {
	case Less:
		return c < 0, nil
	case LessEq:
		return c <= 0, nil
	case Greater:
		return c > 0, nil
	case GreaterEq:
		return c >= 0, nil
	default:
		return c == 0, nil
	}
}
