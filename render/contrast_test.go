package render

import (
	"fmt"
	"math"
	"os"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// styles reads the custom properties of a style sheet: what :root sets at
// first, and what it sets again for dark screens and for paper.
func styles(t *testing.T, css string) (light, dark, paper map[string]string) {
	t.Helper()
	css = regexp.MustCompile(`(?s)/\*.*?\*/`).ReplaceAllString(css, "")
	light, dark, paper = map[string]string{}, map[string]string{}, map[string]string{}
	rule := regexp.MustCompile(`(?s):root\s*\{(.*?)\}`)
	property := regexp.MustCompile(`(--[a-z-]+)\s*:\s*([^;}]+)`)
	for _, m := range rule.FindAllStringSubmatchIndex(css, -1) {
		set := light
		// The conditions that hold here are the blocks still open.
		switch around := enclosing(css[:m[0]]); {
		case strings.Contains(around, "prefers-color-scheme: dark"):
			set = dark
		case strings.Contains(around, "@media print"):
			set = paper
		}
		for _, p := range property.FindAllStringSubmatch(css[m[2]:m[3]], -1) {
			set[p[1]] = strings.TrimSpace(p[2])
		}
	}
	for k, v := range light {
		for _, other := range []map[string]string{dark, paper} {
			if _, set := other[k]; !set {
				other[k] = v
			}
		}
	}
	return light, dark, paper
}

// enclosing lists the heads of the blocks that css leaves open.
func enclosing(css string) string {
	var open []string
	start := 0
	for i, c := range css {
		switch c {
		case '{':
			open = append(open, css[start:i])
			start = i + 1
		case '}':
			if len(open) > 0 {
				open = open[:len(open)-1]
			}
			start = i + 1
		case ';':
			start = i + 1
		}
	}
	return strings.Join(open, " ")
}

// luminance is the relative luminance of a colour #rgb or #rrggbb, and
// contrast the ratio of two, both as defined in WCAG 2.2 (W3C Recommendation,
// "relative luminance", "contrast ratio").
func luminance(t *testing.T, colour string) float64 {
	t.Helper()
	hex := strings.TrimPrefix(colour, "#")
	if len(hex) == 3 {
		hex = string([]byte{hex[0], hex[0], hex[1], hex[1], hex[2], hex[2]})
	}
	n, err := strconv.ParseUint(hex, 16, 32)
	if err != nil || len(hex) != 6 {
		t.Fatalf("colour %q", colour)
	}
	var sum float64
	for i, weight := range []float64{0.0722, 0.7152, 0.2126} {
		c := float64(n>>(8*i)&0xff) / 255
		if c <= 0.04045 {
			c /= 12.92
		} else {
			c = math.Pow((c+0.055)/1.055, 2.4)
		}
		sum += weight * c
	}
	return sum
}

func contrast(t *testing.T, a, b string) float64 {
	x, y := luminance(t, a), luminance(t, b)
	return (max(x, y) + 0.05) / (min(x, y) + 0.05)
}

// colour works out a chain "var(--a, var(--b, #c))" with the properties of a
// page.
func colour(t *testing.T, value string, page map[string]string) string {
	t.Helper()
	for range 10 {
		inner, ok := strings.CutPrefix(value, "var(")
		if !ok {
			return value
		}
		name, fallback, _ := strings.Cut(strings.TrimSuffix(inner, ")"), ",")
		if v, set := page[strings.TrimSpace(name)]; set {
			value = v
		} else {
			value = strings.TrimSpace(fallback)
		}
	}
	t.Fatalf("no end to %q", value)
	return ""
}

// faceColour finds what the style of the face sets for a selector.
func faceColour(t *testing.T, selector, property string) string {
	t.Helper()
	m := regexp.MustCompile(`(?m)^` + regexp.QuoteMeta(selector) + ` \{([^}]*)\}`).FindStringSubmatch(faceCSS)
	if m == nil {
		t.Fatalf("no rule for %s", selector)
	}
	v := regexp.MustCompile(`(?:^|[; ])` + property + `: ([^;}]+)`).FindStringSubmatch(m[1])
	if v == nil {
		t.Fatalf("%s has no %s", selector, property)
	}
	return strings.TrimSpace(v[1])
}

// The needle and all that it is read against stand out from the face by 3:1 at
// least (WCAG 2.2, 1.4.11), on a light and a dark screen, on paper, and on a
// page that sets no colours.
func TestNeedleContrast(t *testing.T) {
	css, err := os.ReadFile("../site/assets/style.css")
	if err != nil {
		t.Fatal(err)
	}
	light, dark, paper := styles(t, string(css))
	if light["--paper"] == "" || dark["--paper"] == light["--paper"] {
		t.Fatalf("the style has no light and dark paper: %q, %q", light["--paper"], dark["--paper"])
	}
	for name, page := range map[string]map[string]string{"light": light, "dark": dark, "paper": paper, "bare": {}} {
		ground := colour(t, faceColour(t, ".edge", "fill"), page)
		for what, value := range map[string]string{
			"needle":        faceColour(t, ".face .needle", "fill"),
			"small mark":    faceColour(t, ".small", "stroke"),
			"division mark": faceColour(t, ".division", "stroke"),
			"number":        faceColour(t, ".face svg", "fill"),
			"peg":           faceColour(t, ".peg", "fill"),
			"cell line":     faceColour(t, ".face .cell path", "stroke"),
		} {
			if c := contrast(t, colour(t, value, page), ground); c < 3 {
				t.Errorf("%s: %s has a contrast of %.2f to the face", name, what, c)
			}
		}
		// The needle lies on marks, and on dark ones it must still be seen.
		if c := contrast(t, colour(t, faceColour(t, ".face .needle", "fill"), page), colour(t, faceColour(t, ".division", "stroke"), page)); c < 1.5 {
			t.Errorf("%s: needle against marks only %.2f", name, c)
		}
	}
}

// Against published pairs: black on white is 21:1; #767676 on white is the
// well-known lightest grey of 4.5:1 (WCAG 2.2, technique G18 computes 4.54).
func TestContrastFormula(t *testing.T) {
	for name, row := range map[string]struct{ a, b, want string }{
		"black on white": {"#000", "#ffffff", "21.00"},
		"same":           {"#abc", "#aabbcc", "1.00"},
		"grey on white":  {"#767676", "#fff", "4.54"},
	} {
		if got := fmt.Sprintf("%.2f", contrast(t, row.a, row.b)); got != row.want {
			t.Errorf("%s: %s, want %s", name, got, row.want)
		}
	}
}
