package outside

import (
	"fmt"
	"math"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/signal"
)

const (
	rejectEdge  exercises.Reject = "a reading in the middle between two last places"
	rejectSmall exercises.Reject = "an error too small along the chain"
)

var subs = [3]string{"L", "M", "H"}

func sym(letter string, i int) formula.Sym { return formula.Sym(letter + "_" + subs[i]) }

// seen is what stands along the chain at one point.
type seen struct{ current, air, open formula.Value }

// off is an output loop with one device off.
type off struct {
	base
	fault string
	size  float64
	asks  [3]int // what the controller asks for, percent
	seen  [3]seen
}

func (p *plan) device(pick *exercises.Picker) (exercises.Item, error) {
	d := &off{fault: p.faults[pick.Int(len(p.faults))]}
	side := 1 - 2*float64(pick.Int(2))
	close := pick.Int(2) == 1
	d.base = newBase(p.outputs[pick.Int(len(p.outputs))], close)
	q := d.output.Params
	q.Checker.Place = loop.NotConnected
	d.asks = [3]int{10 * pick.Between(1, 2), 5 * pick.Between(9, 11), 5 * pick.Between(16, 18)}
	// In tenths of a percent and a little, so that few readings lie in the
	// middle between two last places.
	percent := func(from, to int) float64 { return side * float64(100*pick.Between(10*from, 10*to)+31) / 100000 }
	switch d.fault {
	case "controller-output-off":
		d.size = percent(2, 5)
		q.Controller.Zero += d.size
	case "ip-zero":
		d.size = percent(2, 8)
		q.IP.Zero += d.size
	case "ip-span":
		d.size = percent(3, 9)
		q.IP.Span += d.size
	case "positioner-zero":
		d.size = percent(2, 8)
		q.Positioner.Zero += d.size
	case "positioner-span":
		d.size = percent(3, 9)
		q.Positioner.Span += d.size
	default:
		at := func(i int) int { return 200 + 8*d.asks[i] } // the right air, 0.1 kPa
		d.size = float64(100*pick.Between(at(1)+40, at(2)-30)+13) / 1000
		q.IP.AirKilopascal = d.size
	}
	for i, k := range d.asks {
		pt := q.Solve(float64(k)/100, false)
		open := pt.StrokePercent
		if close {
			open = 100 - open
		}
		for _, r := range []struct {
			to     *formula.Value
			v      float64
			places int
		}{{&d.seen[i].current, pt.OutputMilliamp, 2}, {&d.seen[i].air, pt.Kilopascal, 1}, {&d.seen[i].open, open, 1}} {
			var err error
			if *r.to, err = formula.Float(r.v).Rounded(r.places); err != nil {
				return exercises.Item{}, rejectEdge
			}
		}
		d.env = d.env.With(bound(sym("k", i), formula.Int(int64(k)), "%", 0), bound(sym("I", i), d.seen[i].current, "mA", 2),
			bound(sym("p", i), d.seen[i].air, "kPa", 1), bound(sym("y", i), d.seen[i].open, "%", 1))
	}
	if math.Abs(d.wrongAt(2)) < 1.9 {
		return exercises.Item{}, rejectSmall
	}
	return p.buildDevice(d), nil
}

// wrongAt is by how much the valve stands wrong at a point, percent of travel.
func (d *off) wrongAt(i int) float64 { return formula.Eval(d.wrongOpen(i), d.env).Float64() }

// wrongOpen is what the valve shows less what the controller asks of it.
func (d *off) wrongOpen(i int) formula.Expr {
	return formula.Sub(sym("y", i), opening(signal.OfPercent(sym("k", i)), d.close))
}

func (p *plan) buildDevice(d *off) exercises.Item {
	var it exercises.Item
	s := &it.Sheet
	s.Title, s.Intro, s.Cautions = p.exercise.Title, d.Text("intro.hard"), cautions()
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Controller's output"}, {Head: "Milliammeter"}, {Head: "Gauge at the positioner"}, {Head: "Valve open"}}}
	for i, k := range d.asks {
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{
			{Text: fmt.Sprintf("%d %%", k)}, {Text: formula.WithUnit(d.seen[i].current.Text(2), "mA")},
			{Text: formula.WithUnit(d.seen[i].air.Text(1), "kPa")}, {Text: formula.WithUnit(d.seen[i].open.Text(1), "%")},
		}})
	}
	s.Figures = []exercises.Figure{{ID: "chain", Caption: prompts.Text("seen"), Table: t}}
	it.Add(d.steps("a"))
	it.Add(d.kind("b"))
	it.Add(d.which("c"))
	it.Add(d.way("d"))
	it.Key.Env = d.env
	it.Key.FaultName = d.fault
	unit := "% of span"
	size := formula.Float(100 * d.size).Text(1)
	if d.fault == "low-air" {
		unit, size = "kPa", formula.Float(d.size).Text(1)
	}
	it.Key.Fault = d.fault + " " + formula.WithUnit(size, unit) + "; " + action(d.close)
	return it
}

// The own error of each device at the highest point.
var ownErrors = [3]formula.Sym{"e_1", "e_2", "e_3"}

// steps asks what each device does wrong by itself at the highest point: what
// comes out of it, held against what goes into it.
func (d *off) steps(label string) (exercises.Part, exercises.PartKey) {
	k, i, p, y := sym("k", 2), sym("I", 2), sym("p", 2), sym("y", 2)
	current := signal.Percent(i, low, top)
	air := signal.Percent(p, air0, air100)
	byAir := opening(signal.Fraction(p, air0, air100), d.close)
	exprs := [3]formula.Expr{formula.Sub(current, k), formula.Sub(air, current), formula.Sub(y, byAir)}
	names := [3]string{"controller's output", "converter", "positioner with valve"}
	half := formula.Decimal(1, 1)
	part := exercises.Part{Label: label, Prompt: d.Text("ask.steps"), Marks: 3, Lines: 3,
		Table: &exercises.Table{Columns: []exercises.Column{{Head: "Device"}, {Head: "Off by itself"}}}}
	key := exercises.PartKey{Label: label, Working: []exercises.Step{{Text: d.Text("work.steps-" + word(d.close))}}}
	env := d.env
	for n, x := range exprs {
		id := fmt.Sprintf("%s.%d", label, n+1)
		def := formula.Definition{Sym: ownErrors[n], Expr: x, Unit: "%", Decimals: 1}
		of := "of span"
		if n == 2 {
			of = ofTravel
		}
		tolerance := exercises.Tolerance(half, 1)
		part.Boxes = append(part.Boxes, exercises.Box{ID: id, Kind: exercises.NumberBox, Name: names[n] + ", off by itself", Unit: "%", Of: of, Decimals: 1})
		part.Table.Rows = append(part.Table.Rows, exercises.Row{Cells: []exercises.Cell{{Text: names[n]}, {Box: id}}})
		key.Answers = append(key.Answers, exercises.Answer{Box: id, Def: def, Env: d.env, Tolerance: tolerance})
		key.Working = append(key.Working, exercises.Step{Def: &def, Env: d.env})
		key.Credit = append(key.Credit, exercises.Credit{Marks: 1, For: d.Text("credit.device", "device", names[n])})
		key.Why = d.Text("tolerance.steps", "tolerance", exercises.Quantity(tolerance, "%"), "half", exercises.Quantity(half, "%"))
		if b, err := def.Bind(d.env, id); err == nil {
			env = env.With(b)
		}
	}
	asked := opening(signal.OfPercent(k), d.close)
	dead := formula.Mul(formula.Div(i, top), formula.Percent100())
	deadAir := formula.Mul(formula.Div(p, air100), formula.Percent100())
	d.ToldSlip(&key, "sign", "sign swapped", formula.Neg(exprs[0]), formula.Neg(exprs[1]), formula.Neg(exprs[2]))
	d.ToldSlip(&key, "against-the-output", "all held against the controller's output", exprs[0], formula.Sub(air, k), formula.Sub(y, asked))
	d.ToldSlip(&key, "dead-zero-steps", "live zero forgotten", formula.Sub(dead, k), formula.Sub(deadAir, dead), formula.Sub(y, opening(formula.Div(p, air100), d.close)))
	d.ToldSlip(&key, "action-missed", "action of the valve missed", exprs[0], exprs[1], formula.Sub(y, opening(signal.Fraction(p, air0, air100), !d.close)))
	d.ToldSlip(&key, "of-upper-steps", "errors of the upper ends",
		formula.Mul(formula.Div(formula.Sub(i, signal.At(signal.OfPercent(k), low, top)), top), formula.Percent100()),
		formula.Mul(formula.Div(formula.Sub(p, signal.At(signal.Fraction(i, low, top), air0, air100)), air100), formula.Percent100()), exprs[2])
	d.ToldSlip(&key, "in-signals", "errors given in mA and kPa",
		formula.Sub(i, signal.At(signal.OfPercent(k), low, top)), formula.Sub(p, signal.At(signal.Fraction(i, low, top), air0, air100)), exprs[2])
	d.env = env
	return part, key
}

// kindOf is what a fault looks like over the points.
func kindOf(fault string) string {
	switch fault {
	case "ip-span", "positioner-span":
		return "span"
	case "low-air":
		return "flat"
	}
	return "zero"
}

// alike and right decide the kind: the valve is off alike at the lowest and the
// highest point, or right still in the middle.
func (d *off) alike() *formula.Relation {
	return &formula.Relation{A: formula.Abs(formula.Sub(d.wrongOpen(2), d.wrongOpen(0))), Op: formula.LessEq, B: d.third()}
}

func (d *off) rightInTheMiddle() *formula.Relation {
	return &formula.Relation{A: formula.Abs(d.wrongOpen(1)), Op: formula.LessEq, B: formula.Lit{V: formula.Decimal(5, 1), Unit: "%"}}
}

func (d *off) third() formula.Expr {
	return formula.Div(formula.Abs(d.wrongOpen(2)), formula.Num(3))
}

// compare is a step that holds a relation, or what holds instead.
func (b *base) compare(rel formula.Relation) (exercises.Step, bool) {
	holds, _ := rel.Holds(b.env)
	if !holds {
		rel.Op = map[formula.RelOp]formula.RelOp{formula.LessEq: formula.Greater, formula.Greater: formula.LessEq}[rel.Op]
	}
	return exercises.Step{Rel: &rel, Env: b.env}, holds
}

// kind asks how the valve is off over the range.
func (d *off) kind(label string) (exercises.Part, exercises.PartKey) {
	right := kindOf(d.fault)
	step, holds := d.compare(*d.alike())
	steps := []exercises.Step{{Text: d.Text("work.kind")}, step}
	if !holds {
		step, _ = d.compare(*d.rightInTheMiddle())
		steps = append(steps, exercises.Step{Text: d.Text("work.middle")}, step)
	}
	key := d.ChoiceKey(label, right, steps...)
	key.Answers[0].Env = d.env
	key.Answers[0].Decide = []exercises.Decision{{Rel: d.alike(), Option: "zero"}, {Rel: d.rightInTheMiddle(), Option: "flat"}, {Option: "span"}}
	options := []string{"zero", "span", "flat"}
	names := map[string]string{"zero": "called a zero error", "span": "called a span error", "flat": "called a flat top"}
	for _, o := range options {
		if o != right {
			key.Slips = append(key.Slips, d.ChoiceSlip(label, "called-"+o, names[o], o))
		}
	}
	return d.Choice(label, "kind", options...), key
}

// which asks for the device; it goes on from the own errors of (a).
func (d *off) which(label string) (exercises.Part, exercises.PartKey) {
	isOff := func(s formula.Sym) formula.Relation {
		return formula.Relation{A: formula.Abs(s), Op: formula.Greater, B: formula.Lit{V: formula.Decimal(5, 1), Unit: "%"}}
	}
	devices := []string{"controller", "converter", "positioner", "air"}
	right := map[string]string{"controller-output-off": "controller", "ip-zero": "converter", "ip-span": "converter",
		"positioner-zero": "positioner", "positioner-span": "positioner", "low-air": "air"}[d.fault]
	controller, positioner := isOff(ownErrors[0]), isOff(ownErrors[2])
	steps := []exercises.Step{{Text: d.Text("work.which")}}
	for _, s := range ownErrors {
		step, _ := d.compare(isOff(s))
		steps = append(steps, step)
	}
	if right == "air" {
		step, _ := d.compare(*d.rightInTheMiddle())
		steps = append(steps, exercises.Step{Text: d.Text("work.air-flat")}, step)
	}
	key := d.ChoiceKey(label, right, steps...)
	key.Answers[0].Env = d.env
	key.Answers[0].Decide = []exercises.Decision{{Rel: &controller, Option: "controller"}, {Rel: &positioner, Option: "positioner"},
		{Rel: d.rightInTheMiddle(), Option: "air"}, {Option: "converter"}}
	names := map[string]string{"controller": "controller blamed", "converter": "converter blamed", "positioner": "positioner blamed", "air": "air supply blamed"}
	for _, o := range devices {
		if o != right {
			key.Slips = append(key.Slips, d.ChoiceSlip(label, o+"-blamed", names[o], o))
		}
	}
	return d.Choice(label, "which", devices...), key
}

// way asks which way the valve stands wrong at the highest point.
func (d *off) way(label string) (exercises.Part, exercises.PartKey) {
	more := formula.Relation{A: d.wrongOpen(2), Op: formula.Greater, B: formula.Lit{Unit: "%"}}
	step, holds := d.compare(more)
	right, wrong := "more-open", "more-shut"
	if !holds {
		right, wrong = wrong, right
	}
	key := d.ChoiceKey(label, right, exercises.Step{Text: d.Text("work.way-" + word(d.close))}, step)
	id, name := "way-turned", "way of the valve turned round"
	if d.close {
		id, name = "way-by-air", "action of the valve missed"
	}
	key.Slips = []exercises.Slip{d.ChoiceSlip(label, id, name, wrong)}
	return d.Choice(label, "way", "more-open", "more-shut"), key
}
