package scenarios

// Rule is one thing that the reader checks. Its id stands behind the messages
// that it gives.
type Rule struct {
	ID   string
	Says string // what is wanted, for the reference page
}

// The ids of the rules.
const (
	RuleFile           = "file"
	RuleEncoding       = "encoding"
	RuleEmpty          = "empty-file"
	RuleSyntax         = "syntax"
	RuleSecondDocument = "second-document"
	RuleAlias          = "alias"
	RuleTag            = "yaml-tag"
	RuleUnknownKey     = "unknown-key"
	RuleDuplicateKey   = "duplicate-key"
	RuleMissingKey     = "missing-key"
	RuleNull           = "no-value"
	RuleType           = "wrong-type"
	RuleEmptyList      = "empty-list"
	RuleNotFinite      = "not-finite"
	RuleOctal          = "octal"
	RuleValue          = "value"
	RuleUnknownName    = "unknown-name"
	RuleBounds         = "out-of-bounds"
	RuleQuantity       = "quantity"
	RuleDate           = "date"
	RuleUnit           = "unit"
	RuleRange          = "range"
	RulePath           = "path"
	RuleTooMany        = "too-many"
	RuleTogether       = "keys-together"

	RuleDuplicateName = "duplicate-name"
	RuleReference     = "reference"
	RuleFileName      = "file-name"
	RuleUnused        = "unused"
	RuleNoExercise    = "no-exercise"
	RuleCourseSize    = "course-size"
	RuleFamilyLoops   = "family-loops"
	RuleFamilyOutputs = "family-outputs"
	RuleFamilyPlant   = "family-plant"
	RuleFamilyKeys    = "family-keys"
	RuleFamilyFaults  = "family-faults"

	RuleTagLetters    = "tag-letters"
	RuleSpanZero      = "span-zero"
	RuleRangeOrder    = "range-order"
	RuleDimension     = "dimension"
	RuleWaterColumn   = "water-column"
	RuleShows         = "shows"
	RuleRoot          = "root"
	RuleSensor        = "sensor"
	RuleTolerance     = "tolerance"
	RuleAdjustAt      = "adjust-at"
	RuleSupply        = "supply"
	RuleSupplyChecker = "supply-with-checker"
	RuleReceiver      = "receiver"
	RuleCable         = "cable"
	RuleOutputDrive   = "output-drive"
	RuleOutputChecker = "output-with-checker"
	RuleAir           = "air"
	RulePneumatic     = "pneumatic"
	RuleChecker       = "checker"

	RuleFaultPlace     = "fault-place"
	RuleFaultSize      = "fault-size"
	RuleFaultSaturates = "fault-saturates"

	RuleLessonTitle   = "lesson-title"
	RuleLessonSize    = "lesson-size"
	RuleLessonBlock   = "lesson-block"
	RuleLessonFace    = "lesson-face"
	RuleLessonPoints  = "lesson-points"
	RuleLessonFormula = "lesson-formula"
	RuleRawHTML       = "raw-html"
	RuleOutside       = "outside"
)

// Rules lists the rules, files first, then values, references, physics and
// lessons.
func Rules() []Rule { return rules }

var rules = []Rule{
	{RuleFile, "every file that is named is there, is an ordinary file and no link, and has at most 256 kB"},
	{RuleEncoding, "files are text in UTF-8"},
	{RuleEmpty, "a file holds something"},
	{RuleSyntax, "files are valid YAML, indented with blanks"},
	{RuleSecondDocument, "a file holds one document"},
	{RuleAlias, "no aliases (*name) and no merge keys (<<)"},
	{RuleTag, "no YAML tags (!name)"},
	{RuleUnknownKey, "only the keys of the tables below"},
	{RuleDuplicateKey, "a key stands once in its block"},
	{RuleMissingKey, "the keys that are required are there"},
	{RuleTogether, "of keys that stand in place of one another, one is written"},
	{RuleNull, "a key has a value"},
	{RuleType, "text is text, a list is a list, a block is a block"},
	{RuleEmptyList, "a list has an item"},
	{RuleNotFinite, "a number is finite"},
	{RuleOctal, "no leading zeros"},
	{RuleValue, "ids, tags, whole numbers and texts have their form"},
	{RuleUnknownName, "names of levels, signals, families and cautions are known"},
	{RuleBounds, "a quantity lies within what is permitted"},
	{RuleQuantity, "a quantity is a plain decimal and a unit"},
	{RuleUnit, "a quantity has a unit of what is measured; percentages say of what"},
	{RuleDate, "a date is a day of the calendar, year first"},
	{RuleRange, "a range has two ends with two dots between, and a unit"},
	{RulePath, "file names stay inside the course folder"},
	{RuleTooMany, "at most 100 findings of a file are shown"},

	{RuleDuplicateName, "ids, tags and names of a list stand once"},
	{RuleReference, "a tag that is named is that of a loop, or of an output loop, of the course's plants"},
	{RuleFileName, "a plant file is named after its plant"},
	{RuleUnused, "files of plants and lessons are in use (warning)"},
	{RuleNoExercise, "a course has an exercise (warning)"},
	{RuleCourseSize, "a course has at most 400 exercises"},
	{RuleFamilyLoops, "the loops of an exercise fit its family, are enough and are of one plant"},
	{RuleFamilyOutputs, "the output loops of an exercise fit its family, are enough and are of its plant"},
	{RuleFamilyPlant, "a plant of the course has what the family of an exercise asks about; the plant that an exercise names is one of the course's"},
	{RuleFamilyKeys, "the keys of an exercise are those that its family takes"},
	{RuleFamilyFaults, "the faults of an exercise are those of its family"},

	{RuleTagLetters, "the letters of a tag are a transmitter's after ISA-5.1 and agree with the kind of loop; those of an output loop are a valve's"},
	{RuleSpanZero, "a range has a span above zero"},
	{RuleRangeOrder, "a range is written lower end first"},
	{RuleDimension, "input and shows are in units that suit the kind of loop"},
	{RuleWaterColumn, "a water column is named with its temperature (warning)"},
	{RuleShows, "pressure and temperature are shown as they are sensed (warning)"},
	{RuleRoot, "a square root is for flow from a differential pressure that starts at 0; flow shown from such a pressure has one (warning)"},
	{RuleSensor, "a sensor stands in a temperature loop, and is defined over the whole input"},
	{RuleTolerance, "a tolerance can be read on the face of the checker"},
	{RuleAdjustAt, "adjust_at is at most the tolerance"},
	{RuleSupply, "the supply leaves the lift-off voltage to the transmitter at its highest current"},
	{RuleSupplyChecker, "it does so with the checker in the loop, too (warning)"},
	{RuleCable, "a cable has a cross-section that IEC 60228 lists"},
	{RuleOutputDrive, "a controller's output drives 20 mA through conductors and converter"},
	{RuleOutputChecker, "it does so with the checker in the loop, too (warning)"},
	{RuleAir, "the supply air of a converter reaches the top of its signal"},
	{RuleReceiver, "the receiver's resistor is 250 ohm (warning)"},
	{RulePneumatic, "loops with an air signal have no supply, wiring, transmitter or receiver of current (warning)"},
	{RuleChecker, "the checker can make its reference, show its cell line, and pass a fresh cell"},

	{RuleFaultPlace, "the loops of a fault's block can have that fault"},
	{RuleFaultSize, "the sizes of a fault's block are as many as the fault has, lie inside those it can have, and hold a small mark of the checker"},
	{RuleFaultSaturates, "some size of a fault's block leaves the transmitter inside its limits at every point of a check (warning)"},

	{RuleLessonTitle, "a lesson begins with its title, \"# ...\", and has one"},
	{RuleLessonSize, "a lesson has at most 96 kB, 300 headings and 200 blocks"},
	{RuleLessonBlock, "blocks of a lesson are known, closed, not indented, not nested, and have what they need"},
	{RuleLessonFace, "a needle stands on the face, and the ring is set where it matters"},
	{RuleLessonPoints, "points come in order"},
	{RuleLessonFormula, "formulas are known and suit their loop"},
	{RuleRawHTML, "no HTML in lessons; it is left out (warning)"},
	{RuleOutside, "no links and pictures from outside"},
}
