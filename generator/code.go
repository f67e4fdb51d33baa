package generator

import (
	"encoding/binary"
	"fmt"
	"strings"

	"loopdrill/exercises"
)

// alphabet holds the characters of a form code: letters and digits without
// those that are confused in speech or handwriting (0 and O, 1, I and L).
// There are 31 of them, a prime, which the check character needs.
const alphabet = "23456789ABCDEFGHJKMNPQRSTUVWXYZ"

const (
	codeLen    = 9
	maxFormNo  = 31*31*31/2 - 1 // largest form number a code can carry
	tagLetters = 5
)

// Code is what a form code says.
type Code struct {
	Purpose exercises.Purpose
	Number  int // of the form, from 1
	tag     [tagLetters]byte
}

// code makes the code of one form. Its tag comes from the source, so that a
// code made from another course, seed or secret is recognised; neither tag nor
// number tells anything about the numbers on the form.
func (s Source) code(course string, purpose exercises.Purpose, number int) string {
	c := Code{Purpose: purpose, Number: number}
	v := binary.BigEndian.Uint64(s.derive(8, "code", course, Version, fmt.Sprint(number)))
	for i := range c.tag {
		c.tag[i] = byte(v % 31)
		v /= 31
	}
	return c.String()
}

// String prints the code in three groups of three, to be said over a
// telephone.
func (c Code) String() string {
	n := c.Number * 2
	if c.Purpose == exercises.Assessment {
		n++
	}
	d := make([]byte, 0, codeLen)
	d = append(d, byte(n/961%31), byte(n/31%31), byte(n%31))
	d = append(d, c.tag[:]...)
	d = append(d, checkDigit(d))
	var b strings.Builder
	for i, v := range d {
		if i > 0 && i%3 == 0 {
			b.WriteByte('-')
		}
		b.WriteByte(alphabet[v])
	}
	return b.String()
}

// checkDigit makes the weighted sum 1·d₁ + 2·d₂ + ... + 9·d₉ a multiple of 31.
// Since 31 is prime and the weights differ, any one wrong character and any
// two swapped characters change the sum.
func checkDigit(d []byte) byte {
	sum := 0
	for i, v := range d {
		sum += (i + 1) * int(v)
	}
	// 9·c ≡ -sum (mod 31); the inverse of 9 is 7, since 63 = 2·31 + 1.
	return byte((31 - sum%31) * 7 % 31)
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
	n := int(d[0])*961 + int(d[1])*31 + int(d[2])
	c := Code{Purpose: exercises.Practice, Number: n / 2}
	if n%2 == 1 {
		c.Purpose = exercises.Assessment
	}
	if c.Number < 1 {
		return Code{}, fmt.Errorf("form code %q names form 0, which does not exist", s)
	}
	copy(c.tag[:], d[3:])
	return c, nil
}
