package main

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"loopdrill/scenarios/loop"
)

// listFaults is the answer to --faults: every fault, group by group, then the
// pairs that can be given together.
func listFaults(asJSON bool) string {
	if asJSON {
		return listFaultsJSON()
	}
	var b strings.Builder
	var group loop.Group
	for _, f := range loop.Faults() {
		if f.Group != group {
			if group != "" {
				b.WriteByte('\n')
			}
			group = f.Group
			fmt.Fprintf(&b, "%s\n", strings.ToUpper(string(group)))
		}
		sizes := []string{"no size"}
		if len(f.Sizes) > 0 {
			sizes = nil
			for _, s := range f.Sizes {
				sizes = append(sizes, sizeWords(s))
			}
		}
		b.WriteString(wrapped("  "+f.Name+": ", "      ", strings.Join(sizes, "; ")))
		b.WriteString(wrapped("      does     ", "               ", f.Does))
		b.WriteString(wrapped("      shows    ", "               ", f.Shows))
		b.WriteString(wrapped("      remedy   ", "               ", f.Remedy))
		b.WriteString(wrapped("      cautions ", "               ", strings.Join(cautionIDs(f), ", ")))
	}
	b.WriteString("\nTWO AT ONCE (each with its own --fault and its own size)\n")
	for _, f := range loop.Pairs() {
		fmt.Fprintf(&b, "  %s\n", strings.Join(f.Parts, " and "))
	}
	b.WriteString("\nCAUTIONS\n")
	var ids []string
	for _, f := range loop.Faults() {
		for _, id := range cautionIDs(f) {
			if !slices.Contains(ids, id) {
				ids = append(ids, id)
			}
		}
	}
	slices.Sort(ids)
	for _, id := range ids {
		b.WriteString(wrapped("  "+id+": ", "      ", cautionSentence(id)))
	}
	return b.String()
}

// sizeWords is "low by 0.3 to 8 % of span", with true minus signs.
func sizeWords(s loop.Size) string { return s.Name + " " + trueMinus(s.String()) }

// trueMinus prints numbers as a page does.
func trueMinus(s string) string { return strings.ReplaceAll(s, "-", "\u2212") }

func cautionIDs(f loop.Fault) []string {
	var ids []string
	for _, c := range f.Cautions {
		ids = append(ids, string(c))
	}
	return ids
}

// wrapped breaks text into lines of at most 80 characters, the first behind
// head, the others behind margin.
func wrapped(head, margin, text string) string {
	const widest = 80
	var b strings.Builder
	line, empty := head, true
	// A no-break space stays inside its word, as Fields would not have it.
	for _, word := range strings.FieldsFunc(text, func(r rune) bool { return r == ' ' }) {
		if !empty && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > widest {
			b.WriteString(line + "\n")
			line, empty = margin, true
		}
		if !empty {
			line += " "
		}
		line, empty = line+word, false
	}
	return b.String() + line + "\n"
}

func listFaultsJSON() string {
	type size struct {
		Name     string       `json:"name"`
		Unit     string       `json:"unit"`
		Branches [][2]float64 `json:"branches"`
	}
	type fault struct {
		Name     string   `json:"name"`
		Group    string   `json:"group"`
		Sizes    []size   `json:"sizes"`
		Does     string   `json:"does"`
		Shows    string   `json:"shows"`
		Remedy   string   `json:"remedy"`
		Cautions []string `json:"cautions"`
		Parts    []string `json:"parts"`
		Input    bool     `json:"inputLoop"`
		Output   bool     `json:"outputLoop"`
	}
	out := []fault{}
	for _, f := range append(loop.Faults(), loop.Pairs()...) {
		row := fault{f.Name, string(f.Group), []size{}, f.Does, f.Shows, f.Remedy, cautionIDs(f), append([]string{}, f.Parts...), f.OnInput(), f.OnOutput()}
		for _, s := range f.Sizes {
			z := size{s.Name, s.Unit, [][2]float64{}}
			for _, r := range s.Branches {
				z.Branches = append(z.Branches, [2]float64{r.Low, r.High})
			}
			row.Sizes = append(row.Sizes, z)
		}
		out = append(out, row)
	}
	return indented(out)
}
