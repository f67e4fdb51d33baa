package scenarios

import "loopdrill/scenarios/unit"

func in(d ...unit.Dimension) []unit.Dimension { return d }

var (
	electricCurrent = in(unit.Current)
	electricVolts   = in(unit.Voltage)
	electricOhms    = in(unit.Resistance)
	ofSpan          = in(unit.PercentOfSpan)
	scaleDivisions  = in(unit.Scale)
	measured        = in(unit.Pressure, unit.Temperature, unit.Length, unit.VolumeFlow, unit.MassFlow)
	gauged          = append(in(unit.Current, unit.Voltage, unit.Resistance), measured...)
	shown           = in(unit.Pressure, unit.Temperature, unit.Length, unit.VolumeFlow, unit.MassFlow, unit.Volume, unit.Mass, unit.Percent)
)

// PlantFile describes plants/NAME.yaml.
var PlantFile = &Record{
	Name: "plant",
	Says: "A plant file, plants/NAME.yaml, says which loops a fictional plant has and which checker its technicians carry",
	Keys: []Key{
		{Name: "plant", Type: TypeID, Required: true, Example: "tarnholt", Says: "the id of the plant; the file is named after it"},
		{Name: "name", Type: TypeText, Required: true, Example: "Tarnholt Starch Works", Says: "the plant's name, as printed"},
		{Name: "makes", Type: TypeText, Required: true, Example: "potato starch and glucose syrup", Says: "what it makes"},
		{Name: "checker", Type: TypeBlock, Of: CheckerKeys, Says: "the plant's portable null-balance checker; what is left out is as in the table below"},
		{Name: "loops", Type: TypeBlocks, Required: true, Of: LoopKeys, Example: "a list", Says: "the signal loops, one block each"},
		{Name: "outputs", Type: TypeBlocks, Of: OutputKeys, Otherwise: "the plant has no output loop", Example: "a list", Says: "the output loops, one block each: what drives a valve"},
		{Name: "faults", Type: TypeBlocks, Of: FaultKeys, Otherwise: "all sizes that a fault can have are drawn", Example: "a list", Says: "how large faults are drawn, one block for each fault"},
		{Name: "standards", Type: TypeBlocks, Of: StandardKeys, Otherwise: "the plant has no test instruments of its own", Example: "a list", Says: "the test instruments that give or measure the known input of a check, one block each"},
	},
}

// CheckerKeys describes the block "checker".
var CheckerKeys = &Record{
	Name: "checker",
	Says: "The checker compares a loop's current, through its own resistor, with a reference that its cell feeds through a regulator",
	Keys: []Key{
		{Name: "id", Type: TypeText, Default: "checker", Example: "NB-1", Says: "what the plant calls it, as printed"},
		{Name: "accuracy", Type: TypeQuantity, Units: ofSpan, Low: "0.01 %span", High: "5 %span", Otherwise: "not given, and exercises about the uncertainty of a check cannot use this plant", Example: "0.1 %span", Says: "the expanded uncertainty (k = 2) of a reading, of the signal's span"},
		{Name: "due", Type: TypeDate, Low: "2000-01-01", High: "2099-12-31", Otherwise: "not given", Example: "2028-03-31", Says: "the day on which its next calibration is due"},
		{Name: "resistor", Type: TypeQuantity, Units: electricOhms, Default: "250 ohm", Low: "1 ohm", High: "1000 ohm", Example: "250 ohm", Says: "its own resistor, which the loop current runs through; 250 ohm makes 1-5 V of 4-20 mA"},
		{Name: "cell", Type: TypeBlock, Of: CellKeys, Says: "its cell"},
		{Name: "regulator", Type: TypeBlock, Of: RegulatorKeys, Says: "the regulator between cell and reference"},
		{Name: "movement", Type: TypeBlock, Of: MovementKeys, Says: "the centre-zero movement and its face"},
	},
}

// StandardKeys describes one test instrument of a plant.
var StandardKeys = &Record{
	Name:    "standard",
	Example: "{id: gauge-2, name: test gauge, range: 0..40 kPa, accuracy: 0.05 %span, due: 2028-03-31}",
	Says:    "A test instrument of a plant, such as a test gauge, a temperature block or a decade box",
	Keys: []Key{
		{Name: "id", Type: TypeID, Required: true, Example: "gauge-2", Says: "what it is called here, once in the plant"},
		{Name: "name", Type: TypeText, Required: true, Example: "test gauge, workshop shelf 2", Says: "its name in words, as printed"},
		{Name: "range", Type: TypeRange, Required: true, Units: gauged, Example: "0..40 kPa", Says: "what it measures or gives, lower end first"},
		{Name: "accuracy", Type: TypeQuantity, Required: true, Units: ofSpan, Low: "0.001 %span", High: "5 %span", Example: "0.05 %span", Says: "its expanded uncertainty (k = 2), of the span of its own range"},
		{Name: "due", Type: TypeDate, Required: true, Low: "2000-01-01", High: "2099-12-31", Example: "2028-03-31", Says: "the day on which its next calibration is due"},
	},
}

// CellKeys describes the block "cell" of a checker.
var CellKeys = &Record{
	Name: "cell",
	Says: "The cell of a checker",
	Keys: []Key{
		{Name: "voltage", Type: TypeQuantity, Units: electricVolts, Default: "9 V", Low: "1 V", High: "50 V", Example: "9 V", Says: "without load, when fresh"},
		{Name: "resistance", Type: TypeQuantity, Units: electricOhms, Default: "2 ohm", Low: "0 ohm", High: "1000 ohm", Example: "2 ohm", Says: "inside it"},
		{Name: "load", Type: TypeQuantity, Units: electricCurrent, Default: "10 mA", Low: "0 mA", High: "1 A", Example: "10 mA", Says: "what the checker draws from it"},
		{Name: "good", Type: TypeQuantity, Units: electricVolts, Default: "6.6 V", Low: "0.5 V", High: "50 V", Example: "6.6 V", Says: "a cell with at least this under load is good; the cell line of the face stands here"},
	},
}

// RegulatorKeys describes the block "regulator" of a checker.
var RegulatorKeys = &Record{
	Name: "regulator",
	Says: "The regulator of a checker; when the cell falls below voltage plus drop_out, every reference falls with it",
	Keys: []Key{
		{Name: "voltage", Type: TypeQuantity, Units: electricVolts, Default: "6 V", Low: "0.5 V", High: "50 V", Example: "6 V", Says: "what it gives"},
		{Name: "drop_out", Type: TypeQuantity, Units: electricVolts, Default: "0.6 V", Low: "0 V", High: "10 V", Example: "0.6 V", Says: "what it needs above that"},
	},
}

// MovementKeys describes the block "movement" of a checker.
var MovementKeys = &Record{
	Name: "movement",
	Says: "The movement of a checker, and its face: zero in the middle, the same number of divisions to each side",
	Keys: []Key{
		{Name: "divisions", Type: TypeWhole, Default: "10", Low: "4", High: "20", Example: "10", Says: "to each side of the centre, up to the stop"},
		{Name: "small_marks", Type: TypeWhole, Default: "5", Low: "1", High: "10", Example: "5", Says: "small marks in a division; on paper at most 58 of them are told apart on each side of the centre"},
		{Name: "per_division", Type: TypeQuantity, Units: ofSpan, Default: "0.5 %span", Low: "0.05 %span", High: "10 %span", Example: "0.5 %span", Says: "the error that moves the needle by one division"},
		{Name: "cell_line", Type: TypeQuantity, Units: scaleDivisions, Default: "4 divisions", Low: "0 divisions", High: "20 divisions", Example: "4 divisions", Says: "where the line of a good cell stands, to the right of the centre"},
		{Name: "cell_per_division", Type: TypeQuantity, Units: electricVolts, Default: "0.1 V", Low: "1 mV", High: "5 V", Example: "0.1 V", Says: "what a division means in the cell position"},
	},
}

// LoopKeys describes one loop of a plant.
var LoopKeys = &Record{
	Name: "loop",
	Says: "A loop of a plant: a transmitter that senses, a receiver that shows, a supply and two wires",
	Keys: []Key{
		{Name: "tag", Type: TypeTag, Required: true, Example: "LT-2104", Says: "identification letters and number of the transmitter, in the manner of ISA-5.1: the first letter for what is measured (F flow, L level, P pressure, T temperature), T for transmitter"},
		{Name: "service", Type: TypeText, Required: true, Example: "level of the wash water tank", Says: "what it measures, in words that can follow \"the\""},
		{Name: "kind", Type: TypeChoice, Required: true, Words: []string{"level", "flow", "pressure", "temperature"}, Example: "level", Says: "what it measures, in one word"},
		{Name: "input", Type: TypeRange, Required: true, Units: measured, Example: "0..25 kPa", Says: "the range of what the transmitter senses, lower end first; the lower end may be negative"},
		{Name: "shows", Type: TypeRange, Units: shown, Otherwise: "the same as input", Example: "0..2.5 m", Says: "the range of what the receiver shows, lower end first"},
		{Name: "signal", Type: TypeChoice, Default: "4-20 mA", Words: []string{"4-20 mA", "1-5 V", "20-100 kPa", "3-15 psi"}, Example: "4-20 mA", Says: "the live-zero signal; 20-100 kPa and 3-15 psi are two signals, not one in two units"},
		{Name: "action", Type: TypeChoice, Default: "direct", Words: []string{"direct", "reverse"}, Example: "reverse", Says: "a reverse-acting transmitter sends its live zero at the upper end of its input"},
		{Name: "root", Type: TypeChoice, Default: "none", Words: []string{"none", "transmitter", "receiver"}, Example: "receiver", Says: "where the square root of a differential-pressure flow loop is taken"},
		{Name: "sensor", Type: TypeChoice, Otherwise: "not given, and exercises about temperature inputs cannot use this loop", Words: []string{string(Pt100), string(ThermocoupleJ), string(ThermocoupleK), string(ThermocoupleT)}, Example: "Pt100", Says: "what a temperature transmitter is connected to: a Pt100 after IEC 60751, or a thermocouple by its type"},
		{Name: "tolerance", Type: TypeQuantity, Required: true, Units: ofSpan, Low: "0.01 %span", High: "20 %span", Example: "0.5 %span", Says: "the greatest error permitted"},
		{Name: "adjust_at", Type: TypeQuantity, Units: ofSpan, Low: "0.01 %span", High: "20 %span", Otherwise: "the same as tolerance", Example: "0.3 %span", Says: "the site adjusts a transmitter that is out by more than this; often tighter than the tolerance"},
		{Name: "supply", Type: TypeBlock, Of: SupplyKeys, Says: "the direct-current supply"},
		{Name: "wiring", Type: TypeBlock, Of: WiringKeys, Says: "the two conductors"},
		{Name: "transmitter", Type: TypeBlock, Of: TransmitterKeys, Says: "the transmitter"},
		{Name: "receiver", Type: TypeBlock, Of: ReceiverKeys, Says: "the receiver"},
	},
}

// OutputKeys describes one output loop of a plant.
var OutputKeys = &Record{
	Name: "output",
	Says: "An output loop of a plant: a controller's output of 4-20 mA drives a converter, whose air drives the positioner of a valve",
	Keys: []Key{
		{Name: "tag", Type: TypeTag, Required: true, Example: "FV-2106", Says: "identification letters and number of the valve, in the manner of ISA-5.1: the first letter for what is controlled, V for valve (or Z for another final element, Y for the converter)"},
		{Name: "service", Type: TypeText, Required: true, Example: "flow of wash water", Says: "what it controls, in words that can follow \"the\""},
		{Name: "controller", Type: TypeBlock, Of: ControllerKeys, Says: "the controller's output"},
		{Name: "wiring", Type: TypeBlock, Of: WiringKeys, Says: "the two conductors to the converter"},
		{Name: "converter", Type: TypeBlock, Of: ConverterKeys, Says: "the current-to-air converter"},
		{Name: "positioner", Type: TypeBlock, Of: PositionerKeys, Says: "the positioner of the valve"},
	},
}

// ControllerKeys describes the block "controller" of an output loop.
var ControllerKeys = &Record{
	Name: "controller",
	Says: "The output of a controller: it sends its current as long as its volts suffice",
	Keys: []Key{
		{Name: "voltage", Type: TypeQuantity, Units: electricVolts, Default: "20 V", Low: "1 V", High: "60 V", Example: "20 V", Says: "the most that it gives"},
		{Name: "resistance", Type: TypeQuantity, Units: electricOhms, Default: "50 ohm", Low: "0 ohm", High: "2 kohm", Example: "50 ohm", Says: "inside it, once it gives all its volts"},
		{Name: "low", Type: TypeQuantity, Units: electricCurrent, Default: "0 mA", Low: "0 mA", High: "4 mA", Example: "3.8 mA", Says: "the lowest current that it sends"},
		{Name: "high", Type: TypeQuantity, Units: electricCurrent, Default: "22 mA", Low: "20 mA", High: "24 mA", Example: "20.5 mA", Says: "the highest current that it sends"},
	},
}

// ConverterKeys describes the block "converter" of an output loop.
var ConverterKeys = &Record{
	Name: "converter",
	Says: "The converter of an output loop makes air of 20-100 kPa from 4-20 mA",
	Keys: []Key{
		{Name: "coil", Type: TypeQuantity, Units: electricOhms, Default: "170 ohm", Low: "1 ohm", High: "5 kohm", Example: "170 ohm", Says: "the resistance between its terminals"},
		{Name: "air", Type: TypeQuantity, Units: in(unit.Pressure), Default: "140 kPa", Low: "20 kPa", High: "1000 kPa", Example: "140 kPa", Says: "its supply air; its output cannot rise above it"},
		{Name: "output", Type: TypeChoice, Default: "20-100 kPa", Words: []string{"20-100 kPa"}, Example: "20-100 kPa", Says: "its air signal; output loops have this one alone"},
	},
}

// PositionerKeys describes the block "positioner" of an output loop.
var PositionerKeys = &Record{
	Name: "positioner",
	Says: "The positioner of a valve takes its stem from 0 to 100 % of the stroke while the air goes from 20 to 100 kPa",
	Keys: []Key{
		{Name: "stroke", Type: TypeQuantity, Units: in(unit.Length), Low: "5 mm", High: "500 mm", Otherwise: "the stroke is told in percent alone", Example: "40 mm", Says: "the whole travel of the stem"},
	},
}

// SupplyKeys describes the block "supply" of a loop.
var SupplyKeys = &Record{
	Name: "supply",
	Says: "The supply of a loop",
	Keys: []Key{
		{Name: "voltage", Type: TypeQuantity, Units: electricVolts, Default: "24 V", Low: "1 V", High: "60 V", Example: "24 V", Says: "without load"},
		{Name: "resistance", Type: TypeQuantity, Units: electricOhms, Default: "5 ohm", Low: "0 ohm", High: "2 kohm", Example: "5 ohm", Says: "inside it"},
		{Name: "limit", Type: TypeQuantity, Units: electricCurrent, Low: "1 mA", High: "1 A", Otherwise: "no limit", Example: "100 mA", Says: "where it limits the current"},
	},
}

// WiringKeys describes the block "wiring" of a loop.
var WiringKeys = &Record{
	Name: "wiring",
	Says: "The two conductors of a loop or of an output loop, given by their resistances or by their cable",
	Keys: []Key{
		{Name: "out", Type: TypeQuantity, Units: electricOhms, Default: "20 ohm", Low: "0 ohm", High: "5 kohm", Example: "20 ohm", Says: "from the supply to the transmitter, or from the controller to the converter, this conductor alone"},
		{Name: "return", Type: TypeQuantity, Units: electricOhms, Default: "20 ohm", Low: "0 ohm", High: "5 kohm", Example: "20 ohm", Says: "from the transmitter to the receiver, or from the converter back to the controller, this conductor alone"},
		{Name: "cable", Type: TypeBlock, Of: CableKeys, Otherwise: "out and return hold", Instead: []string{"out", "return"}, Says: "the cable; the resistance of each conductor is then computed"},
	},
}

// CableKeys describes the block "cable" of a wiring. The area has its own
// check, against the sizes that package cable knows.
var CableKeys = &Record{
	Name: "cable",
	Says: "A copper cable with two conductors, each taken at the greatest resistance that IEC 60228 permits (class 2, plain), or at the nominal one of its wire gauge (solid), warmed by 0.4 % per degree above 20 °C",
	Keys: []Key{
		{Name: "length", Type: TypeQuantity, Required: true, Units: in(unit.Length), Low: "1 m", High: "10 km", Example: "850 m", Says: "of the cable, one way; both conductors are counted"},
		{Name: "area", Type: TypeQuantity, Required: true, Units: in(unit.Area), Example: "1 mm2", Says: "nominal cross-section of a conductor, one of " + cableSizes()},
		{Name: "awg", Type: TypeWhole, Low: "10", High: "24", Otherwise: "area holds", Instead: []string{"area"}, Example: "18", Says: "size of a conductor in the American wire gauge, one of " + gaugeSizes()},
		{Name: "temperature", Type: TypeQuantity, Units: in(unit.Temperature), Default: "20 °C", Low: "5 °C", High: "90 °C", Example: "35 °C", Says: "of the conductors"},
	},
}

// TransmitterKeys describes the block "transmitter" of a loop.
var TransmitterKeys = &Record{
	Name: "transmitter",
	Says: "The two-wire transmitter of a loop",
	Keys: []Key{
		{Name: "lift_off", Type: TypeQuantity, Units: electricVolts, Default: "10.5 V", Low: "1 V", High: "50 V", Example: "10.5 V", Says: "the least volts between its terminals with which it can send its highest current"},
		{Name: "low", Type: TypeQuantity, Units: electricCurrent, Default: "3.8 mA", Low: "3 mA", High: "4 mA", Example: "3.8 mA", Says: "the lowest current that it sends in service"},
		{Name: "high", Type: TypeQuantity, Units: electricCurrent, Default: "20.5 mA", Low: "20 mA", High: "24 mA", Example: "20.5 mA", Says: "the highest current that it sends in service"},
	},
}

// ReceiverKeys describes the block "receiver" of a loop.
var ReceiverKeys = &Record{
	Name: "receiver",
	Says: "The receiver of a loop",
	Keys: []Key{
		{Name: "resistor", Type: TypeQuantity, Units: electricOhms, Default: "250 ohm", Low: "1 ohm", High: "2 kohm", Example: "250 ohm", Says: "the precision resistor across its terminals"},
		{Name: "impedance", Type: TypeQuantity, Units: electricOhms, Default: "1 Mohm", Low: "1 kohm", High: "1000 Mohm", Example: "1 Mohm", Says: "of its reading circuit, beside that resistor"},
	},
}
