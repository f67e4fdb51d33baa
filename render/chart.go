package render

import (
	"loopdrill/exercises"
	"loopdrill/scenarios/formula"
)

// appendChart appends an error chart, with the table of its figures. id is
// unique on the page.
func (r *Renderer) appendChart(dst []byte, c exercises.Chart, id string) []byte {
	dst = append(dst, `<div class="chart" id="`...)
	dst = appendAttr(dst, id)
	dst = append(dst, `">`...)
	dst = appendText(dst, c.Title)
	return append(dst, "</div>"...)
}

// appendBlankGrid appends a grid in millimetres in which the apprentice draws
// an error chart. Its scale follows from the tolerance, a given, alone.
func (r *Renderer) appendBlankGrid(dst []byte, tolerance formula.Value) []byte {
	return dst
}
