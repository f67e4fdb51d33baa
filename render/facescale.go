package render

import (
	"strconv"

	"loopdrill/scenarios"
)

// All lengths of a face are whole hundredths of a millimetre and all angles
// whole hundredths of a degree, worked with integers alone: every processor
// then writes the same bytes, and the needle is turned by an exact decimal
// without any trigonometry.

// dial is the geometry of a face: pivot at the origin, y downwards, angle 0
// straight up. The pivot lies below the lower edge of the picture.
type dial struct {
	perDiv, stop int // small marks in a division, and to each side
	step         int // of one small mark, angle
	cell         int // small marks of the cell line
	tip          int // radius at which needle and small marks meet
	smallMark    int // lengths outwards from there
	divMark      int
	number       int // distance outwards of the middle of the numbers
	font         int
	pegRadius    int
	left         int // half the width of the picture; it is symmetrical
	right        int
	top, bottom  int // y of its edges
}

const (
	fullSpacing  = 150  // least distance of small marks on the arc: 1.5 mm
	smallSpacing = 120  // the same in a cell of a table: 1.2 mm
	fullArc      = 5000 // from the middle to the last mark
	smallArc     = 3500 // flatter, to save height
)

// largeSpacing is the least distance of small marks in large print: the face
// then fills the width of the paper.
const largeSpacing = 170

// newDial fits a dial to a design. Small marks lie at least 1.5 mm apart
// (1.2 mm if small) whatever width was wished for: ten divisions of five give
// 152 mm and 126 mm. Up to 58 small marks to a side fit on the A4 page.
func newDial(design scenarios.Face, small, large bool, widthMM int) dial {
	d := dial{perDiv: max(1, design.SmallPerDiv), cell: design.CellLineSmall}
	d.stop = max(1, design.Divisions) * d.perDiv
	arc, spacing, least, skirt, margin := fullArc, fullSpacing, 6500, 1400, 150
	d.smallMark, d.divMark, d.number, d.font, d.pegRadius = 300, 480, 760, 360, 90
	if small {
		arc, spacing, least, skirt, margin = smallArc, smallSpacing, 7000, 1100, 100
		d.smallMark, d.divMark, d.number, d.font, d.pegRadius = 250, 400, 620, 300, 80
	}
	if large {
		spacing = largeSpacing
		d.smallMark, d.divMark, d.number, d.font, d.pegRadius = 380, 600, 1010, 560, 110
	}
	d.step = max(1, arc/d.stop)
	sinEnd, cosEnd := sinCos(min(d.stop*d.step, 9000))
	sinCell, cosCell := sinCos(max(-9000, min(d.cell*d.step, 9000)))
	sinCell = max(sinCell, -sinCell)
	// From the middle of the last number, and of the word at the cell line,
	// to the edge of the picture.
	besideNumber, besideWord := d.font*9/10+margin/2, d.font*11/10+margin

	d.tip = max(least, (spacing*572958+d.step*100-1)/(d.step*100))
	wish := int(int64(widthMM*50-besideNumber)*unity/sinEnd) - d.number
	if sinCell > 0 {
		wish = min(wish, int(int64(widthMM*50-besideWord)*unity/sinCell)-(d.cellWord()-d.tip))
	}
	d.tip = max(d.tip, wish)

	// The word stands outside the numbers; where the line is near the middle
	// or an end it needs room of its own.
	d.right = max(scaled(d.tip+d.number, sinEnd)+besideNumber, scaled(d.cellWord(), sinCell)+besideWord)
	d.left = d.right
	d.top = min(-(d.tip+d.number), -scaled(d.cellWord(), cosCell)) - d.font*6/10 - margin
	d.bottom = -scaled(d.tip, cosEnd) + skirt
	return d
}

// cellWord is the radius of the middle of the word at the cell line.
func (d dial) cellWord() int { return d.tip + d.number + d.font*12/10 }

// pegAngle is where the middle of the right stop's peg lies, so that a needle
// turned to stopAngle just touches it.
func (d dial) pegAngle() int {
	return d.stopAngle() + (d.pegRadius+needleTip+12)*572958/(d.pegAt()*100)
}

// stopAngle is that of a needle on its right stop: one small mark beyond the
// last, so that it cannot be taken for a reading there.
func (d dial) stopAngle() int { return (d.stop + 1) * d.step }

// pegAt is the radius on which the pegs stand.
func (d dial) pegAt() int { return d.tip - 2*d.smallMark }

// numbered is every how many divisions a number is printed.
func (d dial) numbered() int {
	room := (d.font*2 + 1) * 572958 / ((d.tip + d.number) * 100) // angle that a number needs
	for _, k := range []int{1, 2, 5, 10, 20, 50} {
		if k*d.perDiv*d.step >= room {
			return k
		}
	}
	return d.stop / d.perDiv
}

// appendScale appends what does not move: frame, marks, numbers and pegs.
func (d dial) appendScale(dst []byte) []byte {
	dst = append(dst, `<rect class="edge" x="`...)
	dst = appendHundredths(dst, -d.left+20)
	dst = append(dst, `" y="`...)
	dst = appendHundredths(dst, d.top+20)
	dst = append(dst, `" width="`...)
	dst = appendHundredths(dst, d.left+d.right-40)
	dst = append(dst, `" height="`...)
	dst = appendHundredths(dst, d.bottom-d.top-40)
	dst = append(dst, `" rx="1.5"/><path class="arc" d="`...)
	dst = d.appendArc(dst)
	dst = append(dst, `"/><path class="small" d="`...)
	for m := -d.stop; m <= d.stop; m++ {
		if m%d.perDiv != 0 {
			dst = d.appendMark(dst, m, d.tip, d.tip+d.smallMark)
		}
	}
	dst = append(dst, `"/><path class="division" d="`...)
	for m := -d.stop; m <= d.stop; m += d.perDiv {
		dst = d.appendMark(dst, m, d.tip, d.tip+d.divMark)
	}
	dst = append(dst, `"/>`...)
	dst = append(dst, `<g font-size="`...)
	dst = appendHundredths(dst, d.font)
	dst = append(dst, `">`...)
	every := d.numbered()
	for n := -d.stop / d.perDiv; n <= d.stop/d.perDiv; n++ {
		if n%every == 0 {
			dst = d.appendNumber(dst, n)
		}
	}
	dst = append(dst, `</g>`...)
	for _, side := range []int{-1, 1} {
		dst = append(dst, `<circle class="peg" cy="`...)
		dst = appendHundredths(dst, -d.pegAt())
		dst = append(dst, `" r="`...)
		dst = appendHundredths(dst, d.pegRadius)
		dst = append(dst, `" transform="rotate(`...)
		dst = appendHundredths(dst, side*d.pegAngle())
		dst = append(dst, `)"/>`...)
	}
	return dst
}

// appendArc appends the line on which the marks stand, from end to end.
func (d dial) appendArc(dst []byte) []byte {
	sin, cos := sinCos(d.stop * d.step)
	x, y := scaled(d.tip, sin), -scaled(d.tip, cos)
	dst = append(dst, 'M')
	dst = appendHundredths(dst, -x)
	dst = append(dst, ' ')
	dst = appendHundredths(dst, y)
	dst = append(dst, 'A')
	dst = appendHundredths(dst, d.tip)
	dst = append(dst, ' ')
	dst = appendHundredths(dst, d.tip)
	dst = append(dst, ` 0 0 1 `...)
	dst = appendHundredths(dst, x)
	dst = append(dst, ' ')
	return appendHundredths(dst, y)
}

// appendMark appends the line of a mark between two radii.
func (d dial) appendMark(dst []byte, mark, from, to int) []byte {
	sin, cos := sinCos(mark * d.step)
	for i, radius := range []int{from, to} {
		dst = append(dst, "ML"[i])
		dst = appendHundredths(dst, scaled(radius, sin))
		dst = append(dst, ' ')
		dst = appendHundredths(dst, -scaled(radius, cos))
	}
	return dst
}

// appendNumber appends the number of a division, upright along the arc.
func (d dial) appendNumber(dst []byte, n int) []byte {
	dst = append(dst, `<text y="`...)
	// A digit's middle lies 0.36 of the font size above its base line.
	dst = appendHundredths(dst, -(d.tip+d.number)+d.font*36/100)
	if n != 0 {
		dst = append(dst, `" transform="rotate(`...)
		dst = appendHundredths(dst, n*d.perDiv*d.step)
		dst = append(dst, ')')
	}
	dst = append(dst, `">`...)
	switch {
	case n < 0:
		dst = append(dst, "\u2212"...)
	case n > 0:
		dst = append(dst, '+')
	}
	dst = strconv.AppendInt(dst, int64(max(n, -n)), 10)
	return append(dst, `</text>`...)
}

const (
	needleTip  = 12 // half its width there
	needleBase = 45 // half its width at the lower edge
)

// appendNeedle appends the needle, turned to a code or on its stop.
func (d dial) appendNeedle(dst []byte, angle int) []byte {
	// It begins as far down as the picture shows it when upright; turned, it
	// reaches beyond the edge, where the picture cuts it off.
	base := -d.bottom
	// The tip lies on the mark and hides most of it: beside a slanting mark
	// two readers in three took the next one.
	tip := d.tip + d.smallMark*7/10
	dst = append(dst, `<path class="needle" d="M`...)
	for i, p := range [][2]int{{-needleTip, -tip}, {needleTip, -tip}, {needleBase, -base}, {-needleBase, -base}} {
		if i > 0 {
			dst = append(dst, 'L')
		}
		dst = appendHundredths(dst, p[0])
		dst = append(dst, ' ')
		dst = appendHundredths(dst, p[1])
	}
	dst = append(dst, `Z" transform="rotate(`...)
	dst = appendHundredths(dst, angle)
	return append(dst, `)"/>`...)
}

// appendCellLine appends the line that the needle must reach with a good cell:
// a bar wider than any mark, outside the arc, where the needle never covers it,
// with its word. It is hollow, and filled in the cell position.
func (d dial) appendCellLine(dst []byte, now bool) []byte {
	dst = append(dst, `<g class="cell`...)
	if now {
		dst = append(dst, ` now`...)
	}
	dst = append(dst, `" transform="rotate(`...)
	dst = appendHundredths(dst, d.cell*d.step)
	dst = append(dst, `)"><path d="M-.5 `...)
	dst = appendHundredths(dst, -d.tip)
	dst = append(dst, `h1v`...)
	dst = appendHundredths(dst, -(d.divMark + 60))
	dst = append(dst, `h-1z"/><text font-size="`...)
	dst = appendHundredths(dst, d.font)
	dst = append(dst, `" y="`...)
	dst = appendHundredths(dst, -d.cellWord()+d.font*36/100)
	return append(dst, `">Cell</text></g>`...)
}

// unity is 1 in the fixed point of [sinCos].
const unity = 1_000_000_000

// sinCos gives sine and cosine, times [unity], of an angle in hundredths of a
// degree up to 90° to either side. It sums the power series in integers and is
// right to 1e-8.
func sinCos(angle int) (sin, cos int64) {
	const perRadian = 174_532_925_199 // 10^15 times π/18000
	x := int64(angle) * perRadian / 1_000_000
	cosTerm, sinTerm := int64(unity), x
	for k := int64(1); cosTerm != 0 || sinTerm != 0; k++ {
		cos += cosTerm
		sin += sinTerm
		cosTerm = -(sinTerm * x / unity) / (2 * k)
		sinTerm = cosTerm * x / unity / (2*k + 1)
	}
	return sin, cos
}

// scaled is length × ratio/unity, rounded half away from zero.
func scaled(length int, ratio int64) int {
	p := int64(length) * ratio
	if p < 0 {
		return -int((-p + unity/2) / unity)
	}
	return int((p + unity/2) / unity)
}

// appendHundredths appends n/100 as short as it goes: "-0.5", "12".
func appendHundredths(dst []byte, n int) []byte {
	if n < 0 {
		dst, n = append(dst, '-'), -n
	}
	dst = strconv.AppendInt(dst, int64(n/100), 10)
	if n %= 100; n != 0 {
		dst = append(dst, '.', byte('0'+n/10))
		if n%10 != 0 {
			dst = append(dst, byte('0'+n%10))
		}
	}
	return dst
}
