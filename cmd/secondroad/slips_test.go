package secondroad

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"loopdrill/exercises"
)

// seen names a slip: the family, the task of the part, and its id.
type seen struct{ family, task, id string }

func (k seen) String() string { return k.family + ", " + k.task + ": " + k.id }

// landing counts how one apprentice fared: how often his slip was in a key.
type landing struct{ met int }

func (l *landing) add(m *landing) {
	l.met += m.met
}

// several are the slips that stand for more than one wrong option: who makes
// them may take any of these.
var several = map[string]func(s sheet, p part) ([]string, error){
	"cell-not-checked": func(s sheet, p part) ([]string, error) {
		c, err := s.seeCheck()
		if err != nil {
			return nil, err
		}
		return blind(p, c)
	},
	"sizes-not-compared": func(sheet, part) ([]string, error) {
		return []string{atPoint(0), atPoint(25), atPoint(50), atPoint(75), atPoint(100)}, nil
	},
	"adjusted-inside": func(sheet, part) ([]string, error) {
		return []string{"raise the zero", "lower the zero", "raise the span", "lower the span"}, nil
	},
}

// everySlip lists the slips that we have an apprentice for.
func everySlip() map[seen]apprentice {
	out := map[seen]apprentice{}
	for id, a := range scalingSlips {
		out[seen{"scale-it", "scaling", id}] = a
	}
	for family, all := range map[string]map[string]apprentice{"read-the-needle": needleSlips, "five-point-check": checkSlips} {
		for name, a := range all {
			task, id, _ := strings.Cut(name, "/")
			out[seen{family, task, id}] = a
		}
	}
	return out
}

var slipsOnce = sync.OnceValue(everySlip)

// apprentices lets each apprentice of a slip in the key work his part of an
// exercise, and checks that what he writes is what the key says of his slip,
// and neither the right answer nor what another slip gives.
func apprentices(s sheet, k keyOf, mine replies, count map[seen]*landing) []string {
	var out []string
	if r := s.road(); r != nil {
		return r.apprentices(s, k, mine, count)
	}
	for i, p := range s.parts {
		key := k.item.Key.Parts[i]
		task := ""
		switch {
		case len(s.loops) > 0:
			task = "scaling"
		case len(s.stations) > 0:
			task = p.checkTask()
		default:
			task = p.task()
		}
		done := map[string]bool{}
		for _, sl := range key.Slips {
			if done[sl.ID] {
				continue
			}
			done[sl.ID] = true
			name := seen{k.group.family, task, sl.ID}
			if count[name] == nil {
				count[name] = &landing{}
			}
			n := count[name]
			n.met++
			err := tryOne(s, p, key, name, slipsOnce()[name], mine)
			if err != nil {
				out = append(out, fmt.Sprintf("(%s) %v: %v", p.label, name, err))
			}
		}
	}
	return out
}

// tryOne lets one apprentice work one part.
func tryOne(s sheet, p part, key exercises.PartKey, name seen, who apprentice, mine replies) error {
	id := name.id
	if f := several[id]; f != nil {
		words, err := f(s, p)
		if err != nil {
			return err
		}
		var his, keys []string
		for _, w := range words {
			r, err := p.choose(w)
			if err != nil {
				return err
			}
			his = append(his, r.option)
		}
		for _, sl := range key.Slips {
			if sl.ID == id {
				keys = append(keys, sl.Answers[0].Option)
			}
		}
		slices.Sort(his)
		slices.Sort(keys)
		if id == "sizes-not-compared" { // what no nearer misconception leads to
			his = slices.DeleteFunc(his, func(o string) bool { return !slices.Contains(keys, o) })
		}
		if !slices.Equal(his, keys) || slices.Contains(his, key.Answers[0].Option) {
			return fmt.Errorf("whoever makes it marks one of %q, the key says %q", his, keys)
		}
		return nil
	}
	if who == nil {
		return fmt.Errorf("nobody makes this slip")
	}
	his, err := who(s, p)
	if err != nil {
		return err
	}
	full := replies{}
	for _, a := range key.Answers {
		full[a.Box] = mine[a.Box]
		if r, ok := his[a.Box]; ok {
			full[a.Box] = r
		}
	}
	if meets(full, key, nil) {
		return fmt.Errorf("whoever makes it answers rightly: %v", full)
	}
	landed := false
	for i := range key.Slips {
		sl := &key.Slips[i]
		hit := meets(full, key, sl)
		if sl.ID == id {
			landed = landed || hit
		} else if hit {
			return fmt.Errorf("whoever makes it answers what %s gives", sl.ID)
		}
	}
	if !landed {
		for _, sl := range key.Slips {
			if sl.ID == id {
				return fmt.Errorf("he writes %v, the key says %s", full, answersOf(sl))
			}
		}
	}
	return nil
}

func answersOf(sl exercises.Slip) string {
	out := ""
	for _, a := range sl.Answers {
		out += fmt.Sprintf(" %s=%v%s", a.Box, a.Value.Float64(), a.Option)
	}
	return out
}

// meets says whether answers lie within the tolerances of what a slip gives;
// of the right answers where sl is nil. Written answers are rounded first.
func meets(full replies, key exercises.PartKey, sl *exercises.Slip) bool {
	for _, a := range key.Answers {
		value, option := a.Value, a.Option
		if sl != nil {
			for _, x := range sl.Answers {
				if x.Box == a.Box {
					value, option = x.Value, x.Option
				}
			}
		}
		r := full[a.Box]
		if a.Order != nil {
			if !r.order.meets(a, sl) {
				return false
			}
			continue
		}
		if a.Def.Expr == nil && a.Option == "" {
			continue // words for a person to judge
		}
		if r.option != option {
			return false
		}
		if option == "" && math.Abs(rounded(r.number, a.Def.Decimals)-value.Float64()) > a.Tolerance.Float64()+1e-9 {
			return false
		}
	}
	return true
}
