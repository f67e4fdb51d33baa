package render

import (
	"bytes"
	"strings"
)

// What belongs together is not torn apart at the end of a line: a number and
// its unit ("4 mA"), a range or a tag with a hyphen ("4-20", "LT-2104"). And a
// hyphen before a number becomes a minus sign.

// units are the words that stay with the number before them.
var units = func() map[string]bool {
	m := map[string]bool{}
	for _, u := range strings.Fields(`% ‰ mA A µA V mV kV W mW Ω kΩ MΩ ohm Hz kHz s ms min h
		Pa hPa kPa MPa bar mbar psi inH₂O mmH₂O mH₂O inHg mm cm m km mm² m³ m³/h l/min L/min l/h gpm kg t kg/h t/h kg/m³
		°C °F K °C/min div division divisions`) {
		m[u] = true
	}
	return m
}()

// keepPiecesTogether does this to the HTML between slots. The value of a slot
// counts as a number, so that "{reading} mA" stays on one line.
func keepPiecesTogether(pieces []piece) {
	k := keeper{}
	for i := range pieces {
		pieces[i].html = string(k.append(nil, []byte(pieces[i].html)))
		if pieces[i].slot != "" {
			k.afterNumber, k.inWord = true, true
		}
	}
}

// appendValue appends the value of a slot, escaped.
func appendValue(dst []byte, v string) []byte {
	if !strings.ContainsAny(v, " -") {
		return appendText(dst, v)
	}
	k := keeper{}
	return k.append(dst, appendText(nil, v))
}

// keeper goes through HTML and knows what came before.
type keeper struct {
	afterNumber bool // the last visible character is a digit
	inWord      bool // the last visible character belongs to a word
	code        int  // depth of code elements, which stay as they are
}

func (k *keeper) append(dst, html []byte) []byte {
	for i := 0; i < len(html); {
		c := html[i]
		switch {
		case c == '<':
			end := bytes.IndexByte(html[i:], '>') + 1
			if end == 0 {
				end = len(html) - i
			}
			k.tag(html[i : i+end])
			dst = append(dst, html[i:i+end]...)
			i += end
		case k.code > 0:
			dst = append(dst, c)
			i++
		case c == ' ' || c == '\n':
			if k.afterNumber && units[string(nextWord(html[i+1:]))] {
				dst = append(dst, "\u00a0"...)
			} else {
				dst = append(dst, c)
			}
			k.afterNumber, k.inWord = false, false
			i++
		case !k.inWord && c == '-' && i+1 < len(html) && isDigit(html[i+1]):
			dst = append(dst, "\u2212"...)
			i++
		case !k.inWord && isWord(c):
			n := 1
			for n < len(html)-i && isWord(html[i+n]) {
				n++
			}
			for n > 1 && !isLetter(html[i+n-1]) && !isDigit(html[i+n-1]) {
				n--
			}
			word := html[i : i+n]
			if len(word) <= 24 && bytes.IndexByte(word, '-') > 0 && bytes.ContainsAny(word, "0123456789") {
				dst = append(dst, `<span class="nb">`...)
				dst = append(dst, word...)
				dst = append(dst, `</span>`...)
			} else {
				dst = append(dst, word...)
			}
			k.afterNumber, k.inWord = isDigit(word[n-1]), true
			i += n
		default:
			dst = append(dst, c)
			k.afterNumber = isDigit(c)
			k.inWord = c != '(' && c != '/'
			i++
		}
	}
	return dst
}

// tag notes what a tag means for what follows: an element of phrasing content
// leaves a word going, any other ends it.
func (k *keeper) tag(tag []byte) {
	name := bytes.Trim(tag, "</>")
	if end := bytes.IndexAny(name, " \n"); end >= 0 {
		name = name[:end]
	}
	switch string(name) {
	case "code", "pre":
		if tag[1] == '/' {
			k.code--
		} else {
			k.code++
		}
	case "em", "strong", "a":
		return
	}
	k.afterNumber, k.inWord = false, false
}

// nextWord is the text up to the next space, tag or punctuation.
func nextWord(html []byte) []byte {
	end := 0
	for end < len(html) && html[end] != ' ' && html[end] != '\n' && html[end] != '<' && html[end] != '&' {
		end++
	}
	return bytes.TrimRight(html[:end], ".,;:!?)")
}

func isDigit(c byte) bool  { return c >= '0' && c <= '9' }
func isLetter(c byte) bool { return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' }
func isWord(c byte) bool   { return isDigit(c) || isLetter(c) || c == '-' || c == '.' }
