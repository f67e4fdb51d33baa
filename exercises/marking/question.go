package marking

import (
	"errors"
	"fmt"
	"math/big"
	"slices"
)

// Question is what an answer is judged against. Exactly one of the pointers is
// set.
type Question struct {
	Number *Number
	Choice *Choice
	Order  *Order
}

// UnitMode says where the unit comes from.
type UnitMode string

// The unit modes.
const (
	UnitGiven    UnitMode = "given"    // printed beside the box; may be typed
	UnitRequired UnitMode = "required" // to be typed
)

// Number is a question for a number.
type Number struct {
	Key       *big.Rat
	Tolerance *big.Rat // in the unit of the key, closed; 0 or more
	Unit      string   // as printed or as in a scenario; empty for a pure number
	Of        string   // of what a percentage is taken: "of span"; empty for unsaid
	Mode      UnitMode // empty is given

	// Difference says that the quantity is a difference of two values, so
	// that 1 °C converts to 1.8 °F.
	Difference bool
	// Figures is the number of significant figures asked for; 0 for none.
	Figures int
	// LastPlace is one unit of the last place asked for, 0.01 for two
	// decimals; nil where no place is asked for.
	LastPlace *big.Rat
	// Low and High, both or neither, are what the instrument can show, in
	// the unit of the key. A reading outside drops out where another is left.
	Low, High *big.Rat
	// Mark is the decimal mark that the course declares, '.' or ','; 0 for
	// none.
	Mark rune
}

// Choice is a question with options.
type Choice struct {
	Options []Option
	Right   string // id of the right option
}

// Option is one option with everything that may be typed for it.
type Option struct {
	ID    string
	Names []string // its text and synonyms; the id always counts too
}

// Order is a question for the order of steps.
type Order struct {
	Steps []Option
	// Before lists pairs of ids of which the first must precede the second;
	// together they are the partial order. Safety lists those pairs whose
	// first step keeps people safe; they need not be repeated in Before.
	Before, Safety [][2]string
	Marks          int // whole; the mark is rounded down to one
}

// mostSteps bounds the search for the nearest right order, which takes time
// and space in 2^n.
const mostSteps = 16

// Check reports faults of the exercise itself; whoever draws exercises calls
// it on each draw. [Judge] gives the same error.
func (q Question) Check() error {
	set := 0
	var err error
	if q.Number != nil {
		set++
		err = q.Number.check()
	}
	if q.Choice != nil {
		set++
		err = q.Choice.check()
	}
	if q.Order != nil {
		set++
		_, err = q.Order.relation()
	}
	if set != 1 {
		return errors.New("a question is one of number, choice and order")
	}
	return err
}

func (n *Number) check() error {
	switch {
	case n.Key == nil || n.Tolerance == nil:
		return errors.New("a question for a number needs a key and a tolerance")
	case n.Tolerance.Sign() < 0:
		return fmt.Errorf("the tolerance %s is below 0", n.Tolerance.RatString())
	case n.Mode != "" && n.Mode != UnitGiven && n.Mode != UnitRequired:
		return fmt.Errorf("unit mode %q is neither %q nor %q", n.Mode, UnitGiven, UnitRequired)
	case n.Mode == UnitRequired && n.Unit == "":
		return errors.New("a unit is required and the key has none")
	case n.Figures < 0:
		return fmt.Errorf("%d figures asked for", n.Figures)
	case n.Mark != 0 && n.Mark != '.' && n.Mark != ',':
		return fmt.Errorf("the decimal mark %q is neither point nor comma", n.Mark)
	case (n.Low == nil) != (n.High == nil):
		return errors.New("the range of the instrument has one end only")
	case n.Low != nil && n.Low.Cmp(n.High) > 0:
		return fmt.Errorf("the range of the instrument runs from %s down to %s", n.Low.RatString(), n.High.RatString())
	}
	if n.LastPlace != nil {
		half := new(big.Rat).Mul(n.LastPlace, big.NewRat(1, 2))
		if n.Tolerance.Cmp(half) < 0 {
			return fmt.Errorf("the tolerance %s is under half a unit of the last place asked for, %s: a rightly rounded answer could be wrong",
				n.Tolerance.RatString(), half.RatString())
		}
	}
	return nil
}

// named checks options or steps and gives what may be typed for each.
func named(list []Option) (map[string]int, error) {
	names := map[string]int{}
	for i, o := range list {
		if o.ID == "" {
			return nil, fmt.Errorf("option %d has no id", i+1)
		}
		for _, name := range append([]string{o.ID}, o.Names...) {
			t, _, ok := tidyWords(name)
			if !ok || t == "" {
				return nil, fmt.Errorf("option %q has a name that nobody can type, %q", o.ID, name)
			}
			if j, have := names[t]; have && j != i {
				return nil, fmt.Errorf("options %q and %q are both called %q", list[j].ID, o.ID, name)
			}
			names[t] = i
		}
	}
	return names, nil
}

func (c *Choice) check() error {
	if _, err := named(c.Options); err != nil {
		return err
	}
	if !slices.ContainsFunc(c.Options, func(o Option) bool { return o.ID == c.Right }) {
		return fmt.Errorf("the right option %q is not among the options", c.Right)
	}
	return nil
}

// Judge judges one typed answer. The error is that of [Question.Check]; no
// text gives one.
func Judge(q Question, text string) (Result, error) {
	if err := q.Check(); err != nil {
		return Result{}, err
	}
	switch {
	case q.Number != nil:
		return q.Number.judge(text), nil
	case q.Choice != nil:
		return q.Choice.judge(text), nil
	}
	return q.Order.judge(text), nil
}
