package ready

import (
	"slices"
	"testing"

	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/unit"
)

// kinds are loops of each kind that the steps tell apart.
var kinds = map[string]*scenarios.Loop{
	"wet leg":     {Kind: scenarios.Level, Input: unit.Range{Low: formula.Int(-20), High: formula.Int(-4)}},
	"dry leg":     {Kind: scenarios.Level, Input: unit.Range{Low: formula.Int(2), High: formula.Int(32)}},
	"open vessel": {Kind: scenarios.Level, Input: unit.Range{Low: formula.Int(0), High: formula.Int(40)}},
	"flow":        {Kind: scenarios.Flow, Input: unit.Range{Low: formula.Int(0), High: formula.Int(20)}},
	"temperature": {Kind: scenarios.Temperature, Input: unit.Range{Low: formula.Int(0), High: formula.Int(150)}},
}

// Whatever is shown of a job, its key has the pairs of the whole job and no
// other, so that no step that is not shown parts two that are; each pair has a
// reason to print, and each step its words.
func TestEachPairHasItsReason(t *testing.T) {
	for name, l := range kinds {
		for _, level := range []string{"easy", "usual", "hard"} {
			for _, task := range tasksOf(level, l) {
				sets := task.sets()
				if len(sets) == 0 {
					t.Errorf("%s, %s: nothing of %s can be asked with %v in it", level, name, task.id, task.core)
				}
				whole := task.relation()
				for _, set := range sets {
					steps := task.of(set)
					p := task.pairs(steps)
					all := map[[2]string]bool{}
					for _, q := range join(p.before, p.safety) {
						all[q] = true
						if !slices.ContainsFunc(task.rules, func(r rule) bool {
							return slices.Contains(r.first, q[0]) && slices.Contains(r.then, q[1]) && prompts.Entry("why."+r.why) != nil
						}) {
							t.Errorf("%s: no reason why %s comes before %s", task.id, q[0], q[1])
						}
					}
					all = closed(steps, all)
					for _, a := range steps {
						if prompts.Entry("step."+a) == nil {
							t.Errorf("%s: the step %q has no words", task.id, a)
						}
						for _, b := range steps {
							if want := whole.pre[task.at(b)]&(1<<task.at(a)) != 0; all[[2]string{a, b}] != want {
								t.Errorf("%s, %v: %s before %s is %v, of the whole job %v", task.id, steps, a, b, !want, want)
							}
						}
					}
				}
			}
		}
	}
}

// What nobody could defend is not asked for, and what section 8 of the trade
// notes says of safety is: the disputed pairs, one by one.
func TestDisputedPairs(t *testing.T) {
	const no, yes, safety = "free", "before", "before, for safety"
	for _, row := range []struct {
		job    *job
		a, b   string
		want   string
		reason string
	}{
		{&check, "permit", "told", no, "sites differ; both come before anything is changed"},
		{&check, "manual", "inhibit", no, "both before the loop is opened"},
		{&check, "told", "manual", safety, "the operator is told before a controller is put in manual"},
		{&check, "told", "inhibit", safety, "and before an inhibit is set"},
		{&check, "permit", "inhibit", safety, "inhibits are set under the permit"},
		{&check, "manual", "connect", safety, "the opened loop sends 0 mA"},
		{&check, "inhibit", "connect", safety, "manual stops no trip"},
		{&check, "zero", "cell", yes, "a mechanical zero shifts the cell check"},
		{&check, "zero", "connect", yes, "checks come before the leads go on"},
		{&check, "cell", "connect", yes, "checks come before the leads go on"},
		{&check, "zero", "permit", no, "the checker may be looked at in the workshop"},
		{&check, "leads", "zero", no, "leads are looked over at any time before they go on"},
		{&check, "record", "remove", no, "it may be written down with the checker out"},
		{&check, "remove", "restore", safety, "taking the checker out opens the loop again"},
		{&check, "restore", "auto", no, "sites differ"},
		{&dryOut, "low-shut", "equal-open", yes, "the card: no flow from leg to leg"},
		{&dryOut, "equal-open", "high-shut", yes, "the card: pressure of the high leg on both sides"},
		{&wetOut, "high-shut", "low-shut", no, "the equalising valve stays shut"},
		{&wetOut, "low-shut", "vent", safety, "the leg and the process come out"},
		{&wetIn, "equal-shut", "fill", yes, "the filling runs across"},
		{&wetIn, "fill", "low-open", yes, "an empty chamber takes the filling of the leg"},
		{&wetIn, "equal-shut", "high-open", yes, "a wet leg is never equalised through"},
		{&wetIn, "low-open", "high-open", no, "nobody can say why"},
		{&dryIn, "vent-shut", "high-open", safety, "the process comes out"},
		{&dryIn, "leaks", "low-open", no, "leaks may be looked for while both sides have the pressure of the high leg"},
	} {
		got := no
		r := row.job.relation()
		if r.pre[row.job.at(row.a)]&(1<<row.job.at(row.b)) != 0 {
			got = "after"
		}
		if r.pre[row.job.at(row.b)]&(1<<row.job.at(row.a)) != 0 {
			got = yes
			if closedSafety(row.job)[[2]string{row.a, row.b}] {
				got = safety
			}
		}
		if got != row.want {
			t.Errorf("%s: %s and %s: %s, want %s (%s)", row.job.id, row.a, row.b, got, row.want, row.reason)
		}
	}
	for _, j := range []*job{&wetOut, &wetIn} {
		if slices.Contains(j.steps, "equal-open") {
			t.Errorf("%s opens the equalising valve of a wet leg", j.id)
		}
	}
}

func closedSafety(j *job) map[[2]string]bool {
	of := map[[2]string]bool{}
	for _, p := range j.pairs(j.steps).safety {
		of[p] = true
	}
	return closed(j.steps, of)
}
