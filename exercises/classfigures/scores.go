package classfigures

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
)

// Scores holds one row a person and one column a question, in marks. Made by
// [NewScores] only.
type Scores struct {
	marks     [][]float64
	questions int
}

// NewScores checks a table of marks: every row of the same length, every mark
// a number. The table is copied. An empty table is allowed; nearly every
// figure of it is "n/a".
func NewScores(marks [][]float64) (Scores, error) {
	var s Scores
	for i, row := range marks {
		if i == 0 {
			s.questions = len(row)
		}
		if len(row) != s.questions {
			return Scores{}, fmt.Errorf("person %d has %d marks and person 1 has %d; give every question a mark, 0 where it was left blank", i+1, len(row), s.questions)
		}
		for j, m := range row {
			if math.IsNaN(m) || math.IsInf(m, 0) {
				return Scores{}, fmt.Errorf("person %d, question %d: the mark is not a number", i+1, j+1)
			}
		}
		s.marks = append(s.marks, append([]float64(nil), row...))
	}
	return s, nil
}

// People is the number of rows.
func (s Scores) People() int { return len(s.marks) }

// Questions is the number of columns.
func (s Scores) Questions() int { return s.questions }

// Total is each person's sum of marks.
func (s Scores) Total() []float64 {
	out := make([]float64, len(s.marks))
	for i, row := range s.marks {
		for _, m := range row {
			out[i] += m
		}
	}
	return out
}

func (s Scores) column(j int) []float64 {
	out := make([]float64, len(s.marks))
	for i, row := range s.marks {
		out[i] = row[j]
	}
	return out
}

// without is s less one question.
func (s Scores) without(j int) Scores {
	out := Scores{questions: s.questions - 1}
	for _, row := range s.marks {
		out.marks = append(out.marks, append(append([]float64(nil), row[:j]...), row[j+1:]...))
	}
	return out
}

// Difficulty is the mean mark of each question,
//
//	p_j = Σ_i x_ij / n
//
// which for questions of one mark is the share of people who had it right
// (called difficulty in classical test theory although a high one is easy).
// "n/a" for a class of nobody.
func Difficulty(s Scores) []Figure {
	out := make([]Figure, s.questions)
	for j := range out {
		out[j] = figureOf(stat.Mean(s.column(j), nil))
	}
	return out
}

// Spread is mean and standard deviation of the totals, the latter with n - 1:
// "n/a" for one person.
func Spread(s Scores) (mean, deviation Figure) {
	total := s.Total()
	mean = figureOf(stat.Mean(total, nil))
	if len(total) < 2 {
		return mean, Figure{}
	}
	return mean, figureOf(stat.StdDev(total, nil))
}

// correlation is Pearson's r; "n/a" below two people or where either side has
// no spread.
func correlation(x, y []float64) Figure {
	if len(x) < 2 || constant(x) || constant(y) {
		return Figure{}
	}
	return figureOf(stat.Correlation(x, y, nil))
}

// constant is asked instead of a variance above 0: rounding can leave a
// variance of 1e-33 in marks that are all alike.
func constant(x []float64) bool {
	for _, v := range x {
		if v != x[0] {
			return false
		}
	}
	return true
}
