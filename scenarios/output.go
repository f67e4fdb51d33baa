package scenarios

import (
	"fmt"
	"strings"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/loop"
)

// outputs reads the output loops of a plant.
func (f *file) outputs(list []*value, p *Plant) {
	for _, v := range list {
		if !v.ok || !v.block.get("tag").ok {
			f.r.gaps = true
		}
		if !v.ok {
			continue
		}
		o := f.output(v.block, p)
		if tag := v.block.get("tag"); tag.ok && !f.r.taken(tag) {
			f.r.output[o.Tag] = &placedOutput{o, p}
		}
		p.Outputs = append(p.Outputs, o)
	}
}

func (f *file) output(b *block, p *Plant) *Output {
	o := &Output{Tag: b.get("tag").text, Service: b.get("service").text, Params: loop.HealthyOutput()}
	q := &o.Params
	if c := b.get("controller").block; c != nil {
		q.Controller.OpenVolt, q.Controller.SaturationOhm = c.get("voltage").float("V"), c.get("resistance").float("ohm")
		q.Controller.LowMilliamp, q.Controller.HighMilliamp = c.get("low").float("mA"), c.get("high").float("mA")
	}
	o.Cable = f.wiring(b.get("wiring").block, &q.Wiring)
	if c := b.get("converter").block; c != nil {
		q.IP.CoilOhm, q.IP.AirKilopascal = c.get("coil").float("ohm"), c.get("air").float("kPa")
	}
	if c := b.get("positioner").block; c != nil && c.get("stroke").ok {
		o.Stroke = &c.get("stroke").quantity
	}
	if p.Checker.Params != (loop.Checker{}) {
		q.Checker = p.Checker.Params
	}
	f.checkOutputTag(b, o)
	f.checkDrive(b, o)
	f.checkAir(b, o)
	return o
}

// checkOutputTag holds the letters of an output loop's tag against ISA-5.1,
// table of identification letters: the first for what is controlled; behind it
// the output functions V (valve), Z (other final element), Y (converter), with
// C where valve and controller are one.
func (f *file) checkOutputTag(b *block, o *Output) {
	v := b.get("tag")
	if !v.ok {
		return
	}
	letters, number, _ := strings.Cut(o.Tag, "-")
	rest := letters[1:]
	if len(rest) > 1 && strings.IndexByte("DFJKMQSX", rest[0]) >= 0 {
		rest = rest[1:] // modifier of the first letter
	}
	valve := string(letters[0]) + "V-" + number
	switch {
	case strings.Contains(rest, "T"):
		f.err(RuleTagLetters, v.at(), fmt.Sprintf("tag %s names a transmitter, but this is an output loop", o.Tag), fmt.Sprintf("call its valve %s, or put the block under \"loops\"", valve))
	case rest == "CV":
		f.warn(RuleTagLetters, v.at(), fmt.Sprintf("tag %s names a valve that is its own controller", o.Tag), fmt.Sprintf("a valve that a converter drives is %s after ISA-5.1", valve))
	case rest != "V" && rest != "Y" && rest != "Z":
		f.err(RuleTagLetters, v.at(), fmt.Sprintf("tag %s does not name a valve: V, Z or Y is wanted behind its first letter", o.Tag), fmt.Sprintf("write the valve's tag, such as %s", valve))
	}
}

// checkDrive holds the volts of a controller's output against its load at
// 20 mA:
//
//	U = 20 mA (R_inside + R_out + R_return + R_coil [+ R_checker])
//
// Short without the checker is an error, short with it a warning, as for a
// transmitter's supply.
func (f *file) checkDrive(b *block, o *Output) {
	c, w, ip := b.get("controller").block, b.get("wiring").block, b.get("converter").block
	if c == nil || w == nil || ip == nil || !c.allOK("voltage", "resistance") || !wiringOK(w) || !ip.allOK("coil") {
		return
	}
	const amp, slack = 0.020, 1e-9
	q := &o.Params
	load := q.Wiring.OutOhm + q.Wiring.ReturnOhm + q.IP.CoilOhm
	inside := q.Controller.SaturationOhm
	at := f.firstOf(b, c.written("voltage"), c, ip, w)
	volts := c.get("voltage").quantity
	needs := func(ohm float64) float64 { return amp * (inside + ohm) }
	with := load + q.Checker.ResistorOhm
	switch {
	case needs(load) > q.Controller.OpenVolt+slack:
		f.err(RuleOutputDrive, at, fmt.Sprintf("20 mA through %s, and %s ohm inside the controller, takes %s V; it has %s",
			ohmsOf(load, o.Cable), number(inside), number(needs(load)), volts),
			fmt.Sprintf("the controller needs at least %s V, or its load must have at most %s ohm", number(needs(load)), number(max(0, q.Controller.OpenVolt/amp-inside))))
	case needs(with) > q.Controller.OpenVolt+slack:
		f.warn(RuleOutputChecker, at, fmt.Sprintf("with the checker's %s ohm in the loop, 20 mA takes %s V, and the controller has %s: the top of the range clips only while the checker is in",
			number(q.Checker.ResistorOhm), number(needs(with)), volts),
			fmt.Sprintf("if that is not the lesson, give the controller at least %s V", number(needs(with))))
	}
}

// firstOf is where a finding about several blocks is reported: at the voltage
// of the first of them where that is written, else at the last of them that is
// written, else at the whole block.
func (f *file) firstOf(b *block, voltage bool, blocks ...*block) diag.Place {
	if voltage {
		return blocks[0].at("voltage")
	}
	at := f.head(b.n)
	for _, c := range blocks {
		if c.n != nil {
			at = f.head(c.n)
		}
	}
	return at
}

// checkAir holds the supply air against the top of the converter's signal.
func (f *file) checkAir(b *block, o *Output) {
	c := b.get("converter").block
	if c == nil {
		return
	}
	air := c.get("air")
	if !air.ok {
		return
	}
	const top = 100 // kPa
	if o.Params.IP.AirKilopascal < top {
		f.err(RuleAir, c.at("air"), fmt.Sprintf("supply air of %s cannot make an output of 100 kPa", air.quantity),
			"give the converter more air; 140 kPa is usual (low air as a fault is a matter of exercises)")
	}
}
