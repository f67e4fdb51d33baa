package prose

import (
	"strings"
	"testing"
)

const sample = `Remark for editors.

## ask
The needle of **{tag}** stands at {reading}. Not a slot: {Not one} {}.

## two
- one
- two
`

func TestLibrary(t *testing.T) {
	lib, err := ParseLibrary("sample.md", sample)
	if err != nil {
		t.Fatal(err)
	}
	if got := strings.Join(lib.Names(), " "); got != "ask two" {
		t.Errorf("entries: %s", got)
	}
	got := lib.Text("ask", "tag", "LT-2104", "reading", "<3").Plain()
	want := "The needle of LT-2104 stands at <3. Not a slot: {Not one} {}."
	if got != want {
		t.Errorf("got  %s\nwant %s", got, want)
	}
}

func TestLibraryMistakes(t *testing.T) {
	for name, src := range map[string]string{
		"twice": "## a\nx\n## a\ny\n",
		"empty": "## a\n\n## b\ny\n",
	} {
		if _, err := ParseLibrary("f.md", src); err == nil {
			t.Errorf("%s: no error", name)
		}
	}
	lib := MustLibrary("f.md", sample)
	for name, call := range map[string]func(){
		"missing entry": func() { lib.Text("nobody") },
		"missing slot":  func() { lib.Text("ask", "tag", "x") },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s went unnoticed", name)
				}
			}()
			call()
		}()
	}
}

func TestRawHTMLIsFound(t *testing.T) {
	for src, want := range map[string]bool{
		"plain *text*":             false,
		"a <script>x</script>":     true,
		"<div>\nblock\n</div>":     true,
		"`<b>` is code, not HTML.": false,
	} {
		if _, got := ParsePlain(src).HasRawHTML(); got != want {
			t.Errorf("%q: %v", src, got)
		}
	}
}
