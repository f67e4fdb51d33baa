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
const Version = "2"

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
func (s Source) stream(course, exercise string, family int, w Which) *rand.ChaCha8 {
	return s.chacha("exercise", course, exercise, fmt.Sprint(family), fmt.Sprint(w.Number), fmt.Sprint(w.sitting()), fmt.Sprint(w.Redraw))
}

func (s Source) chacha(fields ...string) *rand.ChaCha8 {
	var seed [32]byte
	copy(seed[:], s.derive(32, fields...))
	return rand.NewChaCha8(seed)
}

// strata is into how many equal parts the draw space of an exercise is cut:
// of so many forms one after the other each takes another part.
const strata = 64

// spreadTries is how many draws stay in a form's part of the draw space before
// any other is taken.
const spreadTries = 8

// points gives the points at which the exercise of a form is tried, one after
// the other. The first lie in a part of the draw space that no neighbouring
// form has: which part is drawn for [strata] forms at a time, by a stream of
// its own, so that nobody learns from one form where another's numbers lie. A
// form that is drawn again may lie anywhere.
func (s Source) points(course, exercise string, family int, w Which) func() uint64 {
	stream := s.stream(course, exercise, family, w)
	if w.Redraw > 0 {
		return stream.Uint64
	}
	block := (w.Number - 1) / strata
	order := rand.New(s.chacha("strata", course, exercise, fmt.Sprint(family), fmt.Sprint(block), fmt.Sprint(w.sitting()))).Perm(strata)
	part := uint64(order[(w.Number-1)%strata])
	tries := 0
	return func() uint64 {
		u := stream.Uint64()
		if tries++; tries > spreadTries {
			return u
		}
		return u/strata + part<<58
	}
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
