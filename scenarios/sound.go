package scenarios

import (
	"path"
	"slices"

	"gopkg.in/yaml.v3"

	"loopdrill/scenarios/diag"
)

// lines is a closed range of lines of a file.
type lines struct{ first, last int }

// linesOf gives the lines on which a block begins and on which its last value
// begins.
func (f *file) linesOf(n *yaml.Node) lines {
	l := lines{f.at(n).Line, f.at(n).Line}
	for _, c := range n.Content {
		l.last = max(l.last, f.linesOf(c).last)
	}
	return l
}

// keepSound takes the exercises out of a course that an error concerns, and
// says whether any is left.
func (r *reader) keepSound(c *Course) bool {
	if r.found["course.yaml"] > mostFindings {
		return false // errors that were not kept may lie anywhere
	}
	var wrong []int // lines of course.yaml
	files := map[string]bool{}
	for _, d := range r.ds {
		if d.Severity != diag.Error {
			continue
		}
		files[d.At.File] = true
		for _, at := range []*diag.Place{&d.At, d.Second} {
			if at != nil && at.File == "course.yaml" {
				wrong = append(wrong, at.Line)
			}
		}
	}
	unsound := func(e *Exercise) bool {
		at := r.blocks[e]
		return e.Plant == nil || e.ID == "" || files[path.Join("plants", e.Plant.ID+".yaml")] ||
			slices.ContainsFunc(wrong, func(line int) bool { return line >= at.first && line <= at.last })
	}
	c.Exercises = slices.DeleteFunc(c.Exercises, unsound)
	for _, l := range c.Lessons {
		l.Exercises = slices.DeleteFunc(l.Exercises, unsound)
	}
	return len(c.Exercises) > 0
}
