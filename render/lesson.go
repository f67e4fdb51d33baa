package render

import (
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
)

// lesson writes a lesson page and the exercises that follow it.
func (p *page) lesson(l LessonEntry) {
	n := strconv.Itoa(l.Number)
	run := p.namedPage("Lesson " + n + ", " + l.Title)
	p.face = l.Face
	p.raw("<section class=\"lesson ", run, "\" id=\"lesson-", n, "\" aria-labelledby=\"lesson-", n, "-head\">\n",
		"<div class=\"lesson-head\"><h2 id=\"lesson-", n, "-head\"><span class=\"eyebrow\">Lesson ", n, "</span> ")
	p.text(l.Title)
	p.raw("</h2></div>\n")
	if len(l.Segments) > 0 {
		p.raw("<div class=\"text\">\n")
		for i, s := range l.Segments {
			p.segment(s, "l"+n+"-"+strconv.Itoa(i+1))
		}
		p.raw("</div>\n")
	}
	for _, s := range l.Sheets {
		p.sheetEntry(s)
	}
	p.raw("</section>\n")
}

func (p *page) segment(s scenarios.Segment, id string) {
	if s.Prose != nil {
		p.b = p.r.appendDoc(p.b, s.Prose, 1, id)
	}
	if s.Block != nil {
		p.block(*s.Block, id)
	}
}

func (p *page) block(b scenarios.Block, id string) {
	switch b.Kind {
	case scenarios.BlockGoals:
		p.boxed("goals", "After this lesson you can", b.Body)
	case scenarios.BlockCheckYourself:
		p.boxed("check-yourself", "Check yourself", b.Body)
	case scenarios.BlockExample:
		title := "Worked example"
		if b.Title != "" {
			title += ": " + b.Title
		}
		p.boxed("example", title, b.Body)
	case scenarios.BlockCaution:
		p.caution(b.Caution)
	case scenarios.BlockFace:
		p.lessonFace(b.Face, id)
	case scenarios.BlockFormula:
		p.lessonFormula(b)
	case scenarios.BlockReadings:
		p.lessonReadings(b)
	case scenarios.BlockChart:
		p.lessonChart(b, id)
	}
}

func (p *page) boxed(class, title string, body *prose.Doc) {
	p.raw("<div class=\"boxed ", class, "\"><p class=\"boxed-head\">")
	p.text(title)
	p.raw("</p>\n")
	if body != nil {
		p.prose(prose.Text{Doc: body})
	}
	p.raw("</div>\n")
}

func (p *page) lessonFace(f *scenarios.LessonFace, id string) {
	if f == nil {
		return
	}
	p.raw("<figure class=\"face-figure\">\n")
	face := exercises.Face{Design: p.face, Lever: f.Lever, Ring: f.Ring, Needle: f.Needle, CellLine: f.Lever == "Cell"}
	p.b = p.r.appendFace(p.b, face, faceOptions{ID: p.id(id, "face"), Large: p.head.Large, Shared: &p.scales})
	p.figcaption(f.Caption)
	p.raw("</figure>\n")
}

func (p *page) figcaption(s string) {
	if s == "" {
		return
	}
	p.raw("\n<figcaption>")
	p.text(s)
	p.raw("</figcaption>\n")
}

func (p *page) lessonFormula(b scenarios.Block) {
	s, env := signal.Current, formula.Env(nil)
	if b.Loop != nil {
		s, env = b.Loop.Signal, endsOf(b.Loop)
	}
	f, ok := tradeFormulaOf(b.Formula, s)
	if !ok {
		return
	}
	p.raw("<figure class=\"formula\">\n<figcaption>")
	p.text(f.name)
	if b.Loop != nil {
		p.text(", " + b.Loop.Tag)
	}
	p.raw("</figcaption>\n")
	p.formula(f, env)
	p.raw("\n</figure>\n")
}

// lessonReadings writes a table of readings: what goes in, what should come
// out, what does, and the error between them.
func (p *page) lessonReadings(b scenarios.Block) {
	s := b.Signal
	if s.Name == "" { // a block that no course was read from
		s = signal.Current
		if b.Loop != nil {
			s = b.Loop.Signal
		}
	}
	p.scroll("Readings", false)
	p.raw("<table class=\"readings\">\n<caption>")
	if b.Loop != nil {
		p.text(b.Loop.Tag + ", " + b.Loop.Service)
	} else {
		p.text("Readings of a " + signalName(s) + " transmitter")
	}
	p.raw("</caption>\n<thead><tr><th scope=\"col\">Input <span class=\"unit\">%</span></th>")
	if b.Loop != nil {
		p.raw("<th scope=\"col\">Input <span class=\"unit\">")
		p.text(b.Loop.Input.Unit.Symbol)
		p.raw("</span></th>")
	}
	for _, head := range []string{"Should be", "Is"} {
		p.raw("<th scope=\"col\">", head, " <span class=\"unit\">")
		p.text(s.Unit)
		p.raw("</span></th>")
	}
	p.raw("<th scope=\"col\">Error <span class=\"unit\">% of span</span></th></tr></thead>\n<tbody>\n")
	for _, pt := range b.Points {
		ideal := idealOutput(b.Loop, s, pt.Input)
		is := ideal.Add(pt.Error.Mul(s.High.Sub(s.Low)).Div(formula.Int(100)))
		p.raw("<tr><th scope=\"row\">")
		p.text(shortest(pt.Input, 2))
		p.raw("</th>")
		if b.Loop != nil {
			in := b.Loop.Input.Low.Add(b.Loop.Input.Span().Mul(pt.Input).Div(formula.Int(100)))
			p.raw("<td>")
			p.text(shortest(in, 3))
			p.raw("</td>")
		}
		p.raw("<td>")
		p.text(ideal.Text(3))
		p.raw("</td><td>")
		p.text(is.Text(3))
		p.raw("</td><td>")
		p.text(pt.Error.Text(1))
		p.raw("</td></tr>\n")
	}
	p.raw("</tbody></table></div>\n")
}

// idealOutput is the output of a faultless transmitter at an input in percent
// of its range.
func idealOutput(l *scenarios.Loop, s signal.Signal, percent formula.Value) formula.Value {
	fraction := percent.Div(formula.Int(100))
	if l != nil && l.Root == scenarios.RootTransmitter {
		fraction = fraction.Sqrt()
	}
	low, high := s.Low, s.High
	if l != nil && l.Action == scenarios.Reverse {
		low, high = high, low
	}
	return low.Add(fraction.Mul(high.Sub(low)))
}

// shortest prints v with as few decimals as it needs, at most most.
func shortest(v formula.Value, most int) string {
	k, _ := v.Places(most)
	return v.Text(k)
}

func (p *page) lessonChart(b scenarios.Block, id string) {
	c := exercises.Chart{Title: "Error at each point", Worst: -1}
	if b.Loop != nil {
		c.Title = b.Loop.Tag + ", error at each point"
		c.Tolerance = b.Loop.Tolerance
	}
	for _, pt := range b.Points {
		n, err := pt.Input.Round(0)
		if err != nil {
			continue
		}
		c.Points = append(c.Points, exercises.ChartPoint{Input: int(n), Error: pt.Error})
	}
	p.charts = true
	p.raw("<figure class=\"chart-figure\">\n")
	p.b = p.r.appendChart(p.b, c, p.id(id, "chart"), p.head.Large, &p.firstChart)
	p.raw("</figure>\n")
}

// caution writes one of the shared cautions. An id that is not in the list was
// refused when the course was read; here it leaves nothing.
func (p *page) caution(id string) {
	d, ok := scenarios.Caution(id)
	if !ok {
		return
	}
	p.raw("<div class=\"caution\" role=\"note\">")
	p.cautionHead()
	p.raw("<div>")
	p.prose(prose.Text{Doc: d})
	p.raw("</div></div>\n")
}

// cautionsShort writes the first sentence of each caution before an exercise;
// the cover has them in full.
func (p *page) cautionsShort(ids []string) {
	if p.cautionsList(ids) {
		p.raw("<p>The site's rules, the permit, the maker's instructions and the local codes decide. <a href=\"#before\">In full at the front of this book.</a></p></div>\n")
	}
}

// cautionsList writes the first sentence of each caution and leaves their frame
// open for a sentence more. It writes nothing, and says so, where there is none.
func (p *page) cautionsList(ids []string) bool {
	open := false
	for _, id := range ids {
		d, ok := scenarios.Caution(id)
		if !ok {
			continue
		}
		if !open {
			open = true
			p.raw("<div class=\"caution short\" role=\"note\">")
			p.cautionHead()
			p.raw("<ul>\n")
		}
		first, _, _ := strings.Cut(prose.Text{Doc: d}.Plain(), ". ")
		p.raw("<li>")
		p.text(sentence(first))
		p.raw("</li>\n")
	}
	if open {
		p.raw("</ul>\n")
	}
	return open
}

// cautionHead begins a caution: a triangle with a stroke, a shape that stands
// out without colour, and the word. The first of a page draws it for all.
func (p *page) cautionHead() {
	p.raw("<p class=\"caution-head\"><svg class=\"warn\" viewBox=\"0 0 20 18\" aria-hidden=\"true\">")
	if !p.cautioned {
		p.cautioned = true
		p.raw("<path id=\"caution-sign\" d=\"M10 1 19 17H1ZM10 6.5v5M10 13.2v1.6\" fill=\"none\" stroke=\"currentColor\" stroke-width=\"2\" stroke-linejoin=\"round\"/>")
	} else {
		p.raw("<use href=\"#caution-sign\"/>")
	}
	p.raw("</svg> Caution</p>\n")
}
