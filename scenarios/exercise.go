package scenarios

import (
	"fmt"
	"strings"

	"loopdrill/scenarios/diag"
)

// exercise reads one block of exercises.
func (f *file) exercise(b *block) *Exercise {
	at := f.head(b.n)
	e := &Exercise{ID: b.get("id").text, Title: b.get("title").text, Family: b.get("family").text, Level: b.get("level").text,
		File: f.path, Line: at.Line, Column: at.Column}
	spec, known := f.family(b)
	if known && b.get("level").ok {
		f.level(b, spec)
	}
	if known {
		f.faults(e, b, spec)
	}
	f.setting(e, b, spec, known)
	if v := b.get("place"); known && v.ok && !f.needless(b, spec, "place", len(spec.Places) == 0, "place for the checker from a course") {
		if e.Place = v.text; !contains(spec.Places, v.text) {
			f.err(RuleFamilyKeys, v.at(), fmt.Sprintf("family %q cannot put the checker at the %s", spec.Name, v.text), "it can at the "+strings.Join(spec.Places, ", "))
		}
	}
	if v := b.get("marks"); v.ok {
		e.Marks, e.MarksAt = v.whole, v.at()
	}
	return e
}

func (f *file) family(b *block) (Spec, bool) {
	v := b.get("family")
	if !v.ok {
		return Spec{}, false
	}
	spec, ok := f.r.vocab.Family(v.text)
	if !ok {
		f.err(RuleUnknownName, v.at(), fmt.Sprintf("there is no family %q", shorten(v.text)), diag.Hint(v.text, "families", f.r.vocab.names()))
	}
	return spec, ok
}

func (f *file) level(b *block, spec Spec) {
	v := b.get("level")
	var have []string
	for _, d := range spec.Levels {
		if d.Name == v.text {
			return
		}
		have = append(have, d.Name)
	}
	if len(have) == 0 {
		return
	}
	f.err(RuleUnknownName, b.at("level"), fmt.Sprintf("family %q has no level %q", spec.Name, v.text), "its levels: "+strings.Join(have, ", "))
}

func (f *file) faults(e *Exercise, b *block, spec Spec) {
	list := b.get("faults")
	if len(list.list) > 0 && len(spec.Faults) == 0 {
		f.err(RuleFamilyFaults, f.at(list.name), fmt.Sprintf("family %q takes no faults", spec.Name), "leave the key out")
		return
	}
	seen := map[string]*value{}
	for _, v := range list.list {
		if !v.ok || f.again(seen, v, "fault") {
			continue
		}
		if !contains(spec.Faults, v.text) {
			f.err(RuleFamilyFaults, v.at(), fmt.Sprintf("family %q has no fault %q", spec.Name, shorten(v.text)), diag.Hint(v.text, "its faults", spec.Faults))
			continue
		}
		e.Faults = append(e.Faults, v.text)
	}
}
