package loop

func wiringFaults() []Fault {
	return []Fault{
		{
			Name: "open-wire", Group: GroupLoop,
			Does:   "puts 1000 Mohm into the conductor from the supply",
			Shows:  "no current, needle on its left stop, supply volts right, next to none at the transmitter",
			Remedy: "find the break by the drop along the line and mend it", Cautions: opened,
			Simulated: []string{"open_wire"},
			input:     onLoop(func(p *Params, _ float64) { p.Wiring.OutOhm = openOhm }),
		},
		{
			Name: "transmitter-short", Group: GroupLoop, Sizes: one("resistance", "ohm", 0.1, 50),
			Does:   "bridges the transmitter's terminals",
			Shows:  "far too much current at every point, next to no volts at the transmitter",
			Remedy: "clear the short", Cautions: opened,
			Simulated: []string{"tx_short"},
			input:     onLoop(func(p *Params, s float64) { p.Wiring.AcrossTransmitterOhm = s }),
		},
		{
			Name: "receiver-short", Group: GroupLoop, Sizes: one("resistance", "ohm", 0.1, 20),
			Does:   "bridges the receiver's terminals",
			Shows:  "right at the transmitter, next to no volts at the receiver",
			Remedy: "clear the short", Cautions: opened,
			Simulated: []string{"rx_short"},
			input:     onLoop(func(p *Params, s float64) { p.Receiver.ParallelOhm = s }),
		},
		{
			Name: "reversed-leads", Group: GroupLoop,
			Does:   "swaps the leads at the transmitter; a protective diode, if there is one, conducts",
			Shows:  "no current and minus the supply's volts at the transmitter, or with a diode far too much current and about -0.7 V",
			Remedy: "put the leads on as the terminals are marked", Cautions: opened,
			Simulated: []string{"reversed_leads"},
			input:     onLoop(func(p *Params, _ float64) { p.Transmitter.Reversed = true }),
		},
		{
			Name: "corroded-terminal", Group: GroupLoop, Sizes: one("resistance", "ohm", 50, 3000),
			Does:   "adds resistance at the transmitter's plus terminal",
			Shows:  "right up to a point, then one current whatever is asked: a flat top",
			Remedy: "clean and tighten the terminal", Cautions: opened,
			Simulated: []string{"corroded_terminal"},
			input:     onLoop(func(p *Params, s float64) { p.Wiring.TerminalOhm += s }),
		},
		{
			Name: "cable-too-long", Group: GroupLoop, Sizes: one("more in each conductor", "ohm", 20, 1000),
			Does:   "adds the same resistance to both conductors",
			Shows:  "right up to a point, then one current whatever is asked: a flat top",
			Remedy: "larger conductors, a higher supply, or less burden", Cautions: opened,
			Simulated: []string{"overloaded_loop"},
			input: onLoop(func(p *Params, s float64) {
				p.Wiring.OutOhm += s
				p.Wiring.ReturnOhm += s
			}),
		},
		{
			Name: "moisture-across-transmitter", Group: GroupLoop, Sizes: one("resistance", "ohm", 5e3, 500e3),
			Does:   "leaks current past the transmitter",
			Shows:  "needle right, most at 0 % where most volts stand at the transmitter",
			Remedy: "dry and seal the housing", Cautions: opened,
			Simulated: []string{"leak_across_tx"},
			input:     onLoop(func(p *Params, s float64) { p.Wiring.AcrossTransmitterOhm = s }),
		},
		{
			Name: "plus-earth-leak", Group: GroupLoop, Sizes: one("resistance", "ohm", 500, 200e3),
			Does:   "leaks from the plus conductor to earth",
			Shows:  "right at transmitter and receiver; the supply gives more current than the loop has",
			Remedy: "find the damaged conductor by isolation, mend it", Cautions: opened,
			Simulated: []string{"leak_txplus_ground"},
			input:     onLoop(func(p *Params, s float64) { p.Wiring.PlusEarthOhm = s }),
		},
		{
			Name: "minus-earth-leak", Group: GroupLoop, Sizes: one("resistance", "ohm", 1e3, 200e3),
			Does:   "leaks from the minus conductor to earth",
			Shows:  "right at the transmitter, low in proportion at the receiver",
			Remedy: "find the damaged conductor by isolation, mend it", Cautions: opened,
			Simulated: []string{"leak_txminus_ground"},
			input:     onLoop(func(p *Params, s float64) { p.Wiring.MinusEarthOhm = s }),
		},
		{
			Name: "earth-loop", Group: GroupLoop,
			Sizes:  []Size{{"field earth above the receiver's", "V", []Interval{{-10, -0.5}, {0.5, 10}}}},
			Does:   "ties the minus conductor through 1000 ohm to a field earth at another voltage",
			Shows:  "right at the transmitter, shifted and lower in slope at the receiver",
			Remedy: "earth the loop at one end only, or isolate it", Cautions: opened,
			Simulated: []string{"ground_loop"},
			input: onLoop(func(p *Params, s float64) {
				p.Wiring.MinusEarthOhm, p.Wiring.EarthVolt = 1000, s
			}),
		},
	}
}

func supplyFaults() []Fault {
	return []Fault{
		{
			Name: "low-supply", Group: GroupLoop, Sizes: one("below its rating by", "%", 10, 90),
			Does:   "lowers the supply's volts",
			Shows:  "flat top, low volts at the supply at 0 % already",
			Remedy: "mend or set the supply", Cautions: opened,
			Simulated: []string{"low_supply"},
			input:     onLoop(func(p *Params, s float64) { p.Supply.Volt -= float64(p.Supply.Volt * share(s)) }),
		},
		{
			Name: "dead-supply", Group: GroupLoop,
			Does:   "takes the supply's volts away",
			Shows:  "no current, no volts anywhere",
			Remedy: "look for the fuse, then for what blew it", Cautions: opened,
			input: onLoop(func(p *Params, _ float64) { p.Supply.Volt = 0 }),
		},
		{
			Name: "supply-resistance", Group: GroupLoop, Sizes: one("resistance", "ohm", 50, 1000),
			Does:   "adds resistance inside the supply",
			Shows:  "flat top; supply volts right at no current and falling with it",
			Remedy: "replace the supply or its fuse holder", Cautions: opened,
			Simulated: []string{"supply_internal_R"},
			input:     onLoop(func(p *Params, s float64) { p.Supply.InternalOhm += s }),
		},
		{
			Name: "supply-limiting", Group: GroupLoop, Sizes: one("limit", "mA", 4.5, 19.5),
			Does:   "limits the supply's current below what the loop must carry",
			Shows:  "flat top; supply volts right below the limit and collapsing at it",
			Remedy: "take other loads off, or a stronger supply", Cautions: opened,
			Simulated: []string{"supply_current_limit"},
			input:     onLoop(func(p *Params, s float64) { p.Supply.LimitMilliamp = s }),
		},
	}
}

func receiverFaults() []Fault {
	const span = "% of span"
	return []Fault{
		{
			Name: "wrong-resistor", Group: GroupReceiver,
			Sizes:  []Size{{"resistance", "ohm", []Interval{{50, 225}, {275, 1000}}}},
			Does:   "puts another resistor into the receiver",
			Shows:  "right at the transmitter; receiver volts out in proportion at every point",
			Remedy: "fit the precision resistor that the receiver asks for", Cautions: opened,
			Simulated: []string{"wrong_shunt"},
			input:     onLoop(func(p *Params, s float64) { p.Receiver.ShuntOhm = s }),
		},
		{
			Name: "drifted-resistor", Group: GroupReceiver, Sizes: eitherSide("drift", "% of its value", 0.15, 5),
			Does:   "changes the receiver's precision resistor",
			Shows:  "right at the transmitter; receiver volts out in proportion at every point",
			Remedy: "replace the precision resistor", Cautions: opened,
			Simulated: []string{"shunt_drift"},
			input:     onLoop(func(p *Params, s float64) { p.Receiver.ShuntOhm = scaled(p.Receiver.ShuntOhm, s) }),
		},
		{
			Name: "low-input-impedance", Group: GroupReceiver, Sizes: one("resistance", "ohm", 1e3, 100e3),
			Does:   "makes the receiver's reading circuit draw current",
			Shows:  "right at the transmitter; receiver volts low in proportion",
			Remedy: "mend or replace the receiver's input", Cautions: opened,
			Simulated: []string{"rx_low_input_Z", "src_rx_low_input_Z"},
			input:     onLoop(func(p *Params, s float64) { p.Receiver.InputOhm = s }),
		},
		{
			Name: "second-receiver", Group: GroupReceiver, Sizes: one("resistance", "ohm", 200, 10e3),
			Does:   "puts another receiver across the first",
			Shows:  "right at the transmitter; receiver volts far too low in proportion",
			Remedy: "put receivers in series, or one without a resistor across the first", Cautions: opened,
			Simulated: []string{"second_receiver_parallel"},
			input:     onLoop(func(p *Params, s float64) { p.Receiver.ParallelOhm = s }),
		},
		{
			Name: "receiver-zero", Group: GroupReceiver, Sizes: eitherSide("zero error", span, 0.3, 5),
			Does:   "shifts what the receiver shows",
			Shows:  "current and volts right everywhere, display off by the same amount",
			Remedy: "set the receiver's zero with 1 V sent in", Cautions: []Caution{PermitAndManual, RecordFirst, BackInService},
			Simulated: []string{"rx_cal_zero"},
			input:     onLoop(func(p *Params, s float64) { p.Receiver.Zero += share(s) }),
		},
		{
			Name: "receiver-span", Group: GroupReceiver, Sizes: eitherSide("span error", span, 0.3, 5),
			Does:   "changes the gain of what the receiver shows",
			Shows:  "current and volts right everywhere, display further off the higher the point",
			Remedy: "set the receiver's span with 5 V sent in", Cautions: []Caution{PermitAndManual, RecordFirst, BackInService},
			Simulated: []string{"rx_cal_span"},
			input:     onLoop(func(p *Params, s float64) { p.Receiver.Span += share(s) }),
		},
	}
}
