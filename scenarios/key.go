package scenarios

import "loopdrill/scenarios/unit"

// Key describes one key of a file: the one description that the reader, the
// JSON Schema and the reference page are all made from.
type Key struct {
	Name     string
	Type     Type
	Required bool

	// Default is what holds when the key is left out, as it would be written;
	// Otherwise says the same in words where it depends on other keys.
	Default   string
	Otherwise string

	Says    string // what it is, one or two sentences without a full stop at the end
	Example string // a value, as it would be written

	Units     []unit.Dimension // TypeQuantity, TypeRange: of these dimensions
	Low, High string           // TypeQuantity, TypeWhole, TypeDate: the permitted values, both ends included; empty: no limit
	Words     []string         // TypeChoice, TypeChoices: the permitted words
	Of        *Record          // TypeBlock, TypeBlocks

	Instead []string // keys of the same block in whose place it stands: never written together with it
}

// Type is what is written behind a key.
type Type int

// The types.
const (
	TypeText     Type = iota // words
	TypeID                   // lower-case words joined by hyphens
	TypeIDs                  // a list of them
	TypeTag                  // identification letters and number of a loop
	TypeTags                 // a list of them
	TypePath                 // of a file in the course folder
	TypeChoice               // one of a few words
	TypeChoices              // a list of such words
	TypeWhole                // a whole number
	TypeQuantity             // a number with its unit
	TypeRange                // a range with its unit
	TypeLabel                // digits, letters or words, taken as they are written: 007 stays 007
	TypePosition             // of a needle: "13 left", "0", "right stop"
	TypeBlock                // keys of its own
	TypeBlocks               // a list of blocks
	TypeDate                 // a day: 2028-03-31
	TypeRanges               // a list of ranges with their units
)

// Record is a set of keys that stand together: a file, or a block in one.
type Record struct {
	Name string // "loop"; for messages and headings
	Says string
	Keys []Key

	// Example is a whole block on one line, for lists of blocks that one would
	// first write in another way; empty where none is needed.
	Example string

	// Absent answers keys that one would expect here and that are not, each
	// with the reason, as a hint.
	Absent map[string]string
}

func (rec *Record) names() []string {
	out := make([]string, len(rec.Keys))
	for i := range rec.Keys {
		out[i] = rec.Keys[i].Name
	}
	return out
}

// inPlaceOf lists the keys that stand in place of one.
func (rec *Record) inPlaceOf(name string) []string {
	var out []string
	for i := range rec.Keys {
		if contains(rec.Keys[i].Instead, name) {
			out = append(out, rec.Keys[i].Name)
		}
	}
	return out
}

func (rec *Record) key(name string) *Key {
	for i := range rec.Keys {
		if rec.Keys[i].Name == name {
			return &rec.Keys[i]
		}
	}
	return nil
}
