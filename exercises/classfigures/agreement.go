package classfigures

import "fmt"

// Table counts pairs of classes: rows what the first marker gave (or the fault
// that was there), columns what the second gave (or the fault that was named).
// Made by [NewTable] only.
type Table struct {
	counts [][]int
	all    int
}

// NewTable checks a table of counts: square, nothing negative. It is copied.
func NewTable(counts [][]int) (Table, error) {
	var t Table
	for i, row := range counts {
		if len(row) != len(counts) {
			return Table{}, fmt.Errorf("row %d has %d columns and there are %d rows; both sides must have the same classes", i+1, len(row), len(counts))
		}
		for j, c := range row {
			if c < 0 {
				return Table{}, fmt.Errorf("row %d, column %d: a count of %d", i+1, j+1, c)
			}
			t.all += c
		}
		t.counts = append(t.counts, append([]int(nil), row...))
	}
	return t, nil
}

func (t Table) row(i int) (sum int) {
	for _, c := range t.counts[i] {
		sum += c
	}
	return sum
}

func (t Table) column(j int) (sum int) {
	for _, row := range t.counts {
		sum += row[j]
	}
	return sum
}

func (t Table) agreed() (sum int) {
	for i := range t.counts {
		sum += t.counts[i][i]
	}
	return sum
}

// Accuracy is the share on the diagonal: of pairs that agree, of faults named
// rightly. "n/a" for an empty table.
func Accuracy(t Table) Figure { return share(t.agreed(), t.all) }

// Agreement is [Accuracy] with its [Wilson] interval.
func Agreement(t Table, confidence float64) (Figure, Interval) {
	return Accuracy(t), Wilson(t.agreed(), t.all, confidence)
}

// Recall is, for each class, the share of its row on the diagonal: how many of
// the people who had this fault before them named it. "n/a" for a class that
// nobody had.
func Recall(t Table) []Figure {
	out := make([]Figure, len(t.counts))
	for i := range out {
		out[i] = share(t.counts[i][i], t.row(i))
	}
	return out
}

// Precision is, for each class, the share of its column on the diagonal: how
// often the fault was there when it was named. "n/a" for a class that nobody
// named.
func Precision(t Table) []Figure {
	out := make([]Figure, len(t.counts))
	for i := range out {
		out[i] = share(t.counts[i][i], t.column(i))
	}
	return out
}

func share(part, all int) Figure {
	if all == 0 {
		return Figure{}
	}
	return figureOf(float64(part) / float64(all))
}

// Weights says how much a disagreement by some classes counts in [Kappa].
type Weights int

// The weights, for a distance of d between k classes: 1; d/(k − 1);
// (d/(k − 1))². The last two need classes in an order.
const (
	Unweighted Weights = iota
	Linear
	Quadratic
)

// Kappa is Cohen's agreement beyond chance,
//
//	κ = 1 − Σ w_ij n_ij / Σ w_ij e_ij,  e_ij = row_i column_j / n
//
// with disagreement weights w (Cohen, Educational and Psychological
// Measurement 20, 1960; weighted: Psychological Bulletin 70, 1968). "n/a"
// where chance alone leaves nothing to disagree about: an empty table, or
// both markers with one and the same class throughout.
func Kappa(t Table, w Weights) Figure {
	var seen, chance float64
	for i := range t.counts {
		for j := range t.counts {
			d := i - j
			if d < 0 {
				d = -d
			}
			// The factors 1/(k − 1) cancel.
			weight := float64(d)
			switch {
			case w == Quadratic:
				weight *= weight
			case w == Unweighted && d > 0:
				weight = 1
			}
			seen += float64(weight * float64(t.counts[i][j]))
			chance += float64(weight * float64(t.row(i)) * float64(t.column(j)))
		}
	}
	if chance == 0 {
		return Figure{}
	}
	return figureOf(1 - seen*float64(t.all)/chance)
}
