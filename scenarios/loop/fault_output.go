package loop

func outputFaults() []Fault {
	const span = "% of span"
	valve := []Caution{PermitAndManual, RecordFirst, SettleEachPoint, BackInService}
	return []Fault{
		{
			Name: "controller-output-off", Group: GroupOutput, Sizes: eitherSide("zero error", span, 0.3, 5),
			Does:   "shifts the controller's output",
			Shows:  "current, air and stroke shifted alike",
			Remedy: "trim the controller's output", Cautions: valve,
			Simulated: []string{"out_ctrl_zero"},
			output:    onOutput(func(o *OutputParams, s float64) { o.Controller.Zero += share(s) }),
		},
		{
			Name: "ip-zero", Group: GroupOutput, Sizes: eitherSide("zero error", span, 0.3, 10),
			Does:   "shifts the converter's air",
			Shows:  "current right, air and stroke shifted alike",
			Remedy: "set the converter's zero at 4 mA", Cautions: valve,
			Simulated: []string{"out_ip_zero"},
			output:    onOutput(func(o *OutputParams, s float64) { o.IP.Zero += share(s) }),
		},
		{
			Name: "ip-span", Group: GroupOutput, Sizes: eitherSide("span error", span, 0.3, 10),
			Does:   "changes the converter's gain",
			Shows:  "current right, air right at 0 % and further off the higher the point",
			Remedy: "set the converter's span at 20 mA after its zero", Cautions: valve,
			Simulated: []string{"out_ip_span"},
			output:    onOutput(func(o *OutputParams, s float64) { o.IP.Span += share(s) }),
		},
		{
			Name: "positioner-zero", Group: GroupOutput, Sizes: eitherSide("zero error", "% of stroke", 0.3, 10),
			Does:   "shifts the stroke",
			Shows:  "current and air right, stroke shifted alike",
			Remedy: "set the positioner's zero at 20 kPa", Cautions: valve,
			Simulated: []string{"out_positioner_zero"},
			output:    onOutput(func(o *OutputParams, s float64) { o.Positioner.Zero += share(s) }),
		},
		{
			Name: "positioner-span", Group: GroupOutput, Sizes: eitherSide("span error", "% of stroke", 0.3, 10),
			Does:   "changes the stroke's gain",
			Shows:  "current and air right, stroke further off the higher the point",
			Remedy: "set the positioner's span at 100 kPa after its zero", Cautions: valve,
			Simulated: []string{"out_positioner_span"},
			output:    onOutput(func(o *OutputParams, s float64) { o.Positioner.Span += share(s) }),
		},
		{
			Name: "low-air", Group: GroupOutput, Sizes: one("supply air", "kPa", 25, 95),
			Does:   "lets the converter give no more than its supply air",
			Shows:  "air and stroke right up to a point, then flat",
			Remedy: "mend the air supply or its regulator", Cautions: valve,
			Simulated: []string{"out_low_air"},
			output:    onOutput(func(o *OutputParams, s float64) { o.IP.AirKilopascal = s }),
		},
		{
			Name: "coil-open", Group: GroupOutput,
			Does:   "opens the converter's coil",
			Shows:  "no current, all of the controller's volts at the coil, no air above the converter's rest",
			Remedy: "replace the converter", Cautions: append([]Caution{OpeningTheLoop}, valve...),
			Simulated: []string{"out_coil_open"},
			output:    onOutput(func(o *OutputParams, _ float64) { o.IP.CoilOhm = openOhm }),
		},
		{
			Name: "coil-shorted", Group: GroupOutput, Sizes: one("resistance across the coil", "ohm", 1, 5000),
			Does:   "leads part of the current past the coil",
			Shows:  "current right, volts at the coil, air and stroke low",
			Remedy: "clear the short or replace the converter", Cautions: append([]Caution{OpeningTheLoop}, valve...),
			Simulated: []string{"out_coil_partial_short"},
			output:    onOutput(func(o *OutputParams, s float64) { o.IP.AcrossOhm = s }),
		},
		{
			Name: "output-overloaded", Group: GroupOutput, Sizes: one("more resistance", "ohm", 100, 5000),
			Does:   "adds resistance to the controller's load",
			Shows:  "right up to a point, then one current whatever is asked: a flat top",
			Remedy: "clean the terminal, or take burden off the output", Cautions: append([]Caution{OpeningTheLoop}, valve...),
			Simulated: []string{"out_overload"},
			output:    onOutput(func(o *OutputParams, s float64) { o.Wiring.TerminalOhm += s }),
		},
	}
}
