package secondroad

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"testing"
)

// The road of "ready the checker": a small plant is walked through step by
// step. Each step says what the world must be like for it, and what the world
// is like afterwards; which steps must come before which is seen from all the
// ways in which the job can be done to its end. Cells and readings are judged in
// volts.
var readyRoad = &road{
	family: "ready-the-checker",
	knows:  func(s sheet) bool { return strings.Contains(s.intro, "A controller and a trip hang on its signal.") },
	task:   func(p part) string { return p.readyTask() },
	slips:  readySlips,
}

func init() {
	readyRoad.work = sheet.workReady
	roads = append(roads, readyRoad)
}

// TestWalkedJobs walks each job in all its orders, and logs how many are right.
func TestWalkedJobs(t *testing.T) {
	for _, job := range slices.Sorted(maps.Keys(readyJobs)) {
		w, err := walk(job)
		if err != nil {
			t.Error(err)
			continue
		}
		t.Logf("%s: %d steps, %d right orders, %d pairs that keep people safe", job, len(w.names), w.ways, len(w.danger))
	}
}

func TestReadyTheChecker(t *testing.T) {
	readyRoad.travel(t, plantFiles(readyRoad.family, widePlant, 2))
}

func (p part) readyTask() string {
	for _, c := range []struct{ words, task string }{
		{"one reading is to be taken with the checker", "check"},
		{"neither is a wet leg. It is in service", "dry-out"},
		{"The equalising valve is shut, and stays shut in this job", "wet-out"},
		{"neither is a wet leg. It is out of service", "dry-in"},
		{"somebody has left the equalising valve open", "wet-in"},
		{"How far off is the mechanical zero?", "rest"},
		{"How far past the line does the needle stand at Cell", "reach"},
		{"What does the cell check say?", "cell"},
		{"How far past the line does the cell itself", "past"},
		{"May you read with this cell?", "may"},
		{"What is each reading worth?", "sort"},
		{"Take the first day whose reading can be used", "error"},
	} {
		if strings.Contains(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// world is the plant and the checker as a step finds them.
type world struct {
	permit, told             bool
	automatic, armed         bool // what acts on the signal
	open, in                 bool // the loop; the checker in it
	live                     bool // somebody has seen that the signal is right
	centred, cellKnown       bool
	sound                    bool // leads looked over
	atCurrent, near          bool // lever and ring; tapped
	seen, written            bool
	high, low, equal         bool // valves open
	vents, made, proved      bool // vents open, fittings made up, no pressure proved
	chamber                  bool // the low chamber full; where there is no wet leg, always
	spread                   bool // both sides have had the pressure of the high leg
	tight, known, signed     bool
	wet, manifold, returning bool // the job
}

// signal says whether the transmitter's signal is right.
func (w world) signal() bool {
	return !w.open && (!w.manifold || w.high && w.low && !w.equal)
}

// acts lists what goes wrong where the signal turns false, or something is set to
// act on it that is false.
func (w world) acts() (out []string) {
	if w.automatic {
		out = append(out, "the controller follows a false signal")
	}
	if w.armed {
		out = append(out, "the trip acts")
	}
	return out
}

// changed lists what goes wrong where the plant is changed.
func (w world) changed() (out []string) {
	if !w.permit {
		out = append(out, "changed without a permit")
	}
	if !w.told {
		out = append(out, "changed and nobody knows")
	}
	return out
}

// bled lists what goes wrong while something is open to the air.
func (w world) bled() (out []string) {
	if (w.high || w.low) && (w.vents || !w.made) {
		out = append(out, "the process comes out")
	}
	return out
}

// crossed says whether the process or a filling runs from leg to leg, or a
// filling is lost.
func (w world) crossed() bool {
	if w.wet {
		return w.equal && (w.high || w.low || w.chamber) || w.low && !w.chamber
	}
	return w.equal && w.high && w.low
}

// stepOf says what a step does: whether it does what it is for, and what harm
// comes to people or the plant of it.
type stepOf struct {
	name string
	do   func(w *world) (works bool, harm []string)
}

// harmless is a step of which no harm comes.
func harmless(name string, do func(w *world) bool) stepOf {
	return stepOf{name, func(w *world) (bool, []string) { return do(w), nil }}
}

// valve is a step that turns a valve of the manifold.
func valve(name string, works func(w world) bool, turn func(w *world)) stepOf {
	return stepOf{name, func(w *world) (bool, []string) {
		was, good := *w, works(*w)
		harm := w.changed()
		turn(w)
		if was.signal() && !w.signal() {
			harm = append(harm, w.acts()...)
		}
		if len(was.bled()) == 0 { // else another step has done it
			harm = append(harm, w.bled()...)
		}
		return good && !w.crossed(), harm
	}}
}

func anyhow(world) bool { return true }

// steps are the words of all steps. What a step needs in order to be one is
// part of it: nobody puts a controller back that is not in manual.
var steps = map[string]stepOf{
	"Get the permit for this work on this loop.":                             harmless("permit", func(w *world) bool { w.permit = true; return true }),
	"Tell the operator which loop it is and what the control room will see.": harmless("told", func(w *world) bool { w.told = true; return true }),
	"Have the controller put in manual.": {"manual", func(w *world) (bool, []string) {
		harm := w.changed()
		w.automatic = false
		return true, harm
	}},
	"Have the trip inhibited, and logged.": {"inhibit", func(w *world) (bool, []string) {
		harm := w.changed()
		w.armed = false
		return true, harm
	}},
	"Look at the mechanical zero, and have it set if it is off.": harmless("zero", func(w *world) bool { w.centred = true; return !w.in }),
	"Turn the lever to Cell, and check the cell.": harmless("cell", func(w *world) bool {
		w.cellKnown, w.atCurrent = true, false
		return w.centred && !w.in
	}),
	"Look both test leads over, from end to end.":           harmless("leads", func(w *world) bool { w.sound = true; return !w.in }),
	"Turn the lever to Current, and the ring to the point.": harmless("lever", func(w *world) bool { w.atCurrent = true; return true }),
	"Open the loop and put the checker in series.": {"connect", func(w *world) (bool, []string) {
		harm := append(w.changed(), w.acts()...) // while it is open, it sends 0 mA
		if !w.sound {
			harm = append(harm, "a bad lead is in the loop")
		}
		good := w.centred && w.cellKnown
		w.in, w.live = true, false
		return good, harm
	}},
	"Tap the trigger, and let go.": harmless("tap", func(w *world) bool { w.near = true; return w.in && w.atCurrent }),
	"Keep the trigger pressed until the needle has come to rest, and read.": harmless("read", func(w *world) bool {
		w.seen = true
		return w.in && w.near && w.atCurrent
	}),
	"Write down what you read.": harmless("record", func(w *world) bool { w.written = true; return w.seen }),
	"Take the checker out and close the loop.": {"remove", func(w *world) (bool, []string) {
		good, harm := w.in && w.seen, append(w.changed(), w.acts()...)
		w.in = false
		return good, harm
	}},
	"See at the receiver that the signal is back.": harmless("live", func(w *world) bool {
		w.live = true
		return w.signal() && !w.in && (w.manifold || w.seen)
	}),
	"Have the trip's inhibit taken off, and logged.":             {"restore", func(w *world) (bool, []string) { return setBack(w, &w.armed) }},
	"Have the controller put back to automatic, without a bump.": {"auto", func(w *world) (bool, []string) { return setBack(w, &w.automatic) }},
	"Tell the operator that the loop is back in service.": harmless("back", func(w *world) bool {
		w.known = true
		return w.armed && w.automatic && w.live
	}),
	"Sign the record, and hand the permit back.": harmless("sign", func(w *world) bool {
		w.signed = true
		return w.known && (w.manifold || w.written)
	}),
	"Shut the low block valve.": valve("low-shut", anyhow, func(w *world) { w.low = false }),
	// With a dry leg the high block is what brings its pressure to both sides.
	"Shut the high block valve.":         valve("high-shut", func(w world) bool { return w.wet || w.spread }, func(w *world) { w.high = false }),
	"Open the equalising valve.":         valve("equal-open", func(w world) bool { return w.returning || w.high }, func(w *world) { w.equal, w.spread = true, w.spread || w.high }),
	"Shut the equalising valve.":         valve("equal-shut", func(w world) bool { return w.wet || w.spread }, func(w *world) { w.equal = false }),
	"Open the low block valve, slowly.":  valve("low-open", func(w world) bool { return w.wet || w.spread && !w.equal }, func(w *world) { w.low = true }),
	"Open the high block valve, slowly.": valve("high-open", func(w world) bool { return w.wet || w.equal }, func(w *world) { w.high, w.spread = true, true }),
	"Open both vents of the transmitter to a safe place, slowly.": {"vent", func(w *world) (bool, []string) {
		w.vents = true
		return true, w.bled()
	}},
	"Prove at the vents that no pressure is left.": {"prove", func(w *world) (bool, []string) {
		w.proved = true
		if !w.vents {
			return true, []string{"a false proof is believed"}
		}
		return true, nil
	}},
	"Undo the fittings at the transmitter.": {"undo", func(w *world) (bool, []string) {
		w.made = false
		harm := w.bled()
		if !w.proved {
			harm = append(harm, "undone with pressure in it")
		}
		return true, harm
	}},
	"Make up the fittings at the transmitter.": harmless("fit", func(w *world) bool { w.made = true; return true }),
	"Shut both vents of the transmitter.":      harmless("vent-shut", func(w *world) bool { w.vents = false; return !w.wet || w.chamber }),
	"Fill the low chamber from its filling plug until liquid without bubbles comes out at its vent.": harmless("fill", func(w *world) bool {
		w.chamber = true
		return w.made && w.vents && !w.equal && !w.low
	}),
	// With a dry leg the equalising valve brings the pressure to both sides.
	"Look for leaks, under pressure.": harmless("leaks", func(w *world) bool { w.tight = true; return w.high && (!w.wet || w.low) }),
}

// setBack sets trip or controller to act again. In the end leaks must have been
// looked for: what leaks is shut off again.
func setBack(w *world, what *bool) (works bool, harm []string) {
	works = !*what && (!w.manifold || w.tight)
	if !w.signal() || w.in || !w.live {
		harm = append(harm, "set to act on a signal that nobody has seen")
	}
	*what = true
	return works, harm
}

// readyJob is a job from end to end: the words of its steps in one right order,
// and the world that it begins in.
type readyJob struct {
	begins world
	words  []string
}

var readyJobs = map[string]readyJob{
	"check": {world{automatic: true, armed: true, made: true, chamber: true}, slices.Concat(dutyWords, []string{"Look at the mechanical zero, and have it set if it is off.",
		"Turn the lever to Cell, and check the cell.", "Look both test leads over, from end to end.", "Turn the lever to Current, and the ring to the point.",
		"Open the loop and put the checker in series.", "Tap the trigger, and let go.", "Keep the trigger pressed until the needle has come to rest, and read.",
		"Write down what you read.", "Take the checker out and close the loop."}, backWords)},
	"dry-out": {world{manifold: true, automatic: true, armed: true, made: true, high: true, low: true, chamber: true},
		slices.Concat(dutyWords, []string{"Shut the low block valve.", "Open the equalising valve.", "Shut the high block valve."}, openedWords)},
	"wet-out": {world{manifold: true, automatic: true, armed: true, made: true, high: true, low: true, chamber: true, wet: true},
		slices.Concat(dutyWords, []string{"Shut the high block valve.", "Shut the low block valve."}, openedWords)},
	"dry-in": {world{manifold: true, returning: true, permit: true, told: true, vents: true, chamber: true},
		slices.Concat([]string{"Make up the fittings at the transmitter.", "Shut both vents of the transmitter.", "Open the equalising valve.", "Open the high block valve, slowly.",
			"Shut the equalising valve.", "Open the low block valve, slowly.", "Look for leaks, under pressure."}, backWords)},
	"wet-in": {world{manifold: true, returning: true, permit: true, told: true, vents: true, equal: true, wet: true},
		slices.Concat([]string{"Make up the fittings at the transmitter.", "Shut the equalising valve.",
			"Fill the low chamber from its filling plug until liquid without bubbles comes out at its vent.", "Shut both vents of the transmitter.",
			"Open the low block valve, slowly.", "Open the high block valve, slowly.", "Look for leaks, under pressure."}, backWords)},
}

var (
	dutyWords = []string{"Get the permit for this work on this loop.", "Tell the operator which loop it is and what the control room will see.",
		"Have the controller put in manual.", "Have the trip inhibited, and logged."}
	openedWords = []string{"Open both vents of the transmitter to a safe place, slowly.", "Prove at the vents that no pressure is left.", "Undo the fittings at the transmitter."}
	backWords   = []string{"See at the receiver that the signal is back.", "Have the trip's inhibit taken off, and logged.",
		"Have the controller put back to automatic, without a bump.", "Tell the operator that the loop is back in service.", "Sign the record, and hand the permit back."}
)

// walked is a job with everything that was found out by walking through it.
type walked struct {
	names  map[string]string // by words
	must   map[[2]string]bool
	danger map[[2]string]bool
	ways   int // orders that come to a good end
}

var (
	walkedJobs = map[string]*walked{}
	walkedLock sync.Mutex
)

// walk goes through a job in every order, as far as each works and harms nobody,
// and counts those that come to the end. A step must come before another if it
// does in all of them. That the pairs found so leave no other order is counted
// too: only then do they say all that there is to say.
func walk(job string) (*walked, error) {
	walkedLock.Lock()
	defer walkedLock.Unlock()
	if w := walkedJobs[job]; w != nil {
		return w, nil
	}
	j := readyJobs[job]
	w := &walked{names: map[string]string{}, must: map[[2]string]bool{}, danger: map[[2]string]bool{}}
	var all []stepOf
	for _, words := range j.words {
		s, ok := steps[words]
		if !ok {
			return nil, fmt.Errorf("nobody knows the step %q of %s", words, job)
		}
		all = append(all, s)
		w.names[words] = s.name
	}
	type place struct {
		done uint
		x    world
	}
	full := uint(1)<<len(all) - 1
	ends := map[place]int{} // ways from here to a good end
	var ahead func(p place) int
	ahead = func(p place) int {
		if p.done == full {
			return 1
		}
		if n, ok := ends[p]; ok {
			return n
		}
		n := 0
		for i, s := range all {
			if p.done&(1<<i) != 0 {
				continue
			}
			next := place{p.done | 1<<i, p.x}
			if works, harm := s.do(&next.x); works && len(harm) == 0 {
				n += ahead(next)
			}
		}
		ends[p] = n
		return n
	}
	if w.ways = ahead(place{x: j.begins}); w.ways == 0 {
		return nil, fmt.Errorf("%s cannot be done to its end", job)
	}
	for i, a := range all {
		for k, b := range all {
			if i == k {
				continue
			}
			before := true
			for p, n := range ends {
				before = before && !(n > 0 && p.done&(1<<k) != 0 && p.done&(1<<i) == 0)
			}
			w.must[[2]string{a.name, b.name}] = before
			if before && keepsSafe(j.begins, all, i, k) {
				w.danger[[2]string{a.name, b.name}] = true
			}
		}
	}
	orders := map[uint]int{full: 1} // that the pairs allow, from each set on
	var from func(done uint) int
	from = func(done uint) int {
		if n, ok := orders[done]; ok {
			return n
		}
		n := 0
		for k, b := range all {
			free := done&(1<<k) == 0
			for i, a := range all {
				free = free && (done&(1<<i) != 0 || !w.must[[2]string{a.name, b.name}])
			}
			if free {
				n += from(done | 1<<k)
			}
		}
		orders[done] = n
		return n
	}
	if n := from(0); n != w.ways {
		return nil, fmt.Errorf("%s: %d orders come to a good end, its pairs allow %d", job, w.ways, n)
	}
	walkedJobs[job] = w
	return w, nil
}

// keepsSafe says whether step i keeps people safe from step k: whether, in the
// job's right order with whatever left out between the two, step k does harm
// without step i and none with it.
func keepsSafe(begins world, all []stepOf, i, k int) bool {
	for between := range 1 << max(0, k-i-1) {
		with, without := begins, begins
		var harm, left []string
		for n, s := range all[:k+1] {
			if n > i && n < k && between&(1<<(n-i-1)) != 0 {
				continue
			}
			_, left = s.do(&with)
			if n != i {
				_, harm = s.do(&without)
			}
		}
		if len(harm) > 0 && len(left) == 0 {
			return true
		}
	}
	return false
}

// order puts the steps of a part in a right order.
func (p part) order(job string) (*sorted, error) {
	w, err := walk(job)
	if err != nil {
		return nil, err
	}
	s := &sorted{must: map[[2]string]bool{}, danger: map[[2]string]bool{}}
	value := map[string]string{}
	for _, o := range p.boxes[0].steps {
		n, ok := w.names[o.text]
		if !ok {
			return nil, fmt.Errorf("%s has no step %q", job, o.text)
		}
		value[n] = o.value
	}
	for a, va := range value {
		for b, vb := range value {
			if w.must[[2]string{a, b}] {
				s.must[[2]string{va, vb}] = true
			}
			if w.danger[[2]string{a, b}] {
				s.danger[[2]string{va, vb}] = true
			}
		}
	}
	// The words of the job stand in a right order.
	for _, words := range readyJobs[job].words {
		if v, shown := value[w.names[words]]; shown {
			s.steps = append(s.steps, v)
		}
	}
	if b := broken(s.steps, s.must); len(b) > 0 {
		return nil, fmt.Errorf("the road's own order of %s breaks %v", job, b)
	}
	return s, nil
}

// day is a row of the table of readings, in divisions.
type day struct {
	rest, cell, needle, on float64
	pinned, flies          bool
	input, ring            string
}

func (s sheet) days() ([]day, error) {
	for _, t := range s.tables {
		if t.heads[0] != "Day" {
			continue
		}
		var out []day
		for _, r := range t.rows {
			d := day{input: r[3], ring: r[4], pinned: strings.HasSuffix(r[5], "stop"), flies: strings.HasSuffix(r[6], "stop")}
			for i, to := range map[int]*float64{1: &d.rest, 2: &d.cell, 5: &d.needle, 6: &d.on} {
				if strings.HasSuffix(r[i], "stop") {
					continue
				}
				v, unit, err := quantity(strings.TrimPrefix(r[i], "+"))
				if err != nil || unit != "div" {
					return nil, fmt.Errorf("a needle at %q", r[i])
				}
				*to = v
			}
			out = append(out, d)
		}
		return out, nil
	}
	return nil, fmt.Errorf("no table of days")
}

// The words of what a reading can be worth.
const (
	readAsItIs, readLess         = "counts as it stands", "counts, mechanical zero taken off"
	cellVoid, ringVoid, pullVoid = "void, for the cell", "void, for the ring", "void, for the trigger"
)

// cellVolts is what stands behind a needle at Cell: a tenth of a volt a
// division, 6.6 V at the line.
func cellVolts(div, line float64) float64 { return 6.6 + (div-line)*0.1 }

func (d day) worth() string {
	switch {
	case cellVolts(d.cell-d.rest, 4) < 6.6-1e-9:
		return cellVoid
	case d.ring != d.input:
		return ringVoid
	case !d.flies && d.on == d.rest && d.needle == d.rest:
		return pullVoid
	case d.rest != 0:
		return readLess
	}
	return readAsItIs
}

func (s sheet) restAndCell() (rest, cell, line float64, err error) {
	cell = 99
	for _, f := range s.faces {
		div := float64(f.marks) / float64(f.scale.perDiv)
		line = float64(f.cell) / float64(f.scale.perDiv)
		switch f.lever {
		case "Rest":
			rest = div
		case "Cell":
			cell = div
		default:
			return 0, 0, 0, fmt.Errorf("a face at %s", f.lever)
		}
	}
	if cell == 99 {
		err = fmt.Errorf("no face at Cell")
	}
	return rest, cell, line, err
}

func (s sheet) workReady() (replies, error) {
	mine := replies{}
	rest, cell, line, err := s.restAndCell()
	if err != nil {
		return nil, err
	}
	for _, p := range s.parts {
		id := p.boxes[0].id
		switch task := p.readyTask(); task {
		case "rest":
			mine[id] = reply{number: rest}
		case "cell":
			says := "the cell is good; go on"
			if cell == 0 {
				says = "nothing yet; the needle has not moved"
			} else if cellVolts(cell, line) < 6.6 {
				says = "the cell is weak; change it"
			}
			if mine[id], err = p.choose(says); err != nil {
				return nil, err
			}
		case "reach":
			mine[id] = reply{number: (cellVolts(cell, line) - cellVolts(line, line)) / 0.1}
		case "past":
			mine[id] = reply{number: (cellVolts(cell-rest, line) - cellVolts(line, line)) / 0.1}
		case "may":
			says := "the cell is weak; change it"
			if cellVolts(cell-rest, line) >= 6.6-1e-9 {
				says = "the cell is good; go on"
			}
			if mine[id], err = p.choose(says); err != nil {
				return nil, err
			}
		case "sort":
			days, err := s.days()
			if err != nil {
				return nil, err
			}
			for i, b := range p.boxes {
				if b.label != fmt.Sprintf("day %d", i+1) {
					return nil, fmt.Errorf("box %d is called %q", i+1, b.label)
				}
				r, err := part{label: p.label, boxes: []*box{b}}.choose(days[i].worth())
				if err != nil {
					return nil, err
				}
				mine[b.id] = r
			}
		case "error":
			days, err := s.days()
			if err != nil {
				return nil, err
			}
			i := slices.IndexFunc(days, func(d day) bool { return d.worth() == readLess || d.worth() == readAsItIs })
			if i < 0 {
				return nil, fmt.Errorf("no reading can be used")
			}
			mine[id] = reply{number: days[i].percent(days[i].needle - days[i].rest)}
		default:
			if readyJobs[task].words == nil {
				return nil, fmt.Errorf("nobody knows the question %q", p.prompt)
			}
			o, err := p.order(task)
			if err != nil {
				return nil, err
			}
			mine[id] = reply{order: o}
		}
	}
	return mine, nil
}

// percent of span that a needle moved by some divisions stands for: 20 mV of 4 V
// each.
func (day) percent(div float64) float64 { return div * 0.02 / 4 * 100 }
