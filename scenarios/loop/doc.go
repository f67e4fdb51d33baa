// Package loop is the direct-current model of a live-zero signal loop with
// its faults: supply, wiring, transmitter, receiver, the portable null-balance
// checker, and the output side with controller, I/P converter and positioner.
//
// For most uses take [Healthy], change what the plant has differently, call
// [Params.Validate] once, then [Params.Solve] for the quantities or
// [Params.Measure] for the readings as an apprentice sees them. A [Fault] from
// [Faults] changes the parameters by a size. A [Bench] is prepared once for one
// loop; its [Bench.Candidates] says which faults, of which sizes, would have
// printed the same [Evidence].
//
// # The circuit
//
//	supply+ -internal- -out- jp -terminal- wp [transmitter] wm -(checker, field)- jm -return- -(checker, room)- [receiver] 0
//
// Moisture lies across wp and wm, earth leaks run from jp and jm to the field
// earth, which may stand at a voltage above node 0, the supply's and the
// receiver's negative side. Every branch either is linear or rises with its
// voltage in straight pieces, so the operating point is one and is found in
// closed form, without iteration.
//
// # Units and promises
//
// Units stand in the names: Volt, Ohm, Milliamp, Division, Percent. A bare
// fraction (Zero, Span, Offset, x) is a share of the span, 0.01 meaning 1 % of
// span. An optional branch is absent at 0 ohm; a dead short is written as a
// small resistance.
//
// The package reads and writes nothing, keeps no clock and no chance. The same
// parameters give the same rounded readings on every platform: products are
// rounded before they are added, so that no fused multiply-add can differ, and
// every decision on a rounded value is three-valued (a value within a
// millionth of a unit of the rounding edge says so, and the caller draws
// again). Within one generator version readings do not change.
package loop
