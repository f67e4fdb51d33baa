package render

import (
	"strings"
	"unicode/utf8"
)

// appendText appends s as HTML text content.
//
// Characters that HTML forbids (control characters but tab and line feed,
// U+FFFE, U+FFFF, bytes that are not UTF-8) become U+FFFD, so that no input
// makes a page invalid. A carriage return becomes a line feed, as a parser
// would read it.
func appendText(dst []byte, s string) []byte { return appendEscaped(dst, s) }

// appendAttr appends s as the value of an attribute, without the quotes that
// the caller writes around it; either kind of quote will do.
func appendAttr(dst []byte, s string) []byte { return appendEscaped(dst, s) }

// appendEscaped serves text and attributes alike: quotes escaped in text cost
// a few bytes and spare the reader of this package the question which of the
// two a string went through.
func appendEscaped(dst []byte, s string) []byte {
	from := 0 // start of the run that is copied as it is
	for i := 0; i < len(s); {
		c := s[i]
		if c < utf8.RuneSelf {
			if e := escapes[c]; e != "" {
				dst = append(dst, s[from:i]...)
				dst = append(dst, e...)
				from = i + 1
			}
			i++
			continue
		}
		r, n := utf8.DecodeRuneInString(s[i:])
		if r == utf8.RuneError && n == 1 || forbidden(r) {
			dst = append(dst, s[from:i]...)
			dst = append(dst, "\ufffd"...)
			from = i + n
		}
		i += n
	}
	return append(dst, s[from:]...)
}

// escapes holds what stands for an ASCII character; empty: itself.
var escapes = func() (e [utf8.RuneSelf]string) {
	for c := range 0x20 {
		e[c] = "\ufffd"
	}
	e['\t'], e['\n'], e['\r'], e['\f'] = "", "", "\n", " "
	e[0x7f] = "\ufffd"
	e['&'], e['<'], e['>'], e['"'], e['\''] = "&amp;", "&lt;", "&gt;", "&quot;", "&#39;"
	return e
}()

// forbidden reports whether HTML does not allow a character beyond ASCII.
func forbidden(r rune) bool {
	return r >= 0x80 && r < 0xa0 || r&0xfffe == 0xfffe || r >= 0xfdd0 && r <= 0xfdef
}

// cleaned puts U+FFFD for every character that HTML forbids, in text that is
// HTML already.
func cleaned(html string) string {
	return strings.Map(func(r rune) rune {
		if r < 0x20 && r != '\t' && r != '\n' || r == 0x7f || forbidden(r) {
			return utf8.RuneError
		}
		return r // bytes that are not UTF-8 come as RuneError
	}, html)
}
