package ready

import "loopdrill/scenarios"

// job is something that is done in steps, as data. Its steps stand in one of
// their right orders. Texts are entries of prompts.md: "step.ID".
type job struct {
	id     string
	steps  []string
	core   []string    // always among those shown
	before [][2]string // what must come first, for the reason that "work.order-ID" gives
	safety [][2]string // the same, where it keeps people safe
	slips  []misplaced
}

// misplaced is a misconception about an order: where it puts which step. It
// shows where all steps that it names are among those shown.
type misplaced struct {
	id, name string
	moves    [][3]string // step, "before" or "after", step
}

const (
	before = "before"
	after  = "after"
)

// safely lists the pairs in which permit, operator, manual and inhibits come
// before the first thing that disturbs the loop. Manual stops no trip, and
// inhibits are set under the permit.
func safely(first ...string) [][2]string {
	var out [][2]string
	for _, duty := range []string{"permit", "told", "manual", "inhibit"} {
		for _, f := range first {
			out = append(out, [2]string{duty, f})
		}
	}
	return out
}

// duties are the pairs among them: who puts the controller in manual must have
// been told; inhibits belong to the permit.
var duties = [][2]string{{"permit", "inhibit"}, {"told", "manual"}}

// closing are the pairs when a loop goes back: nothing is armed or automatic
// before the loop is whole again (last), it is told when all of it is so, and
// signed at the end.
func closing(last ...string) (before, safety [][2]string) {
	before = [][2]string{{"restore", "back"}, {"auto", "back"}, {"back", "sign"}}
	for _, l := range last {
		safety = append(safety, [2]string{l, "restore"}, [2]string{l, "auto"})
	}
	return before, safety
}

var checkerClosing, checkerClosingSafety = closing("remove")

// check: the checker goes into a live loop, is read, and comes out again.
var check = job{
	id: "check",
	steps: []string{"permit", "told", "manual", "inhibit", "zero", "cell", "leads", "lever", "connect", "tap", "read",
		"record", "remove", "restore", "auto", "back", "sign"},
	core: []string{"zero", "cell", "connect", "manual"},
	before: join(duties, checkerClosing, [][2]string{
		{"zero", "cell"}, {"cell", "tap"}, {"leads", "connect"}, {"lever", "tap"}, {"connect", "tap"}, {"tap", "read"},
		{"read", "record"}, {"read", "remove"}, {"record", "sign"},
	}),
	safety: join(safely("connect"), checkerClosingSafety),
	slips: []misplaced{
		{"cell-before-zero", "cell checked before the mechanical zero", [][3]string{{"cell", before, "zero"}}},
		{"opened-before-manual", "loop opened before the controller is in manual", [][3]string{{"manual", after, "connect"}}},
		{"manual-stops-trips", "manual taken to stop the trips", [][3]string{{"inhibit", after, "connect"}}},
		{"told-late", "operator told afterwards", [][3]string{{"told", after, "connect"}}},
		{"permit-late", "begun before the permit", [][3]string{{"permit", after, "connect"}}},
		{"held-at-once", "trigger held before it is tapped", [][3]string{{"tap", after, "read"}}},
		{"checked-late", "mechanical zero and cell looked at after the reading", [][3]string{{"zero", after, "read"}, {"cell", after, "zero"}}},
		{"zero-late", "mechanical zero looked at after the first tap", [][3]string{{"zero", after, "tap"}, {"cell", after, "zero"}}},
		{"leads-late", "test leads looked over when they are in the loop", [][3]string{{"leads", after, "connect"}}},
		{"auto-early", "back to automatic before the loop is closed", [][3]string{{"auto", before, "remove"}}},
		{"armed-early", "inhibits taken off before the loop is closed", [][3]string{{"restore", before, "remove"}}},
		{"signed-early", "signed before the loop is back", [][3]string{{"sign", before, "back"}}},
	},
}

// dryOut: a transmitter with a dry leg, or with both legs from one line, is
// taken out. The order of the three valves is common practice for three-valve
// manifolds, no single source; the card that is printed gives its reasons.
var dryOut = job{
	id:    "dry-out",
	steps: []string{"permit", "told", "manual", "inhibit", "low-shut", "equal-open", "high-shut", "vent", "prove", "undo"},
	core:  []string{"low-shut", "equal-open", "high-shut"},
	before: join(duties, [][2]string{
		{"low-shut", "equal-open"}, {"equal-open", "high-shut"},
	}),
	safety: join(safely("low-shut", "equal-open"), [][2]string{{"high-shut", "vent"}, {"vent", "prove"}, {"prove", "undo"}, {"vent", "undo"}}),
	slips: append(outSlips("low-shut", "high-shut"),
		misplaced{"equalised-first", "equalised first", [][3]string{{"equal-open", before, "low-shut"}}},
		misplaced{"high-first", "high block shut first", [][3]string{{"high-shut", before, "low-shut"}}},
		misplaced{"blocked-then-equalised", "both blocks shut, then equalised", [][3]string{{"equal-open", after, "high-shut"}}}),
}

// wetOut: the same with a filled low leg.
var wetOut = job{
	id:    "wet-out",
	steps: []string{"permit", "told", "manual", "inhibit", "high-shut", "low-shut", "equal-open", "vent", "prove", "undo"},
	core:  []string{"low-shut", "equal-open", "high-shut"},
	before: join(duties, [][2]string{
		{"low-shut", "equal-open"}, {"high-shut", "equal-open"},
	}),
	safety: join(safely("low-shut", "high-shut", "equal-open"),
		[][2]string{{"high-shut", "vent"}, {"low-shut", "vent"}, {"vent", "prove"}, {"prove", "undo"}, {"vent", "undo"}}),
	slips: append(outSlips("high-shut", "low-shut"),
		misplaced{"equalised-first", "equalised first", [][3]string{{"equal-open", before, "high-shut"}}},
		misplaced{"wet-leg-equalised", "a wet leg equalised as a dry one", [][3]string{{"low-shut", before, "high-shut"}, {"equal-open", before, "high-shut"}}},
		misplaced{"leg-left-open", "equalised with the wet leg still open", [][3]string{{"equal-open", before, "low-shut"}}}),
}

// outSlips are those about taking out; first and last are the blocks as they
// are shut.
func outSlips(first, last string) []misplaced {
	return []misplaced{
		{"valve-before-manual", "valve shut before the controller is in manual", [][3]string{{"manual", after, first}}},
		{"manual-stops-trips-valve", "manual taken to stop the trips", [][3]string{{"inhibit", after, first}}},
		{"told-late-valve", "operator told afterwards", [][3]string{{"told", after, last}}},
		{"permit-late-valve", "begun before the permit", [][3]string{{"permit", after, first}}},
		{"vented-early", "vented with a block valve open", [][3]string{{"vent", before, last}}},
		{"undone-unproved", "line undone before it is proved empty", [][3]string{{"undo", before, "prove"}}},
	}
}

var backClosing, backClosingSafety = closing("low-open", "high-open")

// pressureOn: what must be tight before a block valve is opened.
var pressureOn = [][2]string{{"fit", "high-open"}, {"fit", "low-open"}, {"vent-shut", "high-open"}, {"vent-shut", "low-open"}}

// dryIn: back into service with a dry leg.
var dryIn = job{
	id:    "dry-in",
	steps: []string{"fit", "vent-shut", "equal-open", "high-open", "equal-shut", "low-open", "leaks", "restore", "auto", "back", "sign"},
	core:  []string{"high-open", "equal-shut", "low-open"},
	before: join(backClosing, [][2]string{
		{"equal-open", "high-open"}, {"high-open", "equal-shut"}, {"equal-shut", "low-open"}, {"low-open", "leaks"}, {"leaks", "back"},
	}),
	safety: join(pressureOn, backClosingSafety),
	slips: append(inSlips("high-open", "low-open"),
		misplaced{"equalising-last", "equalising valve shut last", [][3]string{{"equal-shut", after, "low-open"}}},
		misplaced{"one-sided", "equalising valve shut before pressure comes on", [][3]string{{"equal-shut", before, "high-open"}}},
		misplaced{"low-first", "low block opened first", [][3]string{{"low-open", before, "high-open"}}}),
}

// wetIn: back into service with a wet leg.
var wetIn = job{
	id:    "wet-in",
	steps: []string{"fit", "vent-shut", "equal-shut", "low-open", "high-open", "leaks", "restore", "auto", "back", "sign"},
	core:  []string{"high-open", "equal-shut", "low-open"},
	before: join(backClosing, [][2]string{
		{"equal-shut", "low-open"}, {"equal-shut", "high-open"}, {"low-open", "leaks"}, {"high-open", "leaks"}, {"leaks", "back"},
	}),
	safety: join(pressureOn, backClosingSafety),
	slips: append(inSlips("low-open", "high-open"),
		misplaced{"equalising-last", "equalising valve shut last", [][3]string{{"equal-shut", after, "high-open"}}},
		misplaced{"dry-way", "opened as with a dry leg", [][3]string{{"high-open", before, "equal-shut"}}},
		misplaced{"leg-opened-first", "wet leg opened before the equalising valve is shut", [][3]string{{"low-open", before, "equal-shut"}}}),
}

// inSlips are those about putting back; first and last are the blocks as they
// are opened.
func inSlips(first, last string) []misplaced {
	return []misplaced{
		{"vent-left-open", "block valve opened with the vent open", [][3]string{{"vent-shut", after, first}}},
		{"fitted-late", "block valve opened before the line is made up", [][3]string{{"fit", after, first}}},
		{"auto-before-valves", "back to automatic before the transmitter sees the process", [][3]string{{"auto", before, last}}},
		{"armed-before-valves", "inhibits taken off before the transmitter sees the process", [][3]string{{"restore", before, last}}},
		{"signed-early", "signed before the loop is back", [][3]string{{"sign", before, "back"}}},
	}
}

func join(lists ...[][2]string) [][2]string {
	var out [][2]string
	for _, l := range lists {
		out = append(out, l...)
	}
	return out
}

// task is a job with the number of steps shown, and the cautions that go with
// it.
type task struct {
	*job
	shown    int
	upTo     string // the last step that may be shown; empty: all
	cautions []string
}

var (
	checkCautions = []string{"practice-figures", "before-test-lead", "open-loop", "back-in-service", "intrinsic-safety"}
	outCautions   = []string{"practice-figures", "before-test-lead", "manifold", "vent-and-isolate"}
	inCautions    = []string{"practice-figures", "manifold", "vent-and-isolate", "back-in-service"}
)

// tasksOf lists what can be asked about a loop. Levels and flows have a
// manifold; a level whose range begins below 0 is taken to have a wet leg.
func tasksOf(level string, l *scenarios.Loop) []task {
	if level == "easy" {
		return []task{{&check, 6, "record", checkCautions}}
	}
	n := 7
	if level == "hard" {
		n = 9
	}
	whole := task{&check, n, "", checkCautions}
	switch {
	case l.Kind == scenarios.Level && l.Input.Low.Sign() < 0:
		wet := func(c []string) []string { return append(c[:len(c):len(c)], "wet-leg") }
		return []task{{&wetOut, n, "", wet(outCautions)}, {&wetIn, n, "", wet(inCautions)}, whole}
	case l.Kind == scenarios.Level || l.Kind == scenarios.Flow:
		return []task{{&dryOut, n, "", outCautions}, {&dryIn, n, "", inCautions}, whole}
	}
	return []task{whole}
}
