package marking

import (
	"fmt"
	"math/big"
	"slices"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// Follow is how an error was carried forward.
type Follow struct {
	From []string    // the boxes with the wrong answers that feed this one
	Env  formula.Env // the givens with the apprentice's own numbers, for the working
	Key  *big.Rat    // what they lead to; nil for a choice
	// Option is the option they lead to, for a choice.
	Option string
	// Refused is why a match was not granted; empty where it was, or where
	// there was none.
	Refused Rule
}

// mostWays bounds the combinations of readings that are tried.
const mostWays = 64

// way is one set of own values and what they lead to.
type way struct {
	env formula.Env
	key *big.Rat
}

// feeders lists the boxes of earlier numbers among the symbols of the given
// formulas, each once. A derived symbol stands for those it is worked out from.
func (m *marker) feeders(env formula.Env, formulas ...formula.Expr) ([]string, error) {
	var out []string
	for _, x := range formulas {
		for _, s := range formula.Symbols(x) {
			bound, ok := env.Lookup(s)
			if !ok {
				continue
			}
			ids := []string{bound.From}
			if bound.Def != nil {
				var err error
				if ids, err = m.feeders(env, bound.Def.Expr); err != nil {
					return nil, err
				}
			}
			for _, id := range ids {
				if id == "" || slices.Contains(out, id) {
					continue
				}
				f := m.boxes[id]
				if f == nil || f.result == nil {
					return nil, fmt.Errorf("its key draws on box %q, which does not come before it", id)
				}
				if f.kind == exercises.NumberBox {
					out = append(out, id)
				}
			}
		}
	}
	return out, nil
}

// follow marks a wrong answer again, against what the apprentice's own earlier
// numbers lead to. Whatever it finds it writes into r.
func (m *marker) follow(b *box, r *BoxResult, text string) error {
	env, formulas := b.answer.Env, []formula.Expr{b.answer.Def.Expr}
	var decide []exercises.Decision
	switch {
	case b.kind == exercises.OrderBox || b.answer.Stop:
		return nil
	case b.kind == exercises.ChoiceBox:
		if decide, env = decisions(b); decide == nil {
			return nil
		}
		formulas = nil
		for _, d := range decide {
			if d.Rel != nil {
				formulas = append(formulas, d.Rel.A, d.Rel.B)
			}
		}
	}
	feed, err := m.feeders(env, formulas...)
	if err != nil {
		return err
	}
	f := Follow{}
	for _, id := range feed {
		switch {
		case m.boxes[id].result.open():
			r.Waits = append(r.Waits, id)
		case m.boxes[id].result.wrong():
			f.From = append(f.From, id)
		}
	}
	if r.Waits != nil {
		if r.Rule == RuleOutside || r.Rule == RuleOption || r.Rule == RuleStop {
			r.Rule = RuleWaits
		}
		return nil
	}
	if f.From == nil {
		return nil
	}
	ways := m.owned(env, feed)
	f.Env = ways[0]
	r.Follow = &f
	if decide != nil {
		m.followChoice(b, r, decide, ways)
		return nil
	}
	m.followNumber(b, r, text, ways, feed)
	return nil
}

// owned gives env with the apprentice's own numbers in the place of the right
// ones, once for each way to read them; never none. A blank leaves the right
// number, and so does one too long for exact arithmetic.
func (m *marker) owned(env formula.Env, feed []string) []formula.Env {
	ways := []formula.Env{env}
	for _, id := range feed {
		var next []formula.Env
		for _, e := range ways {
			for _, v := range m.boxes[id].result.values() {
				if own, ok := replace(e, id, v); ok && len(next) < mostWays {
					next = append(next, own)
				}
			}
		}
		if next != nil {
			ways = next
		}
	}
	return ways
}

// replace binds every symbol that comes from a box anew.
func replace(env formula.Env, id string, v *big.Rat) (formula.Env, bool) {
	if !v.Num().IsInt64() || !v.Denom().IsInt64() {
		return nil, false
	}
	x := formula.Ratio(v.Num().Int64(), v.Denom().Int64())
	out := env.With()
	for _, b := range env {
		if b.From == id {
			b.V = x
			b.Decimals, _ = x.Places(9)
			out = out.With(b)
		}
	}
	return rederived(out), true
}

// rederived works the derived symbols of env out anew, in their order. One that
// cannot be worked out from the own numbers is not defined then.
func rederived(env formula.Env) formula.Env {
	out := env
	for _, b := range env {
		if b.Def == nil {
			continue
		}
		v, err := b.Def.Eval(out).Rounded(b.Def.Decimals)
		if err != nil {
			v = formula.Ratio(0, 0)
		}
		b.V = v
		out = out.With(b)
	}
	return out
}

// keysOf works out what own numbers lead to: the formula rounded as the key
// is. A value too near a rounding edge to round gives both neighbours, and one
// that is not defined none.
func keysOf(def formula.Definition, env formula.Env) []*big.Rat {
	v := def.Eval(env)
	if !v.Defined() {
		return nil
	}
	if w, err := v.Rounded(def.Decimals); err == nil {
		x, _ := Exact(w)
		return []*big.Rat{x}
	}
	n, err := v.Truncate(def.Decimals)
	if err != nil {
		return nil
	}
	step := int64(1)
	if v.Sign() < 0 {
		step = -1
	}
	near, _ := Exact(formula.Decimal(n, def.Decimals))
	far, _ := Exact(formula.Decimal(n+step, def.Decimals))
	return []*big.Rat{near, far}
}

func (m *marker) followNumber(b *box, r *BoxResult, text string, envs []formula.Env, feed []string) {
	q := *b.question.Number
	true0 := q.Key
	var ways []way
	for _, env := range envs {
		for _, key := range keysOf(b.answer.Def, env) {
			ways = append(ways, way{env, key})
		}
	}
	var match []way
	var first Result
	for _, w := range ways {
		q.Key = w.key
		if res := q.judge(text); res.NumberRight || res.Verdict == Query {
			if match == nil {
				first = res
			}
			match = append(match, w)
		}
	}
	if len(ways) > 0 {
		r.Follow.Env, r.Follow.Key = ways[0].env, ways[0].key
	}
	if match == nil {
		return
	}
	r.Follow.Env, r.Follow.Key = match[0].env, match[0].key
	for _, w := range match {
		if rule := m.refusal(b, w, feed); rule != "" {
			r.Follow.Refused, r.Rule = rule, rule
			return
		}
	}
	twice := new(big.Rat).Mul(q.Tolerance, big.NewRat(2, 1))
	switch {
	case len(match) < len(ways):
		r.Verdict, r.Rule = Query, RuleFollowWhich
		r.Ask = "it follows from one reading of an earlier answer and not from another; which is meant?"
	case first.Verdict == Query:
		r.Verdict, r.Rule, r.Ask, r.Readings = Query, first.Rule, first.Ask, first.Readings
	case slices.ContainsFunc(match, func(w way) bool { return near(w.key, true0, twice) }):
		r.Verdict, r.Rule = Query, RuleFollowNear
		r.Ask = fmt.Sprintf("it is wrong by the key (%s) and right by the own earlier answer (%s), but the two lie within two tolerances of each other; does it follow?",
			true0.FloatString(b.answer.Def.Decimals), match[0].key.FloatString(b.answer.Def.Decimals))
	default:
		r.Verdict, r.Rule = FollowThrough, RuleFollow
		r.UnitLost, r.FiguresLost = first.UnitLost, first.FiguresLost
		// The readings stay those taken; their verdicts are by the true key.
	}
}

// refusal is why a match is not granted; empty: it is.
func (m *marker) refusal(b *box, w way, feed []string) Rule {
	if impossible(b.answer.Def, w.key) {
		return RuleImpossible
	}
	for _, id := range feed {
		f := m.boxes[id]
		own, ok := bound(w.env, id)
		if !ok || !f.result.wrong() {
			continue
		}
		if impossible(f.answer.Def, own) {
			return RuleImpossible
		}
		// A 0 takes its term out of the formula, and with it the step that
		// was asked for.
		if own.Sign() == 0 && f.question.Number.Key.Sign() != 0 {
			return RuleTrivial
		}
	}
	return ""
}

// bound is the number that an environment has from a box.
func bound(env formula.Env, id string) (*big.Rat, bool) {
	for i := len(env) - 1; i >= 0; i-- {
		if env[i].From == id {
			return Exact(env[i].V)
		}
	}
	return nil, false
}

// mostLoop is the most that a loop can carry, in mA, and the volts that gives
// across the receiver's 250 ohm.
var mostLoop, mostReceiver = big.NewRat(24, 1), big.NewRat(6, 1)

// impossible reports a loop current below 0 or above 24 mA, or its volts
// across the receiver. A quantity is one of these where the key calls it by
// the symbol of the signal, in the unit of the signal; errors and differences
// have other symbols.
func impossible(def formula.Definition, x *big.Rat) bool {
	for _, s := range []struct {
		signal signal.Signal
		most   *big.Rat
	}{{signal.Current, mostLoop}, {signal.Voltage, mostReceiver}} {
		if def.Sym == s.signal.Sym() && def.Unit == s.signal.Unit {
			return x.Sign() < 0 || x.Cmp(s.most) > 0
		}
	}
	return false
}

// decisions are what leads to the options of a choice. Where the key does not
// say, it is the only comparison in its working, where there are two options: it
// holds for the right option and not for the other. With more options, or
// comparisons, the working does not say what other numbers would lead to, and
// nothing is followed.
func decisions(b *box) ([]exercises.Decision, formula.Env) {
	if len(b.answer.Decide) > 0 {
		return b.answer.Decide, b.answer.Env
	}
	options := b.question.Choice.Options
	if len(options) != 2 {
		return nil, nil
	}
	var rel *formula.Relation
	var env formula.Env
	for _, s := range b.part.Working {
		if s.Rel != nil {
			if rel != nil {
				return nil, nil
			}
			rel, env = s.Rel, s.Env
		}
	}
	if rel == nil {
		return nil, nil
	}
	if holds, err := rel.Holds(env); err != nil || !holds {
		return nil, nil
	}
	right := b.question.Choice.Right
	other := options[0].ID
	if other == right {
		other = options[1].ID
	}
	return []exercises.Decision{{Rel: rel, Option: right}, {Option: other}}, env
}

// leads is the option to which numbers lead, or "" where they lead to none or
// lie on an edge.
func leads(decide []exercises.Decision, env formula.Env) string {
	for _, d := range decide {
		if d.Rel == nil {
			return d.Option
		}
		holds, err := d.Rel.Holds(env)
		if err != nil {
			return ""
		}
		if holds {
			return d.Option
		}
	}
	return ""
}

func (m *marker) followChoice(b *box, r *BoxResult, decide []exercises.Decision, envs []formula.Env) {
	if r.Rule != RuleOption {
		return
	}
	given := r.Readings[0].Text
	to := make([]string, len(envs))
	match, nowhere := 0, 0
	for i, env := range envs {
		switch to[i] = leads(decide, env); to[i] {
		case given:
			if match == 0 {
				r.Follow.Env = env
			}
			match++
		case "":
			nowhere++
		}
	}
	r.Follow.Option = to[0]
	if match == 0 && nowhere == 0 {
		return
	}
	for _, id := range r.Follow.From {
		f := m.boxes[id]
		for _, v := range f.result.values() {
			if impossible(f.answer.Def, v) {
				r.Follow.Refused, r.Rule = RuleImpossible, RuleImpossible
				return
			}
		}
	}
	switch {
	case match == 0:
		r.Verdict, r.Rule = Query, RuleFollowOpen
		r.Ask = "the own earlier answers lead to no one option (two may be equally good); does it follow?"
		return
	case match < len(envs):
		r.Verdict, r.Rule = Query, RuleFollowWhich
		r.Ask = "it follows from one reading of an earlier answer and not from another; which is meant?"
		return
	}
	r.Follow.Option = given
	r.Verdict, r.Rule = FollowThrough, RuleFollow
}
