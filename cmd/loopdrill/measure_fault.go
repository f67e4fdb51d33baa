package main

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/unit"
)

// inserted is a fault with its sizes.
type inserted struct {
	fault loop.Fault
	sizes []insertedSize
}

// insertedSize is one size of a fault, in the fault's unit.
type insertedSize struct {
	loop.Size
	value  float64
	chosen bool // by us, because none was given
}

func (x inserted) values() []float64 {
	var out []float64
	for _, s := range x.sizes {
		out = append(out, s.value)
	}
	return out
}

// words says what was put in, "low-zero, low by 0.8 % of span", one line for
// each fault of a pair.
func (x inserted) words() []string {
	names, each := []string{x.fault.Name}, len(x.sizes)
	if strings.Contains(x.fault.Name, "+") {
		names, each = x.fault.Parts, 1
	}
	var out []string
	for i, name := range names {
		for _, s := range x.sizes[i*each : (i+1)*each] {
			name += fmt.Sprintf(", %s %s %s", s.Name, trueMinus(strconv.FormatFloat(s.value, 'f', -1, 64)), s.Unit)
			if s.chosen {
				name += fmt.Sprintf(" (chosen; possible is %s)", trueMinus(s.Size.String()))
			}
		}
		out = append(out, name)
	}
	return out
}

// parseFaults reads what was given with --fault: one fault, or two that are a
// named pair.
func parseFaults(given []string) ([]inserted, error) {
	switch len(given) {
	case 0:
		return nil, nil
	case 1:
		name, size, sized := strings.Cut(given[0], "=")
		f, err := faultNamed(name)
		if err != nil {
			return nil, err
		}
		x, err := insert(f, f.Sizes, size, sized)
		return []inserted{x}, err
	case 2:
		return parsePair(given)
	}
	return nil, &unit.Mistake{What: fmt.Sprintf("%d faults are given, at most two can be in a loop at once", len(given))}
}

// parsePair reads two faults. The pair is one fault to the loop; each keeps
// its own size.
func parsePair(given []string) ([]inserted, error) {
	var single [2]inserted
	for i, g := range given {
		name, size, sized := strings.Cut(g, "=")
		f, err := faultNamed(name)
		if err != nil {
			return nil, err
		}
		if single[i], err = insert(f, f.Sizes, size, sized); err != nil {
			return nil, err
		}
	}
	a, b := single[0], single[1]
	if a.fault.Name == b.fault.Name {
		return nil, &unit.Mistake{What: a.fault.Name + " is given twice", Hint: "give it once, with the size of both together"}
	}
	for _, pair := range [][2]inserted{{a, b}, {b, a}} {
		if f, ok := loop.FaultNamed(pair[0].fault.Name + "+" + pair[1].fault.Name); ok {
			return []inserted{{f, append(pair[0].sizes, pair[1].sizes...)}}, nil
		}
	}
	return nil, &unit.Mistake{What: fmt.Sprintf("%s and %s are no pair that is worked out together", a.fault.Name, b.fault.Name), Hint: pairHint(a.fault.Name, b.fault.Name)}
}

// pairHint names a compound of the two, or else the pairs there are with one
// of them, or else all pairs.
func pairHint(a, b string) string {
	in := func(f loop.Fault, name string) bool {
		for _, p := range f.Parts {
			if p == name {
				return true
			}
		}
		return false
	}
	for _, f := range loop.Faults() {
		if in(f, a) && in(f, b) {
			return fmt.Sprintf("that is the fault %s, with both sizes: --fault %s=%s", f.Name, f.Name, exampleSizes(f))
		}
	}
	var some, all []string
	for _, f := range loop.Pairs() {
		if in(f, a) || in(f, b) {
			some = append(some, strings.Join(f.Parts, " and "))
		}
		all = append(all, strings.Join(f.Parts, " and "))
	}
	if some == nil {
		some = all
	}
	return "pairs: " + strings.Join(some, ", ")
}

func exampleSizes(f loop.Fault) string {
	var out []string
	for _, s := range f.Sizes {
		out = append(out, strconv.FormatFloat(usualSize(s), 'g', -1, 64))
	}
	return strings.Join(out, ",")
}

// faultNamed looks a fault up, in capitals or not.
func faultNamed(name string) (loop.Fault, error) {
	name = strings.TrimSpace(name)
	if f, ok := loop.FaultNamed(strings.ToLower(name)); ok {
		return f, nil
	}
	var known []string
	for _, f := range append(loop.Faults(), loop.Pairs()...) {
		known = append(known, f.Name)
	}
	if k, ok := diag.Nearest(name, known); ok {
		return loop.Fault{}, &unit.Mistake{What: fmt.Sprintf("there is no fault %q", name), Hint: fmt.Sprintf("did you mean %q?", k)}
	}
	return loop.Fault{}, &unit.Mistake{What: fmt.Sprintf("there is no fault %q", name), Hint: "loopdrill measure --faults lists them"}
}

// insert gives a fault its sizes, from the text behind its name.
func insert(f loop.Fault, sizes []loop.Size, text string, sized bool) (inserted, error) {
	x := inserted{fault: f}
	if !sized {
		for _, s := range sizes {
			x.sizes = append(x.sizes, insertedSize{s, usualSize(s), true})
		}
		return x, nil
	}
	if len(sizes) == 0 {
		return x, &unit.Mistake{What: fmt.Sprintf("%s has no size", f.Name), Hint: "write --fault " + f.Name}
	}
	words := []string{text}
	if len(sizes) > 1 {
		words = strings.Split(text, ",")
	}
	if len(words) != len(sizes) {
		return x, &unit.Mistake{What: fmt.Sprintf("%s has %d sizes, and %q is %d", f.Name, len(sizes), text, len(words)),
			Hint: fmt.Sprintf("with a comma between: %s=%s", f.Name, exampleSizes(f))}
	}
	for i, s := range sizes {
		v, err := parseSize(f, s, words[i])
		if err != nil {
			return x, err
		}
		x.sizes = append(x.sizes, insertedSize{s, v, false})
	}
	return x, nil
}

// parseSize reads one size: a bare number in the fault's unit, or a quantity
// that converts into it. A percentage may be written with a plain %, for the
// fault says of what it is taken.
func parseSize(f loop.Fault, s loop.Size, text string) (float64, error) {
	where := "--fault " + f.Name + ": "
	if _, known := unit.Lookup(s.Unit); !known { // "% of input span" is the fault's own wording
		text = strings.TrimSuffix(strings.TrimSpace(text), s.Unit)
	}
	q, err := unit.Parse(text)
	if err != nil {
		var m *unit.Mistake
		if errors.As(err, &m) {
			m.What = where + m.What
			if m.Hint == "" {
				m.Hint = fmt.Sprintf("%s %s", s.Name, &s)
			}
		}
		return 0, err
	}
	v := q.V
	percent := strings.HasPrefix(s.Unit, "%")
	switch d := q.Unit.Dimension; {
	case d == unit.Number || percent && d == unit.Percent || strings.Contains(s.Unit, "span") && d == unit.PercentOfSpan:
	default:
		u, ok := unit.Lookup(s.Unit)
		if !ok || u.Dimension != d {
			return 0, &unit.Mistake{What: fmt.Sprintf("%s%s is a %s, and the size is given in %s", where, q, d, s.Unit), Hint: fmt.Sprintf("%s %s", s.Name, &s)}
		}
		if v, err = q.Convert(u); err != nil {
			return 0, err
		}
	}
	size := v.Float64()
	if !s.Has(size) {
		hint := ""
		if size < 0 && s.Has(-size) {
			hint = fmt.Sprintf("the name says the direction already: %s=%g", f.Name, -size)
		}
		return 0, &unit.Mistake{What: fmt.Sprintf("%s%s %g %s is not possible, permitted is %s", where, s.Name, size, s.Unit, &s), Hint: hint}
	}
	return size, nil
}

// usualSize is a size from the middle of the first branch that is not
// negative, to two figures: half way, by ratio where the branch is wider than
// a decade.
func usualSize(s loop.Size) float64 {
	b := s.Branches[len(s.Branches)-1]
	for _, r := range s.Branches {
		if r.Low >= 0 {
			b = r
			break
		}
	}
	middle := (b.Low + b.High) / 2
	if b.Low > 0 && b.High > 10*b.Low {
		middle = math.Sqrt(b.Low * b.High)
	}
	// Through text, so that the size is the decimal that is printed.
	v, err := strconv.ParseFloat(strconv.FormatFloat(middle, 'g', 2, 64), 64)
	if err != nil || !b.Has(v) {
		return b.Low
	}
	return v
}
