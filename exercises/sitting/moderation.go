package sitting

import (
	"bytes"
	"crypto/sha256"
	"slices"

	"loopdrill/exercises"
	"loopdrill/exercises/classfigures"
	"loopdrill/exercises/marking"
)

// Sampled is a work proposed for second marking, and why.
type Sampled struct {
	Work *Work
	Why  []string
}

// sample proposes who is marked twice: everyone within the margin of the pass
// mark, every query, override and safety zero, and one in five of the rest (rounded
// up), drawn by the form code so that nobody chooses them.
func (r Report) sample() []Sampled {
	why := map[*Work][]string{}
	var rest []*Work
	for _, w := range r.Works {
		var reasons []string
		if r.isNear(w) {
			reasons = append(reasons, "near the pass mark")
		}
		queries, overrides, safety, byHand := 0, len(w.Result.Overrides), 0, 0
		w.parts(func(_ exercises.Drawn, p marking.PartResult) {
			if p.Safety {
				safety++
			}
			for _, b := range p.Boxes {
				switch {
				case b.Rule == marking.RuleJudged || b.Verdict == marking.ByHand:
					byHand++
				case b.Verdict == marking.Query || b.Rule == marking.RuleAssessor:
					queries++
				}
			}
		})
		for _, d := range w.Decisions {
			if d.Used && d.Reads != "" {
				queries++
			}
		}
		if queries > 0 {
			reasons = append(reasons, "an answer that a person had to settle")
		}
		if overrides > 0 {
			reasons = append(reasons, "an override")
		}
		if safety > 0 {
			reasons = append(reasons, "a part that earned nothing for safety")
		}
		if reasons == nil {
			rest = append(rest, w)
		}
		why[w] = reasons
	}
	digest := func(w *Work) []byte {
		d := sha256.Sum256([]byte("second marking " + w.Form.Code))
		return d[:]
	}
	slices.SortFunc(rest, func(a, b *Work) int { return bytes.Compare(digest(a), digest(b)) })
	for _, w := range rest[:(len(rest)+4)/5] {
		why[w] = []string{"one in five of the rest, drawn by the form code"}
	}
	var out []Sampled
	for _, w := range r.Works {
		if len(why[w]) > 0 {
			out = append(out, Sampled{w, why[w]})
		}
	}
	return out
}

// Agreed is how far the second marker agrees with the marks as they stand.
type Agreed struct {
	Parts, Same int // parts marked by both whose mark is settled
	Open        int // second marks of parts that are not settled
	Share       classfigures.Figure
	Interval    classfigures.Interval
	Kappa       classfigures.Figure // over whole marks
	Linear      classfigures.Figure // a disagreement counts by its size
	Differ      []Difference
}

// Difference is a part that the two markers see differently.
type Difference struct {
	Work          *Work
	Part          string
	First, Second int
	Marks         int
}

func agreed(works []*Work) *Agreed {
	a := &Agreed{}
	var first, second []int
	most, any := 0, false
	for _, w := range works {
		w.parts(func(d exercises.Drawn, p marking.PartResult) {
			name := marking.PartName(d.Exercise.Number, p.Label)
			n, ok := w.Second[name]
			if !ok {
				return
			}
			any = true
			if p.Least != p.Most {
				a.Open++
				return
			}
			a.Parts++
			first, second = append(first, p.Least), append(second, n)
			most = max(most, p.Least, n)
			if n == p.Least {
				a.Same++
			} else {
				a.Differ = append(a.Differ, Difference{w, name, p.Least, n, p.Marks})
			}
		})
	}
	if !any {
		return nil
	}
	counts := make([][]int, most+1)
	for i := range counts {
		counts[i] = make([]int, most+1)
	}
	for i := range first {
		counts[first[i]][second[i]]++
	}
	if t, err := classfigures.NewTable(counts); err == nil {
		a.Share, a.Interval = classfigures.Agreement(t, Confidence)
		a.Kappa, a.Linear = classfigures.Kappa(t, classfigures.Unweighted), classfigures.Kappa(t, classfigures.Linear)
	}
	return a
}
