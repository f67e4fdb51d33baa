package secondroad

import (
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// The road of "what next?": the loop is built from its sheet; every fault of the
// list is put into it at sizes that lie close together within the range printed,
// and each test, as it is described, is read off the circuit and put under one
// of the outcomes that the page tells apart. What is still possible, what a test
// leaves and what it tells are then counted over a hundred cases of each fault;
// the share on one side of a turn is found by halving. What the page itself says
// the tests show is held against the circuit.
var whatNextRoad = &road{
	family: "what-next",
	knows:  func(s sheet) bool { return strings.Contains(s.intro, "leaves the fewest faults on average") },
	task:   func(p part) string { return p.whatNextTask() },
	slips:  whatNextSlips(),
}

func init() {
	whatNextRoad.work = sheet.workWhatNext
	roads = append(roads, whatNextRoad)
}

func TestWhatNext(t *testing.T) {
	whatNextRoad.travel(t, plantFiles(whatNextRoad.family, widePlant, 2))
}

func (p part) whatNextTask() string {
	for _, c := range []struct{ words, task string }{
		{"What does test ", "cell"},
		{"Suppose test ", "alone"},
		{"Say of each fault ", "possible"},
		{"Of the sizes that ", "share"},
		{"How many of the faults ", "average"},
		{"None of the four tests is done yet", "which"},
	} {
		if strings.HasPrefix(p.prompt, c.words) {
			return c.task
		}
	}
	return ""
}

// aboveTurn finds the share of the sizes above the turn by halving: how far down
// from the top of the range does one walk to come to it?
func (n *nexting) aboveTurn(x *suspected) float64 {
	near, far := 0.0, 1.0
	for range 60 {
		middle := (near + far) / 2
		if x.high-middle*(x.high-x.low) > n.turn {
			near = middle
		} else {
			far = middle
		}
	}
	return near
}

// cases are a hundred of each fault still possible and what a test shows of
// them, share of them of the one that may show either going by what was found.
func (n *nexting) cases(faults []int, o *offered) ([]map[string]float64, error) {
	var out []map[string]float64
	for _, i := range faults {
		shows, err := n.shows(&n.list[i], o)
		if err != nil {
			return nil, err
		}
		hundred := map[string]float64{}
		for outcome, share := range shows {
			hundred[outcome] = 100 * share
		}
		out = append(out, hundred)
	}
	return out, nil
}

// leaves is how many faults are left on average: each case looks how many faults
// can show what it shows.
func leaves(cases []map[string]float64) float64 {
	sum, all := 0.0, 0.0
	for _, c := range cases {
		for shows, times := range c {
			can := 0.0
			for _, o := range cases {
				if o[shows] > 0 {
					can++
				}
			}
			sum, all = sum+times*can, all+times
		}
	}
	return sum / all
}

// tells is what is known of the fault after a test and was not before, in bits.
func tells(cases []map[string]float64) float64 {
	known := math.Log2(float64(len(cases)))
	for _, c := range cases {
		for shows, times := range c {
			if times == 0 {
				continue
			}
			same := 0.0
			for _, o := range cases {
				same += o[shows]
			}
			known += times / 100 / float64(len(cases)) * math.Log2(times/same)
		}
	}
	return known
}

// whole rounds the cases to whole ones, as somebody has them who goes on from a
// share in whole percent: that of the asked side, and the rest for the other.
func (n *nexting) whole(cases []map[string]float64, number string) []map[string]float64 {
	var out []map[string]float64
	for _, c := range cases {
		if len(c) == 1 {
			for shows := range c {
				out = append(out, map[string]float64{shows: 100})
			}
			continue
		}
		either := n.either[number]
		asked := rounded(c[either[n.asked]], 0)
		out = append(out, map[string]float64{either[n.asked]: asked, either[1-n.asked]: 100 - asked})
	}
	return out
}

func (n *nexting) test(number string) (*offered, error) {
	for i := range n.tests {
		if n.tests[i].number == number {
			return &n.tests[i], nil
		}
	}
	return nil, fmt.Errorf("there is no test %q", number)
}

var (
	askedCell   = regexp.MustCompile(`^What does test (\d) show if (.+) is at work`)
	askedAlone  = regexp.MustCompile(`^Suppose test (\d) is done and shows: (.+)\. Which`)
	askedShare  = regexp.MustCompile(`^Of the sizes that (.+) may have, what share makes test (\d) show: (.+)\?$`)
	askedNumber = regexp.MustCompile(`test (\d)`)
)

func (s sheet) workWhatNext() (replies, error) {
	n, err := s.seeNext()
	if err != nil {
		return nil, err
	}
	mine := replies{}
	for _, p := range s.parts {
		some, err := n.work(p)
		if err != nil {
			return nil, fmt.Errorf("(%s) %w", p.label, err)
		}
		for id, r := range some {
			mine[id] = r
		}
	}
	return mine, nil
}

func (n *nexting) work(p part) (replies, error) {
	switch p.whatNextTask() {
	case "cell":
		m := askedCell.FindStringSubmatch(p.prompt)
		if m == nil || n.table[[2]string{m[2], m[1]}] != "?" {
			return nil, fmt.Errorf("asked is %q, and that cell is not open", p.prompt)
		}
		o, err := n.test(m[1])
		if err != nil {
			return nil, err
		}
		i := slices.IndexFunc(n.list, func(x suspected) bool { return x.name == m[2] })
		shows, err := n.shows(&n.list[i], o)
		if err != nil {
			return nil, err
		}
		for outcome := range shows {
			return p.pick(outcome)
		}
	case "alone":
		m := askedAlone.FindStringSubmatch(p.prompt)
		if m == nil {
			return nil, fmt.Errorf("asked is %q", p.prompt)
		}
		o, err := n.test(m[1])
		if err != nil {
			return nil, err
		}
		var found []string
		for _, i := range n.possible {
			shows, err := n.shows(&n.list[i], o)
			if err != nil {
				return nil, err
			}
			if shows[m[2]] > 0 {
				found = append(found, n.list[i].name)
			}
		}
		if len(found) != 1 {
			return nil, fmt.Errorf("%q leaves %v", m[2], found)
		}
		return p.pick(found[0])
	case "possible":
		out := replies{}
		for i, x := range n.list {
			words := "ruled out"
			if slices.Contains(n.possible, i) {
				words = "possible"
			}
			r, err := p.mark(x.name, words)
			if err != nil {
				return nil, err
			}
			for id, v := range r {
				out[id] = v
			}
		}
		return out, nil
	case "share":
		side, x, err := n.side(p)
		if err != nil {
			return nil, err
		}
		share := n.aboveTurn(x)
		if side == 0 {
			share = 1 - share
		}
		return replies{p.boxes[0].id: {number: rounded(100*share, 9)}}, nil
	case "average":
		o, err := n.test(askedNumber.FindStringSubmatch(p.prompt)[1])
		if err != nil {
			return nil, err
		}
		cases, err := n.cases(n.possible, o)
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: {number: leaves(n.whole(cases, o.number))}}, nil
	case "which":
		best, err := n.best()
		if err != nil {
			return nil, err
		}
		for _, o := range p.boxes[0].options {
			if strings.HasPrefix(o.text, "Test "+n.tests[best].number+": ") {
				return replies{p.boxes[0].id: {option: o.value}}, nil
			}
		}
	}
	return nil, fmt.Errorf("nobody knows %q", p.prompt)
}

// side understands which side of the turn a share is asked for: 0 below.
func (n *nexting) side(p part) (int, *suspected, error) {
	m := askedShare.FindStringSubmatch(p.prompt)
	if m == nil || m[1] != n.turns {
		return 0, nil, fmt.Errorf("asked is %q", p.prompt)
	}
	either, ok := n.either[m[2]]
	side := slices.Index(either[:], m[3])
	if !ok || side < 0 || either[0] == either[1] {
		return 0, nil, fmt.Errorf("%q is neither side of %v", m[3], either)
	}
	i := slices.IndexFunc(n.list, func(x suspected) bool { return x.name == n.turns })
	return side, &n.list[i], nil
}

// best is the test that tells most, by a tenth of a bit and by what it leaves.
func (n *nexting) best() (int, error) {
	var bits, left []float64
	best := 0
	for i := range n.tests {
		cases, err := n.cases(n.possible, &n.tests[i])
		if err != nil {
			return 0, err
		}
		bits, left = append(bits, tells(cases)), append(left, leaves(cases))
		if bits[i] > bits[best] {
			best = i
		}
	}
	for i := range n.tests {
		if i != best && (bits[best]-bits[i] < 0.1 || left[i]-left[best] < 0.1) {
			return 0, fmt.Errorf("the tests tell %v bit and leave %v", bits, left)
		}
	}
	return best, nil
}

// mark marks the option of those words in the box of that name.
func (p part) mark(name, words string) (replies, error) {
	for _, b := range p.boxes {
		for _, o := range b.options {
			if b.label == name && o.text == words {
				return replies{b.id: {option: o.value}}, nil
			}
		}
	}
	return nil, fmt.Errorf("no box %q with the option %q", name, words)
}
