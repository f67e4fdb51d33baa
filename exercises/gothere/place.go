package gothere

import (
	"fmt"

	"loopdrill/exercises"
	"loopdrill/scenarios"
	"loopdrill/scenarios/formula"
)

// The easy level: one device, one place. At most one of the four checks fails.

// The verdicts of a place.
const (
	may     = "may"
	hot     = "hot"
	ambient = "ambient"
	group   = "group"
	zone    = "zone"
)

const (
	rejectPlace exercises.Reject = "a place that is warmer at its coldest than at its warmest"

	symIgnition formula.Sym = "T_g"
	symMargin   formula.Sym = "M_T"
	symPlateLow formula.Sym = "t_1"
	symPlateTop formula.Sym = "t_2"
	symLow      formula.Sym = "a_1"
	symTop      formula.Sym = "a_2"
	symReserve  formula.Sym = "M_a"
	symGas      formula.Sym = "g_a"
	symGroup    formula.Sym = "g_d"
	symZone     formula.Sym = "z_a"
	symLevel    formula.Sym = "z_d"
)

// placed is a device and a place. Temperatures in °C; ranks count from 0.
type placed struct {
	class      int // 0 for T1
	ignition   int
	low, top   int // of the place
	plateLow   int
	plateTop   int
	gas, group int
	zone, mark int
}

// drawPlace takes the verdict first and solves for the figures.
func drawPlace(pick *exercises.Picker) (placed, error) {
	var d placed
	verdict := []string{may, hot, ambient, group, zone}[pick.Int(5)]
	// Ranks: what the place asks for, and what the device has.
	rank := func(fails bool) (asked, has int) {
		if fails {
			pair := [][2]int{{1, 0}, {2, 0}, {2, 1}, {2, 1}}[pick.Int(4)]
			return pair[0], pair[1]
		}
		has = pick.Int(3)
		return pick.Int(has + 1), has
	}
	d.gas, d.group = rank(verdict == group)
	d.zone, d.mark = rank(verdict == zone)
	if verdict == hot {
		// No vapour of which we know ignites below 90 °C; so not T5 and T6.
		d.class = pick.Int(4)
		d.ignition = classLimit[d.class] - pick.Between(4, 30)
	} else {
		d.class = pick.Int(6)
		d.ignition = classLimit[d.class] + pick.Between(4, 110)
	}
	small := pick.Between(2, 14)
	if verdict == ambient {
		small = -small
	}
	large := max(small, 0) + pick.Between(3, 16)
	d.plateTop = []int{40, 45, 50, 55, 60, 70}[pick.Int(6)]
	d.plateLow = -5 * pick.Between(2, 8)
	atTop, atLow := small, large
	if pick.Int(2) == 0 {
		atTop, atLow = large, small
	}
	d.top, d.low = d.plateTop-atTop, d.plateLow+atLow
	if d.low > d.top-15 || d.low > 12 {
		return d, rejectPlace
	}
	return d, nil
}

// limit is the symbol of a class's surface temperature.
func limit(class int) formula.Sym { return formula.Sym(fmt.Sprintf("T_%d", class+1)) }

func (p *plan) place(l *scenarios.Loop, d placed) (exercises.Item, error) {
	w := p.start(l, "place", groups[d.gas], "intrinsic-safety")
	w.table("area", "place", "figure")
	w.row("zone", fmt.Sprint(levels[d.zone].zone))
	w.row("gas", groups[d.gas])
	w.row("ignition", w.bind("", symIgnition, whole(d.ignition), "°C", 0))
	w.row("low", w.bind("", symLow, whole(d.low), "°C", 0))
	w.row("top", w.bind("", symTop, whole(d.top), "°C", 0))
	w.table("plate", "plate", "figure")
	m := levels[d.mark]
	w.row("marking", fmt.Sprintf("Ex\u00a0%s\u00a0%s\u00a0T%d\u00a0%s", m.mark, groups[d.group], d.class+1, m.epl))
	w.row("plate-low", w.bind("", symPlateLow, whole(d.plateLow), "°C", 0))
	w.row("plate-top", w.bind("", symPlateTop, whole(d.plateTop), "°C", 0))
	w.table("classes", "class", "surface")
	for i, t := range classLimit {
		w.row("class", w.bind("", limit(i), whole(t), "°C", 0))
		rows := w.Item.Sheet.Figures[2].Table.Rows
		rows[i].Cells[0].Text = fmt.Sprintf("T%d", i+1)
	}
	for _, r := range []struct {
		sym formula.Sym
		n   int
	}{{symGas, d.gas}, {symGroup, d.group}, {symZone, d.zone}, {symLevel, d.mark}} {
		w.bind("", r.sym, whole(r.n+1), "", 0)
	}

	surface := limit(d.class)
	slips := []exercises.Told{
		{ID: "ambient-added", Name: "ambient added to the class", X: formula.Sub(symIgnition, formula.Add(surface, symTop))},
		{ID: "turned", Name: "taken the wrong way round", X: formula.Sub(surface, symIgnition)},
		{ID: "ambient-for-surface", Name: "ambient taken for the surface", X: formula.Sub(symIgnition, symTop)},
	}
	if d.class > 0 {
		slips = append(slips, exercises.Told{ID: "class-hotter", Name: "the class before taken", X: formula.Sub(symIgnition, limit(d.class-1))})
	}
	if d.class < 5 {
		slips = append(slips, exercises.Told{ID: "class-cooler", Name: "the class after taken", X: formula.Sub(symIgnition, limit(d.class+1))})
	}
	w.Ask("margin", formula.Definition{Sym: symMargin, Expr: formula.Sub(symIgnition, surface), Unit: "K"}, "", formula.Int(0), slips...)

	atTop, atLow := formula.Sub(symPlateTop, symTop), formula.Sub(symLow, symPlateLow)
	standard := formula.Min(formula.Sub(formula.Lit{V: whole(usualHigh), Unit: "°C"}, symTop), formula.Sub(symLow, formula.Lit{V: whole(usualLow), Unit: "°C"}))
	w.Ask("reserve", formula.Definition{Sym: symReserve, Expr: formula.Min(atTop, atLow), Unit: "K"}, "", formula.Int(0),
		exercises.Told{ID: "larger", Name: "the larger of the two given", X: formula.Max(atTop, atLow)},
		exercises.Told{ID: "widths", Name: "widths of the ranges compared", X: formula.Add(atTop, atLow)},
		exercises.Told{ID: "reserve-turned", Name: "taken the wrong way round", X: formula.Neg(formula.Min(atTop, atLow))},
		exercises.Told{ID: "standard-range", Name: "usual range taken for that of the nameplate", X: standard})

	w.pick("groups", rankOptions[0][:], d.group)
	w.pick("zones", rankOptions[1][:], d.mark)
	return w.Item, w.placeVerdict(standard, surface)
}

// rankOptions are the options of groups and of zones, by rank.
var rankOptions = [2][3]string{{"group-1", "group-2", "group-3"}, {"zone-1", "zone-2", "zone-3"}}

// pick adds a choice of what a rank covers. Whoever goes one too far and
// whoever leaves the rank itself out, whoever takes no notice of it and whoever
// turns the ranks round lands on the other options.
func (w *sheet) pick(name string, options []string, right int) {
	label := string(rune('a' + len(w.Item.Sheet.Parts)))
	key := w.ChoiceKey(label, options[right], exercises.Step{Text: w.Text("work." + name)})
	for i, o := range options {
		if i == right {
			continue
		}
		id, said := name+"-turned", "order turned round"
		switch {
		case right == 0 && i == 1:
			id, said = name+"-one-more", "taken one step too far"
		case right == 1 && i == 2:
			id, said = name+"-ignored", "marking taken no notice of"
		case i == right-1:
			id, said = name+"-itself-out", "what is named itself left out"
		}
		key.Slips = append(key.Slips, w.ChoiceSlip(label, id, said, o))
	}
	w.Item.Add(w.Choice(label, name, options...), key)
}

func (w *sheet) placeVerdict(standard, surface formula.Expr) error {
	zero := formula.Num(0)
	w.Item.Key.Env = w.Env
	tooHot := formula.Relation{A: symMargin, Op: formula.LessEq, B: zero}
	tooFar := formula.Relation{A: symReserve, Op: formula.Less, B: zero}
	noGroup := formula.Relation{A: symGroup, Op: formula.Less, B: symGas}
	noLevel := formula.Relation{A: symLevel, Op: formula.Less, B: symZone}
	return w.Choose("place", []string{may, hot, ambient, group, zone},
		[]exercises.Decision{{Rel: &tooHot, Option: hot}, {Rel: &tooFar, Option: ambient}, {Rel: &noGroup, Option: group}, {Rel: &noLevel, Option: zone}, {Option: may}},
		exercises.Misled{ID: "hot-unseen", Name: "class held against nothing", Option: may, Rel: &tooHot},
		exercises.Misled{ID: "ambient-unseen", Name: "ambient limits passed over", Option: may, Rel: &tooFar},
		exercises.Misled{ID: "group-unseen", Name: "group passed over", Option: may, Rel: &noGroup},
		exercises.Misled{ID: "zone-unseen", Name: "level of protection passed over", Option: may},
		exercises.Misled{ID: "ambient-on-top", Name: "ambient added to the class", Option: hot, Rel: &formula.Relation{A: formula.Add(surface, symTop), Op: formula.GreaterEq, B: symIgnition}},
		exercises.Misled{ID: "hot-turned", Name: "surface wanted above the ignition temperature", Option: hot},
		exercises.Misled{ID: "judged-by-standard", Name: "judged by the usual range", Option: ambient, Rel: &formula.Relation{A: standard, Op: formula.Less, B: zero}},
		exercises.Misled{ID: "ambient-turned", Name: "place wanted wider than the nameplate", Option: ambient},
		exercises.Misled{ID: "group-turned", Name: "IIA taken for the hardest group", Option: group, Rel: &formula.Relation{A: symGroup, Op: formula.Greater, B: symGas}},
		exercises.Misled{ID: "group-in-hand", Name: "a group in hand asked for", Option: group},
		exercises.Misled{ID: "zone-turned", Name: "zone 2 taken for the most dangerous", Option: zone, Rel: &formula.Relation{A: symLevel, Op: formula.Greater, B: symZone}},
		exercises.Misled{ID: "zone-in-hand", Name: "a level in hand asked for", Option: zone})
}
