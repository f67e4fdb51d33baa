package secondroad

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"
	"testing"
)

// seenFace is a meter face as read from the page.
type seenFace struct {
	caption string
	lever   string
	ring    int // percent of span; -1 where none is printed
	marks   int // where the needle stands: small marks right of the centre; at a stop those of the last mark
	stop    int // -1 on the left stop, +1 on the right, 0 free
	cell    int // small marks of the cell line
	scale   *scale
}

// scale is a drawn scale: the marks to the right of the centre and to the left
// are counted on it, nothing about it is known beforehand.
type scale struct {
	right, left []float64 // angles of all marks on that side, outwards, degrees
	perDiv      int       // small marks in a division
	pegs        [2]float64
}

func (s *scale) divisions() int { return len(s.right) / s.perDiv }

const sameAngle = 0.03 // degrees; a small mark is 0.7 or 1 degree

// readScale measures a scale in a drawing.
func readScale(g *node) (*scale, error) {
	type mark struct {
		angle    float64
		division bool
	}
	var marks []mark
	for _, p := range g.all("path", "") {
		division := p.is("", "division")
		if !division && !p.is("", "small") {
			continue
		}
		for _, one := range strings.Split(strings.TrimPrefix(p.attr("d"), "M"), "M") {
			from, to, ok := strings.Cut(one, "L")
			x, y, err := point(from)
			x2, y2, err2 := point(to)
			if !ok || err != nil || err2 != nil {
				return nil, fmt.Errorf("a mark that is no line: %q", one)
			}
			a, b := math.Atan2(x, -y)*180/math.Pi, math.Atan2(x2, -y2)*180/math.Pi
			if math.Abs(a-b) > sameAngle {
				return nil, fmt.Errorf("a mark that does not point to the pivot: %q", one)
			}
			marks = append(marks, mark{a, division})
		}
	}
	slices.SortFunc(marks, func(a, b mark) int {
		if a.angle < b.angle {
			return -1
		}
		return 1
	})
	centre := -1
	for i, m := range marks {
		if math.Abs(m.angle) < sameAngle && m.division {
			centre = i
		}
	}
	if centre < 0 || len(marks) != 2*centre+1 {
		return nil, fmt.Errorf("%d marks, centre %d", len(marks), centre)
	}
	s := &scale{}
	for k := 1; k <= centre; k++ {
		r, l := marks[centre+k], marks[centre-k]
		s.right, s.left = append(s.right, r.angle), append(s.left, -l.angle)
		if r.division != l.division {
			return nil, fmt.Errorf("the sides of the scale differ at mark %d", k)
		}
		if r.division && s.perDiv == 0 {
			s.perDiv = k
		}
		if r.division != (s.perDiv > 0 && k%s.perDiv == 0) {
			return nil, fmt.Errorf("mark %d is drawn as the wrong kind", k)
		}
	}
	// The numbers must say what the counting gives.
	numbers := 0
	for _, t := range g.all("text", "") {
		n, err := number(t.words())
		if err != nil {
			continue // the word at the cell line
		}
		angle := 0.0
		if a := t.attr("transform"); a != "" {
			if angle, err = rotation(a); err != nil {
				return nil, err
			}
		}
		numbers++
		at, stop, err := s.count(angle)
		if err != nil || stop != 0 || float64(at) != n*float64(s.perDiv) {
			return nil, fmt.Errorf("the number %v stands at mark %d (%v)", n, at, err)
		}
	}
	if numbers < 3 {
		return nil, fmt.Errorf("%d numbers on the scale", numbers)
	}
	pegs := g.all("circle", "peg")
	if len(pegs) != 2 {
		return nil, fmt.Errorf("%d pegs", len(pegs))
	}
	for i, p := range pegs {
		a, err := rotation(p.attr("transform"))
		if err != nil {
			return nil, err
		}
		s.pegs[i] = a
	}
	if s.pegs[0] >= -s.left[centre-1] || s.pegs[1] <= s.right[centre-1] {
		return nil, fmt.Errorf("pegs at %v, inside the scale", s.pegs)
	}
	return s, nil
}

// count reads what something turned to an angle points at: the mark, counted
// from the centre, or a stop beyond the last one.
func (s *scale) count(angle float64) (marks, stop int, err error) {
	side, sign := s.right, 1
	if angle < 0 {
		side, sign, angle = s.left, -1, -angle
	}
	if angle < sameAngle {
		return 0, 0, nil
	}
	for i, a := range side {
		if math.Abs(a-angle) < sameAngle {
			return sign * (i + 1), 0, nil
		}
	}
	last := side[len(side)-1]
	step := last - side[len(side)-2]
	peg := math.Abs(s.pegs[(sign+1)/2])
	if angle > last+step/2 && angle < peg && peg-angle < 2.5*step {
		return sign * len(side), sign, nil
	}
	return 0, 0, fmt.Errorf("an angle of %v degrees points at no mark and at no stop", float64(sign)*angle)
}

// faces reads faces; scales drawn once and referred to are read once.
type faces struct {
	byID   map[string]*node // scales of the page
	scales map[string]*scale
}

func newFaces(page *node) *faces {
	f := &faces{map[string]*node{}, map[string]*scale{}}
	for _, svg := range page.all("svg", "") {
		for _, g := range svg.kids {
			if g.is("g", "") && g.attr("id") != "" {
				f.byID[g.attr("id")] = g
			}
		}
	}
	return f
}

// read reads the face in an element of class "face".
func (f *faces) read(n *node) (seenFace, error) {
	out := seenFace{ring: -1}
	svg := n.first("svg", "")
	if svg == nil {
		return out, fmt.Errorf("a face without a drawing")
	}
	id := ""
	for _, k := range svg.kids {
		switch {
		case k.is("use", ""):
			id = strings.TrimPrefix(k.attr("href"), "#")
		case k.is("g", "") && k.attr("id") != "":
			id = k.attr("id")
		}
	}
	if f.byID[id] == nil {
		return out, fmt.Errorf("the scale %q is not on the page", id)
	}
	if f.scales[id] == nil {
		s, err := readScale(f.byID[id])
		if err != nil {
			return out, err
		}
		f.scales[id] = s
	}
	out.scale = f.scales[id]
	needles := svg.all("path", "needle")
	if len(needles) != 1 {
		return out, fmt.Errorf("%d needles", len(needles))
	}
	if err := upright(needles[0].attr("d")); err != nil {
		return out, err
	}
	angle, err := rotation(needles[0].attr("transform"))
	if err != nil {
		return out, err
	}
	if out.marks, out.stop, err = out.scale.count(angle); err != nil {
		return out, err
	}
	cell := svg.first("g", "cell")
	if cell == nil {
		return out, fmt.Errorf("no cell line")
	}
	if angle, err = rotation(cell.attr("transform")); err != nil {
		return out, err
	}
	if out.cell, _, err = out.scale.count(angle); err != nil {
		return out, err
	}
	for _, s := range n.all("span", "") {
		name, value, _ := strings.Cut(s.words(), " ")
		switch name {
		case "Lever":
			out.lever = value
		case "Ring":
			p, err := number(strings.TrimSuffix(value, " %"))
			if err != nil {
				return out, err
			}
			out.ring = int(p)
		}
	}
	return out, out.agree(svg.attr("aria-label"))
}

// agree holds the words for readers who cannot see the face against the
// picture.
func (s seenFace) agree(words string) error {
	for _, tell := range []string{"%", "percent", "low", "high", "mA", "volt", "span"} {
		if strings.Contains(words, tell) {
			return fmt.Errorf("the words of the face tell more than it shows: %q", words)
		}
	}
	needle, cell, hasCell := strings.Cut(strings.TrimPrefix(words, "needle "), "; cell line ")
	marks, stop, err := s.scale.fromWords(needle)
	if err != nil {
		return err
	}
	if marks != s.marks || stop != s.stop {
		return fmt.Errorf("the picture shows mark %d (stop %d), its words say %q", s.marks, s.stop, words)
	}
	if hasCell {
		if marks, _, err = s.scale.fromWords(cell); err != nil {
			return err
		}
		if marks != s.cell {
			return fmt.Errorf("the cell line is drawn at mark %d, the words say %q", s.cell, cell)
		}
	}
	if (s.lever == "Cell") != hasCell {
		return fmt.Errorf("lever at %q, words %q", s.lever, words)
	}
	return nil
}

var (
	counts = strings.Fields("no one two three four five six seven eight nine ten")
	ranks  = strings.Fields("none first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth " +
		"thirteenth fourteenth fifteenth sixteenth seventeenth eighteenth nineteenth twentieth")
)

// fromWords turns "three small marks left of the second division mark left of
// centre" into small marks.
func (s *scale) fromWords(words string) (marks, stop int, err error) {
	switch words {
	case "on the centre mark":
		return 0, 0, nil
	case "resting on its left stop":
		return -len(s.left), -1, nil
	case "resting on its right stop":
		return len(s.right), 1, nil
	}
	bad := fmt.Errorf("words that say no place: %q", words)
	rest, side := "", 1
	if r, ok := strings.CutSuffix(words, " right of centre"); ok {
		rest = r
	} else if r, ok := strings.CutSuffix(words, " left of centre"); ok {
		rest, side = r, -1
	} else {
		return 0, 0, bad
	}
	small, division, found := strings.Cut(rest, " of the ")
	if !found {
		if d, ok := strings.CutPrefix(rest, "on the "); ok {
			small, division = "", d
		} else {
			small, division = rest, ""
		}
	} else {
		var ok bool
		if small, ok = strings.CutSuffix(small, map[int]string{1: " right", -1: " left"}[side]); !ok {
			return 0, 0, bad
		}
	}
	if division != "" {
		rank, ok := strings.CutSuffix(division, " division mark")
		n := slices.Index(ranks, rank)
		if !ok || n < 1 {
			return 0, 0, bad
		}
		marks = n * s.perDiv
	}
	if small != "" {
		count, noun, _ := strings.Cut(small, " ")
		n := slices.Index(counts, count)
		if n < 1 || n >= s.perDiv || noun != map[bool]string{true: "small mark", false: "small marks"}[n == 1] {
			return 0, 0, bad
		}
		marks += n
	}
	return side * marks, 0, nil
}

// rotation reads "rotate(-2.1)".
func rotation(s string) (float64, error) {
	s, ok := strings.CutPrefix(s, "rotate(")
	s, ok2 := strings.CutSuffix(s, ")")
	if !ok || !ok2 {
		return 0, fmt.Errorf("no rotation: %q", s)
	}
	return strconv.ParseFloat(s, 64)
}

// point reads "12.5 -3".
func point(s string) (x, y float64, err error) {
	a, b, ok := strings.Cut(strings.TrimSpace(s), " ")
	if !ok {
		return 0, 0, fmt.Errorf("no point: %q", s)
	}
	if x, err = strconv.ParseFloat(a, 64); err != nil {
		return 0, 0, err
	}
	y, err = strconv.ParseFloat(b, 64)
	return x, y, err
}

// upright checks that a needle that is not turned points straight up: each
// corner has its mirror image.
func upright(d string) error {
	corners := strings.Split(strings.TrimSuffix(strings.TrimPrefix(d, "M"), "Z"), "L")
	sum, top := 0.0, 0.0
	for _, c := range corners {
		x, y, err := point(c)
		if err != nil {
			return err
		}
		sum += x
		top = min(top, y)
	}
	if math.Abs(sum) > 1e-9 || top > -10 {
		return fmt.Errorf("a needle that does not point up: %q", d)
	}
	return nil
}

// TestWordsOfFaces reads words by hand-made rows.
func TestWordsOfFaces(t *testing.T) {
	s := &scale{perDiv: 5, left: make([]float64, 50), right: make([]float64, 50)}
	for _, c := range []struct {
		words       string
		marks, stop int
		bad         bool
	}{
		{"on the centre mark", 0, 0, false},
		{"one small mark right of centre", 1, 0, false},
		{"four small marks left of centre", -4, 0, false},
		{"on the first division mark right of centre", 5, 0, false},
		{"three small marks left of the second division mark left of centre", -13, 0, false},
		{"resting on its left stop", -50, -1, false},
		{"three small marks right of the second division mark left of centre", 0, 0, true},
		{"five small marks right of centre", 0, 0, true},
		{"one small marks right of centre", 0, 0, true},
		{"needle", 0, 0, true},
	} {
		marks, stop, err := s.fromWords(c.words)
		if (err != nil) != c.bad || marks != c.marks || stop != c.stop {
			t.Errorf("%q: mark %d, stop %d, %v", c.words, marks, stop, err)
		}
	}
}
