package sitting

import (
	"encoding/csv"
	"io"
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/exercises/marking"
)

// writer writes rows by RFC 4180, each cell safe in a spreadsheet.
type writer struct{ w *csv.Writer }

func newWriter(w io.Writer, head ...string) writer {
	c := writer{csv.NewWriter(w)}
	c.w.UseCRLF = true
	c.row(head...)
	return c
}

func (c writer) row(cells ...string) {
	safe := make([]string, len(cells))
	for i, cell := range cells {
		safe[i] = marking.SafeCell(cell)
	}
	_ = c.w.Write(safe) // Flush gives the error
}

func (c writer) done() error {
	c.w.Flush()
	return c.w.Error()
}

// MarksCSV writes a row a person: who, form, marks, and the mark of each part. A
// mark that is not settled is written as a range, "3-5"; a part that the form
// does not have is empty.
func (r Report) MarksCSV(w io.Writer) error {
	head := []string{"number", "name", "form", "marks", "out of", "standing", "overrides"}
	at := map[string]int{}
	for i, q := range r.Questions {
		head = append(head, q.Name)
		at[q.Name] = i
	}
	c := newWriter(w, head...)
	for _, k := range r.Works {
		name := k.Person.Name
		if name == "" {
			name = k.Typed
		}
		row := []string{k.Person.Number, name, k.Form.Code, Range(k.Result.Least, k.Result.Most), strconv.Itoa(k.Result.Marks), string(k.Standing()), strconv.Itoa(len(k.Result.Overrides))}
		parts := make([]string, len(r.Questions))
		k.parts(func(d exercises.Drawn, p marking.PartResult) {
			parts[at[marking.PartName(d.Exercise.Number, p.Label)]] = Range(p.Least, p.Most)
		})
		c.row(append(row, parts...)...)
	}
	return c.done()
}

// Range prints marks, "3" or "3-5" while they are open.
func Range(least, most int) string {
	if least == most {
		return strconv.Itoa(least)
	}
	return strconv.Itoa(least) + "-" + strconv.Itoa(most)
}

// AnswersCSV writes a row an answer: the text as it came, how it was read, the
// rule that decided, what it earned, the slip. It is the record to defend a mark
// with.
func (r Report) AnswersCSV(w io.Writer) error {
	c := newWriter(w, "form", "person", "box", "answer", "ticked", "read as", "verdict", "rule", "slip", "decided by", "part", "part mark", "out of", "override")
	for _, k := range r.Works {
		k.parts(func(d exercises.Drawn, p marking.PartResult) {
			name := marking.PartName(d.Exercise.Number, p.Label)
			for _, b := range p.Boxes {
				key := marking.PartName(d.Exercise.Number, b.Box)
				var readings, slips []string
				for _, x := range b.Readings {
					readings = append(readings, x.Text)
				}
				for _, s := range b.Slips {
					slips = append(slips, s.Name)
				}
				by, ticked, over := k.Hand[key].By, "", ""
				if dec := k.Decisions[key]; dec.Used {
					by = dec.By
				}
				if b.Ticked {
					ticked = "x"
				}
				if o := p.Override; o != nil {
					over = strconv.Itoa(o.Mark) + " by " + o.By + ", " + o.Date + ": " + o.Reason
				}
				text := b.Text
				if b.Unit != "" {
					text += " | " + b.Unit
				}
				c.row(k.Form.Code, k.Name(), key, text, ticked, strings.Join(readings, " or "), b.Verdict.Words(), string(b.Rule),
					strings.Join(slips, " or "), by, name, Range(p.Least, p.Most), strconv.Itoa(p.Marks), over)
			}
		})
	}
	return c.done()
}

// BlankAnswers writes the table into which paper is typed: a row a form and box.
// who names the person of a form, or is nil.
func BlankAnswers(w io.Writer, forms []*exercises.Form, who func(*exercises.Form) string) error {
	c := newWriter(w, "form", "person", "box", "asked", "unit", "answer")
	for _, f := range forms {
		person := ""
		if who != nil {
			person = who(f)
		}
		for _, r := range Rows(f) {
			c.row(f.Code, person, r.Key, r.Asked, r.Unit, "")
		}
	}
	return c.done()
}

// BlankMarks writes the table for marks by hand.
func BlankMarks(w io.Writer, forms []*exercises.Form) error {
	c := newWriter(w, "form", "box", "asked", "out of", "guide", "mark", "initials", "remark")
	for _, f := range forms {
		for _, j := range Judged(f) {
			var guide []string
			for _, g := range j.Guide {
				guide = append(guide, strconv.Itoa(g.Marks)+" "+g.For.Plain())
			}
			c.row(f.Code, j.Key, j.Asked, strconv.Itoa(j.Most), strings.Join(guide, "; "), "", "", "")
		}
	}
	return c.done()
}

// BlankSecond writes the table for a second marker: every part of the given
// works, without the marks that they have.
func BlankSecond(w io.Writer, works []*Work) error {
	c := newWriter(w, "form", "part", "out of", "second mark", "initials")
	for _, k := range works {
		for _, d := range k.Form.Items {
			for _, p := range d.Item.Sheet.Parts {
				c.row(k.Form.Code, marking.PartName(d.Exercise.Number, p.Label), strconv.Itoa(p.Marks), "", "")
			}
		}
	}
	return c.done()
}

// BlankDecisions writes the table in which queries are settled.
func (r Report) BlankDecisions(w io.Writer) error {
	c := newWriter(w, "form", "box", "asked", "answer", "question", "reads", "verdict", "initials")
	for _, g := range r.Queries() {
		for _, q := range g.Queries {
			c.row(q.Work.Form.Code, q.Key, g.Asked, q.Box.Text, q.Box.Ask, "", "", "")
		}
	}
	return c.done()
}

// BlankOverrides writes the head of a table of overrides.
func BlankOverrides(w io.Writer) error {
	return newWriter(w, "form", "part", "mark", "reason", "initials", "date").done()
}

// BlankObserved writes the table of observed steps: a row for each step of each
// practical task of the forms. A row whose result is left empty says nothing.
func BlankObserved(w io.Writer, forms []*exercises.Form) error {
	c := newWriter(w, "form", "person", "task", "step", "critical", "result", "words", "assessor", "date",
		"identity", "serial numbers", "conditions", "arrangements", "stopped")
	for _, f := range forms {
		person := f.Person.Name
		if person == "" {
			person = f.Person.Number
		}
		for _, d := range f.Items {
			b := d.Item.Key.Bench
			if b == nil {
				continue
			}
			for _, s := range b.Steps {
				critical := "no"
				if s.Critical {
					critical = "yes"
				}
				c.row(f.Code, person, d.BenchTask(), s.Text, critical, "", "", "", "", "", "", "", "", "")
			}
		}
	}
	return c.done()
}
