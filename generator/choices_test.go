package generator

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"loopdrill/exercises"
)

// choices counts, for every set of options that a part can have, which of them
// is right and which wrong ones no slip leads to.
type choices map[string]*choice

type choice struct {
	draws   int
	right   map[string]int
	options []string
	bare    map[string]int // wrong options for which no slip stands
}

func (c choices) note(part exercises.Part, key exercises.PartKey) {
	for i, box := range part.Boxes {
		if box.Kind != exercises.ChoiceBox {
			continue
		}
		var ids []string
		for _, o := range box.Options {
			ids = append(ids, o.ID)
		}
		slices.Sort(ids)
		name := box.ID + ": " + strings.Join(ids, ", ")
		if c[name] == nil {
			c[name] = &choice{right: map[string]int{}, options: ids, bare: map[string]int{}}
		}
		c[name].draws++
		c[name].right[key.Answers[i].Option]++
		for _, id := range ids {
			if id != key.Answers[i].Option && !slipLeadsTo(key, box.ID, id) {
				c[name].bare[id]++
			}
		}
	}
}

func slipLeadsTo(key exercises.PartKey, box, option string) bool {
	for _, s := range key.Slips {
		for _, a := range s.Answers {
			if a.Box == box && a.Option == option {
				return true
			}
		}
	}
	return false
}

func (c choices) String() string {
	var lines []string
	for name, x := range c {
		lines = append(lines, fmt.Sprintf("%s: %d draws, right %v, without a slip %v", name, x.draws, x.right, x.bare))
	}
	slices.Sort(lines)
	return strings.Join(lines, "\n")
}

// hold wants every option right in at least 2 % of the draws that show it,
// none more than 10 points above its share, and a slip for each wrong one. A
// set of options that rarely comes up is left to the faults behind it.
func (c choices) hold(t *testing.T, family string, draws int) {
	for name, x := range c {
		for id, n := range x.bare {
			t.Errorf("%s: no slip leads to %q in %d of %d draws", name, id, n, x.draws)
		}
		if 20*x.draws < draws {
			continue
		}
		share := 1 / float64(len(x.options))
		for _, id := range x.options {
			right, room := float64(x.right[id])/float64(x.draws), chance(x.draws)
			if right+room/3 < 0.02 || right > share+0.10+room {
				t.Errorf("%s: %q is right in %.1f %% of draws, its share is %.1f %%", name, id, 100*right, 100*share)
			}
		}
	}
}

// chance is the room that few draws need: three standard deviations of a share
// near a half in them. The whole run of TestPromises gives none.
func chance(draws int) float64 {
	if draws >= 10000 {
		return 0
	}
	return 1.5 / math.Sqrt(float64(draws))
}
