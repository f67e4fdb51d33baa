package render

import (
	"encoding/json"
	"regexp"
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

func testChart() exercises.Chart {
	c := exercises.Chart{Title: `LT-1 </script><b>&"`, Tolerance: formula.Ratio(1, 2), Worst: 4}
	for i, e := range []int64{-2, 0, 3, 5, -9} {
		c.Points = append(c.Points, exercises.ChartPoint{Input: 25 * i, Error: formula.Ratio(e, 10)})
	}
	return c
}

// TestChart reads the chart back from the page: the option holds the points,
// the tolerance and the worst point and no address; the table holds the same
// figures; a title cannot end the script element; twice gives the same bytes.
func TestChart(t *testing.T) {
	r := NewRenderer()
	out := string(r.appendChart(nil, testChart(), "c1", false, nil))
	if again := string(r.appendChart(nil, testChart(), "c1", false, nil)); again != out {
		t.Error("the same chart gives other bytes")
	}
	data := regexp.MustCompile(`(?s)<script type="application/json" data-chart="c1">(.*?)</script>`).FindStringSubmatch(out)
	if data == nil {
		t.Fatalf("no option in %s", out)
	}
	if strings.Contains(out, "http") || strings.Contains(out, "<b>") {
		t.Errorf("an address or markup of the title came through: %s", out)
	}
	var option struct {
		Animation bool `json:"animation"`
		Series    []struct {
			Name  string
			Label struct{ Formatter, Position string }
			Data  []struct {
				Value  [2]float64
				Symbol string
			}
			MarkArea struct {
				Data [][]struct{ Coord [2]float64 }
			}
		}
		YAxis []struct {
			Min, Max float64
			Name     string
		} `json:"yAxis"`
	}
	if err := json.Unmarshal([]byte(data[1]), &option); err != nil {
		t.Fatal(err)
	}
	if option.Animation {
		t.Error("the chart is animated")
	}
	found := map[string]int{}
	var words []string
	bands := 0
	for _, s := range option.Series {
		found[s.Name]++
		if s.Label.Formatter != "" {
			words = append(words, s.Label.Formatter+" "+s.Label.Position)
		}
		for _, area := range s.MarkArea.Data {
			bands++
			if area[0].Coord != [2]float64{.25, .5} || area[1].Coord != [2]float64{100, -.5} {
				t.Errorf("the band of the tolerance is %v", area)
			}
		}
		if s.Name != "error" {
			continue
		}
		for i, want := range []float64{-.2, 0, .3, .5, -.9} {
			d := s.Data[i]
			if d.Value != [2]float64{float64(25 * i), want} || (d.Symbol == "diamond") != (i == 4) {
				t.Errorf("point %d is %+v", i, d)
			}
		}
	}
	if found["error"] != 1 || found["tolerance"] != 2 || found["worst"] != 1 {
		t.Errorf("series %v", found)
	}
	if got := strings.Join(words, ", "); bands != 1 || got != "tolerance right, worst right" {
		t.Errorf("%d bands, words %q", bands, got)
	}
	if y := option.YAxis[0]; y.Min != -1.5 || y.Max != 1.5 || y.Name != "error, % of span" {
		t.Errorf("axis %+v", y)
	}
	for _, want := range []string{"<td>\u22120.2</td>", "<td>+0.3</td>", "<td>\u22120.9</td>", "100 (worst)", "± 0.5"} {
		if !strings.Contains(out, want) {
			t.Errorf("the table lacks %q", want)
		}
	}
}

// TestBlankGridDependsOnTheToleranceAlone: it has its scale, its limits and no
// point.
func TestBlankGridDependsOnTheToleranceAlone(t *testing.T) {
	r := NewRenderer()
	out := string(r.appendBlankGrid(nil, formula.Ratio(1, 2)))
	for _, want := range []string{">+5<", ">\u22125<", ">100<", "error, % of span", "M14 31.0h100", "M14 37.0h100"} {
		if !strings.Contains(out, want) {
			t.Errorf("the grid lacks %q", want)
		}
	}
	if out == string(r.appendBlankGrid(nil, formula.Ratio(3, 4))) {
		t.Error("the tolerance does not show")
	}
	if strings.Contains(out, "circle") {
		t.Error("the grid holds a point")
	}
}

// The word at the worst point stands where neither the line nor the word of
// the tolerance is.
func TestWorstSide(t *testing.T) {
	for name, row := range map[string]struct {
		input, tenths int
		want          string
	}{
		"last, far off":     {100, -9, "right"},
		"last, in the band": {100, 2, "top"},
		"last, just below":  {100, -2, "bottom"},
		"first":             {0, 9, "top"},
		"middle, low":       {50, -9, "bottom"},
	} {
		p := exercises.ChartPoint{Input: row.input, Error: formula.Decimal(int64(row.tenths), 1)}
		if got := worstSide(p, 1); got != row.want {
			t.Errorf("%s: %s, want %s", name, got, row.want)
		}
	}
}

// The error axis reaches beyond the largest error and the tolerance, and both
// ends are alike.
func TestChartReach(t *testing.T) {
	for name, row := range map[string]struct {
		tolerance, tenths int64
		want              float64
	}{
		"the tolerance decides": {5, 2, 1},
		"an error decides":      {5, -28, 4},
		"just over an end":      {5, 17, 3},
		"off the list":          {5, 9000, 1080},
	} {
		c := exercises.Chart{Tolerance: formula.Decimal(row.tolerance, 1), Points: []exercises.ChartPoint{{Error: formula.Decimal(row.tenths, 1)}}}
		if got := chartReach(c); got != row.want {
			t.Errorf("%s: %v, want %v", name, got, row.want)
		}
	}
}
