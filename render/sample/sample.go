// Package sample holds one made-up course and a drawn form of it that use
// every kind of block, figure, box and step that a page can show. The gallery
// and the tests of packages render and site are made from it; the program
// itself does not import it.
//
// The figures are chosen by hand, not drawn, so that a change in a family does
// not change the gallery.
package sample

import (
	"strconv"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// Face is the face of the sample's checker.
var Face = scenarios.Face{
	Divisions: 10, SmallPerDiv: 5, PerSmallMark: formula.Decimal(1, 1),
	CellLineSmall: 30, CellPerSmall: formula.Decimal(5, 2),
}

// Text parses Markdown without slots.
func Text(s string) prose.Text { return prose.Text{Doc: prose.ParseTemplate(s)} }

// Course returns the sample course with n exercises, in turn of the kinds of
// [Form].
func Course(n int) *scenarios.Course {
	kpa := unit.Unit{Symbol: "kPa"}
	metre := unit.Unit{Symbol: "m"}
	level := &scenarios.Loop{
		Tag: "LT-3305", Service: "level of the brine buffer", Kind: scenarios.Level,
		Input:  unit.Range{Low: formula.Int(0), High: formula.Int(25), Unit: kpa},
		Shows:  unit.Range{Low: formula.Int(0), High: formula.Decimal(25, 1), Unit: metre},
		Action: scenarios.Direct, Signal: signal.Current,
		Tolerance: formula.Decimal(5, 1), AdjustAt: formula.Decimal(3, 1),
	}
	plant := &scenarios.Plant{
		ID: "orrel", Name: "Orrel Salt Works", Trade: "Evaporates brine into table salt.",
		Loops: []*scenarios.Loop{level}, Checker: scenarios.Checker{ID: "nb", Face: Face},
	}
	c := &scenarios.Course{
		ID: "sample-course", Title: "Needle and numbers: a sample of every page",
		Purpose: "an apprentice can read a needle, fill in a five-point table and say which adjustment comes first",
		Plants:  []*scenarios.Plant{plant}, PassMark: 70, Minutes: 120,
	}
	titles := []string{"What comes in, what goes out", "Reading the needle"}
	for i, title := range titles {
		c.Lessons = append(c.Lessons, &scenarios.Lesson{
			ID: "lesson-" + strconv.Itoa(i+1), Title: title, Segments: segments(i, level)})
	}
	kinds := []struct{ family, title, level string }{
		{"scale-it", "Percent and signal", "easy"},
		{"read-the-needle", "One reading", "usual"},
		{"five-point-check", "Five points as found", "hard"},
		{"what-next", "What would you do first?", "usual"},
		{"kinds", "Steps, drawings and words", "hard"},
	}
	for i := range n {
		k := kinds[i%len(kinds)]
		l := c.Lessons[min(i*len(titles)/n, len(titles)-1)]
		e := &scenarios.Exercise{
			Number: i + 1, ID: k.family + "-" + strconv.Itoa(i+1), Title: k.title, Family: k.family,
			Level: k.level, Loops: plant.Loops, Plant: plant, Lesson: l,
		}
		l.Exercises = append(l.Exercises, e)
		c.Exercises = append(c.Exercises, e)
	}
	return c
}

func segments(lesson int, l *scenarios.Loop) []scenarios.Segment {
	text := func(s string) scenarios.Segment { return scenarios.Segment{Prose: prose.ParsePlain(s)} }
	block := func(b scenarios.Block) scenarios.Segment { return scenarios.Segment{Block: &b} }
	points := []scenarios.LessonPoint{}
	for i, e := range []int64{-6, -5, -4, -3, -2} {
		points = append(points, scenarios.LessonPoint{Input: formula.Int(int64(25 * i)), Error: formula.Decimal(e, 1)})
	}
	if lesson == 0 {
		return []scenarios.Segment{
			block(scenarios.Block{Kind: scenarios.BlockGoals, Body: prose.ParsePlain("- say why a dead wire cannot be taken for an empty tank\n- turn a signal into percent of span, and back")}),
			text("## Why the zero is alive\n\nA signal that begins above nothing has a **live zero**. Cut the wire, and the current falls to 0 mA, which no healthy transmitter sends.\n\n| percent of span | 4–20 mA | 1–5 V |\n|---|---|---|\n| 0 % | 4 mA | 1 V |\n| 50 % | 12 mA | 3 V |\n| 100 % | 20 mA | 5 V |\n\n### Two steps\n\n1. Take the live zero off.\n2. Divide by the span.\n\n> Say of what a percentage is taken."),
			block(scenarios.Block{Kind: scenarios.BlockFormula, Formula: "percent"}),
			block(scenarios.Block{Kind: scenarios.BlockExample, Title: "what percentage is 9.60 mA?", Body: prose.ParsePlain("Take 4 mA off: 5.60 mA are left. The span is 16 mA, and 5.60 / 16 = 0.35: **35 % of span**.")}),
			block(scenarios.Block{Kind: scenarios.BlockCaution, Caution: "practice-figures"}),
			block(scenarios.Block{Kind: scenarios.BlockCheckYourself, Body: prose.ParsePlain("- What does 0 mA tell you?\n- Where does 12 mA stand in percent of span?")}),
		}
	}
	return []scenarios.Segment{
		block(scenarios.Block{Kind: scenarios.BlockGoals, Body: prose.ParsePlain("- read a needle to the nearest small mark\n- say what the stop tells you, and what it does not")}),
		text("The movement shows the difference between the loop and the reference. On the centre the two are equal."),
		block(scenarios.Block{Kind: scenarios.BlockFace, Face: &scenarios.LessonFace{Lever: "Current", Ring: 50, Needle: loop.Needle{Code: -13}, Caption: "2.6 divisions left of the centre: the output is low by 1.3 % of span."}}),
		block(scenarios.Block{Kind: scenarios.BlockFace, Face: &scenarios.LessonFace{Lever: "Cell", Needle: loop.Needle{Code: 33}, Caption: "The cell position: the needle has passed the line."}}),
		block(scenarios.Block{Kind: scenarios.BlockReadings, Loop: l, Points: points}),
		block(scenarios.Block{Kind: scenarios.BlockChart, Loop: l, Points: points}),
		block(scenarios.Block{Kind: scenarios.BlockCaution, Caution: "before-test-lead"}),
		block(scenarios.Block{Kind: scenarios.BlockCheckYourself, Body: prose.ParsePlain("- What do you do when the needle lies on its stop?")}),
	}
}

// Form returns copy number of the sample course with n exercises.
func Form(purpose exercises.Purpose, number, n int) *exercises.Form {
	c := Course(n)
	f := &exercises.Form{
		Course: c, Purpose: purpose, Number: number, Version: "0.1",
		Code: "P7KX-Q2M" + strconv.Itoa(number%10), Seed: "20240517",
	}
	if purpose == exercises.Assessment {
		f.Code, f.Seed = "A3TD-9WV"+strconv.Itoa(number%10), ""
	}
	makers := []func(int64) exercises.Item{scaleIt, needle, fivePoint, whatNext, kinds}
	for i, e := range c.Exercises {
		f.Items = append(f.Items, exercises.Drawn{Exercise: e, Item: makers[i%len(makers)](int64(i / len(makers)))})
	}
	return f
}
