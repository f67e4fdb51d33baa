package loop

import "math"

// Edge is how near to a rounding edge, in units of the last place, a value may
// not lie. Two processors, or two orders of summation, differ by far less.
const Edge = 1e-6

// Stop says on which stop a needle lies.
type Stop int8

// The stops.
const (
	NoStop    Stop = 0
	LeftStop  Stop = -1
	RightStop Stop = 1
)

// String says it as an apprentice would.
func (s Stop) String() string {
	switch s {
	case LeftStop:
		return "on its left stop"
	case RightStop:
		return "on its right stop"
	}
	return "free"
}

// Needle is where a needle stands, to the resolution of its movement.
type Needle struct {
	Code int  // small marks right of the centre, negative to the left; at a stop the mark of the stop
	Stop Stop // NoStop while the needle can be read
}

// Needle rounds a deflection, in divisions, to the nearest small mark:
//
//	code = round(division / MarkDivision), between the stops
//
// From half a mark before a stop the needle reads as lying on it. The second
// result is false where the deflection lies within [Edge] of the middle
// between two marks, or is no number: then draw again.
func (c *Checker) Needle(division float64) (Needle, bool) {
	stop := int(math.Round(c.StopDivision / c.MarkDivision))
	code, ok := roundClear(division / c.MarkDivision)
	switch {
	case code >= stop:
		return Needle{stop, RightStop}, ok || division > c.StopDivision
	case code <= -stop:
		return Needle{-stop, LeftStop}, ok || division < -c.StopDivision
	}
	return Needle{Code: code}, ok
}

// CellNeedle is where the needle stands in the cell position with a cell that
// has cellVolt under load, and whether that is clear of a rounding edge:
//
//	division = CellLineDivision + (cellVolt - GoodCellVolt)/CellVoltPerDivision
//
// The mechanical zero shifts it like any other reading.
func (c *Checker) CellNeedle(cellVolt float64) (Needle, bool) {
	d := c.CellLineDivision + (cellVolt-c.GoodCellVolt)/c.CellVoltPerDivision
	return c.Needle(d + c.RestDivision)
}

// CellUnderLoad gives the cell's volts under load and whether the cell is good:
//
//	U = CellVolt - CellOhm CellLoadMilliamp
//
// good from GoodCellVolt upwards, that value included.
func (c *Checker) CellUnderLoad() (volt float64, good bool) {
	volt = c.cellVolt()
	return volt, volt >= c.GoodCellVolt
}

func (c *Checker) cellVolt() float64 {
	return c.CellVolt - float64(c.CellOhm*c.CellLoadMilliamp*1e-3)
}

// roundClear rounds to the nearest whole number and says whether v is clear
// of the middle between two by more than [Edge]. Values beyond two thousand
// million are cut there; NaN gives 0, false.
func roundClear(v float64) (int, bool) {
	const far = 2e9
	switch {
	case v != v:
		return 0, false
	case v > far:
		return far, true
	case v < -far:
		return -far, true
	}
	whole := math.Floor(v)
	part := v - whole
	code := int(whole)
	if part >= 0.5 {
		code++
	}
	return code, math.Abs(part-0.5) > Edge
}

// clip is a deflection as the stops leave it.
func (c *Checker) clip(division float64) float64 {
	return min(max(division, -c.StopDivision), c.StopDivision)
}
