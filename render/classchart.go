package render

import (
	"encoding/json"
	"slices"
	"strconv"

	"github.com/go-echarts/go-echarts/v2/charts"
	"github.com/go-echarts/go-echarts/v2/opts"

	"loopdrill/exercises/sitting"
)

// Charts of a class. Their figures stand in tables beside them.

const classFont = 13

// classChart writes a chart of a class; height is in CSS pixels for a width of
// 640.
func (p *page) classChart(option map[string]any, id, says string, height int) {
	p.charts = true
	b, err := json.Marshal(option)
	if err != nil {
		b = []byte("{}") // numbers and strings only: cannot happen; the table still serves
	}
	h := strconv.Itoa(height)
	p.raw("<div class=\"chart class-chart\" id=\"", id, "\" role=\"img\" data-height=\"", h, "\" style=\"aspect-ratio: 640 / ", h, "\" aria-label=\"")
	p.attr(says + "; the figures stand in the table below")
	p.raw("\"></div><script type=\"application/json\" data-chart=\"", id, "\">", string(b), "</script>\n")
}

func axisLook(name string) (opts.AxisLabel, *opts.SplitLine, *opts.AxisLine) {
	return opts.AxisLabel{Color: "var(--ink)", FontSize: classFont, FontFamily: "inherit", Show: opts.Bool(true)},
		&opts.SplitLine{Show: opts.Bool(name != ""), LineStyle: &opts.LineStyle{Color: "var(--faint)"}},
		&opts.AxisLine{LineStyle: &opts.LineStyle{Color: "var(--ink)"}}
}

// marksChart is a bar for each form with the pass mark as a line; what is still
// open stands on the bar, hollow.
func (p *page) marksChart(r sitting.Report) {
	bar := charts.NewBar()
	id := p.id("chart-marks")
	bar.ChartID = id
	label, none, line := axisLook("")
	_, split, _ := axisLook("y")
	var names []string
	var sure, open []opts.BarData
	for _, w := range r.Works {
		names = append(names, strconv.Itoa(w.Form.Number))
		sure = append(sure, opts.BarData{Value: w.Result.Least})
		open = append(open, opts.BarData{Value: w.Result.Most - w.Result.Least})
	}
	bar.SetGlobalOptions(
		charts.WithAnimation(false),
		charts.WithLegendOpts(opts.Legend{Show: opts.Bool(false)}),
		charts.WithTooltipOpts(opts.Tooltip{Show: opts.Bool(false)}),
		charts.WithGridOpts(opts.Grid{Left: "50", Right: "80", Top: "16", Bottom: "46"}),
		charts.WithXAxisOpts(opts.XAxis{Type: "category", Name: "form", NameLocation: "middle", NameGap: 28, AxisLabel: &label, SplitLine: none, AxisLine: line}),
		charts.WithYAxisOpts(opts.YAxis{Type: "value", Name: "", Min: 0, Max: r.Marks, AxisLabel: &label, SplitLine: split, AxisLine: line}),
	)
	bar.SetXAxis(names)
	bar.AddSeries("marks", sure, charts.WithBarChartOpts(opts.BarChart{Stack: "m"}), charts.WithItemStyleOpts(opts.ItemStyle{Color: "var(--soft)"}), charts.WithSeriesAnimation(false))
	bar.AddSeries("open", open, charts.WithBarChartOpts(opts.BarChart{Stack: "m"}), charts.WithItemStyleOpts(opts.ItemStyle{Color: "transparent", BorderColor: "var(--ink)", BorderWidth: 1}), charts.WithSeriesAnimation(false))
	bar.Validate()
	option := bar.JSON()
	if r.Pass > 0 {
		first := seriesOf(option, 0)
		first["markLine"] = map[string]any{"silent": true, "symbol": "none", "animation": false,
			"data":      []any{map[string]any{"yAxis": r.Pass, "label": map[string]any{"formatter": "pass " + strconv.Itoa(r.Pass), "color": "var(--ink)", "fontSize": classFont, "fontFamily": "inherit", "fontWeight": "bold"}}},
			"lineStyle": map[string]any{"color": "var(--accent)", "width": 2, "type": "dashed"}}
	}
	inherit(option)
	p.classChart(option, id, "Marks of each form, with the pass mark; hollow: not decided yet", 280)
}

// seriesOf makes series i of an option a plain map, so that what has no typed
// field can be set.
func seriesOf(option map[string]any, i int) map[string]any {
	b, err := json.Marshal(option["series"])
	var all []map[string]any
	if err != nil || json.Unmarshal(b, &all) != nil || i >= len(all) {
		return map[string]any{}
	}
	list := make([]any, len(all))
	for j := range all {
		list[j] = all[j]
	}
	option["series"] = list
	return all[i]
}

// inherit gives the names of the axes the look of the page.
func inherit(option map[string]any) {
	for _, axis := range []string{"xAxis", "yAxis"} {
		b, err := json.Marshal(option[axis])
		var all []map[string]any
		if err != nil || json.Unmarshal(b, &all) != nil {
			continue
		}
		for _, a := range all {
			a["nameTextStyle"] = map[string]any{"color": "var(--ink)", "fontSize": classFont, "fontFamily": "inherit"}
		}
		option[axis] = all
	}
}

// mostSlipRows is how many slips the heat map shows, the most frequent ones.
const mostSlipRows = 15

// slipChart is the heat map of slips by exercise. A cell has the number of
// people in it, so that nothing hangs on its shade.
func (p *page) slipChart(r sitting.Report) {
	rows := r.Slips[:min(len(r.Slips), mostSlipRows)]
	var columns []string
	var numbers []int
	for _, q := range r.Questions {
		if !slices.Contains(numbers, q.Number) {
			numbers = append(numbers, q.Number)
			columns = append(columns, strconv.Itoa(q.Number))
		}
	}
	var names []string
	var data []opts.HeatMapData
	most := 1
	for i := range rows {
		s := rows[len(rows)-1-i] // the axis runs upwards
		names = append(names, wrapped(s.Name, 30))
		for x, number := range numbers {
			if n := s.ByExercise[number]; n > 0 {
				data = append(data, opts.HeatMapData{Value: [3]any{x, i, n}})
				most = max(most, n)
			}
		}
	}
	heat := charts.NewHeatMap()
	id := p.id("chart-slips")
	heat.ChartID = id
	label, split, line := axisLook("grid")
	heat.SetGlobalOptions(
		charts.WithAnimation(false),
		charts.WithLegendOpts(opts.Legend{Show: opts.Bool(false)}),
		charts.WithTooltipOpts(opts.Tooltip{Show: opts.Bool(false)}),
		charts.WithGridOpts(opts.Grid{Left: "215", Right: "10", Top: "10", Bottom: "46"}),
		charts.WithXAxisOpts(opts.XAxis{Type: "category", Name: "exercise", Data: columns, NameLocation: "middle", NameGap: 28, AxisLabel: &label, SplitLine: split, AxisLine: line}),
		charts.WithYAxisOpts(opts.YAxis{Type: "category", Data: names, AxisLabel: &label, SplitLine: split, AxisLine: line}),
	)
	heat.AddSeries("people", data,
		charts.WithItemStyleOpts(opts.ItemStyle{Color: "var(--accent)", BorderColor: "var(--paper)", BorderWidth: 1}),
		charts.WithLabelOpts(opts.Label{Show: opts.Bool(true), Color: "var(--ink)", FontSize: classFont, FontFamily: "inherit", FontWeight: "bold"}),
		charts.WithSeriesAnimation(false))
	heat.Validate()
	option := heat.JSON()
	option["color"] = []string{"var(--accent)"}
	seriesOf(option, 0)["label"].(map[string]any)["opacity"] = 1
	// The library shades through a map of values; only the strength of the one
	// colour changes, so that dark screens and paper need no second drawing.
	option["visualMap"] = map[string]any{"show": false, "min": 0, "max": most, "inRange": map[string]any{"opacity": []float64{0.1, 0.5}}}
	inherit(option)
	p.raw("<figure class=\"chart-figure\">\n")
	p.classChart(option, id, "Slips by exercise, with the number of people", 90+34*len(rows))
	p.raw("</figure>\n")
	if len(r.Slips) > len(rows) {
		p.raw("<p class=\"note\">The ", strconv.Itoa(len(rows)), " most frequent of ", strconv.Itoa(len(r.Slips)), " slips; the table has all.</p>\n")
	}
}

// wrapped breaks a name into lines of about width characters.
func wrapped(s string, width int) string {
	out, line := "", 0
	word := ""
	flush := func() {
		if word == "" {
			return
		}
		n := len([]rune(word))
		switch {
		case line == 0:
		case line+1+n > width:
			out += "\n"
			line = 0
		default:
			out += " "
			line++
		}
		out += word
		line += n
		word = ""
	}
	for _, c := range s {
		if c == ' ' {
			flush()
			continue
		}
		word += string(c)
	}
	flush()
	return out
}
