package render

import (
	"strconv"

	"loopdrill/exercises"
)

// widestStill is the width in tenths of a millimetre up to which a drawing is
// made smaller on a small screen; a wider one would lose its letters, so it is
// moved sideways in a frame of its own.
const widestStill = 900

// appendDrawing appends a line drawing as an SVG to scale in millimetres; one
// unit of it is a tenth of a millimetre. id is unique on the page. Its alternative
// text is the drawing's own words.
func appendDrawing(dst []byte, d exercises.Drawing, id string) []byte {
	words := d.Words
	if words == "" {
		words = "drawing without words"
	}
	dst = append(dst, `<svg class="drawing" role="img" id="`...)
	dst = appendAttr(dst, id)
	dst = append(dst, `" aria-label="`...)
	dst = appendAttr(dst, words)
	dst = append(dst, `" width="`...)
	dst = appendHundredths(dst, 10*d.Width)
	dst = append(dst, `mm" height="`...)
	dst = appendHundredths(dst, 10*d.Height)
	dst = append(dst, `mm" viewBox="0 0 `...)
	dst = appendInts(dst, d.Width, d.Height)
	dst = append(dst, `">`...)
	for _, s := range d.Shapes {
		if s.Arrow {
			// An arrow head of its own: one of another drawing may be folded away.
			dst = append(dst, `<marker id="`...)
			dst = appendAttr(dst, id)
			dst = append(dst, `-tip" viewBox="0 0 10 10" refX="9" refY="5" markerWidth="24" markerHeight="24" markerUnits="userSpaceOnUse" orient="auto"><path class="tip" d="M0 1L10 5L0 9Z"/></marker>`...)
			break
		}
	}
	for _, s := range d.Shapes {
		dst = appendDrawn(dst, s, id)
	}
	for _, l := range d.Labels {
		dst = append(dst, `<text x="`...)
		dst = appendInts(dst, l.At[0])
		dst = append(dst, `" y="`...)
		dst = appendInts(dst, l.At[1])
		dst = append(dst, '"')
		if l.Anchor == exercises.AnchorMiddle || l.Anchor == exercises.AnchorEnd {
			dst = append(dst, ` text-anchor="`...)
			dst = append(dst, l.Anchor...)
			dst = append(dst, '"')
		}
		dst = append(dst, '>')
		dst = appendText(dst, l.Text)
		dst = append(dst, `</text>`...)
	}
	return append(dst, `</svg>`...)
}

// appendDrawn appends one shape. Its look is in its classes.
func appendDrawn(dst []byte, s exercises.Shape, id string) []byte {
	if len(s.Points) == 0 {
		return dst
	}
	if s.Radius > 0 {
		dst = append(dst, `<circle cx="`...)
		dst = appendInts(dst, s.Points[0][0])
		dst = append(dst, `" cy="`...)
		dst = appendInts(dst, s.Points[0][1])
		dst = append(dst, `" r="`...)
		dst = appendInts(dst, s.Radius)
		dst = append(dst, '"')
	} else {
		dst = append(dst, `<path d="`...)
		for i, p := range s.Points {
			switch {
			case i == 0:
				dst = append(dst, 'M')
			default:
				dst = append(dst, 'L')
			}
			dst = appendInts(dst, p[0], p[1])
		}
		if s.Closed {
			dst = append(dst, 'Z')
		}
		dst = append(dst, '"')
	}
	class := ""
	for _, c := range []struct {
		on   bool
		name string
	}{{s.Fill, "fill"}, {s.Heavy, "heavy"}, {s.Dashed, "dashed"}} {
		if c.on {
			if class != "" {
				class += " "
			}
			class += c.name
		}
	}
	if class != "" {
		dst = append(dst, ` class="`...)
		dst = append(dst, class...)
		dst = append(dst, '"')
	}
	if s.Arrow && s.Radius == 0 && len(s.Points) > 1 {
		dst = append(dst, ` marker-end="url(#`...)
		dst = appendAttr(dst, id)
		dst = append(dst, `-tip)"`...)
	}
	return append(dst, `/>`...)
}

// appendInts appends whole numbers with a blank between them.
func appendInts(dst []byte, ns ...int) []byte {
	for i, n := range ns {
		if i > 0 {
			dst = append(dst, ' ')
		}
		dst = strconv.AppendInt(dst, int64(n), 10)
	}
	return dst
}

// drawing writes a drawing, in a frame that can be moved sideways where it is
// too wide for a small screen.
func (x *exercise) drawing(d exercises.Drawing, id string) {
	p := x.p
	if d.Width > widestStill {
		p.raw("<div class=\"scroll wide-drawing\" tabindex=\"0\" role=\"group\" aria-label=\"drawing of exercise ", x.number, "\">")
	}
	p.b = appendDrawing(p.b, d, id)
	if d.Width > widestStill {
		p.raw("</div>")
	}
}
