package marking

import (
	"slices"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
)

// chain is a small exercise worked by hand. The needle stands at −3.0
// divisions of 0.5 % each, the ring at 50 %, the loop's tolerance is 1 %.
//
//	(a) e = n × 0.5 %/div                   = −1.50 %   ± 0.055
//	(b) I = 4 + 16 (50 + e)/100             = 11.760 mA ± 0.0085
//	(c) |e| ≤ 1 %? it is not                = outside
//	(d) U = I / 4                           = 2.940 V   ± 0.003
func chain(t testing.TB) exercises.Item {
	env := formula.Env{
		{Sym: "n", V: formula.Int(-3), Unit: "div", Decimals: 1},
		{Sym: "k", V: formula.Int(50), Unit: "%"},
		{Sym: "tol", V: formula.Int(1), Unit: "%"},
	}.With(signal.Current.Bind()...)
	half := formula.Lit{V: formula.Ratio(1, 2), Unit: "%/div"}
	at := func(percent formula.Expr) formula.Expr {
		return signal.At(signal.OfPercent(percent), signal.Current.Zero(), signal.Current.Full())
	}
	bind := func(def formula.Definition, env formula.Env, from string) formula.Env {
		b, err := def.Bind(env, from)
		if err != nil {
			t.Fatal(err)
		}
		return env.With(b)
	}
	e := formula.Definition{Sym: "e", Expr: formula.Mul(formula.Sym("n"), half), Unit: "%", Decimals: 2}
	env2 := bind(e, env, "a")
	i := formula.Definition{Sym: signal.Current.Sym(), Expr: at(formula.Add(formula.Sym("k"), formula.Sym("e"))), Unit: "mA", Decimals: 3}
	env3 := bind(i, env2, "b")
	u := formula.Definition{Sym: signal.Voltage.Sym(), Expr: formula.Div(formula.Sym("I"), formula.Num(4)), Unit: "V", Decimals: 3}
	outside := formula.Relation{A: formula.Abs(formula.Sym("e")), Op: formula.Greater, B: formula.Sym("tol")}

	slip := func(def formula.Definition, env formula.Env, box, id string, x formula.Expr) exercises.Slip {
		def.Expr = x
		return exercises.Slip{ID: id, Name: id, Answers: []exercises.SlipAnswer{{Box: box, Def: def, Env: env}}}
	}
	number := func(id string, def formula.Definition) exercises.Part {
		return exercises.Part{Label: id, Marks: 1, Boxes: []exercises.Box{{ID: id, Kind: exercises.NumberBox, Unit: def.Unit, Decimals: def.Decimals}}}
	}
	key := func(id string, def formula.Definition, env formula.Env, tolerance formula.Value, slips ...exercises.Slip) exercises.PartKey {
		return exercises.PartKey{Label: id, Slips: slips, Answers: []exercises.Answer{{Box: id, Def: def, Env: env, Tolerance: tolerance}}}
	}
	var item exercises.Item
	item.Add(number("a", e), key("a", e, env, formula.Decimal(55, 3),
		slip(e, env, "a", "sign", formula.Neg(e.Expr)),
		slip(e, env, "a", "divisions-as-percent", formula.Sym("n"))))
	item.Add(number("b", i), key("b", i, env2, formula.Decimal(85, 4),
		slip(i, env2, "b", "wrong-way", at(formula.Sub(formula.Sym("k"), formula.Sym("e")))),
		slip(i, env2, "b", "sign-dropped", at(formula.Add(formula.Sym("k"), formula.Abs(formula.Sym("e"))))),
		slip(i, env2, "b", "live-zero", formula.Mul(formula.Num(16), signal.OfPercent(formula.Add(formula.Sym("k"), formula.Sym("e")))))))
	item.Add(
		exercises.Part{Label: "c", Marks: 1, Boxes: []exercises.Box{{ID: "c", Kind: exercises.ChoiceBox, Options: []exercises.Option{{ID: "within"}, {ID: "outside"}}}}},
		exercises.PartKey{Label: "c", Answers: []exercises.Answer{{Box: "c", Option: "outside"}},
			Working: []exercises.Step{{Rel: &outside, Env: env2}},
			Slips:   []exercises.Slip{{ID: "sign-compared", Name: "sign-compared", Answers: []exercises.SlipAnswer{{Box: "c", Option: "within"}}}}})
	item.Add(number("d", u), key("d", u, env3, formula.Decimal(3, 3)))
	return item
}

// answers reads "a=1.5 b=12.24"; values are parted by a bar where they hold
// spaces: "a=1.5|b=12.24 V".
func answers(s string) map[string]string {
	out := map[string]string{}
	sep := " "
	if strings.Contains(s, "|") {
		sep = "|"
	}
	for _, pair := range strings.Split(s, sep) {
		if id, text, ok := strings.Cut(pair, "="); ok {
			out[id] = text
		}
	}
	return out
}

// TestFollowThrough goes through rule 13. Each carried key is worked out by
// hand beside its row.
func TestFollowThrough(t *testing.T) {
	item := chain(t)
	for _, row := range []struct {
		name, given string
		settled     map[string]Settlement
		want        string // verdict and rule of each box
		least, most int
	}{
		{"all right", "a=-1.5 b=11.76 c=outside d=2.94", nil,
			"CORRECT M7.within, CORRECT M7.within, CORRECT M11.option, CORRECT M7.within", 4, 4},
		{"nothing", "", nil, "BLANK M9.blank, BLANK M9.blank, BLANK M9.blank, BLANK M9.blank", 0, 0},
		{"sign wrong, rest follows: 4 + 16 × 0.515 = 12.24, / 4 = 3.06", "a=1.5 b=12.24 c=outside d=3.06", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, CORRECT M11.option, FOLLOW_THROUGH M13.follow", 3, 3},
		{"within the tolerance of the carried key, closed", "a=1.5 b=12.2485 c=outside d=3.06", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, CORRECT M11.option, FOLLOW_THROUGH M13.follow", 3, 3},
		{"just outside it", "a=1.5 b=12.24851 c=outside", nil,
			"WRONG M7.outside, WRONG M7.outside, CORRECT M11.option, BLANK M9.blank", 1, 1},
		{"the true key first", "a=1.5 b=11.76 c=outside d=2.94", nil,
			"WRONG M7.outside, CORRECT M7.within, CORRECT M11.option, CORRECT M7.within", 3, 3},
		{"begun wrongly in the middle", "a=-1.5 b=12.24 c=outside d=3.06", nil,
			"CORRECT M7.within, WRONG M7.outside, CORRECT M11.option, FOLLOW_THROUGH M13.follow", 3, 3},
		{"follows nothing", "a=1.5 b=13 c=outside d=2", nil,
			"WRONG M7.outside, WRONG M7.outside, CORRECT M11.option, WRONG M7.outside", 1, 1},
		{"not from a blank", "b=12.24 c=outside d=2.94", nil,
			"BLANK M9.blank, WRONG M7.outside, CORRECT M11.option, CORRECT M7.within", 2, 2},
		{"a right answer carried on is no error, and what it does not give is wrong", "a=-1.45 b=12.24 c=outside", nil,
			"CORRECT M7.within, WRONG M7.outside, CORRECT M11.option, BLANK M9.blank", 2, 2},
		{"waits for a query", "a=1.5? b=12.24 c=outside d=2.94", nil,
			"QUERY M5.unknown, WRONG M13.waits, CORRECT M11.option, CORRECT M7.within", 2, 4},
		{"the query settled by a reading", "a=1.5? b=12.24 c=outside d=2.94", map[string]Settlement{"a": {Reads: "1.5"}},
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, CORRECT M11.option, CORRECT M7.within", 3, 3},
		{"the query settled as a blank", "a=1.5? b=12.24 c=outside d=2.94", map[string]Settlement{"a": {Verdict: Blank}},
			"BLANK assessor.settled, WRONG M7.outside, CORRECT M11.option, CORRECT M7.within", 2, 2},
		{"near: −1.60 gives 4 + 16 × 0.484 = 11.744, 0.016 from the key, two tolerances are 0.017", "a=-1.6 b=11.744 c=outside d=2.94", nil,
			"WRONG M7.outside, QUERY M13.near, CORRECT M11.option, CORRECT M7.within", 2, 3},
		{"beyond: −1.61 gives 11.7424, rounded 11.742, 0.018 from the key", "a=-1.61 b=11.742 c=outside d=2.94", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, CORRECT M11.option, CORRECT M7.within", 3, 3},
		{"24 mA is possible: 4 + 16 × 1.25", "a=75 b=24 c=outside d=2.94", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, CORRECT M11.option, CORRECT M7.within", 3, 3},
		{"0 mA is possible: 4 + 16 × (−0.25)", "a=-75 b=0 c=outside d=2.94", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, CORRECT M11.option, CORRECT M7.within", 3, 3},
		{"above 24 mA is not: 4 + 16 × 1.26 = 24.16", "a=76 b=24.16 c=outside d=2.94", nil,
			"WRONG M7.outside, WRONG M13.impossible, CORRECT M11.option, CORRECT M7.within", 2, 2},
		{"below 0 is not: 4 + 16 × (−0.3) = −0.8", "a=-80 b=-0.8 c=outside d=2.94", nil,
			"WRONG M7.outside, WRONG M13.impossible, CORRECT M11.option, CORRECT M7.within", 2, 2},
		{"nor are its volts: 28 / 4 = 7", "a=-1.5 b=28 c=outside d=7", nil,
			"CORRECT M7.within, WRONG M7.outside, CORRECT M11.option, WRONG M13.impossible", 2, 2},
		{"a 0 leaves nothing to do: 4 + 16 × 0.5 = 12", "a=0 b=12 c=outside d=2.94", nil,
			"WRONG M7.outside, WRONG M13.trivial, CORRECT M11.option, CORRECT M7.within", 2, 2},
		{"volts of 0 follow from a loop at 0, trivially", "a=-1.5 b=0 c=outside d=0", nil,
			"CORRECT M7.within, WRONG M7.outside, CORRECT M11.option, WRONG M13.trivial", 2, 2},
		{"two readings of the earlier answer, one leads here: 1.5 or 1500", "a=1,500 b=12.24 c=outside d=2.94", nil,
			"WRONG M7.outside, QUERY M13.which, CORRECT M11.option, CORRECT M7.within", 2, 3},
		{"a choice follows: 0.75 is within 1", "a=-0.75 b=11.88 c=within d=2.94", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, FOLLOW_THROUGH M13.follow, CORRECT M7.within", 3, 3},
		{"a choice right by the key", "a=-0.75 b=11.88 c=outside d=2.94", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, CORRECT M11.option, CORRECT M7.within", 3, 3},
		{"a choice that does not follow", "a=1.5 b=12.24 c=within d=3.06", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, WRONG M11.option, FOLLOW_THROUGH M13.follow", 2, 2},
		{"a choice by one reading of the earlier answer: 1 is within, 1000 is not", "a=1,000 b=11.76 c=within d=2.94", nil,
			"WRONG M7.outside, CORRECT M7.within, QUERY M13.which, CORRECT M7.within", 2, 3},
		{"a wrong unit costs the unit, the number follows", "a=1.5|b=12.24 V|c=outside|d=3.06", nil,
			"WRONG M7.outside, FOLLOW_THROUGH M13.follow, CORRECT M11.option, FOLLOW_THROUGH M13.follow", 3, 3},
		{"too long to carry", "a=0.12345678901234567890123 b=12.0197 c=outside d=2.94", nil,
			"WRONG M7.outside, WRONG M7.outside, CORRECT M11.option, CORRECT M7.within", 2, 2},
		{"beyond the exponent gives nothing to carry", "a=1e40 b=12.24 c=outside d=2.94", nil,
			"WRONG M4.exponent, WRONG M7.outside, CORRECT M11.option, CORRECT M7.within", 2, 2},
	} {
		t.Run(row.name, func(t *testing.T) {
			given := answers(row.given)
			r, err := MarkItem(item, given, Terms{Settled: row.settled})
			if err != nil {
				t.Fatal(err)
			}
			var got []string
			for _, p := range r.Parts {
				for _, b := range p.Boxes {
					got = append(got, string(b.Verdict)+" "+string(b.Rule))
					if b.Text != given[b.Box] {
						t.Errorf("box %s: the text %q became %q", b.Box, given[b.Box], b.Text)
					}
					if (b.Verdict == Query) != (b.Ask != "") {
						t.Errorf("box %s: %s asks %q", b.Box, b.Verdict, b.Ask)
					}
				}
			}
			if s := strings.Join(got, ", "); s != row.want || r.Least != row.least || r.Most != row.most {
				t.Errorf("%s, %d to %d\nwant %s, %d to %d", s, r.Least, r.Most, row.want, row.least, row.most)
			}
		})
	}
	r, _ := MarkItem(item, answers("a=1.5|b=12.24 V|c=outside|d=3.06"), Terms{})
	if !r.UnitLost || r.FiguresLost {
		t.Errorf("unit lost %v, figures lost %v", r.UnitLost, r.FiguresLost)
	}
	b := r.Parts[1].Boxes[0]
	if b.Follow == nil || !slices.Equal(b.Follow.From, []string{"a"}) || b.Follow.Key.Cmp(rat(t, "12.24")) != 0 {
		t.Fatalf("follow %+v", b.Follow)
	}
	if own, _ := b.Follow.Env.Lookup("e"); own.V.Text(2) != "1.50" || own.Decimals != 1 {
		t.Errorf("the working goes on with %+v", own)
	}
}

// Where the key does not say what other numbers would lead to, a choice does
// not follow.
func TestChoicesThatCannotFollow(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(sheet *exercises.Box, key *exercises.PartKey)
		want   Verdict
	}{
		{"two options, one comparison", func(*exercises.Box, *exercises.PartKey) {}, FollowThrough},
		{"three options", func(b *exercises.Box, _ *exercises.PartKey) {
			b.Options = append(b.Options, exercises.Option{ID: "void"})
		}, Wrong},
		{"two comparisons", func(_ *exercises.Box, k *exercises.PartKey) { k.Working = append(k.Working, k.Working[0]) }, Wrong},
		{"no comparison", func(_ *exercises.Box, k *exercises.PartKey) { k.Working = nil }, Wrong},
		{"a comparison that does not hold", func(_ *exercises.Box, k *exercises.PartKey) {
			rel := *k.Working[0].Rel
			rel.Op = formula.Less
			k.Working[0].Rel = &rel
		}, Wrong},
	} {
		item := chain(t)
		row.change(&item.Sheet.Parts[2].Boxes[0], &item.Key.Parts[2])
		r, err := MarkItem(item, answers("a=-0.75 c=within"), Terms{})
		if err != nil {
			t.Fatal(err)
		}
		if got := r.Parts[2].Boxes[0].Verdict; got != row.want {
			t.Errorf("%s: %s, want %s", row.name, got, row.want)
		}
	}
}

// TestSlips goes through rule 14.
func TestSlips(t *testing.T) {
	item := chain(t)
	for _, row := range []struct {
		name, given, box string
		want             string
	}{
		{"one", "a=1.5", "a", "sign"},
		{"another", "a=-3", "a", "divisions-as-percent"},
		{"at the edge of the tolerance", "a=1.555", "a", "sign"},
		{"beyond it", "a=1.556", "a", ""},
		{"right", "a=-1.5", "a", ""},
		{"blank", "", "a", ""},
		{"query", "a=1.5!", "a", ""},
		{"two give it: 4 + 16 × 0.515", "a=-1.5 b=12.24", "b", "wrong-way, sign-dropped"},
		{"only one gives it", "a=-1.5 b=7.76", "b", "live-zero"},
		{"carried: 16 × 0.515 = 8.24", "a=1.5 b=8.24", "b", "live-zero carried"},
		{"what follows is no slip", "a=1.5 b=12.24", "b", ""},
		{"a choice", "c=within", "c", "sign-compared"},
		{"two options", "c=within, outside", "c", ""},
		{"two readings, both wrong", "a=1,500", "a", ""},
	} {
		t.Run(row.name, func(t *testing.T) {
			given := answers(row.given)
			if row.name == "two options" {
				given = map[string]string{"c": "within, outside"}
			}
			r, err := MarkItem(item, given, Terms{})
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range r.Parts {
				for _, b := range p.Boxes {
					if b.Box != row.box {
						continue
					}
					var got []string
					for _, s := range b.Slips {
						name := s.ID
						if s.Carried {
							name += " carried"
						}
						got = append(got, name)
					}
					if s := strings.Join(got, ", "); s != row.want {
						t.Errorf("%s: %q, want %q", b.Verdict, s, row.want)
					}
				}
			}
		})
	}
}

func TestFaultyItems(t *testing.T) {
	for _, row := range []struct {
		name   string
		change func(*exercises.Item)
		given  string
		terms  Terms
		has    string
	}{
		{"no such box", func(*exercises.Item) {}, "q=1", Terms{}, `box "q"`},
		{"settled a box that is not there", func(*exercises.Item) {}, "", Terms{Settled: map[string]Settlement{"q": {}}}, `box "q"`},
		{"settled as a query", func(*exercises.Item) {}, "", Terms{Settled: map[string]Settlement{"a": {Verdict: Query}}}, "decides nothing"},
		{"a part without key", func(i *exercises.Item) { i.Key.Parts = i.Key.Parts[:2] }, "", Terms{}, "4 parts and its key 2"},
		{"a box without answer", func(i *exercises.Item) { i.Key.Parts[0].Answers = nil }, "", Terms{}, "1 boxes and 0 answers"},
		{"another box's answer", func(i *exercises.Item) { i.Key.Parts[0].Answers[0].Box = "b" }, "", Terms{}, `answer of box "b"`},
		{"no formula", func(i *exercises.Item) { i.Key.Parts[0].Answers[0].Def.Expr = nil }, "", Terms{}, "no formula"},
		{"undefined", func(i *exercises.Item) { i.Key.Parts[0].Answers[0].Env = nil }, "", Terms{}, "cannot be worked out"},
		{"tolerance under half a place", func(i *exercises.Item) { i.Key.Parts[0].Answers[0].Tolerance = formula.Decimal(4, 3) }, "", Terms{}, "under half a unit"},
		{"an option that is not there", func(i *exercises.Item) { i.Key.Parts[2].Answers[0].Option = "maybe" }, "", Terms{}, `"maybe"`},
		{"a later box feeds an earlier", func(i *exercises.Item) {
			env := i.Key.Parts[1].Answers[0].Env
			i.Key.Parts[1].Answers[0].Env = env.With(formula.Binding{Sym: "e", V: formula.Ratio(-3, 2), From: "d"})
		}, "b=12.24", Terms{}, "does not come before"},
		{"an unknown kind", func(i *exercises.Item) { i.Sheet.Parts[0].Boxes[0].Kind = "song" }, "", Terms{}, "song"},
	} {
		item := chain(t)
		row.change(&item)
		if _, err := MarkItem(item, answers(row.given), row.terms); err == nil || !strings.Contains(err.Error(), row.has) {
			t.Errorf("%s: %v, want %q", row.name, err, row.has)
		}
	}
}
