package render

import (
	"fmt"
	"sync"

	"github.com/yuin/goldmark/extension"
	"github.com/yuin/goldmark/renderer"
	"github.com/yuin/goldmark/renderer/html"
	"github.com/yuin/goldmark/util"

	"loopdrill/scenarios/prose"
)

// Renderer writes pages and their pieces. It keeps what is worked out once and
// used again: compiled prose and the scales of meter faces. It is safe for
// concurrent use; what it keeps never shows in the output.
type Renderer struct {
	docs   sync.Map // docKey -> []piece
	scales sync.Map // scaleKey -> *scale
}

// NewRenderer returns a Renderer.
func NewRenderer() *Renderer { return &Renderer{} }

// docKey names one compilation of a text.
type docKey struct {
	doc    *prose.Doc
	inline bool
	shift  int
	ids    string
}

// piece is HTML that never changes, followed by the value of a slot.
type piece struct {
	html string
	slot string // empty: none
}

// appendProse appends t as block HTML. Raw HTML in the text is left out, a
// link to a network address keeps only its words, headings carry no id.
func (r *Renderer) appendProse(dst []byte, t prose.Text) []byte {
	return r.appendPieces(dst, t, docKey{doc: t.Doc})
}

// appendProseInline appends t without an element around it, for a place where
// only phrasing content may stand. Blocks are set apart by line breaks.
func (r *Renderer) appendProseInline(dst []byte, t prose.Text) []byte {
	return r.appendPieces(dst, t, docKey{doc: t.Doc, inline: true})
}

// appendDoc appends a text without slots, as lessons are. Its headings move
// down by shift levels, as far as h6, and get ids that begin with ids; with ids
// empty they get none.
func (r *Renderer) appendDoc(dst []byte, d *prose.Doc, shift int, ids string) []byte {
	return r.appendPieces(dst, prose.Text{Doc: d}, docKey{doc: d, shift: shift, ids: ids})
}

func (r *Renderer) appendPieces(dst []byte, t prose.Text, key docKey) []byte {
	if t.Doc == nil {
		return dst
	}
	var pieces []piece
	if have, ok := r.docs.Load(key); ok {
		pieces = have.([]piece)
	} else {
		pieces = compile(key)
		r.docs.Store(key, pieces)
	}
	for _, p := range pieces {
		dst = append(dst, p.html...)
		if p.slot != "" {
			v, _ := t.Arg(p.slot)
			dst = appendValue(dst, v)
		}
	}
	return dst
}

// compile renders a text into its pieces.
func compile(key docKey) []piece {
	rec := &recorder{}
	nodes := ownNodes{inline: key.inline, shift: key.shift, ids: key.ids}
	md := renderer.NewRenderer(renderer.WithNodeRenderers(
		util.Prioritized(nodes, 1),
		util.Prioritized(extension.NewTableHTMLRenderer(), 500),
		util.Prioritized(html.NewRenderer(), 1000),
	))
	must(md.Render(rec, key.doc.Source, key.doc.Root))
	rec.cut("")
	keepPiecesTogether(rec.pieces)
	return rec.pieces
}

// must holds for errors that only a recorder could give, and it gives none.
func must(err error) {
	if err != nil {
		panic(fmt.Sprintf("render: %v", err))
	}
}

// recorder is the writer behind goldmark: it keeps the HTML in pieces between
// slots. It implements util.BufWriter, so goldmark puts no buffer in between.
type recorder struct {
	buf    []byte
	pieces []piece
}

func (r *recorder) cut(slot string) {
	if len(r.buf) > 0 || slot != "" {
		r.pieces = append(r.pieces, piece{cleaned(string(r.buf)), slot})
		r.buf = r.buf[:0]
	}
}

func (r *recorder) Write(p []byte) (int, error) { r.buf = append(r.buf, p...); return len(p), nil }
func (r *recorder) WriteString(s string) (int, error) {
	r.buf = append(r.buf, s...)
	return len(s), nil
}
func (r *recorder) WriteByte(c byte) error        { r.buf = append(r.buf, c); return nil }
func (r *recorder) WriteRune(c rune) (int, error) { return r.WriteString(string(c)) }
func (r *recorder) Available() int                { return 1 << 16 }
func (r *recorder) Buffered() int                 { return 0 }
func (r *recorder) Flush() error                  { return nil }
