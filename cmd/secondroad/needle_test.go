package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"strings"
)

// All readings go by the volts that the movement compares: the reference at
// the ring's point, and beside it what one small mark stands for.
const resistor = 250 // ohm; makes 1 to 5 V of 4 to 20 mA

// reference is what the ring sets, in volts: it goes from a fifth of 5 V to
// 5 V as the ring goes from 0 to 100 %.
func reference(ring int) float64 { return mix(1, 5, float64(ring)/100) }

// voltsPerMark is one small mark, from what the reference page says about it
// in percent of the span between 1 and 5 V.
func (s sheet) voltsPerMark(f seenFace) (float64, error) {
	for _, n := range s.notes {
		if math.Abs(n.small*float64(f.scale.perDiv)-n.division) < 1e-9 &&
			math.Abs(n.division*float64(f.scale.divisions())-n.stop) < 1e-9 {
			return n.small / 100 * (5 - 1), nil
		}
	}
	return 0, fmt.Errorf("the reference page explains no face of %d divisions of %d", f.scale.divisions(), f.scale.perDiv)
}

var (
	putIn     = regexp.MustCompile(`At the transmitter you put in (\S+ \S+), which is (\d+) % of its range\.`)
	ringAt    = regexp.MustCompile(`the ring stands at (\d+) % of span`)
	tolerance = regexp.MustCompile(`± (\d+(?:\.\d+)?) % of span`)
)

// bench is what the page of one reading shows.
type bench struct {
	read, rest int     // small marks; rest 0 where no face shows it
	stop       int     // the side of the stop that the needle lies on
	perDiv     int     // small marks in a division
	mark       float64 // volts
	ring, put  int     // percent
	tol        float64 // percent of span; NaN where none is printed
	volts      bool    // the output is asked for in volts
}

// seeBench reads an exercise with one reading.
func (s sheet) seeBench() (bench, error) { return recall(&s.memo.bench, s.seeBenchAnew) }

func (s sheet) seeBenchAnew() (b bench, err error) {
	var held *seenFace
	for i := range s.faces {
		f := &s.faces[i]
		switch f.caption {
		case "Trigger released":
			if f.stop != 0 {
				return b, fmt.Errorf("a needle that rests on its stop")
			}
			b.rest = f.marks
		case "Trigger pressed":
			held = f
		default:
			return b, fmt.Errorf("a face called %q", f.caption)
		}
	}
	if held == nil {
		return b, fmt.Errorf("no reading")
	}
	b.read, b.stop, b.perDiv, b.ring = held.marks, held.stop, held.scale.perDiv, held.ring
	if b.mark, err = s.voltsPerMark(*held); err != nil {
		return b, err
	}
	for _, f := range s.faces {
		if f.lever != held.lever || f.ring != held.ring {
			return b, fmt.Errorf("the faces differ in lever or ring")
		}
	}
	switch {
	case held.lever == "Current" && strings.Contains(s.intro, "The checker stands at Current, in series at the transmitter"):
	case held.lever == "Voltage" && strings.Contains(s.intro, "The checker stands at Voltage, across the receiver's 250 Ω resistor"):
		b.volts = true
	default:
		return b, fmt.Errorf("the lever stands at %s, and the introduction says otherwise", held.lever)
	}
	m := ringAt.FindStringSubmatch(s.intro)
	if m == nil || fmt.Sprint(held.ring) != m[1] {
		return b, fmt.Errorf("the ring of the face stands at %d", held.ring)
	}
	p := putIn.FindStringSubmatch(s.intro)
	if p == nil {
		return b, fmt.Errorf("the introduction does not say what is put in")
	}
	if _, err = fmt.Sscan(p[2], &b.put); err != nil {
		return b, err
	}
	if !strings.Contains(s.intro, "Its cell is good.") {
		return b, fmt.Errorf("nothing is said about the cell")
	}
	b.tol = math.NaN()
	if t := tolerance.FindStringSubmatch(s.intro); t != nil {
		if b.tol, err = number(t[1]); err != nil {
			return b, err
		}
	}
	return b, nil
}

// off is by how many volts the needle says that the output is off. On a stop
// it is the limit.
func (b bench) off() float64 { return float64(b.read)*b.mark - float64(b.rest)*b.mark }

// percent turns volts into percent of the span between 1 and 5 V.
func percent(volts float64) float64 { return volts / (5 - 1) * 100 }

// output is what flows, or stands across the receiver, when the reference is
// missed by off volts.
func (b bench) output(off float64) float64 {
	v := reference(b.ring) + off
	if b.volts {
		return v
	}
	return v / resistor * 1000 // mA
}

// choose finds the option with these words.
func (p part) choose(words ...string) (reply, error) {
	var found []string
	for _, o := range p.boxes[0].options {
		for _, w := range words {
			if o.text == w {
				found = append(found, o.value)
			}
		}
	}
	if len(p.boxes) != 1 || len(found) != 1 {
		return reply{}, fmt.Errorf("(%s): %d options say %q", p.label, len(found), words)
	}
	return reply{option: found[0]}, nil
}

// task says what a part of a reading asks for.
func (p part) task() string {
	for _, c := range []struct{ words, task string }{
		{"Which way is the output off?", "direction"},
		{"By how many divisions does the output move the needle?", "divisions"},
		{"What is the error, in percent of span?", "error"},
		{"What is the output?", "output"},
		{"Is the loop within its tolerance", "verdict"},
		{"Which error, in percent of span, goes with this place of the needle?", "limit"},
		{"Which output goes with that error?", "limit output"},
		{"The output stays as it is, and you click the ring", "next"},
		{"Which way do you click the ring to bring the needle off its stop?", "ring"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// nextPoint says where the needle is once the ring has been clicked on: the
// reference moves by 0.2 V, and the needle the other way.
func (b bench) nextPoint(p part, way float64) string {
	volts := 0.2 * way
	if strings.Contains(p.prompt, "click the ring back") {
		volts = -volts
	}
	switch marks := float64(b.read) - volts/b.mark; {
	case marks <= -float64(10*b.perDiv):
		return "on its left stop"
	case marks < 0:
		return "left of the centre, on the scale"
	case marks >= float64(10*b.perDiv):
		return "on its right stop"
	}
	return "right of the centre, on the scale"
}

// workNeedle works an exercise with one reading.
func (s sheet) workNeedle() (replies, error) {
	b, err := s.seeBench()
	if err != nil {
		return nil, err
	}
	out := replies{}
	for _, p := range s.parts {
		var r reply
		task := p.task()
		if numeric := len(p.boxes[0].options) == 0; numeric {
			want := map[string]string{"divisions": "div", "error": "% of span", "limit": "% of span", "output": "mA", "limit output": "mA"}[task]
			if want == "mA" && b.volts {
				want = "V"
			}
			if p.boxes[0].unit != want {
				return nil, fmt.Errorf("(%s) asks for %s in %q", p.label, task, p.boxes[0].unit)
			}
		}
		if stopped := task == "limit" || task == "limit output" || task == "ring"; task != "direction" && stopped != (b.stop != 0) {
			return nil, fmt.Errorf("(%s) asks for %s, and the needle's stop is %d", p.label, task, b.stop)
		}
		switch task {
		case "direction":
			switch off := b.off(); {
			case off < 0:
				r, err = p.choose("lower than it should be")
			case off > 0:
				r, err = p.choose("higher than it should be")
			default:
				err = fmt.Errorf("(a): neither low nor high")
			}
		case "next":
			r, err = p.choose(b.nextPoint(p, 1))
		case "ring": // towards the reference at which nothing would be left
			r, err = p.choose(map[bool]string{true: "to lower points", false: "to higher points"}[b.off() < 0])
		case "divisions":
			r.number = b.off() / (b.mark * float64(b.perDiv))
		case "error", "limit":
			r.number = percent(b.off())
		case "output", "limit output":
			r.number = b.output(b.off())
		case "verdict":
			t := tolerance.FindStringSubmatch(p.prompt)
			if t == nil || t[1] != strings.TrimSpace(fmt.Sprint(b.tol)) {
				return nil, fmt.Errorf("(%s) and the introduction differ in the tolerance: %q", p.label, p.prompt)
			}
			// In volts, and half a small mark clear either way: a reader who is
			// off by that much must come to the same verdict.
			size, edge := math.Abs(b.off()), b.tol/100*(5-1)
			if math.Abs(size-edge) < b.mark/2 && math.Abs(size-edge) > 1e-9 {
				return nil, fmt.Errorf("(%s): an error of %.3f %% is too near to the tolerance", p.label, percent(b.off()))
			}
			if size <= edge+1e-9 {
				r, err = p.choose("yes, within")
			} else {
				r, err = p.choose("no, outside")
			}
		default:
			return nil, fmt.Errorf("(%s) asks for nothing known: %q", p.label, p.prompt)
		}
		if err != nil {
			return nil, err
		}
		out[p.boxes[0].id] = r
	}
	return out, nil
}
