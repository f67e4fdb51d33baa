package scenarios

import (
	"fmt"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/signal"
	"loopdrill/scenarios/unit"
)

// Sensor is what a temperature transmitter is connected to, as it is written in
// a plant file; empty where the file does not say.
type Sensor string

// The sensors.
const (
	Pt100         Sensor = "Pt100"          // platinum, IEC 60751
	ThermocoupleJ Sensor = "thermocouple J" // ITS-90, like the others
	ThermocoupleK Sensor = "thermocouple K"
	ThermocoupleT Sensor = "thermocouple T"
)

// couples are the thermocouples among the sensors.
var couples = map[Sensor]signal.Thermocouple{
	ThermocoupleJ: signal.TypeJ, ThermocoupleK: signal.TypeK, ThermocoupleT: signal.TypeT,
}

// Thermocouple is the type of a thermocouple; ok is false for other sensors.
func (s Sensor) Thermocouple() (k signal.Thermocouple, ok bool) {
	k, ok = couples[s]
	return k, ok
}

// Range is the range in °C in which the published function of the sensor holds;
// nothing for a sensor that is none.
func (s Sensor) Range() (low, high float64) {
	if k, ok := s.Thermocouple(); ok {
		return k.Range()
	}
	if s == Pt100 {
		return -200, 850
	}
	return 0, 0
}

// Sends is what the sensor gives at a temperature in °C: ohm for a Pt100, mV
// with the reference junction at 0 °C for a thermocouple. Outside [Sensor.Range]
// and for a sensor that is none it is an error.
func (s Sensor) Sends(celsius formula.Value) (formula.Value, error) {
	if k, ok := s.Thermocouple(); ok {
		return k.Millivolt(celsius)
	}
	if s != Pt100 {
		return formula.Value{}, fmt.Errorf("no sensor %q", string(s))
	}
	return signal.Pt100Ohm(celsius)
}

// checkSensor refuses a sensor in a loop that measures no temperature, and one
// whose published function does not reach over the whole input.
func (f *file) checkSensor(b *block, l *Loop) {
	v := b.get("sensor")
	if !v.ok {
		return
	}
	if b.get("kind").ok && l.Kind != Temperature {
		f.err(RuleSensor, v.at(), fmt.Sprintf("a %s loop has no %s at its input", l.Kind, l.Sensor), "sensor is for temperature loops; leave it out")
		return
	}
	in := b.get("input")
	if !in.ok || in.rng.Unit.Dimension != unit.Temperature || in.rng.Span().Sign() <= 0 {
		return
	}
	celsius, err := in.rng.Convert(unit.Must("°C"))
	if err != nil {
		return
	}
	low, high := l.Sensor.Range()
	if celsius.Low.Float64() < low-1e-9 || celsius.High.Float64() > high+1e-9 {
		f.err(RuleSensor, in.at(), fmt.Sprintf("the input %s goes beyond what a %s is defined for, %g to %g °C", in.rng, l.Sensor, low, high),
			"give a range inside it, or another sensor")
	}
}
