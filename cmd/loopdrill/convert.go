package main

import (
	"errors"
	"fmt"
	"strings"

	"loopdrill/scenarios/formula"
	"loopdrill/scenarios/unit"
)

const convertHelp = `Carry a value from one range into another and show the working.

Usage:
  loopdrill convert VALUE --from RANGE --to RANGE [OPTIONS]

VALUE is a number with or without a unit: 12.7, "12.7 mA", -45. Another unit of
the same kind is first converted into that of the range. A RANGE is two ends and
a unit, such as "4..20 mA"; upside down, such as "20..4 mA", it acts in reverse.
Without a unit it is a plain number, such as "0..1023".

Ranges:
  --from RANGE     the range in which VALUE is given
  --to RANGE       the range in which it is wanted

Law (in proportion without either):
  --root           the square root on the way, as from differential pressure to flow
  --square         the square on the way, as from flow back to differential pressure

Output:
  --decimals N     decimals of the result, 0 to 9 (default: as many as the range
                   has, and enough to show 0.1 % of its span)
  --json           for a machine: rounded and unrounded value, unit, working
  -h, --help       this text

Example:
  $ loopdrill convert "12.7 mA" --from "4..20 mA" --to "0..350 gpm" --root
`

// conversion is a value on its way from one range to another.
type conversion struct {
	given    unit.Quantity // as it was written
	from, to unit.Range
	law      law
	decimals int // of the result; negative: chosen by the range

	value formula.Binding // the given in the unit of from
	def   formula.Definition
	env   formula.Env
	share formula.Definition // percent of span of from
	notes []string
}

// law is what happens to the fraction of span on its way.
type law string

const (
	proportional law = "proportional"
	root         law = "root"
	square       law = "square"
)

func (a app) runConvert(args []string) int {
	flags := newFlags("convert")
	from := flags.String("from", "", "")
	to := flags.String("to", "", "")
	withRoot := flags.Bool("root", false, "")
	withSquare := flags.Bool("square", false, "")
	decimals := flags.Int("decimals", -1, "")
	asJSON := flags.Bool("json", false, "")
	if code, done := a.parseFlags(flags, args, convertHelp); done {
		return code
	}
	wrong := func(err error, where string) int {
		var m *unit.Mistake
		if errors.As(err, &m) && m.Hint != "" {
			return a.wrongUsage("convert", where+m.What, m.Hint)
		}
		return a.wrongUsage("convert", where+err.Error())
	}

	c := conversion{law: proportional, decimals: *decimals}
	switch {
	case flags.NArg() == 0:
		return a.wrongUsage("convert", "there is no value to convert")
	case *from == "" || *to == "":
		return a.wrongUsage("convert", "both --from and --to are needed", `for example --from "4..20 mA" --to "0..100 %"`)
	case *withRoot && *withSquare:
		return a.wrongUsage("convert", "--root and --square undo each other", "give one of them")
	case flags.Changed("decimals") && (*decimals < 0 || *decimals > 9):
		return a.wrongUsage("convert", fmt.Sprintf("--decimals is %d, it must be 0 to 9", *decimals))
	case *withRoot:
		c.law = root
	case *withSquare:
		c.law = square
	}
	var err error
	// A unit that was written without quotes comes as an argument of its own.
	if c.given, err = unit.Parse(strings.Join(flags.Args(), " ")); err != nil {
		return wrong(err, "")
	}
	if c.from, err = unit.ParseRange(*from); err != nil {
		return wrong(err, "--from: ")
	}
	if c.to, err = unit.ParseRange(*to); err != nil {
		return wrong(err, "--to: ")
	}
	for _, end := range []struct {
		flag string
		r    unit.Range
	}{{"--from", c.from}, {"--to", c.to}} {
		if end.r.Span().IsZero() {
			return a.wrongUsage("convert", fmt.Sprintf("%s: %s has no span", end.flag, end.r), "give two different ends")
		}
	}
	if c.value, err = c.bindGiven(); err != nil {
		return wrong(err, "")
	}

	c.write()
	if c.law != proportional && c.share.Eval(c.env).Sign() < 0 {
		a.complain("convert", fmt.Sprintf("%s lies below the range %s: at %s of span there is no flow and no %s",
			c.given.Text(), c.from, formula.WithUnit(c.share.Result(c.env).Value, "%"),
			map[law]string{root: "square root", square: "differential pressure"}[c.law]))
		return exitFaults
	}
	if err := c.note(); err != nil {
		a.complain("convert", err.Error())
		return exitFaults
	}
	if *asJSON {
		return a.print(c.json())
	}
	if code := a.print(c.text()); code != exitFine {
		return code
	}
	for _, n := range c.notes {
		fmt.Fprintf(a.Stderr, "note: %s\n", n)
	}
	return exitFine
}
