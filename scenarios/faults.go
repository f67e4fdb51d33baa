package scenarios

import (
	"fmt"
	"slices"
	"strings"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/unit"
)

// faultSizes reads the faults of a plant, whose sizes it narrows.
func (f *file) faultSizes(list []*value, p *Plant) {
	first := map[string]*value{} // by fault and tag; the tag is empty for all loops
	for _, v := range list {
		if !v.ok || !v.block.get("fault").ok {
			continue
		}
		b := v.block
		named, _ := loop.FaultNamed(b.get("fault").text)
		r := FaultRange{Name: named.Name}
		before := f.r.found[f.path]
		f.faultPlaces(b, p, &named, &r)
		f.onceEach(b, first)
		var sound bool
		if r.Sizes, sound = f.bounds(b, &named, p); !sound || f.r.found[f.path] > before {
			continue
		}
		f.checkSaturation(b, p, &named, &r)
		p.Faults = append(p.Faults, r)
	}
}

// faultPlaces finds the loops and output loops that a block names, and holds
// them against where the fault can be.
func (f *file) faultPlaces(b *block, p *Plant, named *loop.Fault, r *FaultRange) {
	if list := b.get("loops"); list.n != nil {
		if !named.OnInput() {
			f.err(RuleFaultPlace, f.at(list.name), fmt.Sprintf("%q is a fault of output loops; it cannot be in a loop with a transmitter", named.Name), "name output loops under \"outputs\"")
		}
		for _, v := range list.list {
			if l := f.loopOf(p, v); l != nil {
				if l.Pneumatic() || l.Signal.Unit == "V" {
					f.err(RuleFaultPlace, v.at(), fmt.Sprintf("%s has the signal %s and no circuit that a fault could be in", l.Tag, l.Signal.Name), "name loops with 4-20 mA")
				}
				r.Loops = append(r.Loops, l)
			}
		}
	}
	if list := b.get("outputs"); list.n != nil {
		if !named.OnOutput() {
			f.err(RuleFaultPlace, f.at(list.name), fmt.Sprintf("%q is a fault of loops with a transmitter; it cannot be in an output loop", named.Name), "name loops under \"loops\"")
		}
		for _, v := range list.list {
			if o := f.outputOf(p, v); o != nil {
				r.Outputs = append(r.Outputs, o)
			}
		}
	}
	if !named.OnInput() && len(p.Outputs) == 0 && !f.r.gaps {
		f.warn(RuleFaultPlace, b.at("fault"), fmt.Sprintf("%q is a fault of output loops, and the plant has none", named.Name), "leave it out, or list output loops under \"outputs\" of the plant")
	}
}

func (f *file) loopOf(p *Plant, v *value) *Loop {
	return tagged(f, v, "loop", p.Loops, func(l *Loop) string { return l.Tag })
}

func (f *file) outputOf(p *Plant, v *value) *Output {
	return tagged(f, v, "output loop", p.Outputs, func(o *Output) string { return o.Tag })
}

// tagged finds what has a tag in one plant, or reports that nothing has.
func tagged[T any](f *file, v *value, what string, list []*T, tag func(*T) string) *T {
	if !v.ok {
		return nil
	}
	var tags []string
	for _, x := range list {
		if tag(x) == v.text {
			return x
		}
		tags = append(tags, tag(x))
	}
	f.noSuchTag(v, what, tags)
	return nil
}

func (f *file) noSuchTag(v *value, what string, tags []string) {
	tags = slices.DeleteFunc(tags, func(t string) bool { return t == "" })
	if f.r.gaps {
		return
	}
	hint := "it has none"
	if len(tags) > 0 {
		hint = diag.Hint(v.text, "it has", tags)
	}
	f.err(RuleReference, v.at(), fmt.Sprintf("this plant has no %s %s", what, v.text), hint)
}

// onceEach reports a fault whose sizes are given twice for one loop, or twice
// for all.
func (f *file) onceEach(b *block, first map[string]*value) {
	name := b.get("fault")
	note := func(tag string, at *value) {
		key := name.text + " " + tag
		if first[key] == nil {
			first[key] = at
			return
		}
		second, where := first[key].at(), ""
		if tag != "" {
			where = " for " + tag
		}
		f.r.put(diag.Diagnostic{Severity: diag.Error, Rule: RuleDuplicateName, At: at.at(), Second: &second, SecondIs: "first given here",
			Summary: fmt.Sprintf("the size of %q is given twice%s", name.text, where), Hint: "keep one of the two; a block that names loops goes before one that names none"})
	}
	if !b.written("loops") && !b.written("outputs") {
		note("", name)
	}
	for _, key := range []string{"loops", "outputs"} {
		for _, v := range b.get(key).list {
			if v.ok {
				note(v.text, v)
			}
		}
	}
}

// bounds reads the sizes of a fault and holds them against those that it can
// have.
func (f *file) bounds(b *block, named *loop.Fault, p *Plant) ([]SizeBounds, bool) {
	given := b.get("sizes").list
	at := f.at(b.get("fault").n)
	switch {
	case b.written("size"):
		given, at = []*value{b.get("size")}, f.at(b.get("size").name)
	case b.written("sizes"):
		if !b.get("sizes").ok {
			return nil, false
		}
		at = f.at(b.get("sizes").name)
	case len(named.Sizes) == 0:
		f.err(RuleFaultSize, at, fmt.Sprintf("%q has no size that could be narrowed", named.Name), "leave this block out; courses name it under \"faults\" all the same")
		return nil, false
	default:
		f.err(RuleFaultSize, at, fmt.Sprintf("this block gives no size of %q", named.Name), sizeHint(named))
		return nil, false
	}
	if len(given) != len(named.Sizes) {
		what := fmt.Sprintf("%q has %s, and here %s given", named.Name, count(len(named.Sizes), "size"), isAre(len(given)))
		if len(named.Sizes) == 0 {
			what = fmt.Sprintf("%q has no size", named.Name)
		}
		f.err(RuleFaultSize, at, what, sizeHint(named))
		return nil, false
	}
	var out []SizeBounds
	sound := true
	for i, v := range given {
		if !v.ok {
			sound = false
			continue
		}
		s, ok := f.oneSize(v, named, &named.Sizes[i], p)
		out, sound = append(out, s), sound && ok
	}
	return out, sound
}

// sizeHint shows how the sizes of a fault are written.
func sizeHint(named *loop.Fault) string {
	var all []string
	for i := range named.Sizes {
		s := &named.Sizes[i]
		b := s.Branches[len(s.Branches)-1]
		all = append(all, fmt.Sprintf("%s..%s %s", number(b.Low), number(b.High), unitOfSize(s)))
	}
	switch len(all) {
	case 0:
		return "leave this block out; courses name it under \"faults\" all the same"
	case 1:
		return fmt.Sprintf("such as %q, or less of it", "size: "+all[0])
	}
	return fmt.Sprintf("such as %q, or less of them", "sizes: ["+strings.Join(all, ", ")+"]")
}

// unitOfSize is the unit of a fault's size as it is written in a plant file:
// "% of its value" is a plain %.
func unitOfSize(s *loop.Size) string {
	switch {
	case strings.HasSuffix(s.Unit, "span"):
		return "%span"
	case strings.HasPrefix(s.Unit, "%"):
		return "%"
	}
	return s.Unit
}

func (f *file) oneSize(v *value, named *loop.Fault, s *loop.Size, p *Plant) (SizeBounds, bool) {
	u := unit.Must(unitOfSize(s))
	rng, err := v.rng.Convert(u)
	if err != nil {
		hint := fmt.Sprintf("it can be %s", s)
		if v.rng.Unit.Dimension == unit.Percent && u.Dimension == unit.PercentOfSpan {
			hint = fmt.Sprintf("say of what the percentage is taken: %q", strings.TrimSpace(strings.TrimSuffix(v.text, "%"))+" %span")
		}
		f.err(RuleUnit, v.at(), fmt.Sprintf("%q is %s; the size of %q, %s, is given in %s", v.text, article(v.rng.Unit.Dimension.String()), named.Name, s.Name, u.Name()), hint)
		return SizeBounds{}, false
	}
	low, high := rng.Low.Float64(), rng.High.Float64()
	switch {
	case rng.Span().Sign() < 0:
		up := unit.Range{Low: v.rng.High, High: v.rng.Low, Unit: v.rng.Unit, Decimals: v.rng.Decimals}
		f.err(RuleRangeOrder, v.at(), fmt.Sprintf("the size %s runs downwards", v.rng), fmt.Sprintf("write the lower end first, \"%s\"", up))
		return SizeBounds{}, false
	case !s.Has(low) || !s.Has(high):
		hint := ""
		if s.Has(-low) && s.Has(-high) {
			hint = fmt.Sprintf("the name says the direction already: write \"%s\"", unit.Range{Low: v.rng.High.Neg(), High: v.rng.Low.Neg(), Unit: v.rng.Unit, Decimals: v.rng.Decimals})
		}
		f.err(RuleFaultSize, v.at(), fmt.Sprintf("%s, %s: %s reaches beyond what is possible, %s", named.Name, s.Name, v.rng, s), hint)
		return SizeBounds{}, false
	}
	mark := p.Checker.Face.PerSmallMark
	if s.Unit == "% of span" && mark.Sign() > 0 && !holdsMark(rng, mark) {
		f.err(RuleFaultSize, v.at(), fmt.Sprintf("no small mark of the checker lies in %s: one is %s of span, so nothing could be drawn", v.rng, percent(mark)), "widen the range")
		return SizeBounds{}, false
	}
	return SizeBounds{rng.Low, rng.High}, true
}

// holdsMark says whether a whole number of small marks lies in a range.
func holdsMark(r unit.Range, mark formula.Value) bool {
	n, err := r.Low.Div(mark).Truncate(0)
	if err != nil {
		return true
	}
	for k := n - 1; k <= n+1; k++ {
		v := mark.Mul(formula.Int(k))
		if v.Sub(r.Low).Sign() >= 0 && v.Sub(r.High).Sign() <= 0 {
			return true
		}
	}
	return false
}

// checkSaturation warns of sizes of which every one drives a transmitter to the
// limit of what it sends at one of the five points of a check: the reading
// there shows the limit and not the fault. A fault grows with its size, so the
// ends of the range speak for what lies between.
func (f *file) checkSaturation(b *block, p *Plant, named *loop.Fault, r *FaultRange) {
	if named.Group != loop.GroupTransmitter && named.Group != loop.GroupSensing || named.Name == "saturated" || !named.OnInput() {
		return
	}
	loops := r.Loops
	if len(loops) == 0 && len(r.Outputs) == 0 {
		loops = p.Loops
	}
	for _, l := range loops {
		if l.Signal.Name != "4-20 mA" {
			continue
		}
		at, low, ok := saturates(l, named, r.Sizes)
		if !ok {
			continue
		}
		limit, word := l.Params.Transmitter.HighMilliamp, "more"
		if low {
			limit, word = l.Params.Transmitter.LowMilliamp, "less"
		}
		place := b.at("size")
		if !b.written("size") {
			place = b.at("sizes")
		}
		f.warn(RuleFaultSaturates, place, fmt.Sprintf("every size given here for %q asks %s for %s than its limit of %s mA at %d %% of the input: the reading there shows the limit and not the fault", named.Name, l.Tag, word, number(limit), at),
			"if that is not the lesson, let smaller sizes in, or name other loops")
		return
	}
}

// saturates finds a point of a check, in percent of the input, at which all
// sizes end at one limit of the transmitter.
func saturates(l *Loop, named *loop.Fault, sizes []SizeBounds) (at int, low, ok bool) {
	var corners [][]float64
	switch len(sizes) {
	case 1:
		corners = [][]float64{{sizes[0].Low.Float64()}, {sizes[0].High.Float64()}}
	case 2:
		for _, a := range []float64{sizes[0].Low.Float64(), sizes[0].High.Float64()} {
			for _, c := range []float64{sizes[1].Low.Float64(), sizes[1].High.Float64()} {
				corners = append(corners, []float64{a, c})
			}
		}
	}
	for at = 0; at <= 100; at += 25 {
		below, above := len(corners) > 0, len(corners) > 0
		for _, c := range corners {
			p, err := named.Apply(l.Params, c...)
			if err != nil {
				return 0, false, false
			}
			mA := p.DemandMilliamp(float64(at) / 100)
			below = below && mA < p.Transmitter.LowMilliamp
			above = above && mA > p.Transmitter.HighMilliamp
		}
		if below || above {
			return at, below, true
		}
	}
	return 0, false, false
}
