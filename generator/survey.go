package generator

import (
	"cmp"
	"fmt"
	"maps"
	"math"
	"slices"
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// Survey is what many forms of one exercise have in common and where they
// differ.
type Survey struct {
	Exercise string  `json:"exercise"`
	Forms    int     `json:"forms"` // drawn
	Rejects  Rejects `json:"rejects"`
	// Distinct is how many of the forms differ in a numeric answer or in the key
	// of an order, or where neither is asked in a right option or in what the
	// sheet shows.
	Distinct int `json:"distinct"`
	// AtLeast estimates, from below, how many such forms there are at all:
	// Distinct + once (once-1) / (2 (twice+1)), once and twice being how many
	// were met that often. A. Chao, Scandinavian Journal of Statistics 11
	// (1984), in the bias-corrected form (from memory). It says little where
	// nearly all were met once only.
	AtLeast float64 `json:"atLeast"`
	// SharesOne is the chance that of two apprentices one could copy at least
	// one number from the other and be right, SharesAll that all numbers
	// would be right: over all pairs of the first [surveyPairs] forms. Both
	// are 0 where no number is asked.
	SharesOne float64      `json:"sharesOne"`
	SharesAll float64      `json:"sharesAll"`
	Boxes     []BoxSurvey  `json:"boxes"`
	Faults    []FaultShare `json:"faults"` // sorted by name; empty where nothing is put in
}

// BoxSurvey is one answer box over many forms. Where a family asks now for a
// number and now for a choice under one id, those are two.
type BoxSurvey struct {
	Box   string            `json:"box"`
	Kind  exercises.BoxKind `json:"kind"`
	Forms int               `json:"forms"` // on which it was asked
	// Shared is the chance that the right answer of another form is right
	// here: within this form's tolerance, the same option, or for an order the
	// same steps with the same key. 0 with one form.
	Shared  float64       `json:"shared"`
	Options []OptionShare `json:"options"` // choices, sorted by id
}

// OptionShare counts an option of a choice.
type OptionShare struct {
	Option  string `json:"option"`
	Offered int    `json:"offered"` // forms on which it could be chosen
	Right   int    `json:"right"`   // forms on which it was right
}

// FaultShare counts the forms with a fault.
type FaultShare struct {
	Fault string `json:"fault"`
	Forms int    `json:"forms"`
}

// surveyPairs is among how many forms every pair is compared as a whole; a
// million comparisons are enough and take some milliseconds.
const surveyPairs = 1000

// Survey draws one exercise for the forms 1 to n of a practice source and
// counts. What it counts depends on its arguments alone; several exercises may
// be surveyed at once. If a form cannot be drawn, the error is that of
// [Drawer.Form], and the survey is of the forms before it.
func (d *Drawer) Survey(src Source, exercise string, n int) (*Survey, error) {
	i := slices.IndexFunc(d.plans, func(p plan) bool { return p.exercise.ID == exercise })
	if i < 0 {
		return nil, fmt.Errorf("the course has no exercise %q", exercise)
	}
	if n < 1 || n > MostForms {
		return nil, fmt.Errorf("%d forms are asked for, 1 to %d can be drawn", n, MostForms)
	}
	p := d.plans[i]
	s := sampler{index: map[string]int{}, tuples: map[string]int{}, faults: map[string]int{}}
	for _, f := range p.exercise.Faults {
		s.faults[f] = 0 // so that one that is never drawn shows
	}
	var tally Tally
	var failed error
	for form := range n {
		var item exercises.Item
		if item, failed = p.draw(src.points(d.course.ID, p.exercise.ID, p.version, Which{Number: form + 1}), nil, &tally); failed != nil {
			break
		}
		s.add(&item)
	}
	return s.survey(p, &tally), failed
}

// sampler gathers the answers of many forms.
type sampler struct {
	forms  int
	boxes  []*sampledBox
	index  map[string]int // of a box, by its id and kind
	tuples map[string]int
	faults map[string]int
}

// sampledBox holds the right answers of one box.
type sampledBox struct {
	id      string
	kind    exercises.BoxKind
	numbers []sampledNumber
	options map[string]*OptionShare
	orders  map[string]int // keys of orders, by what they come to
	asked   int
}

// sampledNumber is an answer in units of 10^-9, exact for every answer of up
// to nine decimals.
type sampledNumber struct {
	form             int
	value, tolerance int64
}

func nano(v formula.Value) int64 {
	if n, err := v.Round(9); err == nil {
		return n
	}
	return int64(math.Floor(v.Float64()*1e9 + 0.5))
}

func (s *sampler) add(item *exercises.Item) {
	var numbers, options strings.Builder
	for i, part := range item.Sheet.Parts {
		for j, box := range part.Boxes {
			a := &item.Key.Parts[i].Answers[j]
			b := s.box(box)
			b.asked++
			if a.Stop {
				numbers.WriteString(box.ID + " on its stop\n")
				continue
			}
			if box.Kind == exercises.NumberBox {
				v := sampledNumber{s.forms, nano(a.Value), nano(a.Tolerance)}
				b.numbers = append(b.numbers, v)
				numbers.WriteString(box.ID + " " + strconv.FormatInt(v.value, 10) + " " + box.Unit + "\n")
				continue
			}
			for _, o := range box.Options {
				if b.options[o.ID] == nil {
					b.options[o.ID] = &OptionShare{Option: o.ID}
				}
				b.options[o.ID].Offered++
			}
			if box.Kind == exercises.ChoiceBox {
				b.options[a.Option].Right++ // settle has seen that it is offered
			}
			if box.Kind == exercises.OrderBox {
				right := orderKey(a.Order)
				b.orders[right]++
				numbers.WriteString(box.ID + " " + right + "\n")
				continue
			}
			options.WriteString(box.ID + " " + a.Option + "\n")
		}
	}
	if numbers.Len() > 0 {
		s.tuples[numbers.String()]++
	} else {
		options.WriteString(evidence(item))
		s.tuples[options.String()]++
	}
	if f := item.Key.FaultName; f != "" {
		s.faults[f]++
	}
	s.forms++
}

func (s *sampler) box(box exercises.Box) *sampledBox {
	key := box.ID + " " + string(box.Kind)
	i, ok := s.index[key]
	if !ok {
		i = len(s.boxes)
		s.index[key] = i
		s.boxes = append(s.boxes, &sampledBox{id: box.ID, kind: box.Kind, options: map[string]*OptionShare{}, orders: map[string]int{}})
	}
	return s.boxes[i]
}

// orderKey is what the key of an order comes to: its steps, and which of them
// must come before which, however the key says so. Two keys are alike where the
// same orders of the same steps are right.
func orderKey(o *exercises.Order) string {
	steps := slices.Sorted(slices.Values(o.Steps))
	must := make([]map[string]bool, len(o.Steps)) // what comes before o.Steps[i]
	for i, s := range o.Steps {
		must[i] = map[string]bool{}
		for j, earlier := range o.Steps[:i] { // the steps stand in a right order
			if p := [2]string{earlier, s}; slices.Contains(o.Before, p) || slices.Contains(o.Safety, p) {
				must[i][earlier] = true
				for a := range must[j] {
					must[i][a] = true
				}
			}
		}
	}
	var b strings.Builder
	for _, s := range steps {
		b.WriteString(s + " after " + strings.Join(slices.Sorted(maps.Keys(must[slices.Index(o.Steps, s)])), ", ") + "; ")
	}
	return b.String()
}

func (s *sampler) survey(p plan, tally *Tally) *Survey {
	out := &Survey{Exercise: p.exercise.ID, Forms: s.forms, Rejects: tally.of(p.exercise.ID), Distinct: len(s.tuples),
		Boxes: []BoxSurvey{}, Faults: []FaultShare{}}
	once, twice := 0.0, 0.0
	for _, n := range s.tuples {
		switch n {
		case 1:
			once++
		case 2:
			twice++
		}
	}
	out.AtLeast = float64(out.Distinct) + once*(once-1)/(2*(twice+1))
	for _, b := range s.boxes {
		out.Boxes = append(out.Boxes, b.survey())
	}
	// Families may leave a box out of the first forms; by id the order is the
	// same whatever comes first.
	slices.SortFunc(out.Boxes, func(a, b BoxSurvey) int {
		part, nth := boxOrder(a.Box)
		otherPart, otherNth := boxOrder(b.Box)
		return cmp.Or(cmp.Compare(part, otherPart), cmp.Compare(nth, otherNth), cmp.Compare(a.Kind, b.Kind))
	})
	out.SharesOne, out.SharesAll = s.pairs()
	for f, n := range s.faults {
		out.Faults = append(out.Faults, FaultShare{f, n})
	}
	slices.SortFunc(out.Faults, func(a, b FaultShare) int { return cmp.Compare(a.Fault, b.Fault) })
	return out
}

// boxOrder takes an id apart, so that "a.10" comes behind "a.9".
func boxOrder(id string) (part string, nth int) {
	part, n, _ := strings.Cut(id, ".")
	nth, err := strconv.Atoi(n)
	if err != nil {
		return id, 0
	}
	return part, nth
}

func (b *sampledBox) survey() BoxSurvey {
	out := BoxSurvey{Box: b.id, Kind: b.kind, Forms: b.asked, Options: []OptionShare{}}
	same := 0
	if b.kind == exercises.NumberBox {
		same = b.agreeing()
	}
	for _, o := range b.options {
		out.Options = append(out.Options, *o)
		same += o.Right * (o.Right - 1)
	}
	for _, n := range b.orders {
		same += n * (n - 1)
	}
	slices.SortFunc(out.Options, func(a, b OptionShare) int { return cmp.Compare(a.Option, b.Option) })
	if b.asked > 1 {
		out.Shared = float64(same) / (float64(b.asked) * float64(b.asked-1))
	}
	return out
}

// agreeing counts the ordered pairs of forms of which the second has a number
// within the tolerance of the first.
func (b *sampledBox) agreeing() int {
	values := make([]int64, len(b.numbers))
	for i, n := range b.numbers {
		values[i] = n.value
	}
	slices.Sort(values)
	same := 0
	for _, n := range b.numbers {
		from, _ := slices.BinarySearch(values, n.value-n.tolerance)
		to, _ := slices.BinarySearch(values, n.value+n.tolerance+1)
		same += to - from - 1 // without itself
	}
	return same
}

// pairs compares forms as a whole.
func (s *sampler) pairs() (one, all float64) {
	n := min(s.forms, surveyPairs)
	type cell struct {
		sampledNumber
		asked bool
	}
	var columns [][]cell // of number boxes, by form
	for _, b := range s.boxes {
		if b.kind != exercises.NumberBox {
			continue
		}
		column := make([]cell, n)
		for _, v := range b.numbers {
			if v.form < n {
				column[v.form] = cell{v, true}
			}
		}
		columns = append(columns, column)
	}
	if n < 2 || len(columns) == 0 {
		return 0, 0
	}
	some, every := 0, 0
	for i := range n {
		for j := range n {
			if i == j {
				continue
			}
			hit, missed := false, false
			for _, c := range columns {
				a, b := &c[i], &c[j]
				if !a.asked {
					continue
				}
				if b.asked && a.value-b.value <= a.tolerance && b.value-a.value <= a.tolerance {
					hit = true
				} else {
					missed = true
				}
			}
			if hit {
				some++
				if !missed {
					every++
				}
			}
		}
	}
	total := float64(n) * float64(n-1)
	return float64(some) / total, float64(every) / total
}
