package marking

import (
	"fmt"
	"strings"
)

// tidyWords normalises an option and an answer to a choice alike: spaces,
// look-alikes, minus signs, one final point, case.
func tidyWords(text string) (t string, rule Rule, ok bool) {
	t, rule, ok = tidy(text)
	if !ok {
		return "", rule, false
	}
	t = strings.TrimSpace(strings.TrimSuffix(string(marks(t)), "."))
	// Upper first: some letters have two lower-case forms and one capital.
	return strings.ToLower(strings.ToUpper(t)), "", true
}

func (c *Choice) judge(text string) Result {
	names, _ := named(c.Options) // Check has seen it
	t, rule, ok := tidyWords(text)
	if !ok {
		return unread(text, rule)
	}
	if i, ok := names[t]; ok {
		return c.chosen(text, i)
	}
	if whole, _, _ := tidy(text); isBlank(whole) {
		return Result{Text: text, Verdict: Blank, Rule: RuleBlank}
	}
	if several := options(t, names); len(several) == 1 {
		return c.chosen(text, several[0])
	} else if len(several) > 1 {
		r := Result{Text: text, Verdict: Wrong, Rule: RuleTwoOptions}
		for _, i := range several {
			r.Readings = append(r.Readings, Reading{Text: c.Options[i].ID, Verdict: Wrong, Rule: RuleTwoOptions})
		}
		return r
	}
	ask := "it is none of the options"
	for i, o := range c.Options {
		sep := ", "
		if i == 0 {
			sep = " "
		}
		ask += fmt.Sprintf("%s%q", sep, o.ID)
	}
	return query(text, RuleNoOption, ask+"; which is meant, if any?")
}

func (c *Choice) chosen(text string, i int) Result {
	r := Result{Text: text, Verdict: Wrong, Rule: RuleOption}
	if c.Options[i].ID == c.Right {
		r.Verdict, r.NumberRight = Correct, true
	}
	r.Readings = []Reading{{Text: c.Options[i].ID, Verdict: r.Verdict, Rule: RuleOption}}
	return r
}

// options finds several options in one text: everything in it is an option.
// Each is listed once.
func options(t string, names map[string]int) []int {
	for _, word := range []string{" or ", " and "} {
		t = strings.ReplaceAll(t, word, ";")
	}
	var out []int
	seen := map[int]bool{}
	for _, piece := range strings.FieldsFunc(t, func(r rune) bool { return strings.ContainsRune(";,/&+|", r) }) {
		i, ok := names[strings.TrimSpace(piece)]
		if !ok {
			return nil
		}
		if !seen[i] {
			seen[i] = true
			out = append(out, i)
		}
	}
	return out
}
