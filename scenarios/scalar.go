package scenarios

import (
	"errors"
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/unit"
)

// trouble is what is wrong with a scalar.
type trouble struct{ rule, what, hint string }

func (t *trouble) Error() string { return t.what }

var (
	idForm  = regexp.MustCompile(`^[a-z][a-z0-9]*(-[a-z0-9]+)*$`)
	tagForm = regexp.MustCompile(`^[A-Z]{2,5}-[0-9]{1,6}[A-Z]?$`)
)

// longestText is the most characters that a title or a name may have: it must
// fit a heading and a table.
const longestText = 200

// parse reads a scalar into v.
func (v *value) parse(s string) *trouble {
	v.text = s
	bad := func(hint string) *trouble {
		return &trouble{RuleValue, fmt.Sprintf("%q is not %s", shorten(s), v.key.Type.says()), hint}
	}
	switch v.key.Type {
	case TypeText:
		switch {
		case strings.ContainsFunc(s, hidden):
			return &trouble{RuleValue, "there is an invisible character in this text, from a \"\\\" between double quotes", `put the text between ' ' instead, where a back slash is a back slash`}
		case strings.TrimSpace(s) == "":
			return &trouble{RuleValue, "there are no words here", exampleHint(v.key, "")}
		case utf8.RuneCountInString(s) > longestText:
			return &trouble{RuleValue, fmt.Sprintf("%d characters are too many for a line of print", utf8.RuneCountInString(s)), fmt.Sprintf("at most %d are read", longestText)}
		}
		v.text = strings.Join(strings.Fields(s), " ")
	case TypeLabel:
		if strings.ContainsFunc(s, hidden) {
			return &trouble{RuleValue, "there is an invisible character in this text, from a \"\\\" between double quotes", `put the text between ' ' instead, where a back slash is a back slash`}
		}
	case TypeID:
		if !idForm.MatchString(s) || len(s) > 60 {
			hint := "write lower-case words joined by hyphens, such as " + v.key.Example
			if fixed := kebab(s); fixed != "" && fixed != s {
				hint = fmt.Sprintf("write it as %q", fixed)
			}
			return bad(hint)
		}
	case TypeTag:
		if !tagForm.MatchString(s) {
			hint := "write the letters, a hyphen and the number, such as LT-2104"
			if fixed := asTag(s); fixed != "" {
				hint = fmt.Sprintf("write it as %q", fixed)
			} else if words := strings.Fields(s); len(words) > 1 && tagForm.MatchString(words[0]) {
				hint = fmt.Sprintf("put a comma between: %q", strings.Join(words, ", "))
			}
			return bad(hint)
		}
	case TypePath:
		return v.path(s)
	case TypeChoice:
		for _, w := range v.key.Words {
			if s == w {
				return nil
			}
		}
		hint := diag.Hint(s, "permitted are", v.key.Words)
		if w := wordIn(s, v.key.Words); w != "" {
			hint = fmt.Sprintf("did you mean %q?", w)
		}
		return &trouble{RuleUnknownName, fmt.Sprintf("%q is not known here", shorten(s)), hint}
	case TypeWhole:
		return v.number(s)
	case TypeQuantity:
		return v.amount(s)
	case TypePosition:
		return v.position(s)
	case TypeDate:
		return v.date(s)
	case TypeRange:
		r, err := unit.ParseRange(s)
		if err != nil {
			return mistake(RuleRange, err)
		}
		if t := v.dimension(r.Unit, s); t != nil {
			return t
		}
		v.rng = r
	}
	return nil
}

var digitRun = regexp.MustCompile(`[1-9][0-9]{0,5}`)

// wordIn finds the one permitted word that stands among others: "receiver" in
// "across the receiver". It gives "" for none, and for two.
func wordIn(s string, words []string) string {
	found := ""
	for _, f := range strings.Fields(strings.ToLower(s)) {
		for _, w := range words {
			if f == strings.ToLower(w) && found != w {
				if found != "" {
					return ""
				}
				found = w
			}
		}
	}
	return found
}

func (v *value) number(s string) *trouble {
	digits := strings.TrimPrefix(s, "-")
	if len(digits) > 1 && digits[0] == '0' && strings.Trim(digits, "0123456789") == "" {
		return &trouble{RuleOctal, fmt.Sprintf("%q has a leading zero, which some programs read as octal", shorten(s)), "leave out the leading zeros"}
	}
	n, err := strconv.Atoi(s)
	if err != nil || strings.HasPrefix(s, "+") {
		eg := v.key.Example
		if d := digitRun.FindString(s); d != "" && !strings.ContainsAny(s, ".,") {
			eg = d
		}
		return &trouble{RuleValue, fmt.Sprintf("%q is not a whole number", shorten(s)), "write it in digits alone, such as " + eg}
	}
	low, _ := strconv.Atoi(v.key.Low)
	high, _ := strconv.Atoi(v.key.High)
	if v.key.Low != "" && n < low || v.key.High != "" && n > high {
		return &trouble{RuleBounds, fmt.Sprintf("%d lies outside what is permitted, %s", n, limits(v.key)), fmt.Sprintf("the nearest permitted is %d", min(max(n, low), high))}
	}
	v.whole = n
	return nil
}

func (v *value) amount(s string) *trouble {
	q, err := unit.Parse(s)
	if err != nil {
		rule := RuleQuantity
		if strings.Contains(err.Error(), "octal") {
			rule = RuleOctal
		}
		return mistake(rule, err)
	}
	if t := v.dimension(q.Unit, s); t != nil {
		return t
	}
	for i, limit := range []string{v.key.Low, v.key.High} {
		if limit == "" {
			continue
		}
		bound, err := unit.Parse(limit)
		if err != nil {
			panic("scenarios: the limit of " + v.key.Name + " is wrong: " + err.Error())
		}
		if bound.Unit.Dimension != q.Unit.Dimension {
			continue
		}
		b, _ := bound.Convert(q.Unit)
		if d := q.V.Sub(b).Sign(); i == 0 && d < 0 || i == 1 && d > 0 {
			return &trouble{RuleBounds, fmt.Sprintf("%s lies outside what is permitted, %s", q, limits(v.key)), "the nearest permitted is " + limit}
		}
	}
	v.quantity = q
	return nil
}

func limits(k *Key) string {
	switch {
	case k.Low == "":
		return "at most " + k.High
	case k.High == "":
		return "at least " + k.Low
	}
	return k.Low + " to " + k.High
}

// dimension checks that a unit measures what the key wants.
func (v *value) dimension(u unit.Unit, s string) *trouble {
	for _, d := range v.key.Units {
		if d == u.Dimension {
			return nil
		}
	}
	var want, names []string
	for _, d := range v.key.Units {
		want = append(want, article(d.String()))
		n := 0
		for _, x := range unit.All() {
			if x.Dimension == d && (len(v.key.Units) < 3 && len(names) < 8 || len(v.key.Units) >= 3 && n < 2) {
				names = append(names, x.Name())
				n++
			}
		}
	}
	if len(want) > 3 {
		want = []string{"another quantity"}
	}
	is := "has no unit"
	if u.Dimension != unit.Number {
		is = "is " + article(u.Dimension.String())
	}
	hint := fmt.Sprintf("such as %s; units that fit: %s", v.key.Example, strings.Join(names, ", "))
	if u.Dimension == unit.Number && v.key.Type == TypeQuantity {
		if eg, err := unit.Parse(v.key.Example); err == nil {
			hint = fmt.Sprintf("write %q, if that is what is meant; units that fit: %s", strings.TrimSpace(s)+" "+eg.Unit.Name(), strings.Join(names, ", "))
		}
	}
	if u.Dimension == unit.Percent && len(v.key.Units) == 1 && v.key.Units[0] == unit.PercentOfSpan {
		hint = fmt.Sprintf("say of what the percentage is taken: %q", strings.TrimSpace(strings.TrimSuffix(strings.TrimSpace(s), "%"))+" %span")
	}
	return &trouble{RuleUnit, fmt.Sprintf("%q %s; %s is wanted here", s, is, strings.Join(want, " or ")), hint}
}

// mistake carries over what package unit found.
func mistake(rule string, err error) *trouble {
	var m *unit.Mistake
	if errors.As(err, &m) {
		return &trouble{rule, m.What, m.Hint}
	}
	return &trouble{rule, err.Error(), ""}
}

// hidden says whether a character would not show in print, or would change how
// the others do.
func hidden(r rune) bool {
	return unicode.IsControl(r) && r != '\n' && r != '\t' || r == 0x2028 || r == 0x2029 || r == 0xfeff || r >= 0x202a && r <= 0x202e || r >= 0x2066 && r <= 0x2069
}

func notFinite(s string) bool {
	s = strings.ToLower(strings.TrimLeft(s, "+-"))
	return s == ".nan" || s == ".inf"
}

// kebab makes an id of words, or gives "" where nothing is left.
func kebab(s string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(s) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9' && b.Len() > 0:
			b.WriteRune(r)
		case b.Len() > 0 && !strings.HasSuffix(b.String(), "-"):
			b.WriteByte('-')
		}
	}
	out := strings.TrimRight(b.String(), "-")
	if len(out) > 60 || !idForm.MatchString(out) {
		return ""
	}
	return out
}

var looseTag = regexp.MustCompile(`^([A-Za-z]{2,5})[-_ .]*([0-9]{1,6}[A-Za-z]?)$`)

func asTag(s string) string {
	if m := looseTag.FindStringSubmatch(strings.TrimSpace(s)); m != nil {
		return strings.ToUpper(m[1] + "-" + m[2])
	}
	return ""
}
