package render

import (
	"encoding/xml"
	"io"
	"strings"
	"testing"
	"unicode/utf8"
)

func TestEscape(t *testing.T) {
	for name, row := range map[string]struct{ in, want string }{
		"plain":            {"8.55\u00a0mA", "8.55\u00a0mA"},
		"markup":           {`<b a="1" c='2'>&`, "&lt;b a=&quot;1&quot; c=&#39;2&#39;&gt;&amp;"},
		"control":          {"a\x00b\x1fc\x7fd\u0085e", "a\ufffdb\ufffdc\ufffdd\ufffde"},
		"kept white space": {"a\tb\nc\r", "a\tb\nc\n"},
		"not UTF-8":        {"a\xffb\xe2\x28", "a\ufffdb\ufffd("},
		"noncharacter":     {"a\ufffe\ufdd0\U0001ffffb", "a\ufffd\ufffd\ufffdb"},
		"outside the BMP":  {"\U0001f527", "\U0001f527"},
		"empty":            {"", ""},
	} {
		if got := string(appendText([]byte("x"), row.in)); got != "x"+row.want {
			t.Errorf("%s: got %q, want %q", name, got, "x"+row.want)
		}
	}
}

// A parser that is not ours reads back one text node and one attribute.
func FuzzEscape(f *testing.F) {
	for _, s := range []string{"", `"><script>`, "]]>", "a&amp;b", "\x00\xff", "'--"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		page := append([]byte(`<p a="`), appendAttr(nil, s)...)
		page = append(page, `" b='`...)
		page = append(page, appendAttr(nil, s)...)
		page = append(page, `'>`...)
		page = append(page, appendText(nil, s)...)
		page = append(page, `</p>`...)
		if !utf8.Valid(page) {
			t.Fatalf("not UTF-8: %q", page)
		}
		d := xml.NewDecoder(strings.NewReader(string(page)))
		var elements, attributes int
		for {
			tok, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatalf("%v in %q", err, page)
			}
			if e, ok := tok.(xml.StartElement); ok {
				elements++
				attributes += len(e.Attr)
			}
		}
		if elements != 1 || attributes != 2 {
			t.Fatalf("%d elements, %d attributes in %q", elements, attributes, page)
		}
	})
}
