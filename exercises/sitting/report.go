package sitting

import (
	"cmp"
	"slices"

	"loopdrill/exercises"
	"loopdrill/exercises/classfigures"
	"loopdrill/exercises/marking"
)

// Confidence is that of every interval in a report.
const Confidence = 0.95

// Wide is the width of an interval from which on it says too little: a share
// known no better than that a half of the range fits is "too few to tell".
const Wide = 0.5

// Report is what the figures of a class say.
type Report struct {
	Works       []*Work
	Marks       int // to be had
	PassPercent int
	Pass        int // marks needed; 0 without a pass mark
	Passed      int
	NotYet      int
	Undecided   int

	Questions []Question
	Slips     []SlipRow
	Unnamed   []int // wrong answers without a known slip, by question
	Faults    *Confusion

	Exercises       int                 // over which the next figures are taken
	Mean, Deviation classfigures.Figure // of the totals, in marks
	Alpha           classfigures.Figure
	Feldt           classfigures.Interval
	Error           classfigures.Figure // standard error of measurement, marks
	OpenQueries     int
	OpenJudged      int

	Margin float64 // marks about the pass mark that count as near it
	Near   []*Work
	Sample []Sampled
	Second *Agreed // nil without a second marker
}

// Question is one part of the form over the class.
type Question struct {
	Name   string // "3.c"
	Number int    // of the exercise
	Label  string
	Title  string // of the exercise
	Asked  string
	Marks  int
	// Full, Some and None count who earned all, some and none of the marks;
	// Blank those of None who left every box empty, Open those whose mark is
	// not settled and who count in none of the three.
	// They add up to fewer than the class where the part is not in every form.
	Full, Some, None, Blank, Open int
	Interval                      classfigures.Interval // of the share of Full in those settled
	ItemTotal                     classfigures.Figure   // corrected item-total correlation
}

// Settled is how many have a settled mark.
func (q Question) Settled() int { return q.Full + q.Some + q.None }

// TooFew says that the interval of the share tells too little.
func (q Question) TooFew() bool { return tooWide(q.Interval, Wide) }

func tooWide(i classfigures.Interval, most float64) bool {
	low, ok1 := i.Low.Value()
	high, ok2 := i.High.Value()
	return !ok1 || !ok2 || high-low > most
}

// TooFewForAlpha says that the interval of alpha tells too little.
func (r Report) TooFewForAlpha() bool { return tooWide(r.Feldt, Wide) }

// SlipRow is a slip and how many people made it in each question. Slips of
// several families that bear one name are one slip.
type SlipRow struct {
	Name       string
	Counts     []int       // by question, as in [Report.Questions]
	ByExercise map[int]int // by number of the exercise
	Who        []*Work     // that made it anywhere, in the order of the report
	Total      int         // questions in which it was made, over all people
}

// Confusion counts which fault was named for which.
type Confusion struct {
	Classes   []string // fault names, as in scenarios/loop
	Counts    [][]int  // row: what was put in; column: what was named
	Blank     []int    // by row: nothing named, or nothing that can be read
	Right     int
	All       int
	Recall    []classfigures.Figure
	Precision []classfigures.Figure
	Interval  classfigures.Interval // of Right of All
}

// ReportOf works out the figures. Works must have been marked and be of one
// course; none gives the zero Report.
func ReportOf(works []*Work) Report {
	r := Report{Works: works}
	if len(works) == 0 {
		return r
	}
	for _, w := range works {
		r.Marks = max(r.Marks, w.Result.Marks)
		switch w.Standing() {
		case Passed:
			r.Passed++
		case NotYet:
			r.NotYet++
		case Undecided:
			r.Undecided++
		}
		q, j := w.Open()
		r.OpenQueries, r.OpenJudged = r.OpenQueries+q, r.OpenJudged+j
	}
	r.PassPercent = works[0].Form.Course.PassMark
	r.Pass = PassMarks(r.Marks, r.PassPercent)
	at := r.questions()
	r.figures(at)
	r.slips(at)
	r.Faults = faults(works)
	r.Margin = 0.05 * float64(r.Marks)
	if e, ok := r.Error.Value(); ok {
		r.Margin = max(r.Margin, e)
	}
	for _, w := range works {
		if r.isNear(w) {
			r.Near = append(r.Near, w)
		}
	}
	r.Sample = r.sample()
	r.Second = agreed(works)
	return r
}

// isNear says whether any mark that the work may end with lies within the margin
// of the pass mark.
func (r Report) isNear(w *Work) bool {
	if r.Pass == 0 {
		return false
	}
	pass := float64(PassMarks(w.Result.Marks, r.PassPercent))
	return float64(w.Result.Most) >= pass-r.Margin && float64(w.Result.Least) <= pass+r.Margin
}

// questions lists the parts of all forms and counts them; at finds a question by
// name.
func (r *Report) questions() (at map[string]int) {
	at = map[string]int{}
	for _, w := range r.Works {
		for _, d := range w.Form.Items {
			for _, p := range d.Item.Sheet.Parts {
				name := marking.PartName(d.Exercise.Number, p.Label)
				if _, have := at[name]; have {
					continue
				}
				at[name] = -1
				q := Question{Name: name, Number: d.Exercise.Number, Label: p.Label, Title: d.Exercise.Title, Asked: p.Prompt.Plain(), Marks: p.Marks}
				if q.Title == "" {
					q.Title = d.Item.Sheet.Title
				}
				r.Questions = append(r.Questions, q)
			}
		}
	}
	slices.SortStableFunc(r.Questions, func(a, b Question) int {
		return cmp.Or(cmp.Compare(a.Number, b.Number), cmp.Compare(a.Label, b.Label))
	})
	for i, q := range r.Questions {
		at[q.Name] = i
	}
	r.Unnamed = make([]int, len(r.Questions))
	for _, w := range r.Works {
		w.parts(func(d exercises.Drawn, p marking.PartResult) {
			q := &r.Questions[at[marking.PartName(d.Exercise.Number, p.Label)]]
			switch {
			case p.Least != p.Most:
				q.Open++
			case p.Least == p.Marks:
				q.Full++
			case p.Least > 0:
				q.Some++
			default:
				q.None++
				if !slices.ContainsFunc(p.Boxes, func(b marking.BoxResult) bool { return b.Verdict != marking.Blank }) {
					q.Blank++
				}
			}
		})
	}
	for i := range r.Questions {
		q := &r.Questions[i]
		q.Interval = classfigures.Wilson(q.Full, q.Settled(), Confidence)
	}
	return at
}

// parts calls f for each part of a work with the exercise that it is of.
func (w *Work) parts(f func(d exercises.Drawn, p marking.PartResult)) {
	for i, item := range w.Result.Items {
		for _, p := range item.Parts {
			f(w.Form.Items[i], p)
		}
	}
}

// figures works out what needs the whole table of marks. Open queries count as
// nothing there; a report says so. Reliability is worked out over exercises and
// not over parts: the parts of an exercise share their givens and feed one
// another, so that counting them one by one would make the marks look more
// reliable than they are. A question that is not in every form has no
// correlation.
func (r *Report) figures(at map[string]int) {
	exercise := map[int]int{}
	for _, q := range r.Questions {
		if _, have := exercise[q.Number]; !have {
			exercise[q.Number] = len(exercise)
		}
	}
	parts, items := make([][]float64, len(r.Works)), make([][]float64, len(r.Works))
	for i, w := range r.Works {
		parts[i], items[i] = make([]float64, len(r.Questions)), make([]float64, len(exercise))
		w.parts(func(d exercises.Drawn, p marking.PartResult) {
			parts[i][at[marking.PartName(d.Exercise.Number, p.Label)]] = float64(p.Least)
			items[i][exercise[d.Exercise.Number]] += float64(p.Least)
		})
	}
	byPart, err1 := classfigures.NewScores(parts)
	s, err2 := classfigures.NewScores(items)
	if err1 != nil || err2 != nil {
		return // rows are of one length and hold whole numbers
	}
	r.Exercises = s.Questions()
	r.Mean, r.Deviation = classfigures.Spread(s)
	r.Alpha = classfigures.Alpha(s)
	r.Feldt = classfigures.Feldt(r.Alpha, s.People(), s.Questions(), Confidence)
	r.Error = classfigures.StandardError(s)
	for i, f := range classfigures.CorrectedItemTotal(byPart) {
		if q := &r.Questions[i]; q.Settled()+q.Open == len(r.Works) {
			q.ItemTotal = f
		}
	}
}

// slips counts people, each once a slip and question. Where two slips give an
// answer neither is counted.
func (r *Report) slips(at map[string]int) {
	rows := map[string]*SlipRow{}
	for _, w := range r.Works {
		type made struct {
			exercise int
			name     string
		}
		once := map[made]bool{}
		w.parts(func(d exercises.Drawn, p marking.PartResult) {
			n := d.Exercise.Number
			q := at[marking.PartName(n, p.Label)]
			seen := map[string]bool{}
			unnamed := false
			for _, b := range p.Boxes {
				if b.Verdict == marking.Wrong && len(b.Slips) == 0 {
					unnamed = true
				}
				if len(b.Slips) != 1 || seen[b.Slips[0].Name] {
					continue
				}
				name := b.Slips[0].Name
				seen[name] = true
				if rows[name] == nil {
					rows[name] = &SlipRow{Name: name, Counts: make([]int, len(r.Questions)), ByExercise: map[int]int{}}
				}
				rows[name].Counts[q]++
				rows[name].Total++
				if k := rows[name].Who; len(k) == 0 || k[len(k)-1] != w {
					rows[name].Who = append(k, w)
				}
				if m := (made{n, name}); !once[m] {
					once[m] = true
					rows[name].ByExercise[n]++
				}
			}
			if unnamed && len(seen) == 0 {
				r.Unnamed[q]++
			}
		})
	}
	for _, row := range rows {
		r.Slips = append(r.Slips, *row)
	}
	slices.SortFunc(r.Slips, func(a, b SlipRow) int {
		return cmp.Or(-cmp.Compare(a.Total, b.Total), cmp.Compare(a.Name, b.Name))
	})
}

// faults counts the exercises that ask for a fault by name: those in which the
// right option of a box is the name of what was put in. nil where none does.
func faults(works []*Work) *Confusion {
	type pair struct{ put, named string }
	counts, blanks := map[pair]int{}, map[string]int{}
	var classes []string
	for _, w := range works {
		for i, d := range w.Form.Items {
			put := d.Item.Key.FaultName
			if put == "" {
				continue
			}
			for j, k := range d.Item.Key.Parts {
				for n, a := range k.Answers {
					if a.Option != put {
						continue
					}
					classes = append(classes, put)
					b := w.Result.Items[i].Parts[j].Boxes[n]
					if len(b.Readings) != 1 {
						blanks[put]++
						continue
					}
					classes = append(classes, b.Readings[0].Text)
					counts[pair{put, b.Readings[0].Text}]++
				}
			}
		}
	}
	if classes == nil {
		return nil
	}
	slices.Sort(classes)
	c := &Confusion{Classes: slices.Compact(classes)}
	for _, put := range c.Classes {
		row := make([]int, len(c.Classes))
		for j, named := range c.Classes {
			row[j] = counts[pair{put, named}]
			c.All += row[j]
			if put == named {
				c.Right += row[j]
			}
		}
		c.Counts = append(c.Counts, row)
		c.Blank = append(c.Blank, blanks[put])
	}
	if t, err := classfigures.NewTable(c.Counts); err == nil {
		c.Recall, c.Precision = classfigures.Recall(t), classfigures.Precision(t)
	}
	c.Interval = classfigures.Wilson(c.Right, c.All, Confidence)
	return c
}
