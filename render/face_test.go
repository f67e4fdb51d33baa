package render

import (
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"sync"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/loop"
)

// usual is the face of trade.md: ten divisions of five small marks.
var usual = scenarios.Face{Divisions: 10, SmallPerDiv: 5, CellLineSmall: 30}

// designs are faces as plant files may ask for them.
var designs = map[string]scenarios.Face{
	"usual":              usual,
	"fine":               {Divisions: 5, SmallPerDiv: 10, CellLineSmall: 25},
	"many divisions":     {Divisions: 20, SmallPerDiv: 2, CellLineSmall: -30},
	"coarse":             {Divisions: 4, SmallPerDiv: 4, CellLineSmall: 0},
	"no small marks":     {Divisions: 6, SmallPerDiv: 1, CellLineSmall: 6},
	"widest that prints": {Divisions: 29, SmallPerDiv: 2, CellLineSmall: 40},
}

func needles(design scenarios.Face) []loop.Needle {
	stop := design.Stop()
	out := []loop.Needle{{Code: -stop, Stop: loop.LeftStop}, {Code: stop, Stop: loop.RightStop}}
	for code := -stop; code <= stop; code++ {
		out = append(out, loop.Needle{Code: code})
	}
	return out
}

// element is one element of a picture, as a reader of XML sees it.
type element struct {
	name string
	attr map[string]string
	turn float64 // by its own and its parents' transforms, degrees
	text string
}

// readPicture reads a face with a parser that knows nothing of this package.
func readPicture(t *testing.T, html []byte) []element {
	t.Helper()
	var out []element
	d := xml.NewDecoder(bytes.NewReader(html))
	var open []int
	for {
		tok, err := d.Token()
		if err == io.EOF {
			return out
		}
		if err != nil {
			t.Fatalf("%v in %s", err, html)
		}
		switch tok := tok.(type) {
		case xml.StartElement:
			e := element{name: tok.Name.Local, attr: map[string]string{}}
			for _, a := range tok.Attr {
				e.attr[a.Name.Local] = a.Value
			}
			if len(open) > 0 {
				e.turn = out[open[len(open)-1]].turn
			}
			if by := e.attr["transform"]; by != "" {
				if !regexp.MustCompile(`^rotate\(-?[\d.]+\)$`).MatchString(by) {
					t.Fatalf("transform %q", by)
				}
				e.turn += numbers(t, by)[0]
			}
			open = append(open, len(out))
			out = append(out, e)
		case xml.EndElement:
			open = open[:len(open)-1]
		case xml.CharData:
			if len(open) > 0 {
				out[open[len(open)-1]].text += string(tok)
			}
		}
	}
}

func find(t *testing.T, picture []element, name, class string) []element {
	t.Helper()
	var out []element
	for _, e := range picture {
		if e.name == name && (class == "" || slices.Contains(strings.Fields(e.attr["class"]), class)) {
			out = append(out, e)
		}
	}
	if len(out) == 0 {
		t.Fatalf("no %s of class %q", name, class)
	}
	return out
}

var number = regexp.MustCompile(`-?\d+(\.\d+)?`)

func numbers(t *testing.T, s string) []float64 {
	t.Helper()
	var out []float64
	for _, m := range number.FindAllString(s, -1) {
		x, err := strconv.ParseFloat(m, 64)
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, x)
	}
	return out
}

type point struct{ x, y float64 }

func (p point) turned(degrees float64) point {
	s, c := math.Sincos(degrees * math.Pi / 180)
	return point{p.x*c - p.y*s, p.x*s + p.y*c}
}

func distance(a, b point) float64 { return math.Hypot(a.x-b.x, a.y-b.y) }

// marks gives the inner ends of the marks of a path "MxyLxy...".
func marks(t *testing.T, path element) []point {
	n := numbers(t, path.attr["d"])
	var out []point
	for i := 0; i+3 < len(n); i += 4 {
		out = append(out, point{n[i], n[i+1]})
	}
	return out
}

// tip gives the end of the needle: the middle of its two highest corners.
func tip(t *testing.T, picture []element) point {
	t.Helper()
	e := find(t, picture, "path", "needle")[0]
	n := numbers(t, e.attr["d"])
	return point{(n[0] + n[2]) / 2, (n[1] + n[3]) / 2}.turned(e.turn)
}

// readNeedle reads a printed face as an apprentice does: it looks for the mark
// at the tip, counts marks from the one numbered 0, and takes the needle to be
// on its stop where it touches a peg.
func readNeedle(t *testing.T, picture []element, perDiv int) (code int, onStop bool) {
	t.Helper()
	var all []point
	for _, class := range []string{"small", "division"} {
		for _, e := range picture {
			if e.name == "path" && e.attr["class"] == class {
				all = append(all, marks(t, e)...)
			}
		}
	}
	slices.SortFunc(all, func(a, b point) int { return int(math.Copysign(1, a.x-b.x)) })

	// The numbers say which mark is which.
	at := map[int]int{} // number of a division -> index of its mark
	for _, e := range picture {
		if e.name != "text" || e.text == "Cell" {
			continue
		}
		n, err := strconv.Atoi(strings.NewReplacer("\u2212", "-", "+", "").Replace(e.text))
		if err != nil {
			t.Fatalf("number %q", e.text)
		}
		p := point{0, numbers(t, e.attr["y"])[0]}.turned(e.turn)
		best := 0
		for i := range all {
			if distance(all[i], p) < distance(all[best], p) {
				best = i
			}
		}
		at[n] = best
	}
	centre, ok := at[0]
	if !ok {
		t.Fatal("no mark is numbered 0")
	}
	for n, i := range at {
		if i-centre != n*perDiv {
			t.Fatalf("the number %d stands at small mark %d", n, i-centre)
		}
	}

	// Where the needle crosses the inner ends of the marks.
	end := tip(t, picture)
	k := math.Hypot(all[centre].x, all[centre].y) / math.Hypot(end.x, end.y)
	end = point{end.x * k, end.y * k}
	best := 0
	for i := range all {
		if distance(all[i], end) < distance(all[best], end) {
			best = i
		}
	}
	spacing := distance(all[centre], all[centre+1])
	if best == 0 || best == len(all)-1 {
		if distance(all[best], end) > 0.7*spacing {
			return best - centre, true
		}
	}
	if d := distance(all[best], end); d > 0.3 {
		t.Fatalf("the needle ends %.2f mm from the nearest mark", d)
	}
	return best - centre, false
}

func TestNeedleIsReadBack(t *testing.T) {
	r := NewRenderer()
	for name, design := range designs {
		for _, small := range []bool{false, true} {
			for _, n := range needles(design) {
				f := exercises.Face{Design: design, Lever: "Current", Ring: 50, Needle: n, CellLine: true}
				picture := readPicture(t, r.appendFace(nil, f, faceOptions{ID: "f", Small: small}))
				code, onStop := readNeedle(t, picture, design.SmallPerDiv)
				if code != n.Code || onStop != (n.Stop != loop.NoStop) {
					t.Errorf("%s, small %v: %+v is read as %d, on its stop %v", name, small, n, code, onStop)
				}
			}
		}
	}
}

// On a stop the needle's edge touches the peg and does not cut it.
func TestNeedleRestsOnPeg(t *testing.T) {
	r := NewRenderer()
	for name, design := range designs {
		for _, n := range needles(design)[:2] {
			picture := readPicture(t, r.appendFace(nil, exercises.Face{Design: design, Needle: n}, faceOptions{ID: "f"}))
			needle := find(t, picture, "path", "needle")[0]
			pegs := find(t, picture, "circle", "peg")
			peg := pegs[0]
			if n.Stop == loop.RightStop {
				peg = pegs[1]
			}
			radius := numbers(t, peg.attr["r"])[0]
			// Into the needle's own frame, in which it points straight up.
			p := point{0, numbers(t, peg.attr["cy"])[0]}.turned(peg.turn - needle.turn)
			c := numbers(t, needle.attr["d"]) // tip left, tip right, base right, base left
			a, b := point{c[2], c[3]}, point{c[4], c[5]}
			if p.x < 0 {
				a, b = point{c[0], c[1]}, point{c[6], c[7]}
			}
			gap := math.Abs((b.x-a.x)*(a.y-p.y)-(a.x-p.x)*(b.y-a.y))/distance(a, b) - radius
			if gap < -0.1 || gap > 0.15 {
				t.Errorf("%s: %v leaves %.2f mm between needle and peg", name, n.Stop, gap)
			}
			if math.Abs(p.x) < radius || (p.x > 0) != (n.Stop == loop.RightStop) {
				t.Errorf("%s: the peg does not hold a needle %v", name, n.Stop)
			}
		}
	}
}

// Printed at 100 % on A4, small marks are at least 1.5 mm apart, 1.2 mm in a
// cell of a table; and the picture is as large as its numbers say.
func TestPrintedSize(t *testing.T) {
	r := NewRenderer()
	const textWidth = 180 // mm, A4 with margins of 15 mm
	for name, design := range designs {
		for _, o := range []faceOptions{{}, {Small: true}, {WidthMM: 60}, {WidthMM: 175}, {WidthMM: 120, Small: true}} {
			o.ID = "f"
			picture := readPicture(t, r.appendFace(nil, exercises.Face{Design: design, CellLine: true}, o))
			svg := find(t, picture, "svg", "")[0]
			w, h := numbers(t, svg.attr["width"])[0], numbers(t, svg.attr["height"])[0]
			box := numbers(t, svg.attr["viewBox"])
			if !strings.HasSuffix(svg.attr["width"], "mm") || box[2] != w || box[3] != h {
				t.Errorf("%s %+v: %s × %s in a view box %s is not to scale", name, o, svg.attr["width"], svg.attr["height"], svg.attr["viewBox"])
			}
			if w > textWidth {
				t.Errorf("%s %+v: %.0f mm is wider than the page", name, o, w)
			}
			if name == "usual" && o.WidthMM == 0 {
				if limit := map[bool][2]float64{false: {155, 60}, true: {130, 40}}[o.Small]; w > limit[0] || h > limit[1] {
					t.Errorf("small %v: %.0f mm × %.0f mm; five small ones and their table must fit on a page", o.Small, w, h)
				}
			}
			if o.WidthMM > 150 && math.Abs(w-float64(o.WidthMM)) > 2 && w < float64(o.WidthMM) {
				t.Errorf("%s: %.1f mm instead of %d mm", name, w, o.WidthMM)
			}
			least := 1.5
			if o.Small {
				least = 1.2
			}
			var all []point
			for _, class := range []string{"small", "division"} {
				all = append(all, marks(t, find(t, picture, "path", class)[0])...)
			}
			slices.SortFunc(all, func(a, b point) int { return int(math.Copysign(1, a.x-b.x)) })
			for i := 1; i < len(all); i++ {
				if d := distance(all[i-1], all[i]); d < least-0.02 { // ends are rounded to 0.01 mm
					t.Fatalf("%s %+v: small marks %.3f mm apart", name, o, d)
				}
			}
			// Numbers and words lie inside the frame.
			for _, e := range find(t, picture, "text", "") {
				p := point{0, numbers(t, e.attr["y"])[0]}.turned(e.turn)
				if p.y < box[1]+1.5 || p.x < box[0]+2.5 || p.x > box[0]+box[2]-2.5 {
					t.Errorf("%s %+v: %q at %.1f, %.1f is cut off by %v", name, o, e.text, p.x, p.y, box)
				}
			}
		}
	}
}

// A face that refers to a scale drawn before on its page shows the same.
func TestSharedScale(t *testing.T) {
	r := NewRenderer()
	var shared sharedScales
	var page []byte
	var alone int
	for i := range 5 {
		f := exercises.Face{Design: usual, Lever: "Current", Needle: loop.Needle{Code: i}, CellLine: true}
		page = r.appendFace(page, f, faceOptions{ID: fmt.Sprintf("f%d", i), Small: i == 2, Shared: &shared})
		alone += len(r.appendFace(nil, f, faceOptions{ID: fmt.Sprintf("f%d", i), Small: i == 2}))
	}
	picture := readPicture(t, append(append([]byte("<body>"), page...), "</body>"...))
	ids := map[string]bool{}
	for _, e := range picture {
		if id, ok := e.attr["id"]; ok {
			if ids[id] {
				t.Errorf("id %q twice", id)
			}
			ids[id] = true
		}
	}
	uses := find(t, picture, "use", "")
	if len(uses) != 3 {
		t.Errorf("%d of the faces refer to another's scale, want 3", len(uses))
	}
	for _, u := range uses {
		if u.attr["href"] != "#f0-scale" || !ids["f0-scale"] {
			t.Errorf("%q refers to no scale of the same size", u.attr["href"])
		}
	}
	if len(page) > alone/2 {
		t.Errorf("sharing saves little: %d of %d bytes", len(page), alone)
	}
}

// The settings are text of the page, not of the picture; the picture gives no
// unit and no percentage away.
func TestSettings(t *testing.T) {
	r := NewRenderer()
	for lever, want := range map[string]string{
		"Rest":    "Lever Rest",
		"Current": "Lever Current Ring 75\u00a0%",
		"Voltage": "Lever Voltage Ring 75\u00a0%",
		"Send":    "Lever Send Ring 75\u00a0%",
		"Cell":    "Lever Cell",
	} {
		got := string(r.appendFace(nil, exercises.Face{Design: usual, Lever: lever, Ring: 75, CellLine: true}, faceOptions{ID: "f", Label: "Reading 2"}))
		svg, after, _ := strings.Cut(got, "</svg>")
		text := strings.Join(strings.Fields(regexp.MustCompile(`<[^>]*>`).ReplaceAllString(strings.ReplaceAll(after, "</span>", "</span> "), "")), " ")
		text = strings.ReplaceAll(text, "75 %", "75\u00a0%") // Fields takes a no-break space for a space
		if text != want {
			t.Errorf("%s: %q, want %q", lever, text, want)
		}
		if strings.Contains(svg, "%") || strings.Contains(svg, "title") {
			t.Errorf("%s: the picture holds a percentage or a title: %s", lever, svg)
		}
		if bold := strings.Contains(svg, `class="cell now"`); bold != (lever == "Cell") {
			t.Errorf("%s: cell line filled %v", lever, bold)
		}
		if !strings.Contains(svg, `role="img"`) || !strings.Contains(svg, `aria-label="Reading 2: needle on the centre mark`) {
			t.Errorf("%s: not named for those who cannot see it: %s", lever, svg)
		}
	}
}

func TestFaceEscapes(t *testing.T) {
	f := exercises.Face{Design: usual, Lever: `<i>"`}
	got := NewRenderer().appendFace(nil, f, faceOptions{ID: `a"b`, Label: `<x>&"`, Shared: &sharedScales{}})
	for _, e := range readPicture(t, got) {
		if e.name == "i" || e.name == "x" {
			t.Errorf("markup came through: %s", got)
		}
	}
}

// Designs that no plant file should hold still give a picture, not a panic.
func TestFaceOfOddDesign(t *testing.T) {
	for name, f := range map[string]exercises.Face{
		"zero design": {},
		"negative":    {Design: scenarios.Face{Divisions: -3, SmallPerDiv: -1, CellLineSmall: -7}, CellLine: true},
		"cell beyond": {Design: scenarios.Face{Divisions: 10, SmallPerDiv: 5, CellLineSmall: 4000}, CellLine: true, Lever: "Cell"},
		"huge":        {Design: scenarios.Face{Divisions: 400, SmallPerDiv: 10}},
		"code beyond": {Design: usual, Needle: loop.Needle{Code: 51}},
	} {
		picture := readPicture(t, NewRenderer().appendFace(nil, f, faceOptions{ID: "f"}))
		svg := find(t, picture, "svg", "")[0]
		if w := numbers(t, svg.attr["width"])[0]; w <= 0 {
			t.Errorf("%s: %v mm wide", name, w)
		}
	}
}

// One renderer draws pages in parallel, and each as alone.
func TestFacesInParallel(t *testing.T) {
	r := NewRenderer()
	draw := func(r *Renderer, i int) string {
		f := exercises.Face{Design: usual, Lever: "Current", Needle: loop.Needle{Code: i}, CellLine: true}
		return string(r.appendFace(nil, f, faceOptions{ID: "f", Small: i%2 == 0}))
	}
	var wg sync.WaitGroup
	for i := range 20 {
		wg.Go(func() {
			if got := draw(r, i); got != draw(NewRenderer(), i) {
				t.Errorf("face %d differs", i)
			}
		})
	}
	wg.Wait()
}

// Against the standard library, which the drawing does without.
func TestSinCos(t *testing.T) {
	for angle := -9000; angle <= 9000; angle += 7 {
		s, c := math.Sincos(float64(angle) * math.Pi / 18000)
		gotS, gotC := sinCos(angle)
		if math.Abs(float64(gotS)/unity-s) > 1e-8 || math.Abs(float64(gotC)/unity-c) > 1e-8 {
			t.Fatalf("%d: got %d, %d, want %.9f, %.9f", angle, gotS, gotC, s, c)
		}
	}
}

func TestHundredths(t *testing.T) {
	for n, want := range map[int]string{0: "0", 5: "0.05", -5: "-0.05", 50: "0.5", -120: "-1.2", 100: "1", 12345: "123.45"} {
		if got := string(appendHundredths(nil, n)); got != want {
			t.Errorf("%d: %s, want %s", n, got, want)
		}
	}
}

func BenchmarkFace(b *testing.B) {
	r := NewRenderer()
	f := exercises.Face{Design: usual, Lever: "Current", Ring: 50, Needle: loop.Needle{Code: -13}, CellLine: true}
	var dst []byte
	for b.Loop() {
		dst = r.appendFace(dst[:0], f, faceOptions{ID: "f"})
	}
}
