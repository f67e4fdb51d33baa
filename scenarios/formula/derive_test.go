package formula

import "testing"

// A derived binding holds the rounded value, comes from no box, and can be
// worked out anew from other values.
func TestDerive(t *testing.T) {
	env := Env{{Sym: "a", V: Decimal(-125, 2), From: "a"}, {Sym: "b", V: Decimal(5, 1), From: "b"}}
	worst := Definition{Sym: "E", Expr: Max(Abs(Sym("a")), Abs(Sym("b"))), Unit: "%", Decimals: 1}
	d, err := worst.Derive(env)
	if err != nil || d.V.Text(2) != "1.30" || d.From != "" || d.Def == nil {
		t.Fatalf("%+v %v", d, err)
	}
	if v := d.Def.Eval(env.With(Binding{Sym: "b", V: Int(-7)})); v.Text(1) != "7.0" {
		t.Errorf("anew it is %s", v.Text(1))
	}
}
