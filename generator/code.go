package generator

import (
	"encoding/binary"
	"errors"
	"fmt"
	"strings"

	"loopdrill/exercises"
)

// alphabet holds the characters of a form code: letters and digits without
// those that are confused in speech or handwriting (0 and O, 1, I and L).
// There are 31 of them, a prime, which the check character needs.
const alphabet = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"

const (
	codeLen    = 10
	identity   = 5 // characters that say which form it is
	tagLetters = 4

	// MostForms, MostSittings and MostRedraws are what a code can carry.
	MostForms    = 10000
	MostSittings = 8
	MostRedraws  = 12 // the form as it comes counted too
)

// Which says which of the forms of a course and a source is meant.
type Which struct {
	Number int // from 1: of the person in a class, or of the copy
	// Sitting counts the tests that somebody sits, from 1; 0 means 1.
	Sitting int
	// Redraw counts how often the form was drawn again because it had too much
	// in common with another of its class.
	Redraw int
}

func (w Which) sitting() int { return max(w.Sitting, 1) }

func (w Which) check() error {
	switch {
	case w.Number < 1 || w.Number > MostForms:
		return fmt.Errorf("form number %d is outside 1 to %d, the numbers a form code can carry", w.Number, MostForms)
	case w.Sitting < 0 || w.Sitting > MostSittings:
		return fmt.Errorf("sitting %d is outside 1 to %d, the sittings a form code can carry", w.Sitting, MostSittings)
	case w.Redraw < 0 || w.Redraw >= MostRedraws:
		return fmt.Errorf("redraw %d is outside 0 to %d, those a form code can carry", w.Redraw, MostRedraws-1)
	}
	return nil
}

// Code is what a form code says.
type Code struct {
	Which
	Purpose exercises.Purpose
	tag     [tagLetters]byte
}

// code makes the code of one form. Its tag comes from the source, the course's
// files and the versions of generator and families, so that a code made from
// anything else is recognised; neither tag nor number tells anything about the
// numbers on the form.
func (d *Drawer) code(s Source, purpose exercises.Purpose, w Which) string {
	c := Code{Which: w, Purpose: purpose}
	c.Sitting = w.sitting()
	v := binary.BigEndian.Uint64(s.derive(8, "code", d.course.ID, Version, d.digest, fmt.Sprint(c.Which)))
	for i := range c.tag {
		c.tag[i] = byte(v % 31)
		v /= 31
	}
	return c.String()
}

// String prints the code in two groups of five, to be said over a telephone.
func (c Code) String() string {
	n := ((c.Number-1)*MostSittings+c.sitting()-1)*MostRedraws + c.Redraw
	n *= 2
	if c.Purpose == exercises.Assessment {
		n++
	}
	d := make([]byte, identity, codeLen)
	for i := range identity {
		d[identity-1-i] = byte(n % 31)
		n /= 31
	}
	d = append(d, c.tag[:]...)
	d = append(d, checkDigit(d))
	var b strings.Builder
	for i, v := range d {
		if i == codeLen/2 {
			b.WriteByte('-')
		}
		b.WriteByte(alphabet[v])
	}
	return b.String()
}

// checkDigit makes the weighted sum 1·d₁ + 2·d₂ + ... + 10·d₁₀ a multiple of 31.
// Since 31 is prime and the weights differ, any one wrong character and any
// two swapped characters change the sum.
func checkDigit(d []byte) byte {
	sum := 0
	for i, v := range d {
		sum += (i + 1) * int(v)
	}
	// 10·c ≡ -sum (mod 31); the inverse of 10 is 28, since 280 = 9·31 + 1.
	return byte((31 - sum%31) * 28 % 31)
}

// ParseCode reads a form code as somebody types it: any case, with or without
// hyphens and blanks.
func ParseCode(s string) (Code, error) {
	var d []byte
	for _, r := range strings.ToUpper(s) {
		switch {
		case r == '-' || r == ' ' || r == '\u00a0' || r == '\u2011':
		default:
			i := strings.IndexRune(alphabet, r)
			if i < 0 {
				return Code{}, fmt.Errorf("form code %q holds %q, which no form code has (the characters are %s)", s, r, alphabet)
			}
			d = append(d, byte(i))
		}
	}
	if len(d) != codeLen {
		return Code{}, fmt.Errorf("form code %q has %d characters, a form code has %d", s, len(d), codeLen)
	}
	if checkDigit(d[:codeLen-1]) != d[codeLen-1] {
		return Code{}, fmt.Errorf("form code %q does not check: a character is wrong, or two are swapped", s)
	}
	n := 0
	for _, v := range d[:identity] {
		n = n*31 + int(v)
	}
	c := Code{Purpose: exercises.Practice}
	if n%2 == 1 {
		c.Purpose = exercises.Assessment
	}
	n /= 2
	c.Redraw, n = n%MostRedraws, n/MostRedraws
	c.Sitting, n = n%MostSittings+1, n/MostSittings
	c.Number = n + 1
	if c.check() != nil {
		return Code{}, fmt.Errorf("form code %q names form %d, and a build has at most %d", s, c.Number, MostForms)
	}
	copy(c.tag[:], d[identity:])
	return c, nil
}

// ErrOtherSource is the error of [Drawer.ByCode] for a code that something
// else has made: another course or other files of it, another seed or secret,
// another version of the program.
var ErrOtherSource = errors.New("the code was made from other files of the course, another seed or secret, or by another version of loopdrill")

// ByCode draws the form of a code again.
func (d *Drawer) ByCode(src Source, c Code) (*exercises.Form, error) {
	if d.code(src, c.Purpose, c.Which) != c.String() {
		return nil, ErrOtherSource
	}
	return d.FormOf(src, c.Purpose, c.Which, nil)
}
