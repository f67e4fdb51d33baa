package render

import (
	"encoding/xml"
	"io"
	"net/url"
	"slices"
	"strings"
	"sync"
	"testing"

	"loopdrill/scenarios/prose"
)

func text(source string, args ...string) prose.Text {
	t := prose.Text{Doc: prose.ParseTemplate(source)}
	for i := 0; i+1 < len(args); i += 2 {
		t.Args = append(t.Args, prose.Arg{Name: args[i], Value: args[i+1]})
	}
	return t
}

func TestProse(t *testing.T) {
	for name, row := range map[string]struct {
		in   prose.Text
		want string
	}{
		"nothing":               {prose.Text{}, ""},
		"paragraph":             {text("One *two* **three**."), "<p>One <em>two</em> <strong>three</strong>.</p>\n"},
		"slot":                  {text("It reads {x} now.", "x", "<3"), "<p>It reads &lt;3 now.</p>\n"},
		"slot in emphasis":      {text("**{x}**", "x", "&"), "<p><strong>&amp;</strong></p>\n"},
		"slot without a value":  {text("a {x} b"), "<p>a  b</p>\n"},
		"slot at the edges":     {text("{x}{y}", "x", "1", "y", "2"), "<p>12</p>\n"},
		"slot is no Markdown":   {text("{x}", "x", "**b** [a](b) {y}"), "<p>**b** [a](b) {y}</p>\n"},
		"raw HTML":              {text("a <b onclick=x>c</b> d\n\n<script>e</script>\n\nf"), "<p>a c d</p>\n<p>f</p>\n"},
		"link inside":           {text("[a](key.html#x)"), "<p><a href=\"key.html#x\">a</a></p>\n"},
		"link to the network":   {text("[a](https://example.org/b)"), "<p>a</p>\n"},
		"link without scheme":   {text("[a](//example.org/b)"), "<p>a</p>\n"},
		"link to script":        {text("[a](javascript:alert(1))"), "<p>a</p>\n"},
		"link to hidden script": {text("[a](java&#x73;cript&colon;alert(1))"), "<p>a</p>\n"},
		"picture":               {text("![a *gauge*](https://example.org/b.png)"), "<p>a <em>gauge</em></p>\n"},
		"list":                  {text("- a\n- {x}", "x", "b"), "<ul>\n<li>a</li>\n<li>b</li>\n</ul>\n"},
		"heading":               {text("## A"), "<h2>A</h2>\n"},
		"table": {text("| a | b |\n|--:|---|\n| 1 | {x} |", "x", "2"), "<table>\n<thead>\n<tr>\n<th scope=\"col\" style=\"text-align:right\">a</th>\n<th scope=\"col\">b</th>\n</tr>\n</thead>\n<tbody>\n" +
			"<tr>\n<td style=\"text-align:right\">1</td>\n<td>2</td>\n</tr>\n</tbody>\n</table>\n"},
		"code": {text("`-5 mA <b>`"), "<p><code>-5 mA &lt;b&gt;</code></p>\n"},
	} {
		r := NewRenderer()
		for range 2 { // the second time from what the renderer kept
			if got := string(r.appendProse(nil, row.in)); got != row.want {
				t.Errorf("%s:\n got %q\nwant %q", name, got, row.want)
			}
		}
	}
}

func TestKeptTogether(t *testing.T) {
	const nb = "\u00a0"
	span := func(s string) string { return `<span class="nb">` + s + `</span>` }
	for name, row := range map[string]struct {
		in   prose.Text
		want string
	}{
		"number and unit":        {text("at 4 mA, 25 % and 3 m³/h."), "at 4" + nb + "mA, 25" + nb + "% and 3" + nb + "m³/h."},
		"over a line end":        {text("at 4\nmA"), "at 4" + nb + "mA"},
		"bold number":            {text("**4** mA"), "<strong>4</strong>" + nb + "mA"},
		"slot and unit":          {text("{x} mA of {y} loops", "x", "4", "y", "two"), "4" + nb + "mA of two loops"},
		"no unit":                {text("4 minutes"), "4 minutes"},
		"not a number":           {text("pin B mA"), "pin B mA"},
		"range":                  {text("a 4-20 mA signal"), "a " + span("4-20") + nb + "mA signal"},
		"range in a slot":        {text("a {x} signal", "x", "4-20 mA"), "a " + span("4-20") + nb + "mA signal"},
		"tag":                    {text("on LT-2104."), "on " + span("LT-2104") + "."},
		"tag in a slot":          {text("on {x}.", "x", "LT-2104"), "on " + span("LT-2104") + "."},
		"hyphenated word":        {text("five-point"), "five-point"},
		"minus":                  {text("at -5 % (-0.2)"), "at \u22125" + nb + "% (\u22120.2)"},
		"minus in a slot":        {text("at {x}", "x", "-5 %"), "at \u22125" + nb + "%"},
		"hyphen after a slot":    {text("{x}-5", "x", "4"), "4-5"},
		"escape that looks like": {text(`"5" mA`), "&quot;5&quot; mA"},
		"value with a quote":     {text("{x}", "x", `4-5 <"> mA`), span("4-5") + " &lt;&quot;&gt; mA"},
	} {
		if got := string(NewRenderer().appendProseInline(nil, row.in)); got != row.want {
			t.Errorf("%s:\n got %q\nwant %q", name, got, row.want)
		}
	}
}

func TestProseInline(t *testing.T) {
	for name, row := range map[string]struct {
		in   prose.Text
		want string
	}{
		"paragraph":  {text("One {x}.", "x", "two"), "One two."},
		"paragraphs": {text("One.\n\nTwo."), "One.<br>Two."},
		"list":       {text("One:\n\n- a\n- b\n\nTwo."), "One:<br>a<br>b<br>Two."},
		"heading":    {text("# One\nTwo."), "One<br>Two."},
		"quote":      {text("> One\n\nTwo."), "One<br>Two."},
		"rule":       {text("One\n\n***\n\nTwo."), "One<br><br>Two."},
		"code block": {text("One\n\n    a <b>\n\nTwo."), "One<br><code>a &lt;b&gt;</code><br>Two."},
		"table":      {text("|a|b|\n|-|-|\n|1|2|\n|3|4|"), "a; b<br>1; 2<br>3; 4"},
		"empty":      {text(""), ""},
	} {
		if got := string(NewRenderer().appendProseInline(nil, row.in)); got != row.want {
			t.Errorf("%s:\n got %q\nwant %q", name, got, row.want)
		}
	}
}

func TestDocHeadings(t *testing.T) {
	d := prose.ParsePlain("# A b\n\n## A b\n\n###### C")
	for _, row := range []struct {
		shift int
		ids   string
		want  string
	}{
		{0, "", "<h1>A b</h1>\n<h2>A b</h2>\n<h6>C</h6>\n"},
		{1, "l2", "<h2 id=\"l2-a-b\">A b</h2>\n<h3 id=\"l2-a-b-1\">A b</h3>\n<h6 id=\"l2-c\">C</h6>\n"},
		{-3, "", "<h1>A b</h1>\n<h1>A b</h1>\n<h3>C</h3>\n"},
	} {
		if got := string(NewRenderer().appendDoc(nil, d, row.shift, row.ids)); got != row.want {
			t.Errorf("shift %d, ids %q:\n got %q\nwant %q", row.shift, row.ids, got, row.want)
		}
	}
}

// Pages are written in parallel from one course, also by two renderers.
func TestProseInParallel(t *testing.T) {
	shared := text("| a |\n|:-:|\n| {x} |\n\n# H\n\n- l", "x", "1")
	want := string(NewRenderer().appendProse(nil, shared))
	one := NewRenderer()
	var wg sync.WaitGroup
	for i := range 16 {
		wg.Go(func() {
			r := one
			if i%2 == 0 {
				r = NewRenderer()
			}
			if got := string(r.appendProse(nil, shared)); got != want {
				t.Errorf("got %q", got)
			}
		})
	}
	wg.Wait()
}

// phrasing are the elements that inline text may consist of, flow those that
// are added in blocks.
var (
	phrasing = []string{"em", "strong", "a", "code", "br", "span"}
	flow     = append([]string{"p", "ul", "ol", "li", "h1", "h2", "h3", "h4", "h5", "h6", "blockquote", "pre", "hr",
		"table", "thead", "tbody", "tr", "th", "td"}, phrasing...)
)

// Any Markdown with any slot value gives balanced HTML of known elements, with
// no address outside.
func FuzzProse(f *testing.F) {
	for _, s := range []string{
		"", "a {x} b", "# {x}\n\n- {x}\n", "<script>alert(1)</script>", "![{x}](http://a/b)", "[{x}](javascript:1)", "|{x}|\n|-|\n|1|2|",
		"<a@b.c> <http://d>", "`{x}` -5 %", "    <pre>", "``` <x>\n{x}\n```", "[a]: b 'c'\n\n[a]", "&lt;script&gt; &#0; \x00", "[a](<\x01javascript:1>)", "*a\n\n*b",
	} {
		f.Add(s, `<img src=x onerror="1">`)
	}
	f.Fuzz(func(t *testing.T, source, value string) {
		r := NewRenderer()
		in := text(source, "x", value)
		checkHTML(t, r.appendProse(nil, in), flow)
		checkHTML(t, r.appendProseInline(nil, in), phrasing)
	})
}

func checkHTML(t *testing.T, html []byte, elements []string) {
	t.Helper()
	void := strings.NewReplacer("<br>", "<br/>", "<hr>", "<hr/>")
	d := xml.NewDecoder(strings.NewReader("<body>" + void.Replace(string(html)) + "</body>"))
	d.Entity = xml.HTMLEntity
	depth := 0
	for {
		tok, err := d.Token()
		if err == io.EOF {
			break
		}
		if err != nil {
			t.Fatalf("%v in %q", err, html)
		}
		switch e := tok.(type) {
		case xml.StartElement:
			depth++
			if depth > 1 && !slices.Contains(elements, e.Name.Local) {
				t.Fatalf("element %s in %q", e.Name.Local, html)
			}
			for _, a := range e.Attr {
				switch {
				case slices.Contains([]string{"class", "start", "scope", "style"}, a.Name.Local):
				case a.Name.Local == "href" && stays(a.Value):
				default:
					t.Fatalf("attribute %s=%q in %q", a.Name.Local, a.Value, html)
				}
			}
		case xml.EndElement:
			depth--
		case xml.Comment, xml.ProcInst, xml.Directive:
			t.Fatalf("%T in %q", tok, html)
		}
	}
}

// stays reports whether an address leads to the same folder, as the standard
// library sees it; what it cannot read is not trusted.
func stays(address string) bool {
	u, err := url.Parse(address)
	return err == nil && u.Scheme == "" && u.Host == "" && u.Opaque == "" && !strings.HasPrefix(address, "/") && address != ""
}

func BenchmarkProse(b *testing.B) {
	r := NewRenderer()
	in := text("The needle of **{tag}** stands at {reading} with the ring at {ring}. Work out the error in percent of span.",
		"tag", "LT-2104", "reading", "−2.6\u00a0divisions", "ring", "25\u00a0%")
	var dst []byte
	for b.Loop() {
		dst = r.appendProse(dst[:0], in)
	}
}
