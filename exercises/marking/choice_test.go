package marking

import (
	"slices"
	"testing"
)

// TestChoice goes through rule 11.
func TestChoice(t *testing.T) {
	q := Question{Choice: &Choice{Right: "low", Options: []Option{
		{ID: "low", Names: []string{"reads low", "Too low, by more than the tolerance."}},
		{ID: "high", Names: []string{"reads high"}},
		{ID: "zero", Names: []string{"−5 %"}},
	}}}
	for _, row := range []struct {
		name, text string
		verdict    Verdict
		rule       Rule
	}{
		{"id", "low", Correct, RuleOption},
		{"case, spaces, point", " Reads\u00a0 LOW. ", Correct, RuleOption},
		{"option with a comma and point", "too low, by more than the tolerance", Correct, RuleOption},
		{"wrong option", "high", Wrong, RuleOption},
		{"minus signs", "-5 %", Wrong, RuleOption},
		{"two options", "low, high", Wrong, RuleTwoOptions},
		{"two options in words", "low or high", Wrong, RuleTwoOptions},
		{"the same twice", "low / reads low", Correct, RuleOption},
		{"an option and more", "low, I think", Query, RuleNoOption},
		{"beginning of an option", "lo", Query, RuleNoOption},
		{"two points", "low..", Query, RuleNoOption},
		{"hidden", "low\u200b", Query, RuleHidden},
		{"nothing", " ", Blank, RuleBlank},
		{"dash", "–", Blank, RuleBlank},
	} {
		r, err := Judge(q, row.text)
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict != row.verdict || r.Rule != row.rule {
			t.Errorf("%s: %s by %s, want %s by %s", row.name, r.Verdict, r.Rule, row.verdict, row.rule)
		}
	}
}

// TestOrder goes through rule 12. Steps: tell the operator, controller to
// manual, check cell and mechanical zero in any order, then read. τ by hand:
// (pairs alike − pairs against) / 10, and with n tied steps over
// √((10 − n(n − 1)/2) · 10).
func TestOrder(t *testing.T) {
	q := Question{Order: &Order{
		Steps:  []Option{{ID: "t", Names: []string{"tell the operator"}}, {ID: "m"}, {ID: "c"}, {ID: "z"}, {ID: "r"}},
		Before: [][2]string{{"m", "c"}, {"m", "z"}, {"c", "r"}, {"z", "r"}},
		Safety: [][2]string{{"t", "m"}},
		Marks:  10,
	}}
	for _, row := range []struct {
		name, text string
		verdict    Verdict
		rule       Rule
		marks      int
		move       []string
		omitted    []string
	}{
		{"right", "t m c z r", Correct, RuleOrder, 10, nil, nil},
		{"right the other way round", "T, M, Z, C, R.", Correct, RuleOrder, 10, nil, nil},
		{"right, run together", "tmczr", Correct, RuleOrder, 10, nil, nil},
		{"right, by names", "Tell the operator > m > c > z > r", Correct, RuleOrder, 10, nil, nil},
		{"one pair against: τ (9 − 1)/10, either could move", "t m c r z", Wrong, RuleOrder, 8, []string{"z"}, nil},
		{"two pairs against: τ 0.6", "t m r c z", Wrong, RuleOrder, 6, []string{"r"}, nil},
		{"wholly turned breaks safety, z and c may stay", "r z c m t", Wrong, RuleSafety, 0, []string{"r", "m", "t"}, nil},
		{"manual before telling", "m t c z r", Wrong, RuleSafety, 0, []string{"t"}, nil},
		{"telling left out", "m c z r", Wrong, RuleSafety, 0, nil, []string{"t"}},
		{"both of a safety pair left out", "c z r", Wrong, RuleSafety, 0, nil, []string{"t", "m"}},
		{"one left out counts as last: τ 1, four of five given", "t m c z", Wrong, RuleOrder, 8, nil, []string{"r"}},
		{"two left out: τ_b 9/√90 = 0.949, three of five", "t m c", Wrong, RuleOrder, 5, nil, []string{"z", "r"}},
		{"left out from the middle: r before z, τ 0.8, four of five", "t m c r", Wrong, RuleOrder, 6, nil, []string{"z"}},
		{"numbers beside the steps", "1, 2, 4, 3, 5", Correct, RuleOrder, 10, nil, nil},
		{"a number is missing", "1 2 - 3 4", Wrong, RuleOrder, 6, nil, []string{"c"}},
		{"a number twice", "1 2 3 3 4", Query, RuleNoStep, 0, nil, nil},
		{"numbers as a page saves what is no order", "t=1, m=2, c=3, z=3, r=4", Query, RuleNoStep, 0, nil, nil},
		{"twice the same", "t t m c z r", Query, RuleNoStep, 0, nil, nil},
		{"a step nobody knows", "t m q z r", Query, RuleNoStep, 0, nil, nil},
		{"nothing", "-", Blank, RuleBlank, 0, nil, nil},
	} {
		t.Run(row.name, func(t *testing.T) {
			r, err := Judge(q, row.text)
			if err != nil {
				t.Fatal(err)
			}
			if r.Verdict != row.verdict || r.Rule != row.rule {
				t.Fatalf("%s by %s, want %s by %s", r.Verdict, r.Rule, row.verdict, row.rule)
			}
			if r.Order == nil {
				return
			}
			o := *r.Order
			if o.Marks != row.marks || !slices.Equal(o.Move, row.move) || !slices.Equal(o.Omitted, row.omitted) {
				t.Errorf("%d marks, move %q, omitted %q; want %d, %q, %q (nearest %q)", o.Marks, o.Move, o.Omitted, row.marks, row.move, row.omitted, o.Nearest)
			}
		})
	}
}

// The mark is rounded down on exact numbers: τ_b of three steps of five in
// their order is (9 − 0)/√(9 × 10) = 0.9487; the factor for steps left out is 1 here.
func TestOrderMarks(t *testing.T) {
	for _, row := range []struct{ marks, want int }{{1, 0}, {10, 9}, {100, 94}, {1000, 948}} {
		if got := share(Pairs{All: 10, Alike: 9, TiedX: 1}, row.marks, 5, 5); got != row.want {
			t.Errorf("of %d: %d, want %d", row.marks, got, row.want)
		}
	}
	for _, row := range []struct {
		name string
		p    Pairs
		want int
	}{
		{"an exact step: τ 0.6 of 5", Pairs{All: 10, Alike: 8, Against: 2}, 3},
		{"τ 0", Pairs{All: 10, Alike: 5, Against: 5}, 0},
		{"below 0", Pairs{All: 10, Against: 10}, 0},
		{"all of them", Pairs{All: 10, Alike: 10}, 5},
	} {
		if got := share(row.p, 5, 5, 5); got != row.want {
			t.Errorf("%s: %d, want %d", row.name, got, row.want)
		}
	}
}

// Against every order that five steps allow, tried one by one.
func TestNearestOrder(t *testing.T) {
	before := []uint{0, 1, 1, 0b110, 0} // 1 and 2 after 0, 3 after both, 4 free
	var all [][]int
	var grow func(done uint, order []int)
	grow = func(done uint, order []int) {
		if len(order) == len(before) {
			all = append(all, slices.Clone(order))
			return
		}
		for i := range before {
			if done&(1<<i) == 0 {
				grow(done|1<<i, append(order, i))
			}
		}
	}
	grow(0, nil)
	allowed := slices.DeleteFunc(slices.Clone(all), func(order []int) bool {
		var done uint
		for _, i := range order {
			if before[i]&^done != 0 {
				return true
			}
			done |= 1 << i
		}
		return false
	})
	if len(all) != 120 || len(allowed) != 10 { // 2 orders of the four, the free one in 5 places
		t.Fatalf("%d orders, %d allowed", len(all), len(allowed))
	}
	against := func(place, order []int) int {
		rank := make([]int, len(order))
		for p, i := range order {
			rank[i] = p
		}
		p, _ := Compare(place, rank)
		return p.Against
	}
	for _, given := range all {
		for left := 0; left < 3; left++ { // the last ones left out
			place := make([]int, len(given))
			for p, i := range given {
				place[i] = min(p, len(given)-left)
			}
			best := 10
			for _, order := range allowed {
				best = min(best, against(place, order))
			}
			if got := nearest(place, before); against(place, got) != best ||
				!slices.ContainsFunc(allowed, func(o []int) bool { return slices.Equal(o, got) }) {
				t.Fatalf("given %v without the last %d: nearest %v with %d against, want %d", given, left, got, against(place, got), best)
			}
		}
	}
}
