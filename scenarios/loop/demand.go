package loop

// DemandMilliamp is the current in mA that the transmitter asks for at the
// input x, a fraction of span, before its limits and its fail-safe state:
// what it would send if nothing held it back. See [Transmitter].
func (p *Params) DemandMilliamp(x float64) float64 { return p.unclippedMilliamp(x) }
