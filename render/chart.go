package render

import (
	"bytes"
	"encoding/json"
	"slices"
	"strconv"
	"strings"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// chartSize is the size at which a chart is drawn, in CSS pixels; the page
// scales it to the room there is. It is fixed, so that a chart inside something
// folded away is drawn too, and nothing moves after loading.
type chartSize struct {
	height                         int // the width is always 640
	font                           int
	left, right, top, legend, foot int // room around the grid; top with a legend is legend
	nameX, nameY                   int // gaps between the axes and their names
}

func sizeOf(large bool) chartSize {
	if large {
		return chartSize{height: 400, font: 22, left: 110, right: 130, top: 34, legend: 132, foot: 84, nameX: 52, nameY: 72}
	}
	return chartSize{height: 300, font: 13, left: 70, right: 90, top: 24, legend: 44, foot: 52, nameX: 32, nameY: 44}
}

// appendChart appends an error chart, with the table of its figures. id is
// unique on the page.
//
// The chart itself is an option of the chart library as inert JSON, which the
// starter script hands over; its colours are the page's own custom properties,
// so that dark screens and paper need no second drawing. encoding/json escapes
// what could end the script element.
//
// first is the option of the first chart of the page, nil before there is one:
// settings that are the same in a later chart are left out of it, and the
// starter script takes them from there.
func (r *Renderer) appendChart(dst []byte, c exercises.Chart, id string, large bool, first *map[string]json.RawMessage) []byte {
	option := leanOption(chartOption(c, id, sizeOf(large)), first)
	dst = append(dst, `<div class="chart" id="`...)
	dst = appendAttr(dst, id)
	dst = append(dst, `" role="img" aria-label="`...)
	dst = appendAttr(dst, c.Title+"; the figures stand in the table below")
	dst = append(dst, `"></div>`...)
	if large {
		dst = append(dst[:len(dst)-len(`></div>`)], ` data-height="400"></div>`...)
	}
	dst = append(dst, `<script type="application/json" data-chart="`...)
	dst = appendAttr(dst, id)
	dst = append(dst, `">`...)
	dst = append(dst, option...)
	dst = append(dst, `</script>`...)
	return appendChartTable(dst, c)
}

func appendChartTable(dst []byte, c exercises.Chart) []byte {
	dst = append(dst, `<div class="scroll"><table class="chart-table"><caption>`...)
	dst = appendText(dst, c.Title)
	if !c.Tolerance.IsZero() {
		dst = appendText(dst, "; tolerance ± "+formula.WithUnit(shortest(c.Tolerance, 3), "%")+" of span")
	}
	dst = append(dst, `</caption><tr><th scope="row">input, %</th>`...)
	inputs := inputsOf(c)
	for _, input := range inputs {
		dst = append(dst, `<th scope="col">`...)
		dst = strconv.AppendInt(dst, int64(input), 10)
		if len(c.More) == 0 && c.WorstIn == 0 && c.Worst >= 0 && c.Worst < len(c.Points) && c.Points[c.Worst].Input == input {
			dst = append(dst, ` (worst)`...)
		}
		dst = append(dst, `</th>`...)
	}
	dst = append(dst, `</tr>`...)
	for n, run := range runs(c) {
		dst = append(dst, `<tr><th scope="row">`...)
		if len(c.More) > 0 {
			dst = appendText(dst, run.Name+": ")
		}
		dst = append(dst, `error, % of span</th>`...)
		for _, input := range inputs {
			dst = append(dst, `<td>`...)
			for i, p := range run.Points {
				if p.Input == input {
					dst = appendText(dst, signed(p.Error))
					if len(c.More) > 0 && n == c.WorstIn && i == c.Worst {
						dst = append(dst, ` (worst)`...)
					}
				}
			}
			dst = append(dst, `</td>`...)
		}
		dst = append(dst, `</tr>`...)
	}
	return append(dst, `</table></div>`...)
}

// inputsOf lists the inputs of all runs, rising, each once.
func inputsOf(c exercises.Chart) []int {
	var out []int
	for _, run := range runs(c) {
		for _, p := range run.Points {
			out = append(out, p.Input)
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// runs lists the runs of a chart, the first one first.
func runs(c exercises.Chart) []exercises.ChartSeries {
	name := c.Name
	if name == "" {
		name = "error"
	}
	return append([]exercises.ChartSeries{{Name: name, Points: c.Points}}, c.More...)
}

// leanOption writes an option without what the library would take anyway, and
// without what the first chart of the page has said.
func leanOption(option map[string]any, first *map[string]json.RawMessage) []byte {
	for _, key := range []string{"color", "title", "toolbox"} {
		delete(option, key)
	}
	whole, err := json.Marshal(option)
	if err != nil {
		return []byte("{}") // numbers and strings only: cannot happen; the table still serves
	}
	whole = []byte(strings.NewReplacer(`,"showMaxLabel":null`, "", `,"showMinLabel":null`, "", `"itemStyle":null,`, "").Replace(string(whole)))
	var parts map[string]json.RawMessage
	if first == nil || json.Unmarshal(whole, &parts) != nil {
		return whole
	}
	if *first == nil {
		*first = parts
		return whole
	}
	for key, value := range *first {
		if bytes.Equal(parts[key], value) {
			delete(parts, key)
		}
	}
	lean, err := json.Marshal(parts)
	if err != nil {
		return whole
	}
	return lean
}

// signed prints an error with its sign, to one decimal at least.
func signed(v formula.Value) string {
	k, _ := v.Places(3)
	s := v.Text(max(k, 1))
	if v.Sign() > 0 {
		s = "+" + s
	}
	return s
}

// chartOption builds the option of the chart library: the errors as a line
// with points for each run, the tolerance as a shaded band between dashed
// lines, the worst point as a larger diamond; each named in words, so that nothing hangs on a
// colour.
func chartOption(c exercises.Chart, id string, z chartSize) map[string]any {
	reach, top := chartReach(c), z.top
	if len(c.More) > 0 {
		top = z.legend
	}
	line := charts.NewLine()
	line.ChartID = id // else the library invents one
	axisLabel := &opts.AxisLabel{Color: "var(--ink)", FontSize: z.font, Show: opts.Bool(true)}
	splitLine := &opts.SplitLine{Show: opts.Bool(true), LineStyle: &opts.LineStyle{Color: "var(--faint)"}}
	line.SetGlobalOptions(
		charts.WithAnimation(false),
		charts.WithLegendOpts(opts.Legend{Show: opts.Bool(false)}),
		charts.WithTooltipOpts(opts.Tooltip{Show: opts.Bool(false)}),
		charts.WithGridOpts(opts.Grid{Left: px(z.left), Right: px(z.right), Top: px(top), Bottom: px(z.foot)}),
		charts.WithXAxisOpts(opts.XAxis{Type: "value", Name: "input, % of range", NameLocation: "middle", NameGap: z.nameX, Min: 0, Max: 100, SplitNumber: 4,
			AxisLabel: axisLabel, SplitLine: splitLine,
			AxisLine: &opts.AxisLine{OnZero: opts.Bool(false), LineStyle: &opts.LineStyle{Color: "var(--ink)"}}}),
		charts.WithYAxisOpts(opts.YAxis{Type: "value", Name: "error, % of span", NameLocation: "middle", NameGap: z.nameY, Min: -reach, Max: reach,
			AxisLabel: axisLabel, SplitLine: splitLine,
			AxisLine: &opts.AxisLine{Show: opts.Bool(true), LineStyle: &opts.LineStyle{Color: "var(--ink)"}}}),
	)
	if !c.Tolerance.IsZero() {
		addTolerance(line, c.Tolerance, z)
	}
	for n, run := range runs(c) {
		look := looks[min(n, len(looks)-1)]
		var data []opts.LineData
		for i, p := range run.Points {
			d := opts.LineData{Value: [2]float64{float64(p.Input), p.Error.Float64()}, Symbol: look.symbol, SymbolSize: look.size}
			if n == c.WorstIn && i == c.Worst {
				d.Symbol, d.SymbolSize, d.Name = "diamond", 16, "worst"
			}
			data = append(data, d)
		}
		line.AddSeries(run.Name, data,
			charts.WithLineChartOpts(opts.LineChart{Symbol: look.symbol, SymbolSize: look.size}), // what the legend shows
			charts.WithLineStyleOpts(opts.LineStyle{Color: look.colour, Width: 2.5, Type: look.line}),
			charts.WithItemStyleOpts(opts.ItemStyle{Color: look.colour}),
			charts.WithSeriesAnimation(false))
	}
	if in := runs(c); c.WorstIn >= 0 && c.WorstIn < len(in) && c.Worst >= 0 && c.Worst < len(in[c.WorstIn].Points) {
		p := in[c.WorstIn].Points[c.Worst]
		label := word("worst", worstSide(p, reach), z)
		if p.Input == 0 {
			label.Align, label.Formatter = "left", "\u00a0worst" // off the figures of the axis
		}
		// An invisible symbol as large as the diamond keeps the word off it.
		line.AddSeries("worst", []opts.LineData{{Value: [2]float64{float64(p.Input), p.Error.Float64()}, Symbol: "circle", SymbolSize: 20}},
			charts.WithLabelOpts(label),
			charts.WithItemStyleOpts(opts.ItemStyle{Color: "transparent"}), charts.WithSeriesAnimation(false))
	}
	line.Validate()
	option := line.JSON()
	if len(c.More) > 0 {
		var names []string
		for _, run := range runs(c) {
			names = append(names, run.Name)
		}
		option["legend"] = map[string]any{"data": names, "top": 0, "left": z.left / 2, "itemWidth": 44, "itemHeight": 10, "itemGap": 22, "orient": orient(z),
			"selectedMode": false, "textStyle": map[string]any{"color": "var(--ink)", "fontSize": z.font, "fontFamily": "inherit"}}
	}
	// The style of the axis names has no typed field.
	for _, axis := range []string{"xAxis", "yAxis"} {
		option[axis] = named(option[axis], axis, z)
	}
	return option
}

// looks tell the runs of a chart apart by line and point, which last on grey
// paper; the colour of the first is a comfort.
var looks = []struct {
	symbol, line, colour string
	size                 int
}{
	{"circle", "solid", "var(--accent)", 8},
	{"rect", "dashed", "var(--ink)", 9},
	{"triangle", "dotted", "var(--ink)", 10},
	{"arrow", "dotted", "var(--ink)", 10},
}

// word is a label of one word beside a point.
func word(s, side string, z chartSize) opts.Label {
	return opts.Label{Show: opts.Bool(true), Color: "var(--ink)", FontSize: float32(z.font), FontFamily: "inherit", FontWeight: "bold", Formatter: s, Position: side}
}

// orient sets the names of the runs side by side, or below each other where
// large letters need it.
func orient(z chartSize) string {
	if z.font > 20 {
		return "vertical"
	}
	return "horizontal"
}

func px(n int) string { return strconv.Itoa(n) }

// worstSide says on which side of the worst point its word stands clear of the
// line: outwards, or in the right margin where the word of the tolerance is
// not.
func worstSide(p exercises.ChartPoint, reach float64) string {
	e := p.Error.Float64()
	switch {
	case p.Input == 100 && (e > reach/4 || e < -reach/4):
		return "right"
	case e < 0:
		return "bottom"
	}
	return "top"
}

// addTolerance adds the band of the tolerance between its dashed limits, with
// its name in the right margin.
func addTolerance(line *charts.Line, tolerance formula.Value, z chartSize) {
	t := tolerance.Float64()
	for _, y := range []float64{t, -t} {
		series := []charts.SeriesOpts{
			charts.WithLineStyleOpts(opts.LineStyle{Color: "var(--ink)", Type: "dashed", Width: 1.5}),
			charts.WithSeriesAnimation(false),
		}
		if y == t {
			series = append(series, charts.WithMarkAreaNameCoordItemOpts(opts.MarkAreaNameCoordItem{
				// It is painted over the axis, so it begins beside it.
				Coordinate0: []any{0.25, t}, Coordinate1: []any{100, -t},
				ItemStyle: &opts.ItemStyle{Color: "var(--tint, #eee)"},
			}))
		}
		line.AddSeries("tolerance", []opts.LineData{{Value: [2]float64{0, y}, Symbol: "none"}, {Value: [2]float64{100, y}, Symbol: "none"}}, series...)
	}
	line.AddSeries("name of the tolerance", []opts.LineData{{Value: [2]float64{100, 0}, Symbol: "circle", SymbolSize: 4}},
		charts.WithLabelOpts(word("tolerance", "right", z)),
		charts.WithItemStyleOpts(opts.ItemStyle{Color: "transparent"}), charts.WithSeriesAnimation(false))
}

// named adds the style of an axis name.
func named(axis any, which string, z chartSize) any {
	b, err := json.Marshal(axis)
	if err != nil {
		return axis
	}
	var list []map[string]any
	if err := json.Unmarshal(b, &list); err != nil {
		return axis
	}
	for _, a := range list {
		a["nameTextStyle"] = map[string]any{"color": "var(--ink)", "fontSize": z.font}
		if which == "xAxis" {
			a["interval"] = 25
		}
	}
	return list
}

// reaches are the ends of the error axis, in percent of span.
var reaches = []string{"0.5", "1", "1.5", "2", "3", "4", "5", "6", "8", "10", "20", "50", "100"}

// chartReach is the smallest of the axis ends that leaves room for a word
// beyond the largest error and the tolerance.
func chartReach(c exercises.Chart) float64 {
	most := c.Tolerance
	for _, run := range runs(c) {
		for _, p := range run.Points {
			if a := p.Error.Abs(); a.Sub(most).Sign() > 0 {
				most = a
			}
		}
	}
	most = most.Mul(formula.Ratio(6, 5))
	for _, s := range reaches {
		v, err := formula.ParseDecimal(s)
		if err == nil && v.Sub(most).Sign() >= 0 {
			return v.Float64()
		}
	}
	return most.Float64()
}
