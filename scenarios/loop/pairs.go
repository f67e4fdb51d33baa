package loop

import "strings"

// Pairs lists the named pairs of faults, two at once, that an exercise may set
// or must rule out. Not every pair of faults makes sense to find, and most
// pairs hide one another; these are the ones met at the bench:
//
//   - a fault of the checker in front of a fault of the transmitter, which
//     makes an apprentice adjust a good transmitter, or the wrong way;
//   - two causes of a flat top that are each too small alone;
//   - a fault at either end of the loop.
func Pairs() []Fault {
	return []Fault{
		pair("weak-cell", "low-zero", "combo_weakcell_zero"),
		pair("weak-cell", "span-low", ""),
		pair("mechanical-zero-off", "low-zero", ""),
		pair("mechanical-zero-off", "span-high", ""),
		pair("low-supply", "corroded-terminal", ""),
		pair("low-supply", "moisture-across-transmitter", "combo_lowsupply_leak"),
		pair("high-zero", "drifted-resistor", ""),
		pair("high-zero", "receiver-zero", ""),
		pair("non-linearity", "low-zero", ""),
	}
}

// pair makes one fault of two, each with one size.
func pair(first, second, simulated string) Fault {
	var a, b Fault
	for _, f := range Faults() {
		switch f.Name {
		case first:
			a = f
		case second:
			b = f
		}
	}
	f := Fault{
		Name:   first + "+" + second,
		Group:  a.Group,
		Does:   a.Does + "; and " + b.Does,
		Sizes:  []Size{a.Sizes[0], b.Sizes[0]},
		Shows:  "both: " + a.Shows + "; " + b.Shows,
		Remedy: a.Remedy + "; then " + b.Remedy,
		Parts:  []string{first, second},
		input: func(p *Params, x, y float64) {
			a.input(p, x, 0)
			b.input(p, y, 0)
		},
	}
	seen := map[Caution]bool{}
	for _, c := range append(append([]Caution(nil), a.Cautions...), b.Cautions...) {
		if !seen[c] {
			seen[c] = true
			f.Cautions = append(f.Cautions, c)
		}
	}
	if simulated != "" {
		f.Simulated = strings.Fields(simulated)
	}
	return f
}
