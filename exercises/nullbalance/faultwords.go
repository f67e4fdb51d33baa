package nullbalance

import "strings"

// FaultName is a fault's name in words: "low zero". Where the trade writes a
// hyphen it stays.
func FaultName(name string) string {
	switch name {
	case "non-linearity":
		return name
	case "fail-safe-high", "fail-safe-low":
		return "fail-safe " + strings.TrimPrefix(name, "fail-safe-")
	}
	return strings.ReplaceAll(name, "-", " ")
}

// FaultText is what the list of faults says of one, as it is printed: the list
// is read by programs too and writes "ohm", a page writes "Ω" as its other
// figures do.
func FaultText(s string) string { return ohms.Replace(s) }

var ohms = strings.NewReplacer(" Mohm", "\u00a0MΩ", " ohm", "\u00a0Ω", "\u00a0ohm", "\u00a0Ω")
