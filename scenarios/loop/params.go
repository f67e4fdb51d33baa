package loop

// Params are the parameters of one input loop: a transmitter that sends, a
// receiver that reads, and the checker wherever it is put in. The zero value
// is no loop; begin with [Healthy].
type Params struct {
	Supply      Supply
	Wiring      Wiring
	Input       Input
	Transmitter Transmitter
	Receiver    Receiver
	Checker     Checker
}

// Supply is the loop's direct-current supply:
//
//	U = Volt - InternalOhm I - LimitOhm max(0, I - LimitMilliamp)
//
// a steep limiter, not a vertical one.
type Supply struct {
	Volt          float64 // open-circuit volts, 0..250
	InternalOhm   float64 // 0..1e12
	LimitMilliamp float64 // the limiter begins here, 0..1000; 0 means no limiter
	LimitOhm      float64 // slope of the limiter, 0..1e12; 10 kohm is usual
}

// Wiring is the two conductors with what leaks from them.
type Wiring struct {
	OutOhm               float64 // conductor from the supply, 0..1e12
	ReturnOhm            float64 // conductor back to the receiver, 0..1e12
	TerminalOhm          float64 // corroded terminal at the transmitter's plus, 0..1e12
	AcrossTransmitterOhm float64 // moisture or a short across the transmitter; 0 means none
	PlusEarthOhm         float64 // leak from the plus conductor to field earth; 0 means none
	MinusEarthOhm        float64 // leak from the minus conductor to field earth; 0 means none
	EarthVolt            float64 // field earth above the receiver's minus, -250..250
}

// Input is what the sensing lines make of the process. The effective fraction is
//
//	x_e = BlockedAt             when Blocked
//	    = Offset + Gain x       otherwise
type Input struct {
	Offset    float64 // fraction of span, -2..2: trapped pressure, a changed wet leg
	Gain      float64 // 1 when healthy, 0..2: below 1 with a leaking equalising valve
	Blocked   bool    // both lines blocked: the input stays where it was
	BlockedAt float64 // fraction of span at which it stays, -2..2
}

// Transmitter is a two-wire transmitter. It asks for
//
//	I = 4 mA + 16 mA [Zero + (1+Span) x_e + 4 (NonLinearity -+ Hysteresis/2) x_e (1-x_e)]
//
// clipped to LowMilliamp..HighMilliamp, the upper sign on a rising run, and
// gets, with U between its own terminals,
//
//	max(0, min(I, max((U - ElectronicsVolt)/R_on, U/DeadOhm)))
//	R_on = (LiftOffVolt - ElectronicsVolt)/LiftOffMilliamp
//
// so that a loop short of volts shows one current whatever is asked: a flat top.
type Transmitter struct {
	Zero             float64 // zero error, fraction of span, -1..1
	Span             float64 // span error, fraction of span, -0.99..1
	NonLinearity     float64 // terminal-based, at mid-scale, fraction of span, -1..1
	Hysteresis       float64 // gap between falling and rising run at mid-scale, fraction of span, 0..1
	Falling          bool    // the point is approached from above
	ReverseActing    bool    // 20 mA at 0 % of the input
	LowMilliamp      float64 // lower saturation, 0..4; 3.8 after NAMUR NE 43
	HighMilliamp     float64 // upper saturation, LowMilliamp..50; 20.5 after NAMUR NE 43
	FailSafeMilliamp float64 // held whatever the input; 0 means not in fail-safe
	LiftOffVolt      float64 // least volts at LiftOffMilliamp, ElectronicsVolt..100
	ElectronicsVolt  float64 // least volts at no current, 0..100
	LiftOffMilliamp  float64 // the current at which LiftOffVolt is stated, above 0..50
	DeadOhm          float64 // what the electronics draw below ElectronicsVolt, 1..1e12
	Reversed         bool    // the leads are swapped at its terminals
	Diode            bool    // a protective diode conducts when reversed; without it nothing does
	DiodeVolt        float64 // of that diode, 0..10
	DiodeOhm         float64 // of that diode, 0..1e6
}

// Receiver reads the volts across its precision resistor:
//
//	percent = 100 [Zero + (1+Span) (U - 1 V)/4 V]
type Receiver struct {
	ShuntOhm    float64 // precision resistor, 0.001..1e12; 250
	InputOhm    float64 // of the reading circuit, 0.001..1e12
	ParallelOhm float64 // a second receiver, or a short; 0 means none
	Zero        float64 // zero error, fraction of span, -1..1
	Span        float64 // span error, fraction of span, -0.99..1
}

// Place says where the checker is put in.
type Place uint8

// The places.
const (
	NotConnected          Place = iota // only a voltmeter is at hand
	SeriesField                        // current terminals in series, at the transmitter's minus
	SeriesRoom                         // current terminals in series, at the receiver
	AcrossReceiver                     // voltage terminals across the receiver
	Sending                            // sends 1-5 V into the receiver with its precision resistor; the loop is off
	SendingNoShunt                     // sends 1-5 V into the receiver without its precision resistor
	CurrentAcrossReceiver              // current terminals across the receiver: a fault of use
)

// String names the place in the words of a prompt.
func (p Place) String() string {
	switch p {
	case NotConnected:
		return "not connected"
	case SeriesField:
		return "in series at the transmitter"
	case SeriesRoom:
		return "in series at the receiver"
	case AcrossReceiver:
		return "across the receiver"
	case Sending:
		return "sending into the receiver"
	case SendingNoShunt:
		return "sending into the receiver without its resistor"
	case CurrentAcrossReceiver:
		return "current terminals across the receiver"
	}
	return "unknown place"
}

// Checker is the portable null-balance checker. Its cell feeds a regulator,
//
//	U_cell = CellVolt - CellOhm CellLoadMilliamp
//	U_reg  = min(RegulatorVolt, max(0, U_cell - DropOutVolt))
//
// and the reference follows the ring and the regulator,
//
//	U_ref = (1 + 4 ring) U_reg/RegulatorVolt
//
// so that a weak cell lowers every point in proportion. The movement, with the
// reference's own resistance, stands against the drop only while the trigger
// is held.
type Checker struct {
	Place               Place
	ResistorOhm         float64 // its own resistor for the loop current, 0.001..1e6; 250
	MovementOhm         float64 // 1..1e9
	ReferenceOhm        float64 // source resistance of the reference, 0..1e6
	LeadOhm             float64 // both test leads together, 0..1e12
	LeadsCrossed        bool    // plus and minus swapped
	TriggerNotHeld      bool    // the needle stays at rest whatever the loop does
	MicroampPerDivision float64 // of the movement, above 0..1e6
	StopDivision        float64 // where the needle lies on its stop, above 0..100
	MarkDivision        float64 // one small mark, above 0..StopDivision
	RestDivision        float64 // where the needle rests with the trigger released, mechanical zero, -100..100
	RingShift           float64 // ring set off the point, fraction of span, -1..1
	CellVolt            float64 // without load, 0..100
	CellOhm             float64 // 0..1e6
	CellLoadMilliamp    float64 // 0..1000
	RegulatorVolt       float64 // above 0..100
	DropOutVolt         float64 // what the regulator needs, 0..100
	GoodCellVolt        float64 // a good cell has at least this under load, 0..100
	CellVoltPerDivision float64 // of the face in the cell position, above 0..100
	CellLineDivision    float64 // where the line of a good cell stands, within the stops
}

// Healthy gives a sound loop with the checker in series at the transmitter:
// 24 V with 5 ohm inside, 20 ohm each way, lift-off at 10.5 V, 250 ohm, and
// 1 Mohm of reading circuit. The same loop as the study of which faults can be
// told apart; its electronics need 9.5 V.
func Healthy() Params {
	return Params{
		Supply: Supply{Volt: 24, InternalOhm: 5, LimitOhm: 10e3},
		Wiring: Wiring{OutOhm: 20, ReturnOhm: 20},
		Input:  Input{Gain: 1},
		Transmitter: Transmitter{
			LowMilliamp: 3.8, HighMilliamp: 20.5,
			LiftOffVolt: 10.5, ElectronicsVolt: 9.5, LiftOffMilliamp: 20.5,
			DeadOhm: 20e3, DiodeVolt: 0.7, DiodeOhm: 1,
		},
		Receiver: Receiver{ShuntOhm: 250, InputOhm: 1e6},
		Checker:  HealthyChecker(),
	}
}

// HealthyChecker gives the checker of our fictional plants: a movement of
// 998 ohm with 2 ohm of reference behind it and 250 ohm of its own, so that
// 16 microamp, one division, is 20 mV or 0.5 % of span; a small mark every
// 0.1 %; a 9 V cell, good down to 6.6 V under load, shown at +4 divisions with
// 0.1 V a division.
func HealthyChecker() Checker {
	return Checker{
		Place:       SeriesField,
		ResistorOhm: 250, MovementOhm: 998, ReferenceOhm: 2,
		MicroampPerDivision: 16, StopDivision: 10, MarkDivision: 0.2,
		CellVolt: 9, CellOhm: 2, CellLoadMilliamp: 10,
		RegulatorVolt: 6, DropOutVolt: 0.6, GoodCellVolt: 6.6,
		CellVoltPerDivision: 0.1, CellLineDivision: 4,
	}
}
