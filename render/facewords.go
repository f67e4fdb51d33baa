package render

import (
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/loop"
)

// FaceWords says where the needle stands in the geometry of the face alone,
// counted outwards from the centre:
//
//	needle on the centre mark
//	needle two small marks right of centre
//	needle on the second division mark left of centre
//	needle three small marks left of the second division mark left of centre
//	needle resting on its right stop
//
// In the cell position it adds where the cell line is. It never gives a unit or
// a percentage and never judges (no "low", no "high"): what the position means
// is for the apprentice to say.
func FaceWords(f exercises.Face) string {
	perDiv := max(1, f.Design.SmallPerDiv)
	var b strings.Builder
	b.WriteString("needle ")
	stop := max(1, f.Design.Divisions) * perDiv
	switch n := f.Needle; {
	case n.Stop == loop.LeftStop || n.Code < -stop:
		b.WriteString("resting on its left stop")
	case n.Stop == loop.RightStop || n.Code > stop:
		b.WriteString("resting on its right stop")
	default:
		writeMark(&b, n.Code, perDiv)
	}
	if f.CellLine && f.Lever == "Cell" {
		b.WriteString("; cell line ")
		writeMark(&b, f.Design.CellLineSmall, perDiv)
	}
	return b.String()
}

// writeMark says where a small mark lies.
func writeMark(b *strings.Builder, code, perDiv int) {
	side := "right"
	if code < 0 {
		side, code = "left", -code
	}
	division, small := code/perDiv, code%perDiv
	switch {
	case code == 0:
		b.WriteString("on the centre mark")
		return
	case small == 0:
		b.WriteString("on the ")
	default:
		b.WriteString(cardinal(small))
		if small == 1 {
			b.WriteString(" small mark ")
		} else {
			b.WriteString(" small marks ")
		}
		b.WriteString(side)
		b.WriteString(" of ")
		if division > 0 {
			b.WriteString("the ")
		}
	}
	if division > 0 {
		b.WriteString(ordinal(division))
		b.WriteString(" division mark ")
		b.WriteString(side)
		b.WriteString(" of ")
	}
	b.WriteString("centre")
}

var cardinals = []string{"no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"}

var ordinals = []string{"", "first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth",
	"eleventh", "twelfth", "thirteenth", "fourteenth", "fifteenth", "sixteenth", "seventeenth", "eighteenth", "nineteenth", "twentieth"}

// cardinal is a count in words up to ten, in digits beyond.
func cardinal(n int) string {
	if n < len(cardinals) {
		return cardinals[n]
	}
	return strconv.Itoa(n)
}

// ordinal is a rank in words up to twenty, in digits beyond.
func ordinal(n int) string {
	if n < len(ordinals) {
		return ordinals[n]
	}
	switch {
	case n%100 >= 11 && n%100 <= 13:
	case n%10 == 1:
		return strconv.Itoa(n) + "st"
	case n%10 == 2:
		return strconv.Itoa(n) + "nd"
	case n%10 == 3:
		return strconv.Itoa(n) + "rd"
	}
	return strconv.Itoa(n) + "th"
}
