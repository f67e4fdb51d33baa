package marking

import (
	"math/big"
	"strings"
	"unicode"

	"loopdrill/scenarios/unit"
)

// Tables are what the marker of the pages has to know besides its rules: the
// spellings of units with their exact factors, and the digits of all scripts.
// They are written from the tables that [Judge] uses, so that the two markers
// read the same units.
type Tables struct {
	// Units are the units of the vocabulary, each once.
	Units []TableUnit `json:"units"`
	// Spellings leads from each spelling, without its blanks, to the place of
	// its unit in Units.
	Spellings map[string]int `json:"spellings"`
	// Prefixed are the bases before which a typed M or m may stand although the
	// table has no such unit, each with its place in Units.
	Prefixed []TableBase `json:"prefixed"`
	// Zeros are the digits 0 of all scripts as code points; the nine digits
	// that follow each are its script's.
	Zeros []int `json:"zeros"`
	// Dashes are the characters that stand for a minus before a digit.
	Dashes string `json:"dashes"`
}

// TableUnit is a unit: value in the coherent unit of its dimension = Slope ×
// value + Offset, both fractions as "n/d", and the slope of a difference, which
// has no offset. Empty fractions: it does not convert exactly.
type TableUnit struct {
	Symbol    string `json:"s"`
	Dimension string `json:"d"`
	Slope     string `json:"m,omitempty"`
	Offset    string `json:"c,omitempty"`
	// Percent says that the unit is a percentage of whatever it is taken of.
	Percent bool `json:"p,omitempty"`
}

// TableBase is a unit that takes a typed prefix.
type TableBase struct {
	Name string `json:"n"`
	Unit int    `json:"u"`
}

// TablesForPages gives the tables.
func TablesForPages() Tables {
	t := Tables{Spellings: map[string]int{}, Dashes: dashes}
	places := map[unit.Unit]int{}
	place := func(u unit.Unit) int {
		if i, have := places[u]; have {
			return i
		}
		places[u] = len(t.Units)
		t.Units = append(t.Units, tableUnit(u))
		return places[u]
	}
	for _, s := range spellings {
		t.Spellings[s] = place(vocabulary[s])
	}
	for _, base := range prefixed {
		t.Prefixed = append(t.Prefixed, TableBase{base, place(unit.Must(base))})
	}
	for _, x := range unicode.Nd.R16 {
		for r := rune(x.Lo); r <= rune(x.Hi); r += 10 {
			t.Zeros = append(t.Zeros, int(r))
		}
	}
	for _, x := range unicode.Nd.R32 {
		for r := rune(x.Lo); r <= rune(x.Hi); r += 10 {
			t.Zeros = append(t.Zeros, int(r))
		}
	}
	return t
}

// tableUnit writes a unit's factors. A difference of two values converts by
// the slope alone, since the offset falls out of it.
func tableUnit(u unit.Unit) TableUnit {
	out := TableUnit{Symbol: u.Symbol, Dimension: string(u.Dimension),
		Percent: u.Dimension == unit.Percent || u.Dimension == unit.PercentOfSpan}
	slope, offset, ok := line(u, false)
	difference, zero, ok2 := line(u, true)
	if ok && ok2 && slope.Cmp(difference) == 0 && zero.Sign() == 0 {
		out.Slope = fraction(slope)
		if offset.Sign() != 0 {
			out.Offset = fraction(offset)
		}
	}
	return out
}

// fraction writes an exact number as "n/d", or as "n" where d is 1.
func fraction(x *big.Rat) string { return strings.TrimSuffix(x.String(), "/1") }
