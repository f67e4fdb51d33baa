package scenarios

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
)

// lessonBlock reads the block of ours between the fences at lines from and to.
// It gives nil where something was wrong with it.
func (f *file) lessonBlock(from, to int, kind BlockKind, argument string) *Block {
	b := &Block{Kind: kind, Line: f.skip + from + 1}
	body := f.body(from+1, to)
	blank := strings.TrimSpace(body.text) == ""
	for _, k := range lessonBlocks {
		if k.Kind != kind {
			continue
		}
		ok := true
		switch {
		case k.Argument == "" && argument != "":
			f.err(RuleLessonBlock, f.line(from), fmt.Sprintf("a %s block takes nothing else in its first line, but here stands %q", kind, shorten(argument)), "put it into the body of the block")
			ok = false
		case k.Argument != "" && argument == "":
			f.err(RuleLessonBlock, f.line(from), fmt.Sprintf("a %s block needs %s in its first line", kind, k.Argument), "such as "+strconv.Quote(strings.Split(k.Example, "\n")[0]))
			ok = false
		}
		switch {
		case k.Body == NoBody && !blank:
			f.err(RuleLessonBlock, f.line(from+1), fmt.Sprintf("a %s block has no body", kind), "leave the block empty; the words come from the list of cautions")
			ok = false
		case (k.Body == MarkdownBody || k.Body == YAMLBody) && blank:
			f.err(RuleLessonBlock, f.line(from), fmt.Sprintf("this %s block is empty", kind), fmt.Sprintf("write its words between the fences, such as %q", strings.Split(k.Example, "\n")[1]))
			ok = false
		}
		if k.Body == MarkdownBody && f.nested(from+1, to) {
			ok = false
		}
		if !ok {
			return nil
		}
	}
	switch kind {
	case BlockGoals, BlockCheckYourself:
		b.Body = f.markdown(from+1, to)
		if !hasList(b.Body) {
			f.warn(RuleLessonBlock, f.line(from), fmt.Sprintf("a %s block should hold a list", kind), "begin each item with \"- \"")
		}
	case BlockExample:
		b.Body, b.Title = f.markdown(from+1, to), prose.Text{Doc: prose.ParsePlain(argument)}.Plain()
	case BlockCaution:
		b.Caution = argument
		if _, ok := Caution(argument); !ok {
			f.err(RuleUnknownName, f.argument(from, argument), fmt.Sprintf("there is no caution %q", shorten(argument)), diag.Hint(argument, "cautions", CautionIDs()))
			return nil
		}
	case BlockFace:
		if b.Face = body.face(); b.Face == nil {
			return nil
		}
	case BlockFormula:
		return f.formulaBlock(b, body, blank, from, argument)
	case BlockReadings, BlockChart:
		if !body.points(b) {
			return nil
		}
	}
	return b
}

// argument is the place of the words behind the name of a block.
func (f *file) argument(i int, argument string) diag.Place {
	at := f.line(i)
	if k := strings.LastIndex(f.lines[i], argument); k > 0 {
		at.Column, at.Width = utf8.RuneCountInString(f.lines[i][:k])+1, max(1, utf8.RuneCountInString(argument))
	}
	return at
}

// nested reports a block of ours inside another, which would end at the wrong
// fence.
func (f *file) nested(from, to int) bool {
	for i := from; i < to; i++ {
		if m := fenceLine.FindStringSubmatch(f.lines[i]); m != nil && m[3] != "" {
			word, _, _ := strings.Cut(m[3], " ")
			f.err(RuleLessonBlock, f.line(i), fmt.Sprintf("a block (%s) begins inside a block", shorten(word)), "close the first block before it; blocks do not nest")
			return true
		}
	}
	return false
}

func hasList(d *prose.Doc) bool {
	for n := d.Root.FirstChild(); n != nil; n = n.NextSibling() {
		if n.Kind().String() == "List" {
			return true
		}
	}
	return false
}

func (f *file) formulaBlock(b *Block, body *file, blank bool, from int, argument string) *Block {
	var names []string
	var form *LessonFormula
	for i := range lessonFormulas {
		names = append(names, lessonFormulas[i].Name)
		if lessonFormulas[i].Name == argument {
			form = &lessonFormulas[i]
		}
	}
	if form == nil {
		f.err(RuleLessonFormula, f.argument(from, argument), fmt.Sprintf("there is no formula %q", shorten(argument)), diag.Hint(argument, "formulas", names))
		return nil
	}
	b.Formula = argument
	if blank {
		return b
	}
	n := body.yaml("\"loop: TAG\", or nothing")
	if n == nil {
		return nil
	}
	k := body.block(n, FormulaKeys, "the body of a formula block")
	if k == nil {
		return nil
	}
	if v := k.get("loop"); v.ok {
		l := f.r.findLoop(body, v)
		if l == nil {
			return nil
		}
		b.Loop = l.Loop
		if form.fits != nil {
			if why := form.fits(l.Loop); why != "" {
				f.err(RuleLessonFormula, v.at(), fmt.Sprintf("%s %s", l.Tag, why), "")
				return nil
			}
		}
	}
	return b
}

var needleForm = regexp.MustCompile(`^([0-9]{1,4}) +(left|right)$`)

// face reads the body of a face block.
func (f *file) face() *LessonFace {
	n := f.yaml("the keys of a face")
	if n == nil {
		return nil
	}
	b := f.block(n, FaceKeys, "the body of a face block")
	if b == nil {
		return nil
	}
	lever, ring, needle := b.get("lever"), b.get("ring"), b.get("needle")
	out := &LessonFace{Lever: lever.text, Caption: b.get("caption").text}
	if ring.ok {
		out.Ring = f.wholeNumber(ring, "%")
	}
	if lever.ok {
		uses := lever.text == "Current" || lever.text == "Voltage" || lever.text == "Send"
		switch {
		case uses && ring.n == nil:
			f.err(RuleLessonFace, lever.at(), fmt.Sprintf("with the lever at %s the point of the ring matters, but there is no \"ring\"", lever.text), "add \"ring: 50 %\"")
		case !uses && ring.n != nil:
			f.warn(RuleLessonFace, ring.at(), fmt.Sprintf("with the lever at %s the ring has no effect", lever.text), "leave \"ring\" out")
		}
	}
	if !needle.ok || !lever.ok {
		return nil
	}
	stop := 50
	if len(f.r.plants) > 0 && f.r.plants[0].Checker.Face.Stop() > 0 {
		stop = f.r.plants[0].Checker.Face.Stop()
	}
	switch needle.text {
	case "left stop":
		out.Needle = loop.Needle{Code: -stop, Stop: loop.LeftStop}
	case "right stop":
		out.Needle = loop.Needle{Code: stop, Stop: loop.RightStop}
	default:
		out.Needle.Code = needle.whole
		if needle.whole >= stop || needle.whole <= -stop {
			side := "right"
			if needle.whole < 0 {
				side = "left"
			}
			f.err(RuleLessonFace, needle.at(), fmt.Sprintf("the needle has %d small marks to each side and lies on its stop there; %q is too far", stop, needle.text), fmt.Sprintf("write \"%s stop\"", side))
			return nil
		}
	}
	return out
}

// position reads where a needle stands into whole, in small marks right of the
// centre.
func (v *value) position(s string) *trouble {
	s = strings.Join(strings.Fields(s), " ")
	v.text = s
	switch s {
	case "0", "left stop", "right stop":
		return nil
	}
	m := needleForm.FindStringSubmatch(s)
	if m == nil {
		hint := `write "13 left", "0", "7 right", "left stop" or "right stop"`
		if n, err := strconv.Atoi(s); err == nil && n > -1000 && n < 1000 {
			hint = fmt.Sprintf("say to which side: %q", fmt.Sprintf("%d %s", max(n, -n), map[bool]string{true: "left", false: "right"}[n < 0]))
		}
		return &trouble{RuleLessonFace, fmt.Sprintf("%q is no position of a needle", shorten(s)), hint}
	}
	v.whole, _ = strconv.Atoi(m[1])
	if m[2] == "left" {
		v.whole = -v.whole
	}
	return nil
}

// shownSignal finds the signal in which a table shows outputs.
func (f *file) shownSignal(b *Block, v *value) bool {
	b.Signal = signal.Current
	if b.Loop != nil {
		b.Signal = b.Loop.Signal
	}
	if v.n == nil || !v.ok {
		return v.n == nil
	}
	if b.Kind == BlockChart {
		f.warn(RuleLessonPoints, v.at(), "an error chart shows percent of span, so a signal changes nothing in it", "leave \"signal\" out")
		return true
	}
	if l := b.Loop; l != nil && v.text != l.Signal.Name && !(l.Signal.Name == "4-20 mA" && v.text == "1-5 V") {
		f.err(RuleLessonPoints, v.at(), fmt.Sprintf("%s has the signal %s, and nothing in it is read as %s", l.Tag, l.Signal.Name, v.text), "leave \"signal\" or \"loop\" out")
		return false
	}
	b.Signal, _ = signal.Named(v.text)
	return true
}

// points reads the body of a readings or chart block.
func (f *file) points(b *Block) bool {
	n := f.yaml("the points")
	if n == nil {
		return false
	}
	k := f.block(n, PointsKeys, fmt.Sprintf("the body of a %s block", b.Kind))
	if k == nil {
		return false
	}
	ok := true
	if v := k.get("loop"); v.ok {
		l := f.r.findLoop(f, v)
		if l == nil {
			ok = false
		} else {
			b.Loop = l.Loop
		}
	}
	ok = f.shownSignal(b, k.get("signal")) && ok
	list := k.get("points")
	last := formula.Int(-1)
	for _, v := range list.list {
		if !v.ok || !v.block.allOK("input", "error") {
			ok = false
			continue
		}
		input := v.block.get("input")
		f.wholeNumber(input, "%")
		if b.Kind == BlockChart && input.quantity.V.Sub(last).Sign() <= 0 {
			f.err(RuleLessonPoints, input.at(), fmt.Sprintf("the input %s does not lie above that of the point before", input.quantity), "give the points of a chart in order of their input, each once")
			ok = false
		}
		last = input.quantity.V
		b.Points = append(b.Points, LessonPoint{Input: input.quantity.V, Error: v.block.get("error").quantity.V})
	}
	if list.ok && b.Kind == BlockChart && len(list.list) < 2 {
		f.err(RuleLessonPoints, f.at(list.name), "a chart of one point shows no line", "give at least two points")
		ok = false
	}
	if len(list.list) > 21 {
		f.err(RuleLessonPoints, f.at(list.name), fmt.Sprintf("%d points are too many for a table on paper", len(list.list)), "give at most 21")
		ok = false
	}
	return ok && list.ok && len(b.Points) > 0
}
