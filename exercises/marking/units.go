package marking

import (
	"math/big"
	"slices"
	"strings"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/unit"
)

// scale is a unit with a prefix that the table of units does not have.
type scale struct {
	unit   unit.Unit
	factor *big.Rat // of the prefix; 1 for a unit of the table
	name   string   // as it is printed
}

// words are ways to write a unit that only an answer uses.
var words = map[string]string{
	"ampere": "A", "amperes": "A", "milliampere": "mA", "milliamperes": "mA",
	"millivolt": "mV", "millivolts": "mV", "kilohm": "kohm", "kilohms": "kohm", "kiloohm": "kohm", "kiloohms": "kohm",
	"megohm": "Mohm", "megohms": "Mohm", "kilopascal": "kPa", "kilopascals": "kPa", "pascal": "Pa", "pascals": "Pa",
	"per cent": "%", "pct": "%", "percent of span": "%span", "percent span": "%span", "% of the span": "%span",
	"divs": "div", "divisions": "div",
	"degree C": "°C", "degrees C": "°C", "deg C": "°C", "degrees celsius": "°C", "degree celsius": "°C",
	"degree F": "°F", "degrees F": "°F", "deg F": "°F", "degrees fahrenheit": "°F", "℃": "°C", "℉": "°F",
	"metre": "m", "metres": "m", "meter": "m", "meters": "m", "minute": "min", "hour": "h", "second": "s", "seconds": "s",
}

// vocabulary holds every spelling without its spaces; spellings lists them in
// order.
var vocabulary, spellings = func() (map[string]unit.Unit, []string) {
	v := map[string]unit.Unit{}
	add := func(name string, u unit.Unit) {
		name, _, _ = tidy(strings.ReplaceAll(name, " ", ""))
		if _, have := v[name]; !have {
			v[name] = u
		}
	}
	for _, u := range unit.All() {
		add(u.Name(), u)
		add(u.Symbol, u)
	}
	for _, u := range unit.All() {
		for _, s := range unit.Spellings(u.Dimension) {
			add(s, unit.Must(s))
		}
	}
	for w, name := range words {
		add(w, unit.Must(name))
	}
	list := make([]string, 0, len(v))
	for s := range v {
		list = append(list, s)
	}
	slices.Sort(list)
	return v, list
}()

// prefixed are the units before which a typed M or m may stand although the
// table has no such unit.
var prefixed = []string{"A", "V", "Ω", "ohm", "Pa", "bar", "m"}

// lookUp finds what a typed unit can mean; none: it is not a unit.
func lookUp(name string) []scale {
	name = strings.ReplaceAll(name, " ", "")
	if u, ok := vocabulary[name]; ok {
		return []scale{{u, big.NewRat(1, 1), u.Symbol}}
	}
	var out []scale
	add := func(s scale) {
		for _, have := range out {
			if have.unit == s.unit && have.factor.Cmp(s.factor) == 0 {
				return
			}
		}
		out = append(out, s)
	}
	for _, s := range spellings {
		if sameLetters(name, s) {
			u := vocabulary[s]
			add(scale{u, big.NewRat(1, 1), u.Symbol})
		}
	}
	if name == "" || name[0] != 'M' && name[0] != 'm' {
		return out
	}
	for _, base := range prefixed {
		if !sameLetters(name[1:], base) {
			continue
		}
		u := unit.Must(base)
		for _, p := range []struct {
			letter string
			factor *big.Rat
		}{{"m", big.NewRat(1, 1000)}, {"M", big.NewRat(1000000, 1)}} {
			if _, have := vocabulary[p.letter+base]; !have && (name[0] == 'M' || p.letter == "m") {
				add(scale{u, p.factor, p.letter + u.Symbol})
			}
		}
	}
	return out
}

// sameLetters compares without regard to case, except that a typed m is no M:
// that would turn milli into mega. A typed M may be m.
func sameLetters(typed, name string) bool {
	if len(typed) != len(name) {
		return false
	}
	for i := range len(typed) {
		a, b := typed[i], name[i]
		if a == b {
			continue
		}
		if lower(a) != lower(b) || a == 'm' {
			return false
		}
	}
	return true
}

func lower(b byte) byte {
	if b >= 'A' && b <= 'Z' {
		return b + 'a' - 'A'
	}
	return b
}

// coherent is the unit of each dimension whose factor is 1, over which all
// conversions go so that they stay exact.
var coherent = func() map[unit.Dimension]unit.Unit {
	m := map[unit.Dimension]unit.Unit{}
	for _, name := range []string{"A", "V", "ohm", "Pa", "K", "m", "m2", "m3", "kg", "m3/s", "kg/s", "s", "%", "%span", "div"} {
		u := unit.Must(name)
		m[u.Dimension] = u
	}
	return m
}()

// line gives value in the coherent unit = slope × value in u + offset. ok is
// false for a unit whose factors are not exact.
func line(u unit.Unit, difference bool) (slope, offset *big.Rat, ok bool) {
	at := func(n int64) (*big.Rat, bool) {
		q := unit.Quantity{V: formula.Int(n), Unit: u}
		convert := q.Convert
		if difference {
			convert = q.ConvertDifference
		}
		v, err := convert(coherent[u.Dimension])
		if err != nil {
			return nil, false
		}
		return Exact(v)
	}
	offset, ok0 := at(0)
	one, ok1 := at(1)
	if !ok0 || !ok1 {
		return nil, nil, false
	}
	return one.Sub(one, offset), offset, true
}

// Exact gives an exact value as a rational number; ok is false for a value
// that is not exact.
func Exact(v formula.Value) (x *big.Rat, ok bool) {
	n, d, ok := v.Fraction()
	if !ok {
		return nil, false
	}
	return big.NewRat(n, d), true
}

// fits reports whether a typed unit measures what the question asks for.
// Percent alone is percent of whatever the question names.
func (n *Number) fits(have, want unit.Unit) bool {
	if have.Dimension == want.Dimension {
		return true
	}
	percent := func(u unit.Unit) bool { return u.Dimension == unit.Percent || u.Dimension == unit.PercentOfSpan }
	return percent(have) && percent(want) && (n.Of == "" || strings.Contains(n.Of, "span"))
}

// convert carries x from s into want.
func (n *Number) convert(x *big.Rat, s scale, want unit.Unit) (*big.Rat, bool) {
	x = new(big.Rat).Mul(x, s.factor)
	if s.unit == want || s.unit.Dimension != want.Dimension { // both are percentages
		return x, true
	}
	slope, offset, ok1 := line(s.unit, n.Difference)
	wantSlope, wantOffset, ok2 := line(want, n.Difference)
	if !ok1 || !ok2 {
		return nil, false
	}
	x.Mul(x, slope).Add(x, offset).Sub(x, wantOffset)
	return x.Quo(x, wantSlope), true
}
