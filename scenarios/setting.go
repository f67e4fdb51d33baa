package scenarios

import (
	"fmt"
	"strings"

	"loopdrill/scenarios/diag"
)

// setting is where an exercise takes place: its plant, and the loops and
// output loops that may be drawn.
type setting struct {
	e     *Exercise
	b     *block
	spec  Spec
	known bool   // the family
	first *value // what settled the plant: the key "plant", or the first tag
	wrong bool   // something that was named is wrong; nothing is inferred then
}

// setting finds plant, loops and outputs: those named, or all that fit of the
// first plant that has enough of them.
func (f *file) setting(e *Exercise, b *block, spec Spec, known bool) {
	s := &setting{e: e, b: b, spec: spec, known: known}
	f.namedPlant(s)
	loops, outputs := b.written("loops"), b.written("outputs")
	if known {
		loops = loops && !f.needless(b, spec, "loops", !spec.TakesLoops(), "loops with a transmitter")
		outputs = outputs && !f.needless(b, spec, "outputs", !spec.TakesOutputs(), "output loops")
	}
	if loops {
		f.namedLoops(s)
	}
	if outputs {
		f.namedOutputs(s)
	}
	if !known || s.wrong || !b.get("level").ok || len(f.r.plants) == 0 {
		return
	}
	f.infer(s, !loops && spec.TakesLoops(), !outputs && spec.TakesOutputs())
}

// needless reports a key that the family of an exercise has no use for.
func (f *file) needless(b *block, spec Spec, key string, is bool, what string) bool {
	if is {
		f.err(RuleFamilyKeys, f.at(b.get(key).name), fmt.Sprintf("family %q takes no %s", spec.Name, what), "leave the key out")
	}
	return is
}

// namedPlant finds the plant that the exercise names.
func (f *file) namedPlant(s *setting) {
	v := s.b.get("plant")
	if v.n == nil {
		return
	}
	s.wrong = true
	if !v.ok {
		return
	}
	var ids []string
	for _, p := range f.r.plants {
		if p.ID == v.text {
			s.e.Plant, s.first, s.wrong = p, v, false
			return
		}
		ids = append(ids, p.ID)
	}
	if !f.r.gaps && len(ids) > 0 {
		f.err(RuleFamilyPlant, v.at(), fmt.Sprintf("the course has no plant %q", shorten(v.text)), diag.Hint(v.text, `those under "plants" at the top of the course`, ids))
	}
}

// inPlant holds what a tag names against the plant of the exercise, which the
// first of them settles.
func (f *file) inPlant(s *setting, v *value, p *Plant, what string) bool {
	switch {
	case s.e.Plant == nil:
		s.e.Plant, s.first = p, v
	case s.e.Plant != p:
		second := s.first.at()
		summary, is := fmt.Sprintf("%s is %s of %s, but %s is one of %s", v.text, what, p.Name, s.first.text, s.e.Plant.Name), "the first one stands here"
		if s.first.key.Type == TypeID {
			summary, is = fmt.Sprintf("%s is %s of %s, but the exercise is set in %s", v.text, what, p.Name, s.e.Plant.Name), "its plant is named here"
		}
		f.r.put(diag.Diagnostic{Severity: diag.Error, Rule: RuleFamilyLoops, At: v.at(), Second: &second, SecondIs: is,
			Summary: summary, Hint: "an exercise stays in one plant, with one checker"})
		s.wrong = true
		return false
	}
	return true
}

func (f *file) namedLoops(s *setting) {
	list := s.b.get("loops")
	if !list.ok {
		s.wrong = true
		return
	}
	seen := map[string]*value{}
	for _, v := range list.list {
		if !v.ok || f.again(seen, v, "loop") {
			continue
		}
		l := f.r.findLoop(f, v)
		if l == nil || !f.inPlant(s, v, l.plant, "a loop") {
			continue
		}
		if s.known && s.spec.Fits != nil && l.sound() {
			if why, ok := s.spec.Fits(s.e.Level, l.Loop); !ok {
				f.err(RuleFamilyLoops, v.at(), fmt.Sprintf("%s %s, so %q cannot use it at level %q", l.Tag, why, s.e.Family, s.e.Level), "")
				continue
			}
		}
		s.e.Loops = append(s.e.Loops, l.Loop)
	}
	s.wrong = s.wrong || len(s.e.Loops) == 0
	if s.known && len(list.list) < s.spec.MinLoops {
		f.err(RuleFamilyLoops, f.at(list.name), fmt.Sprintf("%q needs at least %s, but %s named", s.e.Family, count(s.spec.MinLoops, "loop"), isAre(len(list.list))), "name more, or leave the key out to use all that fit")
	}
}

func (f *file) namedOutputs(s *setting) {
	list := s.b.get("outputs")
	if !list.ok {
		s.wrong = true
		return
	}
	seen := map[string]*value{}
	for _, v := range list.list {
		if !v.ok || f.again(seen, v, "output loop") {
			continue
		}
		o := f.r.findOutput(f, v)
		if o == nil || !f.inPlant(s, v, o.plant, "an output loop") {
			continue
		}
		if s.known && s.spec.FitsOutput != nil {
			if why, ok := s.spec.FitsOutput(s.e.Level, o.Output); !ok {
				f.err(RuleFamilyOutputs, v.at(), fmt.Sprintf("%s %s, so %q cannot use it at level %q", o.Tag, why, s.e.Family, s.e.Level), "")
				continue
			}
		}
		s.e.Outputs = append(s.e.Outputs, o.Output)
	}
	s.wrong = s.wrong || len(s.e.Outputs) == 0
	if s.known && len(list.list) < s.spec.MinOutputs {
		f.err(RuleFamilyOutputs, f.at(list.name), fmt.Sprintf("%q needs at least %s, but %s named", s.e.Family, count(s.spec.MinOutputs, "output loop"), isAre(len(list.list))), "name more, or leave the key out to use all that fit")
	}
}

// infer fills in what the exercise does not name: all loops and outputs that
// fit, of its plant or else of the first plant that has enough of both.
func (f *file) infer(s *setting, loops, outputs bool) {
	plants := f.r.plants
	if s.e.Plant != nil {
		plants = []*Plant{s.e.Plant}
	}
	var why []string
	few, rule := "", ""
	for _, p := range plants {
		fitLoops, notLoops := s.spec.fitting(s.e.Level, p)
		fitOutputs, notOutputs := s.spec.fittingOutputs(s.e.Level, p)
		switch {
		case loops && len(fitLoops) < s.spec.MinLoops:
			why, few, rule = append(why, notLoops...), count(s.spec.MinLoops, "loop"), RuleFamilyLoops
		case outputs && len(fitOutputs) < s.spec.MinOutputs:
			why, few, rule = append(why, notOutputs...), count(s.spec.MinOutputs, "output loop"), RuleFamilyOutputs
		default:
			s.e.Plant = p
			if loops {
				s.e.Loops = fitLoops
			}
			if outputs {
				s.e.Outputs = fitOutputs
			}
			return
		}
	}
	if f.r.gaps {
		return
	}
	summary := fmt.Sprintf("no plant of the course has %s for %q at level %q", few, s.e.Family, s.e.Level)
	if s.e.Plant != nil {
		summary = fmt.Sprintf("%q needs %s at level %q, and %s has too few that fit", s.e.Family, few, s.e.Level, s.e.Plant.Name)
	}
	f.err(rule, s.b.at("family"), summary, strings.Join(why[:min(4, len(why))], "; "))
}

// fitting lists the loops of a plant that a family can use, and why not the
// others.
func (s Spec) fitting(level string, p *Plant) (fit []*Loop, not []string) {
	for _, l := range p.Loops {
		if s.Fits != nil && l.sound() {
			if why, ok := s.Fits(level, l); !ok {
				not = append(not, l.Tag+" "+why)
				continue
			}
		}
		fit = append(fit, l)
	}
	return fit, not
}

// fittingOutputs is [Spec.fitting] for output loops.
func (s Spec) fittingOutputs(level string, p *Plant) (fit []*Output, not []string) {
	for _, o := range p.Outputs {
		if s.FitsOutput != nil && o.Tag != "" {
			if why, ok := s.FitsOutput(level, o); !ok {
				not = append(not, o.Tag+" "+why)
				continue
			}
		}
		fit = append(fit, o)
	}
	if len(p.Outputs) == 0 {
		not = append(not, p.ID+" has no output loop at all")
	}
	return fit, not
}

// sound says whether a loop was read well enough for a family to look at it.
func (l *Loop) sound() bool {
	return l.Tag != "" && l.Input.Span().Sign() > 0 && l.Shows.Span().Sign() > 0 && l.Signal.Name != ""
}

// findLoop resolves a tag, or reports that there is none.
func (r *reader) findLoop(f *file, v *value) *placedLoop {
	l := r.loops[v.text]
	if l != nil {
		return l
	}
	if r.gaps || len(r.plants) == 0 {
		return nil // what could not be read was reported; the loop may be in it
	}
	if _, used := r.tags[v.text]; used {
		f.err(RuleReference, v.at(), fmt.Sprintf("%s is an output loop, and here a loop with a transmitter is wanted", v.text), "name one of the plant's \"loops\"")
		return nil
	}
	var tags []string
	for _, p := range r.plants {
		for _, l := range p.Loops {
			if l.Tag != "" {
				tags = append(tags, l.Tag)
			}
		}
	}
	f.err(RuleReference, v.at(), fmt.Sprintf("no plant of the course has a loop %s", v.text), diag.Hint(v.text, "its loops", tags))
	return nil
}

// findOutput resolves the tag of an output loop, or reports that there is none.
func (r *reader) findOutput(f *file, v *value) *placedOutput {
	o := r.output[v.text]
	if o != nil {
		return o
	}
	if r.gaps || len(r.plants) == 0 {
		return nil
	}
	if _, used := r.tags[v.text]; used {
		f.err(RuleReference, v.at(), fmt.Sprintf("%s is a loop with a transmitter, and here an output loop is wanted", v.text), "name one of the plant's \"outputs\"")
		return nil
	}
	var tags []string
	for _, p := range r.plants {
		for _, o := range p.Outputs {
			if o.Tag != "" {
				tags = append(tags, o.Tag)
			}
		}
	}
	hint := "no plant of the course has any; a plant file lists them under \"outputs\""
	if len(tags) > 0 {
		hint = diag.Hint(v.text, "its output loops", tags)
	}
	f.err(RuleReference, v.at(), fmt.Sprintf("no plant of the course has an output loop %s", v.text), hint)
	return nil
}
