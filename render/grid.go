package render

import (
	"strconv"

	"loopdrill/scenarios/formula"
)

// The grid in millimetres: 1 mm is 1 % of the input; 6 mm are 1 % of span of
// error.
const (
	gridReach  = 5 // percent of span, each way: the end of the face
	gridStep   = 6 // mm for 1 % of span
	gridLeft   = 14
	gridTop    = 4
	gridWidth  = 100
	gridHeight = 2 * gridReach * gridStep
)

// appendBlankGrid appends a grid in millimetres in which the apprentice draws
// an error chart. Its scale is always the whole face, so that it says nothing
// about the errors; the tolerance, a given, is drawn as dashed lines.
func (r *Renderer) appendBlankGrid(dst []byte, tolerance formula.Value) []byte {
	n := func(v int) { dst = strconv.AppendInt(dst, int64(v), 10) }
	raw := func(s string) { dst = append(dst, s...) }
	t := formula.WithUnit(shortest(tolerance, 3), "%")
	raw(`<svg class="grid" role="img" width="122mm" height="78mm" viewBox="0 0 122 78" aria-label="`)
	dst = appendAttr(dst, "Empty chart to draw in: input from 0 to 100 % to the right, error from \u22125 to +5 % of span upwards, dashed lines at the tolerance of ± "+t)
	raw(`"><path class="grid-fine" d="`)
	for y := 0; y <= gridHeight; y += gridStep / 2 {
		if y%gridStep != 0 {
			gridLine(&dst, gridLeft, gridTop+y, gridWidth, true)
		}
	}
	for x := 0; x <= gridWidth; x += 5 {
		if x%25 != 0 {
			gridLine(&dst, gridLeft+x, gridTop, gridHeight, false)
		}
	}
	raw(`"/><path class="grid-line" d="`)
	for y := 0; y <= gridHeight; y += gridStep {
		gridLine(&dst, gridLeft, gridTop+y, gridWidth, true)
	}
	for x := 0; x <= gridWidth; x += 25 {
		gridLine(&dst, gridLeft+x, gridTop, gridHeight, false)
	}
	raw(`"/><path class="grid-zero" d="`)
	gridLine(&dst, gridLeft, gridTop+gridHeight/2, gridWidth, true)
	raw(`"/>`)
	if off, err := tolerance.Mul(formula.Int(gridStep)).Round(1); err == nil && off > 0 && off < 10*gridHeight/2 {
		raw(`<path class="grid-limit" d="`)
		for _, y := range []int64{10*(gridTop+gridHeight/2) - off, 10*(gridTop+gridHeight/2) + off} {
			raw("M")
			n(gridLeft)
			raw(" ")
			raw(formula.Decimal(y, 1).Text(1))
			raw("h")
			n(gridWidth)
		}
		raw(`"/>`)
	}
	for y := -gridReach; y <= gridReach; y++ {
		gridText(&dst, gridLeft-2, gridTop+gridHeight/2-gridStep*y+1, "end", signed0(y))
	}
	for x := 0; x <= gridWidth; x += 25 {
		gridText(&dst, gridLeft+x, gridTop+gridHeight+5, "middle", strconv.Itoa(x))
	}
	gridText(&dst, gridLeft+gridWidth/2, gridTop+gridHeight+11, "middle", "input, % of range")
	raw(`<text transform="translate(4 `)
	n(gridTop + gridHeight/2)
	raw(`) rotate(-90)" text-anchor="middle">error, % of span</text></svg>`)
	return dst
}

func signed0(n int) string {
	switch {
	case n > 0:
		return "+" + strconv.Itoa(n)
	case n < 0:
		return "\u2212" + strconv.Itoa(-n)
	}
	return "0"
}

func gridLine(dst *[]byte, x, y, length int, across bool) {
	b := append(*dst, 'M')
	b = strconv.AppendInt(b, int64(x), 10)
	b = append(b, ' ')
	b = strconv.AppendInt(b, int64(y), 10)
	if across {
		b = append(b, 'h')
	} else {
		b = append(b, 'v')
	}
	*dst = strconv.AppendInt(b, int64(length), 10)
}

func gridText(dst *[]byte, x, y int, anchor, s string) {
	b := append(*dst, `<text x="`...)
	b = strconv.AppendInt(b, int64(x), 10)
	b = append(b, `" y="`...)
	b = strconv.AppendInt(b, int64(y), 10)
	b = append(b, `" text-anchor="`...)
	b = append(b, anchor...)
	b = append(b, `">`...)
	b = appendText(b, s)
	*dst = append(b, "</text>"...)
}
