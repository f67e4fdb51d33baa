package marking

import (
	"math/big"
	"slices"
	"testing"
)

// What the pages are told about units converts as [Judge] does.
func TestTablesForPages(t *testing.T) {
	tables := TablesForPages()
	if len(tables.Spellings) != len(vocabulary) {
		t.Errorf("%d spellings of %d", len(tables.Spellings), len(vocabulary))
	}
	for _, row := range []struct{ spelling, slope, offset, by string }{
		{"mA", "1/1000", "", "prefix milli"},
		{"ohm", "1", "", "coherent"},
		{"psi", "8896443230521/1290320000", "", "pound-force 4.4482216152605 N on 0.0254 m squared, NIST SP 811 B.8"},
		{"°F", "5/9", "45967/180", "K = (F + 459.67) / 1.8, NIST SP 811 B.9"},
		{"°C", "1", "5463/20", "K = C + 273.15"},
	} {
		i, ok := tables.Spellings[row.spelling]
		if !ok {
			t.Errorf("%s is no spelling", row.spelling)
			continue
		}
		u := tables.Units[i]
		if u.Slope != row.slope || u.Offset != row.offset {
			t.Errorf("%s: slope %s offset %s, want %s and %s (%s)", row.spelling, u.Slope, u.Offset, row.slope, row.offset, row.by)
		}
	}
	for s, i := range tables.Spellings {
		if u := tables.Units[i]; u.Slope == "" {
			t.Logf("%s does not convert exactly", s)
		} else if x, ok := new(big.Rat).SetString(u.Slope); !ok || x.Sign() <= 0 {
			t.Errorf("%s: slope %q", s, u.Slope)
		}
	}
	for _, zero := range []int{'0', 0x660, 0x966, 0xff10, 0x1d7f6} {
		if !slices.Contains(tables.Zeros, zero) {
			t.Errorf("%U is not among the zeros", zero)
		}
	}
}
