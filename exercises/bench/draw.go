package bench

import (
	"math"
	"slices"
	"sync"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

const (
	rejectNoRoom exercises.Reject = "no size of this fault that shows and that the loop can stand"
	rejectSize   exercises.Reject = "a size that the plant leaves out"
	rejectEdge   exercises.Reject = "a reading on a rounding edge"
	rejectCell   exercises.Reject = "a cell reading too near to its line"
)

// leastLimit is the smallest adjust limit, percent of span: a small error that
// shows and the clearance from the limit must fit below it.
var leastLimit = formula.Ratio(1, 2)

const (
	// least is the smallest error of a screw, in small marks.
	least = 3
	// part is the smallest part of zero and span together: more than three.
	part = 4
	// most is the largest error at an end, in small marks: 9 divisions, so that
	// a bench that is off by a mark or two still reads on the face.
	most = 45
	// spareVolt stays above the transmitter's lift-off voltage, V: the one on
	// the bench may want more than the plant file says.
	spareVolt = 0.1
)

// printed is a resistance as the card prints it, to 0.1 ohm: the loop on the
// bench is built from the card.
func printed(ohm float64) float64 { return rounded(ohm, 1).Float64() }

// line is what cable and supply have, ohm.
func line(l *scenarios.Loop) float64 {
	q := l.Params
	return printed(q.Supply.InternalOhm) + printed(q.Wiring.OutOhm) + printed(q.Wiring.ReturnOhm)
}

// room is what the supply has to spare at 20 mA with the checker in, V.
func room(l *scenarios.Loop) float64 {
	q := l.Params
	return q.Supply.Volt - float64(0.020*(line(l)+q.Receiver.ShuntOhm+q.Checker.ResistorOhm)) - q.Transmitter.LiftOffVolt - spareVolt
}

// prepared is a loop and what can be drawn for it.
type prepared struct {
	plant  *scenarios.Plant
	loop   *scenarios.Loop
	adjust int // small marks
	limit  int // tolerance, small marks
}

func prepare(p *scenarios.Plant, l *scenarios.Loop) prepared {
	f := p.Checker.Face
	return prepared{p, l, nullbalance.Marks(f, l.AdjustAt), nullbalance.Marks(f, l.Tolerance)}
}

// band says whether an error can lie clear beyond the adjust limit and clear
// inside the tolerance.
func (p prepared) band() bool { return p.adjust+nullbalance.Clear <= p.limit-nullbalance.Clear }

// task is one drawn task.
type task struct {
	prepared
	level  string
	points []int  // percent of range
	fault  string // "" where nothing was put in
	zero   int    // small marks at every point
	span   int    // small marks at 100 %
	rest   int    // mechanical zero as the apprentice finds it, small marks
	size   float64
	size10 int // the size in tenths: of an ohm, a kilohm, a volt
	cell   int // ohms in series with the cell, 0 where it is good
	volt   float64
	left   loop.Params
	found  loop.Params
	was    []loop.Measured // as found, the checker ready
	is     []loop.Measured // as left
}

func (t *task) face() scenarios.Face { return t.plant.Checker.Face }

func (p *plan) draw(pick *exercises.Picker) (*task, error) {
	t := &task{level: p.exercise.Level}
	var err error
	switch t.level {
	case "easy":
		err = p.easy(pick, t)
	case "usual":
		err = p.usual(pick, t)
	default:
		err = p.hard(pick, t)
	}
	if err != nil {
		return nil, err
	}
	return t, t.measure()
}

// side draws where the needle rests: left, centre or right, by up to so many
// small marks.
func side(pick *exercises.Picker, to int) int {
	return pick.Between(2, to) * (pick.Int(3) - 1)
}

// easy draws a transmitter that is right, or whose zero is a little or far off.
func (p *plan) easy(pick *exercises.Picker, t *task) error {
	fault := p.faults[pick.Int(len(p.faults))]
	where := p.region(pick, 36, 46, 41)
	sound := where == leave && pick.Int(2) == 0
	t.prepared = p.loopFor(pick, where)
	t.points = []int{5 * pick.Between(0, 4), 5 * pick.Between(9, 11), 5 * pick.Between(16, 20)}
	t.rest = side(pick, 8)
	if sound {
		return nil
	}
	from, to := t.errors(where)
	return t.put(pick, fault, from, to)
}

// region is what the largest error calls for.
type region int

const (
	leave   region = iota // inside the adjust limit
	between               // beyond it, and inside the tolerance
	outside               // outside the tolerance
)

// region draws a region so that neither verdict nor first step can be guessed:
// of a hundred, those below leaves are left alone and those below within are
// within their tolerance. Where no loop has room between its limits, those below
// alone are left alone.
func (p *plan) region(pick *exercises.Picker, leaves, within, alone int) region {
	n := pick.Int(100)
	if !slices.ContainsFunc(p.loops, prepared.band) {
		leaves, within = alone, alone
	}
	switch {
	case n < leaves:
		return leave
	case n < within:
		return between
	}
	return outside
}

// loopFor draws a loop that has room for a region.
func (p *plan) loopFor(pick *exercises.Picker, where region) prepared {
	loops := p.loops
	if where == between {
		loops = slices.DeleteFunc(slices.Clone(loops), func(l prepared) bool { return !l.band() })
	}
	return loops[pick.Int(len(loops))]
}

// errors are the largest errors of a region, in small marks.
func (t *task) errors(where region) (from, to int) {
	switch where {
	case leave:
		return least, t.adjust - nullbalance.Clear
	case between:
		return t.adjust + nullbalance.Clear, t.limit - nullbalance.Clear
	}
	return t.limit + nullbalance.Clear, most
}

// usual draws a transmitter with zero, span or both off, or neither.
func (p *plan) usual(pick *exercises.Picker, t *task) error {
	fault := p.faults[pick.Int(len(p.faults))]
	where := p.region(pick, 25, 45, 35)
	sound := pick.Int(2) == 0
	t.prepared = p.loopFor(pick, where)
	t.points = []int{0, 25, 50, 75, 100}
	t.rest = side(pick, 8)
	if where == leave && (sound || fault == "zero-and-span") {
		return nil // both parts of a compound do not fit below the limit
	}
	from, to := t.errors(where)
	return t.put(pick, fault, from, to)
}

// put draws the size of a screw's fault so that the largest error lies between
// from and to small marks, the transmitter stays between its limits, and the
// plant's own sizes hold.
func (t *task) put(pick *exercises.Picker, fault string, from, to int) error {
	low, top := t.points[0], t.points[len(t.points)-1]
	q := t.loop.Params.Transmitter
	down := int((float64(low)/100-(q.LowMilliamp-4)/16)/t.perMark() - 0.5)
	up := int(((q.HighMilliamp-4)/16-float64(top)/100)/t.perMark() - 0.5)
	t.fault = fault
	bounds := nullbalance.SizeMarks(t.plant, t.loop, fault, 100)
	if bounds != nil {
		from, to = max(from, bounds[0].From), min(to, bounds[0].To)
	}
	one := func(to int) (int, error) {
		if from > to {
			return 0, rejectNoRoom
		}
		return pick.Between(from, to), nil
	}
	var err error
	switch fault {
	case "low-zero":
		t.zero, err = one(min(to, down))
		t.zero = -t.zero
	case "high-zero":
		t.zero, err = one(min(to, up))
	case "span-low":
		t.span, err = one(to)
		t.span = -t.span
	case "span-high":
		t.span, err = one(min(to, up))
	default:
		return t.both(pick, from, to, down, up)
	}
	return err
}

// both draws zero and span together: the zero first, then a span that shows.
func (t *task) both(pick *exercises.Picker, from, to, down, up int) error {
	low := pick.Int(2) == 0
	zeros := nullbalance.Marked{From: max(part, min(from, to)), To: min(to, up)}
	if low {
		zeros.To = min(to, down)
	}
	if zeros.From > zeros.To {
		return rejectNoRoom
	}
	t.zero = pick.Between(zeros.From, zeros.To)
	if low {
		t.zero = -t.zero
	}
	spans := nullbalance.Marked{From: max(-to, -to-t.zero), To: min(to-t.zero, up-t.zero, to)}
	if spans.From > -part && spans.To < part {
		return rejectNoRoom
	}
	// One of both sides, where both have room.
	under, over := spans.From <= -part, spans.To >= part
	if under && (!over || pick.Int(2) == 0) {
		t.span = pick.Between(spans.From, -part)
	} else {
		t.span = pick.Between(part, spans.To)
	}
	if b := nullbalance.SizeMarks(t.plant, t.loop, t.fault, 100, 100); b != nil && (!b[0].Has(t.zero) || !b[1].Has(t.span)) {
		return rejectSize
	}
	return nil
}

// runs are the points of the hard level, five each.
var runs = [][]int{{0, 25, 50, 75, 100}, {5, 25, 50, 75, 95}, {10, 30, 50, 70, 90}, {0, 20, 50, 80, 100}}

// hard draws a fault in the loop, and a cell that is good or weak.
func (p *plan) hard(pick *exercises.Picker, t *task) error {
	t.fault = p.faults[pick.Int(len(p.faults))]
	weak := pick.Int(100) < 35
	t.prepared = p.loops[pick.Int(len(p.loops))]
	t.points = runs[pick.Int(len(runs))]
	t.rest = side(pick, 4)
	q := t.loop.Params
	switch t.fault {
	case "corroded-terminal":
		t.size10 = 50 * pick.Between(16, max(16, min(26, int(room(t.loop)/0.020/5))))
	case "moisture-across-transmitter":
		t.size10 = 10 * pick.Between(30, 100)
	case "drifted-resistor":
		t.size10 = 5 * pick.Between(12, 25)
		if pick.Int(2) == 0 {
			t.size10 = -t.size10
		}
	case "low-supply":
		from := int(math.Ceil(q.Supply.Volt - 1e-9)) // tenths of a volt down: a tenth of the rating at least
		t.size10 = pick.Between(from, max(from, min(from+10, int(10*room(t.loop)))))
	}
	if weak && t.fault != weakCell || t.fault == weakCell {
		return t.weaken(pick)
	}
	return nil
}

// weaken draws the resistor in series with the cell: under load the cell then
// misses its line by 1.5 to 2 divisions of the usual face.
func (t *task) weaken(pick *exercises.Picker) error {
	c := &t.plant.Checker.Params
	if c.CellLoadMilliamp <= 0 {
		return rejectNoRoom
	}
	good, _ := c.CellUnderLoad()
	per := c.CellVoltPerDivision
	from := int(math.Ceil((good - c.GoodCellVolt + 1.5*per) / c.CellLoadMilliamp * 1e3))
	to := int(math.Floor((good - c.GoodCellVolt + 2*per) / c.CellLoadMilliamp * 1e3))
	if from < 1 || from > to {
		return rejectNoRoom
	}
	t.cell = pick.Between(from, to)
	if _, clear := t.cellNeedle(); !clear {
		t.cell-- // an ohm less, and the needle no longer stands between two marks
	}
	return nil
}

// perMark is one small mark as a fraction of span.
func (t *task) perMark() float64 { return t.face().PerSmallMark.Float64() / 100 }

// screws puts the errors of the transmitter into a loop.
func (t *task) screws(p *loop.Params) {
	p.Transmitter.Zero = float64(t.zero) * t.perMark()
	p.Transmitter.Span = float64(t.span) * t.perMark()
}

// read lets the solver read a loop at the points drawn. A span error puts some
// needles in the middle between two marks; the card then has the right one of
// them, and the tolerance covers both.
func (t *task) read(p loop.Params) ([]loop.Measured, error) {
	var xs []float64
	for _, x := range t.points {
		xs = append(xs, float64(x)/100)
	}
	out, err := p.Measure(xs...)
	if err != nil {
		return nil, rejectNoRoom
	}
	if p.Transmitter.Span != 0 {
		p.Transmitter.Zero += 0.1 * t.perMark()
		upper, err := p.Measure(xs...)
		if err != nil {
			return nil, rejectNoRoom
		}
		for i := range out {
			out[i].Needle = upper[i].Needle
		}
	}
	for i := range out {
		if !out[i].Needle.Clear || !out[i].Receiver.Clear || !out[i].Transmitter.Clear {
			return nil, rejectEdge
		}
		if out[i].Needle.Stop != loop.NoStop || out[i].Held.TransmitterVolt < p.Transmitter.LiftOffVolt+spareVolt {
			return nil, rejectNoRoom
		}
	}
	return out, nil
}

// sizes gives the sizes of the fault as scenarios/loop wants them.
func (t *task) sizes() []float64 {
	tenths := float64(t.size10) / 10
	switch t.fault {
	case "corroded-terminal":
		return []float64{tenths}
	case "moisture-across-transmitter":
		return []float64{1000 * tenths}
	case "drifted-resistor":
		return []float64{100 * tenths / t.loop.Params.Receiver.ShuntOhm}
	case "low-supply":
		return []float64{100 * tenths / t.loop.Params.Supply.Volt}
	}
	return nil
}

// faultNamed finds the faults of the loop by name; looking for one among all
// takes longer than solving it.
var faultNamed = sync.OnceValue(func() map[string]loop.Fault {
	m := map[string]loop.Fault{}
	for _, f := range loop.Faults() {
		m[f.Name] = f
	}
	return m
})

// measure lets the solver read the loop as found and as left.
func (t *task) measure() error {
	sound := t.loop.Params
	w := &sound.Wiring
	w.OutOhm, w.ReturnOhm = printed(w.OutOhm), printed(w.ReturnOhm)
	sound.Supply.InternalOhm = printed(sound.Supply.InternalOhm)
	sound.Checker = t.plant.Checker.Params
	sound.Checker.Place = loop.SeriesField
	t.found, t.left = sound, sound
	switch {
	case t.level != "hard":
		t.screws(&t.found)
		if !t.adjusts() {
			t.left = t.found
		}
	case t.fault != weakCell:
		f := faultNamed()[t.fault]
		if !t.permitted(t.sizes()) {
			return rejectSize
		}
		var err error
		if t.found, err = f.Apply(sound, t.sizes()...); err != nil {
			return rejectNoRoom
		}
	}
	var err error
	if t.was, err = t.read(t.found); err != nil {
		return err
	}
	if t.is, err = t.read(t.left); err != nil {
		return err
	}
	return t.cellClear()
}

// permitted says whether the plant lets sizes be drawn.
func (t *task) permitted(sizes []float64) bool {
	b := t.plant.Sizes(t.fault, t.loop)
	if len(b) != len(sizes) {
		return true
	}
	for i, v := range sizes {
		if v < b[i].Low.Float64()-1e-9 || v > b[i].High.Float64()+1e-9 {
			return false
		}
	}
	return true
}

// cellClear holds the needle in the cell position two small marks away from its
// line, wherever it rests, so that nobody need argue about it.
func (t *task) cellClear() error {
	n, ok := t.cellNeedle()
	line := int(math.Round(t.plant.Checker.Params.CellLineDivision / t.plant.Checker.Params.MarkDivision))
	if !ok || n.Stop == loop.NoStop && abs(n.Code-line) < nullbalance.Clear {
		return rejectCell
	}
	if (n.Code < line) != (t.cell != 0) {
		return rejectCell
	}
	return nil
}

// checker is the checker as the apprentice finds it.
func (t *task) checker() loop.Checker {
	c := t.plant.Checker.Params
	c.CellOhm += float64(t.cell)
	c.RestDivision = float64(t.rest) * c.MarkDivision
	return c
}

// cellNeedle is where the needle stands in the cell position at first.
func (t *task) cellNeedle() (loop.Needle, bool) {
	c := t.checker()
	volt, _ := c.CellUnderLoad()
	return c.CellNeedle(volt)
}

// worst is the largest error as found, in small marks.
func (t *task) worst() int {
	w := 0
	for i := range t.was {
		w = max(w, abs(t.was[i].Needle.Code))
	}
	return w
}

// adjusts says whether the screws are to be turned: an end is off beyond the
// adjust limit.
func (t *task) adjusts() bool {
	low, top := t.points[0], t.points[len(t.points)-1]
	end := func(x int) int { return abs(100*t.zero + x*t.span) }
	return max(end(low), end(top)) > 100*t.adjust
}

func abs(n int) int {
	if n < 0 {
		return -n
	}
	return n
}

// drawable tries points spread over the draw space.
func (p *plan) drawable(fault string, l *scenarios.Loop) bool {
	const tries = 120
	one := &plan{exercise: p.exercise, faults: []string{fault}, loops: []prepared{prepare(p.exercise.Plant, l)}}
	for i := range uint64(tries) {
		if t, err := one.draw(exercises.NewPicker(i * (math.MaxUint64 / tries))); err == nil && t.fault == fault {
			return true
		}
	}
	return false
}
