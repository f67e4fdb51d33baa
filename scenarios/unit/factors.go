package unit

import "loopdrill/scenarios/formula"

// entry is one unit of the table.
type entry struct {
	Unit
	// factor carries a value into the coherent SI unit of the dimension, to
	// which offset is then added; offset is 0 for all but temperatures.
	factor, offset formula.Value
	aliases        []string
}

func exact(n, d int64) formula.Value { return formula.Ratio(n, d) }

// psi is lbf/in²: 0.453 592 37 kg × 9.806 65 m/s² / (0.0254 m)², exact
// (SP 811, footnotes to Appendix B: pound, standard gravity and inch are
// exact by definition). Printed there as 6.894 757 E+03.
var psi = exact(45359237*980665, 64516*100000)

// table holds the units in the order in which a message lists them. Values in
// parentheses are printed in NIST Special Publication 811 (2008), Appendix B;
// factors marked exact are exact by definition of the unit, the others are
// exactly the printed figure.
var table = []entry{
	// Electrical, SI prefixes: exact.
	u("mA", "mA", Current, exact(1, 1000), "milliamp", "milliamps"),
	u("A", "A", Current, exact(1, 1), "amp", "amps"),
	u("uA", "µA", Current, exact(1, 1000000), "µA", "μA"),
	u("V", "V", Voltage, exact(1, 1), "volt", "volts"),
	u("mV", "mV", Voltage, exact(1, 1000)),
	u("ohm", "Ω", Resistance, exact(1, 1), "ohms", "Ω", "\u2126"),
	u("kohm", "kΩ", Resistance, exact(1000, 1), "kΩ", "k\u2126"),
	u("Mohm", "MΩ", Resistance, exact(1000000, 1), "MΩ", "M\u2126"),

	// Pressure. bar and kgf/cm² are exact.
	u("kPa", "kPa", Pressure, exact(1000, 1)),
	u("Pa", "Pa", Pressure, exact(1, 1)),
	u("MPa", "MPa", Pressure, exact(1000000, 1)),
	u("bar", "bar", Pressure, exact(100000, 1)),
	u("mbar", "mbar", Pressure, exact(100, 1)),
	u("psi", "psi", Pressure, psi),
	u("kgf/cm2", "kgf/cm²", Pressure, exact(980665, 10), "kgf/cm²", "kg/cm2"),
	// Conventional millimetre of mercury: 13 595.1 kg/m³ × 9.806 65 m/s² ×
	// 1 mm (1.333 224 E+02); the inch is 25.4 of them (3.386 389 E+03).
	u("mmHg", "mmHg", Pressure, exact(133322387415, 1000000000)),
	u("inHg", "inHg", Pressure, exact(133322387415*254, 10000000000)),
	// Conventional water column: 1000 kg/m³ × 9.806 65 m/s² × height
	// (2.490 889 E+02 an inch, 9.806 65 E+00 a millimetre).
	u("inH2O(conv)", "inH₂O (conventional)", Pressure, exact(24908891, 100000), "inH2O", "inH₂O", "inH₂O(conv)"),
	u("mmH2O(conv)", "mmH₂O (conventional)", Pressure, exact(980665, 100000), "mmH2O", "mmH₂O", "mmH₂O(conv)"),
	// Water at 4 °C (39.2 °F): 2.490 82 E+02 an inch, 9.806 38 E+01 a
	// centimetre; water at 60 °F: 2.4884 E+02 an inch. There is no
	// millimetre at 60 °F in SP 811; it is the inch over 25.4.
	u("inH2O(4C)", "inH₂O (4 °C)", Pressure, exact(249082, 1000), "inH₂O(4C)", "inH2O(39.2F)"),
	u("mmH2O(4C)", "mmH₂O (4 °C)", Pressure, exact(980638, 100000), "mmH₂O(4C)"),
	u("inH2O(60F)", "inH₂O (60 °F)", Pressure, exact(24884, 100), "inH₂O(60F)"),
	u("mmH2O(60F)", "mmH₂O (60 °F)", Pressure, exact(24884*10, 100*254), "mmH₂O(60F)"),

	// Temperature as a point: T/K = t/°C + 273.15 = (t/°F + 459.67)/1.8, exact.
	deg("°C", "°C", exact(1, 1), exact(27315, 100), "C", "degC"),
	deg("°F", "°F", exact(5, 9), exact(45967, 180), "F", "degF"),
	deg("K", "K", exact(1, 1), exact(0, 1)),

	// Length and area: the inch is 25.4 mm, exact.
	u("m", "m", Length, exact(1, 1)),
	u("cm", "cm", Length, exact(1, 100)),
	u("mm", "mm", Length, exact(1, 1000)),
	u("km", "km", Length, exact(1000, 1)),
	u("in", "in", Length, exact(254, 10000), "inch", "inches"),
	u("ft", "ft", Length, exact(3048, 10000), "foot", "feet"),
	u("mm2", "mm²", Area, exact(1, 1000000), "mm²"),
	u("m2", "m²", Area, exact(1, 1), "m²"),

	// The US gallon is 231 in³ and the pound 0.453 592 37 kg, exact.
	u("m3", "m³", Volume, exact(1, 1), "m³"),
	u("L", "L", Volume, exact(1, 1000), "l", "litre", "litres", "liter", "liters"),
	u("gal(US)", "gal (US)", Volume, exact(3785411784, 1000000000000), "gal"),
	u("kg", "kg", Mass, exact(1, 1)),
	u("t", "t", Mass, exact(1000, 1)),
	u("lb", "lb", Mass, exact(45359237, 100000000), "lbs"),

	// Flow.
	u("m3/h", "m³/h", VolumeFlow, exact(1, 3600), "m³/h"),
	u("m3/s", "m³/s", VolumeFlow, exact(1, 1), "m³/s"),
	u("L/min", "L/min", VolumeFlow, exact(1, 60000), "l/min"),
	u("L/s", "L/s", VolumeFlow, exact(1, 1000), "l/s"),
	u("L/h", "L/h", VolumeFlow, exact(1, 3600000), "l/h"),
	u("gpm(US)", "gal/min (US)", VolumeFlow, exact(3785411784, 60*1000000000000), "gpm", "gal/min"),
	u("kg/h", "kg/h", MassFlow, exact(1, 3600)),
	u("kg/s", "kg/s", MassFlow, exact(1, 1)),
	u("t/h", "t/h", MassFlow, exact(1000, 3600)),
	u("lb/h", "lb/h", MassFlow, exact(45359237, 3600*100000000)),

	// Time.
	u("s", "s", Time, exact(1, 1)),
	u("min", "min", Time, exact(60, 1), "minutes"),
	u("h", "h", Time, exact(3600, 1), "hours"),
	u("d", "d", Time, exact(86400, 1), "day", "days"),

	// Percentages. Of what is said by the name; % alone is of the range that
	// the sentence names.
	u("%", "%", Percent, exact(1, 1), "percent"),
	u("%span", "% of span", PercentOfSpan, exact(1, 1), "% of span", "%ofspan", "% span"),

	// A division of a checker's face.
	u("divisions", "divisions", Scale, exact(1, 1), "division", "div"),
}

func u(key, symbol string, d Dimension, factor formula.Value, aliases ...string) entry {
	return entry{Unit: Unit{Symbol: symbol, Dimension: d, key: key}, factor: factor, aliases: aliases}
}

func deg(key, symbol string, factor, offset formula.Value, aliases ...string) entry {
	e := u(key, symbol, Temperature, factor, aliases...)
	e.offset = offset
	return e
}

var byName = func() map[string]int {
	m := map[string]int{}
	for i, e := range table {
		for _, name := range append([]string{e.key}, e.aliases...) {
			if _, twice := m[name]; twice {
				panic("unit: name used twice: " + name)
			}
			m[name] = i
		}
	}
	return m
}()

// All lists the units, in the order in which messages list them.
func All() []Unit {
	out := make([]Unit, len(table))
	for i, e := range table {
		out[i] = e.Unit
	}
	return out
}

// Spellings lists every name that a unit of a dimension can be written with:
// its own, then the others.
func Spellings(d Dimension) []string {
	var out []string
	for _, e := range table {
		if e.Dimension == d {
			out = append(append(out, e.key), e.aliases...)
		}
	}
	return out
}

// Lookup finds a unit by the name it has in a scenario or by another spelling
// of it ("Ω" for "ohm", "gpm" for "gpm(US)"). Capitals matter: mPa is not MPa.
// A water column without a temperature is the conventional one.
func Lookup(name string) (Unit, bool) {
	i, ok := byName[name]
	if !ok {
		return Unit{}, false
	}
	return table[i].Unit, true
}

// Must is [Lookup] for names written in the program itself.
func Must(name string) Unit {
	x, ok := Lookup(name)
	if !ok {
		panic("unit: no unit " + name)
	}
	return x
}

func factorOf(x Unit) entry {
	if i, ok := byName[x.key]; ok {
		return table[i]
	}
	return entry{factor: formula.Int(1)}
}
