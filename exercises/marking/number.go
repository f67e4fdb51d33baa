package marking

import (
	"math/big"
	"strings"
)

// typed is a number as it was typed, one of the ways to read it.
type typed struct {
	negative    bool
	whole, part string // ASCII digits before and after the decimal mark
	exponent    int    // held to ±1000
	// byComma says how the comma was taken where it could be either: ','
	// as the decimal mark, '.' as parting thousands. 0 where there was no
	// doubt.
	byComma rune
}

// mostExponent is the size of an exponent beyond which an answer is wrong.
const mostExponent = 30

// scan reads [sign] digits [decimal mark] [exponent] [space] [unit] and gives
// the ways to read the number, and the unit as typed. rule is empty unless the
// text cannot be read so.
func scan(text []rune) (readings []typed, unit string, rule Rule) {
	s := scanner{rest: text}
	negative := s.take('-')
	if !negative {
		s.take('+')
	}
	groups, seps := s.body()
	digits := 0
	for _, g := range groups {
		digits += len(g)
	}
	if digits == 0 {
		return nil, "", RuleOneAnswer
	}
	exponent := s.exponent()
	if s.mixed {
		return nil, "", RuleScripts
	}
	readings = split(groups, seps)
	if readings == nil {
		return nil, "", RuleGroups
	}
	for i := range readings {
		readings[i].negative, readings[i].exponent = negative, exponent
	}
	s.take(' ')
	return readings, string(s.rest), ""
}

type scanner struct {
	rest  []rune
	zero  rune // script of the digits so far
	mixed bool
}

func (s *scanner) take(r rune) bool {
	if len(s.rest) > 0 && s.rest[0] == r {
		s.rest = s.rest[1:]
		return true
	}
	return false
}

func (s *scanner) digit() (byte, bool) {
	if len(s.rest) == 0 {
		return 0, false
	}
	v, zero, ok := digit(s.rest[0])
	if !ok {
		return 0, false
	}
	if s.zero == 0 {
		s.zero = zero
	}
	s.mixed = s.mixed || s.zero != zero
	s.rest = s.rest[1:]
	return byte('0' + v), true
}

// body reads digits and what stands between them.
func (s *scanner) body() (groups []string, seps []rune) {
	var group []byte
	for {
		if d, ok := s.digit(); ok {
			group = append(group, d)
			continue
		}
		if len(s.rest) == 0 || !s.separates() {
			return append(groups, string(group)), seps
		}
		groups, seps = append(groups, string(group)), append(seps, s.rest[0])
		group, s.rest = nil, s.rest[1:]
	}
}

// separates reports whether what comes next belongs into the number: a mark,
// or a space with a digit behind it.
func (s *scanner) separates() bool {
	r := s.rest[0]
	if r == ' ' && len(s.rest) > 1 {
		_, _, ok := digit(s.rest[1])
		return ok
	}
	return isMark(r) || r == thousands
}

// exponent reads e5, E-5 or x10^5, with or without spaces around the x. What
// only looks like one is left for the unit.
func (s *scanner) exponent() int {
	before := *s
	if !s.take('e') && !s.take('E') {
		s.take(' ')
		if !s.take('x') && !s.take('X') && !s.take('×') {
			*s = before
			return 0
		}
		s.take(' ')
		one, _ := s.digit()
		nought, _ := s.digit()
		if one != '1' || nought != '0' || !s.take('^') {
			*s = before
			return 0
		}
	}
	negative := s.take('-')
	if !negative {
		s.take('+')
	}
	value, any := 0, false
	for {
		d, ok := s.digit()
		if !ok {
			break
		}
		value, any = min(1000, value*10+int(d-'0')), true
	}
	if !any {
		*s = before
		return 0
	}
	if negative {
		return -value
	}
	return value
}

// split finds the ways to read digit groups with separators between them: the
// last separator the decimal mark, or none of them. The others part regular
// groups of three and are all the same. nil: there is no way.
func split(groups []string, seps []rune) []typed {
	n := len(seps)
	if n == 0 {
		return []typed{{whole: groups[0]}}
	}
	var out []typed
	last := seps[n-1]
	if isMark(last) && (n > 1 && parted(groups[:n], seps[:n-1], last) || n == 1) {
		out = append(out, typed{whole: strings.Join(groups[:n], ""), part: groups[n]})
	}
	// A lone point is a decimal point; groups by point need two, or a comma
	// behind them.
	if parted(groups, seps, 0) && (last != '.' || n > 1) {
		out = append(out, typed{whole: strings.Join(groups, "")})
	}
	if len(out) == 2 {
		out[0].byComma, out[1].byComma = ',', '.'
	}
	return out
}

// parted reports whether groups are regular: one to three digits, not
// beginning with 0, then threes, all parted by the same separator, which is not
// the decimal mark.
func parted(groups []string, seps []rune, mark rune) bool {
	if len(groups[0]) == 0 || len(groups[0]) > 3 || groups[0][0] == '0' {
		return false
	}
	for i, sep := range seps {
		if sep != seps[0] || sep == mark || sep == unambiguous || len(groups[i+1]) != 3 {
			return false
		}
	}
	return true
}

// value is the exact number; ok is false where the exponent is too large.
func (t typed) value() (v *big.Rat, ok bool) {
	if t.exponent > mostExponent || t.exponent < -mostExponent {
		return nil, false
	}
	n, _ := new(big.Int).SetString("0"+t.whole+t.part, 10)
	if t.negative {
		n.Neg(n)
	}
	v = new(big.Rat).SetInt(n)
	shift := t.exponent - len(t.part)
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(shift, -shift))), nil)
	if shift < 0 {
		return v.Quo(v, new(big.Rat).SetInt(ten)), true
	}
	return v.Mul(v, new(big.Rat).SetInt(ten)), true
}

// figures is the least and the most significant figures that the number can
// be said to have: trailing zeros of a whole number may or may not count. A
// zero has none and counts as any number, so ok is false.
func (t typed) figures() (least, most int, ok bool) {
	all := strings.TrimLeft(t.whole+t.part, "0")
	if all == "" {
		return 0, 0, false
	}
	least = len(all)
	if t.part == "" {
		least = len(strings.TrimRight(all, "0"))
	}
	return least, len(all), true
}

// String writes the number with a decimal point and a true minus sign.
func (t typed) String() string {
	s := t.whole
	if s == "" {
		s = "0"
	}
	if t.part != "" {
		s += "." + t.part
	}
	if t.exponent != 0 {
		s += "e" + big.NewInt(int64(t.exponent)).String()
	}
	if t.negative {
		s = "\u2212" + s
	}
	return s
}
