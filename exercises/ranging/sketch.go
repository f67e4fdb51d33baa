package ranging

import (
	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// Places of the sketch, tenths of a millimetre. It is not to scale: only which
// thing is above which is as in the figures.
const (
	wallLeft, wallRight = 330, 540
	roof, floor         = 60, 420
	upperTap, at100     = 100, 150
	surface             = 230
	at0, lowerTap       = 300, 395
	cellX, radius       = 670, 32
	below, above        = 540, 345
	legX                = 740
)

// draw adds the sketch of a vessel with its heights.
func (d drawn) draw(w *exercises.Draft) {
	s := &exercises.Drawing{Width: 900, Height: 620}
	line := func(points ...[2]int) { s.Shapes = append(s.Shapes, exercises.Shape{Points: points}) }
	dashed := func(x0, x1, y int) {
		s.Shapes = append(s.Shapes, exercises.Shape{Points: [][2]int{{x0, y}, {x1, y}}, Dashed: true})
	}
	label := func(x, y int, text string, a exercises.Anchor) {
		s.Labels = append(s.Labels, exercises.Label{At: [2]int{x, y}, Text: text, Anchor: a})
	}
	word := func(name string) string { return w.Text("label." + name).Plain() }

	box := func(x0, y0, x1, y1 int, as exercises.Shape) {
		as.Points, as.Closed = [][2]int{{x0, y0}, {x1, y0}, {x1, y1}, {x0, y1}}, true
		s.Shapes = append(s.Shapes, as)
	}
	// from and to are the ends of a height; its arrow points at to.
	height := func(x, from, to int, text string, y int, a exercises.Anchor) {
		s.Shapes = append(s.Shapes, exercises.Shape{Points: [][2]int{{x, from}, {x, to}}, Arrow: true})
		gap := 12
		if a == exercises.AnchorEnd {
			gap = -gap
		}
		label(x+gap, y, text, a)
	}
	cell := below
	if d.above {
		cell, s.Height = above, 460
	}
	// The vessel; an open one has no roof.
	box(wallLeft, surface, wallRight, floor, exercises.Shape{Fill: true})
	walls := exercises.Shape{Points: [][2]int{{wallLeft, roof}, {wallLeft, floor}, {wallRight, floor}, {wallRight, roof}}, Heavy: true}
	walls.Closed = d.vessel.leg != noLeg
	s.Shapes = append(s.Shapes, walls)
	dashed(wallLeft, wallRight, at100)
	dashed(wallLeft, wallRight, at0)
	label(wallLeft+12, at100-8, "100\u00a0%", exercises.AnchorStart)
	label(wallLeft+12, at0-8, "0\u00a0%", exercises.AnchorStart)
	// The transmitter and its lines.
	line([2]int{wallRight, lowerTap}, [2]int{600, lowerTap}, [2]int{600, cell}, [2]int{cellX - radius, cell})
	s.Shapes = append(s.Shapes, exercises.Shape{Points: [][2]int{{cellX, cell}}, Radius: radius, Heavy: true})
	label(cellX, cell+9, "LT", exercises.AnchorMiddle)
	label(cellX-radius-8, cell-10, "H", exercises.AnchorEnd)
	label(cellX+radius+8, cell-10, "L", exercises.AnchorStart)
	right := legX
	switch d.vessel.leg {
	case noLeg:
		line([2]int{cellX + radius, cell}, [2]int{legX, cell})
		under := cell + radius + 32
		if d.above {
			under = cell - radius - 12
		}
		label(cellX, under, word("air"), exercises.AnchorMiddle)
	case dryLeg:
		line([2]int{cellX + radius, cell}, [2]int{legX, cell}, [2]int{legX, upperTap}, [2]int{wallRight, upperTap})
		label(legX-10, upperTap-14, word("dry"), exercises.AnchorEnd)
	case wetLeg:
		box(legX-8, upperTap, legX+8, cell+8, exercises.Shape{Fill: true})
		line([2]int{cellX + radius, cell}, [2]int{legX - 8, cell})
		line([2]int{legX - 8, upperTap}, [2]int{wallRight, upperTap})
		label(legX-14, upperTap-14, word("wet"), exercises.AnchorEnd)
		right = legX + 8
	}
	// Heights: those of the level left, those of the transmitter right.
	dashed(60, wallLeft, lowerTap)
	dashed(60, wallLeft, at100)
	dashed(230, wallLeft, at0)
	height(100, lowerTap, at100, inMetres(d.high), 275, exercises.AnchorStart)
	height(250, lowerTap, at0, inMetres(d.low), 357, exercises.AnchorEnd)
	dashed(600, 850, lowerTap)
	dashed(right, 850, cell)
	if d.above {
		s.Shapes = append(s.Shapes, exercises.Shape{Points: [][2]int{{830, lowerTap}, {830, cell}}, Arrow: true})
		label(830, lowerTap+38, inMetres(d.mount), exercises.AnchorMiddle)
	} else {
		height(770, lowerTap, cell, inMetres(d.mount), (lowerTap+cell)/2+9, exercises.AnchorStart)
	}
	words := []string{"low", inMetres(d.low), "high", inMetres(d.high), "mount", inMetres(d.mount), "side", d.vessel.mount()}
	if d.vessel.leg == wetLeg {
		dashed(right, 850, upperTap)
		height(770, lowerTap, upperTap, inMetres(d.leg), 200, exercises.AnchorStart)
		words = append(words, "leg", inMetres(d.leg))
	}
	s.Words = w.Text("words."+string(d.vessel.leg), words...).Plain()
	w.Item.Sheet.Figures = append(w.Item.Sheet.Figures,
		exercises.Figure{ID: "vessel", Caption: w.Text("sketch"), Drawing: s})
}

// inMetres prints centimetres as metres.
func inMetres(cm int64) string { return formula.WithUnit(formula.Decimal(cm, 2).Text(2), "m") }
