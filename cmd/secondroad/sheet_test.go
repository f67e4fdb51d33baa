package secondroad

import (
	"fmt"
	"strconv"
	"strings"
)

// sheet is one exercise as an apprentice sees it.
type sheet struct {
	num      int
	title    string
	intro    string
	tag      string // the loop that the introduction names; "" where none
	loops    []loopRow
	tables   []seenTable // other tables of givens
	faces    []seenFace
	stations []station
	grid     string // what the empty chart says of itself; "" where none
	drawings []drawing
	parts    []part
	notes    []faceNote // of the reference page
	memo     *memo
	rig      *rig // what the bench card says; nil but for a task at the bench
}

// memo keeps what was understood of an exercise: many apprentices look at it.
type memo struct {
	bench *remembered[bench]
	check *remembered[check]
	asked map[string]*remembered[asked]
	next  *remembered[*nexting]
}

type remembered[T any] struct {
	what T
	err  error
}

func recall[T any](place **remembered[T], see func() (T, error)) (T, error) {
	if *place == nil {
		what, err := see()
		*place = &remembered[T]{what, err}
	}
	return (*place).what, (*place).err
}

// seenTable is a table of givens, cell by cell, the heads of its columns above.
type seenTable struct {
	heads []string
	rows  [][]string
}

// loopRow is a row of the table of loops.
type loopRow struct {
	tag, measures, input, shows, signal, action string
}

// station is one point of a check: facts, boxes and a face.
type station struct {
	facts map[string]string
	boxes map[string]*box
	face  seenFace
}

type part struct {
	label  string
	prompt string
	boxes  []*box
	table  seenTable // what stands in the part's table, boxes and all; no rows where it has none
}

// box is one answer to give. unit stands behind it, decimals beside it, -1
// where the page does not say how many.
type box struct {
	id       string // "a.3"
	label    string
	unit     string
	decimals int
	options  []option // of a choice
	steps    []option // of an order, as printed
	judged   bool     // words for a person to judge
	row      string   // head of its row in a table
	column   string   // head of its column there
}

type option struct {
	letter, text, value string
	face                *seenFace // of an option that is a picture
}

// faceNote is what the reference page says about a face.
type faceNote struct {
	division, small, stop float64 // percent of span
}

// readSheets reads all exercises of a page.
func readSheets(page string) ([]sheet, error) {
	root, err := readHTML(page)
	if err != nil {
		return nil, err
	}
	f := newFaces(root)
	var notes []faceNote
	for _, n := range root.all("div", "face-note") {
		note, err := readNote(n)
		if err != nil {
			return nil, err
		}
		notes = append(notes, note)
	}
	var out []sheet
	for _, n := range root.all("section", "exercise") {
		s, err := readSheet(n, f)
		if err != nil {
			return nil, fmt.Errorf("exercise %d: %w", s.num, err)
		}
		s.notes, s.memo = notes, &memo{asked: map[string]*remembered[asked]{}}
		out = append(out, s)
	}
	return out, nil
}

func readNote(n *node) (faceNote, error) {
	var f faceNote
	for _, c := range []struct {
		before string
		to     *float64
	}{{"One division is ", &f.division}, {"one small mark ", &f.small}, {"the error is at least ", &f.stop}} {
		_, after, ok := strings.Cut(n.words(), c.before)
		v, _, _ := strings.Cut(after, " ")
		p, err := number(v)
		if !ok || err != nil || !strings.HasPrefix(after, v+" % of span") {
			return f, fmt.Errorf("the note on the face does not say %q", c.before)
		}
		*c.to = p
	}
	return f, nil
}

func readSheet(n *node, f *faces) (sheet, error) {
	var s sheet
	num, err := strconv.Atoi(strings.TrimPrefix(n.attr("id"), "x"))
	if err != nil {
		return s, err
	}
	s.num = num
	head := n.first("h3", "").words()
	s.title = strings.TrimPrefix(head, fmt.Sprintf("Exercise %d ", num))
	intro := n.first("div", "intro")
	s.intro = intro.words()
	if tags := intro.all("strong", ""); len(tags) == 1 {
		s.tag = tags[0].words()
	} else if len(tags) > 1 {
		return s, fmt.Errorf("%d loops in the introduction", len(tags))
	}
	for _, fig := range n.all("figure", "") {
		switch {
		case fig.is("", "face-figure"):
			face, err := f.read(fig.first("div", "face"))
			if err != nil {
				return s, err
			}
			face.caption = fig.first("figcaption", "").words()
			s.faces = append(s.faces, face)
		case fig.is("", "grid-figure"):
			s.grid = strings.ReplaceAll(fig.first("svg", "").attr("aria-label"), "\u00a0", " ")
		case fig.is("", "drawing-figure"):
			s.drawings = append(s.drawings, readDrawing(fig.first("svg", "drawing")))
		case fig.is("", "given"):
			if t := readTable(fig); t.heads[0] != "Loop" {
				s.tables = append(s.tables, t)
			} else if s.loops, err = readLoops(fig); err != nil {
				return s, err
			}
		default:
			return s, fmt.Errorf("a figure of class %q", fig.attr("class"))
		}
	}
	for _, p := range n.all("div", "part") {
		if err := s.readPart(p, f); err != nil {
			return s, err
		}
	}
	return s, nil
}

// drawing is a line drawing: its labels, and what it says to those who cannot
// see it.
type drawing struct {
	words  string
	labels []string
}

func readDrawing(svg *node) drawing {
	d := drawing{words: strings.ReplaceAll(svg.attr("aria-label"), "\u00a0", " ")}
	for _, t := range svg.all("text", "") {
		d.labels = append(d.labels, t.words())
	}
	return d
}

func readTable(fig *node) seenTable {
	t := seenTable{heads: readHeads(fig)}
	for _, tr := range fig.first("tbody", "").all("tr", "") {
		var row []string
		for _, k := range tr.kids {
			if k.name != "" {
				row = append(row, k.words())
			}
		}
		t.rows = append(t.rows, row)
	}
	return t
}

// readHeads reads the heads of the columns of the table in n; one empty head
// where it has none.
func readHeads(n *node) []string {
	var out []string
	if head := n.first("thead", ""); head != nil {
		for _, th := range head.all("th", "") {
			out = append(out, th.words())
		}
	}
	if len(out) == 0 {
		return []string{""}
	}
	return out
}

func readLoops(fig *node) ([]loopRow, error) {
	var out []loopRow
	heads := ""
	for _, th := range fig.first("thead", "").all("th", "") {
		heads += th.words() + "|"
	}
	if heads != "Loop|Measures|Transmitter range|Receiver shows|Signal|Action|" {
		return nil, fmt.Errorf("a table of loops with the heads %q", heads)
	}
	for _, tr := range fig.first("tbody", "").all("tr", "") {
		var c []string
		for _, k := range tr.kids {
			if k.name != "" {
				c = append(c, k.words())
			}
		}
		if len(c) != 6 {
			return nil, fmt.Errorf("a row of %d cells", len(c))
		}
		out = append(out, loopRow{c[0], c[1], c[2], c[3], c[4], c[5]})
	}
	return out, nil
}

func (s *sheet) readPart(n *node, f *faces) error {
	p := part{prompt: n.first("div", "ask").words()}
	label := n.first("h4", "label").words()
	p.label = strings.TrimSuffix(strings.TrimPrefix(label, fmt.Sprintf("Exercise %d, part (", s.num)), ")")
	if len(p.label) != 1 {
		return fmt.Errorf("a part called %q", label)
	}
	for _, st := range n.all("div", "station") {
		one := station{facts: map[string]string{}, boxes: map[string]*box{}}
		face, err := f.read(st.first("div", "face"))
		if err != nil {
			return err
		}
		one.face = face
		for _, d := range st.first("dl", "").kids {
			if d.name == "" {
				continue
			}
			dt, dd := d.first("dt", "").words(), d.first("dd", "")
			if dd.first("input", "") == nil {
				one.facts[dt] = dd.words()
				continue
			}
			b, err := s.readBox(dd)
			if err != nil {
				return err
			}
			b.row = dt
			one.boxes[dt] = b
			p.boxes = append(p.boxes, b)
		}
		s.stations = append(s.stations, one)
	}
	for _, tr := range n.all("tr", "") {
		column := -1
		for _, td := range tr.kids {
			if td.name == "" {
				continue
			}
			column++
			if !td.is("td", "box-cell") || td.first("fieldset", "choices") != nil {
				continue // choices are read below
			}
			b, err := s.readBox(td)
			if err != nil {
				return err
			}
			if b.unit == "" {
				b.unit = unitAbove(n, column)
			}
			b.row = tr.first("th", "").words()
			if heads := readHeads(n); column < len(heads) {
				b.column = heads[column]
			}
			p.boxes = append(p.boxes, b)
		}
	}
	if n.first("tbody", "") != nil {
		p.table = readTable(n)
	}
	for _, j := range n.all("div", "judged") {
		id, ok := strings.CutPrefix(j.first("textarea", "").attr("name"), fmt.Sprintf("%d.", s.num))
		if !ok {
			return fmt.Errorf("lines to write on that belong to no box")
		}
		p.boxes = append(p.boxes, &box{id: id, label: j.first("label", "").words(), decimals: -1, judged: true})
	}
	for _, a := range n.all("div", "answer") {
		b, err := s.readBox(a)
		if err != nil {
			return err
		}
		b.label = a.first("label", "").words()
		p.boxes = append(p.boxes, b)
	}
	for _, fs := range n.all("fieldset", "choices") {
		b := &box{decimals: -1, label: fs.first("legend", "").words()}
		drawn := fs.all("div", "drawn-option")
		for i, c := range fs.all("label", "choice") {
			in := c.first("input", "")
			id := strings.TrimPrefix(in.attr("name"), fmt.Sprintf("%d.", s.num))
			if b.id != "" && b.id != id {
				return fmt.Errorf("options of two boxes, %q and %q, in one list", b.id, id)
			}
			b.id = id
			o := option{letter: c.first("span", "letter").words(), text: c.first("span", "option").words(), value: in.attr("value")}
			if i < len(drawn) {
				face, err := f.read(drawn[i].first("div", "face"))
				if err != nil {
					return err
				}
				o.face = &face
			}
			if o.letter != string(rune('A'+i)) {
				return fmt.Errorf("option %d has the letter %q", i, o.letter)
			}
			b.options = append(b.options, o)
		}
		p.boxes = append(p.boxes, b)
	}
	for _, fs := range n.all("fieldset", "order") {
		b := &box{decimals: -1, label: fs.first("legend", "").words()}
		b.id = strings.TrimPrefix(fs.attr("data-box"), fmt.Sprintf("%d.", s.num))
		for i, li := range fs.all("li", "order-step") {
			o := option{letter: li.first("span", "letter").words(), text: li.first("span", "option").words(), value: li.attr("data-step")}
			if o.letter != string(rune('A'+i)) {
				return fmt.Errorf("step %d has the letter %q", i, o.letter)
			}
			b.steps = append(b.steps, o)
		}
		p.boxes = append(p.boxes, b)
	}
	if len(p.boxes) == 0 {
		return fmt.Errorf("part (%s) has no box", p.label)
	}
	for _, b := range p.boxes {
		if len(b.options)+len(b.steps) == 0 && !b.judged && b.unit == "" {
			return fmt.Errorf("the box %s has no unit beside it", b.id)
		}
		if strings.HasPrefix(b.unit, "%") && !strings.HasPrefix(b.unit, "% of ") {
			return fmt.Errorf("the box %s is in %q: percent of what?", b.id, b.unit)
		}
	}
	s.parts = append(s.parts, p)
	return nil
}

// unitAbove is the unit in the head of a column of the table in n.
func unitAbove(n *node, column int) string {
	head := n.first("thead", "")
	if head == nil {
		return ""
	}
	k := -1
	for _, tr := range head.all("tr", "") {
		for _, th := range tr.kids {
			if th.name == "" {
				continue
			}
			if k++; k == column {
				return th.first("span", "unit").words()
			}
		}
	}
	return ""
}

// readBox reads a box for a number with what stands beside it.
func (s *sheet) readBox(n *node) (*box, error) {
	in := n.first("input", "box")
	if in == nil {
		return nil, fmt.Errorf("no box in %q", n.words())
	}
	id, ok := strings.CutPrefix(in.attr("name"), fmt.Sprintf("%d.", s.num))
	if !ok {
		return nil, fmt.Errorf("a box named %q", in.attr("name"))
	}
	if v := in.attr("value"); v != "" {
		return nil, fmt.Errorf("the box %s holds %q already", id, v)
	}
	b := &box{id: id, label: in.attr("aria-label"), unit: n.first("span", "unit").words(), decimals: -1}
	if d := n.first("span", "decimals").words(); d == "whole number" {
		b.decimals = 0
	} else if d != "" {
		k, err := strconv.Atoi(strings.TrimSuffix(strings.TrimSuffix(d, " decimals"), " decimal"))
		if err != nil {
			return nil, err
		}
		b.decimals = k
	}
	return b, nil
}

// number reads a printed number; the minus is the real one. A hyphen is not
// taken for it.
func number(s string) (float64, error) {
	if strings.HasPrefix(s, "-") {
		return 0, fmt.Errorf("a hyphen for a minus: %q", s)
	}
	s = strings.Replace(s, "\u2212", "-", 1)
	if strings.ContainsAny(s, "eExXpPnN_") {
		return 0, fmt.Errorf("no plain number: %q", s)
	}
	return strconv.ParseFloat(s, 64)
}

// quantity reads "−12.5 kPa".
func quantity(s string) (v float64, unit string, err error) {
	n, unit, ok := strings.Cut(s, " ")
	if !ok {
		return 0, "", fmt.Errorf("a quantity without a unit: %q", s)
	}
	v, err = number(n)
	return v, unit, err
}

// interval reads "−12 to −2 kPa" and "4–20 mA".
func interval(s string) (low, high float64, unit string, err error) {
	a, b, ok := strings.Cut(s, " to ")
	if !ok {
		a, b, ok = strings.Cut(s, "\u2013")
	}
	if !ok {
		return 0, 0, "", fmt.Errorf("no range: %q", s)
	}
	if low, err = number(a); err != nil {
		return 0, 0, "", err
	}
	high, unit, err = quantity(b)
	return low, high, unit, err
}
