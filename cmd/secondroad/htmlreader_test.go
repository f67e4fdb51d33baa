package secondroad

import (
	"encoding/xml"
	"fmt"
	"html"
	"io"
	"strings"
	"testing"
	"unicode"
)

// node is an element of a page, or a run of text where name is empty.
type node struct {
	name  string
	attrs []attr
	text  string
	kids  []*node
}

type attr struct{ name, value string }

// void lists the elements of HTML that have no end tag.
var void = map[string]bool{
	"area": true, "base": true, "br": true, "col": true, "embed": true, "hr": true, "img": true,
	"input": true, "link": true, "meta": true, "source": true, "track": true, "wbr": true,
}

// readHTML reads a page into a tree. It is stricter than a browser: every
// element that HTML lets stand open must be closed, and closed in order, so
// that the tree is the one that a browser builds. What it does not know is an
// error, never skipped.
func readHTML(page string) (*node, error) {
	root := &node{name: "#page"}
	open := []*node{root}
	top := func() *node { return open[len(open)-1] }
	for i := 0; i < len(page); {
		if page[i] != '<' {
			end := strings.IndexByte(page[i:], '<')
			if end < 0 {
				end = len(page) - i
			}
			t, err := unescape(page[i : i+end])
			if err != nil {
				return nil, err
			}
			top().kids = append(top().kids, &node{text: t})
			i += end
			continue
		}
		rest := page[i:]
		switch {
		case strings.HasPrefix(rest, "<!DOCTYPE html>"):
			i += len("<!DOCTYPE html>")
		case strings.HasPrefix(rest, "</"):
			end := strings.IndexByte(rest, '>')
			if end < 0 {
				return nil, fmt.Errorf("an end tag stays open: %.40q", rest)
			}
			if name := rest[2:end]; name != top().name {
				return nil, fmt.Errorf("</%s> closes <%s>", name, top().name)
			}
			open = open[:len(open)-1]
			i += end + 1
		default:
			n, size, closed, err := startTag(rest)
			if err != nil {
				return nil, err
			}
			i += size
			top().kids = append(top().kids, n)
			switch {
			case closed || void[n.name]:
			case n.name == "script" || n.name == "style":
				end := strings.Index(page[i:], "</"+n.name+">")
				if end < 0 {
					return nil, fmt.Errorf("<%s> stays open", n.name)
				}
				i += end + len("</"+n.name+">")
			default:
				open = append(open, n)
			}
		}
	}
	if len(open) > 1 {
		return nil, fmt.Errorf("<%s> stays open at the end", top().name)
	}
	return root, nil
}

// startTag reads one start tag. size is its length in bytes; closed says that
// it ends in "/>", which only drawings and formulas may have.
func startTag(s string) (n *node, size int, closed bool, err error) {
	fail := func(what string) (*node, int, bool, error) {
		return nil, 0, false, fmt.Errorf("%s: %.60q", what, s)
	}
	i := 1
	for i < len(s) && (isNameByte(s[i])) {
		i++
	}
	if i == 1 {
		return fail("no element's name")
	}
	n = &node{name: s[1:i]}
	for {
		for i < len(s) && (s[i] == ' ' || s[i] == '\n') {
			i++
		}
		if i >= len(s) {
			return fail("a start tag stays open")
		}
		if s[i] == '>' {
			return n, i + 1, false, nil
		}
		if strings.HasPrefix(s[i:], "/>") {
			return n, i + 2, true, nil
		}
		from := i
		for i < len(s) && isNameByte(s[i]) {
			i++
		}
		if i == from {
			return fail("no attribute's name")
		}
		a := attr{name: s[from:i]}
		if strings.HasPrefix(s[i:], `="`) {
			end := strings.IndexByte(s[i+2:], '"')
			if end < 0 {
				return fail("an attribute stays open")
			}
			if a.value, err = unescape(s[i+2 : i+2+end]); err != nil {
				return nil, 0, false, err
			}
			i += end + 3
		}
		for _, b := range n.attrs {
			if a.name == b.name {
				return fail("an attribute twice")
			}
		}
		n.attrs = append(n.attrs, a)
	}
}

func isNameByte(b byte) bool {
	return b >= 'a' && b <= 'z' || b >= 'A' && b <= 'Z' || b >= '0' && b <= '9' || b == '-' || b == ':' || b == '_'
}

// unescape puts characters in the place of references. A bare & is an error.
func unescape(s string) (string, error) {
	if !strings.Contains(s, "&") {
		return s, nil
	}
	for rest := s; ; {
		i := strings.IndexByte(rest, '&')
		if i < 0 {
			return html.UnescapeString(s), nil
		}
		j := strings.IndexByte(rest[i:], ';')
		if j < 2 || strings.ContainsAny(rest[i:i+j], " <\n") {
			return "", fmt.Errorf("a bare & in %.60q", s)
		}
		rest = rest[i+j:]
	}
}

// attr gives an attribute, or "".
func (n *node) attr(name string) string {
	for _, a := range n.attrs {
		if a.name == name {
			return a.value
		}
	}
	return ""
}

// is reports whether n is an element of that name with that class. Either may
// be empty.
func (n *node) is(name, class string) bool {
	if name != "" && n.name != name || n.name == "" {
		return false
	}
	if class == "" {
		return true
	}
	for rest := n.attr("class"); rest != ""; {
		one, more, _ := strings.Cut(rest, " ")
		if one == class {
			return true
		}
		rest = more
	}
	return false
}

// all lists the elements below n of that name and class, outermost first;
// those inside one that was found are not looked for.
func (n *node) all(name, class string) []*node {
	var out []*node
	for _, k := range n.kids {
		if k.is(name, class) {
			out = append(out, k)
		} else if k.name != "" {
			out = append(out, k.all(name, class)...)
		}
	}
	return out
}

// first is the first of [node.all], or nil.
func (n *node) first(name, class string) *node {
	for _, k := range n.kids {
		if k.is(name, class) {
			return k
		}
		if k.name != "" {
			if f := k.first(name, class); f != nil {
				return f
			}
		}
	}
	return nil
}

// words is the text of n as it is read: runs of spaces, also those that do not
// break, are one space.
func (n *node) words() string {
	if n == nil {
		return ""
	}
	var b strings.Builder
	n.write(&b)
	s := b.String()
	b.Reset()
	space := false
	for _, r := range s {
		if unicode.IsSpace(r) || r == '\u202f' {
			space = true
			continue
		}
		if space && b.Len() > 0 {
			b.WriteByte(' ')
		}
		space = false
		b.WriteRune(r)
	}
	return b.String()
}

func (n *node) write(b *strings.Builder) {
	b.WriteString(n.text)
	for _, k := range n.kids {
		k.write(b)
	}
}

// TestReaderAgainstStandardLibrary reads a page by our reader and by
// encoding/xml with its rules for HTML: the same elements, attributes and text
// in the same order.
func TestReaderAgainstStandardLibrary(t *testing.T) {
	b := newBook(t, shippedCourse(t), 1, 2)
	tree, err := readHTML(b.html)
	if err != nil {
		t.Fatal(err)
	}
	var ours []string
	var walk func(n *node)
	walk = func(n *node) {
		if n.name == "" {
			if s := strings.TrimSpace(n.text); s != "" {
				ours = append(ours, s)
			}
			return
		}
		s := "<" + n.name
		for _, a := range n.attrs {
			s += " " + a.name + "=" + a.value
		}
		ours = append(ours, s)
		for _, k := range n.kids {
			walk(k)
		}
		ours = append(ours, "</"+n.name)
	}
	for _, k := range tree.kids {
		if k.name != "" {
			walk(k)
		}
	}
	d := xml.NewDecoder(strings.NewReader(b.html))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	i, raw := 0, ""
	next := func(s string) {
		if i >= len(ours) || ours[i] != s {
			t.Fatalf("token %d: encoding/xml reads %.80q, we read %.80q", i, s, ours[min(i, len(ours)-1)])
		}
		i++
	}
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatal(err)
		}
		switch v := tok.(type) {
		case xml.StartElement:
			s := "<" + v.Name.Local
			for _, a := range v.Attr {
				value := a.Value
				if value == a.Name.Local { // how encoding/xml reads an attribute without value
					value = ""
				}
				s += " " + a.Name.Local + "=" + value
			}
			next(s)
			if v.Name.Local == "style" || v.Name.Local == "script" {
				raw = v.Name.Local
			}
		case xml.EndElement:
			raw = ""
			next("</" + v.Name.Local)
		case xml.CharData:
			if s := strings.TrimSpace(string(v)); s != "" && raw == "" {
				next(s)
			}
		}
	}
	if i != len(ours) {
		t.Errorf("encoding/xml reads %d tokens, we read %d", i, len(ours))
	}
}

func TestReaderRefuses(t *testing.T) {
	for _, c := range []struct{ name, page string }{
		{"an element left open", "<p><b>x</p>"},
		{"closed in the wrong order", "<b><i>x</b></i>"},
		{"open at the end", "<p>x"},
		{"an attribute without quotes", "<p class=x>x</p>"},
		{"an attribute twice", `<p id="a" id="b">x</p>`},
		{"a bare and-sign", "<p>a & b</p>"},
		{"a comment, which no apprentice sees", "<p>x</p><!-- 9.6 mA -->"},
	} {
		if _, err := readHTML(c.page); err == nil {
			t.Errorf("%s: read without complaint", c.name)
		}
	}
}
