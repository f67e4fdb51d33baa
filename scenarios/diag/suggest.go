package diag

import (
	"strings"
	"unicode/utf8"
)

// Distance is how many letters must be put in, left out, changed or swapped
// with their neighbour to turn one word into the other (Damerau's distance, no
// letter touched twice).
func Distance(a, b string) int {
	s, t := []rune(a), []rune(b)
	var before []int
	row := make([]int, len(t)+1)
	for j := range row {
		row[j] = j
	}
	for i := 1; i <= len(s); i++ {
		next := make([]int, len(t)+1)
		next[0] = i
		for j := 1; j <= len(t); j++ {
			cost := 1
			if s[i-1] == t[j-1] {
				cost = 0
			}
			next[j] = min(row[j]+1, next[j-1]+1, row[j-1]+cost)
			if i > 1 && j > 1 && s[i-1] == t[j-2] && s[i-2] == t[j-1] {
				next[j] = min(next[j], before[j-2]+1)
			}
		}
		before, row = row, next
	}
	return row[len(t)]
}

// Nearest finds the word that was most likely meant: the nearest of known by
// [Distance] without regard to capitals, hyphens and underscores. It takes up
// to two slips, but fewer than half the letters of the word; of two at the
// same distance the first in the list.
func Nearest(word string, known []string) (string, bool) {
	if utf8.RuneCountInString(word) > 60 {
		return "", false
	}
	w := fold(word)
	best, at := 3, ""
	for _, k := range known {
		d := Distance(w, fold(k))
		if d < best && 2*d < max(utf8.RuneCountInString(w), 3) {
			best, at = d, k
		}
	}
	return at, at != ""
}

func fold(s string) string {
	return strings.NewReplacer("_", "", "-", "", " ", "").Replace(strings.ToLower(s))
}

// Hint proposes the nearest of the known words, or else lists them all if they
// are few enough to read. what names them in the plural: "keys here".
func Hint(word, what string, known []string) string {
	if k, ok := Nearest(word, known); ok {
		return "did you mean \"" + k + "\"?"
	}
	if len(known) == 0 {
		return ""
	}
	const few = 16
	if len(known) > few {
		return what + ": " + strings.Join(known[:few], ", ") + ", ..."
	}
	return what + ": " + strings.Join(known, ", ")
}
