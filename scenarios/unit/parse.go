package unit

import (
	"fmt"
	"strings"
	"unicode"
	"unicode/utf8"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
)

// Mistake is what is wrong with a written quantity: a sentence without a full
// stop, and a hint that may be empty.
type Mistake struct {
	What string
	Hint string
}

// Error gives the sentence and the hint.
func (m *Mistake) Error() string {
	if m.Hint == "" {
		return m.What
	}
	return m.What + " (" + m.Hint + ")"
}

// longest is the longest text that is looked at: no quantity needs more, and a
// message should not carry a page back.
const longest = 60

// Parse reads a quantity such as "24 V", "0.5 %span" or "-7.7 kPa". The number
// is a plain decimal with a point; a hyphen or a true minus sign may stand
// before it; the blank before the unit may be left out. A bare number is a
// quantity of dimension [Number]. Errors are of type *[Mistake].
func Parse(s string) (Quantity, error) {
	t, err := tidy(s, "quantity", `write a number and its unit, such as "24 V"`)
	if err != nil {
		return Quantity{}, err
	}
	if strings.Contains(t, "..") {
		return Quantity{}, &Mistake{What: fmt.Sprintf("%q is a range; one value is wanted here", s)}
	}
	num, name := split(t)
	v, dec, err := number(num, t)
	if err != nil {
		return Quantity{}, err
	}
	x, err := named(name, t)
	if err != nil {
		return Quantity{}, err
	}
	return Quantity{V: v, Unit: x, Decimals: dec}, nil
}

// ParseRange reads a range such as "0..25 kPa", "-7.7..0 kPa" or "4..20 mA".
// The unit stands once, at the end, or the same at both ends. The ends may
// stand in either order and may be equal. Errors are of type *[Mistake].
func ParseRange(s string) (Range, error) {
	const how = `write both ends with two dots between and the unit behind, such as "0..25 kPa"`
	t, err := tidy(s, "range", how)
	if err != nil {
		return Range{}, err
	}
	left, right, ok := strings.Cut(t, "..")
	if !ok {
		return Range{}, &Mistake{What: fmt.Sprintf("%q is not a range", s), Hint: rangeHint(t, how)}
	}
	if strings.Contains(right, "..") || strings.HasPrefix(right, ".") {
		return Range{}, &Mistake{What: fmt.Sprintf("%q has more than two ends or dots", s), Hint: how}
	}
	lowNum, lowName := split(strings.TrimSpace(left))
	highNum, highName := split(strings.TrimSpace(right))
	low, lowDec, err := number(lowNum, t)
	if err != nil {
		return Range{}, err
	}
	high, highDec, err := number(highNum, t)
	if err != nil {
		return Range{}, err
	}
	x, err := named(highName, t)
	if err != nil {
		return Range{}, err
	}
	if lowName != "" {
		y, err := named(lowName, t)
		if err != nil {
			return Range{}, err
		}
		if y.key != x.key {
			return Range{}, &Mistake{
				What: fmt.Sprintf("%q has two units, %s and %s", s, y.named(), x.named()),
				Hint: "give both ends in the same unit and write it once, at the end",
			}
		}
	}
	return Range{Low: low, High: high, Unit: x, Decimals: max(lowDec, highDec)}, nil
}

// rangeHint rewrites the usual ways of writing a range.
func rangeHint(t, how string) string {
	for _, sep := range []string{" to ", "–", "—", "-", " - "} {
		i := strings.LastIndex(t, sep)
		if i <= 0 {
			continue
		}
		fixed := strings.TrimSpace(t[:i]) + ".." + strings.TrimSpace(t[i+len(sep):])
		if _, err := ParseRange(fixed); err == nil {
			return fmt.Sprintf("with two dots between the ends: %q", fixed)
		}
	}
	return how
}

// tidy trims blanks and gives the characters that editors and keyboards make
// of "-" and ".." their plain form.
func tidy(s, what, how string) (string, error) {
	if !utf8.ValidString(s) {
		return "", &Mistake{What: "there are bytes here that are not text in UTF-8", Hint: "save the file as UTF-8"}
	}
	if utf8.RuneCountInString(s) > longest {
		r := []rune(s)
		return "", &Mistake{What: fmt.Sprintf("%q is too long for a %s", string(r[:20])+"…", what), Hint: how}
	}
	t := strings.Map(func(r rune) rune {
		switch {
		case r == '\u2212':
			return '-'
		case unicode.IsSpace(r):
			return ' '
		}
		return r
	}, s)
	t = strings.TrimSpace(strings.ReplaceAll(t, "…", ".."))
	if t == "" {
		return "", &Mistake{What: "there is no " + what + " here", Hint: how}
	}
	return t, nil
}

// split parts the number from the unit.
func split(t string) (num, name string) {
	i := strings.IndexFunc(t, func(r rune) bool {
		return !(r >= '0' && r <= '9' || strings.ContainsRune("+-.,", r))
	})
	if i < 0 {
		return t, ""
	}
	num, name = t[:i], strings.TrimSpace(t[i:])
	// "1e3" and "10 000" are numbers, wrongly written; leave them whole so
	// that the message shows them whole.
	if rest := strings.TrimLeft(name, "eE"); name != rest && rest != "" && strings.ContainsRune("0123456789+-", rune(rest[0])) {
		return t, ""
	}
	if name != "" && name[0] >= '0' && name[0] <= '9' {
		return t, ""
	}
	return num, name
}

func number(num, whole string) (formula.Value, int, error) {
	none := formula.Value{}
	switch {
	case num == "" && strings.HasPrefix(whole, "±"):
		return none, 0, &Mistake{What: fmt.Sprintf("%q has a ± before its number", whole), Hint: "leave it out: a limit holds to both sides"}
	case num == "":
		return none, 0, &Mistake{What: fmt.Sprintf("%q does not begin with a number", whole),
			Hint: `write the number first and the unit behind it, such as "24 V"`}
	case strings.Contains(num, ","):
		hint := "write the decimal mark as a point and leave thousands unmarked"
		if fixed := strings.ReplaceAll(num, ",", "."); strings.Count(fixed, ".") == 1 && !strings.HasSuffix(fixed, ".") {
			hint = fmt.Sprintf("write the decimal mark as a point: %s", fixed)
			if len(fixed)-strings.IndexByte(fixed, '.') == 4 && fixed[0] != '0' {
				hint += ", or thousands without a mark: " + strings.ReplaceAll(num, ",", "")
			}
		}
		return none, 0, &Mistake{What: fmt.Sprintf("%q has a comma in its number", whole), Hint: hint}
	case strings.ContainsAny(num, "eE"):
		return none, 0, &Mistake{What: fmt.Sprintf("%q has an exponent", whole), Hint: "write the number out, such as 0.001 or 1000"}
	case strings.Contains(num, " "):
		return none, 0, &Mistake{What: fmt.Sprintf("%q has a blank inside its number", whole), Hint: "write thousands without a blank: " + strings.ReplaceAll(num, " ", "")}
	}
	body := strings.TrimLeft(num, "+-")
	if len(body) > 1 && body[0] == '0' && body[1] != '.' {
		return none, 0, &Mistake{What: fmt.Sprintf("%q has a leading zero, which some programs read as octal", whole),
			Hint: "leave out the leading zeros"}
	}
	v, err := formula.ParseDecimal(num)
	if err != nil || len(body) > 16 || strings.HasSuffix(num, ".") || strings.HasPrefix(body, ".") {
		m := &Mistake{What: fmt.Sprintf("%q is not a plain decimal number", num), Hint: "write digits with one point, such as 0.5 or -7.7"}
		if len(body) > 16 {
			m.Hint = "give at most 15 digits"
		}
		return none, 0, m
	}
	_, frac, _ := strings.Cut(num, ".")
	return v, len(frac), nil
}

func named(name, whole string) (Unit, error) {
	if name == "" {
		return Unit{}, nil
	}
	// A blank inside, as in "inH2O (60F)" or "kg / h", means nothing.
	tight := strings.ReplaceAll(name, " ", "")
	for _, n := range []string{name, tight, strings.ReplaceAll(tight, "°F)", "F)"), strings.ReplaceAll(tight, "°C)", "C)")} {
		if x, ok := Lookup(n); ok {
			return x, nil
		}
	}
	return Unit{}, &Mistake{What: fmt.Sprintf("%q has an unknown unit, %q", whole, name), Hint: unitHint(tight)}
}

// unitHint proposes a unit for a misspelt one.
func unitHint(name string) string {
	var same []string
	for _, e := range table {
		for _, n := range append([]string{e.key}, e.aliases...) {
			if strings.EqualFold(n, name) {
				same = append(same, e.key)
				break
			}
		}
	}
	if len(same) > 0 {
		return "capitals matter; did you mean " + strings.Join(same, " or ") + "?"
	}
	if e, ok := confused[strings.ToLower(name)]; ok {
		return e
	}
	keys := make([]string, len(table))
	for i, e := range table {
		keys[i] = e.key
	}
	if k, ok := diag.Nearest(name, keys); ok {
		return "did you mean " + k + "?"
	}
	return "known units: " + names()
}

// confused holds names that mean something other than they seem to.
var confused = map[string]string{
	"psig":   "write psi; whether a pressure is gauge or absolute goes into the words of the service",
	"psia":   "write psi; whether a pressure is gauge or absolute goes into the words of the service",
	"barg":   "write bar; whether a pressure is gauge or absolute goes into the words of the service",
	"bara":   "write bar; whether a pressure is gauge or absolute goes into the words of the service",
	"inwc":   "name the water column with its temperature: inH2O(conv), inH2O(4C) or inH2O(60F)",
	"\"wc":   "name the water column with its temperature: inH2O(conv), inH2O(4C) or inH2O(60F)",
	"mmwc":   "name the water column with its temperature: mmH2O(conv), mmH2O(4C) or mmH2O(60F)",
	"kg":     "did you mean kg/h, or kgf/cm2 for a pressure?",
	"r":      "did you mean ohm?",
	"lpm":    "did you mean L/min?",
	"deg":    "did you mean °C or °F?",
	"°":      "did you mean °C or °F?",
	"degree": "did you mean °C or °F?",
	"awg":    "a size of the American wire gauge has a key of its own, without a unit: \"awg: 18\"",
	"sqmm":   "did you mean mm2?",
	"qmm":    "did you mean mm2?",
	"%fs":    "of what is the percentage taken? write %span for percent of span",
	"%fsd":   "of what is the percentage taken? write %span for percent of span",
	"%rdg":   "of what is the percentage taken? write %span for percent of span",
	"\"":     "did you mean in?",
	"'":      "did you mean ft?",
}

func names() string {
	var b strings.Builder
	for i, e := range table {
		if i > 0 {
			b.WriteString(", ")
		}
		b.WriteString(e.key)
	}
	return b.String()
}
