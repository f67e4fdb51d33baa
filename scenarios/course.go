package scenarios

import (
	"fmt"
	"io/fs"
	"path"
	"strings"

	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
)

// course reads course.yaml and all that it names. It gives what could be read,
// or nil.
func (r *reader) course() *Course {
	r.loops, r.tags = map[string]*placedLoop{}, map[string]diag.Place{}
	f := r.open("course.yaml", nil)
	if f == nil {
		return nil
	}
	n := f.yaml("a course: its title, plants and lessons")
	if n == nil {
		r.everything()
		return nil
	}
	b := f.block(n, CourseFile, "a course file")
	if b == nil {
		r.everything()
		return nil
	}
	c := &Course{ID: b.get("course").text, Title: b.get("title").text, Purpose: b.get("purpose").text, For: b.get("for").text}
	if v := b.get("pass_mark"); v.ok {
		c.PassMark = f.wholeNumber(v, "%")
	}
	if v := b.get("time"); v.ok {
		c.Minutes = f.wholeNumber(v, "min")
	}
	f.coursePlants(c, b)
	f.courseLessons(c, b)
	return c
}

// everything reads all plants and lessons of the folder where the course does
// not say which it uses, so that their mistakes need not wait for its own.
func (r *reader) everything() {
	r.gaps = true
	for _, name := range r.folder("plants", ".yaml") {
		if p := r.plant(strings.TrimSuffix(path.Base(name), ".yaml"), diag.Place{File: name}); p != nil {
			r.plants = append(r.plants, p)
		}
	}
	for _, name := range r.folder("lessons", ".md") {
		r.lesson(&Lesson{File: name}, diag.Place{File: name})
	}
}

// folder lists the files of a folder whose names end in ext, a hundred at most.
func (r *reader) folder(name, ext string) []string {
	entries, err := fs.ReadDir(r.fsys, name)
	if err != nil {
		return nil
	}
	var out []string
	for _, e := range entries {
		if !e.IsDir() && path.Ext(e.Name()) == ext && len(out) < 100 {
			out = append(out, path.Join(name, e.Name()))
		}
	}
	return out
}

// wholeNumber gives a quantity as a whole number of a unit.
func (f *file) wholeNumber(v *value, name string) int {
	x, _ := v.in(name)
	n, err := x.Round(0)
	if err != nil || !x.Equal(formula.Int(n)) {
		at := f.all()
		if v.n != nil {
			at = v.at()
		}
		f.err(RuleValue, at, fmt.Sprintf("%s is not a whole number of %s", v.quantity, name), "leave out the decimals")
	}
	return int(n)
}

func (f *file) coursePlants(c *Course, b *block) {
	seen := map[string]*value{}
	f.r.gaps = !b.get("plants").ok
	defer func() {
		f.r.loose["plants"] = f.r.gaps && len(f.r.plants) < len(b.get("plants").list) || !b.get("plants").ok
	}()
	for _, v := range b.get("plants").list {
		f.r.gaps = f.r.gaps || !v.ok
		if !v.ok || f.again(seen, v, "plant") {
			continue
		}
		if p := f.r.plant(v.text, v.at()); p != nil {
			c.Plants = append(c.Plants, p)
		}
	}
	f.r.plants = c.Plants
}

// again reports a name that was used before.
func (f *file) again(seen map[string]*value, v *value, what string) bool {
	first := seen[v.text]
	if first == nil {
		seen[v.text] = v
		return false
	}
	second, hint := first.at(), "each "+what+" stands once"
	if first.text != v.text {
		hint = fmt.Sprintf("the \"count\" of %q makes it; give one of the two another id", first.text)
	}
	f.r.put(diag.Diagnostic{Severity: diag.Error, Rule: RuleDuplicateName, At: v.at(), Second: &second, SecondIs: "first used here",
		Summary: fmt.Sprintf("%s %q is used twice", what, v.text), Hint: hint})
	return true
}

func (f *file) courseLessons(c *Course, b *block) {
	f.r.loose["lessons"] = !b.get("lessons").ok
	lessons, exercises, files := map[string]*value{}, map[string]*value{}, map[string]*value{}
	for _, v := range b.get("lessons").list {
		if !v.ok {
			continue
		}
		l := &Lesson{ID: v.block.get("id").text, File: v.block.get("file").text}
		if id := v.block.get("id"); id.ok {
			f.again(lessons, id, "lesson id")
		}
		if name := v.block.get("file"); !name.ok || f.r.missing(name.text) {
			f.r.loose["lessons"] = true
		}
		if name := v.block.get("file"); name.ok && !f.again(files, name, "lesson file") {
			f.r.lesson(l, name.at())
		}
		for _, e := range v.block.get("exercises").list {
			if !e.ok {
				continue
			}
			for _, x := range f.counted(f.exercise(e.block), e.block, exercises) {
				x.Number, x.Lesson = len(c.Exercises)+1, l
				l.Exercises = append(l.Exercises, x)
				c.Exercises = append(c.Exercises, x)
			}
		}
		c.Lessons = append(c.Lessons, l)
	}
	if n := len(c.Exercises); n > mostExercises {
		f.err(RuleCourseSize, f.at(b.get("lessons").name), fmt.Sprintf("the course has %d exercises; it may have at most %d", n, mostExercises), "make two courses of it, or lower some \"count\"")
	}
	if v := b.get("lessons"); v.ok && len(c.Exercises) == 0 {
		f.warn(RuleNoExercise, f.at(v.name), "the course has no exercise at all", "give a lesson \"exercises:\" with at least one")
	}
}

func (f *file) exercise(b *block) *Exercise {
	at := f.head(b.n)
	e := &Exercise{ID: b.get("id").text, Title: b.get("title").text, Family: b.get("family").text, Level: b.get("level").text,
		File: f.path, Line: at.Line, Column: at.Column}
	spec, known := f.family(b)
	if known && b.get("level").ok {
		f.level(b, spec)
	}
	if known {
		f.faults(e, b, spec)
	}
	f.exerciseLoops(e, b, spec, known)
	return e
}

func (f *file) family(b *block) (Spec, bool) {
	v := b.get("family")
	if !v.ok {
		return Spec{}, false
	}
	spec, ok := f.r.vocab.Family(v.text)
	if !ok {
		f.err(RuleUnknownName, v.at(), fmt.Sprintf("there is no family %q", shorten(v.text)), diag.Hint(v.text, "families", f.r.vocab.names()))
	}
	return spec, ok
}

func (f *file) level(b *block, spec Spec) {
	v := b.get("level")
	var have []string
	for _, d := range spec.Levels {
		if d.Name == v.text {
			return
		}
		have = append(have, d.Name)
	}
	if len(have) == 0 {
		return
	}
	f.err(RuleUnknownName, b.at("level"), fmt.Sprintf("family %q has no level %q", spec.Name, v.text), "its levels: "+strings.Join(have, ", "))
}

func (f *file) faults(e *Exercise, b *block, spec Spec) {
	list := b.get("faults")
	if len(list.list) > 0 && len(spec.Faults) == 0 {
		f.err(RuleFamilyFaults, f.at(list.name), fmt.Sprintf("family %q takes no faults", spec.Name), "leave the key out")
		return
	}
	seen := map[string]*value{}
	for _, v := range list.list {
		if !v.ok || f.again(seen, v, "fault") {
			continue
		}
		if !contains(spec.Faults, v.text) {
			f.err(RuleFamilyFaults, v.at(), fmt.Sprintf("family %q has no fault %q", spec.Name, shorten(v.text)), diag.Hint(v.text, "its faults", spec.Faults))
			continue
		}
		e.Faults = append(e.Faults, v.text)
	}
}

// exerciseLoops finds the loops of an exercise: those named, or all that fit
// of the first plant that has enough of them.
func (f *file) exerciseLoops(e *Exercise, b *block, spec Spec, known bool) {
	list := b.get("loops")
	if b.written("loops") {
		f.namedLoops(e, list, spec, known)
		return
	}
	if !known || !b.get("level").ok || len(f.r.plants) == 0 {
		return
	}
	need := max(1, spec.MinLoops)
	var why []string
	for _, p := range f.r.plants {
		e.Loops, e.Plant = nil, p
		for _, l := range p.Loops {
			reason, ok := "", true
			if spec.Fits != nil && l.sound() {
				reason, ok = spec.Fits(e.Level, l)
			}
			if ok {
				e.Loops = append(e.Loops, l)
			} else if len(why) < 4 {
				why = append(why, l.Tag+" "+reason)
			}
		}
		if len(e.Loops) >= need {
			return
		}
	}
	if f.r.gaps {
		return
	}
	f.err(RuleFamilyLoops, b.at("family"), fmt.Sprintf("no plant of the course has %s for %q at level %q", count(need, "loop"), e.Family, e.Level), strings.Join(why, "; "))
}

// sound says whether a loop was read well enough for a family to look at it.
func (l *Loop) sound() bool {
	return l.Tag != "" && l.Input.Span().Sign() > 0 && l.Shows.Span().Sign() > 0 && l.Signal.Name != ""
}

func (f *file) namedLoops(e *Exercise, list *value, spec Spec, known bool) {
	if !list.ok {
		return
	}
	seen := map[string]*value{}
	var first *value
	for _, v := range list.list {
		if !v.ok || f.again(seen, v, "loop") {
			continue
		}
		l := f.r.findLoop(f, v)
		if l == nil {
			continue
		}
		if e.Plant == nil {
			e.Plant, first = l.plant, v
		} else if e.Plant != l.plant {
			second := first.at()
			f.r.put(diag.Diagnostic{Severity: diag.Error, Rule: RuleFamilyLoops, At: v.at(), Second: &second, SecondIs: "the first loop stands here",
				Summary: fmt.Sprintf("%s is a loop of %s, but %s is one of %s", l.Tag, l.plant.Name, first.text, e.Plant.Name), Hint: "an exercise stays in one plant, with one checker"})
			continue
		}
		if known && spec.Fits != nil && l.sound() {
			if why, ok := spec.Fits(e.Level, l.Loop); !ok {
				f.err(RuleFamilyLoops, v.at(), fmt.Sprintf("%s %s, so %q cannot use it at level %q", l.Tag, why, e.Family, e.Level), "")
				continue
			}
		}
		e.Loops = append(e.Loops, l.Loop)
	}
	if known && len(list.list) < spec.MinLoops {
		f.err(RuleFamilyLoops, f.at(list.name), fmt.Sprintf("%q needs at least %s, but %s named", e.Family, count(spec.MinLoops, "loop"), isAre(len(list.list))), "name more, or leave the key out to use all that fit")
	}
}

// findLoop resolves a tag, or reports that there is none.
func (r *reader) findLoop(f *file, v *value) *placedLoop {
	l := r.loops[v.text]
	if l != nil {
		return l
	}
	if r.gaps || len(r.plants) == 0 {
		return nil // what could not be read was reported; the loop may be in it
	}
	if _, used := r.tags[v.text]; used {
		f.err(RuleReference, v.at(), fmt.Sprintf("%s is an output loop, and here a loop with a transmitter is wanted", v.text), "name one of the plant's \"loops\"")
		return nil
	}
	var tags []string
	for _, p := range r.plants {
		for _, l := range p.Loops {
			if l.Tag != "" {
				tags = append(tags, l.Tag)
			}
		}
	}
	f.err(RuleReference, v.at(), fmt.Sprintf("no plant of the course has a loop %s", v.text), diag.Hint(v.text, "its loops", tags))
	return nil
}

// missing says whether there is no file of that name.
func (r *reader) missing(name string) bool {
	info, problem := r.stat(name)
	return info == nil && problem == ""
}

// unused warns of plant and lesson files that the course does not name: the
// name may be forgotten, or misspelt in a file that was then not read.
func (r *reader) unused() {
	for _, dir := range []struct{ folder, ext, key string }{{"plants", ".yaml", "plants"}, {"lessons", ".md", "lessons"}} {
		if r.loose[dir.folder] {
			continue
		}
		for _, name := range r.folder(dir.folder, dir.ext) {
			if _, read := r.sources[name]; read || r.refused(name) {
				continue
			}
			r.add(diag.Warning, RuleUnused, diag.Place{File: name}, "the course does not use this file", fmt.Sprintf("name it under %q in course.yaml, or take it out of the folder", dir.key))
		}
	}
}

// refused says whether something was reported about a file already.
func (r *reader) refused(name string) bool {
	for _, d := range r.ds {
		if d.Rule == RuleFile && strings.Contains(d.Summary, fmt.Sprintf("%q", name)) {
			return true
		}
	}
	return false
}

// path checks the name of a file in the course folder.
func (v *value) path(s string) *trouble {
	switch {
	case strings.Contains(s, `\`):
		return &trouble{RulePath, fmt.Sprintf("%q has a back slash in it", shorten(s)), "write slashes: " + strings.ReplaceAll(shorten(s), `\`, "/")}
	case strings.HasPrefix(s, "/") || len(s) > 1 && s[1] == ':':
		return &trouble{RulePath, fmt.Sprintf("%q is not a name inside the course folder", shorten(s)), "write it from the course folder on, such as " + v.key.Example}
	case s == ".." || strings.HasPrefix(s, "../") || strings.Contains(s, "/../") || strings.HasSuffix(s, "/.."):
		return &trouble{RulePath, fmt.Sprintf("%q climbs out of the course folder, or could", shorten(s)), "copy the file into the course folder and write its name from there"}
	case !fs.ValidPath(s) || len(s) > 200:
		return &trouble{RulePath, fmt.Sprintf("%q is not a file name", shorten(s)), "such as " + v.key.Example}
	case path.Ext(s) != ".md":
		return &trouble{RulePath, fmt.Sprintf("%q does not end in .md", shorten(s)), "a lesson is a Markdown file"}
	}
	return nil
}

func (v Vocabulary) names() []string {
	out := make([]string, len(v.Families))
	for i, s := range v.Families {
		out[i] = s.Name
	}
	return out
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}

func count(n int, what string) string {
	if n == 1 {
		return "a " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func isAre(n int) string {
	if n == 1 {
		return "1 is"
	}
	return fmt.Sprintf("%d are", n)
}
