// Package generator decides which numbers stand on whose form: it derives the
// random streams, draws every exercise of a course, throws away draws that
// break a promise, and counts what it threw away.
//
// For most uses call [Prepare] once a course and [Drawer.Form] for each form.
// The same course files, source, form number and [Version] give the same form
// on any machine, with any number of workers.
package generator

import (
	"crypto/hkdf"
	"crypto/sha256"
	"encoding/binary"
	"fmt"
	"math/rand/v2"
	"strings"
)

// Version is the version of the generator. It is raised by every change that
// gives other numbers, other text or other bytes for the same inputs; the
// toolchain and the module versions belong to it.
const Version = "1"

// Source is where the randomness of forms comes from: an open seed for
// practice, or the secret of a course for assessment.
type Source struct {
	Secret []byte // at least 16 bytes; nil for practice
	Seed   string // printed on practice forms; with a Secret it only separates sittings
}

// key gives the input keying material and a word that keeps practice and
// assessment apart.
func (s Source) key() (ikm []byte, kind string) {
	if s.Secret != nil {
		return s.Secret, "assessment"
	}
	return []byte(s.Seed), "practice"
}

// derive gives n bytes by HKDF-SHA256 (RFC 5869). Salt and info name
// everything that the bytes may depend on, each field with its length before
// it, so that no two lists of fields read the same.
func (s Source) derive(n int, fields ...string) []byte {
	ikm, kind := s.key()
	var info []byte
	for _, f := range append([]string{kind, s.Seed}, fields...) {
		info = binary.BigEndian.AppendUint32(info, uint32(len(f)))
		info = append(info, f...)
	}
	out, err := hkdf.Key(sha256.New, ikm, []byte("loopdrill form"), string(info), n)
	if err != nil {
		panic("generator: HKDF refuses a fixed length") // n is at most 32
	}
	return out
}

// stream gives the random stream of one exercise on one form. It depends on
// the ids of course and exercise and the version of the family, not on the
// rest of the course, so that adding exercise 7 or mending a typo leaves the
// numbers of 1 to 6 as they were.
func (s Source) stream(course, exercise string, family int, form int) *rand.ChaCha8 {
	var seed [32]byte
	copy(seed[:], s.derive(32, "exercise", course, exercise, fmt.Sprint(family), fmt.Sprint(form)))
	return rand.NewChaCha8(seed)
}

// OpenSeed makes a seed that is easily read and typed out of random text: the
// first eight of its characters that stand in form codes too. It gives less
// where there are fewer.
func OpenSeed(random string) string {
	var b strings.Builder
	for _, r := range strings.ToUpper(random) {
		if strings.ContainsRune(alphabet, r) && b.Len() < 8 {
			b.WriteRune(r)
		}
	}
	return b.String()
}
