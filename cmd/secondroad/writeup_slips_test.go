package secondroad

import (
	"fmt"
	"math"
)

// writeSlips makes an apprentice of each slip of "write it up".
func writeSlips(out map[string]apprentice) {
	table := func(id string, wrong func(j *jotted, run string, i int) float64) {
		out["errors/"+id] = func(s sheet, p part) (replies, error) {
			j, err := s.seeRecord()
			if err != nil {
				return nil, err
			}
			return j.fill(p, func(run string, i int) float64 { return wrong(j, run, i) }), nil
		}
	}
	off := func(j *jotted, run string, i int) float64 { return j.runs[run][i] - j.right[i] }
	table("sign", func(j *jotted, run string, i int) float64 { return -off(j, run, i) * 6.25 })
	table("milliamps", off)
	table("of-reading", func(j *jotted, run string, i int) float64 { return 100 - 100*j.right[i]/j.runs[run][i] })
	table("of-twenty", func(j *jotted, run string, i int) float64 { return 5 * off(j, run, i) })
	table("half-span", func(j *jotted, run string, i int) float64 { return 12.5 * off(j, run, i) })
	table("runs-swapped-usual", func(j *jotted, run string, i int) float64 {
		return 6.25 * off(j, map[string]string{"As found": "As left", "As left": "As found"}[run], i)
	})
	table("runs-swapped-hard", func(j *jotted, run string, i int) float64 { return 6.25 * off(j, "As left", i) })

	one := func(name string, wrong func(j *jotted) float64) {
		out[name] = func(s sheet, p part) (replies, error) {
			j, err := s.seeRecord()
			if err != nil {
				return nil, err
			}
			return replies{p.boxes[0].id: {number: wrong(j)}}, nil
		}
	}
	for task, of := range map[string]func(j *jotted) []float64{"worst": (*jotted).found, "worst-left": func(j *jotted) []float64 { return j.errors("As left") }} {
		one(task+"/worst-milliamps", func(j *jotted) float64 { return farthest(of(j)) * 0.16 })
		one(task+"/highest-signed", func(j *jotted) float64 { return highest(of(j)) })
		one(task+"/lowest-signed", func(j *jotted) float64 { return lowest(of(j)) })
		one(task+"/first-by-habit", func(j *jotted) float64 { return math.Abs(of(j)[0]) })
		one(task+"/last-by-habit", func(j *jotted) float64 { return math.Abs(of(j)[4]) })
		one(task+"/spread", func(j *jotted) float64 { return highest(of(j)) - lowest(of(j)) })
		one(task+"/mean", func(j *jotted) float64 { return sumOf(of(j)) / float64(len(of(j))) })
		one(task+"/margin", func(j *jotted) float64 { return math.Abs(j.tol - farthest(of(j))) })
		one(task+"/smallest", func(j *jotted) float64 {
			least := math.Inf(1)
			for _, e := range of(j) {
				least = math.Min(least, math.Abs(e))
			}
			return least
		})
	}
	one("worst/left-for-found", func(j *jotted) float64 { return farthest(j.errors("As left")) })
	one("worst-left/found-for-left", func(j *jotted) float64 { return farthest(j.found()) })

	one("hysteresis/hysteresis-milliamps", func(j *jotted) float64 { return farthest(j.gaps()) * 0.16 })
	one("hysteresis/hysteresis-halved", func(j *jotted) float64 { return farthest(j.gaps()) / 2 })
	one("hysteresis/worst-given", func(j *jotted) float64 { return farthest(j.found()) })
	one("hysteresis/all-spread", func(j *jotted) float64 { return highest(j.found()) - lowest(j.found()) })
	one("hysteresis/errors-added", func(j *jotted) float64 {
		var sums []float64
		for i, g := range j.gaps() {
			sums = append(sums, g+2*j.errors("As found, rising")[i])
		}
		return farthest(sums)
	})

	between := func(from, to string) float64 { return float64(dayNumber(to) - dayNumber(from)) }
	// The first day of the month after and of the month of a day.
	next := func(day string) string {
		for n := dayNumber(day) + 1; ; n++ {
			if d := dayOfNumber(n); d[8:] == "01" {
				return d
			}
		}
	}
	begin := func(day string) string { return day[:8] + "01" }
	one("days/from-order", func(j *jotted) float64 { return between(j.from, j.done) })
	one("days/to-order", func(j *jotted) float64 { return between(j.good, j.from) })
	one("days/to-due", func(j *jotted) float64 { return between(j.good, j.dues[0]) })
	one("days/first-month-whole", func(j *jotted) float64 { return between(begin(j.good), j.done) + 1 })
	one("days/between-forgotten", func(j *jotted) float64 {
		return between(j.good, next(j.good)) + between(begin(j.done), j.done)
	})
	one("days/thirty-each", func(j *jotted) float64 {
		months, from := 0, j.good
		for begin(from) < begin(j.done) {
			months, from = months+1, next(from)
		}
		return float64(30*months) + between(begin(j.done), j.done) - between(begin(j.good), j.good)
	})

	one("quantity/quantity-sign", func(j *jotted) float64 { return -j.miscounted(j.meanThere()) })
	one("quantity/hours-forgotten", func(j *jotted) float64 { return j.miscounted(j.meanThere()) / 24 })
	one("quantity/worst-counted", func(j *jotted) float64 { return j.miscounted(farthest(j.found())) })
	one("quantity/of-flow", func(j *jotted) float64 { return j.miscounted(j.meanThere() * j.at / 100) })
	one("quantity/left-counted", func(j *jotted) float64 { return j.miscounted(6.25 * off(j, "As left", j.place())) })
	one("quantity/not-halved", func(j *jotted) float64 { return j.miscounted(2 * j.meanThere()) })
	one("quantity/rising-alone", func(j *jotted) float64 { return j.miscounted(j.errors("As found, rising")[j.place()]) })
	one("quantity/falling-alone", func(j *jotted) float64 { return j.miscounted(j.errors("As found, falling")[j.place()]) })

	choose := func(name string, wrong func(j *jotted, p part) string) {
		out[name] = func(s sheet, p part) (replies, error) {
			j, err := s.seeRecord()
			if err != nil {
				return nil, err
			}
			r, err := p.choose(wrong(j, p))
			return replies{p.boxes[0].id: r}, err
		}
	}
	turned := func(j *jotted) string {
		if farthest(j.found()) <= j.tol {
			return isOutside
		}
		return isInside
	}
	choose("verdict/verdict-signed", func(j *jotted, p part) string { return j.byFigures(highest(j.found())) })
	choose("verdict/verdict-mean", func(j *jotted, p part) string {
		return j.byFigures(math.Abs(sumOf(j.found()) / float64(len(j.found()))))
	})
	choose("verdict/verdict-limit", func(j *jotted, p part) string { j.tol = j.adj; return j.byFigures(farthest(j.found())) })
	choose("verdict/verdict-turned", func(j *jotted, p part) string { return turned(j) })
	choose("verdict/due-misread", func(j *jotted, p part) string { return isVoid })
	choose("verdict/due-not-checked", func(j *jotted, p part) string { return j.byFigures(farthest(j.found())) })
	choose("verdict/due-and-verdict", func(j *jotted, p part) string { return turned(j) })

	choose("call/tolerance-for-limit", func(j *jotted, p part) string { j.adj = j.tol; return j.calls(p, farthest(j.found())) })
	choose("call/call-signed", func(j *jotted, p part) string { return j.calls(p, highest(j.found())) })
	choose("call/left-alone", func(j *jotted, p part) string { return toLeave })
	choose("call/needless", func(j *jotted, p part) string {
		if p.wordsAre(toTurn) {
			return toTurn
		}
		return toAdjust
	})
	choose("call/report-forgotten", func(j *jotted, p part) string { return toAdjust })
	choose("call/reported-inside", func(j *jotted, p part) string { return toReport })

	for id, words := range flaws {
		choose("entry/saw-"+id, func(*jotted, part) string { return words })
	}
}

func highest(x []float64) float64 {
	most := math.Inf(-1)
	for _, v := range x {
		most = math.Max(most, v)
	}
	return most
}

func lowest(x []float64) float64 {
	least := math.Inf(1)
	for _, v := range x {
		least = math.Min(least, v)
	}
	return least
}

// dayOfNumber is the day that has a running number, found by trying.
func dayOfNumber(n int) string {
	for y := n/366 - 1; ; y++ {
		for m := 1; m <= 12; m++ {
			first := fmt.Sprintf("%04d-%02d-01", y, m)
			if d := n - dayNumber(first); d >= 0 && d < 31 {
				day := fmt.Sprintf("%04d-%02d-%02d", y, m, d+1)
				// The next month may have begun.
				if next := fmt.Sprintf("%04d-%02d-01", y+m/12, m%12+1); dayNumber(next) > n {
					return day
				}
			}
		}
	}
}
