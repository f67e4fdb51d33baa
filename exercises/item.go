// Package exercises says what is asked and what the right answer is. A drawn
// exercise is an [Item]: a [Sheet], which is all that an apprentice may see,
// and a [Key], which no workbook page for assessment ever receives.
//
// Families live in sub-packages, one a family, and are listed in package
// exercises/families. For most uses take a family from there, call its
// Prepare once a course and Item once a form.
package exercises

import (
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/prose"
)

// Item is one drawn exercise.
type Item struct {
	Sheet Sheet
	Key   Key
}

// Sheet is a drawn exercise as the apprentice sees it. It holds no answer.
type Sheet struct {
	Title    string
	Intro    prose.Text
	Cautions []string // ids in the list of cautions, shown before the parts
	Figures  []Figure
	Parts    []Part
}

// Figure is one picture, table of givens or empty grid. Exactly one of the
// pointers is set.
type Figure struct {
	ID      string // unique in the exercise: "face-3"
	Caption prose.Text
	Face    *Face
	Table   *Table
	Grid    *Grid
	Drawing *Drawing
}

// Grid is an empty error chart on which the apprentice draws.
type Grid struct {
	Tolerance formula.Value // of the loop, percent of span; drawn as a band
}

// Face is a meter face with its needle, as data.
type Face struct {
	Design scenarios.Face
	Lever  string      // "Rest", "Current", "Voltage", "Send", "Cell"
	Ring   int         // percent of span at which the ring stands; only with Current, Voltage, Send
	Needle loop.Needle // whole small marks from the centre, or on a stop
	// CellLine asks for the line that marks a good cell to be drawn; it is
	// drawn on every face of a checker, bold in the cell position.
	CellLine bool
}

// Table is a table of givens or a table to fill in.
type Table struct {
	Columns []Column
	Rows    []Row
}

// Column is a heading with the unit of the numbers below it.
type Column struct {
	Head string
	Unit string // empty where cells carry none or their own
}

// Row is a row of cells. The first cell names the row.
type Row struct {
	Cells []Cell
}

// Cell is one cell: printed text, or the id of an answer box, or the id of a
// figure to be drawn small in it. A cell with none of them is ruled empty.
type Cell struct {
	Text   string
	Box    string
	Figure string
}

// Part is one lettered part of an exercise.
type Part struct {
	Label  string // "a"
	Prompt prose.Text
	Marks  int
	Table  *Table // lays the boxes out; nil: they follow the prompt
	Boxes  []Box
	Lines  int // ruled lines of working space on paper
}

// BoxKind says what goes into an answer box.
type BoxKind string

// The kinds of box.
const (
	NumberBox BoxKind = "number"
	ChoiceBox BoxKind = "choice"
	// OrderBox asks for the order of the steps that its options name, in the
	// order in which they are printed.
	OrderBox BoxKind = "order"
	// JudgedBox takes words, or a mark on paper, that a person judges.
	JudgedBox BoxKind = "judged"
)

// Box is one answer to be given.
type Box struct {
	ID       string // "a", or "b.3" for the third box of part b
	Kind     BoxKind
	Name     string // what is asked, for readers who cannot see the table: "error at 25 %"
	Unit     string // printed behind the box; with UnitAsked left to the apprentice
	Of       string // of what a percentage is taken: "of span"
	Decimals int    // asked for
	Options  []Option

	UnitAsked bool // the unit is to be given too
	Figures   int  // significant figures asked for; 0: none
	// MayStop sets a box to tick beside a number box: "cannot be read, on its
	// stop". Boxes of one part all have it or none has.
	MayStop bool
}

// Option is one answer that can be chosen, or one step to be put in order.
type Option struct {
	ID     string
	Text   prose.Text
	Figure string // id of the figure that stands for the option; drawn with it and nowhere else
}

// Key is the other half of an item: answers, working, slips.
type Key struct {
	Fault string // what was put into the loop, for the assessor: "low zero −1.2 % of span"
	// FaultName is the same as a name, for statistics: "low-zero", as in
	// scenarios/loop. Empty where nothing was put in.
	FaultName string
	Env       formula.Env // the printed givens
	Parts     []PartKey   // as many as the sheet has
	Chart     *Chart      // error chart, if the exercise has one
	// Bench is set for a practical task on a real loop. A practice workbook
	// then carries no solution: what the loop shows is for the bench.
	Bench *Bench
}

// PartKey is the key of one part.
type PartKey struct {
	Label   string
	Answers []Answer // one for each box, in order
	Working []Step
	Why     prose.Text // where the tolerance comes from, in words; empty for choices
	Slips   []Slip
	Credit  []Credit // adds up to the marks of the part
	// UnitMark is how many of the marks are the unit's: 1 where a box asks
	// for it, otherwise 0.
	UnitMark int
}

// Answer is the right answer of one box. For a number box Def and Env give the
// value; for a choice, Option.
type Answer struct {
	Box       string
	Def       formula.Definition
	Env       formula.Env
	Value     formula.Value // Def rounded to its decimals
	Tolerance formula.Value // closed: |answer − Value| ≤ Tolerance; 0 for a choice
	Option    string

	// Stop says that the right answer is the tick "cannot be read, on its
	// stop"; Def is then empty.
	Stop bool
	// Shows is what the instrument can show, in the unit of the box: of two
	// readings of a typed number one outside drops out. Nil: not known.
	Shows *Shows
	// Order is the key of an order box.
	Order *Order
	// Decide says, for a choice, which option follows from the givens and the
	// earlier answers: the first whose relation holds; one without a relation
	// always holds. An apprentice's own earlier answers are put through it.
	// Empty where the choice does not follow from earlier answers.
	Decide []Decision
	// Marks is the box's share of the marks of its part. 0 for every box of a
	// part: they share evenly.
	Marks int
}

// Shows is a closed range in the unit of a box.
type Shows struct{ Low, High formula.Value }

// Order is the key of an order box: every order of the steps in which the
// first of each pair comes before the second is right.
type Order struct {
	Steps  []string    // ids of the box's options, in one of the right orders
	Before [][2]string // pairs of ids; what follows from others may be left out
	Safety [][2]string // pairs whose first step keeps people safe; also part of the order
}

// Decision is an option and what leads to it.
type Decision struct {
	Rel    *formula.Relation
	Option string
}

// Step is one line of a worked solution: words, a formula with its numbers, or
// a comparison, or a table. Unused fields are empty.
type Step struct {
	Text  prose.Text
	Def   *formula.Definition
	Rel   *formula.Relation
	Env   formula.Env
	Table *Table // without boxes
}

// Slip is a known misconception and the wrong answer it gives here.
type Slip struct {
	ID       string     // "dead-zero"; unique in the family
	Name     string     // in a few words, for reports
	Feedback prose.Text // one friendly sentence to the apprentice
	Answers  []SlipAnswer
}

// SlipAnswer is what the slip writes into one box. A box that it leaves out is
// answered rightly.
type SlipAnswer struct {
	Box    string
	Def    formula.Definition // number boxes
	Env    formula.Env
	Value  formula.Value
	Option string   // choice boxes
	Order  []string // order boxes: the steps as the slip puts them
	Stop   bool     // number boxes: ticked "cannot be read, on its stop"
}

// Credit is a share of a part's marks and what earns it.
type Credit struct {
	Marks int
	For   prose.Text
}

// Chart is an error chart: error in percent of span against percent input.
type Chart struct {
	Title     string
	Points    []ChartPoint
	Tolerance formula.Value // of the loop, percent of span
	Worst     int           // index into Points, -1 for none
	More      []ChartSeries // drawn beside Points: the falling run, as left
	// Name is that of Points where More is set: "rising, as found".
	Name string
	// WorstIn says in which run Worst is: 0 in Points, n in More[n-1].
	WorstIn int
}

// ChartSeries is a further run in an error chart.
type ChartSeries struct {
	Name   string // "falling, as found"
	Points []ChartPoint
}

// ChartPoint is one point of an error chart.
type ChartPoint struct {
	Input int           // percent
	Error formula.Value // percent of span
}
