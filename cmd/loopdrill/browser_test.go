package main

import (
	"bytes"
	"context"
	"fmt"
	"image"
	_ "image/png"
	"net/url"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	cdplog "github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// browser is a headless Chromium in which pages are opened from a folder.
type browser struct {
	ctx    context.Context
	folder string // the pages may ask for files in here and for nothing else
}

// openBrowser starts the browser that LOOPDRILL_BROWSER names, or else a
// Chromium on PATH. Without one the test is skipped, which cmd/verify lists as
// left out and counts as failed under CI.
func openBrowser(t *testing.T, folder string) *browser {
	t.Helper()
	path := os.Getenv("LOOPDRILL_BROWSER")
	if path == "" {
		for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
			if found, err := exec.LookPath(name); err == nil {
				path = found
				break
			}
		}
	}
	if path == "" || path == "none" {
		t.Skip("the pages were not opened in a browser: set LOOPDRILL_BROWSER to a Chromium or put one on PATH")
	}
	options := append(chromedp.DefaultExecAllocatorOptions[:],
		chromedp.ExecPath(path), chromedp.NoSandbox, chromedp.DisableGPU, chromedp.WindowSize(1000, 1400),
		chromedp.UserDataDir(t.TempDir()), chromedp.Flag("disable-background-networking", true))
	ctx, cancel := chromedp.NewExecAllocator(context.Background(), options...)
	t.Cleanup(cancel)
	ctx, cancel = chromedp.NewContext(ctx)
	t.Cleanup(cancel)
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("%s does not start: %v", path, err)
	}
	return &browser{ctx, folder}
}

// opened is a page in a tab of its own.
type opened struct {
	b   *browser
	ctx context.Context

	mu       sync.Mutex
	troubles []string
}

// open opens a file of the folder and waits until it is drawn.
func (b *browser) open(t *testing.T, file string) *opened {
	t.Helper()
	tab, cancel := chromedp.NewContext(b.ctx)
	t.Cleanup(cancel)
	if err := chromedp.Do(tab); err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithTimeout(tab, 2*time.Minute)
	t.Cleanup(cancel)
	p := &opened{b: b, ctx: ctx}
	if err := chromedp.Listen(ctx, p.hear); err != nil {
		t.Fatal(err)
	}
	p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
		for _, enable := range []func() error{
			func() error { _, err := cdp.Call(ctx, tab, network.Enable, network.EnableParams{}); return err },
			func() error { _, err := cdp.Call(ctx, tab, cdplog.Enable, cdp.Empty{}); return err },
		} {
			if err := enable(); err != nil {
				return err
			}
		}
		return nil
	})
	if err := chromedp.Do(ctx, chromedp.Navigate(fileURL(filepath.Join(b.folder, file)))); err != nil {
		t.Fatalf("%s: %v", file, err)
	}
	// Two frames after the load event, fonts and charts are there.
	eval[bool](t, p, `document.fonts.ready.then(() => new Promise(r =>
		requestAnimationFrame(() => requestAnimationFrame(() => setTimeout(() => r(true), 50)))))`)
	return p
}

func fileURL(path string) string { return (&url.URL{Scheme: "file", Path: path}).String() }

// hear gathers what a page must not do: complain on the console, throw, or ask
// for anything outside its folder.
func (p *opened) hear(ev any) {
	switch e := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		if e.Type == "error" || e.Type == "warning" || e.Type == "assert" {
			text := ""
			for _, a := range e.Args {
				text += " " + string(a.Value) + a.Description
			}
			p.trouble("console %s:%s", e.Type, text)
		}
	case *runtime.EventExceptionThrown:
		p.trouble("exception: %s %s", e.ExceptionDetails.Text, description(e.ExceptionDetails.Exception))
	case *cdplog.EventEntryAdded:
		if e.Entry.Level == "error" || e.Entry.Level == "warning" {
			p.trouble("browser's %s: %s %s", e.Entry.Level, e.Entry.Text, e.Entry.URL)
		}
	case *network.EventRequestWillBeSent:
		u, err := url.Parse(e.Request.URL)
		inside := err == nil && (u.Scheme == "data" || u.Scheme == "file" && u.Host == "" &&
			strings.HasPrefix(filepath.Clean(u.Path), p.b.folder+string(filepath.Separator)))
		if !inside {
			p.trouble("request beyond the folder: %.200s", e.Request.URL)
		}
	}
}

func description(o *runtime.RemoteObject) string {
	if o == nil {
		return ""
	}
	return o.Description
}

func (p *opened) trouble(format string, args ...any) {
	p.mu.Lock()
	defer p.mu.Unlock()
	p.troubles = append(p.troubles, fmt.Sprintf(format, args...))
}

// heard gives the troubles so far.
func (p *opened) heard() []string {
	p.mu.Lock()
	defer p.mu.Unlock()
	return append([]string(nil), p.troubles...)
}

func (p *opened) do(t *testing.T, f func(context.Context, *chromedp.Target) error) {
	t.Helper()
	if err := chromedp.Do(p.ctx, chromedp.Func(f)); err != nil {
		t.Fatal(err)
	}
}

// eval runs script on the page and waits for its promise.
func eval[T any](t *testing.T, p *opened, script string) T {
	t.Helper()
	v, err := chromedp.Run(p.ctx, chromedp.Evaluate[T](script, chromedp.EvalAwaitPromise))
	if err != nil {
		t.Fatalf("%v in %s", err, script)
	}
	return v
}

// scheme asks for light or dark.
func (p *opened) scheme(t *testing.T, want string) {
	t.Helper()
	p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
		_, err := cdp.Call(ctx, tab, emulation.SetEmulatedMedia, emulation.SetEmulatedMediaParams{
			Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: want}},
		})
		return err
	})
}

// box is a rectangle on the page, in CSS pixels.
type box struct{ X, Y, Width, Height float64 }

// picture draws a part of the page that stands on the screen.
func (p *opened) picture(t *testing.T, at box) image.Image {
	t.Helper()
	var data []byte
	p.do(t, func(ctx context.Context, tab *chromedp.Target) error {
		r, err := cdp.Call(ctx, tab, page.CaptureScreenshot, page.CaptureScreenshotParams{
			Clip: &page.Viewport{X: at.X, Y: at.Y, Width: at.Width, Height: at.Height, Scale: 1},
		})
		data = r.Data
		return err
	})
	img, _, err := image.Decode(bytes.NewReader(data))
	if err != nil {
		t.Fatal(err)
	}
	return img
}

// needlePixels is the least number of pixels that must change by a fifth of
// the way from black to white when a needle is taken away. The needle of a
// small face, some 25 mm long and half a millimetre thick, has about 150.
const needlePixels = 40

// needles takes the needle out of each face and looks whether that can be seen:
// whatever hides a needle (no size, no contrast, something above it) shows.
// Only the first faces of a long page are looked at. It returns how many.
func (p *opened) needles(t *testing.T, most int) int {
	t.Helper()
	seen := 0
	for i := range eval[int](t, p, `document.querySelectorAll(".face svg").length`) {
		face := fmt.Sprintf(`document.querySelectorAll(".face svg")[%d]`, i)
		if !eval[bool](t, p, face+`.checkVisibility()`) {
			continue // in a folded part
		}
		at := eval[box](t, p, `(f => { f.scrollIntoView({block: "center", behavior: "instant"}); const r = f.getBoundingClientRect();
			return {X: r.x + scrollX, Y: r.y + scrollY, Width: r.width, Height: r.height} })(`+face+`)`)
		if at.Width < 1 || at.Height < 1 {
			p.trouble("face %d has no size", i+1)
			continue
		}
		if seen == most {
			break
		}
		seen++
		hide := func(v string) {
			eval[bool](t, p, fmt.Sprintf(`%s.querySelectorAll(".needle").forEach(n => n.style.visibility = %q), true`, face, v))
		}
		with := p.picture(t, at)
		hide("hidden")
		without := p.picture(t, at)
		hide("")
		if n := differ(with, without); n < needlePixels {
			p.trouble("face %d: the needle shows in %d pixels, fewer than %d", i+1, n, needlePixels)
		}
	}
	return seen
}

// differ counts the pixels whose brightness differs by a fifth of the scale.
func differ(a, b image.Image) int {
	bright := func(img image.Image, x, y int) int {
		r, g, b, _ := img.At(x, y).RGBA()
		return (299*int(r) + 587*int(g) + 114*int(b)) / 1000
	}
	n := 0
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			if d := bright(a, x, y) - bright(b, x, y); d > 0xffff/5 || d < -0xffff/5 {
				n++
			}
		}
	}
	return n
}

// paper prints the page as its style wants it and gives the text of each sheet.
func (p *opened) paper(t *testing.T) []string {
	t.Helper()
	reader, err := exec.LookPath("pdftotext")
	if err != nil {
		t.Skip("printed pages were not read, although LOOPDRILL_BROWSER is there: pdftotext is missing (package poppler-utils)")
	}
	pdf, err := chromedp.Run(p.ctx, chromedp.PrintToPDF(func(a *page.PrintToPDFParams) {
		yes := true
		a.PreferCSSPageSize, a.PrintBackground = &yes, &yes
	}))
	if err != nil {
		t.Fatal(err)
	}
	cmd := exec.Command(reader, "-layout", "-enc", "UTF-8", "-", "-")
	cmd.Stdin = bytes.NewReader(pdf)
	text, err := cmd.Output()
	if err != nil {
		t.Fatal(err)
	}
	return strings.Split(strings.TrimSuffix(string(text), "\f"), "\f")
}

// sheetTroubles checks that every sheet of paper says which it is of how many
// and holds what must stand on all of them.
func sheetTroubles(sheets []string, always ...string) []string {
	var out []string
	for i, s := range sheets {
		text := squeeze(s)
		for _, want := range append([]string{fmt.Sprintf("page %d of %d", i+1, len(sheets))}, always...) {
			if !strings.Contains(strings.ToLower(text), strings.ToLower(want)) {
				out = append(out, fmt.Sprintf("sheet %d of %d lacks %q", i+1, len(sheets), want))
			}
		}
	}
	return out
}

// squeeze makes every run of blanks and line breaks one blank.
func squeeze(s string) string { return strings.Join(strings.Fields(s), " ") }
