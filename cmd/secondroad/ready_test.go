package secondroad

import (
	"fmt"
	"slices"
	"strings"
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

func TestReadyTheChecker(t *testing.T) {
	readyRoad.travel(t, plantFiles(readyRoad.family, widePlant, 2))
}

func (p part) readyTask() string {
	for _, c := range []struct{ words, task string }{
		{"one reading is to be taken with the checker", "check"},
		{"no wet leg. It is in service", "dry-out"},
		{"Its low leg is filled. It is in service", "wet-out"},
		{"no wet leg. It is out of service", "dry-in"},
		{"Its low leg is filled, up to the shut block valve", "wet-in"},
		{"How far off is the mechanical zero?", "rest"},
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

// world is what a step changes.
type world map[string]bool

// stepOf says what a step asks of the world and what it does to it. hurts are
// the things without which somebody may come to harm.
type stepOf struct {
	name   string
	needs  func(w world) bool
	hurts  []string // what must be so, or must not be so ("!high"), for nobody to be hurt
	does   []string // what is so afterwards, or is no more
	onlyIn string   // part of the name of the job, where the step means another thing elsewhere
}

var duty = []string{"permit", "told", "manual", "inhibited"}

// steps are the words of all steps.
var steps = map[string][]stepOf{
	"Get the permit for this work on this loop.":                {{name: "permit", does: []string{"permit"}}},
	"Tell the operator which loop it is and what will be seen.": {{name: "told", does: []string{"told"}}},
	"Have the controller put in manual.":                        {{name: "manual", needs: func(w world) bool { return w["told"] }, does: []string{"manual"}}},
	"Have the trip inhibited, and logged.":                      {{name: "inhibit", needs: func(w world) bool { return w["permit"] }, does: []string{"inhibited"}}},
	"Look at the mechanical zero, and set it if it is off.":     {{name: "zero", does: []string{"centred"}}},
	"Check the cell.": {{name: "cell", needs: func(w world) bool { return w["centred"] }, does: []string{"cell known"}}},
	"Look both test leads over, from end to end.":                           {{name: "leads", does: []string{"leads sound"}}},
	"Set the lever to Current and the ring to the point.":                   {{name: "lever", does: []string{"set"}}},
	"Open the loop and put the checker in series.":                          {{name: "connect", needs: func(w world) bool { return w["leads sound"] }, hurts: duty, does: []string{"in"}}},
	"Tap the trigger, and let go.":                                          {{name: "tap", needs: func(w world) bool { return w["in"] && w["set"] && w["cell known"] }, does: []string{"near null"}}},
	"Keep the trigger pressed until the needle has come to rest, and read.": {{name: "read", needs: func(w world) bool { return w["near null"] && w["in"] }, does: []string{"seen"}}},
	"Write down what you read.":                                             {{name: "record", needs: func(w world) bool { return w["seen"] }, does: []string{"written"}}},
	"Take the checker out and close the loop.":                              {{name: "remove", needs: func(w world) bool { return w["seen"] }, does: []string{"whole"}}},
	"Have the trip's inhibit taken off, and logged.":                        {{name: "restore", needs: func(w world) bool { return !w["armed"] }, hurts: []string{"whole"}, does: []string{"armed"}}},
	"Have the controller put back to automatic, without a bump.":            {{name: "auto", hurts: []string{"whole"}, does: []string{"automatic"}}},
	"Tell the operator that the loop is back in service.":                   {{name: "back", needs: func(w world) bool { return w["armed"] && w["automatic"] && !w["!leaks"] }, hurts: []string{"whole"}, does: []string{"known"}}},
	"Sign the record and the permit off.":                                   {{name: "sign", needs: func(w world) bool { return w["known"] && !w["!written"] }}},
	"Shut the low block valve.":                                             {{name: "low-shut", hurts: duty, does: []string{"!low"}}},
	"Shut the high block valve.":                                            {{name: "high-shut", hurts: duty, does: []string{"!high"}}},
	"Open the equalising valve.": {
		// Out of service: no flow from leg to leg, and the pressure of the high
		// leg on both sides; with a wet leg nothing may reach the low side.
		{name: "equal-open", onlyIn: "dry-out", needs: func(w world) bool { return !w["low"] && w["high"] }, hurts: duty, does: []string{"equal"}},
		{name: "equal-open", onlyIn: "wet-out", needs: func(w world) bool { return !w["low"] && !w["high"] }, hurts: duty, does: []string{"equal"}},
		{name: "equal-open", onlyIn: "dry-in", needs: func(w world) bool { return !w["low"] && !w["high"] }, does: []string{"equal", "pressed alike"}},
	},
	"Shut the equalising valve.": {
		{name: "equal-shut", onlyIn: "dry-in", needs: func(w world) bool { return w["high"] }, does: []string{"!equal"}},
		{name: "equal-shut", onlyIn: "wet-in", needs: func(w world) bool { return !w["high"] && !w["low"] }, does: []string{"!equal"}},
	},
	"Open the low block valve, slowly.": {
		{name: "low-open", onlyIn: "dry-in", needs: func(w world) bool { return !w["equal"] && w["high"] }, hurts: []string{"made up", "!vent"}, does: []string{"low"}},
		{name: "low-open", onlyIn: "wet-in", needs: func(w world) bool { return !w["equal"] }, hurts: []string{"made up", "!vent"}, does: []string{"low"}},
	},
	"Open the high block valve, slowly.": {
		{name: "high-open", onlyIn: "dry-in", needs: func(w world) bool { return w["equal"] }, hurts: []string{"made up", "!vent"}, does: []string{"high"}},
		{name: "high-open", onlyIn: "wet-in", needs: func(w world) bool { return !w["equal"] }, hurts: []string{"made up", "!vent"}, does: []string{"high"}},
	},
	"Open the transmitter's vent to a safe place, slowly.": {{name: "vent", hurts: []string{"!high", "!low"}, does: []string{"vent"}}},
	"Prove at the vent that no pressure is left.":          {{name: "prove", hurts: []string{"vent", "!high", "!low"}, does: []string{"empty"}}},
	"Undo the fitting at the transmitter.":                 {{name: "undo", hurts: []string{"empty", "vent", "!high", "!low"}}},
	"Make up the fitting at the transmitter.":              {{name: "fit", does: []string{"made up"}}},
	"Shut the transmitter's vent.":                         {{name: "vent-shut", does: []string{"!vent"}}},
	"Look for leaks.":                                      {{name: "leaks", needs: func(w world) bool { return w["high"] && w["low"] }, does: []string{"tight"}}},
}

// readyJob is a job from end to end: the words of its steps, and the world that
// it begins in.
type readyJob struct {
	begins []string
	words  []string
}

var readyJobs = map[string]readyJob{
	"check": {nil, []string{"Get the permit for this work on this loop.", "Tell the operator which loop it is and what will be seen.",
		"Have the controller put in manual.", "Have the trip inhibited, and logged.", "Look at the mechanical zero, and set it if it is off.", "Check the cell.",
		"Look both test leads over, from end to end.", "Set the lever to Current and the ring to the point.", "Open the loop and put the checker in series.",
		"Tap the trigger, and let go.", "Keep the trigger pressed until the needle has come to rest, and read.", "Write down what you read.",
		"Take the checker out and close the loop.", "Have the trip's inhibit taken off, and logged.",
		"Have the controller put back to automatic, without a bump.", "Tell the operator that the loop is back in service.", "Sign the record and the permit off."}},
	"dry-out": {[]string{"low", "high"}, slices.Concat(dutyWords, []string{"Shut the low block valve.", "Open the equalising valve.", "Shut the high block valve."}, openedWords)},
	"wet-out": {[]string{"low", "high"}, slices.Concat(dutyWords, []string{"Shut the high block valve.", "Shut the low block valve.", "Open the equalising valve."}, openedWords)},
	"dry-in": {[]string{"vent"}, slices.Concat(closedWords, []string{"Open the equalising valve.", "Open the high block valve, slowly.", "Shut the equalising valve.",
		"Open the low block valve, slowly."}, backWords)},
	"wet-in": {[]string{"vent", "equal"}, slices.Concat(closedWords, []string{"Shut the equalising valve.", "Open the low block valve, slowly.",
		"Open the high block valve, slowly."}, backWords)},
}

var (
	dutyWords = []string{"Get the permit for this work on this loop.", "Tell the operator which loop it is and what will be seen.",
		"Have the controller put in manual.", "Have the trip inhibited, and logged."}
	openedWords = []string{"Open the transmitter's vent to a safe place, slowly.", "Prove at the vent that no pressure is left.", "Undo the fitting at the transmitter."}
	closedWords = []string{"Make up the fitting at the transmitter.", "Shut the transmitter's vent."}
	backWords   = []string{"Look for leaks.", "Have the trip's inhibit taken off, and logged.",
		"Have the controller put back to automatic, without a bump.", "Tell the operator that the loop is back in service.", "Sign the record and the permit off."}
)

func stepIn(job, words string) (stepOf, error) {
	for _, s := range steps[words] {
		if s.onlyIn == "" || s.onlyIn == job {
			return s, nil
		}
	}
	return stepOf{}, fmt.Errorf("nobody knows the step %q of %s", words, job)
}

// walked is a job with everything that was found out by walking through it.
type walked struct {
	names  map[string]string // by words
	must   map[[2]string]bool
	danger map[[2]string]bool
}

var walkedJobs = map[string]*walked{}

// walk goes through a job in every way that ends well, set of steps by set.
func walk(job string) (*walked, error) {
	if w := walkedJobs[job]; w != nil {
		return w, nil
	}
	j := readyJobs[job]
	var all []stepOf
	w := &walked{names: map[string]string{}, must: map[[2]string]bool{}, danger: map[[2]string]bool{}}
	for _, words := range j.words {
		s, err := stepIn(job, words)
		if err != nil {
			return nil, err
		}
		all = append(all, s)
		w.names[words] = s.name
	}
	in := strings.HasSuffix(job, "-in")
	worldOf := func(set int) world {
		x := world{}
		for _, b := range j.begins {
			x[b] = true
		}
		// Valves are opened and shut once each, so that the set says all.
		for i, s := range all {
			if set&(1<<i) == 0 {
				continue
			}
			for _, d := range s.does {
				if name, no := strings.CutPrefix(d, "!"); no {
					x[name] = false
				} else {
					x[d] = true
				}
			}
		}
		if job == "dry-in" && set&(1<<slices.IndexFunc(all, func(s stepOf) bool { return s.name == "equal-shut" })) != 0 {
			x["equal"] = false // it is opened first
		}
		if in {
			x["whole"] = x["low"] && x["high"] && !x["equal"]
			x["!leaks"] = !x["tight"]
		} else {
			x["!written"] = job == "check" && !x["written"]
		}
		return x
	}
	may := func(s stepOf, x world) bool {
		return (s.needs == nil || s.needs(x)) && len(missing(s, x)) == 0
	}
	full := 1<<len(all) - 1
	reached := map[int]bool{0: true}
	var order []int
	for queue := []int{0}; len(queue) > 0; queue = queue[1:] {
		set := queue[0]
		order = append(order, set)
		x := worldOf(set)
		for i, s := range all {
			if to := set | 1<<i; to != set && may(s, x) && !reached[to] {
				reached[to] = true
				queue = append(queue, to)
			}
		}
	}
	if !reached[full] {
		return nil, fmt.Errorf("%s cannot be done to its end", job)
	}
	ends := map[int]bool{full: true}
	slices.Reverse(order)
	for _, set := range order {
		x := worldOf(set)
		for i, s := range all {
			if set&(1<<i) == 0 && ends[set|1<<i] && may(s, x) {
				ends[set] = true
			}
		}
	}
	for i, a := range all {
		for k, b := range all {
			if i == k {
				continue
			}
			before := true
			for set := range ends {
				before = before && (set&(1<<k) == 0 || set&(1<<i) != 0)
			}
			w.must[[2]string{a.name, b.name}] = before
			// Somebody is hurt by b where all is done but a and what waits for
			// it, b among that.
			if x := worldOf(full &^ (1 << i) &^ (1 << k)); before && len(missing(b, x)) > 0 && len(missing(b, worldOf(full&^(1<<k)))) == 0 {
				w.danger[[2]string{a.name, b.name}] = true
			}
		}
	}
	walkedJobs[job] = w
	return w, nil
}

// missing lists what a step lacks for nobody to be hurt.
func missing(s stepOf, x world) []string {
	var out []string
	for _, h := range s.hurts {
		name, no := strings.CutPrefix(h, "!")
		if x[name] == no {
			out = append(out, h)
		}
	}
	return out
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
