package scenarios

// Vocabulary is what the reader of courses must know of the families; cmd
// hands it in, so that no arrow runs backwards.
type Vocabulary struct {
	Families []Spec
}

// Spec says what a course may ask of one family.
type Spec struct {
	Name    string       // as written in a course: "scale-it"
	Purpose string       // one sentence
	Levels  []Difficulty // easiest first
	Faults  []string     // names of the faults it can put to work; empty: it takes none

	// Fits says whether a loop can be used at a level, and if not why, in a
	// few words that follow the loop's tag: "has no square root".
	Fits func(level string, l *Loop) (why string, ok bool)
	// MinLoops is how many loops it needs at least.
	MinLoops int
	// MinOutputs is how many output loops it needs at least; 0: it takes none.
	MinOutputs int
	// Takes says in words which loops, outputs, standards and checkers it can
	// use at any level, for the page of families: "loops of 4-20 mA".
	Takes string
	// Places are the words of the key "place" that a course may choose from
	// where the family leaves it the choice where the checker is put in:
	// [PlaceTransmitter], [PlaceReceiver]. Empty: the key is refused.
	Places []string
	// FitsOutput says whether an output loop can be used, as Fits does.
	FitsOutput func(level string, o *Output) (why string, ok bool)
}

// TakesLoops says whether the family asks about loops with a transmitter.
func (s Spec) TakesLoops() bool { return s.MinLoops > 0 || s.Fits != nil }

// TakesOutputs says whether the family asks about output loops.
func (s Spec) TakesOutputs() bool { return s.MinOutputs > 0 }

// Difficulty is a level of difficulty and what changes at it.
type Difficulty struct {
	Name    string // "easy", "usual", "hard"
	Changes string
	Takes   string // what it takes beyond or instead of Spec.Takes, in words; empty: the same
}

// The words of the key "place": where the checker is put in.
const (
	PlaceTransmitter = "transmitter" // in series, the lever at Current
	PlaceReceiver    = "receiver"    // across the receiver, the lever at Voltage
)

// Family finds the spec of that name.
func (v Vocabulary) Family(name string) (Spec, bool) {
	for _, s := range v.Families {
		if s.Name == name {
			return s, true
		}
	}
	return Spec{}, false
}
