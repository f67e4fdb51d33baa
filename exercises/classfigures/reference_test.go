package classfigures

import (
	"bytes"
	"encoding/json"
	"math"
	"os"
	"testing"

	"loopdrill/exercises/marking"
)

type record struct {
	ID        string          `json:"id"`
	Statistic string          `json:"statistic"`
	Want      json.RawMessage `json:"want"`
	Tol       float64         `json:"tol"`
	Source    string          `json:"source"`
	Reference string          `json:"reference"`
	Table     string          `json:"table"`
	Params    struct {
		X, N  json.RawMessage
		Conf  float64
		Alpha *float64
		K     int
		Y     []float64
		Order []int
	} `json:"params"`
}

// want gives the wanted figures; null stands for "n/a".
func (r record) want(t *testing.T) []*float64 {
	var list []*float64
	if json.Unmarshal(r.Want, &list) == nil && len(list) > 0 {
		return list
	}
	var one *float64
	if err := json.Unmarshal(r.Want, &one); err != nil {
		t.Fatalf("want: %v", err)
	}
	return []*float64{one}
}

func number[T any](t *testing.T, raw json.RawMessage) T {
	t.Helper()
	var v T
	if err := json.Unmarshal(raw, &v); err != nil {
		t.Fatal(err)
	}
	return v
}

// mixedVariances is the trap: variances with n over a variance with n − 1. It
// stands here and not in the package, so that nobody can call it.
func mixedVariances(s Scores) Figure {
	var parts float64
	for _, p := range Difficulty(s) {
		parts += p.value * (1 - p.value)
	}
	_, d := Spread(s)
	k := float64(s.questions)
	return figureOf(k / (k - 1) * (1 - parts/(d.value*d.value)))
}

func both(i Interval) []Figure { return []Figure{i.Low, i.High} }

// TestStatistics recomputes every record of the reference file, whose figures
// come from R 4.2.2 and published examples (each names its call and source).
func TestStatistics(t *testing.T) {
	data, err := os.ReadFile("testdata/statistics.json")
	if err != nil {
		t.Fatal(err)
	}
	var file struct {
		Versions map[string]string  `json:"versions"`
		Tables   map[string][][]int `json:"tables"`
		Records  []record           `json:"records"`
	}
	dec := json.NewDecoder(bytes.NewReader(data))
	dec.DisallowUnknownFields()
	if err := dec.Decode(&file); err != nil {
		t.Fatal(err)
	}
	if len(file.Records) == 0 {
		t.Fatal("no record was read")
	}
	for _, r := range file.Records {
		t.Run(r.ID, func(t *testing.T) {
			counts := file.Tables[r.Table]
			if r.Table != "" && counts == nil {
				t.Fatalf("no table %q", r.Table)
			}
			scores := func() Scores {
				marks := make([][]float64, len(counts))
				for i, row := range counts {
					for _, m := range row {
						marks[i] = append(marks[i], float64(m))
					}
				}
				s, err := NewScores(marks)
				if err != nil {
					t.Fatal(err)
				}
				return s
			}
			table := func() Table {
				tab, err := NewTable(counts)
				if err != nil {
					t.Fatal(err)
				}
				return tab
			}
			var got []Figure
			differs := false // the record is a wrong figure, and ours must not agree
			switch r.Statistic {
			case "difficulty":
				got = Difficulty(scores())
			case "kr20":
				got = []Figure{KR20(scores())}
			case "kr20_trap_mixed_variances":
				if trap := mixedVariances(scores()); math.Abs(trap.value-*r.want(t)[0]) > r.Tol {
					t.Errorf("the trap is %v and not what the record calls so", trap)
				}
				got, differs = []Figure{KR20(scores())}, true
			case "alpha":
				got = []Figure{Alpha(scores())}
			case "corrected_item_total":
				got = CorrectedItemTotal(scores())
			case "alpha_if_item_deleted":
				got = AlphaWithout(scores())
			case "feldt95":
				if r.Params.Alpha != nil {
					got = both(Feldt(figureOf(*r.Params.Alpha), number[int](t, r.Params.N), r.Params.K, 0.95))
				} else {
					s := scores()
					got = both(Feldt(Alpha(s), s.People(), s.Questions(), 0.95))
				}
			case "sem":
				got = []Figure{StandardError(scores())}
			case "total_mean_sd":
				mean, sd := Spread(scores())
				got = []Figure{mean, sd}
			case "upper_lower_27":
				got = UpperLower(scores())
			case "sem_lord_by_candidate":
				s := scores()
				for _, total := range s.Total() {
					got = append(got, LordError(total, s.Questions()))
				}
			case "wilson":
				got = both(Wilson(number[int](t, r.Params.X), number[int](t, r.Params.N), r.Params.Conf))
			case "kappa":
				got = []Figure{Kappa(table(), Unweighted)}
			case "kappa_linear":
				got = []Figure{Kappa(table(), Linear)}
			case "kappa_quadratic":
				got = []Figure{Kappa(table(), Quadratic)}
			case "agreement_wilson":
				p, i := Agreement(table(), 0.95)
				got = append([]Figure{p}, both(i)...)
			case "recall":
				got = Recall(table())
			case "precision":
				got = Precision(table())
			case "accuracy":
				got = []Figure{Accuracy(table())}
			case "kendall_tau", "kendall_tau_b":
				got = []Figure{Kendall(number[[]float64](t, r.Params.X), r.Params.Y)}
			case "tau_lis_exact":
				var given, ideal []float64
				inPlace := 0.0
				for i, step := range r.Params.Order {
					given, ideal = append(given, float64(step)), append(ideal, float64(i+1))
					if step == i+1 {
						inPlace++
					}
				}
				got = []Figure{Kendall(given, ideal),
					figureOf(float64(len(marking.LongestRun(r.Params.Order)))), figureOf(inPlace)}
			default:
				t.Fatalf("unknown statistic %q", r.Statistic)
			}
			want := r.want(t)
			if len(got) != len(want) {
				t.Fatalf("%d figures, want %d", len(got), len(want))
			}
			for i, w := range want {
				v, ok := got[i].Value()
				switch {
				case w == nil:
					if ok {
						t.Errorf("figure %d is %v, want n/a", i+1, v)
					}
				case !ok:
					t.Errorf("figure %d is n/a, want %v", i+1, *w)
				case differs:
					if math.Abs(v-*w) < 0.01 {
						t.Errorf("figure %d is %v, which is the wrong statistic", i+1, v)
					}
				case math.Abs(v-*w) > r.Tol:
					t.Errorf("figure %d is %.15g, want %.15g within %g", i+1, v, *w, r.Tol)
				}
			}
		})
	}
}
