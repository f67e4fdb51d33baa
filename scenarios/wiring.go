package scenarios

import (
	"fmt"
	"strconv"
	"strings"

	"loopdrill/scenarios/cable"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/unit"
)

// cableSizes lists the cross-sections that may be written, "0.5, 0.75, ... mm2".
func cableSizes() string {
	sizes := cable.Sizes()
	out := make([]string, len(sizes))
	for i, s := range sizes {
		out[i] = plainNumber(s)
	}
	return strings.Join(out, ", ") + " mm2"
}

// gaugeSizes lists the sizes of the American wire gauge that may be written.
func gaugeSizes() string {
	var out []string
	for _, awg := range cable.Gauges() {
		out = append(out, strconv.Itoa(awg))
	}
	return strings.Join(out, ", ")
}

// wiring puts the resistance of both conductors into w, as written or computed
// from the cable, which it gives back where there is one.
func (f *file) wiring(b *block, w *loop.Wiring) *Cable {
	if b == nil {
		return nil
	}
	if !b.written("cable") {
		w.OutOhm, w.ReturnOhm = b.get("out").float("ohm"), b.get("return").float("ohm")
		return nil
	}
	keys := b.get("cable").block
	if keys == nil {
		return nil
	}
	c := f.cable(keys)
	if c != nil {
		w.OutOhm, w.ReturnOhm = c.Ohm.Float64(), c.Ohm.Float64()
	}
	return c
}

// cable checks the cross-section and computes the resistance of a conductor.
// It gives nil where something in the block is wrong.
func (f *file) cable(b *block) *Cable {
	length, area, awg, temperature := b.get("length"), b.get("area"), b.get("awg"), b.get("temperature")
	var perKm formula.Value
	size := area.quantity
	if awg.ok {
		mm2, ohm, known := cable.Gauge(awg.whole)
		if !known {
			f.err(RuleCable, awg.at(), fmt.Sprintf("%d AWG is not among the sizes that are known here", awg.whole), "permitted: "+gaugeSizes())
			return nil
		}
		perKm, size = ohm, unit.Quantity{V: mm2, Unit: unit.Must("mm2"), Decimals: 3}
	} else if area.ok {
		mm2, _ := area.in("mm2")
		var known bool
		if perKm, known = cable.OhmPerKm(mm2); !known {
			f.err(RuleCable, area.at(), fmt.Sprintf("a conductor of %s is not among the cross-sections that are known here", area.quantity),
				"permitted: "+cableSizes())
			return nil
		}
	}
	if !b.allOK("length", "temperature") || !area.ok && !awg.ok {
		return nil
	}
	metres, _ := length.in("m")
	celsius, _ := temperature.in("°C")
	both := cable.Loop(formula.Lit{V: perKm}, formula.Lit{V: metres}, formula.Lit{V: celsius})
	return &Cable{Length: length.quantity, Area: size, AWG: awg.whole, Temperature: temperature.quantity, OhmPerKm: perKm,
		Ohm: formula.Eval(both, nil).Div(formula.Int(2))}
}

// wiringOK says whether the resistance of both conductors is known.
func wiringOK(b *block) bool {
	if !b.written("cable") {
		return b.allOK("out", "return")
	}
	c := b.get("cable").block
	if c == nil || !c.allOK("length", "temperature") {
		return false
	}
	if awg := c.get("awg"); awg.n != nil {
		_, _, known := cable.Gauge(awg.whole)
		return awg.ok && known
	}
	if !c.get("area").ok {
		return false
	}
	mm2, _ := c.get("area").in("mm2")
	_, known := cable.OhmPerKm(mm2)
	return known
}

// ohmsOf says what a loop has, and how much of it is the cable's.
func ohmsOf(ohms float64, c *Cable) string {
	s := number(ohms) + " ohm"
	if c != nil {
		s += fmt.Sprintf(" (%s ohm of them in %s of cable, both conductors)", number(2*c.Ohm.Float64()), c.Length)
	}
	return s
}
