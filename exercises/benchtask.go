package exercises

import (
	"strconv"

	"loopdrill/scenarios/prose"
)

// Bench is what a practical task on a real loop needs beside its sheet: the card
// by which the instructor sets the loop up, and the steps that the assessor
// watches. It is part of the key: no page for apprentices is made from it, and
// pages of solutions leave such an exercise out.
type Bench struct {
	Loop     string       // whose loop the bench stands for: "LT-4104, level of the fruit water tank"
	Cautions []string     // ids, for whoever sets it up
	Rig      Table        // what the loop on the bench is made of, and what each part may be off
	Setup    []prose.Text // what the instructor does before the apprentice comes, in order
	Readings []BenchTable // what should then be read
	PutBack  []prose.Text // what the instructor does afterwards
	Steps    []BenchStep  // what the apprentice is watched for, in the order of the work
	Stop     prose.Text   // when the assessor breaks the task off
}

// BenchTable holds the readings to be expected, one row a point. The first cell
// of a row names it.
type BenchTable struct {
	Caption prose.Text
	Table   Table
	Within  prose.Text // what a reading may be off, and why
}

// BenchStep is one thing that the apprentice is seen to do or not. Its text is
// the same in the observation sheet, in the table that is typed in from it, and
// in the record.
type BenchStep struct {
	Text     string
	Critical bool // prompted or not done, it fails the task
}

// BenchTask names a practical task in the table of observed steps and in the
// record: the number of the exercise in the course, its title and its loop. It
// is empty for an exercise that is none.
func (d Drawn) BenchTask() string {
	b := d.Item.Key.Bench
	if b == nil {
		return ""
	}
	title := d.Item.Sheet.Title
	if title == "" {
		title = d.Exercise.Title
	}
	return strconv.Itoa(d.Exercise.Number) + " " + title + " (" + b.Loop + ")"
}
