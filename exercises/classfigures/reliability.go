package classfigures

import (
	"math"

	"gonum.org/v1/gonum/stat"
	"gonum.org/v1/gonum/stat/distuv"
)

// Alpha is Cronbach's coefficient
//
//	α = k/(k − 1) · (1 − Σ s_j² / s_T²)
//
// of k questions with variances s_j² and the variance s_T² of the totals
// (Cronbach, Psychometrika 16, 1951). It can be negative, down to no limit.
// "n/a" below two questions or two people, or where all totals are alike.
func Alpha(s Scores) Figure {
	total := s.Total()
	if s.questions < 2 || len(total) < 2 || constant(total) {
		return Figure{}
	}
	var parts float64
	for j := range s.questions {
		parts += stat.Variance(s.column(j), nil)
	}
	k := float64(s.questions)
	return figureOf(k / (k - 1) * (1 - parts/stat.Variance(total, nil)))
}

// KR20 is Kuder and Richardson's formula 20,
//
//	KR20 = k/(k − 1) · (1 − Σ p_j (1 − p_j) / σ_T²)
//
// for questions marked 0 or 1 only (Psychometrika 2, 1937). p(1 − p) is a
// variance with n, so σ_T² must be one too; with n − 1 in its place the result
// is too high (by 0.02 for twelve people, 0.13 for six). Taken rightly it is
// [Alpha]. "n/a" where that is, and where any mark is neither 0 nor 1.
func KR20(s Scores) Figure {
	total := s.Total()
	if s.questions < 2 || len(total) < 2 || constant(total) {
		return Figure{}
	}
	for _, row := range s.marks {
		for _, m := range row {
			if m != 0 && m != 1 {
				return Figure{}
			}
		}
	}
	var parts float64
	for j := range s.questions {
		p := stat.Mean(s.column(j), nil)
		parts += p * (1 - p)
	}
	k := float64(s.questions)
	return figureOf(k / (k - 1) * (1 - parts/stat.PopVariance(total, nil)))
}

// AlphaWithout is [Alpha] of the test less each question in turn.
func AlphaWithout(s Scores) []Figure {
	out := make([]Figure, s.questions)
	for j := range out {
		out[j] = Alpha(s.without(j))
	}
	return out
}

// CorrectedItemTotal is Pearson's correlation of each question with the total
// of the others. In small classes it says no more than "look at this
// question". "n/a" where everybody has the same mark in the question or in the
// rest.
func CorrectedItemTotal(s Scores) []Figure {
	out := make([]Figure, s.questions)
	for j := range out {
		item := s.column(j)
		// Summed afresh: the total less the question can leave a trace of
		// spread where the rest is the same for all.
		rest := s.without(j).Total()
		out[j] = correlation(item, rest)
	}
	return out
}

// Feldt is the confidence interval of [Alpha] for n people and k questions,
//
//	1 − (1 − α) F(1 − γ/2)  to  1 − (1 − α) F(γ/2),  γ = 1 − confidence
//
// with quantiles of F at n − 1 and (n − 1)(k − 1) degrees of freedom (Feldt,
// Woodruff and Salih, Applied Psychological Measurement 11, 1987, equations 6
// and 7). "n/a" below two people or two questions, for an alpha that is not
// there or above 1, or a confidence outside 0 to 1, both excluded.
func Feldt(alpha Figure, people, questions int, confidence float64) Interval {
	if !alpha.exists || alpha.value > 1 || people < 2 || questions < 2 || !inside(confidence) {
		return Interval{}
	}
	f := distuv.F{D1: float64(people - 1), D2: float64(people-1) * float64(questions-1)}
	tail := (1 - confidence) / 2
	return intervalOf(1-(1-alpha.value)*f.Quantile(1-tail), 1-(1-alpha.value)*f.Quantile(tail))
}

func inside(confidence float64) bool { return confidence > 0 && confidence < 1 }

// StandardError is the standard error of measurement of the totals, in marks,
//
//	SEM = s_T √(1 − α)
//
// It exceeds the standard deviation where alpha is negative. "n/a" where
// [Alpha] is.
func StandardError(s Scores) Figure {
	alpha := Alpha(s)
	_, deviation := Spread(s)
	if !alpha.exists || !deviation.exists {
		return Figure{}
	}
	return figureOf(deviation.value * math.Sqrt(1-alpha.value))
}

// LordError is the standard error of one person's number right x out of k
// questions of one mark, in marks,
//
//	√(x (k − x) / (k − 1))
//
// (Lord, Educational and Psychological Measurement 15, 1955). It is 0 for
// nothing right and for all right, which says more about the formula than
// about the person. "n/a" below two questions or for x outside 0 to k.
func LordError(right float64, questions int) Figure {
	k := float64(questions)
	if questions < 2 || !(right >= 0 && right <= k) {
		return Figure{}
	}
	return figureOf(math.Sqrt(right * (k - right) / (k - 1)))
}
