package marking

import (
	"strings"
	"unicode"
	"unicode/utf8"
)

// longest is the most characters an answer may have once trimmed.
const longest = 64

// dashes are the characters that people, phones and word processors put where
// a minus is meant.
const dashes = "-\u2010\u2011\u2012\u2013\u2014\u2015\u2212\u02d7\u207b\u2796\ufe58\ufe63\uff0d"

// tidy trims text, makes every space character a space, runs of them one, and
// gives the characters that look alike one form. ok is false, with the rule,
// for text that a person has to look at.
func tidy(text string) (t string, rule Rule, ok bool) {
	if !utf8.ValidString(text) {
		return "", RuleHidden, false
	}
	t = strings.Join(strings.FieldsFunc(text, unicode.IsSpace), " ")
	for _, r := range t {
		if unicode.In(r, unicode.C, unicode.Other_Default_Ignorable_Code_Point, unicode.Variation_Selector) {
			return "", RuleHidden, false
		}
	}
	return strings.Map(alike, t), "", true
}

// alike gives characters that cannot be told apart, or are one by their
// standard, one form.
func alike(r rune) rune {
	switch r {
	case '\u03bc': // Greek mu, micro sign
		return '\u00b5'
	case '\u2126': // ohm sign, Greek Omega
		return '\u03a9'
	case '\u212a': // kelvin sign
		return 'K'
	case '\u00ba': // ordinal sign, on keyboards without a degree sign
		return '°'
	case '\uff05', '\u066a': // full-width and Arabic percent
		return '%'
	}
	return r
}

// tooLong holds the length against text already tidied, so that padding does
// not count.
func tooLong(t string) bool { return utf8.RuneCountInString(t) > longest }

// isBlank reports nothing or a lone dash.
func isBlank(t string) bool {
	return t == "" || utf8.RuneCountInString(t) == 1 && strings.Contains(dashes, t)
}

// unambiguous is the form that a mark takes which can only be a decimal mark,
// and thousands the Arabic separator, which can only part groups.
const (
	unambiguous = '·'
	thousands   = '\u066c'
)

// marks gives decimal marks, signs and dashes before a number their plain
// form.
func marks(t string) []rune {
	out := []rune(t)
	for i, r := range out {
		switch r {
		case '\u066b', '\u2219', '\u22c5', '\u2e33', '\u30fb': // Arabic mark and what middle dots are typed as
			out[i] = unambiguous
		case '\uff0e', '\ufe52':
			out[i] = '.'
		case '\uff0c', '\ufe50':
			out[i] = ','
		case '\uff0b', '\ufe62':
			out[i] = '+'
		}
	}
	for i, r := range out {
		if !strings.ContainsRune(dashes, r) || i+1 == len(out) {
			continue
		}
		next := out[i+1]
		if !unicode.IsDigit(next) && isMark(next) && i+2 < len(out) {
			next = out[i+2]
		}
		if unicode.IsDigit(next) {
			out[i] = '-'
		}
	}
	return out
}

func isMark(r rune) bool { return r == '.' || r == ',' || r == unambiguous }

// digit gives the value of a digit of any script, and its script as the digit
// 0 of it.
func digit(r rune) (value int, zero rune, ok bool) {
	if r >= '0' && r <= '9' {
		return int(r - '0'), '0', true
	}
	// Every script has its ten digits in a row, and the ranges of the table
	// hold whole tens (TestDigitTable).
	for _, x := range unicode.Nd.R16 {
		if lo := rune(x.Lo); r >= lo && r <= rune(x.Hi) {
			v := int(r-lo) % 10
			return v, r - rune(v), true
		}
	}
	for _, x := range unicode.Nd.R32 {
		if lo := rune(x.Lo); r >= lo && r <= rune(x.Hi) {
			v := int(r-lo) % 10
			return v, r - rune(v), true
		}
	}
	return 0, 0, false
}
