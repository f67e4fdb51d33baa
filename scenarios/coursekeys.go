package scenarios

import "loopdrill/scenarios/unit"

// CourseFile describes course.yaml.
var CourseFile = &Record{
	Name: "course",
	Says: "A course, course.yaml, names its plants and lessons, and the exercises that follow each lesson",
	Keys: []Key{
		{Name: "course", Type: TypeID, Required: true, Example: "live-zero-basics", Says: "the id of the course; it stands in form codes and in the numbers drawn, so renaming it gives new numbers"},
		{Name: "title", Type: TypeText, Required: true, Example: "Live zero, from the first needle to a full check", Says: "the title, as printed"},
		{Name: "purpose", Type: TypeText, Required: true, Example: "Check a transmitter at five points and say what to adjust.", Says: "one sentence: what an apprentice can do afterwards"},
		{Name: "for", Type: TypeChoice, Default: "practice", Words: []string{"practice", "assessment"}, Example: "assessment", Says: "what workbooks are made for where the build does not say: those for practice carry their solutions, folded away, those for an assessment carry no answer"},
		{Name: "plants", Type: TypeIDs, Required: true, Example: "[tarnholt]", Says: "the plants in use; NAME is the file plants/NAME.yaml"},
		{Name: "pass_mark", Type: TypeQuantity, Units: in(unit.Percent), Default: "70 %", Low: "1 %", High: "100 %", Example: "70 %", Says: "the share of the marks that passes, in whole percent"},
		{Name: "time", Type: TypeQuantity, Units: in(unit.Time), Low: "1 min", High: "24 h", Otherwise: "no time is printed", Example: "120 min", Says: "the working time allowed for an assessment, in whole minutes"},
		{Name: "lessons", Type: TypeBlocks, Required: true, Of: LessonKeys, Example: "a list", Says: "the lessons, in order"},
	},
}

// LessonKeys describes one lesson of a course.
var LessonKeys = &Record{
	Name: "lesson",
	Says: "A lesson of a course",
	Keys: []Key{
		{Name: "id", Type: TypeID, Required: true, Example: "live-zero", Says: "the id of the lesson, once in the course"},
		{Name: "file", Type: TypePath, Required: true, Example: "lessons/1-live-zero.md", Says: "its text in Markdown; the title is the line \"# ...\" that it begins with"},
		{Name: "exercises", Type: TypeBlocks, Of: ExerciseKeys, Otherwise: "the lesson has no exercise", Example: "a list", Says: "the exercises that follow it, in order; they are numbered through the whole course"},
	},
}

// ExerciseKeys describes one exercise of a lesson. The words of family come
// from the vocabulary.
var ExerciseKeys = &Record{
	Name: "exercise",
	Says: "An exercise of a lesson",
	Absent: map[string]string{
		"points":    "what an exercise is worth is given in marks: \"marks: 8\"",
		"weight":    "what an exercise is worth is given in marks: \"marks: 8\"",
		"output":    "write it as a list: \"outputs: [FV-2106]\"",
		"standard":  "the family takes the test instruments from the plant file",
		"loop":      "write it as a list: \"loops: [LT-2104]\"",
		"fault":     "write it as a list: \"faults: [low-zero]\"",
		"tolerance": "the tolerance of a reading comes from the face of the checker, that of a loop stands in its plant file",
	},
	Keys: []Key{
		{Name: "id", Type: TypeID, Required: true, Example: "scale-percent", Says: "the id of the exercise, once in the course; its numbers are drawn from it, so renaming it gives new numbers"},
		{Name: "title", Type: TypeText, Required: true, Example: "Percent and milliamps", Says: "the title, as printed"},
		{Name: "family", Type: TypeID, Required: true, Example: "scale-it", Says: "the kind of exercise"},
		{Name: "level", Type: TypeChoice, Default: "usual", Words: []string{"easy", "usual", "hard"}, Example: "easy", Says: "how hard it is"},
		{Name: "plant", Type: TypeID, Otherwise: "the plant of the loops or outputs named, else the first that has enough of what the family asks about", Example: "tarnholt", Says: "the plant in which it takes place; one of the course's plants"},
		{Name: "loops", Type: TypeTags, Otherwise: "every loop of the plant that fits the family", Example: "[LT-2104, PT-1407]", Says: "the loops that may be drawn, all of one plant; for families that ask about loops with a transmitter"},
		{Name: "outputs", Type: TypeTags, Otherwise: "every output loop of the plant that fits the family", Example: "[FV-2106, TV-2117]", Says: "the output loops that may be drawn, of the same plant; for families that ask about output loops"},
		{Name: "faults", Type: TypeIDs, Otherwise: "all faults of the family", Example: "[low-zero, high-zero]", Says: "the faults that may be drawn"},
		{Name: "place", Type: TypeChoice, Words: []string{PlaceTransmitter, PlaceReceiver}, Otherwise: "the family draws it", Example: "receiver", Says: "where the checker is put in: in series at the transmitter, the lever at Current, or across the receiver, the lever at Voltage; for families that leave the choice"},
		{Name: "marks", Type: TypeWhole, Low: "1", High: "200", Otherwise: "each part has the marks that the family gives it", Example: "8", Says: "what the exercise is worth; it must be the marks that the family gives, or twice, three times, ... as many, and the marks of every part are multiplied alike; with a count, each exercise is worth so much"},
		{Name: "count", Type: TypeWhole, Default: "1", Low: "1", High: "20", Example: "3", Says: "how many exercises of this kind follow one another, each with numbers of its own; with 3, their ids end in -1, -2, -3 and their titles in (1 of 3), (2 of 3), (3 of 3)"},
	},
}

// FaceKeys describes the body of a block "face" in a lesson.
var FaceKeys = &Record{
	Name: "face",
	Says: "A meter face, drawn in a lesson",
	Keys: []Key{
		{Name: "lever", Type: TypeChoice, Required: true, Words: []string{"Rest", "Current", "Voltage", "Send", "Cell"}, Example: "Current", Says: "the position of the five-way lever"},
		{Name: "ring", Type: TypeQuantity, Units: in(unit.Percent), Low: "0 %", High: "100 %", Otherwise: "only for Rest and Cell", Example: "50 %", Says: "the point to which the ring is set, in whole percent of span"},
		{Name: "needle", Type: TypePosition, Required: true, Example: "13 left", Says: "where the needle stands, in small marks: \"13 left\", \"0\", \"7 right\", \"left stop\" or \"right stop\""},
		{Name: "caption", Type: TypeText, Required: true, Example: "The output is low by 1.3 % of span.", Says: "the words below the face"},
	},
}

// FormulaKeys describes the optional body of a block "formula" in a lesson.
var FormulaKeys = &Record{
	Name: "formula",
	Says: "A formula of the trade, set in a lesson; with a loop it is shown with that loop's range",
	Keys: []Key{
		{Name: "loop", Type: TypeTag, Otherwise: "symbols only", Example: "LT-2104", Says: "the loop whose numbers are put in"},
	},
}

// PointsKeys describes the body of the blocks "readings" and "chart" in a
// lesson.
var PointsKeys = &Record{
	Name: "table of readings",
	Says: "A table of readings or an error chart, in a lesson",
	Keys: []Key{
		{Name: "loop", Type: TypeTag, Otherwise: "no loop's range and tolerance are shown", Example: "LT-2104", Says: "the loop whose range and tolerance are shown"},
		{Name: "signal", Type: TypeChoice, Words: []string{"4-20 mA", "1-5 V", "20-100 kPa", "3-15 psi"}, Otherwise: "that of the loop, or 4-20 mA without one", Example: "1-5 V", Says: "the signal in which a table of readings shows outputs; with a loop of 4-20 mA, 1-5 V shows them across its receiver"},
		{Name: "points", Type: TypeBlocks, Required: true, Of: PointKeys, Example: "[{input: 0 %, error: -0.6 %span}]", Says: "the points, in order of their input"},
	},
}

// PointKeys describes one point of a table of readings.
var PointKeys = &Record{
	Name: "point",
	Says: "A point of a table of readings or an error chart",
	Keys: []Key{
		{Name: "input", Type: TypeQuantity, Required: true, Units: in(unit.Percent), Low: "0 %", High: "100 %", Example: "25 %", Says: "the input, in whole percent of its range"},
		{Name: "error", Type: TypeQuantity, Required: true, Units: ofSpan, Low: "-100 %span", High: "100 %span", Example: "-0.6 %span", Says: "the error found there"},
	},
}
