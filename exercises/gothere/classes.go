package gothere

// What the standards fix. All of it is printed on the page or stands in the
// lesson; none of it comes from the nameplate of a real device.

// classLimit is the highest surface temperature of equipment of group II by
// temperature class T1 to T6, °C, at the highest ambient temperature of its
// nameplate. IEC 60079-0, table "Classification of maximum surface temperatures
// for Group II electrical equipment". The surface must stay below the ignition
// temperature of the gas (IEC 60079-14).
var classLimit = [6]int{450, 300, 200, 135, 100, 85}

// Without a range on its nameplate a device is made for -20 to +40 °C
// (IEC 60079-0, normal ambient temperature).
const (
	usualLow  = -20
	usualHigh = 40
)

// groups are the groups of gas, the mildest first. Equipment for a group may be
// used with the gases of the groups before it too (IEC 60079-0). Their place in
// this list, counted from 1, is the rank that workings print.
var groups = [3]string{"IIA", "IIB", "IIC"}

// level is a level of protection of intrinsic safety, the equipment protection
// level that belongs to it, and the zone that asks for at least that (IEC
// 60079-11 and 60079-14). In rank 1 to 3.
type level struct {
	mark, epl string
	zone      int
}

var levels = [3]level{{"ic", "Gc", 2}, {"ib", "Gb", 1}, {"ia", "Ga", 0}}
