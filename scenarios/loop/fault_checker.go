package loop

// onChecker makes a change of the checker in an input loop and in an output loop.
func onChecker(change func(c *Checker, size float64)) (func(*Params, float64, float64), func(*OutputParams, float64, float64)) {
	return func(p *Params, a, _ float64) { change(&p.Checker, a) },
		func(o *OutputParams, a, _ float64) { change(&o.Checker, a) }
}

// checkerFault completes a fault of the checker, in whichever loop it stands.
func checkerFault(f Fault, change func(c *Checker, size float64)) Fault {
	f.Group = GroupChecker
	f.input, f.output = onChecker(change)
	return f
}

func checkerFaults() []Fault {
	use := []Caution{CertifiedChecker, PermitAndManual}
	cell := []Caution{CertifiedChecker, CellOutside}
	return []Fault{
		checkerFault(Fault{
			Name: "weak-cell", Sizes: one("cell without load", "V", 2, 6.5),
			Does:   "lets the regulator drop out, so that the reference falls in proportion",
			Shows:  "every good transmitter looks high, in proportion to its signal; the cell check misses its line",
			Remedy: "a new cell of the type that the certificate names; void what was read", Cautions: cell,
			Simulated: []string{"weak_cell", "src_weak_cell"},
		}, func(c *Checker, s float64) { c.CellVolt = s }),
		checkerFault(Fault{
			Name:   "dead-cell",
			Does:   "leaves no reference at all",
			Shows:  "needle on its right stop at every point; the cell check does not move",
			Remedy: "a new cell of the type that the certificate names; void what was read", Cautions: cell,
		}, func(c *Checker, _ float64) { c.CellVolt = 0 }),
		checkerFault(Fault{
			Name: "mechanical-zero-off", Sizes: eitherSide("rests at", "divisions", 0.4, 8),
			Does:   "lets the needle rest off its centre",
			Shows:  "every reading shifted alike, and the needle off its centre with the trigger released",
			Remedy: "set the mechanical zero; take the shift off what was read", Cautions: use,
			Simulated: []string{"meter_mech_zero"},
		}, func(c *Checker, s float64) { c.RestDivision += s }),
		checkerFault(Fault{
			Name:   "ring-on-wrong-point",
			Sizes:  []Size{{"off by", "% of span", []Interval{{-50, -50}, {-25, -25}, {25, 25}, {50, 50}}}},
			Does:   "compares the loop with another point's reference",
			Shows:  "needle on a stop at points of a sound loop",
			Remedy: "set the ring to the point; read again", Cautions: use,
			Simulated: []string{"meter_wrong_point"},
		}, func(c *Checker, s float64) { c.RingShift += share(s) }),
		checkerFault(Fault{
			Name: "test-lead-resistance", Sizes: one("both leads", "ohm", 10, 2000),
			Does:   "adds resistance to the test leads",
			Shows:  "a flat top while the checker is in series; across the receiver, a needle that moves too little",
			Remedy: "new test leads", Cautions: use,
			Simulated: []string{"meter_lead_R", "src_into_shunt_lead_R"},
		}, func(c *Checker, s float64) { c.LeadOhm += s }),
		checkerFault(Fault{
			Name:   "trigger-not-held",
			Does:   "leaves the movement out of circuit",
			Shows:  "a perfect null everywhere, at the neighbouring point too",
			Remedy: "hold the trigger; prove it at the neighbouring point", Cautions: use,
			Simulated: []string{"meter_key_not_pressed"},
		}, func(c *Checker, _ float64) { c.TriggerNotHeld = true }),
		checkerFault(Fault{
			Name: "checker-resistor-drifted", Sizes: eitherSide("drift", "% of its value", 0.15, 5),
			Does:   "changes the checker's own resistor",
			Shows:  "every good transmitter looks off in proportion to its signal; cell good, receiver volts right",
			Remedy: "have the checker calibrated; void what was read since it was last good", Cautions: use,
			Simulated: []string{"meter_resistor_drift"},
		}, func(c *Checker, s float64) { c.ResistorOhm = scaled(c.ResistorOhm, s) }),
		{
			Name: "current-terminals-across-receiver", Group: GroupChecker,
			Does:   "puts the checker's own resistor in parallel with the receiver's",
			Shows:  "receiver volts about halved while it is on, needle hard left",
			Remedy: "current terminals go in series, voltage terminals across", Cautions: use,
			input: onLoop(func(p *Params, _ float64) { p.Checker.Place = CurrentAcrossReceiver }),
		},
		checkerFault(Fault{
			Name:   "crossed-test-leads",
			Does:   "swaps plus and minus at the checker",
			Shows:  "needle hard left at every point, more so the higher the signal",
			Remedy: "swap the leads; read again", Cautions: use,
		}, func(c *Checker, _ float64) { c.LeadsCrossed = true }),
	}
}
