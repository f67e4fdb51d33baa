package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"strings"
	"testing"

	"loopdrill/scenarios/loop"
)

// The road of "what is wrong?": the loop is built from its sheet, each fault of
// the list is put into it at sizes that lie close together, and every reading
// is worked out from the circuit anew. The one fault that gives all of them is
// the answer, and what helps is looked up among what is said of the faults.
var diagnoseRoad = &road{
	family: "what-is-wrong",
	knows:  func(s sheet) bool { return strings.Contains(s.intro, "faults under (a) is at work") },
	task:   func(p part) string { return p.diagnoseTask() },
	slips:  map[string]apprentice{},
}

func init() {
	diagnoseRoad.work = sheet.workDiagnose
	roads = append(roads, diagnoseRoad)
	for _, f := range loop.Faults() {
		// Whoever takes it for that fault, and whoever does what helps
		// against it.
		diagnoseRoad.slips["which/took-"+f.Name] = func(s sheet, p part) (replies, error) {
			for _, o := range p.boxes[0].options {
				if g, err := faultInWords(o.text); err == nil && g.Name == f.Name {
					return replies{p.boxes[0].id: {option: o.value}}, nil
				}
			}
			return nil, fmt.Errorf("%s is not on the list", f.Name)
		}
		diagnoseRoad.slips["remedy/remedy-for-"+f.Name] = func(s sheet, p part) (replies, error) {
			return p.pick(f.Remedy)
		}
	}
}

func TestWhatIsWrong(t *testing.T) {
	// Not every fault is on a list.
	whole := diagnoseRoad.slips
	defer func() { diagnoseRoad.slips = whole }()
	diagnoseRoad.slips = map[string]apprentice{}
	for name, a := range whole {
		for _, listed := range listedFaults {
			if strings.HasSuffix(name, "took-"+listed) || strings.HasSuffix(name, "for-"+listed) {
				diagnoseRoad.slips[name] = a
			}
		}
	}
	diagnoseRoad.travel(t, plantFiles(diagnoseRoad.family, widePlant, 2))
}

// listedFaults are those that some list has, in the words of the trade page.
var listedFaults = []string{
	"low-zero", "high-zero", "span-low", "non-linearity", "hysteresis", "fail-safe-high", "trapped-pressure", "equalising-valve-leak",
	"open-wire", "transmitter-short", "receiver-short", "reversed-leads", "corroded-terminal", "plus-earth-leak", "minus-earth-leak", "earth-loop",
	"low-supply", "dead-supply", "supply-resistance", "supply-limiting", "wrong-resistor", "drifted-resistor", "second-receiver",
	"receiver-zero", "receiver-span", "weak-cell", "mechanical-zero-off", "test-lead-resistance", "trigger-not-held",
	"checker-resistor-drifted", "crossed-test-leads",
}

func (p part) diagnoseTask() string {
	switch p.prompt {
	case "Which fault is at work?":
		return "which"
	case "What has to be done about it?":
		return "remedy"
	}
	return ""
}

var faultsSaid = map[string]loop.Fault{}

// faultInWords finds a fault by what an option calls it.
func faultInWords(text string) (loop.Fault, error) {
	if f, ok := faultsSaid[text]; ok {
		return f, nil
	}
	name, _, _ := strings.Cut(text, " (")
	name = strings.ReplaceAll(name, " ", "-")
	f, ok := loop.FaultNamed(name)
	if !ok {
		return f, fmt.Errorf("nobody knows the fault %q", text)
	}
	// The ranges printed are those that the search goes through.
	for i := range f.Sizes {
		if said := strings.NewReplacer("-", "−", "ohm", "Ω").Replace(f.Sizes[i].String()); !strings.Contains(text, said) {
			return f, fmt.Errorf("%q does not say %s", text, said)
		}
	}
	faultsSaid[text] = f
	return f, nil
}

// pick marks the option that says so.
func (p part) pick(text string) (replies, error) {
	for _, o := range p.boxes[0].options {
		if o.text == text {
			return replies{p.boxes[0].id: {option: o.value}}, nil
		}
	}
	return nil, fmt.Errorf("no option says %q", text)
}

var (
	supplySaid      = regexp.MustCompile(`^(\S+) V, (\S+) Ω inside, at most (\S+) mA$`)
	wireSaid        = regexp.MustCompile(`^(\S+) Ω, (\S+) Ω$`)
	transmitterSaid = regexp.MustCompile(`^works from (\S+) V, sends (\S+) mA to (\S+) mA$`)
	receiverSaid    = regexp.MustCompile(`^(\S+) Ω, its input (\S+) MΩ$`)
	checkerSaid     = regexp.MustCompile(`^(\S+) Ω, mechanical zero on centre, cell past its line$`)
)

// soundLoop builds the loop of a sheet.
func soundLoop(t seenTable) (loop.Params, error) {
	p := loop.Healthy()
	for _, row := range []struct {
		head   string
		said   *regexp.Regexp
		places []*float64
	}{
		{"Supply", supplySaid, []*float64{&p.Supply.Volt, &p.Supply.InternalOhm, &p.Supply.LimitMilliamp}},
		{"Conductor out, conductor back", wireSaid, []*float64{&p.Wiring.OutOhm, &p.Wiring.ReturnOhm}},
		{"Transmitter", transmitterSaid, []*float64{&p.Transmitter.LiftOffVolt, &p.Transmitter.LowMilliamp, &p.Transmitter.HighMilliamp}},
		{"Receiver", receiverSaid, []*float64{&p.Receiver.ShuntOhm, &p.Receiver.InputOhm}},
		{"Checker", checkerSaid, []*float64{&p.Checker.ResistorOhm}},
	} {
		found := false
		for _, cells := range t.rows {
			if cells[0] != row.head {
				continue
			}
			m := row.said.FindStringSubmatch(strings.ReplaceAll(cells[1], "\u00a0", " "))
			if m == nil {
				return p, fmt.Errorf("the loop sheet says %q of %s", cells[1], row.head)
			}
			for i, place := range row.places {
				v, err := number(m[i+1])
				if err != nil {
					return p, err
				}
				*place = v
			}
			found = true
		}
		if !found {
			return p, fmt.Errorf("the loop sheet says nothing of %s", row.head)
		}
	}
	p.Receiver.InputOhm *= 1e6
	p.Checker.Place = loop.SeriesField
	return p, nil
}

// deed is one line of the table: what is done before and after the fault comes
// in, and what is then looked at.
type deed struct {
	before, after func(*loop.Params)
	look          func(p *loop.Params) float64 // in steps of the instrument, not yet rounded
	needle        bool
	seen          int    // steps
	said          string // the line of the page
}

const stopsAt = 50 // small marks, as the reference page says

var deeds = []struct {
	said  *regexp.Regexp
	deed  func(x, ring float64) deed
	steps float64 // in one unit; 0: small marks of a fifth of a division
}{
	{regexp.MustCompile(`^Input at (\S+) %, ring at (\S+) %, trigger (?:pressed|tapped)$`), held, 0},
	{regexp.MustCompile(`^Trigger released, needle$`), func(_, _ float64) deed {
		return deed{look: func(p *loop.Params) float64 { return 5 * p.Checker.RestDivision }, needle: true}
	}, 0},
	{regexp.MustCompile(`^Lever at Cell, trigger pressed \(the line stands at \+4\.0 div\)$`), func(_, _ float64) deed {
		return deed{needle: true, look: func(p *loop.Params) float64 {
			volt, _ := p.Checker.CellUnderLoad()
			return 5 * (4 + (volt-p.Checker.GoodCellVolt)/p.Checker.CellVoltPerDivision + p.Checker.RestDivision)
		}}
	}, 0},
	{regexp.MustCompile(`^Input at (\S+) %, come to from above; ring at (\S+) %, trigger pressed$`), func(x, ring float64) deed {
		d := held(x, ring)
		d.after = func(p *loop.Params) { p.Transmitter.Falling = true }
		return d
	}, 0},
	{regexp.MustCompile(`^Input of (\S+) % straight to the transmitter's own port; ring at (\S+) %, trigger pressed$`), func(x, ring float64) deed {
		d := held(x, ring)
		d.after = func(p *loop.Params) { p.Input = loop.Input{Gain: 1} }
		return d
	}, 0},
	{regexp.MustCompile(`^Checker moved, in series at the receiver; input at (\S+) %, ring at (\S+) %, trigger pressed$`), func(x, ring float64) deed {
		d := held(x, ring)
		d.before = func(p *loop.Params) { p.Checker.Place = loop.SeriesRoom }
		return d
	}, 0},
	{regexp.MustCompile(`^Supply raised by 5 V; input at (\S+) %, ring at (\S+) %, trigger pressed$`), func(x, ring float64) deed {
		d := held(x, ring)
		d.after = func(p *loop.Params) { p.Supply.Volt += 5 }
		return d
	}, 0},
	{regexp.MustCompile(`^Voltmeter at the supply's terminals, input at (\S+) %$`), meter(func(q loop.Point) float64 { return q.SupplyVolt }), 10},
	{regexp.MustCompile(`^Voltmeter across the transmitter, input at (\S+) %$`), meter(func(q loop.Point) float64 { return q.TransmitterVolt }), 10},
	{regexp.MustCompile(`^Voltmeter across the receiver, input at (\S+) %$`), meter(func(q loop.Point) float64 { return q.ReceiverVolt }), 1000},
	{regexp.MustCompile(`^Receiver shows, input at (\S+) %$`), meter(func(q loop.Point) float64 { return q.ReceiverPercent }), 10},
	{regexp.MustCompile(`^Checker taken out of the loop; voltmeter across the receiver, input at (\S+) %$`), func(x, ring float64) deed {
		d := meter(func(q loop.Point) float64 { return q.ReceiverVolt })(x, ring)
		d.before = func(p *loop.Params) { p.Checker.Place = loop.NotConnected }
		return d
	}, 1000},
}

func held(x, ring float64) deed {
	return deed{needle: true, look: func(p *loop.Params) float64 {
		p.Checker.RingShift += (ring - x) / 100
		return 5 * p.Solve(x/100, true).Deflection
	}}
}

func meter(of func(loop.Point) float64) func(x, ring float64) deed {
	return func(x, _ float64) deed {
		return deed{look: func(p *loop.Params) float64 { return of(p.Solve(x/100, false)) }}
	}
}

var measured = regexp.MustCompile(`^([+−]?[0-9.]+) (div|V|% of span)$`)

// deedOf understands a line of the table.
func deedOf(cells []string) (deed, error) {
	for _, k := range deeds {
		m := k.said.FindStringSubmatch(cells[0])
		if m == nil {
			continue
		}
		var x [2]float64
		for i := 1; i < len(m); i++ {
			var err error
			if x[i-1], err = number(m[i]); err != nil {
				return deed{}, err
			}
		}
		d := k.deed(x[0], x[1])
		d.said = cells[0]
		switch cells[1] {
		case "left stop":
			d.seen = -stopsAt
			return d, nil
		case "right stop":
			d.seen = stopsAt
			return d, nil
		}
		v := measured.FindStringSubmatch(strings.ReplaceAll(cells[1], "\u00a0", " "))
		if v == nil || (v[2] == "div") != d.needle {
			return deed{}, fmt.Errorf("%q was seen", cells[1])
		}
		n, err := number(strings.TrimPrefix(v[1], "+"))
		if err != nil {
			return deed{}, err
		}
		if d.needle {
			d.seen = int(math.Round(5 * n))
			return d, nil
		}
		look := d.look
		d.look = func(p *loop.Params) float64 { return k.steps * look(p) }
		d.seen = int(math.Round(k.steps * n))
		return d, nil
	}
	return deed{}, fmt.Errorf("nobody knows what was done: %q", cells[0])
}

// shows is the reading that a fault of a size gives.
func (d deed) shows(p loop.Params, f *loop.Fault, sizes []float64) (int, error) {
	if d.before != nil {
		d.before(&p)
	}
	p, err := f.Apply(p, sizes...)
	if err != nil {
		return 0, err
	}
	if d.after != nil {
		d.after(&p)
	}
	v := d.look(&p)
	if d.needle {
		v = math.Max(-stopsAt, math.Min(stopsAt, v))
	}
	return int(math.Round(v)), nil
}

// workedOut remembers what a fault at all its sizes gives, by the loop's sheet, the
// fault and what is done: thousands of pages ask the same of few loops.
type workedOut map[[3]string][]int

func (w workedOut) shows(sheet string, sound loop.Params, f *loop.Fault, d deed) ([]int, error) {
	key := [3]string{sheet, f.Name, d.said}
	if codes, ok := w[key]; ok {
		return codes, nil
	}
	var codes []int
	for _, sizes := range closeSizes(f) {
		code, err := d.shows(sound, f, sizes)
		if err != nil {
			return nil, err
		}
		codes = append(codes, code)
	}
	w[key] = codes
	return codes, nil
}

var diagnosed = workedOut{}

// closeSizes are the sizes of a fault that are tried: eight times as close as the
// ones that a draw is made from, those among them.
func closeSizes(f *loop.Fault) [][]float64 {
	if len(f.Sizes) == 0 {
		return [][]float64{nil}
	}
	var out [][]float64
	for _, br := range f.Sizes[0].Branches {
		n := 8 * (120/len(f.Sizes[0].Branches) - 1)
		for k := range n + 1 {
			out = append(out, []float64{br.Low + (br.High-br.Low)*float64(k)/float64(n)})
		}
		out[len(out)-1][0] = br.High
	}
	return out
}

func (s sheet) workDiagnose() (replies, error) {
	if len(s.tables) != 2 || s.tables[0].heads[0] != "Loop sheet" || s.tables[1].heads[0] != "What was done" {
		return nil, fmt.Errorf("a loop sheet and a table of readings are not there")
	}
	sound, err := soundLoop(s.tables[0])
	if err != nil {
		return nil, err
	}
	var done []deed
	for _, cells := range s.tables[1].rows {
		d, err := deedOf(cells)
		if err != nil {
			return nil, err
		}
		done = append(done, d)
	}
	mine := replies{}
	var found *loop.Fault
	p := s.parts[0]
	for _, o := range p.boxes[0].options {
		f, err := faultInWords(o.text)
		if err != nil {
			return nil, err
		}
		fits, err := explains(fmt.Sprint(s.tables[0].rows), sound, &f, done)
		if err != nil {
			return nil, err
		}
		if fits && found != nil {
			return nil, fmt.Errorf("%s and %s both explain every reading", found.Name, f.Name)
		}
		if fits {
			found = &f
			mine[p.boxes[0].id] = reply{option: o.value}
		}
	}
	if found == nil {
		return nil, fmt.Errorf("no fault of the list explains every reading")
	}
	more, err := s.parts[1].pick(found.Remedy)
	for id, r := range more {
		mine[id] = r
	}
	return mine, err
}

// explains says whether a fault gives all readings at one of its sizes.
func explains(sheet string, sound loop.Params, f *loop.Fault, done []deed) (bool, error) {
	var all [][]int
	for _, d := range done {
		codes, err := diagnosed.shows(sheet, sound, f, d)
		if err != nil {
			return false, err
		}
		all = append(all, codes)
	}
next:
	for i := range all[0] {
		for k, d := range done {
			if all[k][i] != d.seen {
				continue next
			}
		}
		return true, nil
	}
	return false, nil
}
