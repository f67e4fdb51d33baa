package main

import (
	"context"
	"io"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// serving starts a preview of a new course.
func serving(t *testing.T) (p *preview, url, dir string) {
	t.Helper()
	dir = filepath.Join(t.TempDir(), "course")
	if code, _, stderr := run("new", dir); code != exitFine {
		t.Fatal(stderr)
	}
	p = newPreview(dir, "preview", 2)
	p.load()
	server := httptest.NewUnstartedServer(nil)
	server.Config.Handler = p.handler(server.Listener.Addr().String())
	server.Start()
	t.Cleanup(server.Close)
	return p, server.URL, dir
}

// get fetches a page; host stands in for the name by which it is asked for.
func get(t *testing.T, url, host string) (int, string) {
	t.Helper()
	r, err := http.NewRequest("GET", url, nil)
	if err != nil {
		t.Fatal(err)
	}
	if host != "" {
		r.Host = host
	}
	answer, err := http.DefaultClient.Do(r)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(body)
}

func TestPreviewServesEveryFile(t *testing.T) {
	p, url, _ := serving(t)
	if len(p.state().files) < 6 {
		t.Fatalf("%d files", len(p.state().files))
	}
	for name, f := range p.state().files {
		code, body := get(t, url+"/"+name, "")
		var want strings.Builder
		if err := f.Write(&want); err != nil {
			t.Fatal(err)
		}
		if strings.HasSuffix(name, ".html") {
			before, after, found := strings.Cut(body, p.state().reloader())
			if !found {
				t.Errorf("%s: does not load itself anew", name)
			}
			body = before + after
		}
		if code != http.StatusOK || body != want.String() {
			t.Errorf("%s: status %d, and other bytes than a build writes", name, code)
		}
	}
	if code, body := get(t, url, ""); code != http.StatusOK || !strings.Contains(body, "workbook") {
		t.Errorf("the address alone gives status %d", code)
	}
}

func TestPreviewRefuses(t *testing.T) {
	_, url, dir := serving(t)
	if err := os.WriteFile(filepath.Join(filepath.Dir(dir), "other.txt"), []byte("not of the course"), 0o600); err != nil {
		t.Fatal(err)
	}
	for _, row := range []struct {
		name, path, host string
		want             int
	}{
		{"another host", "/start.html", "plant.example", http.StatusForbidden},
		{"another port", "/start.html", "localhost:1", http.StatusForbidden},
		{"no such page", "/none.html", "", http.StatusNotFound},
		{"a file beside the course", "/%2e%2e/other.txt", "", http.StatusNotFound},
		{"a file of the course", "/course.yaml", "", http.StatusNotFound},
		{"no state", "/preview-state", "", http.StatusBadRequest},
	} {
		if code, _ := get(t, url+row.path, row.host); code != row.want {
			t.Errorf("%s: status %d, want %d", row.name, code, row.want)
		}
	}
}

// A saved mistake shows on every page, with its place, and goes when it is
// mended; a waiting page is told both times.
func TestPreviewFollowsTheFiles(t *testing.T) {
	p, url, dir := serving(t)
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	if err := p.watch(ctx); err != nil {
		t.Fatal(err)
	}
	name := filepath.Join(dir, "course.yaml")
	good, err := os.ReadFile(name)
	if err != nil {
		t.Fatal(err)
	}
	// A save may be seen in several steps; wait for the state that it leads to.
	write := func(b []byte, faults bool) {
		if err := os.WriteFile(name, b, 0o600); err != nil {
			t.Fatal(err)
		}
		for now := p.state(); (now.faults != "") != faults; now = p.state() {
			<-p.after(now.number)
		}
	}
	write(append(good, "\npass_mrk: 3\n"...), true)
	code, body := get(t, url+"/start.html", "")
	if code != http.StatusUnprocessableEntity || !strings.Contains(body, "course.yaml:") || !strings.Contains(body, "pass_mrk") {
		t.Errorf("status %d: %s", code, body)
	}
	if code, number := get(t, url+"/preview-state?shown=1", ""); code != http.StatusOK || number == "1" {
		t.Errorf("a page that shows state 1 is told %q", number)
	}
	write(good, false)
	if code, _ := get(t, url+"/start.html", ""); code != http.StatusOK {
		t.Errorf("mended, and still status %d", code)
	}
}

func TestPreviewUsage(t *testing.T) {
	for _, args := range [][]string{
		{"preview", "a", "b"}, {"preview", "--port", "70000"}, {"preview", "--copies", "0"}, {"preview", "--nonsense"},
	} {
		if code, _, stderr := run(args...); code != exitUsage || stderr == "" {
			t.Errorf("%v: exit code %d, %q", args, code, stderr)
		}
	}
	if code, _, stderr := run("preview", filepath.Join(t.TempDir(), "none")); code != exitIO || stderr == "" {
		t.Errorf("no such course: exit code %d, %q", code, stderr)
	}
}
