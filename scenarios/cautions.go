package scenarios

import (
	_ "embed"

	"loopdrill/scenarios/prose"
)

//go:embed cautions.md
var cautionsFile string

var cautions = prose.MustLibrary("scenarios/cautions.md", cautionsFile)

// Caution gives the sentences of a caution, and whether there is one of that
// id. Lessons, families and faults name cautions by their ids; the sentences
// stand in one place, so that a duty is worded the same wherever it is shown.
func Caution(id string) (*prose.Doc, bool) {
	d := cautions.Entry(id)
	return d, d != nil
}

// CautionIDs lists the ids of all cautions, sorted.
func CautionIDs() []string { return cautions.Names() }
