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
	r.loops, r.output, r.tags = map[string]*placedLoop{}, map[string]*placedOutput{}, map[string]diag.Place{}
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
				f.r.blocks[x] = f.linesOf(e.block.n)
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
		return article(what)
	}
	return fmt.Sprintf("%d %ss", n, what)
}

func isAre(n int) string {
	if n == 1 {
		return "1 is"
	}
	return fmt.Sprintf("%d are", n)
}
