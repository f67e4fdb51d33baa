package marking

import (
	"math/big"
	"strings"
	"testing"
	"unicode"
)

// number makes a question: key, tolerance, unit, then changes.
func number(t testing.TB, key, tolerance, unit string, change ...func(*Number)) Question {
	n := &Number{Key: rat(t, key), Tolerance: rat(t, tolerance), Unit: unit}
	for _, f := range change {
		f(n)
	}
	return Question{Number: n}
}

func required(n *Number) { n.Mode = UnitRequired }
func mark(r rune) func(*Number) {
	return func(n *Number) { n.Mark = r }
}
func figures(f int) func(*Number) {
	return func(n *Number) { n.Figures = f }
}
func shows(low, high int64) func(*Number) {
	return func(n *Number) { n.Low, n.High = big.NewRat(low, 1), big.NewRat(high, 1) }
}
func ofReading(n *Number)  { n.Of = "of reading" }
func ofSpan(n *Number)     { n.Of = "of span" }
func difference(n *Number) { n.Difference = true }

// TestNumbers goes through rules 1 to 10. What is wanted follows from the text
// of the rules; conversions are exact by definition of the units.
func TestNumbers(t *testing.T) {
	mA := func(change ...func(*Number)) Question { return number(t, "12", "0.04", "mA", change...) }
	small := func(change ...func(*Number)) Question { return number(t, "4.125", "0.005", "mA", change...) }
	for _, row := range []struct {
		name    string
		q       Question
		text    string
		verdict Verdict
		rule    Rule
	}{
		{"plain", mA(), "12", Correct, RuleWithin},
		{"M1 no-break and thin spaces around and between", mA(), "\u00a0\t12\u2009mA\u3000\r\n", Correct, RuleWithin},
		{"M1 full-width digits and mark", mA(), "１２．０", Correct, RuleWithin},
		{"M1 Arabic digits and mark", number(t, "12.5", "0.04", "mA"), "١٢٫٥", Correct, RuleWithin},
		{"M1 Devanagari digits", mA(), "१२", Correct, RuleWithin},
		{"M1 mathematical bold digits", mA(), "𝟏𝟐", Correct, RuleWithin},
		{"M1 mixed scripts", mA(), "1٢", Query, RuleScripts},
		{"M1 mixed scripts in the exponent", mA(), "1.2e١", Query, RuleScripts},
		{"M1 middle dot", number(t, "12.5", "0.04", "mA"), "12·5", Correct, RuleWithin},
		{"M1 middle dot and three digits has one reading", small(), "4·125", Correct, RuleWithin},
		{"M1 en dash as minus", number(t, "-3", "0", "%"), "–3", Correct, RuleWithin},
		{"M1 em dash before a mark", number(t, "-0.5", "0", "%"), "—.5", Correct, RuleWithin},
		{"M1 full-width minus", number(t, "-3", "0", "%"), "－3", Correct, RuleWithin},
		{"M1 zero-width space", mA(), "12\u200b", Query, RuleHidden},
		{"M1 only a zero-width space", mA(), "\u200b", Query, RuleHidden},
		{"M1 right-to-left override", mA(), "\u202e21", Query, RuleHidden},
		{"M1 byte order mark", mA(), "\ufeff12", Query, RuleHidden},
		{"M1 bell", mA(), "12\a", Query, RuleHidden},
		{"M1 variation selector", mA(), "12\ufe0f", Query, RuleHidden},
		{"M1 no text", mA(), "12\xff", Query, RuleHidden},
		{"M1 64 characters", mA(), "12." + strings.Repeat("0", 61), Correct, RuleWithin},
		{"M1 65 characters", mA(), "12." + strings.Repeat("0", 62), Query, RuleLong},
		{"M1 64 characters and padding", mA(), " 12." + strings.Repeat("0", 61) + "  ", Correct, RuleWithin},
		{"M1 micro signs", number(t, "4", "0", "µA"), "4 \u03bcA", Correct, RuleWithin},
		{"M1 ohm sign", number(t, "250", "0", "ohm"), "250 \u2126", Correct, RuleWithin},

		{"M2 plus", mA(), "+12", Correct, RuleWithin},
		{"M2 trailing mark", mA(), "12.", Correct, RuleWithin},
		{"M2 leading mark", number(t, "0.5", "0", "V"), ".5", Correct, RuleWithin},
		{"M2 two signs", mA(), "--12", Query, RuleOneAnswer},
		{"M2 minus and space", number(t, "-3", "0", "%"), "- 3", Query, RuleGroups},
		{"M2 words", mA(), "about 12", Query, RuleOneAnswer},
		{"M2 unit first", mA(), "mA 12", Query, RuleOneAnswer},
		{"M2 only a mark", mA(), ".", Query, RuleOneAnswer},

		{"M3 comma", number(t, "12.5", "0", "mA"), "12,5", Correct, RuleWithin},
		{"M3 comma and three digits, two verdicts", small(), "4,125", Query, RuleTwoReadings},
		{"M3 comma and three digits, one verdict", small(), "9,125", Wrong, RuleOutside},
		{"M3 dropped by the range", small(shows(0, 24)), "4,125 mA", Correct, RuleWithin},
		{"M3 range in another unit", small(shows(0, 24)), "0,004125 A", Correct, RuleWithin},
		{"M3 group dropped by the range is still wrong", small(shows(0, 24)), "5,125", Wrong, RuleOutside},
		{"M3 both outside the range", small(shows(0, 3)), "4,125", Query, RuleTwoReadings},
		{"M3 declared comma", small(mark(',')), "4,125", Correct, RuleWithin},
		{"M3 declared point", small(mark('.')), "4,125", Wrong, RuleOutside},
		{"M3 the range comes before the declared mark", small(mark('.'), shows(0, 24)), "4,125", Correct, RuleWithin},
		{"M3 declared point, plain comma", number(t, "12.5", "0", "mA", mark('.')), "12,5", Correct, RuleWithin},
		{"M3 no group begins with 0", number(t, "0.125", "0", "V"), "0,125", Correct, RuleWithin},
		{"M3 four digits before the comma", number(t, "1250.125", "0", "V"), "1250,125", Correct, RuleWithin},
		{"M3 lone point", number(t, "1250", "1", "ohm"), "1.250", Wrong, RuleOutside},
		{"M3 two points", number(t, "1250000", "1", "ohm"), "1.250.000", Correct, RuleWithin},
		{"M3 point groups, decimal comma", number(t, "1250.5", "0", "ohm"), "1.250,5", Correct, RuleWithin},
		{"M3 comma groups, decimal point", number(t, "1250.5", "0", "ohm"), "1,250.5", Correct, RuleWithin},
		{"M3 two commas", number(t, "1250000", "1", "ohm"), "1,250,000", Correct, RuleWithin},
		{"M3 space groups", number(t, "1250000", "1", "ohm"), "1 250\u00a0000 ohm", Correct, RuleWithin},
		{"M3 space groups, decimal comma", number(t, "1250.125", "0", "ohm"), "1 250,125", Correct, RuleWithin},
		{"M3 Arabic groups", number(t, "1250000", "0", "ohm"), "١٬٢٥٠٬٠٠٠", Correct, RuleWithin},
		{"M3 irregular groups", number(t, "125000", "1", "ohm"), "12,50,00", Query, RuleGroups},
		{"M3 two kinds of groups", number(t, "1250000", "1", "ohm"), "1 250,000,000", Query, RuleGroups},
		{"M3 spaced digits", number(t, "125", "1", "ohm"), "1 25", Query, RuleGroups},
		{"M3 two marks", mA(), "12..0", Query, RuleGroups},

		{"M4 e", mA(), "120e-1", Correct, RuleWithin},
		{"M4 E and plus", mA(), "1.2E+1", Correct, RuleWithin},
		{"M4 x10^", mA(), "1.2x10^1 mA", Correct, RuleWithin},
		{"M4 spaced and true signs", number(t, "0.12", "0", "mA"), "1.2 × 10^−1 mA", Correct, RuleWithin},
		{"M4 exponent 30", number(t, "1e30", "0", ""), "1e30", Correct, RuleWithin},
		{"M4 exponent 31", number(t, "1e31", "0", ""), "1e31", Wrong, RuleExponent},
		{"M4 exponent −31", mA(), "12e-31", Wrong, RuleExponent},
		{"M4 exponent of many digits", mA(), "1e99999999999999999999", Wrong, RuleExponent},
		{"M4 no digits", mA(), "12e", Query, RuleUnitUnknown},
		{"M4 half an exponent", mA(), "1.2x10", Query, RuleUnitUnknown},

		{"M5 amps", mA(), "0.012 amps", Correct, RuleWithin},
		{"M5 microamps", mA(), "12000 uA", Correct, RuleWithin},
		{"M5 words", mA(), "12 Milliamp", Correct, RuleWithin},
		{"M5 lower case", number(t, "3", "0", "V", required), "3 volts", Correct, RuleWithin},
		{"M5 case", number(t, "20", "0", "kPa", required), "20 kpa", Correct, RuleWithin},
		{"M5 psi to kPa: 3 psi is 20.684 kPa (SP 811)", number(t, "20.684", "0.001", "kPa"), "3 PSI", Correct, RuleWithin},
		{"M5 typed m is milli", number(t, "2", "0", "MΩ"), "2 mohm", Wrong, RuleOutside},
		{"M5 typed M may be m", mA(), "12 MA", Query, RulePrefix},
		{"M5 typed M, both wrong", mA(), "15 MA", Wrong, RuleOutside},
		{"M5 exact symbol first", number(t, "0.1", "0", "MPa"), "0.1 MPa", Correct, RuleWithin},
		{"M5 not exact, so both", number(t, "0.1", "0", "MPa"), "0.1 MPA", Query, RulePrefix},
		{"M5 other quantity", mA(), "12 kPa", WrongUnit, RuleUnitOther},
		{"M5 unknown", mA(), "12 bananas", Query, RuleUnitUnknown},
		{"M5 printed unit that the table lacks", number(t, "0.5", "0", "%/div"), "0.5 %/div", Correct, RuleWithin},
		{"M5 another for it", number(t, "0.5", "0", "%/div"), "0.5 mA", WrongUnit, RuleUnitOther},
		{"M5 a unit for a pure number", number(t, "4", "0", ""), "4 V", WrongUnit, RuleUnitOther},
		{"M5 percent in words", number(t, "2", "0", "%", required), "2 percent", Correct, RuleWithin},
		{"M5 percent of span for percent", number(t, "2", "0", "%", ofSpan), "2 % of span", Correct, RuleWithin},
		{"M5 percent of span for percent of reading", number(t, "2", "0", "%", ofReading), "2 % of span", WrongUnit, RuleUnitOther},
		{"M5 Fahrenheit", number(t, "100", "0", "°C"), "212 °F", Correct, RuleWithin},
		{"M5 Fahrenheit of a difference", number(t, "100", "0", "°C", difference), "180 F", Correct, RuleWithin},
		{"M5 exact over every factor", number(t, "1", "0", "inH2O(60F)"), "1 inH₂O (60 °F)", Correct, RuleWithin},

		{"M6 given and typed", mA(), "12 mA", Correct, RuleWithin},
		{"M6 missing and wrong", mA(required), "13", Wrong, RuleOutside},

		{"M7 upper edge", mA(), "12.04", Correct, RuleWithin},
		{"M7 just beyond", mA(), "12.0400000000000000000000000000000000001", Wrong, RuleOutside},
		{"M7 edge through a unit", mA(), "0.01196 A", Correct, RuleWithin},
		{"M7 edge through an exponent", mA(), "11.96e0", Correct, RuleWithin},
		{"M7 tolerance 0", number(t, "1/3", "0", ""), "0.333333333333", Wrong, RuleOutside},

		{"M8 range", mA(), "11-12", Query, RuleOneAnswer},
		{"M8 range in words", mA(), "11 to 12", Query, RuleOneAnswer},
		{"M8 plus-minus", mA(), "±12", Query, RuleOneAnswer},
		{"M8 or", mA(), "12 or 13", Query, RuleOneAnswer},
		{"M8 or with units", mA(), "12 mA or 13 mA", Query, RuleUnitUnknown},
		{"M8 fraction", mA(), "24/2", Query, RuleOneAnswer},
		{"M8 vulgar fraction", mA(), "½", Query, RuleOneAnswer},
		{"M8 product", mA(), "3*4", Query, RuleOneAnswer},
		{"M8 power", mA(), "12^1", Query, RuleOneAnswer},
		{"M8 hex", mA(), "0xC", Query, RuleUnitUnknown},
		{"M8 underscore", mA(), "1_2", Query, RuleOneAnswer},
		{"M8 infinity", mA(), "∞", Query, RuleOneAnswer},
		{"M8 at least", mA(), ">12", Query, RuleOneAnswer},

		{"M9 spaces", mA(), " \u2003 ", Blank, RuleBlank},
		{"M9 hyphen", mA(), " - ", Blank, RuleBlank},
		{"M9 em dash", mA(), "—", Blank, RuleBlank},
		{"M9 true minus", mA(), "−", Blank, RuleBlank},
		{"M9 two dashes", mA(), "--", Query, RuleOneAnswer},

		{"M10 n", mA(figures(3)), "12.0", Correct, RuleWithin},
		{"M10 n + 1", mA(figures(3)), "12.00", Correct, RuleWithin},
		{"M10 too many", mA(figures(3)), "12.000", Figures, RuleFigures},
		{"M10 too few", mA(figures(3)), "12", Figures, RuleFigures},
		{"M10 not asked", mA(), "12.00000", Correct, RuleWithin},
		{"M10 in another unit", mA(figures(3)), "0.0120 A", Correct, RuleWithin},
		{"M10 trailing zeros count in favour", number(t, "1200", "50", "ohm", figures(3)), "1200", Correct, RuleWithin},
		{"M10 trailing zeros need not count", number(t, "1200", "50", "ohm", figures(2)), "1200", Correct, RuleWithin},
		{"M10 too few all the same", number(t, "1200", "50", "ohm", figures(5)), "1200", Figures, RuleFigures},
		{"M10 nothing", number(t, "0", "0.05", "%", figures(2)), "0", Correct, RuleWithin},
		{"M10 wrong is wrong", mA(figures(3)), "13", Wrong, RuleOutside},
		{"M10 two readings", number(t, "12", "0.04", "mA", figures(3), shows(0, 20000)), "12,000", Query, RuleTwoReadings},
		{"M10 unit missing before figures", mA(figures(3), required), "12", UnitMissing, RuleUnitMissing},
	} {
		t.Run(row.name, func(t *testing.T) {
			r, err := Judge(row.q, row.text)
			if err != nil {
				t.Fatal(err)
			}
			if r.Verdict != row.verdict || r.Rule != row.rule {
				t.Errorf("%q: %s by %s, want %s by %s", row.text, r.Verdict, r.Rule, row.verdict, row.rule)
			}
			if r.Text != row.text {
				t.Errorf("the text %q became %q", row.text, r.Text)
			}
			if (r.Verdict == Query) != (r.Ask != "") {
				t.Errorf("verdict %s with the question %q", r.Verdict, r.Ask)
			}
		})
	}
}

// A query says both readings; a lost unit says whether the number was right.
func TestWhatAResultKeeps(t *testing.T) {
	r, err := Judge(number(t, "1250", "1", "Ω", required), "1,250 Ω")
	if err != nil {
		t.Fatal(err)
	}
	if len(r.Readings) != 2 || r.Readings[0].Value.Cmp(rat(t, "1.25")) != 0 || r.Readings[1].Value.Cmp(rat(t, "1250")) != 0 {
		t.Errorf("readings %v", r.Readings)
	}
	if want := "does it mean 1.250\u00a0Ω (wrong) or 1250\u00a0Ω (correct)?"; r.Ask != want {
		t.Errorf("asks %q, want %q", r.Ask, want)
	}
	for _, row := range []struct {
		text  string
		right bool
	}{{"12 V", true}, {"13 V", false}} {
		r, err := Judge(number(t, "12", "0.04", "mA"), row.text)
		if err != nil {
			t.Fatal(err)
		}
		if r.Verdict != WrongUnit || r.NumberRight != row.right || !r.UnitLost {
			t.Errorf("%q: %s, number right %v, unit lost %v", row.text, r.Verdict, r.NumberRight, r.UnitLost)
		}
	}
	r, _ = Judge(number(t, "12", "0.04", "mA", required, figures(3)), "12")
	if !r.UnitLost || !r.FiguresLost || !r.NumberRight {
		t.Errorf("both losses: %+v", r)
	}
}

// The fault of an exercise is found when it is drawn.
func TestFaultyQuestions(t *testing.T) {
	place := func(p string) func(*Number) {
		return func(n *Number) { n.LastPlace = rat(t, p) }
	}
	two := []Option{{ID: "a"}, {ID: "b"}}
	for _, row := range []struct {
		name string
		q    Question
		has  string // empty: no fault
	}{
		{"half a unit of the last place", number(t, "1", "0.005", "V", place("0.01")), ""},
		{"under half", number(t, "1", "0.00499", "V", place("0.01")), "under half a unit"},
		{"nothing", Question{}, "one of number"},
		{"no key", Question{Number: &Number{}}, "needs a key"},
		{"negative tolerance", number(t, "1", "-1", "V"), "below 0"},
		{"required nothing", number(t, "1", "1", "", required), "has none"},
		{"unknown mode", number(t, "1", "1", "V", func(n *Number) { n.Mode = "maybe" }), "maybe"},
		{"half a range", number(t, "1", "1", "V", func(n *Number) { n.Low = rat(t, "1") }), "one end"},
		{"range downwards", number(t, "1", "1", "V", shows(2, 1)), "down to"},
		{"decimal mark", number(t, "1", "1", "V", mark(';')), "neither point"},
		{"figures", number(t, "1", "1", "V", figures(-1)), "-1 figures"},
		{"right option missing", Question{Choice: &Choice{Options: two, Right: "c"}}, "not among"},
		{"a name twice", Question{Choice: &Choice{Options: []Option{{ID: "a", Names: []string{"Low."}}, {ID: "b", Names: []string{" low"}}}, Right: "a"}}, "both called"},
		{"circle", Question{Order: &Order{Steps: two, Before: [][2]string{{"a", "b"}, {"b", "a"}}}}, "waits for"},
		{"unknown step", Question{Order: &Order{Steps: two, Safety: [][2]string{{"a", "c"}}}}, "not there"},
		{"too many steps", Question{Order: &Order{Steps: make([]Option, 17)}}, "no id"},
		{"one step", Question{Order: &Order{Steps: two[:1]}}, "between 2"},
	} {
		_, err := Judge(row.q, "1")
		if (err == nil) != (row.has == "") || err != nil && !strings.Contains(err.Error(), row.has) {
			t.Errorf("%s: %v, want %q", row.name, err, row.has)
		}
	}
}

// digit relies on the ranges of the table holding whole tens.
func TestDigitTable(t *testing.T) {
	for _, x := range unicode.Nd.R16 {
		if x.Stride != 1 || (x.Hi-x.Lo+1)%10 != 0 {
			t.Errorf("%x to %x by %d", x.Lo, x.Hi, x.Stride)
		}
	}
	for _, x := range unicode.Nd.R32 {
		if x.Stride != 1 || (x.Hi-x.Lo+1)%10 != 0 {
			t.Errorf("%x to %x by %d", x.Lo, x.Hi, x.Stride)
		}
	}
}

func TestSafeCell(t *testing.T) {
	for text, want := range map[string]string{
		"": "", "12": "12", "-0.25": "-0.25", "+3": "+3", "-0,25": "-0,25", "-1e3": "-1e3",
		"=1+1": "'=1+1", "-1+1": "'-1+1", "+x": "'+x", "@sum": "'@sum", "\t1": "'\t1", "\r1": "'\r1",
		"-": "'-", "-0.25 %": "'-0.25 %", "low": "low", "−0.25": "−0.25",
	} {
		if got := SafeCell(text); got != want {
			t.Errorf("%q became %q, want %q", text, got, want)
		}
	}
}
