package loop

// screws are the cautions of every adjustment at a transmitter.
var screws = []Caution{PermitAndManual, RecordFirst, SettleEachPoint, BackInService}

// lines are the cautions of work on sensing lines.
var lines = []Caution{PermitAndManual, ManifoldOrder, WetLeg, VentFirst, BackInService}

// opened are the cautions of opening a loop.
var opened = []Caution{PermitAndManual, OpeningTheLoop, CertifiedChecker, BackInService}

func transmitterFaults() []Fault {
	const span = "% of span"
	return []Fault{
		{
			Name: "low-zero", Group: GroupTransmitter, Sizes: one("low by", span, 0.3, 8),
			Does:   "lowers the output by the same share of span at every point",
			Shows:  "needle left by the same amount at every point, until the lower saturation limits it",
			Remedy: "set the zero screw at 0 %, then check the span", Cautions: screws,
			Simulated: []string{"zero_low"},
			input:     onLoop(func(p *Params, s float64) { p.Transmitter.Zero -= share(s) }),
		},
		{
			Name: "high-zero", Group: GroupTransmitter, Sizes: one("high by", span, 0.3, 8),
			Does:   "raises the output by the same share of span at every point",
			Shows:  "needle right by the same amount at every point, until the upper saturation limits it",
			Remedy: "set the zero screw at 0 %, then check the span", Cautions: screws,
			Simulated: []string{"zero_high"},
			input:     onLoop(func(p *Params, s float64) { p.Transmitter.Zero += share(s) }),
		},
		{
			Name: "span-low", Group: GroupTransmitter, Sizes: one("low at 100 % by", span, 0.3, 10),
			Does:   "lowers the gain",
			Shows:  "right at 0 %, needle further left the higher the point",
			Remedy: "set the span screw at 100 % after the zero is right", Cautions: screws,
			Simulated: []string{"span_low"},
			input:     onLoop(func(p *Params, s float64) { p.Transmitter.Span -= share(s) }),
		},
		{
			Name: "span-high", Group: GroupTransmitter, Sizes: one("high at 100 % by", span, 0.3, 10),
			Does:   "raises the gain",
			Shows:  "right at 0 %, needle further right the higher the point",
			Remedy: "set the span screw at 100 % after the zero is right", Cautions: screws,
			Simulated: []string{"span_high"},
			input:     onLoop(func(p *Params, s float64) { p.Transmitter.Span += share(s) }),
		},
		{
			Name: "zero-and-span", Group: GroupTransmitter,
			Sizes: []Size{
				{"zero error", span, []Interval{{-8, -0.3}, {0.3, 8}}},
				{"span error", span, []Interval{{-10, -0.3}, {0.3, 10}}},
			},
			Does:   "moves the zero and changes the gain",
			Shows:  "errors along a straight line that misses the origin",
			Remedy: "zero at 0 % first, then span at 100 %, and again until both hold", Cautions: screws,
			Simulated: []string{"zero_and_span"}, Parts: []string{"low-zero", "high-zero", "span-low", "span-high"},
			input: func(p *Params, zero, span float64) {
				p.Transmitter.Zero += share(zero)
				p.Transmitter.Span += share(span)
			},
		},
		{
			Name: "non-linearity", Group: GroupTransmitter, Sizes: eitherSide("bow at mid-scale", span, 0.3, 4),
			Does:   "bends the characteristic between ends that stay right",
			Shows:  "right at 0 and 100 %, worst in the middle, alike on rising and falling run",
			Remedy: "no screw helps; repair or replace the transmitter", Cautions: screws,
			Simulated: []string{"nonlinearity"},
			input:     onLoop(func(p *Params, s float64) { p.Transmitter.NonLinearity += share(s) }),
		},
		{
			Name: "hysteresis", Group: GroupTransmitter, Sizes: one("gap at mid-scale", span, 0.4, 4),
			Does:   "makes the output lag behind the input",
			Shows:  "low on the rising run, high on the falling run, worst in the middle",
			Remedy: "no screw helps; look for friction, repair or replace", Cautions: screws,
			Simulated: []string{"hysteresis_up", "hysteresis_down"},
			input:     onLoop(func(p *Params, s float64) { p.Transmitter.Hysteresis += share(s) }),
		},
		{
			Name: "fail-safe-low", Group: GroupTransmitter, Sizes: one("current", "mA", 3.2, 3.6),
			Does:   "holds a current in the lower failure band whatever the input",
			Shows:  "the same current at every point, volts at the transmitter healthy",
			Remedy: "read the transmitter's own diagnosis; mend what it reports", Cautions: opened,
			Simulated: []string{"failsafe"},
			input:     onLoop(func(p *Params, s float64) { p.Transmitter.FailSafeMilliamp = s }),
		},
		{
			Name: "fail-safe-high", Group: GroupTransmitter, Sizes: one("current", "mA", 21, 23),
			Does:   "holds a current in the upper failure band whatever the input",
			Shows:  "the same current at every point, volts at the transmitter healthy",
			Remedy: "read the transmitter's own diagnosis; mend what it reports", Cautions: opened,
			Simulated: []string{"failsafe"},
			input:     onLoop(func(p *Params, s float64) { p.Transmitter.FailSafeMilliamp = s }),
		},
		{
			Name: "saturated", Group: GroupTransmitter,
			Sizes:  []Size{{"input beyond range, at", "% of input span", []Interval{{-50, -3}, {104, 150}}}},
			Does:   "leaves the sensor pressed beyond its range, so that the output lies at its saturation limit",
			Shows:  "3.8 or 20.5 mA at every point, and no answer to either screw within its range",
			Remedy: "find what presses the sensor, or range the transmitter anew", Cautions: lines,
			input: onLoop(func(p *Params, s float64) {
				p.Input.Blocked, p.Input.BlockedAt = true, share(s)
			}),
		},
	}
}

func sensingFaults() []Fault {
	const span = "% of input span"
	return []Fault{
		{
			Name: "lines-blocked", Group: GroupSensing, Sizes: one("stuck at", span, 0, 100),
			Does:   "keeps the pressure that stood in the lines when they blocked",
			Shows:  "the same reading at every point; a known pressure at the port reads right",
			Remedy: "isolate, vent, clear and refill the lines", Cautions: lines,
			Simulated: []string{"input_line_blocked"},
			input: onLoop(func(p *Params, s float64) {
				p.Input.Blocked, p.Input.BlockedAt = true, share(s)
			}),
		},
		{
			Name: "leg-blocked", Group: GroupSensing,
			Sizes:  eitherSide("static pressure changed since by", span, 1, 60),
			Does:   "keeps the old static pressure in the low side, so that the high side's shows as a shift",
			Shows:  "every point shifted alike, and the shift follows the static pressure",
			Remedy: "isolate, vent, clear and refill the leg", Cautions: lines,
			input: onLoop(func(p *Params, s float64) { p.Input.Offset += share(s) }),
		},
		{
			Name: "trapped-pressure", Group: GroupSensing, Sizes: eitherSide("shift", span, 0.3, 10),
			Does:   "adds a constant pressure to one side",
			Shows:  "every point shifted alike; a known pressure at the port reads right",
			Remedy: "vent or drain the line in the manifold's order", Cautions: lines,
			Simulated: []string{"input_partial_block_trapped"},
			input:     onLoop(func(p *Params, s float64) { p.Input.Offset += share(s) }),
		},
		{
			Name: "equalising-valve-leak", Group: GroupSensing, Sizes: one("difference lost", span, 0.5, 60),
			Does:   "passes part of the difference around the sensor",
			Shows:  "right at 0 %, lower in proportion above; a known pressure at the port reads right",
			Remedy: "close or repair the equalising valve", Cautions: lines,
			Simulated: []string{"input_equalising_leak"},
			input:     onLoop(func(p *Params, s float64) { p.Input.Gain -= float64(p.Input.Gain * share(s)) }),
		},
		{
			Name: "changed-wet-leg", Group: GroupSensing, Sizes: eitherSide("shift", span, 0.3, 20),
			Does:   "changes the head of the reference leg",
			Shows:  "every point shifted alike; a known pressure at the port reads right",
			Remedy: "refill the leg, or range the transmitter for the fill that is in it", Cautions: lines,
			Simulated: []string{"input_wet_leg"},
			input:     onLoop(func(p *Params, s float64) { p.Input.Offset += share(s) }),
		},
	}
}
