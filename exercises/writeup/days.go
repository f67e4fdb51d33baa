package writeup

import "loopdrill/exercises/calendar"

// counted is how the days from one day to a later one are counted by hand: what
// is left of the first month, the whole months between, and the days of the last
// month.
type counted struct {
	first, length int // day of the month of the first day, and how long that month is
	between       int // days of the whole months between
	months        int // from the one month to the other
	last          int // day of the month of the last day
}

// count counts from one day to a later one in another month.
func count(from, to calendar.Day) counted {
	c := counted{first: from.Day, last: to.Day, length: calendar.MonthLength(from.Year, from.Month),
		months: 12*(to.Year-from.Year) + to.Month - from.Month}
	for i := 1; i < c.months; i++ {
		// The month after December is January of the next year.
		c.between += calendar.MonthLength(from.Year, from.Month+i)
	}
	return c
}
