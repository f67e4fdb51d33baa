package ready

import (
	"math/bits"
	"slices"
	"sync"
)

// relation is which steps of a job must come before which, all that follows
// from its rules: pre[i] is the set of the steps before step i, post[i] of those
// after it, bits in the order of job.steps.
type relation struct{ pre, post []uint }

func (j *job) relation() relation {
	n := len(j.steps)
	r := relation{make([]uint, n), make([]uint, n)}
	for _, u := range j.rules {
		for _, a := range u.first {
			for _, b := range u.then {
				r.pre[j.at(b)] |= 1 << j.at(a)
			}
		}
	}
	for mid := range n {
		for b := range n {
			if r.pre[b]&(1<<mid) != 0 {
				r.pre[b] |= r.pre[mid]
			}
		}
	}
	for b := range n {
		for a := range n {
			if r.pre[b]&(1<<a) != 0 {
				r.post[a] |= 1 << b
			}
		}
	}
	return r
}

func (j *job) at(step string) int { return slices.Index(j.steps, step) }

// most is the largest share of all orders of the steps shown that may be right:
// an order that hardly any rule holds is no question.
const most = 1.0 / 8

// leastSlips is how many misconceptions must show among the steps of a question.
const leastSlips = 3

// choice is what can be asked: the sets of steps of some task.
type choice struct {
	job   *job
	shown int
	core  string
}

var (
	setsLock  sync.Mutex
	setsKnown = map[choice][]uint{}
)

// sets lists the sets of steps that a task can show, always in the same order.
// A step that lies between two of them is among them: what is asked for is then
// the job's rules and nothing that a step not shown would add.
func (t *task) sets() []uint {
	key := choice{t.job, t.shown, ""}
	for _, c := range t.core {
		key.core += c + " "
	}
	setsLock.Lock()
	defer setsLock.Unlock()
	if s, ok := setsKnown[key]; ok {
		return s
	}
	r := t.relation()
	var core uint
	for _, c := range t.core {
		core |= 1 << t.at(c)
	}
	out := []uint{}
	for set := uint(0); set < 1<<len(t.steps); set++ {
		if set&core != core || bits.OnesCount(set) != t.shown || !r.convex(set) {
			continue
		}
		steps := t.of(set)
		slips := 0
		for _, m := range t.slips {
			if _, ok := m.put(steps); ok {
				slips++
			}
		}
		if slips >= leastSlips && len(t.pairs(steps).safety) > 0 && r.share(set) <= most {
			out = append(out, set)
		}
	}
	setsKnown[key] = out
	return out
}

// of gives the steps of a set, in the order of the job.
func (j *job) of(set uint) []string {
	var out []string
	for i, s := range j.steps {
		if set&(1<<i) != 0 {
			out = append(out, s)
		}
	}
	return out
}

// convex says whether no step outside a set lies between two of it.
func (r relation) convex(set uint) bool {
	for i := range r.pre {
		if set&(1<<i) == 0 && r.pre[i]&set != 0 && r.post[i]&set != 0 {
			return false
		}
	}
	return true
}

// share is what share of all orders of a set keeps the rules.
func (r relation) share(set uint) float64 {
	orders := map[uint]float64{0: 1}
	var count func(done uint) float64
	count = func(done uint) float64 { // orders of the steps done
		if n, ok := orders[done]; ok {
			return n
		}
		n := 0.0
		for i := range r.pre {
			if done&(1<<i) != 0 && r.post[i]&done == 0 {
				n += count(done &^ (1 << i))
			}
		}
		orders[done] = n
		return n
	}
	all := 1.0
	for n := bits.OnesCount(set); n > 1; n-- {
		all *= float64(n)
	}
	return count(set) / all
}
