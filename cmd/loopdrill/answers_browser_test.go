package main

import (
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"

	"loopdrill/exercises"
	"loopdrill/exercises/answerfile"
	"loopdrill/render/sample"
	"loopdrill/site"
)

// sampleFolder publishes the sample form, which has every kind of box.
func sampleFolder(t *testing.T, purpose exercises.Purpose) string {
	t.Helper()
	dir, err := filepath.EvalSymlinks(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	dir = filepath.Join(dir, "sample")
	forms := []*exercises.Form{sample.Form(purpose, 1, 5), sample.Form(purpose, 2, 5)}
	if err := site.Publish(context.Background(), dir, site.Folder(forms[0].Course, forms, site.Options{}), 2); err != nil {
		t.Fatal(err)
	}
	return dir
}

// kept is what the page would save.
func (p *opened) kept(t *testing.T) string {
	t.Helper()
	return eval[string](t, p, `localStorage.getItem("loopdrill answers " + document.body.dataset.form) || ""`)
}

// reload opens the page again in the same tab.
func (p *opened) reload(t *testing.T) {
	t.Helper()
	if err := chromedp.Do(p.ctx, chromedp.Reload()); err != nil {
		t.Fatal(err)
	}
	eval[bool](t, p, `document.fonts.ready.then(() => true)`)
}

// press sends a key to whatever has the focus.
func (p *opened) press(t *testing.T, key string) {
	t.Helper()
	code := map[string]int64{"Tab": 9, "Enter": 13, " ": 32, "ArrowDown": 40}[key]
	text := map[string]string{"Enter": "\r", " ": " "}[key]
	if code == 0 {
		text = key
	}
	p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
		for _, kind := range []string{"keyDown", "keyUp"} {
			a := input.DispatchKeyEventParams{Type: input.DispatchKeyEventType(kind), Key: key, WindowsVirtualKeyCode: code}
			if kind == "keyDown" {
				a.Text = text
			}
			if _, err := cdp.Call(ctx, tab, input.DispatchKeyEvent, a); err != nil {
				return err
			}
		}
		return nil
	})
}

// everyAnswer fills each kind of box of the fifth sample exercise.
var everyAnswer = map[string]string{
	"5.a": "permit, shut, read, open", "5.b": "right", "5.c": "two", "5.d.1": "-0,4", "5.d.2.stop": "stop",
	"5.e": "23.5", "5.e.unit": "kPa", "5.f": "LT-3305 found low\nby 0.6 %", "5.d.working": "as drawn", "1.a": "35",
}

// TestAnswersAreKept: what is typed is there after the tab was closed, can be
// cleared and brought back, is saved as an answer file that package answerfile
// reads, and comes back from that file; a file of another form is refused.
func TestAnswersAreKept(t *testing.T) {
	folder := sampleFolder(t, exercises.Assessment)
	b := openBrowser(t, folder)
	book := one(t, folder, "hand-out/workbook-01-*.html")
	p := b.open(t, book)
	all, _ := json.Marshal(everyAnswer)
	eval[bool](t, p, "("+fillIn+"("+string(all)+"), true)")
	same := func(when string) {
		t.Helper()
		var d struct{ Answers map[string]string }
		if err := json.Unmarshal([]byte(p.kept(t)), &d); err != nil {
			t.Fatalf("%s: %v", when, err)
		}
		for k, want := range everyAnswer {
			if d.Answers[k] != want {
				t.Errorf("%s: %s is %q, want %q", when, k, d.Answers[k], want)
			}
		}
		if len(d.Answers) != len(everyAnswer) {
			t.Errorf("%s: %d answers, want %d", when, len(d.Answers), len(everyAnswer))
		}
	}
	same("after typing")
	shown := func(when string) {
		t.Helper()
		got := eval[[]string](t, p, `[document.querySelector('[name="5.e"]').value, document.querySelector('[name="5.e.unit"]').value,
			String(document.querySelector('[name="5.b"][value="right"]').checked), String(document.querySelector('[name="5.d.2.stop"]').checked),
			document.querySelector('[name="5.f"]').value,
			[...document.querySelectorAll(".order-step")].map(s => s.dataset.step + s.querySelector(".place").value).join(" ")]`)
		want := []string{"23.5", "kPa", "true", "true", "LT-3305 found low\nby 0.6 %", "permit1 shut2 read3 open4"}
		for i := range want {
			if got[i] != want[i] {
				t.Errorf("%s: %q, want %q", when, got[i], want[i])
			}
		}
	}
	p.reload(t)
	shown("after opening it again")

	// The saved file, taken from what the page hands to the browser.
	saved := eval[string](t, p, `new Promise(done => {
		const make = URL.createObjectURL;
		URL.createObjectURL = blob => { blob.text().then(done); return make(blob); };
		document.getElementById("answers-save").click();
	})`)
	read, trouble := answerfile.Read("answers-A3TD-9WV1.json", []byte(saved))
	if trouble != nil || read.Sheet == nil {
		t.Fatalf("the saved file is not read: %+v\n%s", trouble, saved)
	}
	for k, want := range everyAnswer {
		if got := read.Sheet.Answers[k]; got != want {
			t.Errorf("in the file %s is %q, want %q", k, got, want)
		}
	}

	// Clear asks first; what was cleared can be brought back.
	eval[bool](t, p, `(window.confirm = () => true, document.getElementById("answers-clear").click(), true)`)
	if p.kept(t) != "" || eval[string](t, p, `document.querySelector('[name="5.e"]').value + [...document.querySelectorAll(".place")].map(f => f.value).join("")`) != "" {
		t.Error("something is left after clearing")
	}
	if order := eval[string](t, p, `[...document.querySelectorAll(".order-step")].map(s => s.dataset.step).join(" ")`); order != "open permit read shut" {
		t.Errorf("after clearing the steps stand as %s, not as printed", order)
	}
	eval[bool](t, p, `(document.getElementById("answers-back").click(), true)`)
	shown("brought back")
	same("brought back")

	// From the file, on an empty page.
	eval[bool](t, p, `(document.getElementById("answers-clear").click(), localStorage.clear(), true)`)
	file := filepath.Join(t.TempDir(), "answers-A3TD-9WV1.json")
	if err := os.WriteFile(file, []byte(saved), 0o600); err != nil {
		t.Fatal(err)
	}
	p.chooseFile(t, file)
	eval[bool](t, p, `new Promise(r => setTimeout(() => r(true), 200))`)
	shown("opened from the file")
	same("opened from the file")

	// Another form's file is refused, and nothing of this one changes.
	other := filepath.Join(t.TempDir(), "answers-other.json")
	if err := os.WriteFile(other, []byte(strings.Replace(saved, "A3TD-9WV1", "A3TD-9WV2", 1)), 0o600); err != nil {
		t.Fatal(err)
	}
	p.chooseFile(t, other)
	eval[bool](t, p, `new Promise(r => setTimeout(() => r(true), 200))`)
	if said := p.textOf(t, "#answers-state"); !strings.Contains(said, "belongs to form A3TD-9WV2") {
		t.Errorf("a file of another form: %q", said)
	}
	same("after a file of another form")

	// Steps whose numbers are no order are kept as they were typed.
	eval[bool](t, p, `(document.querySelectorAll(".place").forEach(f => { f.value = "1"; }), document.querySelector(".place").dispatchEvent(new Event("input", {bubbles: true})), true)`)
	if !strings.Contains(p.kept(t), `"5.a":"permit=1, shut=1, read=1, open=1"`) {
		t.Errorf("numbers that are no order are kept as %s", p.kept(t))
	}
	p.reload(t)
	if got := eval[string](t, p, `[...document.querySelectorAll(".place")].map(f => f.value).join("")`); got != "1111" {
		t.Errorf("they come back as %q", got)
	}
	for _, s := range p.heard() {
		t.Error(s)
	}
}

// chooseFile hands a file to the page as the file dialogue would.
func (p *opened) chooseFile(t *testing.T, file string) {
	t.Helper()
	p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
		found, err := cdp.Call(ctx, tab, runtime.Evaluate, runtime.EvaluateParams{Expression: `document.getElementById("answers-file")`})
		if err != nil {
			return err
		}
		_, err = cdp.Call(ctx, tab, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: []string{file}, ObjectID: found.Result.ObjectID})
		return err
	})
}

// TestKeyboardAlone works every kind of box with keys alone, and sees where the
// focus is at each stop.
func TestKeyboardAlone(t *testing.T) {
	folder := sampleFolder(t, exercises.Practice)
	p := openBrowser(t, folder).open(t, one(t, folder, "hand-out/workbook-01-*.html"))
	focus := func() string {
		return eval[string](t, p, `(e => e.name ? e.name + (e.type === "radio" ? "=" + e.value : "") : e.id || e.getAttribute("aria-label") || e.textContent.slice(0, 30))(document.activeElement)`)
	}
	// Tab reaches every field and button, and each shows the focus.
	eval[bool](t, p, `(document.querySelectorAll("details").forEach(d => d.open = false), document.body.focus(), true)`)
	reached := map[string]bool{}
	for range 400 {
		p.press(t, "Tab")
		at := focus()
		if at == "" || reached[at] && strings.HasPrefix(at, "answers-") && len(reached) > 60 {
			break
		}
		reached[at] = true
		if seen := eval[bool](t, p, `(e => { const s = getComputedStyle(e), f = getComputedStyle(e.closest(".drawn-option, .cell") || e);
			return s.outlineStyle !== "none" && parseFloat(s.outlineWidth) > 1 || f.outlineStyle !== "none" && parseFloat(f.outlineWidth) > 1 })(document.activeElement)`); !seen {
			t.Errorf("the focus is not to be seen at %s", at)
		}
	}
	for _, want := range []string{"who.name", "1.a", "1.a.working", "3.a.1", "5.d.1", "5.d.1.stop", "5.e", "5.e.unit", "5.f", "x5-step-a-1", "move step A down", "Compare my answers", "answers-save", "answers-open", "answers-clear"} {
		if !reached[want] {
			t.Errorf("Tab does not reach %s", want)
		}
	}
	start := func(selector string) {
		eval[bool](t, p, fmt.Sprintf(`(document.querySelector(%q).focus(), true)`, selector))
	}
	// Type a number, tick, choose with an arrow, move a step, compare, open the
	// working.
	start(`[name="5.d.1"]`)
	for _, k := range []string{"-", "0", ",", "4", "Tab", "Tab", "Tab", " "} {
		p.press(t, k)
	}
	start(`[name="5.b"]`)
	p.press(t, " ")
	p.press(t, "ArrowDown")
	start(`[aria-label="move step A down"]`)
	p.press(t, "Enter")
	start("#x5 .compare button")
	p.press(t, "Enter")
	kept := p.kept(t)
	for _, want := range []string{`"5.d.1":"-0,4"`, `"5.d.2.stop":"stop"`, `"5.b":"right"`, `"5.a":"permit, open, read, shut"`} {
		if !strings.Contains(kept, want) {
			t.Errorf("with keys alone %s is not kept in %s", want, kept)
		}
	}
	said := eval[[]string](t, p, `[...document.querySelectorAll("#x5 .compared")].map(c => c.textContent)`)
	if !strings.Contains(said[1], "Correct") || !strings.Contains(said[3], "2 of 2 correct") || !strings.Contains(said[0], "Not correct") {
		t.Errorf("comparing with keys alone says %q", said)
	}
	start(`#x5 .compared button`)
	p.press(t, "Enter")
	if !eval[bool](t, p, `document.querySelector("#x5 .solution").open && document.activeElement.tagName === "H4"`) {
		t.Error("the working does not open with keys alone")
	}
	for _, s := range p.heard() {
		t.Error(s)
	}
}

// TestPointerOrders drags a step by its letter.
func TestPointerOrders(t *testing.T) {
	folder := sampleFolder(t, exercises.Assessment)
	p := openBrowser(t, folder).open(t, one(t, folder, "hand-out/workbook-01-*.html"))
	at := eval[[]box](t, p, `(document.querySelector(".order").scrollIntoView({block: "center", behavior: "instant"}),
		[...document.querySelectorAll(".order-step .letter")].map(e => { const r = e.getBoundingClientRect(); return {X: r.x + r.width / 2, Y: r.y + r.height / 2, Width: r.width, Height: r.height} }))`)
	mouse := func(kind string, x, y float64) {
		p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
			_, err := cdp.Call(ctx, tab, input.DispatchMouseEvent, input.DispatchMouseEventParams{Type: input.DispatchMouseEventType(kind), X: x, Y: y, Button: "left", Buttons: 1, ClickCount: 1})
			return err
		})
	}
	mouse("mousePressed", at[0].X, at[0].Y)
	for i := 1; i <= 10; i++ {
		mouse("mouseMoved", at[0].X, at[0].Y+(at[3].Y+8-at[0].Y)*float64(i)/10)
	}
	mouse("mouseReleased", at[0].X, at[3].Y+8)
	if kept := p.kept(t); !strings.Contains(kept, `"5.a":"permit, read, shut, open"`) {
		t.Errorf("after drawing the first step to the end: %s", kept)
	}
	for _, s := range p.heard() {
		t.Error(s)
	}
}
