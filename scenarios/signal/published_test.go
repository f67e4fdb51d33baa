package signal_test

import (
	"encoding/json"
	"fmt"
	"math/big"
	"os"
	"strings"
	"testing"

	"loopdrill/scenarios/cable"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// published is one row of testdata/published.json: a figure from a published
// table, book, standard or worked example.
type published struct {
	ID     string                     `json:"id"`
	Op     string                     `json:"op"`
	In     map[string]json.RawMessage `json:"in"`
	Want   json.RawMessage            `json:"want"`
	Tol    json.Number                `json:"tol"`
	Source string                     `json:"source"`
}

// waiting names the operations of the file that no code computes yet, with the
// reason. It gets shorter, never longer.
var waiting = map[string]string{}

// given reads one row's inputs; the first mistake is kept in err.
type given struct {
	in  map[string]json.RawMessage
	err error
}

func (g *given) into(name string, v any) {
	raw, ok := g.in[name]
	if !ok {
		g.err = fmt.Errorf("the row has no %q", name)
		return
	}
	if err := json.Unmarshal(raw, v); err != nil && g.err == nil {
		g.err = fmt.Errorf("%q: %w", name, err)
	}
}

func (g *given) num(name string) formula.Value {
	var n json.Number
	g.into(name, &n)
	return g.value(n)
}

func (g *given) list(name string) []formula.Value {
	var n []json.Number
	g.into(name, &n)
	return g.values(n)
}

func (g *given) table(name string) [][]formula.Value {
	var rows [][]json.Number
	g.into(name, &rows)
	var out [][]formula.Value
	for _, r := range rows {
		out = append(out, g.values(r))
	}
	return out
}

func (g *given) text(name string) string {
	var s string
	g.into(name, &s)
	return s
}

func (g *given) values(n []json.Number) []formula.Value {
	var out []formula.Value
	for _, x := range n {
		out = append(out, g.value(x))
	}
	return out
}

// value reads a JSON number exactly.
func (g *given) value(n json.Number) formula.Value {
	r, ok := new(big.Rat).SetString(n.String())
	if !ok || !r.Num().IsInt64() || !r.Denom().IsInt64() {
		if g.err == nil {
			g.err = fmt.Errorf("%q is not a number", n)
		}
		return formula.Value{}
	}
	return formula.Ratio(r.Num().Int64(), r.Denom().Int64())
}

// eval computes an expression with each symbol bound to the input of its name;
// "from.0" is the first of a list.
func (g *given) eval(x formula.Expr) []formula.Value {
	var env formula.Env
	for _, sym := range formula.Symbols(x) {
		name, index, isList := strings.Cut(string(sym), ".")
		if isList {
			l := g.list(name)
			i := int(index[0] - '0')
			if i >= len(l) {
				g.err = fmt.Errorf("%q has no element %d", name, i)
				return nil
			}
			env = env.With(formula.Binding{Sym: sym, V: l[i]})
			continue
		}
		env = env.With(formula.Binding{Sym: sym, V: g.num(name)})
	}
	return []formula.Value{formula.Eval(x, env)}
}

func (g *given) one(v formula.Value, err error) []formula.Value {
	if err != nil && g.err == nil {
		g.err = err
	}
	return []formula.Value{v}
}

func (g *given) traverses() signal.Traverses {
	span := append(g.list("span"), formula.Value{}, formula.Value{})
	return signal.Traverses{Up: g.table("up"), Down: g.table("down"), Ideal: g.list("ideal"), Low: span[0], High: span[1]}
}

func s(name string) formula.Expr { return formula.Sym(name) }

// numeric computes the operations whose result is one or more numbers.
var numeric = map[string]func(g *given) []formula.Value{
	"linear": func(g *given) []formula.Value {
		return g.eval(signal.Scale(s("x"), s("from.0"), s("from.1"), s("to.0"), s("to.1")))
	},
	"square-root": func(g *given) []formula.Value {
		return g.eval(signal.ScaleRoot(s("x"), s("from.0"), s("from.1"), s("to.0"), s("to.1")))
	},
	"square": func(g *given) []formula.Value {
		return g.eval(signal.ScaleSquare(s("x"), s("from.0"), s("from.1"), s("to.0"), s("to.1")))
	},
	"span-error": func(g *given) []formula.Value {
		return g.eval(signal.SpanError(s("indicated"), s("true"), s("span.0"), s("span.1")))
	},
	"drop":     func(g *given) []formula.Value { return g.eval(signal.Drop(s("mA"), s("ohm"))) },
	"max-load": func(g *given) []formula.Value { return g.eval(signal.MaxLoad(s("supply"), s("lift_off"), s("mA"))) },
	"unit": func(g *given) []formula.Value {
		from, ok := unit.Lookup(g.text("from"))
		to, ok2 := unit.Lookup(g.text("to"))
		if !ok || !ok2 {
			g.err = fmt.Errorf("unknown unit in %s", g.in)
			return nil
		}
		return g.one(unit.Quantity{V: g.num("value"), Unit: from}.Convert(to))
	},
	"dp-level": func(g *given) []formula.Value {
		top := formula.Add(s("low"), s("span"))
		if g.num("wet_leg").IsZero() {
			return append(g.eval(signal.LevelDry(s("low"), s("sg"))), g.eval(signal.LevelDry(top, s("sg")))...)
		}
		return append(g.eval(signal.LevelWet(s("low"), s("sg"), s("wet_leg"), s("sg_leg"))),
			g.eval(signal.LevelWet(top, s("sg"), s("wet_leg"), s("sg_leg")))...)
	},
	"linearity": func(g *given) []formula.Value {
		l, err := signal.LinearityOf(signal.LineKind(g.text("kind")), g.list("x"), g.list("y"))
		return g.one(l.Worst, err)
	},
	"maximum-error": func(g *given) []formula.Value { return g.one(g.traverses().MaximumError()) },
	"hysteresis":    func(g *given) []formula.Value { return g.one(g.traverses().Hysteresis()) },
	"repeatability": func(g *given) []formula.Value { return g.one(g.traverses().Repeatability()) },
	"copper": func(g *given) []formula.Value {
		ohm, ok := cable.OhmPerKm(g.num("mm2"))
		if !ok {
			g.err = fmt.Errorf("no cable of that size")
		}
		return []formula.Value{ohm}
	},
	"copper-factor": func(g *given) []formula.Value { return g.eval(cable.Correction(s("celsius"))) },
	"pt100":         func(g *given) []formula.Value { return g.one(signal.Pt100Ohm(g.num("celsius"))) },
	"thermocouple": func(g *given) []formula.Value {
		return g.one(signal.Thermocouple(g.text("type")).Millivolt(g.num("celsius")))
	},
	"combined": func(g *given) []formula.Value {
		return g.eval(signal.Combined(s("u.0"), s("u.1"), s("u.2"), s("u.3")))
	},
	// The probability that a result just at the acceptance limit lies outside
	// the tolerance after all.
	"guarded-risk": func(g *given) []formula.Value {
		accept := g.eval(signal.AcceptanceLimit(s("limit"), s("u95")))[0]
		inside := signal.Conformance(accept, g.num("u95").Div(formula.Int(2)), g.num("limit"))
		return []formula.Value{formula.Int(1).Sub(inside)}
	},
	"tur": func(g *given) []formula.Value {
		return g.eval(signal.UncertaintyRatio(s("lower"), s("upper"), s("u95")))
	},
	"conformance": func(g *given) []formula.Value {
		return []formula.Value{signal.Conformance(g.num("y"), g.num("u"), g.num("limit"))}
	},
}

// worded computes the operations whose result is a word.
var worded = map[string]func(g *given) string{
	"signal-band": func(g *given) string {
		band, err := signal.BandOf(g.num("mA"))
		if err != nil {
			g.err = err
		}
		return string(band)
	},
}

// check recomputes a row and says in what it differs.
func check(row published) error {
	g := &given{in: row.In}
	if word, ok := worded[row.Op]; ok {
		var want string
		if err := json.Unmarshal(row.Want, &want); err != nil {
			return err
		}
		if got := word(g); g.err != nil || got != want {
			return fmt.Errorf("got %s (%v), want %s", got, g.err, want)
		}
		return nil
	}
	compute, ok := numeric[row.Op]
	if !ok {
		return fmt.Errorf("nothing computes the operation %q", row.Op)
	}
	want := given{in: map[string]json.RawMessage{"want": row.Want}}
	var wanted []formula.Value
	if strings.HasPrefix(string(row.Want), "[") {
		wanted = want.list("want")
	} else {
		wanted = []formula.Value{want.num("want")}
	}
	tol := want.value(row.Tol)
	got := compute(g)
	if g.err != nil {
		return g.err
	}
	if want.err != nil {
		return want.err
	}
	if len(got) != len(wanted) {
		return fmt.Errorf("got %d values, want %d", len(got), len(wanted))
	}
	for i := range got {
		c, err := got[i].Sub(wanted[i]).Abs().Cmp(tol)
		if err != nil {
			return err
		}
		if c > 0 {
			return fmt.Errorf("got %v, want %v within %v", got[i].Float64(), wanted[i].Float64(), tol.Float64())
		}
	}
	return nil
}

func publishedRows(t *testing.T) []published {
	t.Helper()
	data, err := os.ReadFile("testdata/published.json")
	if err != nil {
		t.Fatal(err)
	}
	var rows []published
	if err := json.Unmarshal(data, &rows); err != nil {
		t.Fatal(err)
	}
	return rows
}

// TestPublishedFigures recomputes every published figure through the code that
// makes the exercises.
func TestPublishedFigures(t *testing.T) {
	rows := publishedRows(t)
	ops, ids := map[string]int{}, map[string]bool{}
	ran := 0
	for _, row := range rows {
		ops[row.Op]++
		if ids[row.ID] || row.ID == "" || row.Source == "" {
			t.Errorf("row %q has no id of its own or no source", row.ID)
		}
		ids[row.ID] = true
		if waiting[row.Op] != "" {
			continue
		}
		ran++
		if err := check(row); err != nil {
			t.Errorf("%s (%s): %v", row.ID, row.Source, err)
		}
	}
	left := 0
	for op, why := range waiting {
		if ops[op] == 0 {
			t.Errorf("%q waits although no row needs it", op)
		}
		if numeric[op] != nil || worded[op] != nil {
			t.Errorf("%q waits although there is code for it", op)
		}
		left += ops[op]
		t.Logf("%d rows of %s wait: %s", ops[op], op, why)
	}
	for op := range numeric {
		if ops[op] == 0 {
			t.Errorf("no row checks %q", op)
		}
	}
	if ran+left != len(rows) || ran < 80 {
		t.Errorf("%d rows were recomputed and %d wait, of %d", ran, left, len(rows))
	}
	t.Logf("%d of %d published figures recomputed", ran, len(rows))
}

// TestPublishedFiguresCanFail shows that every row which passes would not with
// another wanted value, and that a row of unknown operation fails.
func TestPublishedFiguresCanFail(t *testing.T) {
	for _, row := range publishedRows(t) {
		if waiting[row.Op] != "" {
			continue
		}
		wrong := row
		switch row.Want[0] {
		case '"':
			wrong.Want = json.RawMessage(`"somewhere"`)
		case '[':
			wrong.Want = json.RawMessage(strings.Replace(string(row.Want), "]", "9e3]", 1))
		default:
			var want, tol big.Rat
			want.SetString(string(row.Want))
			tol.SetString(row.Tol.String())
			want.Add(&want, tol.Mul(&tol, big.NewRat(5, 2)))
			wrong.Want = json.RawMessage(want.FloatString(10))
		}
		if check(wrong) == nil {
			t.Errorf("%s passes with %s as well as with %s", row.ID, wrong.Want, row.Want)
		}
	}
	if check(published{Op: "guess", Want: json.RawMessage("1"), Tol: "0"}) == nil {
		t.Error("an unknown operation passes")
	}
}
