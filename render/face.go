package render

import (
	"strconv"

	"loopdrill/exercises"
	"loopdrill/scenarios/loop"
)

// faceOptions says where and how large a face is drawn.
type faceOptions struct {
	ID      string // unique on the page; the SVG's id
	Label   string // begins the words for readers who cannot see it: "Reading 3"; no percent, unit, low, high
	WidthMM int    // wished for; a face is never drawn too small to be read. 0: its own width
	Small   bool   // for a cell of a table: five stand on a page
	Large   bool   // for large print; there is no smaller one then

	// Shared is one value for a whole page (var shared sharedScales;
	// &shared): faces of one design then draw their scale once and refer to
	// it. nil: the face stands alone.
	Shared *sharedScales
}

// sharedScales notes which scales a page already holds. The zero value is a
// page without any.
type sharedScales struct {
	known []sharedScale
}

type sharedScale struct {
	key scaleKey
	id  string
}

// scaleKey is all that the shape of a scale depends on.
type scaleKey struct {
	divisions, perDiv, cell int
	small, large            bool
	widthMM                 int
}

// scale is a dial with the SVG of its scale.
type scale struct {
	dial
	svg []byte
}

// appendFace appends a meter face as an SVG to scale in millimetres, with the
// settings of lever and ring in words below it. Printed at 100 % its small
// marks lie at least 1.5 mm apart, 1.2 mm if small.
//
// The needle is turned by its code alone; on a stop it rests on the peg, always
// at the same place. Readers who cannot see it are given [FaceWords]; there is
// no title element, for it would tell the reading to whoever points at it.
func (r *Renderer) appendFace(dst []byte, f exercises.Face, o faceOptions) []byte {
	key := scaleKey{f.Design.Divisions, f.Design.SmallPerDiv, f.Design.CellLineSmall, o.Small && !o.Large, o.Large, o.WidthMM}
	s := r.scale(key, f)

	dst = append(dst, `<div class="face`...)
	if key.small {
		dst = append(dst, ` compact`...)
	}
	dst = append(dst, `"><svg role="img" id="`...)
	dst = appendAttr(dst, o.ID)
	dst = append(dst, `" aria-label="`...)
	if o.Label != "" {
		dst = appendAttr(dst, o.Label)
		dst = append(dst, ": "...)
	}
	dst = appendAttr(dst, FaceWords(f))
	dst = append(dst, `" width="`...)
	dst = appendHundredths(dst, s.left+s.right)
	dst = append(dst, `mm" height="`...)
	dst = appendHundredths(dst, s.bottom-s.top)
	dst = append(dst, `mm" viewBox="`...)
	for i, v := range []int{-s.left, s.top, s.left + s.right, s.bottom - s.top} {
		if i > 0 {
			dst = append(dst, ' ')
		}
		dst = appendHundredths(dst, v)
	}
	dst = append(dst, `">`...)
	dst = o.Shared.appendScale(dst, key, s, o.ID)
	if f.CellLine {
		dst = s.appendCellLine(dst, f.Lever == "Cell")
	}
	dst = s.appendNeedle(dst, s.angle(f.Needle))
	dst = append(dst, `</svg>`...)
	dst = appendSettings(dst, f)
	return append(dst, `</div>`...)
}

// angle is that of a needle, in hundredths of a degree. A code beyond the
// scale, which no movement gives, counts as lying on the stop.
func (d dial) angle(n loop.Needle) int {
	switch {
	case n.Stop == loop.RightStop || n.Code > d.stop:
		return d.stopAngle()
	case n.Stop == loop.LeftStop || n.Code < -d.stop:
		return -d.stopAngle()
	}
	return n.Code * d.step
}

// scale returns the scale of a key, drawn once.
func (r *Renderer) scale(key scaleKey, f exercises.Face) *scale {
	if have, ok := r.scales.Load(key); ok {
		return have.(*scale)
	}
	d := newDial(f.Design, key.small, key.large, key.widthMM)
	s := &scale{dial: d, svg: d.appendScale(nil)}
	r.scales.Store(key, s)
	return s
}

// appendScale appends the scale itself, or a reference to the one that an
// earlier face of the page holds.
func (p *sharedScales) appendScale(dst []byte, key scaleKey, s *scale, id string) []byte {
	if p == nil {
		return append(dst, s.svg...)
	}
	for _, k := range p.known {
		if k.key == key {
			dst = append(dst, `<use href="#`...)
			dst = appendAttr(dst, k.id)
			return append(dst, `-scale"/>`...)
		}
	}
	p.known = append(p.known, sharedScale{key, id})
	dst = append(dst, `<g id="`...)
	dst = appendAttr(dst, id)
	dst = append(dst, `-scale">`...)
	dst = append(dst, s.svg...)
	return append(dst, `</g>`...)
}

// appendSettings appends where lever and ring stand. They are text of the page
// and no part of the picture, so that everybody can read them.
func appendSettings(dst []byte, f exercises.Face) []byte {
	if f.Lever == "" {
		return dst
	}
	dst = append(dst, `<div class="settings"><span>Lever <b>`...)
	dst = appendText(dst, f.Lever)
	dst = append(dst, `</b></span>`...)
	if f.Lever == "Current" || f.Lever == "Voltage" || f.Lever == "Send" {
		dst = append(dst, ` <span>Ring <b>`...)
		dst = strconv.AppendInt(dst, int64(f.Ring), 10)
		dst = append(dst, "\u00a0%</b></span>"...)
	}
	return append(dst, `</div>`...)
}
