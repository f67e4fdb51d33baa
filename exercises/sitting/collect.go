package sitting

import (
	"cmp"
	"fmt"
	"maps"
	"path"
	"slices"
	"strconv"
	"strings"
	"unicode"

	"loopdrill/exercises"
	"loopdrill/exercises/answerfile"
	"loopdrill/exercises/marking"
	"loopdrill/scenarios/diag"
)

// collector gathers work and findings.
type collector struct {
	Setting
	works  []*Work
	byCode map[string]*Work // the code of the form as it is printed
	aside  map[string]bool  // codes all of whose work was set aside
	notes  []diag.Diagnostic
	drawn  map[string]drawn
}

type drawn struct {
	form *exercises.Form
	err  error
}

// Collect reads the files of a sitting. Notes are what was set aside or passed
// over, each with its place and a hint; an error among them means that
// something was set aside. Works are in the order of form numbers.
func Collect(inputs []Input, s Setting) (works []*Work, notes []diag.Diagnostic) {
	c := &collector{Setting: s, byCode: map[string]*Work{}, aside: map[string]bool{}, drawn: map[string]drawn{}}
	inputs = slices.Clone(inputs)
	slices.SortStableFunc(inputs, func(a, b Input) int { return cmp.Compare(a.Name, b.Name) })
	var tables []*answerfile.Table
	var handed []*Work
	for _, in := range inputs {
		f, fault := answerfile.Read(in.Name, in.Data)
		switch {
		case fault != nil:
			c.notes = append(c.notes, *fault)
		case f.Sheet != nil:
			handed = c.hand(handed, f.Sheet, in.Name, false, nil)
		case f.Table.Kind == answerfile.Answers:
			sheets, rows, faults := f.Table.Sheets()
			c.notes = append(c.notes, faults...)
			for _, sheet := range sheets {
				handed = c.hand(handed, sheet, in.Name, true, rows[sheet.Form])
			}
		default:
			tables = append(tables, f.Table)
		}
	}
	c.once(handed)
	for _, t := range tables {
		c.table(t)
	}
	slices.SortFunc(c.works, func(a, b *Work) int {
		return cmp.Or(cmp.Compare(a.Form.Number, b.Form.Number), cmp.Compare(a.Form.Code, b.Form.Code))
	})
	return c.works, diag.Sort(c.notes)
}

func (c *collector) fault(rule string, at diag.Place, summary, hint string) {
	c.notes = append(c.notes, diag.Diagnostic{Severity: diag.Error, Rule: rule, Summary: summary, At: at, Hint: hint})
}

func (c *collector) warn(rule string, at diag.Place, summary, hint string) {
	c.notes = append(c.notes, diag.Diagnostic{Severity: diag.Warning, Rule: rule, Summary: summary, At: at, Hint: hint})
}

// form draws a form, once a code.
func (c *collector) form(code string) (*exercises.Form, error) {
	if d, ok := c.drawn[code]; ok {
		return d.form, d.err
	}
	f, err := c.Form(code)
	c.drawn[code] = drawn{f, err}
	return f, err
}

// hand takes one sheet, or sets it aside. rows are the boxes that a table has
// of it.
func (c *collector) hand(handed []*Work, s *answerfile.Sheet, file string, paper bool, rows []string) []*Work {
	if s.Course != "" && s.Course != c.CourseID {
		c.fault(answerfile.RuleCourse, s.At, fmt.Sprintf("these answers belong to the course %q; this is %q", s.Course, c.CourseID), "mark them with --course "+s.Course)
		return handed
	}
	form, err := c.form(s.Form)
	if err != nil {
		c.fault(answerfile.RuleForm, s.At, err.Error(), "look at the code on the paper; forms of another seed, secret or version are marked on their own")
		return handed
	}
	w := &Work{Form: form, Typed: oneLine(s.Person), Date: oneLine(s.Date), File: path.Base(file), Paper: paper, Answers: map[int]map[string]string{}, Strange: map[string]string{},
		Hand: map[string]Hand{}, Decisions: map[string]Decision{}, Second: map[string]int{}, places: map[string]diag.Place{}, sheet: s}
	if paper {
		if lacks := lacking(form, rows); len(lacks) > 0 {
			c.fault(answerfile.RuleHalf, s.At, fmt.Sprintf("form %s has no row for %s: the table is not whole", form.Code, few(lacks)),
				"write the empty table again with --blank-csv and fill it in; a box without an answer keeps its row")
			return handed
		}
	}
	for _, key := range slices.Sorted(maps.Keys(s.Answers)) {
		n, box, ok := answerfile.Split(key)
		d := itemOf(form, n)
		if !ok || d == nil || !marking.Takes(d.Item.Sheet, box) {
			w.Strange[key] = s.Answers[key]
			c.warn(answerfile.RuleBox, s.Places[key], fmt.Sprintf("form %s has no box %q; the answer there is kept and not marked", form.Code, key), "")
			continue
		}
		m := w.Answers[d.Exercise.Number]
		if m == nil {
			m = map[string]string{}
			w.Answers[d.Exercise.Number] = m
		}
		m[box] = s.Answers[key]
	}
	if !c.person(w) {
		return handed
	}
	return append(handed, w)
}

// person finds whose work it is.
func (c *collector) person(w *Work) bool {
	if c.People == nil {
		return true
	}
	at := w.sheet.At
	if w.Form.Number > len(c.People) {
		c.fault(answerfile.RulePerson, at, fmt.Sprintf("form %s is number %d, and the class has %d people: nobody has it", w.Form.Code, w.Form.Number, len(c.People)),
			"is it the right class list?")
		return false
	}
	w.Person = c.People[w.Form.Number-1]
	typed := folded(w.Typed)
	if typed == "" || typed == folded(w.Person.Name) || typed == folded(w.Person.Number) || typed == folded(w.Name()) {
		return true
	}
	for _, p := range c.People {
		if p != w.Person && (typed == folded(p.Name) || typed == folded(p.Number)) {
			c.fault(answerfile.RulePerson, at, fmt.Sprintf("form %s was made for %s, and the name on it is that of %s", w.Form.Code, w.Name(), w.Typed),
				"find out who worked it; if two changed their papers, give a class list in which they change places")
			return false
		}
	}
	c.warn(answerfile.RulePerson, at, fmt.Sprintf("the name on form %s is %q, which is nobody's in the class; it is marked for %s, for whom it was made", w.Form.Code, w.Typed, w.Name()), "")
	return true
}

// once keeps one work a form. Copies of the same answers are passed over; of
// different ones none is marked.
func (c *collector) once(handed []*Work) {
	byCode := map[string][]*Work{}
	var codes []string
	for _, w := range handed {
		if byCode[w.Form.Code] == nil {
			codes = append(codes, w.Form.Code)
		}
		byCode[w.Form.Code] = append(byCode[w.Form.Code], w)
	}
	for _, code := range codes {
		all := byCode[code]
		same := true
		for _, w := range all[1:] {
			same = same && sameAnswers(all[0], w)
		}
		for i, w := range all {
			first := all[0].sheet.At
			switch {
			case !same:
				c.aside[code] = true
				other := all[(i+1)%len(all)]
				c.fault(answerfile.RuleHandedIn, w.sheet.At, fmt.Sprintf("form %s was handed in %d times with different answers; it stands in %s too", code, len(all), other.File),
					"find out which counts and take the others out; until then none is marked")
			case i > 0:
				c.notes = append(c.notes, diag.Diagnostic{Severity: diag.Warning, Rule: answerfile.RuleHandedIn, At: w.sheet.At, Second: &first, SecondIs: "first handed in here",
					Summary: fmt.Sprintf("form %s was handed in twice with the same answers; the copy is passed over", code)})
			}
		}
		if same {
			c.works = append(c.works, all[0])
			c.byCode[code] = all[0]
		}
	}
}

func sameAnswers(a, b *Work) bool {
	plain := func(w *Work) map[string]string {
		out := map[string]string{}
		for n, m := range w.Answers {
			for k, v := range m {
				if strings.TrimSpace(v) != "" {
					out[fmt.Sprint(n, ".", k)] = v
				}
			}
		}
		return out
	}
	return maps.Equal(plain(a), plain(b))
}

// itemOf finds an exercise of a form by its number as text.
func itemOf(f *exercises.Form, number string) *exercises.Drawn {
	n, err := strconv.Atoi(number)
	for i := range f.Items {
		if err == nil && f.Items[i].Exercise.Number == n {
			return &f.Items[i]
		}
	}
	return nil
}

// partOf finds a part of a form by its name, "3.c".
func partOf(f *exercises.Form, name string) (*exercises.Drawn, *exercises.Part) {
	n, label, ok := answerfile.Split(name)
	if d := itemOf(f, n); ok && d != nil {
		for i := range d.Item.Sheet.Parts {
			if d.Item.Sheet.Parts[i].Label == label {
				return d, &d.Item.Sheet.Parts[i]
			}
		}
	}
	return nil, nil
}

// boxOf finds a box of a form by its key, "3.c" or "3.b.2".
func boxOf(f *exercises.Form, key string) (*exercises.Drawn, *exercises.Part, *exercises.Box) {
	n, id, ok := answerfile.Split(key)
	if d := itemOf(f, n); ok && d != nil {
		for i := range d.Item.Sheet.Parts {
			p := &d.Item.Sheet.Parts[i]
			for j := range p.Boxes {
				if p.Boxes[j].ID == id {
					return d, p, &p.Boxes[j]
				}
			}
		}
	}
	return nil, nil, nil
}

// lacking lists the boxes of a form that have no row.
func lacking(f *exercises.Form, rows []string) []string {
	var out []string
	for _, r := range Rows(f) {
		if !slices.Contains(rows, r.Key) {
			out = append(out, r.Key)
		}
	}
	return out
}

// few lists some of many.
func few(list []string) string {
	const most = 4
	if len(list) <= most {
		return strings.Join(list, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(list[:most], ", "), len(list)-most)
}

// oneLine makes a text from outside one line without control characters.
func oneLine(s string) string {
	s = strings.Map(func(r rune) rune {
		if unicode.IsControl(r) || unicode.In(r, unicode.Cf) {
			return ' '
		}
		return r
	}, s)
	r := []rune(strings.Join(strings.Fields(s), " "))
	return string(r[:min(len(r), 200)])
}

// folded compares names: blanks and capitals do not count.
func folded(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }
