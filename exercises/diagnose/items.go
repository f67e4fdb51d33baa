package diagnose

import (
	"fmt"
	"slices"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/nullbalance"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
)

// words is how a fault is called in print: its name and the sizes that it can
// have.
func words(f loop.Fault) string {
	out := nullbalance.FaultName(f.Name)
	var sizes []string
	for i := range f.Sizes {
		sizes = append(sizes, f.Sizes[i].Name+" "+nullbalance.FaultText(strings.ReplaceAll(f.Sizes[i].String(), "-", "−")))
	}
	if len(sizes) > 0 {
		out += " (" + strings.Join(sizes, "; ") + ")"
	}
	return out
}

// item is an exercise being built.
type item struct {
	exercises.Composer
	*bench
	panel []string
	found *finding
	rows  []int // of tests, that of the needles first
}

// tried gives a test by its number; that of the needles is behind the others.
func tried(i int) test {
	if i == len(tests) {
		return test{id: "needles"}
	}
	return tests[i]
}

func (p *plan) build(b *bench, panel []string, f *finding, pick *exercises.Picker) exercises.Item {
	it := item{bench: b, panel: panel, found: f, rows: append([]int{len(tests)}, f.chosen...)}
	it.Prompts = prompts
	it.Words = []string{"tag", b.loop.Tag, "service", b.loop.Service, "count", fmt.Sprint(len(panel))}
	var out exercises.Item
	s := &out.Sheet
	s.Title, s.Intro = p.exercise.Title, it.Text("intro")
	s.Cautions = nullbalance.Cautions()
	if slices.ContainsFunc(panel, func(name string) bool { return slices.Contains(sensing, name) }) {
		s.Cautions = append(s.Cautions, "vent-and-isolate", "manifold")
	}
	s.Figures = []exercises.Figure{
		{ID: "sheet", Caption: it.Text("sheet"), Table: nullbalance.LoopSheet(it.params)},
		{ID: "seen", Caption: it.Text("seen"), Table: it.table()},
	}
	out.Key.FaultName = f.fault.Name
	out.Key.Fault = nullbalance.FaultName(f.fault.Name)
	for i, v := range f.sizes {
		out.Key.Fault += ", " + f.fault.Sizes[i].Name + " " + nullbalance.FaultText(formula.WithUnit(formula.Float(v).Text(2), f.fault.Sizes[i].Unit))
	}
	out.Add(it.which("a", pick))
	out.Add(it.remedy("b", pick))
	return out
}

// table prints what was done and what was seen, a line a reading.
func (it *item) table() *exercises.Table {
	t := &exercises.Table{Columns: []exercises.Column{{Head: "What was done"}, {Head: "What was seen"}}}
	for _, row := range it.rows {
		for _, seen := range it.found.shown[row] {
			t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{{Text: it.done(tried(row).id, seen)}, {Text: it.seen(seen)}}})
		}
	}
	return t
}

func (it *item) done(id string, s loop.Seen) string {
	x := int(100*s.X + 0.5)
	return it.Text("done."+id, "x", fmt.Sprint(x), "ring", fmt.Sprint(x+int(100*s.Setup.RingOff+0.5))).Plain()
}

// seen prints a reading as its instrument gives it.
func (it *item) seen(s loop.Seen) string {
	if s.Quantity.IsNeedle() {
		stop := it.found.stop(s.Code)
		if stop != "" {
			return it.Text("seen." + stop).Plain()
		}
		d := formula.Ratio(int64(s.Code), 5).Text(1) // small marks in a division: FitsFace
		if s.Code > 0 {
			d = "+" + d
		}
		return formula.WithUnit(d, "div")
	}
	decimals := 0
	for n := s.Quantity.PerUnit(); n > 1; n /= 10 {
		decimals++
	}
	return formula.WithUnit(formula.Decimal(int64(s.Code), decimals).Text(decimals), s.Quantity.Unit())
}

// stopMark is the small mark of a face's stop: FitsFace.
const stopMark = 50

func (f *finding) stop(code int) string {
	switch {
	case code <= -stopMark:
		return "left"
	case code >= stopMark:
		return "right"
	}
	return ""
}

// which asks for the fault.
func (it *item) which(label string, pick *exercises.Picker) (exercises.Part, exercises.PartKey) {
	part := exercises.Part{Label: label, Prompt: it.Text("ask.which"), Marks: 2}
	box := exercises.Box{ID: label, Kind: exercises.ChoiceBox, Name: part.Prompt.Plain()}
	for _, i := range pick.Shuffle(len(it.panel)) {
		box.Options = append(box.Options, exercises.Option{ID: it.panel[i], Text: it.Text("option.fault", "fault", words(it.fault(it.panel[i])))})
	}
	part.Boxes = []exercises.Box{box}
	table, against := it.ruled()
	key := exercises.PartKey{Label: label,
		Answers: []exercises.Answer{{Box: label, Option: it.found.fault.Name}},
		Working: []exercises.Step{{Text: it.Text("work.which")}, {Table: table}, {Text: it.Text("work.shows",
			"fault", nullbalance.FaultName(it.found.fault.Name), "shows", it.found.fault.Shows, "remedy", it.found.fault.Remedy)}},
		Credit: []exercises.Credit{{Marks: 2, For: it.Text("credit.which")}},
	}
	for _, name := range it.panel {
		if name == it.found.fault.Name {
			continue
		}
		entry := "slip.stopped-early"
		if against[name] == len(tests) {
			entry = "slip.against-needles"
		}
		key.Slips = append(key.Slips, exercises.Slip{ID: "took-" + name, Name: "took it for " + nullbalance.FaultName(name),
			Feedback: it.Text(entry, "fault", nullbalance.FaultName(name), "test", it.name(against[name]), "shows", it.fault(name).Shows),
			Answers:  []exercises.SlipAnswer{{Box: label, Option: name}}})
	}
	return part, key
}

// ruled is the table of what rules out which fault, and for each fault the
// first test after which it is out, those before it taken into account.
func (it *item) ruled() (*exercises.Table, map[string]int) {
	t := &exercises.Table{Columns: []exercises.Column{{Head: "Fault"}}}
	for _, row := range it.rows {
		t.Columns = append(t.Columns, exercises.Column{Head: it.name(row)})
	}
	against := map[string]int{}
	for _, name := range it.panel {
		r := exercises.Row{Cells: []exercises.Cell{{Text: nullbalance.FaultName(name)}}}
		var e loop.Evidence
		out := false
		for _, row := range it.rows {
			e = append(e, it.found.shown[row]...)
			text := "out"
			if !out {
				if _, fits, err := it.bench.bench.Fits(name, e); err == nil && fits {
					text = "fits"
				} else {
					out, against[name] = true, row
				}
			} else {
				text = "–"
			}
			r.Cells = append(r.Cells, exercises.Cell{Text: text})
		}
		t.Rows = append(t.Rows, r)
	}
	return t, against
}

func (it *item) name(row int) string { return it.Text("row." + tried(row).id).Plain() }

// remedy asks what has to be done. All remedies of the list are offered, so
// that none is given away; two faults with one remedy share it.
func (it *item) remedy(label string, pick *exercises.Picker) (exercises.Part, exercises.PartKey) {
	part := exercises.Part{Label: label, Prompt: it.Text("ask.remedy"), Marks: 1}
	box := exercises.Box{ID: label, Kind: exercises.ChoiceBox, Name: part.Prompt.Plain()}
	right := it.found.fault
	key := exercises.PartKey{Label: label,
		Working: []exercises.Step{{Text: it.Text("work.remedy", "fault", nullbalance.FaultName(right.Name), "does", nullbalance.FaultText(right.Does), "remedy", right.Remedy)}},
		Credit:  []exercises.Credit{{Marks: 1, For: it.Text("credit.remedy")}},
	}
	offered := map[string]string{} // option by remedy
	for _, i := range pick.Shuffle(len(it.panel)) {
		f := it.fault(it.panel[i])
		if offered[f.Remedy] != "" {
			continue
		}
		id := "for-" + f.Name
		offered[f.Remedy] = id
		box.Options = append(box.Options, exercises.Option{ID: id, Text: it.Text("option.remedy", "remedy", f.Remedy)})
		if f.Remedy != right.Remedy {
			key.Slips = append(key.Slips, exercises.Slip{ID: "remedy-for-" + f.Name, Name: "did what helps against " + nullbalance.FaultName(f.Name),
				Feedback: it.Text("slip.remedy", "fault", nullbalance.FaultName(f.Name), "does", nullbalance.FaultText(f.Does)),
				Answers:  []exercises.SlipAnswer{{Box: label, Option: id}}})
		}
	}
	key.Answers = []exercises.Answer{{Box: label, Option: offered[right.Remedy]}}
	part.Boxes = []exercises.Box{box}
	return part, key
}
