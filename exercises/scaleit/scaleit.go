// Package scaleit is the family "scale it": carrying a value between percent,
// live-zero signals and engineering units; direct, reverse, and through the
// square root of a differential-pressure flow loop.
package scaleit

import (
	_ "embed"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
)

//go:embed prompts.md
var promptsFile string

var prompts = prose.MustLibrary("exercises/scaleit/prompts.md", promptsFile)

const (
	// The given lies between these percentages of its range: nearer to the
	// ends, slips and key run together.
	lowest, highest = 4, 96
	// Two parts about one loop ask about states at least this many percent
	// of the signal's span apart, so that neither gives the other away.
	apartPercent = 3

	rejectLandmark exercises.Reject = "a given that is known by heart (a quarter of the range)"
	rejectAlike    exercises.Reject = "two parts about the same point of one loop"

	marksPerPart = 2
)

// Family is the family; the zero value is ready.
type Family struct{}

// Spec implements exercises.Family.
func (Family) Spec() scenarios.Spec {
	return scenarios.Spec{
		Name:    "scale-it",
		Purpose: "carry a value between percent, live-zero signals and engineering units",
		Levels: []scenarios.Difficulty{
			{Name: "easy", Changes: "percent and signals only, direct-acting loops", Takes: "direct-acting loops of any signal without a square root"},
			{Name: "usual", Changes: "engineering values, ranges that begin above or below zero, reverse action", Takes: "loops of any signal and action without a square root"},
			{Name: "hard", Changes: "square root, taken by the transmitter or by the receiver", Takes: "flow loops with a square root, direct-acting, whose ranges begin at 0"},
		},
		MinLoops: 1,
		Fits:     fits,
	}
}

func fits(level string, l *scenarios.Loop) (string, bool) {
	switch level {
	case "easy":
		if l.Action == scenarios.Reverse {
			return "is reverse-acting", false
		}
		if l.Root != scenarios.NoRoot {
			return "has a square root in it", false
		}
	case "hard":
		if l.Root == scenarios.NoRoot {
			return "has no square root in it", false
		}
		if l.Action == scenarios.Reverse {
			return "is reverse-acting", false
		}
		if !l.Shows.Low.IsZero() || !l.Input.Low.IsZero() {
			return "has a root range that does not begin at zero", false
		}
	default:
		if l.Root != scenarios.NoRoot {
			return "has a square root in it", false
		}
	}
	return "", true
}

// Version implements exercises.Family.
func (Family) Version() int { return 1 }

// Prepare implements exercises.Family.
func (f Family) Prepare(e *scenarios.Exercise) (exercises.Plan, []diag.Diagnostic) {
	s, ds := exercises.Screen(e, f.Spec(), "no reading of a faulty loop", nil)
	if len(ds) > 0 {
		return nil, ds
	}
	p := &plan{exercise: e}
	for _, l := range s.Loops {
		p.loops = append(p.loops, prepared{l, conversions(e.Level, l)})
	}
	return p, nil
}

type plan struct {
	exercise *scenarios.Exercise
	loops    []prepared
}

type prepared struct {
	loop        *scenarios.Loop
	conversions []conversion
}

// ask is one part as drawn: which loop, which conversion, which given.
type ask struct {
	loop  *scenarios.Loop
	c     conversion
	given formula.Value
	state formula.Value // where the loop's signal stands, a fraction of its span
}

// Item implements exercises.Plan.
func (p *plan) Item(u uint64) (exercises.Item, error) {
	pick := exercises.NewPicker(u)
	order := pick.Shuffle(len(p.loops))
	n := 0
	for _, l := range p.loops {
		n = max(n, len(l.conversions))
	}
	var asks []ask
	for i := range n {
		l := p.loops[order[i%len(order)]]
		c := l.conversions[i%len(l.conversions)]
		a, err := draw(pick, l.loop, c)
		if err != nil {
			return exercises.Item{}, err
		}
		for _, b := range asks {
			if b.loop != a.loop {
				continue
			}
			if apart, err := a.state.Sub(b.state).Abs().Cmp(formula.Ratio(apartPercent, 100)); err != nil || apart < 0 {
				return exercises.Item{}, rejectAlike
			}
		}
		asks = append(asks, a)
	}
	return p.build(asks), nil
}

func draw(pick *exercises.Picker, l *scenarios.Loop, c conversion) (ask, error) {
	steps, err := c.from.span().Abs().Round(c.from.given)
	if err != nil {
		return ask{}, err
	}
	step, err := formula.Decimal(steps, 0).Mul(formula.Ratio(lowest, 100)).Round(0)
	if err != nil {
		return ask{}, err
	}
	n := pick.Between(int(step), int(steps-step))
	if 4*n%int(steps) == 0 {
		return ask{}, rejectLandmark
	}
	given := c.from.lowV.Add(formula.Decimal(int64(n), c.from.given))
	return ask{l, c, given, c.state(given)}, nil
}

// state is where the loop's signal stands when the question is asked: that of
// the given, or where the answer is the loop's signal, that of the answer.
func (c conversion) state(given formula.Value) formula.Value {
	at, v := c.from, given
	if !c.from.signal && c.to.signal {
		at, v = c.to, formula.Eval(c.key, c.env(given))
	}
	return v.Sub(at.lowV).Div(at.span())
}

// env binds the given and the ends of both ranges.
func (c conversion) env(given formula.Value) formula.Env {
	env := formula.Env{{Sym: c.from.sym, V: given, Unit: c.from.unit, Decimals: c.from.given}}
	return env.With(c.from.bind()...).With(c.to.bind()...)
}

func (p *plan) build(asks []ask) exercises.Item {
	item := exercises.Item{}
	s, k := &item.Sheet, &item.Key
	s.Title = p.exercise.Title
	s.Intro = prompts.Text("intro")
	s.Figures = []exercises.Figure{{ID: "loops", Caption: prompts.Text("loops"), Table: loopTable(asks)}}
	for i, a := range asks {
		label := string(rune('a' + i))
		part, key := buildPart(label, a)
		s.Parts = append(s.Parts, part)
		k.Parts = append(k.Parts, key)
	}
	return item
}

func buildPart(label string, a ask) (exercises.Part, exercises.PartKey) {
	c := a.c
	given := formula.WithUnit(a.given.Text(c.from.given), c.from.unit)
	args := []string{"tag", a.loop.Tag, "given", given, "what", string(a.loop.Kind), "other", signalText(otherSignal(a.loop.Signal))}
	box := exercises.Box{
		ID: label, Kind: exercises.NumberBox, Name: boxName(c, a.loop),
		Unit: c.to.unit, Of: c.to.of, Decimals: c.to.asked,
	}
	part := exercises.Part{
		Label: label, Prompt: exercises.Fill(prompts, "ask."+c.ask, args...), Marks: marksPerPart,
		Boxes: []exercises.Box{box}, Lines: 2,
	}
	env := c.env(a.given)
	def := formula.Definition{Sym: c.to.sym, Expr: c.key, Unit: c.to.unit, Decimals: c.to.asked}
	tolerance := formula.Decimal(1, c.to.asked)
	key := exercises.PartKey{
		Label: label,
		Answers: []exercises.Answer{{
			Box: label, Def: def, Env: env, Tolerance: tolerance,
		}},
		Working: []exercises.Step{{Text: exercises.Fill(prompts, "work."+c.work, args...)}, {Def: &def, Env: env}},
		Why:     prompts.Text("tolerance", "tolerance", exercises.Quantity(tolerance, c.to.unit)),
		Credit: []exercises.Credit{
			{Marks: 1, For: prompts.Text("credit.method")},
			{Marks: 1, For: prompts.Text("credit.result")},
		},
	}
	words := append(args,
		"zero", c.from.text(c.from.lowV), "full", c.from.text(c.from.highV), "span", c.from.text(c.from.span()),
		"low", c.to.text(c.to.lowV), "high", c.to.text(c.to.highV), "spanout", c.to.text(c.to.span()))
	for _, w := range c.wild {
		d := def
		d.Expr = w.x
		key.Slips = append(key.Slips, exercises.Slip{
			ID: w.id, Name: slipNames[w.id], Feedback: exercises.Fill(prompts, "slip."+w.id, words...),
			Answers: []exercises.SlipAnswer{{Box: label, Def: d, Env: env}},
		})
	}
	return part, key
}

// slipNames are the names used in reports.
var slipNames = map[string]string{
	"dead-zero":         "live zero forgotten",
	"upper-as-span":     "upper end taken for the span",
	"zero-left-on":      "lower end not taken off",
	"ends-swapped":      "counted from the wrong end",
	"reverse-missed":    "reverse action missed",
	"lower-not-added":   "lower end not added",
	"upper-for-span":    "share of the upper end instead of the span",
	"dead-zero-out":     "share of the upper end, live zero forgotten",
	"root-forgotten":    "root or square forgotten",
	"root-and-square":   "root and square exchanged",
	"rooted-twice":      "root taken twice",
	"dead-zero-root":    "root taken with the live zero forgotten",
	"zero-left-on-root": "root taken with the lower end left on",
}

func boxName(c conversion, l *scenarios.Loop) string {
	switch {
	case c.to.percent:
		return "signal of " + l.Tag + " in percent of span"
	case c.to.signal && c.ask == "signal-other":
		return "second signal"
	case c.to.signal:
		return "signal of " + l.Tag
	case c.to.sym == "Δp":
		return "differential pressure at " + l.Tag
	}
	return string(l.Kind) + " at " + l.Tag
}

// loopTable shows the loops of the asks, in the order of their tags as listed
// in the exercise, each once.
func loopTable(asks []ask) *exercises.Table {
	t := &exercises.Table{Columns: []exercises.Column{
		{Head: "Loop"}, {Head: "Measures"}, {Head: "Transmitter range"}, {Head: "Receiver shows"}, {Head: "Signal"}, {Head: "Action"},
	}}
	seen := map[string]bool{}
	for _, a := range asks {
		l := a.loop
		if seen[l.Tag] {
			continue
		}
		seen[l.Tag] = true
		action := "direct-acting"
		if l.Action == scenarios.Reverse {
			action = "reverse-acting"
		}
		switch l.Root {
		case scenarios.RootReceiver:
			action += ", root in the receiver"
		case scenarios.RootTransmitter:
			action += ", root in the transmitter"
		}
		t.Rows = append(t.Rows, exercises.Row{Cells: []exercises.Cell{
			{Text: l.Tag}, {Text: l.Service},
			{Text: rangeText(inputSide(l))}, {Text: rangeText(valueSide(l))},
			{Text: signalText(l.Signal)}, {Text: action},
		}})
	}
	return t
}

func rangeText(s side) string {
	k, _ := s.lowV.Places(6)
	m, _ := s.highV.Places(6)
	k = max(k, m)
	return s.lowV.Text(k) + " to " + formula.WithUnit(s.highV.Text(k), s.unit)
}

func signalText(s signal.Signal) string {
	return strings.Replace(s.Name, "-", "\u2013", 1)
}
