package render

import (
	"strings"
	"testing"

	"loopdrill/exercises"
	"loopdrill/render/sample"
)

// kindsPages writes workbook and key of the sample exercise that has every kind
// of box; it is the fifth.
func kindsPages(t *testing.T, purpose exercises.Purpose) (workbook, key string) {
	t.Helper()
	f := sample.Form(purpose, 1, 5)
	f.Items = f.Items[4:]
	pages := formPages(t, f)
	return pages["workbook"], pages["key"]
}

// Every kind of box has its place to be filled in, on paper and on screen.
func TestKindsOfBox(t *testing.T) {
	book, key := kindsPages(t, exercises.Assessment)
	for _, row := range []struct{ name, want string }{
		{"a box for the number of a step", `data-step="permit"><input class="box place"`},
		{"the step has its letter", `<span class="letter">B</span> <span class="option" id="x5-step-a-2-text">get the permit`},
		{"how to number", "Number the steps from 1 to 4."},
		{"an option that is a face", `<div class="drawn-option"><div class="face compact"><svg role="img" id="x5-option-b-A" aria-label="needle two small marks left of the second division mark left of centre"`},
		{"its box says which picture it is", `name="5.b" value="left" aria-describedby="x5-option-b-A"`},
		{"an option that is a drawing", `<svg class="drawing" role="img" id="x5-option-c-B" aria-label="a tank with liquid at 60 %, second sketch" width="80mm" height="56mm" viewBox="0 0 800 560">`},
		{"a filled shape", `<path d="M120 260L420 260L420 460L120 460Z" class="fill"/>`},
		{"a circle", `<circle cx="620" cy="440" r="40" class="heavy"/>`},
		{"an arrow with a head", `<path d="M700 440L700 110" marker-end="url(#x5-tank-tip)"/>`},
		{"a tick for the stop, in a cell", `<input class="tick-box" type="checkbox" name="5.d.1.stop" value="stop">`},
		{"the unit asked for", `name="5.e.unit" maxlength="24"`},
		{"figures asked for", "3 significant figures, with its unit"},
		{"lines for words", `name="5.f" rows="4" style="--rows:4" maxlength="4000"`},
		{"a cell to be filled in", `<td class="n">11.90</td><td class="empty"></td>`},
		{"a corner that heads nothing", `<thead><tr><td></td><th scope="col">Rising`},
	} {
		if !strings.Contains(book, row.want) {
			t.Errorf("workbook, %s: no %s", row.name, row.want)
		}
	}
	// The faces of options stand with their options alone, and the lines of
	// words are no second working space.
	for _, row := range []struct {
		what string
		n    int
	}{{`class="face compact"`, 3}, {`class="drawing"`, 3}, {`name="5.f.working"`, 0}, {`name="5.d.working"`, 1}, {"kPa</span></span>", 0}} {
		if got := strings.Count(book, row.what); got != row.n {
			t.Errorf("workbook: %s stands %d times, want %d", row.what, got, row.n)
		}
	}
	for _, row := range []struct{ name, want string }{
		{"the order", "<ol class=\"right-order\">\n<li>B get the permit and tell the control room</li>\n<li>D shut the two block valves</li>\n<li>A open the equalising valve</li>\n<li>C read the output</li>"},
		{"what else is right", `D comes before C</span>; <span class="item">B comes before A</span>; <span class="item">B comes before D</span>.`},
		{"what keeps people safe", "<b>Keeps people safe:</b> B before D. Left out or too late, the part earns nothing."},
		{"a slip in the order", `<td>D, B, A, C</td>`},
		{"the right face", `<b class="given-answer">B</b> <b>right</b>`},
		{"the stop as answer", `<b class="given-answer"><span class="stop">cannot be read, on its stop</span></b>`},
		{"a table in the working", "nobody else works on the loop"},
		{"words are judged", "judged by the assessor"},
		{"runs of the chart", `<th scope="row">falling, as found: error, % of span</th><td>+0.6 (worst)</td>`},
	} {
		if !strings.Contains(key, row.want) {
			t.Errorf("key, %s: no %s", row.name, row.want)
		}
	}
}

// An order with one right sequence says so.
func TestOrderChain(t *testing.T) {
	for _, row := range []struct {
		name  string
		order exercises.Order
		want  bool
	}{
		{"chain", exercises.Order{Steps: []string{"a", "b", "c"}, Before: [][2]string{{"a", "b"}, {"b", "c"}}}, true},
		{"chain through safety", exercises.Order{Steps: []string{"a", "b", "c"}, Before: [][2]string{{"b", "c"}}, Safety: [][2]string{{"a", "b"}}}, true},
		{"a fork", exercises.Order{Steps: []string{"a", "b", "c"}, Before: [][2]string{{"a", "b"}, {"a", "c"}}}, false},
		{"nothing said", exercises.Order{Steps: []string{"a", "b"}}, false},
	} {
		if got := isChain(row.order); got != row.want {
			t.Errorf("%s: %v, want %v", row.name, got, row.want)
		}
	}
}

// A second and third run are told apart without colour, and their worst point
// is marked in the run that has it.
func TestChartOfSeveralRuns(t *testing.T) {
	_, key := kindsPages(t, exercises.Practice)
	for _, want := range []string{`"legend":{"data":["rising, as found","falling, as found","rising, as left"]`, `"type":"dashed"`, `"type":"dotted"`, `"symbol":"rect"`, `"symbol":"triangle"`} {
		if !strings.Contains(key, want) {
			t.Errorf("no %s", want)
		}
	}
	if n := strings.Count(key, `"symbol":"diamond"`); n != 1 {
		t.Errorf("%d worst points", n)
	}
}
