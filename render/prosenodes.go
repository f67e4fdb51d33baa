package render

import (
	"bytes"
	"strings"

	"github.com/yuin/goldmark/ast"
	extast "github.com/yuin/goldmark/extension/ast"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/util"

	"loopdrill/scenarios/prose"
)

// ownNodes writes the nodes that goldmark's own renderer would write
// otherwise than our pages need: slots, headings, table cells, links and
// pictures; and, for inline text, every block.
type ownNodes struct {
	inline bool
	shift  int
	ids    string
}

// RegisterFuncs implements renderer.NodeRenderer.
func (o ownNodes) RegisterFuncs(reg renderer.NodeRendererFuncRegisterer) {
	reg.Register(prose.KindSlot, func(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
		if entering {
			w.(*recorder).cut(n.(*prose.Slot).Name)
		}
		return ast.WalkContinue, nil
	})
	// Raw HTML leaves nothing behind, not even goldmark's comment about it.
	skip := func(util.BufWriter, []byte, ast.Node, bool) (ast.WalkStatus, error) { return ast.WalkSkipChildren, nil }
	reg.Register(ast.KindRawHTML, skip)
	reg.Register(ast.KindHTMLBlock, skip)
	reg.Register(ast.KindLink, o.link)
	reg.Register(ast.KindAutoLink, o.autoLink)
	// Courses bring no picture files; what a picture shows stays as words.
	reg.Register(ast.KindImage, func(util.BufWriter, []byte, ast.Node, bool) (ast.WalkStatus, error) {
		return ast.WalkContinue, nil
	})
	reg.Register(ast.KindHeading, o.heading)
	reg.Register(extast.KindTableCell, o.cell)
	if o.inline {
		for _, kind := range []ast.NodeKind{
			ast.KindHeading, ast.KindParagraph, ast.KindTextBlock, ast.KindListItem, extast.KindTableHeader, extast.KindTableRow,
		} {
			reg.Register(kind, o.lineBreak)
		}
		for _, kind := range []ast.NodeKind{ast.KindBlockquote, ast.KindList, ast.KindThematicBreak, extast.KindTable} {
			reg.Register(kind, o.lineBreak)
		}
		for _, kind := range []ast.NodeKind{ast.KindCodeBlock, ast.KindFencedCodeBlock} {
			reg.Register(kind, o.codeLine)
		}
	}
}

// lineBreak sets a block apart from the next one, where only phrasing content
// may stand.
func (o ownNodes) lineBreak(w util.BufWriter, _ []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if !entering && n.NextSibling() != nil {
		_, _ = w.WriteString("<br>")
	}
	return ast.WalkContinue, nil
}

func (o ownNodes) codeLine(w util.BufWriter, source []byte, n ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		_, _ = w.WriteString("<code>")
		_, _ = w.Write(appendText(nil, strings.TrimSpace(string(n.Lines().Value(source)))))
		_, _ = w.WriteString("</code>")
	}
	return o.lineBreak(w, source, n, entering)
}

func (o ownNodes) heading(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Heading)
	level := byte('0' + max(1, min(6, n.Level+o.shift)))
	if !entering {
		_, _ = w.Write([]byte{'<', '/', 'h', level, '>', '\n'})
		return ast.WalkContinue, nil
	}
	_, _ = w.Write([]byte{'<', 'h', level})
	if id, ok := n.AttributeString("id"); ok && o.ids != "" {
		if b, ok := id.([]byte); ok {
			_, _ = w.WriteString(` id="`)
			_, _ = w.Write(appendAttr(nil, o.ids+"-"+string(b)))
			_ = w.WriteByte('"')
		}
	}
	_ = w.WriteByte('>')
	return ast.WalkContinue, nil
}

// cell writes a table cell. goldmark's own writes the alignment into the tree,
// which must not change under readers that share it.
func (o ownNodes) cell(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*extast.TableCell)
	head := n.Parent().Kind() == extast.KindTableHeader
	switch {
	case o.inline && !entering && n.NextSibling() != nil:
		_, _ = w.WriteString("; ")
	case o.inline:
	case !entering && head:
		_, _ = w.WriteString("</th>\n")
	case !entering:
		_, _ = w.WriteString("</td>\n")
	default:
		if head {
			_, _ = w.WriteString(`<th scope="col"`)
		} else {
			_, _ = w.WriteString(`<td`)
		}
		if n.Alignment != extast.AlignNone {
			_, _ = w.WriteString(` style="text-align:` + n.Alignment.String() + `"`)
		}
		_ = w.WriteByte('>')
	}
	return ast.WalkContinue, nil
}

// link writes a link inside our own pages. One that leads elsewhere keeps its
// words alone: pages refer to no network address.
func (o ownNodes) link(w util.BufWriter, _ []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	n := node.(*ast.Link)
	if !local(n.Destination) {
		return ast.WalkContinue, nil
	}
	if !entering {
		_, _ = w.WriteString("</a>")
		return ast.WalkContinue, nil
	}
	_, _ = w.WriteString(`<a href="`)
	_, _ = w.Write(appendAttr(nil, string(util.URLEscape(n.Destination, true))))
	_, _ = w.WriteString(`">`)
	return ast.WalkContinue, nil
}

// autoLink writes <address> as its text.
func (o ownNodes) autoLink(w util.BufWriter, source []byte, node ast.Node, entering bool) (ast.WalkStatus, error) {
	if entering {
		_, _ = w.Write(appendText(nil, string(node.(*ast.AutoLink).Label(source))))
	}
	return ast.WalkContinue, nil
}

// local reports whether a link's destination is a place on the same page or in
// the same folder: no scheme, no host, no root. Browsers read a backslash as a
// slash and drop tabs and line ends, so these count as foreign.
func local(destination []byte) bool {
	if len(destination) == 0 || destination[0] == '/' || bytes.ContainsAny(destination, "\\\t\r\n\x00") {
		return false
	}
	end := bytes.IndexAny(destination, "/?#")
	if end < 0 {
		end = len(destination)
	}
	return destination[0] > ' ' && !bytes.ContainsAny(destination[:end], ":&%")
}
