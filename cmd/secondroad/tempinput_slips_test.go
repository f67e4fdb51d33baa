package secondroad

import (
	"fmt"
	"strings"
)

// The apprentices of "temperature inputs", each from the sentence that the key
// says to his slip.
var tempSlips = map[string]apprentice{}

// tempSlip makes an apprentice of one slip with a number.
func tempSlip(wrong func(in *tempInput) float64) apprentice {
	return func(s sheet, p part) (replies, error) {
		in, err := s.seeTemp()
		if err != nil {
			return nil, err
		}
		return replies{p.boxes[0].id: {number: wrong(in)}}, nil
	}
}

// tempChoice makes an apprentice of one slip with a choice.
func tempChoice(wrong func(in *tempInput) string) apprentice {
	return func(s sheet, p part) (replies, error) {
		in, err := s.seeTemp()
		if err != nil {
			return nil, err
		}
		return p.pick(wrong(in))
	}
}

// thumb is the rule of thumb with one slope, and back.
func thumb(celsius float64) float64 { return 100 + 0.385*celsius }

func init() {
	one := func(name string, wrong func(in *tempInput) float64) { tempSlips[name] = tempSlip(wrong) }
	choose := func(name string, wrong func(in *tempInput) string) { tempSlips[name] = tempChoice(wrong) }
	// The figures about a temperature.
	lower := func(in *tempInput, celsius float64) spot { return in.table[in.below(celsius)] }

	one("decade/percent-for-degrees", func(in *tempInput) float64 { return in.value(in.point) })
	one("decade/line-below", func(in *tempInput) float64 { return lower(in, in.goalAt()).v })
	one("decade/ohm-a-degree", func(in *tempInput) float64 {
		x := lower(in, in.goalAt())
		return x.v + in.goalAt() - x.celsius
	})
	one("decade/from-above", func(in *tempInput) float64 { return in.decade() + 10*in.slope(in.goalAt()) })
	one("decade/one-slope", func(in *tempInput) float64 { return thumb(in.goalAt()) })

	// From ohms or millivolts to degrees, wherever that is done.
	back := func(task string, of func(in *tempInput) float64) {
		one(task+"/line-below", func(in *tempInput) float64 { return lower(in, in.celsius(of(in))).celsius })
		one(task+"/degree-an-ohm", func(in *tempInput) float64 {
			x := lower(in, in.celsius(of(in)))
			return x.celsius + of(in) - x.v
		})
		one(task+"/from-above", func(in *tempInput) float64 { return in.celsius(of(in)) + 10 })
		one(task+"/multiplied", func(in *tempInput) float64 {
			t := in.celsius(of(in))
			x := lower(in, t)
			return x.celsius + (of(in)-x.v)*in.slope(t)
		})
		one(task+"/one-slope", func(in *tempInput) float64 { return (of(in) - 100) / 0.385 })
	}
	back("found", func(in *tempInput) float64 { return in.ohm })
	back("taken", (*tempInput).seen)

	one("current/live-zero-forgotten", func(in *tempInput) float64 { return in.milliamp(in.found()) - 4 })
	one("current/dead-zero", func(in *tempInput) float64 { return 20 * (in.found() - in.low) / in.span() })
	one("current/ends-swapped", func(in *tempInput) float64 { return 24 - in.milliamp(in.found()) })
	one("current/span-is-upper-end", func(in *tempInput) float64 { return 4 + 16*in.found()/in.high })

	mA := func(x float64) string { return strings.TrimSuffix(fmt.Sprintf("%.1f", x), ".0") + " mA" }
	set := func(in *tempInput) string { return mA(in.fail) }
	unset := func(in *tempInput) string { return mA(25 - in.fail) } // 3.5 and 21.5 mA
	cold := func(in *tempInput) string { return mA(in.lowest) }
	hot := func(in *tempInput) string { return mA(in.highest) }
	choose("open/direction-swapped", unset)
	choose("open/open-taken-for-cold", cold)
	choose("open/open-taken-for-hot", hot)
	choose("short/short-taken-for-open", set)
	choose("short/unset-failure", unset)
	choose("short/ohms-backwards", hot)
	choose("added/added-taken-for-open", set)
	choose("added/unset-failure", unset)
	choose("added/ohms-backwards", cold)

	one("seen/one-lead", func(in *tempInput) float64 { return in.value(in.at) + in.lead1 })
	one("seen/leads-forgotten", func(in *tempInput) float64 { return in.value(in.at) })
	one("seen/leads-taken-off", func(in *tempInput) float64 { return in.value(in.at) - (in.lead1 + in.lead2) })
	one("seen/third-lead", func(in *tempInput) float64 { return in.value(in.at) + in.lead1 + in.lead2 + in.lead3 })
	one("seen/line-below", func(in *tempInput) float64 { return lower(in, in.at).v + in.lead1 + in.lead2 })
	one("seen/one-slope", func(in *tempInput) float64 { return thumb(in.at) + in.lead1 + in.lead2 })

	one("taken/no-effect", func(in *tempInput) float64 { return in.at })
	one("taken/degree-for-ohm", func(in *tempInput) float64 { return in.at + in.lead1 + in.lead2 })
	one("taken/reads-low", func(in *tempInput) float64 { return in.at - (in.lead1+in.lead2)/in.slope(in.celsius(in.seen())) })

	one("error/sign-swapped", func(in *tempInput) float64 { return -in.twoError() })
	one("error/of-reading", func(in *tempInput) float64 { return 100*in.taken()/in.at - 100 })
	one("error/degrees-for-percent", func(in *tempInput) float64 { return in.taken() - in.at })
	one("error/milliamps-for-percent", func(in *tempInput) float64 { return in.milliamp(in.taken()) - in.milliamp(in.at) })
	one("error/ohms-for-percent", func(in *tempInput) float64 { return in.lead1 + in.lead2 })
	one("error/of-upper-end", func(in *tempInput) float64 { return 100 * (in.taken() - in.at) / in.high })

	one("left/sign-of-difference", func(in *tempInput) float64 { return -in.threeError() })
	one("left/cancels-all", func(in *tempInput) float64 { return 0 })
	one("left/leads-added", func(in *tempInput) float64 { return in.kelvins(in.lead1 + in.lead3) })
	one("left/as-two-wire", func(in *tempInput) float64 { return in.kelvins(in.lead1 + in.lead2) })
	one("left/ohms-for-kelvins", func(in *tempInput) float64 { return in.lead1 - in.lead3 })
	one("left/times-slope", func(in *tempInput) float64 { return (in.lead1 - in.lead3) * in.slope(in.at) })

	choose("verdict/leads-passed", func(*tempInput) string { return twoOrThree })
	choose("verdict/two-wire-never", func(*tempInput) string { return threeOnly })
	choose("verdict/three-wire-cures-all", func(*tempInput) string { return threeOnly })
	choose("verdict/no-lead-allowed", func(*tempInput) string { return noneOfThem })

	one("send/reference-forgotten", func(in *tempInput) float64 { return in.value(in.goal) })
	one("send/reference-added", func(in *tempInput) float64 { return in.value(in.goal) + in.value(in.terminals) })
	one("send/poles-swapped", func(in *tempInput) float64 { return in.value(in.terminals) - in.value(in.goal) })
	one("send/line-below", func(in *tempInput) float64 { return lower(in, in.goal).v - in.value(in.terminals) })
	one("send/head-for-terminals", func(in *tempInput) float64 { return in.value(in.goal) - in.value(in.head) })
	one("send/degrees-subtracted", func(in *tempInput) float64 { return in.value(in.goal - in.terminals) })

	one("whole/reference-forgotten", func(in *tempInput) float64 { return in.volt })
	one("whole/reference-subtracted", func(in *tempInput) float64 { return in.volt - in.value(in.terminals) })
	one("whole/head-for-terminals", func(in *tempInput) float64 { return in.volt + in.value(in.head) })
	one("whole/reference-twice", func(in *tempInput) float64 { return in.volt + 2*in.value(in.terminals) })
	one("whole/line-below", func(in *tempInput) float64 { return in.volt + lower(in, in.terminals).v })

	one("junction/line-below", func(in *tempInput) float64 { return lower(in, in.celsius(in.whole())).celsius })
	one("junction/from-above", func(in *tempInput) float64 { return in.celsius(in.whole()) + 10 })
	one("junction/degrees-added-too", func(in *tempInput) float64 { return in.celsius(in.whole()) + in.terminals })
	one("junction/degrees-taken-off", func(in *tempInput) float64 { return in.celsius(in.whole()) - in.terminals })
	one("junction/degrees-added", func(in *tempInput) float64 { return in.celsius(in.volt) + in.terminals })

	one("shift/shift-swapped", func(in *tempInput) float64 { return in.value(in.head) - in.value(in.terminals) })
	one("shift/shift-head", func(in *tempInput) float64 { return -in.value(in.head) })
	one("shift/shift-terminals", func(in *tempInput) float64 { return -in.value(in.terminals) })
	one("shift/shift-added", func(in *tempInput) float64 { return in.value(in.head) + in.value(in.terminals) })

	one("shown/copper-harmless", (*tempInput).junction)
	one("shown/whole-head-off", func(in *tempInput) float64 { return in.junction() - in.head })
	one("shown/line-below", func(in *tempInput) float64 { return lower(in, in.celsius(in.whole()+in.shift())).celsius })
	one("shown/shift-in-degrees", func(in *tempInput) float64 { return in.junction() + in.shift() })
	one("shown/degrees-of-junctions", func(in *tempInput) float64 { return in.junction() - in.head + in.terminals })
	one("shown/shift-other-way", func(in *tempInput) float64 { return in.celsius(in.whole() - in.shift()) })

	choose("which/copper-blamed", func(*tempInput) string { return copperCable })
	choose("which/short-blamed", func(*tempInput) string { return shortThere })
	choose("which/crossing-blamed", func(*tempInput) string { return wiresSwapped })
	choose("which/burnout-blamed", func(*tempInput) string { return burntThrough })
}
