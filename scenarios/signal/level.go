package signal

import "loopdrill/scenarios/formula"

// LevelDry is the differential pressure of a level above the lower tap, as the
// height of a water column in the unit of the level, where the other side of
// the transmitter is open to the air or its leg is dry:
//
//	h × d
//
// h is the height of the liquid above the tap (0 or more; a tap below the
// vessel's zero level adds its depth) and d the specific gravity of the
// liquid. At both ends of the level range it gives LRV and URV.
func LevelDry(h, d formula.Expr) formula.Expr { return formula.Mul(h, d) }

// LevelWet is [LevelDry] where the low-pressure leg is kept full, which takes
// the same off both ends, so that the range mostly lies below zero:
//
//	h × d − h_leg × d_leg
//
// hLeg is the height of the filled leg above the lower tap, dLeg the specific
// gravity of its filling, which stands at another temperature than the vessel
// and often is another liquid.
func LevelWet(h, d, hLeg, dLeg formula.Expr) formula.Expr {
	return formula.Sub(LevelDry(h, d), formula.Mul(hLeg, dLeg))
}
