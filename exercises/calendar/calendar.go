// Package calendar reckons with days of the Gregorian calendar that are printed
// in exercises: due dates, dates of a job, days between two of them. It knows
// no clock; no day is ever held against today.
//
// For most uses [Parse] a day; [Day.Number] makes it a number to subtract.
package calendar

import "fmt"

// Day is a day of the calendar.
type Day struct {
	Year  int // 1 to 9999
	Month int // 1 to 12
	Day   int // 1 to 31
}

// String prints a day as "2028-03-31", as in ISO 8601.
func (d Day) String() string { return fmt.Sprintf("%04d-%02d-%02d", d.Year, d.Month, d.Day) }

// Parse reads a day as [Day.String] prints it. A day that the calendar does not
// have is none.
func Parse(s string) (Day, bool) {
	var d Day
	n, err := fmt.Sscanf(s, "%d-%d-%d", &d.Year, &d.Month, &d.Day)
	if err != nil || n != 3 || s != d.String() || d.Year < 1 || d.Month < 1 || d.Month > 12 || d.Day < 1 || d.Day > MonthLength(d.Year, d.Month) {
		return Day{}, false
	}
	return d, true
}

// MonthLength is how many days a month has. A month beyond 12 or below 1 is of
// a year after or before.
func MonthLength(year, month int) int {
	year, month = carry(year, month)
	if leap := year%4 == 0 && year%100 != 0 || year%400 == 0; month == 2 && leap {
		return 29
	}
	return [...]int{31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31}[month-1]
}

func carry(year, month int) (y, m int) {
	n := year*12 + month - 1
	return n / 12, n%12 + 1
}

// MonthEnd is the last day of the month n months later; n may be negative.
func (d Day) MonthEnd(n int) Day {
	y, m := carry(d.Year, d.Month+n)
	return Day{y, m, MonthLength(y, m)}
}

// Number counts days from the first of January of the year 1, which is 1; so
// the difference of two is the days between them.
func (d Day) Number() int {
	y := d.Year - 1
	n := 365*y + y/4 - y/100 + y/400
	for m := 1; m < d.Month; m++ {
		n += MonthLength(d.Year, m)
	}
	return n + d.Day
}

// Add gives the day n days later; n may be negative.
func (d Day) Add(n int) Day {
	d.Day += n
	for d.Day > MonthLength(d.Year, d.Month) {
		d.Day -= MonthLength(d.Year, d.Month)
		d.Year, d.Month = carry(d.Year, d.Month+1)
	}
	for d.Day < 1 {
		d.Year, d.Month = carry(d.Year, d.Month-1)
		d.Day += MonthLength(d.Year, d.Month)
	}
	return d
}
