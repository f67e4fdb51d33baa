package main

import (
	"encoding/json"
	"math"
	"strings"
	"testing"

	"loopdrill/scenarios/loop"
)

type measured struct {
	Faults []struct {
		Sizes []struct{ Value float64 }
	}
	Points []struct {
		Percent                                                       float64
		LoopCurrent, ReceiverVolts, ReceiverReading, TransmitterVolts struct{ Rounded, Unrounded float64 }
		SupplyVolts                                                   struct{ Rounded, Unrounded float64 }
		ReceiverShows                                                 struct{ Value float64 }
		Needle                                                        *struct {
			SmallMarks int
			Divisions  float64
			Stop       string
		}
		Clear bool
	}
	CellCheck *struct{ Good bool }
	Notes     []string
}

func measureJSON(t *testing.T, args ...string) (m measured) {
	t.Helper()
	code, stdout, stderr := run(append([]string{"measure", "--json"}, args...)...)
	if code != exitFine || stderr != "" {
		t.Fatalf("%v: exit code %d, stderr %q", args, code, stderr)
	}
	if err := json.Unmarshal([]byte(stdout), &m); err != nil {
		t.Fatal(err)
	}
	return m
}

// What is printed agrees with Ohm and Kirchhoff, written out here by hand for
// LT-2104 (24 V behind 5 ohm, 20 ohm each way, 250 ohm beside 1 Mohm, checker
// of 250 ohm in series, lift-off 10.5 V at 20.5 mA with 9.5 V of electronics),
// and with the lessons' and the trade's rules for the needle. The solver
// itself is held against a circuit simulator in scenarios/loop.
func TestMeasureByHand(t *testing.T) {
	receiver := 250 * 1e6 / (250 + 1e6)
	wires := 5 + 20 + 20 + receiver + 250
	onTop := func(extra float64) float64 { // I = (U - U_electronics)/(R + R_on), in mA
		return (24 - 9.5) / (wires + extra + 1/0.0205) * 1e3
	}
	for _, row := range []struct {
		name    string
		args    []string
		current float64 // mA, the last point
		marks   int     // of the needle there, stop included
		stop    string
		good    bool
	}{
		{"a sound loop", []string{"LT-2104", "--points", "75"}, 16, 0, "", true},
		{"a low zero of 0.8 % is eight small marks left", []string{"LT-2104", "--fault", "low-zero=0.8", "--points", "75"}, 16 - 0.128, -8, "", true},
		{"a span of 2 % low shows half of that half way", []string{"LT-2104", "--fault", "span-low=2", "--points", "50"}, 12 - 0.16, -10, "", true},
		{"the mechanical zero is added", []string{"LT-2104", "--fault", "low-zero=0.8", "--rest", "5", "--points", "75"}, 16 - 0.128, -3, "", true},
		{"a flat top", []string{"LT-2104", "--fault", "corroded-terminal=0.7 kohm", "--points", "0,100"}, onTop(700), -50, "left", true},
		// U_reg = 6.5 - 0.02 - 0.6 = 5.88 V of 6 V: low by 2 %, at 100 % by
		// 0.1 V of 4 V: 2.5 % of span, 25 small marks.
		{"a weak cell", []string{"LT-2104", "--fault", "weak-cell=6.5 V", "--points", "100"}, 20, 25, "", false},
		{"an open wire", []string{"LT-2104", "--fault", "open-wire", "--points", "50"}, 0, -50, "left", true},
		{"reverse action: 25 % of the input is 16 mA", []string{"PT-1433", "--points", "25"}, 16, 0, "", true},
		{"half the gap of a hysteresis, from below", []string{"LT-2104", "--fault", "hysteresis=2", "--points", "50"}, 12 - 0.16, -10, "", true},
		{"and from above", []string{"LT-2104", "--fault", "hysteresis=2", "--points", "50", "--falling"}, 12 + 0.16, 10, "", true},
		{"a pair", []string{"LT-2104", "--fault", "low-zero=1", "--fault", "mechanical-zero-off=0.4", "--points", "50"}, 12 - 0.16, -8, "", true},
	} {
		t.Run(row.name, func(t *testing.T) {
			m := measureJSON(t, row.args...)
			p := m.Points[len(m.Points)-1]
			if math.Abs(p.LoopCurrent.Unrounded-row.current) > 1e-4 || math.Abs(p.LoopCurrent.Rounded-row.current) > 0.005+1e-4 {
				t.Errorf("current %g (%g), want %g mA", p.LoopCurrent.Rounded, p.LoopCurrent.Unrounded, row.current)
			}
			if p.Needle == nil || p.Needle.SmallMarks != row.marks || p.Needle.Stop != row.stop {
				t.Errorf("needle %+v, want %d marks, stop %q", p.Needle, row.marks, row.stop)
			}
			if m.CellCheck == nil || m.CellCheck.Good != row.good {
				t.Errorf("cell check %+v, want good: %t", m.CellCheck, row.good)
			}
		})
	}
}

// The receiver's scale: reverse action counts down, a root in the receiver is
// taken of what it reads.
func TestMeasureReceiverScale(t *testing.T) {
	for _, row := range []struct {
		name string
		args []string
		want float64
	}{
		{"direct, 0..2.5 m", []string{"LT-2104", "--points", "40"}, 1},
		{"reverse, -100..0 kPa", []string{"PT-1433", "--points", "25"}, -75},
		{"root in the receiver: half the flow at a quarter of the pressure", []string{"FT-1312", "--points", "25"}, 30},
		{"root in the transmitter: points are of the flow", []string{"FT-1518", "--points", "50"}, 75},
	} {
		// A sound receiver of 1 Mohm reads 0.02 % of span low.
		if got := measureJSON(t, row.args...).Points[0].ReceiverShows.Value; math.Abs(got-row.want) > 0.001*150 {
			t.Errorf("%s: shows %g, want %g", row.name, got, row.want)
		}
	}
}

// Every fault of input loops can be measured without a size on a loop without
// a root, and says which size was taken; each size printed can be given back.
func TestMeasureEveryFault(t *testing.T) {
	n := 0
	for _, f := range append(loop.Faults(), loop.Pairs()...) {
		code, stdout, stderr := run("measure", "PT-1407", "--fault", f.Name)
		if !f.OnInput() {
			if code != exitUsage || !strings.Contains(stderr, "output loop") {
				t.Errorf("%s: exit code %d, %q", f.Name, code, stderr)
			}
			continue
		}
		n++
		if code != exitFine || !strings.Contains(stdout, strings.Split(f.Name, "+")[0]) {
			t.Errorf("%s: exit code %d, %q", f.Name, code, stderr)
		}
		if len(f.Sizes) > 0 {
			again, out, stderr := run("measure", "PT-1407", "--fault", f.Name+"="+exampleSizes(f))
			if again != exitFine || strings.Contains(out, "chosen") {
				t.Errorf("%s=%s: exit code %d, %q", f.Name, exampleSizes(f), again, stderr)
			}
		}
	}
	if n < 30 {
		t.Errorf("only %d faults", n)
	}
}

// No command line makes measure panic, and what is no result leaves stdout
// empty.
func FuzzMeasure(f *testing.F) {
	for _, s := range []string{
		"LT-2104", "LT-2104\n--fault\nzero-and-span=-1,1\n--points\n0,1.5%,−3", "FT-1518\n--fault\nlow-supply\n--fault=corroded-terminal=1e3",
		"--faults\n--json", "pt-1433\n--checker\nacross\n--rest\n-3\n--json\n--falling", "LT-2104\n--fault\n=\n--points\n,", "LT-2104\n--fault\nearth-loop=-.5V",
	} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, line string) {
		if strings.Contains(line, "--c") {
			t.Skip("another course is another file")
		}
		code, stdout, stderr := run(append([]string{"measure"}, strings.Split(line, "\n")...)...)
		if code < exitFine || code > exitIO {
			t.Errorf("exit code %d", code)
		}
		if code != exitFine && (stdout != "" || stderr == "") {
			t.Errorf("exit code %d with stdout %q and stderr %q", code, stdout, stderr)
		}
	})
}
