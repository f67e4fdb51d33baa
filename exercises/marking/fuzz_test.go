package marking

import (
	"reflect"
	"testing"
)

// seeds are answers of the tables, for the fuzz targets to begin with.
var seeds = []string{
	"", "-", "12", "12,0 mA", "1,250 Ω", "1.250.000", "1 250,5", "٣", "1٢", "１２．０", "−0.25 %", "0.012 A", "1.2x10^1 mA",
	"1.2 × 10^−1 mA", "1e400", "12±0.1", "12 MA", "=1+1", "NaN", "12\u200b", "12\xff", "212 °F", "% of span", "low, high", "t m c z r",
	"tmczr", "·5", "5·", "+", "e5", "1e", "x10^3", "1 inH₂O (60 °F)", "12 or 13",
}

// spaces are characters that may pad an answer.
var spaces = []string{" ", "\t", "\n", "\r\n", "\u00a0", "\u1680", "\u2003", "\u2009", "\u202f", "\u205f", "\u3000", "\u2028", "\u0085", "\v\f"}

// holds judges a text with and without padding and wants one result.
func holds(t *testing.T, q Question, text string, pad uint8) {
	first, err := Judge(q, text)
	if err != nil {
		t.Fatal(err)
	}
	if first.Verdict.Words() == string(first.Verdict) || first.Rule == "" || first.Text != text {
		t.Fatalf("%q: verdict %q, rule %q, text %q", text, first.Verdict, first.Rule, first.Text)
	}
	if (first.Verdict == Query) != (first.Ask != "") {
		t.Fatalf("%q: %s asks %q", text, first.Verdict, first.Ask)
	}
	again, _ := Judge(q, text)
	if !reflect.DeepEqual(first, again) {
		t.Fatalf("%q: %+v, then %+v", text, first, again)
	}
	before, after := spaces[int(pad)%len(spaces)], spaces[int(pad>>4)%len(spaces)]
	padded, _ := Judge(q, before+text+after)
	padded.Text = text
	if !reflect.DeepEqual(first, padded) {
		t.Fatalf("%q padded: %+v, then %+v", text, first, padded)
	}
}

func FuzzNumber(f *testing.F) {
	for i, s := range seeds {
		f.Add(s, uint8(i*7))
	}
	qs := []Question{
		number(f, "12", "0.04", "mA", required, figures(3)),
		number(f, "-0.25", "0.005", "%", ofSpan),
		number(f, "1250", "1", "Ω", mark('.')),
		number(f, "4.125", "0.005", "mA", shows(0, 24)),
		number(f, "100", "0.5", "°C"),
		number(f, "7", "0", ""),
		number(f, "0.5", "0.1", "%/div"),
	}
	f.Fuzz(func(t *testing.T, text string, pad uint8) {
		for _, q := range qs {
			holds(t, q, text, pad)
		}
		if SafeCell(text) != text && SafeCell(text) != "'"+text {
			t.Fatalf("%q in a cell: %q", text, SafeCell(text))
		}
	})
}

func FuzzChoice(f *testing.F) {
	for i, s := range seeds {
		f.Add(s, uint8(i*7))
	}
	q := Question{Choice: &Choice{Right: "low", Options: []Option{{ID: "low", Names: []string{"reads low", "5 %"}}, {ID: "high"}}}}
	f.Fuzz(func(t *testing.T, text string, pad uint8) { holds(t, q, text, pad) })
}

func FuzzOrder(f *testing.F) {
	for i, s := range seeds {
		f.Add(s, uint8(i*7))
	}
	q := Question{Order: &Order{
		Steps:  []Option{{ID: "t", Names: []string{"tell the operator"}}, {ID: "m"}, {ID: "c"}, {ID: "z"}, {ID: "r"}},
		Before: [][2]string{{"m", "c"}, {"m", "z"}, {"c", "r"}, {"z", "r"}}, Safety: [][2]string{{"t", "m"}}, Marks: 7,
	}}
	f.Fuzz(func(t *testing.T, text string, pad uint8) {
		holds(t, q, text, pad)
		if r, _ := Judge(q, text); r.Order != nil {
			if o := r.Order; o.Marks < 0 || o.Marks > 7 || len(o.Broken) > 0 && o.Marks > 0 {
				t.Fatalf("%q: %+v", text, *o)
			}
		}
	})
}

func FuzzItem(f *testing.F) {
	for _, s := range [][4]string{
		{"1.5", "12.24", "outside", "3.06"}, {"1,500", "12.24", "within", "2.94"}, {"0", "12", "", "-"}, {"-1.6", "11.744", "x", "7"},
		{"1e40", "24.16", "within, outside", "0"}, {"0.12345678901234567890123", "NaN", "OUTSIDE.", "2.94 V"}, {"1.5 MA", "12.24 V", "-", "1e-30"},
	} {
		f.Add(s[0], s[1], s[2], s[3], uint8(len(s[0])*7))
	}
	f.Fuzz(func(t *testing.T, a, b, c, d string, pad uint8) {
		item := chain(t)
		space := spaces[int(pad)%len(spaces)]
		first, err := MarkItem(item, map[string]string{"a": a, "b": b, "c": c, "d": d}, Terms{})
		if err != nil {
			t.Fatal(err)
		}
		padded, err := MarkItem(item, map[string]string{"a": space + a, "b": b + space, "c": space + c + space, "d": space + d}, Terms{})
		if err != nil {
			t.Fatal(err)
		}
		if first.Least < 0 || first.Least > first.Most || first.Most > 4 {
			t.Fatalf("%d to %d marks", first.Least, first.Most)
		}
		for i := range first.Parts {
			for j := range first.Parts[i].Boxes {
				padded.Parts[i].Boxes[j].Text = first.Parts[i].Boxes[j].Text
			}
		}
		// Formulas are trees with their numbers and compare as such.
		if !reflect.DeepEqual(first, padded) {
			t.Fatalf("%q %q %q %q padded: %+v, then %+v", a, b, c, d, first, padded)
		}
	})
}

// FuzzMarkItem types anything into every field of an exercise with boxes of
// every kind: no error, marks within bounds, and padding never matters.
func FuzzMarkItem(f *testing.F) {
	for _, s := range []string{"1.5", "2,94 V", "stop", "x", "tell, cell, zero, read", "4 1 2 3", "yes", "", "-", "1,500", "=1+1", "\u200b7"} {
		f.Add(s, s)
	}
	item := kinds(f)
	keys := []string{"a.1", "a.1.stop", "a.2", "a.2.stop", "b", "b.unit", "c", "d.1", "d.2", "e", "f", "f.unit"}
	f.Fuzz(func(t *testing.T, first, second string) {
		plain, padded := map[string]string{}, map[string]string{}
		for i, key := range keys {
			text := []string{first, second}[i%2]
			plain[key], padded[key] = text, " \t"+text+"\u00a0 "
		}
		r, err := MarkItem(item, plain, Terms{})
		if err != nil {
			t.Fatal(err)
		}
		again, _ := MarkItem(item, padded, Terms{})
		for i, p := range r.Parts {
			if p.Least < 0 || p.Least > p.Most || p.Most > p.Marks {
				t.Errorf("part %s: %d to %d of %d", p.Label, p.Least, p.Most, p.Marks)
			}
			for j, b := range p.Boxes {
				if o := again.Parts[i].Boxes[j]; o.Verdict != b.Verdict || o.Rule != b.Rule {
					t.Errorf("box %s: %q is %s by %s, padded %s by %s", b.Box, b.Text, b.Verdict, b.Rule, o.Verdict, o.Rule)
				}
			}
		}
	})
}
