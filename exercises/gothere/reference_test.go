package gothere

import (
	"testing"

	"loopdrill/exercises"
	"loopdrill/scenarios"
)

// The class limits and what they mean, against the table of IEC 60079-0 as
// makers of fittings reprint it on public pages ("maximum surface temperature
// of apparatus", "ignition temperature of gas or vapour: above"; read at
// cmp-products.com and hummel.com, temperature classification).
func TestTemperatureClasses(t *testing.T) {
	for _, row := range []struct {
		class    string
		surface  int
		ignition int // the gas must ignite above this
	}{
		{"T1", 450, 450}, {"T2", 300, 300}, {"T3", 200, 200}, {"T4", 135, 135}, {"T5", 100, 100}, {"T6", 85, 85},
	} {
		n := int(row.class[1] - '1')
		if classLimit[n] != row.surface {
			t.Errorf("%s: %d °C, published %d", row.class, classLimit[n], row.surface)
		}
		for _, c := range []struct {
			ignition int
			want     string
		}{{row.ignition + 1, may}, {row.ignition, hot}, {row.ignition - 1, hot}} {
			d := placed{class: n, ignition: c.ignition, low: 0, top: 30, plateLow: usualLow, plateTop: usualHigh}
			if got := placeOption(t, d); got != c.want {
				t.Errorf("%s with a gas that ignites at %d °C: %q, want %q", row.class, c.ignition, got, c.want)
			}
		}
	}
}

// Which zone asks for what, and which group covers which, after the tables of
// equipment protection levels on public pages (pixavi.com, bartec.de,
// cablesystems.co.uk: zone 0 Ga ia, zone 1 Gb ib, zone 2 Gc ic; the higher level
// in brackets is allowed too). That IIC covers IIB and IIA, and IIB IIA: from
// memory of IEC 60079-0.
func TestZonesAndGroups(t *testing.T) {
	mark := map[string]int{"ic": 0, "ib": 1, "ia": 2}
	for _, row := range []struct {
		level string
		zones [3]bool // allowed in zone 0, 1, 2
	}{
		{"ia", [3]bool{true, true, true}},
		{"ib", [3]bool{false, true, true}},
		{"ic", [3]bool{false, false, true}},
	} {
		for z, allowed := range row.zones {
			d := placed{class: 3, ignition: 200, top: 30, plateLow: usualLow, plateTop: usualHigh, mark: mark[row.level]}
			for i, l := range levels {
				if l.zone == z {
					d.zone = i
				}
			}
			if got := placeOption(t, d); (got == may) != allowed {
				t.Errorf("%s in zone %d: %q", row.level, z, got)
			}
		}
	}
	for _, row := range []struct {
		device, gas int
		allowed     bool
	}{{2, 0, true}, {2, 2, true}, {1, 0, true}, {1, 2, false}, {0, 1, false}, {0, 2, false}} {
		d := placed{class: 3, ignition: 200, top: 30, plateLow: usualLow, plateTop: usualHigh, group: row.device, gas: row.gas}
		if got := placeOption(t, d); (got == may) != row.allowed {
			t.Errorf("%s with a gas of %s: %q", groups[row.device], groups[row.gas], got)
		}
	}
}

// The five comparisons, one failing at a time, as a public manual of a remote
// input system lists them after EN 60079-14: Uo ≤ Ui, Io ≤ Ii, Po ≤ Pi,
// Co ≥ Ci + Ccable, Lo ≥ Li + Lcable; equal is enough. The row "published
// calculation" is a worked loop of a public article (industrialmonitordirect.com,
// loop calculations: Co 0.1 µF and Lo 5 mH against 30 nF and 0.1 mH of the
// instrument and 100 nF and 0.5 mH of the cable make 130 nF and 0.6 mH). Our
// cable has them in a kilometre.
func TestFiveComparisons(t *testing.T) {
	sound := connected{cable: cable{perC: 100, perL: 50, length: 1000}, uo: 240, ui: 240, io: 90, ii: 90, po: 540, pi: 54,
		gas: 1, co: [3]int{0, 130, 20}, lo: [3]int{0, 60, 20}, ci: 30, li: 100}
	for _, row := range []struct {
		name   string
		change func(d *connected)
		want   string
	}{
		{"all equal", func(*connected) {}, may},
		{"a tenth of a volt too much", func(d *connected) { d.uo++ }, voltage},
		{"a milliamp too much", func(d *connected) { d.io++ }, current},
		{"a milliwatt too much", func(d *connected) { d.po++ }, power},
		{"10 nF short", func(d *connected) { d.co[1] -= 10 }, capacitance},
		{"0.05 mH short", func(d *connected) { d.lo[1] -= 5 }, inductance},
		{"published calculation", func(d *connected) { d.co[1], d.lo[1] = 100, 500 }, capacitance},
		{"the same with enough", func(d *connected) { d.co[1], d.lo[1] = 131, 500 }, may},
	} {
		d := sound
		row.change(&d)
		item, err := testPlan("usual").pair(testLoop, d)
		if err != nil {
			t.Fatal(err)
		}
		if got := last(item); got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

// A checker between what the loop stands alone and what it stands with both.
func TestCheckerAddsUp(t *testing.T) {
	sound := chained{cable: cable{perC: 100, perL: 50, length: 500}, uo: 220, io: 80, uk: 15, ik: 12,
		ui: [3]int{240, 300, 280}, ii: [3]int{100, 120, 150}, ci: [3]int{10, 6, 4}, li: [3]int{50, 40, 30},
		gas: 1, c1: 90, c2: 80, l1: 50, l2: 45}
	for _, row := range []struct {
		name   string
		change func(d *chained)
		want   string
	}{
		{"all in hand", func(*chained) {}, may},
		{"23.5 V on 23.5 V", func(d *chained) { d.ui[0] = 235 }, may},
		{"23.5 V on 23.4 V", func(d *chained) { d.ui[1] = 234 }, with(voltage)},
		{"the checker itself stands too little", func(d *chained) { d.ui[2] = 230 }, with(voltage)},
		{"92 mA on 91 mA", func(d *chained) { d.ii[0] = 91 }, with(current)},
		{"50 nF of cable where 48 nF are left", func(d *chained) { d.c2 = 68 }, with(capacitance)},
		{"0.25 mH of cable where 0.23 mH are left", func(d *chained) { d.l2 = 35 }, with(inductance)},
		{"22.0 V on 21.9 V", func(d *chained) { d.ui[0] = 219 }, neither},
		{"66 nF where 65 nF are allowed", func(d *chained) { d.c1, d.c2 = 65, 60 }, neither},
	} {
		d := sound
		d.cell = cell{do: fitOut, inside: true}
		row.change(&d)
		item, err := testPlan("hard").three(testLoop, d)
		if err != nil {
			t.Fatal(err)
		}
		if got := item.Key.Parts[5].Answers[0].Option; got != row.want {
			t.Errorf("%s: %q, want %q", row.name, got, row.want)
		}
	}
}

var testLoop = &scenarios.Loop{Tag: "LT-1", Service: "level of a tank"}

func testPlan(level string) *plan {
	return &plan{exercise: &scenarios.Exercise{Title: "Title", Level: level}, loops: []*scenarios.Loop{testLoop}}
}

// last is the option of the last part.
func last(item exercises.Item) string {
	return item.Key.Parts[len(item.Key.Parts)-1].Answers[0].Option
}

func placeOption(t *testing.T, d placed) string {
	t.Helper()
	item, err := testPlan("easy").place(testLoop, d)
	if err != nil {
		t.Fatal(err)
	}
	return last(item)
}
