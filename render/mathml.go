package render

import "loopdrill/scenarios/formula"

// appendShape appends the MathML of a shape, without the math element around
// it.
func (r *Renderer) appendShape(dst []byte, s formula.Shape) []byte {
	dst = append(dst, "<mtext>"...)
	dst = appendText(dst, s.String())
	return append(dst, "</mtext>"...)
}

// appendMath appends a shape as a formula in a line of text.
func (r *Renderer) appendMath(dst []byte, s formula.Shape) []byte {
	dst = append(dst, "<math>"...)
	dst = r.appendShape(dst, s)
	return append(dst, "</math>"...)
}

// appendDefinition appends a formula as a worked line: its symbols, its
// numbers put in, its result.
func (r *Renderer) appendDefinition(dst []byte, d formula.Definition, env formula.Env) []byte {
	dst = append(dst, `<div class="working">`...)
	for _, line := range d.Lines(env) {
		dst = append(dst, "<p>"...)
		dst = appendText(dst, line)
		dst = append(dst, "</p>"...)
	}
	return append(dst, "</div>"...)
}

// appendRelation appends a comparison and whether it holds.
func (r *Renderer) appendRelation(dst []byte, rel formula.Relation, env formula.Env) []byte {
	dst = append(dst, `<div class="working"><p>`...)
	dst = appendText(dst, formula.ShapeOf(rel.A, env, true).String()+" "+string(rel.Op)+" "+formula.ShapeOf(rel.B, env, true).String())
	return append(dst, "</p></div>"...)
}
