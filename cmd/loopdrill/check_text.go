package main

import (
	"fmt"
	"math"
	"strconv"
	"strings"

	"loopdrill/exercises"
	"loopdrill/generator"
	"loopdrill/scenarios/diag"
)

// write lays out findings and draws of one course.
func (c *checked) write(b *strings.Builder, draws int, colour bool) error {
	if len(c.findings) > 0 {
		if b.Len() > 0 {
			b.WriteByte('\n')
		}
		if err := diag.Write(b, c.sources, c.findings, colour); err != nil {
			return err
		}
	}
	if c.surveys == nil {
		return nil
	}
	if b.Len() > 0 {
		b.WriteByte('\n')
	}
	fmt.Fprintf(b, "%s: %s of every exercise, from the practice seed %s\n\n", c.course.ID, plural(draws, "form"), checkSeed)
	rows := [][]string{
		{"", "exercise", "forms", "draws", "thrown", "forms that", "forms in", "one number", "all numbers"},
		{"", "", "", "", "away", "differ", "all, about", "shared", "shared"},
	}
	for i, s := range c.surveys {
		one, all := percentText(s.SharesOne, 1), percentText(s.SharesAll, 2)
		if !asksNumbers(s) {
			one, all = "-", "-"
		}
		rows = append(rows, []string{strconv.Itoa(c.course.Exercises[i].Number), s.Exercise, strconv.Itoa(s.Forms), strconv.Itoa(s.Rejects.Draws),
			percentText(ratio(s.Rejects.Rejected(), s.Rejects.Draws), 1), strconv.Itoa(s.Distinct), about(s), one, all})
	}
	b.WriteString(table(rows, 1))
	for i, s := range c.surveys {
		fmt.Fprintf(b, "\n%d %s\n", c.course.Exercises[i].Number, s.Exercise)
		for _, l := range details(s) {
			b.WriteString(wrapped(fmt.Sprintf("  %-14s ", l[0]), strings.Repeat(" ", 17), l[1]))
		}
	}
	b.WriteString("\n" + checkLegend)
	return nil
}

const checkLegend = `Shared: how likely two apprentices are to have the same right answer, to within
the tolerance. "Forms in all" is estimated from how many came up once and how
many twice, and rather too low; "many" means that none came up twice.
`

func asksNumbers(s *generator.Survey) bool {
	for _, b := range s.Boxes {
		if b.Kind == exercises.NumberBox {
			return true
		}
	}
	return false
}

// details are the lines below the table: a label and what belongs to it.
func details(s *generator.Survey) [][2]string {
	var out [][2]string
	add := func(label string, items []string) {
		if len(items) > 0 {
			out = append(out, [2]string{label, strings.Join(items, "; ")})
		}
	}
	var reasons, faults, shared []string
	for _, r := range s.Rejects.Reasons {
		reasons = append(reasons, fmt.Sprintf("%d for %s", r.Count, r.Reason))
	}
	add("thrown away", reasons)
	for _, f := range s.Faults {
		faults = append(faults, f.Fault+" "+percentText(ratio(f.Forms, s.Forms), 0))
	}
	add("faults", faults)
	for _, b := range s.Boxes {
		if b.Kind != exercises.ChoiceBox {
			shared = append(shared, b.Box+" "+percentText(b.Shared, 1))
			continue
		}
		var options []string
		for _, o := range b.Options {
			options = append(options, o.Option+" "+percentText(ratio(o.Right, b.Forms), 0))
		}
		label := "right, " + b.Box
		if b.Forms < s.Forms {
			options[0] = fmt.Sprintf("on %s: %s", plural(b.Forms, "form"), options[0])
		}
		add(label, options)
	}
	add("numbers shared", shared)
	return out
}

func ratio(n, of int) float64 {
	if of == 0 {
		return 0
	}
	return float64(n) / float64(of)
}

// percentText prints a share; one that is not nothing is not printed as 0.
func percentText(share float64, decimals int) string {
	s := strconv.FormatFloat(100*share, 'f', decimals, 64)
	if least := math.Pow10(-decimals); share > 0 && 100*share < least/2 {
		s = "<" + strconv.FormatFloat(least, 'f', decimals, 64)
	} else if share == 0 {
		s = "0"
	}
	return s + "\u00a0%"
}

// about is the estimate of all forms, to two figures. Where no form came twice
// there is nothing to estimate from.
func about(s *generator.Survey) string {
	if s.Distinct == s.Forms {
		return "many"
	}
	if s.AtLeast < 100 {
		return strconv.Itoa(int(s.AtLeast + 0.5))
	}
	v, err := strconv.ParseFloat(strconv.FormatFloat(s.AtLeast, 'g', 2, 64), 64)
	if err != nil {
		return "-"
	}
	return strconv.FormatFloat(v, 'f', 0, 64)
}

// checkJSON gives all courses for a machine.
func checkJSON(all []*checked, draws int) string {
	type course struct {
		Path     string              `json:"path"`
		ID       string              `json:"course"` // empty where it could not be read
		Failure  string              `json:"failure,omitempty"`
		Errors   int                 `json:"errors"`
		Warnings int                 `json:"warnings"`
		Findings []diag.Diagnostic   `json:"findings"`
		Draws    int                 `json:"draws"` // forms asked for
		Seed     string              `json:"seed,omitempty"`
		Surveys  []*generator.Survey `json:"exercises"`
	}
	out := []course{}
	for _, c := range all {
		row := course{Path: c.path, Findings: append([]diag.Diagnostic{}, c.findings...), Surveys: append([]*generator.Survey{}, c.surveys...)}
		row.Errors, row.Warnings = diag.Count(c.findings)
		if c.course != nil {
			row.ID = c.course.ID
		}
		if c.surveys != nil {
			row.Draws, row.Seed = draws, checkSeed
		}
		if c.failure != nil {
			row.Failure = c.failure.Error()
		}
		out = append(out, row)
	}
	return indented(out)
}
