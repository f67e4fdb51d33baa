package ready

import "loopdrill/scenarios"

// job is something that is done in steps, as data. Its steps stand in one of
// their right orders. Texts are entries of prompts.md: "step.ID".
type job struct {
	id    string
	steps []string
	rules []rule
	slips []misplaced
}

// rule is a reason for which some steps come before others: each of first before
// each of then. What has no reason is not asked for: nothing else is in order.
// The text is the entry "why.WHY".
type rule struct {
	why         string
	first, then []string
	safe        bool // it keeps people safe
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

// Steps that are named together.
var (
	allowed  = []string{"permit"}
	telling  = []string{"told"}
	guards   = []string{"manual", "inhibit"}
	handback = []string{"restore", "auto"}
)

// guarded are the rules for what is done before the loop is disturbed for the
// first time by one of the steps: section 8 of our trade notes, common practice.
// Permit and telling have no order between them, nor have manual and inhibits:
// sites differ, and no harm comes of either.
func guarded(why string, disturbs ...string) []rule {
	return []rule{
		{"permit-first", allowed, append(guards[:2:2], disturbs...), true},
		{"told-first", telling, append(guards[:2:2], disturbs...), true},
		{why, guards, disturbs, true},
	}
}

// given back are the rules for the end of a job. Whether the inhibit comes off or
// the controller goes to automatic first is left to the site.
func givenBack() []rule {
	return []rule{
		{"seen-alive", []string{"live"}, handback, true},
		{"back-when-all", handback, []string{"back"}, false},
		{"sign-last", []string{"back"}, []string{"sign"}, false},
	}
}

// check: the checker goes into a live loop, is read, and comes out again.
var check = job{
	id: "check",
	steps: []string{"permit", "told", "manual", "inhibit", "zero", "cell", "leads", "lever", "connect", "tap", "read",
		"record", "remove", "live", "restore", "auto", "back", "sign"},
	rules: append(append(guarded("dead-signal", "connect", "remove"), givenBack()...), []rule{
		{"zero-shifts-cell", []string{"zero"}, []string{"cell"}, false},
		{"checked-first", []string{"zero", "cell"}, []string{"connect"}, false},
		{"sound-leads", []string{"leads"}, []string{"connect"}, true},
		{"lever-from-cell", []string{"cell"}, []string{"lever"}, false},
		{"ring-set", []string{"lever"}, []string{"tap"}, false},
		{"in-the-loop", []string{"connect"}, []string{"tap"}, false},
		{"tap-first", []string{"tap"}, []string{"read"}, false},
		{"read-to-record", []string{"read"}, []string{"record"}, false},
		{"read-in-place", []string{"read"}, []string{"remove"}, false},
		{"closed-again", []string{"remove"}, []string{"live"}, false},
		{"open-still", []string{"remove"}, handback, true},
		{"record-to-sign", []string{"record"}, []string{"sign"}, false},
	}...),
	slips: []misplaced{
		{"cell-before-zero", "cell checked before the mechanical zero", [][3]string{{"cell", before, "zero"}}},
		{"opened-before-manual", "loop opened before the controller is in manual", [][3]string{{"manual", after, "connect"}}},
		{"manual-stops-trips", "manual taken to stop the trips", [][3]string{{"inhibit", after, "connect"}}},
		{"told-late", "operator told afterwards", [][3]string{{"told", after, "connect"}}},
		{"inhibited-untold", "inhibit set before the operator is told", [][3]string{{"told", after, "inhibit"}}},
		{"permit-late", "begun before the permit", [][3]string{{"permit", after, "connect"}}},
		{"held-at-once", "trigger held before it is tapped", [][3]string{{"tap", after, "read"}}},
		{"checked-late", "mechanical zero and cell looked at when the checker is in", [][3]string{{"zero", after, "connect"}, {"cell", after, "zero"}}},
		{"cell-late", "cell looked at when the checker is in", [][3]string{{"cell", after, "connect"}}},
		{"leads-late", "test leads looked over when they are in the loop", [][3]string{{"leads", after, "connect"}}},
		{"left-at-cell", "lever set, and then turned to Cell", [][3]string{{"lever", before, "cell"}}},
		{"auto-early", "back to automatic before the loop is closed", [][3]string{{"auto", before, "remove"}}},
		{"armed-early", "inhibits taken off before the loop is closed", [][3]string{{"restore", before, "remove"}}},
		{"armed-unseen", "inhibits taken off before the signal is seen to be back", [][3]string{{"restore", before, "live"}}},
		{"signed-early", "signed before the operator knows", [][3]string{{"sign", before, "back"}}},
	},
}

// opening are the rules before anything is opened to the air.
var opening = []rule{
	{"isolate-first", []string{"high-shut", "low-shut"}, []string{"vent", "undo"}, true},
	{"vent-to-prove", []string{"vent"}, []string{"prove"}, true},
	{"prove-first", []string{"prove"}, []string{"undo"}, true},
}

// dryOut: a transmitter with a dry leg, or with both legs from one line, is
// taken out. Sites and makers differ about the order of the three valves (some
// equalise first), so the plant's card is printed, and decides.
var dryOut = job{
	id:    "dry-out",
	steps: []string{"permit", "told", "manual", "inhibit", "low-shut", "equal-open", "high-shut", "vent", "prove", "undo"},
	rules: append(append(guarded("false-signal", "low-shut", "equal-open", "high-shut"), opening...), []rule{
		{"no-flow-out", []string{"low-shut"}, []string{"equal-open"}, false},
		{"high-on-both", []string{"equal-open"}, []string{"high-shut"}, false},
	}...),
	slips: append(outSlips("low-shut", "high-shut"),
		misplaced{"equalised-first", "equalised first", [][3]string{{"equal-open", before, "low-shut"}}},
		misplaced{"high-first", "high block shut first", [][3]string{{"high-shut", before, "low-shut"}}},
		misplaced{"blocked-then-equalised", "both blocks shut, then equalised", [][3]string{{"equal-open", after, "high-shut"}}}),
}

// wetOut: the same with a filled low leg. The equalising valve is not touched: a
// wet leg is never equalised through.
var wetOut = job{
	id:    "wet-out",
	steps: []string{"permit", "told", "manual", "inhibit", "high-shut", "low-shut", "vent", "prove", "undo"},
	rules: append(guarded("false-signal", "low-shut", "high-shut"), opening...),
	slips: outSlips("high-shut", "low-shut"),
}

// outSlips are those about taking out; first and last are the blocks as they
// are shut.
func outSlips(first, last string) []misplaced {
	return []misplaced{
		{"valve-before-manual", "valve shut before the controller is in manual", [][3]string{{"manual", after, first}}},
		{"manual-stops-trips-valve", "manual taken to stop the trips", [][3]string{{"inhibit", after, first}}},
		{"told-late-valve", "operator told afterwards", [][3]string{{"told", after, last}}},
		{"inhibited-untold", "inhibit set before the operator is told", [][3]string{{"told", after, "inhibit"}}},
		{"permit-late-valve", "begun before the permit", [][3]string{{"permit", after, first}}},
		{"vented-early", "vented with a block valve open", [][3]string{{"vent", before, last}}},
		{"undone-unproved", "line undone before it is proved empty", [][3]string{{"undo", before, "prove"}}},
	}
}

// tight: what must be closed to the air before a block valve is opened.
var tight = rule{"tight-first", []string{"fit", "vent-shut"}, []string{"low-open", "high-open"}, true}

// dryIn: back into service with a dry leg.
var dryIn = job{
	id:    "dry-in",
	steps: []string{"fit", "vent-shut", "equal-open", "high-open", "equal-shut", "low-open", "leaks", "live", "restore", "auto", "back", "sign"},
	rules: append(givenBack(), []rule{
		tight,
		{"both-sides", []string{"equal-open"}, []string{"high-open"}, false},
		{"equal-until", []string{"high-open"}, []string{"equal-shut"}, false},
		{"no-flow-in", []string{"equal-shut"}, []string{"low-open"}, false},
		{"leaks-under-pressure", []string{"high-open"}, []string{"leaks"}, false},
		{"leaks-before-back", []string{"leaks"}, handback, false},
		{"valves-to-live", []string{"low-open"}, []string{"live"}, false},
		{"valves-to-back", []string{"low-open", "equal-shut", "high-open"}, handback, true},
	}...),
	slips: append(inSlips("high-open", "low-open"),
		misplaced{"signed-early", "signed before the operator knows", [][3]string{{"sign", before, "back"}}},
		misplaced{"equalising-last", "equalising valve shut last", [][3]string{{"equal-shut", after, "low-open"}}},
		misplaced{"one-sided", "equalising valve shut before pressure comes on", [][3]string{{"equal-shut", before, "high-open"}}},
		misplaced{"low-first", "low block opened first", [][3]string{{"low-open", before, "high-open"}}}),
}

// wetIn: back into service with a wet leg. The leg is full, the chamber below
// its block valve is not: it is filled before it is joined to the leg.
var wetIn = job{
	id:    "wet-in",
	steps: []string{"fit", "equal-shut", "fill", "vent-shut", "low-open", "high-open", "leaks", "live", "restore", "auto", "back", "sign"},
	rules: append(givenBack(), []rule{
		tight,
		{"fit-to-fill", []string{"fit"}, []string{"fill"}, false},
		{"shut-to-fill", []string{"equal-shut"}, []string{"fill", "low-open", "high-open"}, false},
		{"air-out", []string{"fill"}, []string{"vent-shut"}, false},
		{"full-first", []string{"fill"}, []string{"low-open"}, false},
		{"leaks-both", []string{"low-open", "high-open"}, []string{"leaks"}, false},
		{"leaks-before-back", []string{"leaks"}, handback, false},
		{"blocks-to-live", []string{"low-open", "high-open"}, []string{"live"}, false},
		{"blocks-to-back", []string{"low-open", "high-open", "equal-shut"}, handback, true},
	}...),
	slips: append(inSlips("low-open", "high-open"),
		misplaced{"wet-leg-equalised", "blocks opened with the equalising valve open: a wet leg equalised through", [][3]string{{"equal-shut", after, "high-open"}}},
		misplaced{"filled-across", "low chamber filled with the equalising valve open", [][3]string{{"equal-shut", after, "fill"}}},
		misplaced{"leg-run-out", "wet leg opened to an empty chamber", [][3]string{{"fill", after, "low-open"}}},
		misplaced{"air-shut-in", "vents shut before the chamber is filled", [][3]string{{"vent-shut", before, "fill"}}}),
}

// inSlips are those about putting back; first and last are the blocks as they
// are opened.
func inSlips(first, last string) []misplaced {
	return []misplaced{
		{"vent-left-open", "block valve opened with a vent open", [][3]string{{"vent-shut", after, first}}},
		{"fitted-late", "block valve opened before the fittings are made up", [][3]string{{"fit", after, first}}},
		{"auto-before-valves", "back to automatic before the transmitter sees the process", [][3]string{{"auto", before, last}}},
		{"armed-before-valves", "inhibits taken off before the transmitter sees the process", [][3]string{{"restore", before, last}}},
		{"armed-unseen", "inhibits taken off before the signal is seen to be back", [][3]string{{"restore", before, "live"}}},
		{"leaks-late", "leaks looked for when the loop is back", [][3]string{{"leaks", after, "auto"}}},
	}
}

// task is a job of which some steps are asked for, and the cautions that go with
// it.
type task struct {
	*job
	shown    int      // number of steps
	core     []string // always among them
	cautions []string
	asked    []uint // the sets of steps that can be shown, once it is prepared
}

var (
	checkCautions = []string{"practice-figures", "before-test-lead", "open-loop", "back-in-service", "intrinsic-safety", "cell-outside"}
	outCautions   = []string{"practice-figures", "before-test-lead", "manifold", "vent-and-isolate"}
	inCautions    = []string{"practice-figures", "manifold", "vent-and-isolate", "back-in-service"}
)

// tasksOf lists what can be asked about a loop. A level whose range begins below
// 0 is taken to have a wet leg, one whose range begins above 0 a dry leg; flows
// have both legs from their line. A level that begins at 0 may stand in an open
// vessel, with no low leg at all, and is not asked about.
func tasksOf(level string, l *scenarios.Loop) []task {
	front := []string{"zero", "cell", "connect"}
	if level == "easy" {
		return []task{{job: &check, shown: 6, core: front, cautions: checkCautions}}
	}
	n := 7
	if level == "hard" {
		n = 9
	}
	into := task{job: &check, shown: n, core: front, cautions: checkCautions}
	out := task{job: &check, shown: n, core: []string{"remove", "restore", "auto"}, cautions: checkCautions}
	valves := []string{"low-open", "high-open"}
	switch {
	case l.Kind == scenarios.Level && l.Input.Low.Sign() < 0:
		wet := func(c []string) []string { return append(c[:len(c):len(c)], "wet-leg") }
		return []task{{job: &wetOut, shown: n, core: []string{"low-shut", "high-shut"}, cautions: wet(outCautions)}, {job: &wetIn, shown: n, core: append(valves, "equal-shut", "fill"), cautions: wet(inCautions)}, into, out}
	case l.Kind == scenarios.Level && l.Input.Low.Sign() > 0 || l.Kind == scenarios.Flow:
		return []task{{job: &dryOut, shown: n, core: []string{"low-shut", "equal-open", "high-shut"}, cautions: outCautions}, {job: &dryIn, shown: n, core: append(valves, "equal-shut"), cautions: inCautions}, into, out}
	}
	return []task{into, out}
}
