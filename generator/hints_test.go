package generator

import (
	"cmp"
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
)

// guessers are people who know nothing of the trade and look at the options
// alone.
var guessers = []struct {
	name string
	of   func(options []exercises.Option) int
}{
	{"the first", func([]exercises.Option) int { return 0 }},
	{"the last", func(o []exercises.Option) int { return len(o) - 1 }},
	{"the longest", func(o []exercises.Option) int { return extreme(o, length) }},
	{"the shortest", func(o []exercises.Option) int { return extreme(o, func(o exercises.Option) int { return -length(o) }) }},
	{"the one with most figures", func(o []exercises.Option) int { return extreme(o, figures) }},
	{"the one with fewest figures", func(o []exercises.Option) int { return extreme(o, func(o exercises.Option) int { return -figures(o) }) }},
	{"the second", func(o []exercises.Option) int { return min(1, len(o)-1) }},
}

func length(o exercises.Option) int { return utf8.RuneCountInString(o.Text.Plain()) }

func figures(o exercises.Option) int {
	n := 0
	for _, r := range o.Text.Plain() {
		if r >= '0' && r <= '9' {
			n++
		}
	}
	return n
}

// extreme gives the only option with the largest value, or -1: of two alike
// nobody can choose.
func extreme(o []exercises.Option, value func(exercises.Option) int) int {
	best := 0
	for i := range o {
		if value(o[i]) > value(o[best]) {
			best = i
		}
	}
	for i := range o {
		if i != best && value(o[i]) == value(o[best]) {
			return -1
		}
	}
	return best
}

// TestOptionsGiveNoHint lets the guessers answer every choice of every family
// at every level: none is right more than ten points above its share.
func TestOptionsGiveNoHint(t *testing.T) {
	n := 3000
	switch {
	case raceEnabled:
		n = 50 // too few to hold anything
	case testing.Short():
		n = 600
	}
	for _, e := range testCourse().Exercises {
		t.Run(e.ID, func(t *testing.T) {
			t.Parallel()
			plan, _ := families.Named(e.Family).Prepare(e)
			type count struct {
				draws, options int
				right          []int // by guesser
			}
			boxes := map[string]*count{}
			for _, u := range Points(uint64(e.Number)+77, 2*n) {
				item, err := Try(plan, u)
				if err != nil {
					continue
				}
				for i, part := range item.Sheet.Parts {
					for j, box := range part.Boxes {
						if box.Kind == exercises.ChoiceBox {
							id := box.ID + " of " + optionSet(box.Options)
							c := boxes[id]
							if c == nil {
								c = &count{options: len(box.Options), right: make([]int, len(guessers))}
								boxes[id] = c
							}
							c.draws++
							for g := range guessers {
								if k := guessers[g].of(box.Options); k >= 0 && box.Options[k].ID == item.Key.Parts[i].Answers[j].Option {
									c.right[g]++
								}
							}
						}
					}
				}
			}
			all := 0
			for _, c := range boxes {
				all = max(all, c.draws)
			}
			for id, c := range boxes {
				if 10*c.draws < all || c.draws < 150 {
					continue
				}
				for g := range guessers {
					if got, share := float64(c.right[g])/float64(c.draws), 1/float64(c.options); got > share+0.10+chance(c.draws) {
						t.Errorf("box %s: %s is right in %.0f %% of %d draws, its share is %.0f %%", id, guessers[g].name, 100*got, c.draws, 100*share)
					}
				}
			}
		})
	}
}

// optionSet names the options of a box, whatever their order.
func optionSet(options []exercises.Option) string {
	o := slices.SortedFunc(slices.Values(options), func(a, b exercises.Option) int { return cmp.Compare(a.ID, b.ID) })
	var ids []string
	for _, x := range o {
		ids = append(ids, x.ID)
	}
	return strings.Join(ids, ", ")
}
