package render

import (
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
)

func TestFaceWords(t *testing.T) {
	for name, row := range map[string]struct {
		needle loop.Needle
		lever  string
		want   string
	}{
		"centre":               {loop.Needle{}, "Current", "needle on the centre mark"},
		"at rest":              {loop.Needle{}, "Rest", "needle on the centre mark"},
		"rest off centre":      {loop.Needle{Code: 2}, "Rest", "needle two small marks right of centre"},
		"one small mark":       {loop.Needle{Code: -1}, "Current", "needle one small mark left of centre"},
		"before a division":    {loop.Needle{Code: 4}, "Current", "needle four small marks right of centre"},
		"on a division":        {loop.Needle{Code: -10}, "Current", "needle on the second division mark left of centre"},
		"between":              {loop.Needle{Code: -13}, "Current", "needle three small marks left of the second division mark left of centre"},
		"last mark":            {loop.Needle{Code: 50}, "Current", "needle on the tenth division mark right of centre"},
		"left stop":            {loop.Needle{Code: -50, Stop: loop.LeftStop}, "Current", "needle resting on its left stop"},
		"right stop":           {loop.Needle{Code: 50, Stop: loop.RightStop}, "Voltage", "needle resting on its right stop"},
		"cell position":        {loop.Needle{Code: 27}, "Cell", "needle two small marks right of the fifth division mark right of centre; cell line on the sixth division mark right of centre"},
		"code beyond the stop": {loop.Needle{Code: -60}, "Current", "needle resting on its left stop"},
	} {
		f := exercises.Face{Design: usual, Lever: row.lever, Needle: row.needle, CellLine: true}
		if got := FaceWords(f); got != row.want {
			t.Errorf("%s: %q, want %q", name, got, row.want)
		}
	}
}

var (
	stopWords = regexp.MustCompile(`^resting on its (left|right) stop$`)
	markWords = regexp.MustCompile(`^(?:on|([a-z0-9]+) small marks? (left|right) of)(?: the ([a-z0-9]+) division mark (left|right) of)? centre$`)
)

// listen turns the words back into a needle, as somebody does who hears them.
func listen(t *testing.T, words string, design scenarios.Face) loop.Needle {
	t.Helper()
	words, _, _ = strings.Cut(words, ";")
	words = strings.TrimPrefix(words, "needle ")
	if m := stopWords.FindStringSubmatch(words); m != nil {
		if m[1] == "left" {
			return loop.Needle{Code: -design.Stop(), Stop: loop.LeftStop}
		}
		return loop.Needle{Code: design.Stop(), Stop: loop.RightStop}
	}
	if words == "on the centre mark" {
		return loop.Needle{}
	}
	m := markWords.FindStringSubmatch(words)
	if m == nil {
		t.Fatalf("not understood: %q", words)
	}
	count := func(s string, list []string) int {
		if s == "" {
			return 0
		}
		if i := slices.Index(list, s); i >= 0 {
			return i
		}
		n, err := strconv.Atoi(strings.TrimRight(s, "stndrh"))
		if err != nil {
			t.Fatalf("not a number: %q", s)
		}
		return n
	}
	code := count(m[3], ordinals)*design.SmallPerDiv + count(m[1], cardinals)
	side := m[4]
	if side == "" {
		side = m[2]
	}
	if m[2] != "" && m[2] != side {
		t.Fatalf("two sides: %q", words)
	}
	if side == "left" {
		code = -code
	}
	return loop.Needle{Code: code}
}

func TestWordsAreHeardBack(t *testing.T) {
	forbidden := regexp.MustCompile(`(?i)%|percent|per cent|low|high|\bunit|\bmA\b|\bV\b|volt|milli|kPa|psi|good|bad|weak`)
	for name, design := range designs {
		for _, lever := range []string{"Rest", "Current", "Cell"} {
			for _, n := range needles(design) {
				words := FaceWords(exercises.Face{Design: design, Lever: lever, Ring: 75, Needle: n, CellLine: true})
				if got := listen(t, words, design); got != n {
					t.Errorf("%s: %+v said as %q is heard as %+v", name, n, words, got)
				}
				if bad := forbidden.FindString(words); bad != "" {
					t.Errorf("%s: %q says %q", name, words, bad)
				}
			}
		}
	}
}

func TestOrdinals(t *testing.T) {
	for n, want := range map[int]string{1: "first", 20: "twentieth", 21: "21st", 22: "22nd", 23: "23rd", 24: "24th", 111: "111th", 112: "112th", 121: "121st"} {
		if got := ordinal(n); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}
