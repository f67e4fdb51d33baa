package classfigures

import (
	"math"
	"strings"
	"testing"
)

func mustScores(t *testing.T, rows ...[]float64) Scores {
	t.Helper()
	s, err := NewScores(rows)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func mustTable(t *testing.T, rows ...[]int) Table {
	t.Helper()
	tab, err := NewTable(rows)
	if err != nil {
		t.Fatal(err)
	}
	return tab
}

// What cannot be worked out by the formula (0/0 by hand) says so.
func TestUndefined(t *testing.T) {
	one := mustScores(t, []float64{1, 0})
	alike := mustScores(t, []float64{1, 0}, []float64{0, 1})
	none := mustScores(t)
	for _, row := range []struct {
		name string
		got  string
	}{
		{"alpha of one person", Alpha(one).Text(2)},
		{"alpha of equal totals", Alpha(alike).Text(2)},
		{"alpha of nobody", Alpha(none).Text(2)},
		{"alpha of one question", Alpha(mustScores(t, []float64{1}, []float64{0})).Text(2)},
		{"KR20 of marks beyond 0 and 1", KR20(mustScores(t, []float64{2, 1}, []float64{0, 0})).Text(2)},
		{"standard error of equal totals", StandardError(alike).Text(2)},
		{"Feldt without alpha", Feldt(Alpha(alike), 2, 2, 0.95).Text(2)},
		{"Feldt of one person", Feldt(figureOf(0.5), 1, 5, 0.95).Text(2)},
		{"Feldt with certainty", Feldt(figureOf(0.5), 10, 5, 1).Text(2)},
		{"a question without spread", CorrectedItemTotal(mustScores(t, []float64{1, 0}, []float64{1, 1}))[0].Text(2)},
		{"a rest without spread", CorrectedItemTotal(mustScores(t, []float64{1, 0}, []float64{1, 1}))[1].Text(2)},
		{"the only question", CorrectedItemTotal(mustScores(t, []float64{1}, []float64{0}))[0].Text(2)},
		{"upper less lower of one", UpperLower(one)[0].Text(2)},
		{"Wilson of nothing", Wilson(0, 0, 0.95).Text(2)},
		{"Wilson of too many", Wilson(3, 2, 0.95).Text(2)},
		{"Lord of more than all", LordError(3, 2).Text(2)},
		{"Lord of no number", LordError(math.NaN(), 2).Text(2)},
		{"kappa of an empty table", Kappa(mustTable(t, []int{0, 0}, []int{0, 0}), Unweighted).Text(2)},
		{"kappa of one class", Kappa(mustTable(t, []int{5, 0}, []int{0, 0}), Linear).Text(2)},
		{"recall of a fault nobody had", Recall(mustTable(t, []int{0, 0}, []int{1, 1}))[0].Text(2)},
		{"precision of a fault nobody named", Precision(mustTable(t, []int{1, 0}, []int{1, 0}))[1].Text(2)},
		{"accuracy of nothing", Accuracy(mustTable(t)).Text(2)},
		{"Kendall, all tied", Kendall([]float64{1, 1}, []float64{1, 2}).Text(2)},
		{"Kendall, unequal lists", Kendall([]float64{1}, []float64{1, 2}).Text(2)},
		{"the zero figure", Figure{}.Text(2)},
	} {
		if row.got != NotAvailable {
			t.Errorf("%s: %q, want %q", row.name, row.got, NotAvailable)
		}
	}
	if mean, sd := Spread(one); mean.Text(1) != "1.0" || sd.Text(1) != NotAvailable {
		t.Errorf("spread of one person: %v, %v", mean, sd)
	}
}

// A true 0 is a 0.
func TestZeroIsShown(t *testing.T) {
	for _, row := range []struct{ name, got, want string }{
		{"nobody right", Wilson(0, 20, 0.95).Text(2), "0.00 to 0.16"}, // R, as in the reference
		{"recall of nothing found", Recall(mustTable(t, []int{0, 3}, []int{0, 1}))[0].Text(2), "0.00"},
		{"kappa at chance", Kappa(mustTable(t, []int{1, 1}, []int{1, 1}), Unweighted).Text(2), "0.00"},
		{"Lord at the ends", LordError(0, 10).Text(2), "0.00"},
		{"negative", figureOf(-0.256).Text(2), "\u22120.26"},
		{"negative that rounds away", figureOf(-0.001).Text(2), "0.00"},
	} {
		if row.got != row.want {
			t.Errorf("%s: %q, want %q", row.name, row.got, row.want)
		}
	}
}

func TestBadTables(t *testing.T) {
	_, ragged := NewScores([][]float64{{1, 2}, {1}})
	_, nan := NewScores([][]float64{{1, math.NaN()}})
	_, square := NewTable([][]int{{1, 2}})
	_, negative := NewTable([][]int{{-1}})
	for _, row := range []struct {
		name string
		err  error
		has  string
	}{
		{"ragged", ragged, "person 2"}, {"not a number", nan, "question 2"},
		{"not square", square, "row 1"}, {"negative", negative, "count of -1"},
	} {
		if row.err == nil || !strings.Contains(row.err.Error(), row.has) {
			t.Errorf("%s: %v, want %q", row.name, row.err, row.has)
		}
	}
}
