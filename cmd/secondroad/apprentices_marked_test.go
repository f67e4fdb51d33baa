package secondroad

import (
	"fmt"
	"io/fs"
	"maps"
	"math"
	"math/rand/v2"
	"path"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"loopdrill/exercises"
	"loopdrill/exercises/families"
	"loopdrill/exercises/marking"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/shipped"
)

// This file lets the marker loose on simulated apprentices: careful ones, ones
// who make one slip, and ones who guess. Whoever has a road works from the page;
// for a family without one the answers are written from the key, and the table
// says so.

// slipForms is how many forms each slip is to be made on.
const slipForms = 200

// tally is how an apprentice of one slip fared with the marker.
type tally struct {
	forms, wrong, named, shared int // shared: named together with another slip
	byKey                       bool
}

// guesses is how those fared who guess the numbers of a family.
type guesses struct {
	numbers, wrong, named int
	covered               float64 // share of the grid that slips' windows cover, added up
}

// familyCourses are courses that ask one family at every level about the plants
// that are shipped; those that can be drawn.
func familyCourses(t *testing.T, family string) []prepared {
	t.Helper()
	var out []prepared
	for _, name := range shipped.Names() {
		fsys, err := shipped.Course(name)
		if err != nil {
			t.Fatal(err)
		}
		files := fstest.MapFS{"lessons/1.md": {Data: []byte("# Every loop\n\n```goals\n- work every kind of loop\n```\n\nNothing to read.\n")}}
		plants, err := fs.Glob(fsys, "plants/*.yaml")
		if err != nil {
			t.Fatal(err)
		}
		var ids []string
		for _, p := range plants {
			b, err := fs.ReadFile(fsys, p)
			if err != nil {
				t.Fatal(err)
			}
			files[p] = &fstest.MapFile{Data: b}
			ids = append(ids, strings.TrimSuffix(path.Base(p), ".yaml"))
		}
		for _, level := range []string{"easy", "usual", "hard"} {
			for _, id := range ids {
				yaml := fmt.Sprintf("course: wide\ntitle: Wide\npurpose: Work every kind of loop.\nplants: [%s]\nlessons:\n  - id: only\n    file: lessons/1.md\n    exercises:\n      - {id: x, title: Exercise, family: %s, level: %s}\n", id, family, level)
				files["course.yaml"] = &fstest.MapFile{Data: []byte(yaml)}
				if p, err := prepare(family+", "+level+", "+id, maps.Clone(files)); err == nil {
					out = append(out, p)
				}
			}
		}
	}
	return out
}

// TestApprenticesMarked is the proof that slips are named: for each slip an
// apprentice who makes just that slip, on 200 forms; and that guesses are not.
// Run with -v for the table; DEVELOPERS.md keeps it.
func TestApprenticesMarked(t *testing.T) {
	per := 900
	if raceEnabled || testing.Short() {
		per = 60
	}
	for _, f := range families.All() {
		t.Run(f.Spec().Name, func(t *testing.T) {
			t.Parallel()
			m := markedFamily{family: f.Spec().Name, slips: map[string]*tally{}, r: rand.New(rand.NewPCG(1, 2))}
			courses := familyCourses(t, m.family)
			if len(courses) == 0 {
				t.Fatalf("no shipped plant has what %s asks about", m.family)
			}
			for _, c := range courses {
				m.course(t, c, max(1, per/len(courses)))
			}
			m.report(t, per >= 900)
		})
	}
}

// markedFamily gathers the figures of one family.
type markedFamily struct {
	family          string
	careful, byPage int
	slips           map[string]*tally
	guesses         guesses
	r               *rand.Rand
	stumbled, said  int
}

func (m *markedFamily) course(t *testing.T, c prepared, forms int) {
	const page = 30
	for from := 1; from <= forms; from += page {
		b := newBook(t, c, from, min(page, forms-from+1))
		sheets, err := readSheets(b.html)
		read := err == nil && len(sheets) == len(b.keys) && b.deal(sheets) == nil
		for n, k := range b.keys {
			var s *sheet
			var mine replies
			if read {
				s = &sheets[n]
				if mine, err = workedBy(*s); err != nil {
					if m.stumbled++; m.stumbled < 3 {
						t.Logf("%s: not worked from the page: %v", k.where(b.course), err)
					}
					s = nil
				}
			}
			m.exercise(t, b, k, s, mine)
			if m.said > 5 {
				t.Fatal("and more")
			}
		}
	}
}

// workedBy works a sheet by its road. A page that the roads do not know may make
// them stumble.
func workedBy(s sheet) (mine replies, err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("no road: %v", p)
		}
	}()
	if r := s.road(); r != nil {
		return r.work(s)
	}
	return s.work()
}

func (m *markedFamily) exercise(t *testing.T, b *book, k keyOf, s *sheet, mine replies) {
	right, hand, marks := fromKey(k.item)
	if s != nil {
		for box, r := range mine {
			right[box] = m.text(k.item, box, r)
		}
		m.byPage++
	}
	terms := marking.Terms{Hand: hand}
	r, err := marking.MarkItem(k.item, right, terms)
	if err != nil {
		t.Fatal(err)
	}
	m.careful++
	if r.Least != marks || r.Most != marks {
		m.said++
		t.Errorf("%s: a careful apprentice earns %d to %d of %d: %v", k.where(b.course), r.Least, r.Most, marks, right)
	}
	for i, key := range k.item.Key.Parts {
		done := map[string]bool{}
		for _, sl := range key.Slips {
			if done[sl.ID] {
				continue
			}
			done[sl.ID] = true
			m.slip(t, b, k, s, i, sl.ID, right, terms)
		}
		m.guess(t, k, i, right, terms)
	}
}

// slip lets an apprentice make one slip in one part and everything else right.
func (m *markedFamily) slip(t *testing.T, b *book, k keyOf, s *sheet, part int, id string, right map[string]string, terms marking.Terms) {
	key := k.item.Key.Parts[part]
	name := id
	if m.slips[name] == nil {
		m.slips[name] = &tally{}
	}
	n := m.slips[name]
	if n.forms >= slipForms {
		return
	}
	n.forms++
	var ways []map[string]string
	if s != nil {
		ways = m.madeBy(*s, k, part, id)
	}
	if ways == nil {
		n.byKey = true
		for _, sl := range key.Slips {
			if sl.ID == id {
				ways = append(ways, answersBy(k.item, part, sl))
			}
		}
	}
	for _, way := range ways {
		given := maps.Clone(right)
		for box, text := range way {
			delete(given, strings.TrimSuffix(box, ".stop"))
			given[box] = text
		}
		r, err := marking.MarkItem(k.item, given, terms)
		if err != nil {
			t.Fatal(err)
		}
		for _, box := range r.Parts[part].Boxes {
			if box.Verdict != marking.Wrong && box.Verdict != marking.WrongUnit {
				continue
			}
			n.wrong++
			switch has := slices.ContainsFunc(box.Slips, func(x marking.SlipMatch) bool { return x.ID == id }); {
			case has && len(box.Slips) == 1:
				n.named++
			case has:
				n.shared++
			case n.wrong-n.named-n.shared < 3:
				t.Logf("%s, %s: %s wrote %q, named %v", k.where(b.course), box.Box, id, box.Text, box.Slips)
			}
		}
	}
}

// madeBy lets the apprentice of a road make the slip; nil where there is none.
func (m *markedFamily) madeBy(s sheet, k keyOf, part int, id string) (ways []map[string]string) {
	defer func() {
		if recover() != nil {
			ways = nil
		}
	}()
	p := s.parts[part]
	if r := s.road(); r != nil {
		who := r.slips[r.task(p)+"/"+id]
		if who == nil {
			return nil
		}
		return m.one(s, p, k, who)
	}
	if several[id] != nil {
		return nil
	}
	task := "scaling"
	switch {
	case len(s.loops) > 0:
	case len(s.stations) > 0:
		task = p.checkTask()
	default:
		task = p.task()
	}
	if who := slipsOnce()[seen{m.family, task, id}]; who != nil {
		return m.one(s, p, k, who)
	}
	return nil
}

func (m *markedFamily) one(s sheet, p part, k keyOf, who apprentice) []map[string]string {
	his, err := who(s, p)
	if err != nil {
		return nil
	}
	way := map[string]string{}
	for box, r := range his {
		if r.order != nil {
			return nil // another right order to begin with; the key's is taken
		}
		way[box] = m.text(k.item, box, r)
	}
	return []map[string]string{way}
}

// guess fills the number boxes of a part at random, one at a time: uniform on
// the printed grid over the range of the instrument.
func (m *markedFamily) guess(t *testing.T, k keyOf, part int, right map[string]string, terms marking.Terms) {
	key := k.item.Key.Parts[part]
	for i, a := range key.Answers {
		box := k.item.Sheet.Parts[part].Boxes[i]
		if box.Kind != exercises.NumberBox || a.Stop {
			continue
		}
		low, high := span(box, a)
		step := math.Pow(10, -float64(box.Decimals))
		steps := int((high-low)/step + 0.5)
		if steps < 1 {
			continue
		}
		v := low + float64(m.r.IntN(steps+1))*step
		given := maps.Clone(right)
		delete(given, a.Box+".stop")
		given[a.Box] = fmt.Sprintf("%.*f", box.Decimals, v)
		r, err := marking.MarkItem(k.item, given, terms)
		if err != nil {
			t.Fatal(err)
		}
		got := r.Parts[part].Boxes[i]
		m.guesses.numbers++
		for _, sl := range key.Slips {
			for _, sa := range sl.Answers {
				if x := sa.Value.Float64(); sa.Box == a.Box && !sa.Stop && x >= low && x <= high {
					m.guesses.covered += (2*math.Floor(a.Tolerance.Float64()/step+1e-9) + 1) / float64(steps+1)
				}
			}
		}
		if got.Verdict == marking.Wrong {
			m.guesses.wrong++
			if len(got.Slips) > 0 {
				m.guesses.named++
			}
		}
	}
}

// span is the range of the instrument whose numbers go into a box: the ends of
// the range among the givens of the same unit, else the face for divisions and
// errors, else percent.
func span(box exercises.Box, a exercises.Answer) (low, high float64) {
	switch box.Unit {
	case "div":
		return -10, 10
	case "mA":
		return 4, 20
	}
	low, high = math.Inf(1), math.Inf(-1)
	needle := false
	for _, b := range a.Env {
		needle = needle || b.Unit == "div"
		if b.Unit == box.Unit && b.From == "" && b.V.Exact() && box.Unit != "%" {
			low, high = min(low, b.V.Float64()), max(high, b.V.Float64())
		}
	}
	switch {
	case box.Unit == "%" && needle:
		return -5, 5
	case box.Unit == "%":
		return 0, 100
	case high > low:
		return low, high
	}
	v := math.Abs(a.Value.Float64())
	return 0, max(2*v, math.Pow(10, -float64(box.Decimals)))
}

// text writes a reply down.
func (m *markedFamily) text(item exercises.Item, box string, r reply) string {
	switch {
	case r.option != "":
		return r.option
	case r.order != nil:
		return strings.Join(r.order.steps, ", ")
	}
	for _, k := range item.Key.Parts {
		for _, a := range k.Answers {
			if a.Box == box {
				return fmt.Sprintf("%.*f", a.Def.Decimals, rounded(r.number, a.Def.Decimals))
			}
		}
	}
	return ""
}

// fromKey is what the key puts into every box, and the marks to be had.
func fromKey(item exercises.Item) (right map[string]string, hand map[string]int, marks int) {
	right, hand = map[string]string{}, map[string]int{}
	for p, k := range item.Key.Parts {
		part := item.Sheet.Parts[p]
		marks += part.Marks
		for i, a := range k.Answers {
			if part.Boxes[i].Kind == exercises.JudgedBox {
				hand[a.Box] = part.Marks
				continue
			}
			s := exercises.SlipAnswer{Value: a.Value, Option: a.Option, Stop: a.Stop}
			if a.Order != nil {
				s.Order = a.Order.Steps
			}
			write(right, part.Boxes[i], s)
		}
	}
	return right, hand, marks
}

// answersBy is what a slip puts into the boxes of its part.
func answersBy(item exercises.Item, part int, sl exercises.Slip) map[string]string {
	out := map[string]string{}
	for _, sa := range sl.Answers {
		for _, b := range item.Sheet.Parts[part].Boxes {
			if b.ID == sa.Box {
				write(out, b, sa)
			}
		}
	}
	return out
}

func write(into map[string]string, b exercises.Box, s exercises.SlipAnswer) {
	switch {
	case s.Stop:
		into[b.ID+".stop"] = "stop"
	case b.Kind == exercises.ChoiceBox:
		into[b.ID] = s.Option
	case b.Kind == exercises.OrderBox:
		into[b.ID] = strings.Join(s.Order, ", ")
	default:
		into[b.ID] = formula.WithUnit(s.Value.Text(b.Decimals), b.Unit)
	}
}

// report logs the table of the family and holds it against what was promised.
func (m *markedFamily) report(t *testing.T, whole bool) {
	t.Logf("%s: %d exercises, %d worked from the page; each careful apprentice has full marks", m.family, m.careful, m.byPage)
	for _, id := range keysOf(m.slips) {
		n := m.slips[id]
		how := "page"
		if n.byKey {
			how = "key"
		}
		share := "n/a"
		if n.wrong > 0 {
			share = fmt.Sprintf("%.1f %%", 100*float64(n.named)/float64(n.wrong))
		}
		t.Logf("| %s | %s | %s | %d | %d | %s | %d |", m.family, id, how, n.forms, n.wrong, share, n.shared)
		if n.wrong > 0 && 100*(n.named+n.shared) < 99*n.wrong {
			t.Errorf("%s: of %d wrong answers %d are named by it", id, n.wrong, n.named+n.shared)
		}
		if n.wrong == 0 {
			t.Errorf("%s: made on %d forms, and nothing is wrong", id, n.forms)
		}
	}
	g := m.guesses
	if g.numbers > 0 {
		t.Logf("%s: %d guessed numbers, %d named as some slip (%.1f %%); the slips' windows cover %.1f %% of the grid",
			m.family, g.numbers, g.named, 100*float64(g.named)/float64(g.numbers), 100*g.covered/float64(g.numbers))
		// Chance scatters about the cover: three standard deviations.
		p := g.covered / float64(g.numbers)
		if float64(g.named) > g.covered+3*math.Sqrt(g.covered*(1-min(1, p)))+3 {
			t.Errorf("%d guesses are named, the windows cover %.1f", g.named, g.covered)
		}
	}
}
