package main

import (
	"bytes"
	"context"
	"fmt"
	"html"
	"io/fs"
	"mime"
	"net"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"github.com/fsnotify/fsnotify"
)

// preview holds the course that is being served.
type preview struct {
	course string
	seed   string
	copies int

	mu      sync.Mutex
	current previewed
	changed chan struct{} // closed when the next state is there
}

func newPreview(course, seed string, copies int) *preview {
	return &preview{course: course, seed: seed, copies: copies, changed: make(chan struct{})}
}

// load reads the course and makes the result the one that is served.
func (p *preview) load() {
	next := p.inspect()
	p.mu.Lock()
	defer p.mu.Unlock()
	next.number = p.current.number + 1
	p.current = next
	close(p.changed)
	p.changed = make(chan struct{})
}

func (p *preview) state() previewed {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.current
}

// after gives a channel that is closed once the state is newer than number.
func (p *preview) after(number int) <-chan struct{} {
	p.mu.Lock()
	defer p.mu.Unlock()
	if p.current.number > number {
		done := make(chan struct{})
		close(done)
		return done
	}
	return p.changed
}

// settleTime is how long the files must be quiet before they are read: editors
// save in several steps.
const settleTime = 150 * time.Millisecond

// watch loads the course again when a file of it changes, until ctx ends. A
// shipped course never changes.
func (p *preview) watch(ctx context.Context) error {
	dir := p.course
	if filepath.Base(dir) == "course.yaml" {
		dir = filepath.Dir(dir)
	}
	if info, err := os.Stat(dir); err != nil || !info.IsDir() {
		return nil
	}
	w, err := fsnotify.NewWatcher()
	if err != nil {
		return err
	}
	// Folders are watched, not files: many editors put a new file in the
	// place of the old one.
	add := func() error {
		return filepath.WalkDir(dir, func(name string, d fs.DirEntry, err error) error {
			if err != nil || !d.IsDir() {
				return nil // gone again, or not ours to read; the reader reports it
			}
			return w.Add(name)
		})
	}
	if err := add(); err != nil {
		w.Close()
		return err
	}
	go func() {
		defer w.Close()
		quiet := time.NewTimer(time.Hour)
		quiet.Stop()
		for {
			select {
			case <-ctx.Done():
				return
			case _, ok := <-w.Events:
				if !ok {
					return
				}
				quiet.Reset(settleTime)
			case _, ok := <-w.Errors:
				// Too many events at once: what changed is not known.
				if !ok {
					return
				}
				quiet.Reset(settleTime)
			case <-quiet.C:
				_ = add() // folders that are new
				p.load()
			}
		}
	}()
	return nil
}

// handler serves the pages to this machine. address is the one listened on; a
// request for another host comes from a page elsewhere that points its name at
// us, and is refused.
func (p *preview) handler(address string) http.Handler {
	_, port, _ := net.SplitHostPort(address)
	mux := http.NewServeMux()
	mux.HandleFunc("GET /preview-state", p.waitForChange)
	mux.HandleFunc("GET /", p.page)
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		switch r.Host {
		case net.JoinHostPort("127.0.0.1", port), net.JoinHostPort("localhost", port):
			mux.ServeHTTP(w, r)
		default:
			http.Error(w, "loopdrill preview answers to localhost only", http.StatusForbidden)
		}
	})
}

// waitForChange answers once the state is another than the page's, or after
// half a minute.
func (p *preview) waitForChange(w http.ResponseWriter, r *http.Request) {
	var number int
	if _, err := fmt.Sscan(r.URL.Query().Get("shown"), &number); err != nil {
		http.Error(w, "which state is shown?", http.StatusBadRequest)
		return
	}
	select {
	case <-p.after(number):
	case <-time.After(30 * time.Second):
	case <-r.Context().Done():
		return
	}
	w.Header().Set("Cache-Control", "no-store")
	fmt.Fprint(w, p.state().number)
}

func (p *preview) page(w http.ResponseWriter, r *http.Request) {
	now := p.state()
	w.Header().Set("Cache-Control", "no-store")
	if now.faults != "" {
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		w.WriteHeader(http.StatusUnprocessableEntity)
		fmt.Fprintf(w, "<!doctype html>\n<html lang=\"en\"><head><meta charset=\"utf-8\"><title>Faults in the course</title>"+
			"<meta name=\"color-scheme\" content=\"light dark\"></head>\n<body><h1>Faults in the course</h1>\n<pre>%s</pre>\n%s</body></html>\n",
			html.EscapeString(now.faults), now.reloader())
		return
	}
	name := strings.TrimPrefix(path.Clean("/"+r.URL.Path), "/")
	if name == "" {
		http.Redirect(w, r, "/start.html", http.StatusFound)
		return
	}
	f, ok := now.files[name]
	if !ok {
		http.NotFound(w, r)
		return
	}
	var b bytes.Buffer
	if err := f.Write(&b); err != nil {
		http.Error(w, err.Error(), http.StatusInternalServerError)
		return
	}
	kind := mime.TypeByExtension(path.Ext(name))
	body := b.Bytes()
	if path.Ext(name) == ".html" {
		body = bytes.Replace(body, []byte("</body>"), []byte(now.reloader()+"</body>"), 1)
	}
	if kind != "" {
		w.Header().Set("Content-Type", kind)
	}
	_, _ = w.Write(body)
}

// reloader is the script that loads a page anew when the course has changed.
// It is only in pages that are served here, never in those of a build.
func (s previewed) reloader() string {
	return fmt.Sprintf(`<script>
(async function () {
  for (;;) {
    try {
      const answer = await fetch("/preview-state?shown=%d", { cache: "no-store" });
      if (answer.ok && Number(await answer.text()) !== %d) { location.reload(); return; }
    } catch (e) {
      await new Promise(function (again) { setTimeout(again, 1000); });
    }
  }
})();
</script>
`, s.number, s.number)
}
