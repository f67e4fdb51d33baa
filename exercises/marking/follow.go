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
// formulas, each once.
func (m *marker) feeders(env formula.Env, formulas ...formula.Expr) ([]string, error) {
	var out []string
	for _, x := range formulas {
		for _, s := range formula.Symbols(x) {
			bound, ok := env.Lookup(s)
			if !ok || bound.From == "" || slices.Contains(out, bound.From) {
				continue
			}
			f := m.boxes[bound.From]
			if f == nil || f.result == nil {
				return nil, fmt.Errorf("its key draws on box %q, which does not come before it", bound.From)
			}
			if f.kind == exercises.NumberBox {
				out = append(out, bound.From)
			}
		}
	}
	return out, nil
}

// follow marks a wrong answer again, against what the apprentice's own earlier
// numbers lead to. Whatever it finds it writes into r.
func (m *marker) follow(b *box, r *BoxResult, text string) error {
	env, formulas := b.answer.Env, []formula.Expr{b.answer.Def.Expr}
	var rel *formula.Relation
	if b.kind == exercises.ChoiceBox {
		if rel, env = decision(b); rel == nil {
			return nil
		}
		formulas = []formula.Expr{rel.A, rel.B}
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
		if r.Rule == RuleOutside || r.Rule == RuleOption {
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
	if rel != nil {
		m.followChoice(b, r, *rel, ways)
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
	return out, true
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

// decision is the comparison that decides a choice: the only one in its
// working, where there are two options. It holds for the right option and not
// for the other. With more options, or comparisons, a key does not say what
// other numbers would lead to, and nothing is followed.
func decision(b *box) (*formula.Relation, formula.Env) {
	if len(b.question.Choice.Options) != 2 {
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
	return rel, env
}

func (m *marker) followChoice(b *box, r *BoxResult, rel formula.Relation, envs []formula.Env) {
	if r.Rule != RuleOption {
		return
	}
	turned := 0
	for _, env := range envs {
		if holds, err := rel.Holds(env); err == nil && !holds {
			turned++
		}
	}
	if turned == 0 {
		r.Follow.Option = b.question.Choice.Right
		return
	}
	r.Follow.Option = r.Readings[0].Text
	for _, id := range r.Follow.From {
		f := m.boxes[id]
		for _, v := range f.result.values() {
			if impossible(f.answer.Def, v) {
				r.Follow.Refused, r.Rule = RuleImpossible, RuleImpossible
				return
			}
		}
	}
	if turned < len(envs) {
		r.Verdict, r.Rule = Query, RuleFollowWhich
		r.Ask = "it follows from one reading of an earlier answer and not from another; which is meant?"
		return
	}
	r.Verdict, r.Rule = FollowThrough, RuleFollow
}
