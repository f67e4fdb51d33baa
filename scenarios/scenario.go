// Package scenarios says what stands in the field: plants with their signal
// loops and checker, and the courses that use them. It reads them from YAML
// and Markdown and reports every mistake at its place.
//
// For most uses call [ReadCourse] with the folder of a course.
package scenarios

import (
	"loopdrill/scenarios/diag"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// Course is one course, completely read and checked.
type Course struct {
	ID        string // kebab-case; derives the random streams, so renaming it gives new numbers
	Title     string
	Purpose   string // one sentence for the start page: what an apprentice can do afterwards
	For       string // "practice" or "assessment": what workbooks are made for where the build does not say
	Plants    []*Plant
	Lessons   []*Lesson
	Exercises []*Exercise // all of all lessons, in order, numbered from 1; those that a count made are among them
	PassMark  int         // percent of the marks, 1..100
	Minutes   int         // working time allowed for an assessment; 0 means not set
	Sources   []Source    // every file that was read, sorted by path
}

// Source is a file that a course was read from.
type Source struct {
	Path  string // relative to the course folder, with slashes
	Bytes []byte
}

// Plant is a fictional plant.
type Plant struct {
	ID      string
	Name    string
	Trade   string // what it makes, one sentence
	Loops   []*Loop
	Outputs []*Output // output loops; their tags and those of Loops differ
	Checker Checker
	// Standards are the instruments that give the known inputs.
	Standards []Standard
	// Faults are the faults whose sizes the plant file narrows.
	Faults []FaultRange
}

// Standard is a test instrument that gives or measures a known input: a test
// gauge, a hand pump with its module, a decade box.
type Standard struct {
	ID       string
	Name     string        // in words: "test gauge, workshop shelf 2"
	Range    unit.Range    // what it measures
	Accuracy formula.Value // expanded uncertainty (k = 2) in percent of its span
	Due      string        // of its next calibration: "2027-03-31"
}

// FaultRange is a fault with the sizes at which it is drawn in a plant.
type FaultRange struct {
	Name    string       // as in scenarios/loop
	Loops   []*Loop      // in which it is drawn so; with Outputs empty too: in all that no other range names
	Outputs []*Output    // the same for output loops
	Sizes   []SizeBounds // one for each of the fault's sizes, in order
}

// SizeBounds is a closed range of sizes in the unit of the fault's size.
type SizeBounds struct{ Low, High formula.Value }

// Loop is one signal loop of a plant.
type Loop struct {
	Tag     string // identification letters and number after ISA-5.1: "LT-2104" names the transmitter
	Service string // what it measures, in words: "level of the condensate drum"
	Kind    Kind

	// Input is the range of what the transmitter senses (a pressure, a
	// temperature), as ranged on its nameplate; Low may be negative.
	Input unit.Range
	// Shows is the range of what the receiver shows (a level in percent, a
	// flow in m³/h), at 0 and 100 % of the value; it equals Input where the
	// plant file does not say otherwise.
	Shows unit.Range
	// Root says where the square root of a differential-pressure flow loop is
	// taken.
	Root   Root
	Action Action
	Signal signal.Signal
	Sensor Sensor // of a temperature loop; empty where the plant file does not say

	Params    loop.Params   // the healthy electrical loop
	Cable     *Cable        // what Params.Wiring was computed from; nil where the plant file gives resistances
	Tolerance formula.Value // greatest permitted error, percent of span
	AdjustAt  formula.Value // the site adjusts beyond this error, percent of span; at most Tolerance
}

// Output is one output loop of a plant: a controller's output drives a
// converter of current to air, and that the positioner of a valve.
type Output struct {
	Tag     string // of the valve, after ISA-5.1: "FV-2106"
	Service string // what it controls, in words: "flow of wash water"

	Params loop.OutputParams // the healthy output loop, the checker in series
	Cable  *Cable            // what Params.Wiring was computed from; nil where the plant file gives resistances
	Stroke *unit.Quantity    // whole travel of the stem, a length; nil where it is told in percent alone
}

// Cable is a copper cable with two conductors, as the plant file gives it.
type Cable struct {
	Length, Area, Temperature unit.Quantity // with AWG the area is that of the metal, rounded
	AWG                       int           // size of the American wire gauge; 0 where the plant file gives the area
	OhmPerKm                  formula.Value // of one conductor at 20 °C: the greatest that IEC 60228 permits; with AWG the nominal one
	Ohm                       formula.Value // of one conductor over the whole length, at Temperature
}

// Kind is what a loop measures.
type Kind string

// The kinds of loop.
const (
	Level       Kind = "level"
	Flow        Kind = "flow"
	Pressure    Kind = "pressure"
	Temperature Kind = "temperature"
)

// Root is the place where a square root is taken.
type Root string

// The places.
const (
	NoRoot          Root = ""
	RootTransmitter Root = "transmitter"
	RootReceiver    Root = "receiver"
)

// Action is the direction in which a transmitter's output moves.
type Action string

// The actions. A reverse-acting transmitter sends its live zero at the upper
// end of its input range.
const (
	Direct  Action = "direct"
	Reverse Action = "reverse"
)

// Checker is a plant's portable null-balance checker.
type Checker struct {
	ID     string
	Params loop.Checker
	Face   Face
	// Accuracy is the expanded uncertainty (k = 2) of a reading in percent of
	// the signal's span; 0 means not given.
	Accuracy formula.Value
	Due      string // of its next calibration: "2027-03-31"; empty means not given
}

// Face is the drawn face of a checker's movement.
type Face struct {
	Divisions     int           // to each side of the centre: 10
	SmallPerDiv   int           // small marks in a division: 5
	PerSmallMark  formula.Value // percent of span of one small mark: 0.1
	CellLineSmall int           // where the cell line stands, small marks right of the centre
	CellPerSmall  formula.Value // volts of one small mark in the cell position
}

// Stop returns the small mark at which the needle lies on its stop.
func (f Face) Stop() int { return f.Divisions * f.SmallPerDiv }

// Lesson is one lesson page and the exercises that follow it.
type Lesson struct {
	ID        string
	Title     string
	File      string
	Segments  []Segment // running text and blocks of ours, in order; the heading that is the title is not among them
	Exercises []*Exercise
}

// Segment is either running text or a block of ours (the other is nil).
type Segment struct {
	Prose *prose.Doc
	Block *Block
}

// Block is a fenced block of ours in a lesson.
type Block struct {
	Kind    BlockKind
	Line    int           // of the opening fence, from 1
	Caution string        // BlockCaution: the id in the list of cautions
	Face    *LessonFace   // BlockFace
	Formula string        // BlockFormula: "percent", "value", "signal", "flow-root", "span-error", ...
	Loop    *Loop         // BlockFormula, BlockReadings, BlockChart: nil means generic
	Points  []LessonPoint // BlockReadings, BlockChart
	Signal  signal.Signal // BlockReadings: in which outputs are shown; that of the loop, or 4-20 mA, where the lesson does not say
	Body    *prose.Doc    // BlockExample, BlockGoals, BlockCheckYourself
	Title   string        // BlockExample
}

// BlockKind names the kinds of block.
type BlockKind string

// The kinds of block that a lesson may hold.
const (
	BlockGoals         BlockKind = "goals"          // what you will be able to do
	BlockCaution       BlockKind = "caution"        // one of the shared cautions
	BlockFace          BlockKind = "face"           // a meter face with a needle
	BlockFormula       BlockKind = "formula"        // a formula of the trade
	BlockReadings      BlockKind = "readings"       // a table of readings
	BlockChart         BlockKind = "chart"          // an error chart
	BlockExample       BlockKind = "example"        // a worked example
	BlockCheckYourself BlockKind = "check-yourself" // questions to think over
)

// LessonFace is a face drawn in a lesson.
type LessonFace struct {
	Lever   string // "Rest", "Current", "Voltage", "Cell"
	Ring    int    // percent of span; used with Current and Voltage
	Needle  loop.Needle
	Caption string
}

// LessonPoint is one row of a reading table or chart.
type LessonPoint struct {
	Input formula.Value // percent of the input
	Error formula.Value // percent of span
}

// Exercise is one numbered exercise of a course.
type Exercise struct {
	Number  int    // from 1, through the whole course
	ID      string // kebab-case, unique in the course; derives the random stream
	Title   string
	Family  string
	Level   string // "easy", "usual", "hard"
	Loops   []*Loop
	Outputs []*Output // output loops it may ask about; for families that use them
	Plant   *Plant
	Faults  []string   // names of faults that may be drawn; empty: the family's own list
	Place   string     // where the checker is put in, [PlaceTransmitter] or [PlaceReceiver]; empty: the family draws it
	Marks   int        // what it is worth, a multiple of what its family gives; 0: what its family gives
	MarksAt diag.Place // of the key "marks"; no line where it was left out
	Lesson  *Lesson
	File    string // where it was written, for diagnostics
	Line    int
	Column  int
}
