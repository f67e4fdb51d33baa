package whatnext

import "math"

// split is what a test makes of a list of faults: how much of the sizes of each
// shows each outcome. A row adds up to 1.
type split [][mostOutcomes]float64

// information is what the test tells of which fault is at work, in bits, the
// faults being as likely as weights say (nil: all alike):
//
//	I = H(outcome) − Σ weight · H(outcome if it is that fault)
//
// H being the entropy, −Σ p log2 p. Where an outcome depends on the size alone
// it tells nothing of the fault, so that its uncertainty is taken off.
func (s split) information(weights []float64) float64 {
	all := 0.0
	for c := range s {
		all += weight(weights, c)
	}
	var mixed [mostOutcomes]float64
	own := 0.0
	for c := range s {
		w := weight(weights, c) / all
		own += float64(w * entropy(&s[c]))
		for o, p := range s[c] {
			mixed[o] += float64(w * p)
		}
	}
	return entropy(&mixed) - own
}

func weight(weights []float64, c int) float64 {
	if weights == nil {
		return 1
	}
	return weights[c]
}

// left is how many faults the test leaves on average, all being equally likely:
// for each outcome those that can show it, as often as it comes.
func (s split) left() float64 {
	sum := 0.0
	for o := range mostOutcomes {
		often, can := 0.0, 0
		for c := range s {
			often += s[c][o]
			if s[c][o] > 0 {
				can++
			}
		}
		sum += float64(often * float64(can))
	}
	return sum / float64(len(s))
}

// entropy is that of shares that add up to 1, in bits.
func entropy(shares *[mostOutcomes]float64) float64 {
	h := 0.0
	for _, p := range shares {
		if p > 0 && p < 1 {
			h -= float64(p * math.Log2(p))
		}
	}
	return h
}

// By how much the best test of a list must lead.
const (
	leadBits = 0.1  // in information
	leadLeft = 0.15 // in faults left on average
	edge     = 1e-6 // nearer to a lead than this nobody may decide
)

// best finds the test that tells most: by information and by the faults that it
// leaves, with the leads above, and not beaten when any one fault is twice as
// likely as each of the others. -1 where there is none.
func best(splits []split) int {
	first := -1
	var most float64
	for t := range splits {
		if i := splits[t].information(nil); first < 0 || i > most {
			first, most = t, i
		}
	}
	fewest := splits[first].left()
	for t := range splits {
		if t != first && (most-splits[t].information(nil) < leadBits+edge || splits[t].left()-fewest < leadLeft+edge) {
			return -1
		}
	}
	weights := make([]float64, len(splits[0]))
	for c := range weights {
		for i := range weights {
			weights[i] = 1
		}
		weights[c] = 2
		top := splits[first].information(weights)
		for t := range splits {
			if splits[t].information(weights) > top+edge {
				return -1
			}
		}
	}
	return first
}
