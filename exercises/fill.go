package exercises

import "loopdrill/scenarios/prose"

// Fill fills an entry of a family's texts from a longer list of words
// (alternating names and values) than it needs; of two with the same name the
// first counts. A slot that has no word is a programmer's mistake and panics.
func Fill(lib *prose.Library, entry string, words ...string) prose.Text {
	doc := lib.Entry(entry)
	if doc == nil {
		panic("exercises: no prompt " + entry)
	}
	var args []string
	for _, s := range doc.Slots {
		for i := 0; i+1 < len(words); i += 2 {
			if words[i] == s {
				args = append(args, words[i], words[i+1])
				break
			}
		}
	}
	return lib.Text(entry, args...)
}
