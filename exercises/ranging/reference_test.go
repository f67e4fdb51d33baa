package ranging

import (
	"math"
	"testing"

	"loopdrill/scenarios/formula"
)

func env(of map[formula.Sym]float64) formula.Env {
	var e formula.Env
	for _, s := range []formula.Sym{symWater, symGravity, symLow, symHigh, symMount, symLeg, symFilling,
		symDP, symFlow, symNewFlow, symNewDP, symCurrent, symTrue, symZero} {
		if v, ok := of[s]; ok {
			e = e.With(formula.Binding{Sym: s, V: formula.Float(v)})
		}
	}
	return e
}

// TestPublishedRanges holds the ranges against worked examples of others. They
// give columns of water, so a unit of water weighs 1 here.
func TestPublishedRanges(t *testing.T) {
	for _, row := range []struct {
		name                      string
		v                         vessel
		low, high, gravity, mount float64
		leg, filling              float64 // leg above the lower tap
		lrv, urv, within          float64
		source                    string
	}{
		{"suppressed zero", vessel{leg: noLeg}, 10, 90, 1.1, 0, 0, 0, 11, 99, 0.5,
			"published.json dp-1: DP level ranging, read in print"},
		{"wet leg", vessel{leg: wetLeg}, 0, 7270, 0.92, 0, 8210, 0.94, -7717.4, -1029, 0.05,
			"published.json dp-2: DP level ranging, read in print"},
		{"transmitter above, dry leg", vessel{leg: dryLeg, above: true}, 0, 5470, 1.12, 1250, 0, 0, -1400, 4726.4, 0.05,
			"learninstrumentationengineering.com, calibration of DP level transmitter (elevation), dry leg, mm of water"},
		// There the leg is given above the transmitter: 5470 + 270 - 1250.
		{"transmitter above, wet leg", vessel{leg: wetLeg, above: true}, 0, 5470, 1.12, 1250, 5740, 1.17, -6653.3, -526.9, 0.05,
			"learninstrumentationengineering.com, the same page, wet leg, mm of water"},
		{"transmitter below, wet leg", vessel{leg: wetLeg}, 0, 1000, 0.5, 50, 1000, 0.5, -500, 0, 0.05,
			"instrumentationtools.com, closed tank DP level transmitter, inches of water"},
	} {
		t.Run(row.name, func(t *testing.T) {
			e := env(map[formula.Sym]float64{symWater: 1, symGravity: row.gravity, symLow: row.low, symHigh: row.high,
				symMount: row.mount, symLeg: row.leg, symFilling: row.filling})
			at := row.v.dry
			if row.v.leg == wetLeg {
				at = row.v.wet
			}
			for _, end := range []struct {
				h    formula.Expr
				want float64
			}{{symLow, row.lrv}, {symHigh, row.urv}} {
				if got := formula.Eval(at(end.h), e).Float64(); math.Abs(got-end.want) > row.within {
					t.Errorf("at %v: %v, %s has %v", end.h, got, row.source, end.want)
				}
			}
		})
	}
}

// TestWater holds our metre of water against the inch of NIST SP 811 (Appendix
// B.9: conventional inch of water 249.0889 Pa), 39.37 of which it has.
func TestWater(t *testing.T) {
	if got, want := waterKPa.Float64()*1000*0.0254, 249.0889; math.Abs(got-want) > 5e-5 {
		t.Errorf("an inch of our water is %v Pa, published are %v", got, want)
	}
}

// TestPublishedFlows holds flows against figures of others.
func TestPublishedFlows(t *testing.T) {
	for _, row := range []struct {
		name         string
		x            formula.Expr
		of           map[formula.Sym]float64
		want, within float64
		source       string
	}{
		{"12 mA, receiver takes the root", flowAt(false), map[formula.Sym]float64{symNewFlow: 100, symCurrent: 12}, 71, 0.5,
			"Control Engineering, Square root scaling for differential pressure flowmeters, 2017: half of DP is 71 % of flow"},
		{"12 mA, transmitter takes the root", flowAt(true), map[formula.Sym]float64{symNewFlow: 100, symCurrent: 12}, 50, 1e-9,
			"the same: the signal is then linear to flow"},
		{"half the flow", pointDP(formula.Lit{V: formula.Ratio(1, 2)}), map[formula.Sym]float64{symNewDP: 100}, 25, 1e-9,
			"instmates.com, square root extraction: 25 of 100 mbar at 500 of 1000 m³/h"},
		{"twice the flow", newDP(), map[formula.Sym]float64{symDP: 100, symFlow: 1000, symNewFlow: 2000}, 400, 1e-9,
			"the same page: if flow doubles, DP becomes four times"},
		{"half a percent of zero, no flow", formula.Mul(formula.Num(100), shown()), map[formula.Sym]float64{symTrue: 0, symZero: 0.5}, 7.07, 0.005,
			"common practice, no source: 0.5 % of DP zero error is 7.07 % of flow at zero"},
	} {
		t.Run(row.name, func(t *testing.T) {
			if got := formula.Eval(row.x, env(row.of)).Float64(); math.Abs(got-row.want) > row.within {
				t.Errorf("%v, %s has %v", got, row.source, row.want)
			}
		})
	}
}
