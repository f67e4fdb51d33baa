package sitting

import (
	"cmp"
	"slices"

	"loopdrill/exercises"
	"loopdrill/exercises/marking"
)

// QueryGroup are the queries about one box of the course, over all forms.
type QueryGroup struct {
	Key     string // "3.b.2"
	Title   string // of the exercise
	Asked   string
	Queries []OpenQuery
}

// OpenQuery is one answer that waits for an assessor.
type OpenQuery struct {
	Work  *Work
	Key   string
	Box   marking.BoxResult
	Sheet exercises.Box
	Right exercises.Answer
	// Stake is how many marks of the part hang on it.
	Stake int
}

// Queries lists the answers that the program would not judge, judged boxes left
// out, in the order that is quickest to go through: question by question, so that
// one key is in mind at a time; within a question by the reason of the query and
// then by text, so that the same answer is decided in one go.
func (r Report) Queries() []QueryGroup { return r.open(false) }

// ToJudge lists the judged boxes that wait for a mark.
func (r Report) ToJudge() []QueryGroup { return r.open(true) }

func (r Report) open(judged bool) []QueryGroup {
	groups := map[string]*QueryGroup{}
	type place struct{ exercise, part, box int }
	places := map[string]place{}
	var keys []string
	for _, w := range r.Works {
		for i, item := range w.Result.Items {
			d := w.Form.Items[i]
			for j, p := range item.Parts {
				for k, b := range p.Boxes {
					if b.Verdict != marking.Query || (b.Rule == marking.RuleJudged) != judged {
						continue
					}
					key := marking.PartName(d.Exercise.Number, b.Box)
					sheet := d.Item.Sheet.Parts[j].Boxes[k]
					if groups[key] == nil {
						title := d.Exercise.Title
						if title == "" {
							title = d.Item.Sheet.Title
						}
						groups[key] = &QueryGroup{Key: key, Title: title, Asked: sheet.Name}
						places[key] = place{d.Exercise.Number, j, k}
						keys = append(keys, key)
					}
					groups[key].Queries = append(groups[key].Queries, OpenQuery{Work: w, Key: key, Box: b, Sheet: sheet,
						Right: d.Item.Key.Parts[j].Answers[k], Stake: p.Most - p.Least})
				}
			}
		}
	}
	slices.SortFunc(keys, func(a, b string) int {
		x, y := places[a], places[b]
		return cmp.Or(cmp.Compare(x.exercise, y.exercise), cmp.Compare(x.part, y.part), cmp.Compare(x.box, y.box), cmp.Compare(a, b))
	})
	var out []QueryGroup
	for _, key := range keys {
		g := groups[key]
		slices.SortStableFunc(g.Queries, func(a, b OpenQuery) int {
			return cmp.Or(cmp.Compare(a.Box.Rule, b.Box.Rule), cmp.Compare(a.Box.Text, b.Box.Text))
		})
		out = append(out, *g)
	}
	return out
}
