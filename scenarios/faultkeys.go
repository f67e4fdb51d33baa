package scenarios

import (
	"loopdrill/scenarios/loop"
	"loopdrill/scenarios/unit"
)

// FaultKeys describes one block of the list "faults" of a plant.
var FaultKeys = &Record{
	Name:    "fault",
	Says:    "How large a fault is drawn in a plant, where that shall be less than all sizes that the fault can have (the table of faults below)",
	Example: "{fault: low-zero, size: 0.5..3 %span}",
	Absent:  insteadOfFaults(),
	Keys: []Key{
		{Name: "fault", Type: TypeChoice, Required: true, Words: faultNames(), Example: "low-zero", Says: "the name of the fault"},
		{Name: "loops", Type: TypeTags, Otherwise: "every loop that no other block names for this fault", Example: "[LT-2104]", Says: "the loops of this plant in which it is drawn so"},
		{Name: "outputs", Type: TypeTags, Otherwise: "every output loop that no other block names for this fault", Example: "[FV-2106]", Says: "the output loops of this plant in which it is drawn so"},
		{Name: "size", Type: TypeRange, Units: sized, Otherwise: "sizes holds", Example: "0.5..3 %span", Says: "the least and the greatest size, inside those that the fault can have; a percentage of something else than span is written with a plain %"},
		{Name: "sizes", Type: TypeRanges, Units: sized, Otherwise: "size holds", Instead: []string{"size"}, Example: "[0.5..2 %span, -3..3 %span]", Says: "the same for a fault with two sizes, in the order of the table of faults"},
	},
}

// insteadOfFaults answers what one would first write: a fault as a key.
func insteadOfFaults() map[string]string {
	out := map[string]string{
		"name": "the key is called fault: \"fault: low-zero\"",
		"loop": "write it as a list: \"loops: [LT-2104]\"",
	}
	for _, name := range faultNames() {
		out[name] = "the name of a fault stands behind the key \"fault\": \"- {fault: " + name + ", size: ...}\""
	}
	return out
}

// sized are the dimensions of the sizes of faults.
var sized = in(unit.PercentOfSpan, unit.Percent, unit.Resistance, unit.Voltage, unit.Current, unit.Scale, unit.Pressure)

// faultNames lists the faults of scenarios/loop, single ones first.
func faultNames() []string {
	var out []string
	for _, list := range [][]loop.Fault{loop.Faults(), loop.Pairs()} {
		for _, f := range list {
			out = append(out, f.Name)
		}
	}
	return out
}
