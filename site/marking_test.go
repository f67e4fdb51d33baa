package site_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math/big"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"unicode/utf8"

	"loopdrill/exercises/marking"
	"loopdrill/site"
)

// pageQuestion is a question in the words of the pages' marker.
type pageQuestion struct {
	Number *pageNumber `json:"number,omitempty"`
	Choice *pageChoice `json:"choice,omitempty"`
	Order  *pageOrder  `json:"order,omitempty"`
}

type pageNumber struct {
	Key        string `json:"key"`
	Tolerance  string `json:"tolerance"`
	Unit       string `json:"unit"`
	Of         string `json:"of,omitempty"`
	Mode       string `json:"mode,omitempty"`
	Figures    int    `json:"figures,omitempty"`
	Low        string `json:"low,omitempty"`
	High       string `json:"high,omitempty"`
	Mark       string `json:"mark,omitempty"`
	Difference bool   `json:"difference,omitempty"`
}

type pageChoice struct {
	Options [][]string `json:"options"`
	Right   string     `json:"right"`
}

type pageOrder struct {
	Steps  [][]string  `json:"steps"`
	Before [][2]string `json:"before"`
	Safety [][2]string `json:"safety"`
}

func forPage(q marking.Question) pageQuestion {
	names := func(list []marking.Option) (out [][]string) {
		for _, o := range list {
			out = append(out, append([]string{o.ID}, o.Names...))
		}
		return out
	}
	switch {
	case q.Number != nil:
		n := q.Number
		p := &pageNumber{Key: n.Key.RatString(), Tolerance: n.Tolerance.RatString(), Unit: n.Unit, Of: n.Of, Mode: string(n.Mode), Figures: n.Figures, Difference: n.Difference}
		if n.Low != nil {
			p.Low, p.High = n.Low.RatString(), n.High.RatString()
		}
		if n.Mark != 0 {
			p.Mark = string(n.Mark)
		}
		return pageQuestion{Number: p}
	case q.Choice != nil:
		return pageQuestion{Choice: &pageChoice{names(q.Choice.Options), q.Choice.Right}}
	}
	return pageQuestion{Order: &pageOrder{names(q.Order.Steps), q.Order.Before, q.Order.Safety}}
}

// verdictLine is a verdict with what else must be the same in both markers.
func verdictLine(r marking.Result) string {
	s := string(r.Verdict) + " " + string(r.Rule) + " " + strconv.FormatBool(r.NumberRight)
	if r.Verdict == marking.Blank || r.Verdict == marking.Query {
		s = string(r.Verdict) + " " + string(r.Rule)
	}
	if r.Order != nil {
		s += fmt.Sprintf(" [%s] [%s]", strings.Join(r.Order.Nearest, " "), strings.Join(r.Order.Move, " "))
	}
	return s
}

// besideNode is what Node runs: the script of the pages, then a line for each
// case it reads.
const besideNode = `
const {readFileSync} = require("fs");
for (const c of JSON.parse(readFileSync(process.argv[1], "utf8")))
  for (const text of c.texts) {
    const r = marking.judge(c.question, text);
    let s = r.verdict + " " + r.rule;
    if (r.verdict !== "BLANK" && r.verdict !== "QUERY") s += " " + Boolean(r.right);
    if (r.order) s += " [" + r.order.nearest.join(" ") + "] [" + r.order.move.join(" ") + "]";
    out.push(s);
  }
process.stdout.write(out.join("\n") + "\n");`

// inNode judges texts with the script of the pages.
func inNode(t *testing.T, cases []nodeCase) []string {
	t.Helper()
	node, err := exec.LookPath("node")
	if err != nil {
		t.Skip("the marker of the pages was not run: Node is not installed (package nodejs)")
	}
	data, err := json.Marshal(cases)
	if err != nil {
		t.Fatal(err)
	}
	dir := t.TempDir()
	file, script := filepath.Join(dir, "cases.json"), filepath.Join(dir, "beside.js")
	if err := os.WriteFile(file, data, 0o600); err != nil {
		t.Fatal(err)
	}
	source := site.MarkingScript() + "\nconst out = [];" + strings.Replace(besideNode, "process.argv[1]", strconv.Quote(file), 1)
	if err := os.WriteFile(script, []byte(source), 0o600); err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(node, script)
	var stderr bytes.Buffer
	cmd.Stderr = &stderr
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v\n%s", err, stderr.String())
	}
	return strings.Split(strings.TrimSuffix(string(out), "\n"), "\n")
}

type nodeCase struct {
	Question pageQuestion `json:"question"`
	Texts    []string     `json:"texts"`
}

// TestMarkersAgree judges many odd strings with package marking and with the
// script of the pages and wants the same verdict, the same rule, and for orders
// the same steps to move. LOOPDRILL_STRINGS says how many.
func TestMarkersAgree(t *testing.T) {
	total := 24000
	if testing.Short() {
		total = 4000
	}
	if s := os.Getenv("LOOPDRILL_STRINGS"); s != "" {
		n, err := strconv.Atoi(s)
		if err != nil {
			t.Fatal(err)
		}
		total = n
	}
	r := rand.New(rand.NewPCG(6, 20))
	questions := oddQuestions()
	cases := make([]nodeCase, len(questions))
	for i, q := range questions {
		cases[i].Question = forPage(q)
		for range total / len(questions) {
			cases[i].Texts = append(cases[i].Texts, oddText(r, q))
		}
	}
	got := inNode(t, cases)
	n, wrong, seen := 0, 0, map[string]int{}
	for i, c := range cases {
		for _, text := range c.Texts {
			result, err := marking.Judge(questions[i], text)
			if err != nil {
				t.Fatal(err)
			}
			want := verdictLine(result)
			if n >= len(got) || got[n] != want {
				if wrong++; wrong <= 12 {
					line := "nothing"
					if n < len(got) {
						line = got[n]
					}
					t.Errorf("question %d, %q: the page says %q, package marking %q", i, text, line, want)
				}
			}
			seen[string(result.Rule)]++
			n++
		}
	}
	if wrong > 0 {
		t.Errorf("%d of %d strings judged differently", wrong, n)
	}
	t.Logf("%d strings: %v", n, seen)
	// The strings must reach the rules, or their agreement says nothing.
	for _, rule := range []marking.Rule{marking.RuleHidden, marking.RuleLong, marking.RuleScripts, marking.RuleGroups, marking.RuleTwoReadings, marking.RuleExponent,
		marking.RulePrefix, marking.RuleUnitUnknown, marking.RuleUnitOther, marking.RuleUnitMissing, marking.RuleWithin, marking.RuleOutside, marking.RuleOneAnswer,
		marking.RuleBlank, marking.RuleFigures, marking.RuleOption, marking.RuleTwoOptions, marking.RuleNoOption, marking.RuleOrder, marking.RuleSafety, marking.RuleNoStep} {
		if seen[string(rule)] == 0 {
			t.Errorf("no string was judged by %s", rule)
		}
	}
}

func oddQuestions() []marking.Question {
	rat := func(s string) *big.Rat { x, _ := new(big.Rat).SetString(s); return x }
	number := func(key, tolerance, unit string, more func(*marking.Number)) marking.Question {
		n := &marking.Number{Key: rat(key), Tolerance: rat(tolerance), Unit: unit, Mode: marking.UnitGiven}
		if more != nil {
			more(n)
		}
		return marking.Question{Number: n}
	}
	options := func(list ...string) (out []marking.Option) {
		for _, s := range list {
			id, name, _ := strings.Cut(s, "=")
			out = append(out, marking.Option{ID: id, Names: []string{name}})
		}
		return out
	}
	return []marking.Question{
		number("12", "0.04", "mA", func(n *marking.Number) { n.Mode, n.Figures = marking.UnitRequired, 3 }),
		number("-1/4", "0.005", "%", func(n *marking.Number) { n.Of = "of span" }),
		number("1250", "1", "Ω", func(n *marking.Number) { n.Mark = '.' }),
		number("4.125", "0.005", "mA", func(n *marking.Number) { n.Low, n.High = rat("0"), rat("24") }),
		number("100", "0.5", "°C", nil),
		number("9", "0.5", "°C", func(n *marking.Number) { n.Difference, n.Mode = true, marking.UnitRequired }),
		number("7", "0", "", nil),
		number("0.5", "0.1", "%/div", nil),
		number("15000", "50", "Pa", func(n *marking.Number) { n.Mark = ',' }),
		number("1200000", "500", "µA", func(n *marking.Number) { n.Figures = 2 }),
		{Choice: &marking.Choice{Options: options("low=loop low", "high=loop high", "right=neither, it is right", "x=Übrig"), Right: "low"}},
		{Order: &marking.Order{Steps: options("p=permit", "c=control room", "v=block valves", "e=equalise", "r=read"), Marks: 4,
			Before: [][2]string{{"v", "e"}, {"e", "r"}}, Safety: [][2]string{{"p", "v"}}}},
		{Order: &marking.Order{Steps: options("a=first", "b=second", "c=third"), Marks: 3, Before: [][2]string{{"a", "b"}, {"b", "c"}}}},
	}
}

var (
	oddDigits = []rune("0٠०０𝟎")
	oddPieces = []string{" ", "\u00a0", "\u2009", "\u202f", "\t", ",", ".", "·", "٫", "٬", "⋅", "．", "，", "'", "-", "−", "–", "+", "±", "/", "or", " or ", "to", "~", "=", "e", "E", "x10^", " × 10^",
		"^", "%", "% of span", "mA", "MA", "ma", "µA", "μA", "V", "mV", "MV", "volts", "ohm", "Ω", "Ω", "kΩ", "Mohm", "mohm", "°C", "ºC", "K", "°F", "psi", "kPa", "bar", "mbar", "inH2O", "m", "M", "gpm", "div", "%/div",
		"\u200b", "\ufe0f", "\u00ad", "\x07", "\ud7ff", "\U0001f600", "é", "ß", "İ", "ſ", "NaN", "Inf", "0x1F", "1_000", "(", ")", "*", "_", "per cent", "Percent", "h", "min", "→", ">", ";", "|", "&", "and"}
)

// oddText makes a text: something like an answer to the question, mended for
// the worse, or pieces put together at random.
func oddText(r *rand.Rand, q marking.Question) string {
	var b strings.Builder
	pick := func(list []string) string { return list[r.IntN(len(list))] }
	piece := func() { b.WriteString(pick(oddPieces)) }
	switch {
	case q.Choice != nil || q.Order != nil:
		var names []string
		list := []marking.Option{}
		if q.Choice != nil {
			list = q.Choice.Options
		} else {
			list = q.Order.Steps
		}
		for _, o := range list {
			names = append(names, o.ID, o.Names[0], strings.ToUpper(o.ID))
		}
		separator := pick([]string{",", ", ", ";", " ", "→", " > ", "", "/", " or ", " and "})
		if q.Order != nil && r.IntN(3) > 0 {
			for i, k := range r.Perm(len(list))[r.IntN(2):] {
				if i > 0 {
					b.WriteString(separator)
				}
				b.WriteString(names[3*k+r.IntN(3)])
			}
		} else {
			for i := range 1 + r.IntN(3) {
				if i > 0 {
					b.WriteString(separator)
				}
				b.WriteString(pick(names))
			}
		}
		if r.IntN(6) == 0 {
			b.WriteString(pick([]string{".", " ", "..", "\u200b", "!"}))
		}
		if r.IntN(12) == 0 {
			return pick([]string{"", "-", " ", "–", "."})
		}
		return b.String()
	}
	n := q.Number
	if r.IntN(8) == 0 { // anything
		for range r.IntN(12) {
			if r.IntN(2) == 0 {
				b.WriteString(strconv.Itoa(r.IntN(2000)))
			} else {
				piece()
			}
		}
		return b.String()
	}
	// A number near the key, on its tolerance, or elsewhere.
	x := new(big.Rat).Set(n.Key)
	switch r.IntN(6) {
	case 0, 1:
	case 2:
		x.Add(x, n.Tolerance)
	case 3:
		x.Sub(x, n.Tolerance)
	case 4:
		x.Add(x, big.NewRat(int64(r.IntN(21)-10), 100))
	case 5:
		x.Mul(x, big.NewRat([]int64{1, 10, 1000, -1}[r.IntN(4)], []int64{1, 10, 1000, 1000000}[r.IntN(4)]))
	}
	s := x.FloatString(r.IntN(5))
	if r.IntN(6) == 0 {
		s = strings.Replace(x.FloatString(3), ".", ",", 1) // a decimal comma or groups of three
	}
	if r.IntN(3) == 0 {
		s = strings.Replace(s, ".", pick([]string{",", "·", "٫", "．", "", " "}), 1)
	}
	if r.IntN(5) == 0 && utf8.RuneCountInString(s) > 4 { // groups
		at, runes := 1+r.IntN(3), []rune(s)
		s = string(runes[:at]) + pick([]string{",", ".", " ", "'"}) + string(runes[at:])
	}
	if r.IntN(4) == 0 {
		s = strings.Replace(s, "-", pick([]string{"−", "–", "+", "--", "- ", "－"}), 1)
	}
	if r.IntN(7) == 0 {
		zero := oddDigits[r.IntN(len(oddDigits))]
		every := r.IntN(3) > 0
		s = strings.Map(func(c rune) rune {
			if c >= '0' && c <= '9' && (every || r.IntN(2) == 0) {
				return zero + c - '0'
			}
			return c
		}, s)
	}
	b.WriteString(s)
	if r.IntN(8) == 0 {
		b.WriteString(pick([]string{"e", "E", "x10^", " × 10^", "X 10^"}) + strconv.Itoa(r.IntN(7)-3) + strings.Repeat("0", r.IntN(3)/2))
	}
	if r.IntN(3) > 0 {
		b.WriteString(pick([]string{"", " ", "\u00a0", "  "}))
		unit := pick([]string{n.Unit, n.Unit, pick(oddPieces)})
		switch r.IntN(4) {
		case 0:
			unit = strings.ToUpper(unit)
		case 1:
			unit = strings.ToLower(unit)
		}
		b.WriteString(unit)
	}
	for r.IntN(9) == 0 {
		piece()
	}
	if r.IntN(40) == 0 {
		b.WriteString(strings.Repeat("0", 40+r.IntN(40)))
	}
	if r.IntN(40) == 0 {
		return pick([]string{"", " ", "-", "—", " - "})
	}
	return b.String()
}
