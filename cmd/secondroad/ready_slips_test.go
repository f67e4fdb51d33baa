package secondroad

import (
	"fmt"
	"math"
	"slices"
	"strings"
)

// The apprentices of "ready the checker". Those who put steps in a wrong order
// begin with the right one and move what their misconception moves.
var readySlips = map[string]apprentice{}

// moved puts a step right before or behind another.
func moved(job string, moves ...[3]string) apprentice {
	return func(s sheet, p part) (replies, error) {
		o, err := p.order(job)
		if err != nil {
			return nil, err
		}
		w, _ := walk(job)
		value := map[string]string{}
		for _, st := range p.boxes[0].steps {
			value[w.names[st.text]] = st.value
		}
		his := slices.Clone(o.steps)
		for _, m := range moves {
			from := slices.Index(his, value[m[0]])
			if from < 0 || value[m[2]] == "" {
				return nil, fmt.Errorf("%s or %s is not among the steps", m[0], m[2])
			}
			his = slices.Delete(his, from, from+1)
			to := slices.Index(his, value[m[2]])
			if m[1] == "behind" {
				to++
			}
			his = slices.Insert(his, to, value[m[0]])
		}
		return replies{p.boxes[0].id: {order: &sorted{steps: his, must: o.must}}}, nil
	}
}

func init() {
	one := func(job, id string, moves ...[3]string) { readySlips[job+"/"+id] = moved(job, moves...) }
	const ahead, behind = "ahead of", "behind"
	one("check", "cell-before-zero", [3]string{"cell", ahead, "zero"})
	one("check", "opened-before-manual", [3]string{"manual", behind, "connect"})
	one("check", "manual-stops-trips", [3]string{"inhibit", behind, "connect"})
	one("check", "told-late", [3]string{"told", behind, "connect"})
	one("check", "permit-late", [3]string{"permit", behind, "connect"})
	one("check", "held-at-once", [3]string{"tap", behind, "read"})
	one("check", "inhibited-untold", [3]string{"told", behind, "inhibit"})
	one("check", "checked-late", [3]string{"zero", behind, "connect"}, [3]string{"cell", behind, "zero"})
	one("check", "cell-late", [3]string{"cell", behind, "connect"})
	one("check", "left-at-cell", [3]string{"lever", ahead, "cell"})
	one("check", "leads-late", [3]string{"leads", behind, "connect"})
	one("check", "auto-early", [3]string{"auto", ahead, "remove"})
	one("check", "armed-early", [3]string{"restore", ahead, "remove"})
	for _, job := range []string{"check", "dry-in", "wet-in"} {
		if job != "wet-in" { // where it is never among the steps
			one(job, "signed-early", [3]string{"sign", ahead, "back"})
		}
		one(job, "armed-unseen", [3]string{"restore", ahead, "live"})
	}
	for _, j := range []struct{ job, first, last string }{{"dry-out", "low-shut", "high-shut"}, {"wet-out", "high-shut", "low-shut"}} {
		one(j.job, "valve-before-manual", [3]string{"manual", behind, j.first})
		one(j.job, "manual-stops-trips-valve", [3]string{"inhibit", behind, j.first})
		one(j.job, "told-late-valve", [3]string{"told", behind, j.last})
		one(j.job, "permit-late-valve", [3]string{"permit", behind, j.first})
		one(j.job, "vented-early", [3]string{"vent", ahead, j.last})
		one(j.job, "undone-unproved", [3]string{"undo", ahead, "prove"})
		one(j.job, "inhibited-untold", [3]string{"told", behind, "inhibit"})
	}
	one("dry-out", "equalised-first", [3]string{"equal-open", ahead, "low-shut"})
	one("dry-out", "high-first", [3]string{"high-shut", ahead, "low-shut"})
	one("dry-out", "blocked-then-equalised", [3]string{"equal-open", behind, "high-shut"})
	for _, j := range []struct{ job, first, last string }{{"dry-in", "high-open", "low-open"}, {"wet-in", "low-open", "high-open"}} {
		one(j.job, "vent-left-open", [3]string{"vent-shut", behind, j.first})
		one(j.job, "fitted-late", [3]string{"fit", behind, j.first})
		one(j.job, "auto-before-valves", [3]string{"auto", ahead, j.last})
		one(j.job, "armed-before-valves", [3]string{"restore", ahead, j.last})
		one(j.job, "leaks-late", [3]string{"leaks", behind, "auto"})
	}
	one("dry-in", "equalising-last", [3]string{"equal-shut", behind, "low-open"})
	one("dry-in", "one-sided", [3]string{"equal-shut", ahead, "high-open"})
	one("dry-in", "low-first", [3]string{"low-open", ahead, "high-open"})
	one("wet-in", "wet-leg-equalised", [3]string{"equal-shut", behind, "high-open"})
	one("wet-in", "filled-across", [3]string{"equal-shut", behind, "fill"})
	one("wet-in", "leg-run-out", [3]string{"fill", behind, "low-open"})
	one("wet-in", "air-shut-in", [3]string{"vent-shut", ahead, "fill"})

	number := func(name string, wrong func(rest, cell, line float64) float64) {
		readySlips[name] = func(s sheet, p part) (replies, error) {
			rest, cell, line, err := s.restAndCell()
			return replies{p.boxes[0].id: {number: wrong(rest, cell, line)}}, err
		}
	}
	number("rest/side", func(rest, _, _ float64) float64 { return -rest })
	number("rest/marks-as-divisions", func(rest, _, _ float64) float64 { return 5 * rest })
	number("rest/side-and-marks", func(rest, _, _ float64) float64 { return -5 * rest })
	number("rest/percent-given", func(rest, _, _ float64) float64 { return rest / 2 })
	number("rest/marks-as-tenths", func(rest, _, _ float64) float64 { return marksAsTenths(int(math.Round(5*rest)), 5) })
	number("reach/past-turned", func(_, cell, line float64) float64 { return line - cell })
	number("reach/reading-given", func(_, cell, _ float64) float64 { return cell })
	number("reach/line-added", func(_, cell, line float64) float64 { return cell + line })
	number("reach/percent-given", func(_, cell, line float64) float64 { return (cell - line) / 2 })
	number("reach/marks-as-divisions", func(_, cell, line float64) float64 { return 5 * (cell - line) })
	number("reach/marks-as-tenths", func(_, cell, line float64) float64 { return marksAsTenths(int(math.Round(5*cell)), 5) - line })
	number("past/rest-left-in", func(_, cell, line float64) float64 { return cell - line })
	number("past/rest-added", func(rest, cell, line float64) float64 { return rest + cell - line })
	number("past/line-forgotten", func(rest, cell, _ float64) float64 { return cell - rest })
	number("past/past-turned", func(rest, cell, line float64) float64 { return line + rest - cell })
	number("past/marks-as-tenths", func(rest, cell, line float64) float64 {
		return marksAsTenths(int(math.Round(5*cell)), 5) - marksAsTenths(int(math.Round(5*rest)), 5) - line
	})
	number("past/reading-given", func(_, cell, _ float64) float64 { return cell })

	say := func(name, words string) {
		readySlips[name] = func(s sheet, p part) (replies, error) {
			r, err := p.choose(words)
			return replies{p.boxes[0].id: r}, err
		}
	}
	const good, weak, nothing = "the cell is good; go on", "the cell is weak; change it", "nothing yet; the needle has not moved"
	say("cell/line-exact", weak)
	say("cell/trigger-doubted-cell", nothing)
	say("cell/right-is-good", good)
	say("cell/moved-is-good", good)
	say("cell/weak-as-nothing", nothing)
	say("cell/centre-is-null", good)
	say("cell/changed-at-once", weak)
	say("may/right-is-good", good)
	say("may/line-exact", weak)
	readySlips["may/judged-as-read"] = func(s sheet, p part) (replies, error) {
		_, cell, line, err := s.restAndCell()
		if err != nil {
			return nil, err
		}
		words := weak
		if cell >= line {
			words = good
		}
		r, err := p.choose(words)
		return replies{p.boxes[0].id: r}, err
	}

	sort := func(id string, wrong func(d day) string) {
		readySlips["sort/"+id] = func(s sheet, p part) (replies, error) {
			days, err := s.days()
			if err != nil {
				return nil, err
			}
			his := replies{}
			for i, b := range p.boxes {
				r, err := part{label: p.label, boxes: []*box{b}}.choose(wrong(days[i]))
				if err != nil {
					return nil, err
				}
				his[b.id] = r
			}
			return his, nil
		}
	}
	always := func(words string) func(day) string { return func(day) string { return words } }
	blind := func(to string) func(day) string {
		return func(d day) string {
			switch {
			case d.worth() != to:
				return d.worth()
			case d.rest != 0:
				return readLess
			}
			return readAsItIs
		}
	}
	sort("all-counted", always(readAsItIs))
	sort("all-corrected", always(readLess))
	sort("line-misread", always(cellVoid))
	sort("neighbour-misread", always(ringVoid))
	sort("trigger-doubted", always(pullVoid))
	sort("cell-unseen", blind(cellVoid))
	sort("stop-believed", blind(ringVoid))
	sort("null-believed", func(d day) string { return strings.ReplaceAll(d.worth(), pullVoid, readAsItIs) })
	sort("rest-forgotten", func(d day) string { return strings.ReplaceAll(d.worth(), readLess, readAsItIs) })

	reading := func(id string, wrong func(days []day, d day) float64) {
		readySlips["error/"+id] = func(s sheet, p part) (replies, error) {
			days, err := s.days()
			if err != nil {
				return nil, err
			}
			i := slices.IndexFunc(days, func(d day) bool { return d.worth() == readLess || d.worth() == readAsItIs })
			return replies{p.boxes[0].id: {number: wrong(days, days[i])}}, nil
		}
	}
	reading("error-sign", func(_ []day, d day) float64 { return d.percent(d.rest - d.needle) })
	reading("divisions-as-percent", func(_ []day, d day) float64 { return d.needle - d.rest })
	reading("marks-as-divisions", func(_ []day, d day) float64 { return 5 * d.percent(d.needle-d.rest) })
	reading("rest-left-in", func(_ []day, d day) float64 { return d.percent(d.needle) })
	reading("rest-added", func(_ []day, d day) float64 { return d.percent(d.needle + d.rest) })
	reading("void-taken", func(days []day, d day) float64 {
		for _, v := range days {
			if !v.pinned && v.needle != 0 {
				return v.percent(v.needle)
			}
		}
		return 0
	})
}
