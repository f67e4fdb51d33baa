package scenarios

import (
	"fmt"
	"path"
	"strings"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// plant reads plants/ID.yaml. It gives what could be read, so that references
// to it can be checked, and nil where that is nothing.
func (r *reader) plant(id string, where diag.Place) *Plant {
	f := r.open(path.Join("plants", id+".yaml"), &where)
	if f == nil {
		r.gaps = true
		return nil
	}
	n := f.yaml("a plant: its name, checker and loops")
	if n == nil {
		r.gaps = true
		return nil
	}
	b := f.block(n, PlantFile, "a plant file")
	if b == nil {
		r.gaps = true
		return nil
	}
	p := &Plant{ID: b.get("plant").text, Name: b.get("name").text, Trade: b.get("makes").text}
	if v := b.get("plant"); v.ok && p.ID != id {
		f.err(RuleFileName, v.at(), fmt.Sprintf("the plant in %s calls itself %q", f.path, p.ID), fmt.Sprintf("write %q, or name the file plants/%s.yaml", "plant: "+id, p.ID))
	}
	if v := b.get("checker"); v.ok {
		p.Checker = f.checker(v.block)
	}
	r.gaps = r.gaps || !b.get("loops").ok
	for _, v := range b.get("loops").list {
		if !v.ok || !v.block.get("tag").ok {
			r.gaps = true
		}
		if !v.ok {
			continue
		}
		l := f.loop(v.block, p)
		if tag := v.block.get("tag"); tag.ok {
			r.place(l, p, tag)
		}
		p.Loops = append(p.Loops, l)
	}
	r.gaps = r.gaps || b.written("outputs") && !b.get("outputs").ok
	f.outputs(b.get("outputs").list, p)
	f.standards(b.get("standards").list, p)
	f.faultSizes(b.get("faults").list, p)
	return p
}

// place remembers a loop under its tag, which must be the only one of that tag
// in the course.
func (r *reader) place(l *Loop, p *Plant, tag *value) {
	if r.taken(tag) {
		return
	}
	r.loops[l.Tag] = &placedLoop{Loop: l, plant: p, at: tag.at()}
}

// taken remembers where a tag stands, and reports one that is used already, be
// it by a loop or by an output loop.
func (r *reader) taken(tag *value) bool {
	first, again := r.tags[tag.text]
	if !again {
		r.tags[tag.text] = tag.at()
		return false
	}
	r.put(diag.Diagnostic{Severity: diag.Error, Rule: RuleDuplicateName, At: tag.at(), Second: &first, SecondIs: "first used here",
		Summary: fmt.Sprintf("tag %s is used twice", tag.text), Detail: "a tag is used once in all plants of a course, so that a page need not say which plant it means",
		Hint: "give one of the two another number"})
	return true
}

// in gives a checked quantity in another unit. A value that was wrong gives 0
// and ok false; what depends on it is then left unchecked.
func (v *value) in(name string) (x formula.Value, ok bool) {
	if !v.ok {
		return formula.Value{}, false
	}
	x, err := v.quantity.Convert(unit.Must(name))
	return x, err == nil
}

func (v *value) float(name string) float64 {
	x, _ := v.in(name)
	return x.Float64()
}

// allOK says whether all these keys of a block were read well.
func (b *block) allOK(names ...string) bool {
	for _, n := range names {
		if !b.get(n).ok {
			return false
		}
	}
	return true
}

func (f *file) checker(b *block) Checker {
	c := Checker{ID: b.get("id").text, Params: loop.HealthyChecker()}
	cell, regulator, movement := b.get("cell").block, b.get("regulator").block, b.get("movement").block
	c.Accuracy, c.Due = b.get("accuracy").quantity.V, b.get("due").text
	p := &c.Params
	if v := b.get("resistor"); v.ok {
		p.ResistorOhm = v.float("ohm")
		if p.ResistorOhm != 250 {
			f.err(RuleChecker, b.at("resistor"), fmt.Sprintf("20 mA through %s makes %s V, but the reference goes to 5 V", v.quantity, number(p.ResistorOhm*0.020)),
				"give the checker 250 ohm, or leave the key out")
		}
	}
	if cell != nil && cell.allOK("voltage", "resistance", "load", "good") {
		p.CellVolt, p.CellOhm = cell.get("voltage").float("V"), cell.get("resistance").float("ohm")
		p.CellLoadMilliamp, p.GoodCellVolt = cell.get("load").float("mA"), cell.get("good").float("V")
		if under, good := p.CellUnderLoad(); !good {
			f.err(RuleChecker, cell.at("good"), fmt.Sprintf("a fresh cell of %s has only %s V under load, below the %s of a good one",
				cell.get("voltage").quantity, number(under), cell.get("good").quantity), "lower \"good\", or give the cell more volts or less resistance")
		}
	}
	if regulator != nil && regulator.allOK("voltage", "drop_out") {
		p.RegulatorVolt, p.DropOutVolt = regulator.get("voltage").float("V"), regulator.get("drop_out").float("V")
		if p.RegulatorVolt < 5 {
			f.err(RuleChecker, regulator.at("voltage"), fmt.Sprintf("a regulator of %s cannot make the reference of 5 V", regulator.get("voltage").quantity), "give it at least 5 V")
		}
		if cell != nil && cell.get("good").ok && p.RegulatorVolt+p.DropOutVolt > p.GoodCellVolt+1e-9 {
			at := b.at("cell")
			if cell.n != nil {
				at = cell.at("good")
			} else if regulator.n != nil {
				at = regulator.place()
			}
			f.warn(RuleChecker, at, fmt.Sprintf("a cell that just passes its check (%s) lets the regulator drop out (%s + %s)",
				cell.get("good").quantity, regulator.get("voltage").quantity, regulator.get("drop_out").quantity),
				"put \"good\" at regulator voltage plus drop_out, or the cell check proves nothing")
		}
	}
	if movement != nil && movement.allOK("divisions", "small_marks", "per_division", "cell_line", "cell_per_division") {
		f.movement(&c, movement)
	}
	return c
}

// mostMarks is how many small marks to each side can still be told apart on a
// face as it is printed.
const mostMarks = 58

func (f *file) movement(c *Checker, b *block) {
	divisions, marks := b.get("divisions").whole, b.get("small_marks").whole
	per := b.get("per_division").quantity.V
	line := b.get("cell_line").quantity.V
	cellPer, _ := b.get("cell_per_division").in("V")
	small, err := line.Mul(formula.Int(int64(marks))).Cmp(formula.Int(0))
	lineMarks, _ := line.Mul(formula.Int(int64(marks))).Round(0)
	if err != nil || small < 0 || !formula.Int(lineMarks).Equal(line.Mul(formula.Int(int64(marks)))) {
		f.err(RuleChecker, b.at("cell_line"), fmt.Sprintf("the cell line at %s does not lie on a small mark (%d in a division)", b.get("cell_line").quantity, marks), "put it on a mark")
	}
	if int(lineMarks) >= divisions*marks {
		f.err(RuleChecker, b.at("cell_line"), fmt.Sprintf("the cell line at %s lies on or beyond the stop at %d divisions", b.get("cell_line").quantity, divisions), "put it inside the face")
	}
	if divisions*marks > mostMarks {
		f.err(RuleChecker, b.at("small_marks"), fmt.Sprintf("%d divisions of %d make %d small marks to each side, and a face on A4 has room for %d", divisions, marks, divisions*marks, mostMarks), "take fewer of one of the two")
	}
	c.Face = Face{
		Divisions: divisions, SmallPerDiv: marks,
		PerSmallMark:  per.Div(formula.Int(int64(marks))),
		CellLineSmall: int(lineMarks),
		CellPerSmall:  cellPer.Div(formula.Int(int64(marks))),
	}
	p := &c.Params
	p.StopDivision, p.MarkDivision = float64(divisions), 1/float64(marks)
	p.CellVoltPerDivision, p.CellLineDivision = cellPer.Float64(), line.Float64()
	// 4 V of drop is the whole span; the movement sees the difference through
	// its own resistance, that of the reference and the checker's resistor.
	// At 0.5 % of span this is 16 microamp a division, exactly.
	perDivision := per.Mul(formula.Int(40000)) // microvolt-ohm: percent/100 x 4 V x 1e6 µA/A
	p.MicroampPerDivision = perDivision.Float64() / (p.MovementOhm + p.ReferenceOhm + p.ResistorOhm)
}

// loop builds one loop and checks it. What was wrong in the file is left at
// its zero or default; the course is not handed out then.
func (f *file) loop(b *block, p *Plant) *Loop {
	l := &Loop{
		Tag: b.get("tag").text, Service: b.get("service").text, Kind: Kind(b.get("kind").text),
		Input: b.get("input").rng, Action: Action(b.get("action").text), Sensor: Sensor(b.get("sensor").text),
		Params: loop.Healthy(),
	}
	if root := b.get("root").text; root != "none" {
		l.Root = Root(root)
	}
	l.Signal, _ = signal.Named(b.get("signal").text)
	l.Shows = l.Input
	if v := b.get("shows"); v.ok {
		l.Shows = v.rng
	}
	l.Tolerance = b.get("tolerance").quantity.V
	l.AdjustAt = l.Tolerance
	if v := b.get("adjust_at"); v.ok {
		l.AdjustAt = v.quantity.V
	}
	f.electrical(b, l, p)
	f.checkTag(b, l)
	f.checkRanges(b, l)
	f.checkRoot(b, l)
	f.checkSensor(b, l)
	f.checkTolerance(b, l, p)
	if l.Pneumatic() {
		f.checkPneumatic(b, l)
	} else {
		f.checkBudget(b, l)
	}
	return l
}

// Pneumatic says whether the loop's signal is air and not current.
func (l *Loop) Pneumatic() bool {
	return l.Signal.Unit == "kPa" || l.Signal.Unit == "psi"
}

// electrical fills the parameters of the circuit.
func (f *file) electrical(b *block, l *Loop, p *Plant) {
	q := &l.Params
	if s := b.get("supply").block; s != nil {
		q.Supply.Volt, q.Supply.InternalOhm = s.get("voltage").float("V"), s.get("resistance").float("ohm")
		q.Supply.LimitMilliamp = s.get("limit").float("mA") // left out: 0, no limit
	}
	l.Cable = f.wiring(b.get("wiring").block, &q.Wiring)
	if t := b.get("transmitter").block; t != nil {
		q.Transmitter.LowMilliamp, q.Transmitter.HighMilliamp = t.get("low").float("mA"), t.get("high").float("mA")
		// The lift-off voltage is stated at the highest current; the
		// electronics alone need 1 V less, as in the circuit study.
		q.Transmitter.LiftOffVolt = t.get("lift_off").float("V")
		q.Transmitter.ElectronicsVolt = max(0, q.Transmitter.LiftOffVolt-1)
		q.Transmitter.LiftOffMilliamp = q.Transmitter.HighMilliamp
	}
	q.Transmitter.ReverseActing = l.Action == Reverse
	if v := b.get("receiver").block; v != nil {
		q.Receiver.ShuntOhm, q.Receiver.InputOhm = v.get("resistor").float("ohm"), v.get("impedance").float("ohm")
	}
	if p.Checker.Params != (loop.Checker{}) {
		q.Checker = p.Checker.Params
	}
}

// number prints a figure in a message: three decimals at most.
func number(x float64) string {
	s := fmt.Sprintf("%.3f", x)
	return strings.TrimRight(strings.TrimRight(s, "0"), ".")
}
