package signal

import "loopdrill/scenarios/formula"

// Band is a band of the 4-20 mA signal after NAMUR NE 43, by which a receiver
// tells a measured value from a transmitter that reports a failure.
type Band string

// The bands, from the lowest current up. What lies between a failure limit
// and the limit of the measured values belongs to neither.
const (
	FailureLow  Band = "failure-low"  // up to and with 3.6 mA
	UnderRange  Band = "under-range"  // from 3.8 mA to below 4 mA
	Normal      Band = "normal"       // 4 mA to 20 mA, both included
	OverRange   Band = "over-range"   // above 20 mA, up to and with 20.5 mA
	FailureHigh Band = "failure-high" // from 21 mA
	Undefined   Band = "undefined"    // between 3.6 and 3.8 mA, and between 20.5 and 21 mA
)

// The limits of NAMUR NE 43 in mA. That exactly 3.6 mA and 21 mA count as
// failure is from memory; printed tables differ in it.
var (
	FailureBelow = formula.Decimal(36, 1)
	LowestValue  = formula.Decimal(38, 1)
	HighestValue = formula.Decimal(205, 1)
	FailureAbove = formula.Int(21)
)

// BandOf finds the band of a current in mA, from 0 upwards; a current that
// flows the wrong way counts as failure-low. A current that is not exact and
// lies too close to a limit gives [formula.ErrEdge], an undefined one
// [formula.ErrUndefined].
func BandOf(milliamp formula.Value) (Band, error) {
	for _, step := range []struct {
		limit formula.Value
		with  bool // the limit itself belongs to the band
		band  Band
	}{
		{FailureBelow, true, FailureLow},
		{LowestValue, false, Undefined},
		{Current.Low, false, UnderRange},
		{Current.High, true, Normal},
		{HighestValue, true, OverRange},
		{FailureAbove, false, Undefined},
	} {
		c, err := milliamp.Cmp(step.limit)
		if err != nil {
			return "", err
		}
		if c < 0 || c == 0 && step.with {
			return step.band, nil
		}
	}
	return FailureHigh, nil
}
