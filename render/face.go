package render

import (
	"loopdrill/exercises"
)

// faceOptions says where and how large a face is drawn.
type faceOptions struct {
	ID      string // unique on the page; the SVG's id
	Label   string // begins the words for readers who cannot see it: "Reading 3"; no percent, unit, low, high
	WidthMM int    // wished for; a face is never drawn too small to be read. 0: its own width
	Small   bool   // for a cell of a table: five stand on a page

	// Shared is one value for a whole page (var shared sharedScales;
	// &shared): faces of one design then draw their scale once and refer to
	// it. nil: the face stands alone.
	Shared *sharedScales
}

// sharedScales notes which scales a page already holds. The zero value is a
// page without any.
type sharedScales struct {
	ids []string
}

// appendFace appends a meter face as an SVG to scale, with the settings of
// lever and ring in words beside it.
func (r *Renderer) appendFace(dst []byte, f exercises.Face, o faceOptions) []byte {
	dst = append(dst, `<div class="face"><svg role="img" id="`...)
	dst = appendAttr(dst, o.ID)
	dst = append(dst, `" aria-label="`...)
	dst = appendAttr(dst, FaceWords(f))
	return append(dst, `"></svg></div>`...)
}
