package scenarios

import (
	"fmt"
	"regexp"
	"strconv"
)

// datePattern is how a date is written: year, month and day after ISO 8601.
const datePattern = `^[0-9]{4}-(0[1-9]|1[0-2])-(0[1-9]|[12][0-9]|3[01])$`

var (
	dateForm  = regexp.MustCompile(`^([0-9]{4})-([0-9]{1,2})-([0-9]{1,2})$`)
	dayFirst  = regexp.MustCompile(`^([0-9]{1,2})[./]([0-9]{1,2})[./]([0-9]{4})$`)
	yearFirst = regexp.MustCompile(`^([0-9]{4})[./]([0-9]{1,2})[./]([0-9]{1,2})$`)
)

// date reads a day of the calendar, which stays text: nothing here knows what
// day it is today.
func (v *value) date(s string) *trouble {
	m := dateForm.FindStringSubmatch(s)
	if m == nil {
		hint := "write year, month and day, such as " + v.key.Example
		if d := yearFirst.FindStringSubmatch(s); d != nil {
			hint = fmt.Sprintf("write it with hyphens: %q", isoDate(d[1], d[2], d[3]))
		} else if d := dayFirst.FindStringSubmatch(s); d != nil {
			hint = fmt.Sprintf("write the year first, %q if the day stands first here", isoDate(d[3], d[2], d[1]))
		}
		return &trouble{RuleDate, fmt.Sprintf("%q is not a date", shorten(s)), hint}
	}
	year, _ := strconv.Atoi(m[1])
	month, _ := strconv.Atoi(m[2])
	day, _ := strconv.Atoi(m[3])
	switch {
	case month < 1 || month > 12:
		return &trouble{RuleDate, fmt.Sprintf("%q has no month of the calendar: the months are 01 to 12", s), "write year, month and day, such as " + v.key.Example}
	case day < 1 || day > daysOf(year, month):
		return &trouble{RuleDate, fmt.Sprintf("%q is no day of the calendar: that month has %d days", s, daysOf(year, month)), fmt.Sprintf("the last one is %s", isoDate(m[1], m[2], strconv.Itoa(daysOf(year, month))))}
	case len(m[2]) < 2 || len(m[3]) < 2:
		return &trouble{RuleDate, fmt.Sprintf("%q is not a date: month and day have two digits", s), fmt.Sprintf("write %q", isoDate(m[1], m[2], m[3]))}
	case v.key.Low != "" && s < v.key.Low || v.key.High != "" && s > v.key.High:
		return &trouble{RuleBounds, fmt.Sprintf("%s lies outside what is permitted, %s", s, limits(v.key)), "check the year"}
	}
	return nil
}

// isoDate puts a day together, with two digits each for month and day.
func isoDate(year, month, day string) string {
	two := func(s string) string {
		if len(s) < 2 {
			return "0" + s
		}
		return s
	}
	return year + "-" + two(month) + "-" + two(day)
}

// daysOf is how many days a month of the Gregorian calendar has.
func daysOf(year, month int) int {
	switch month {
	case 4, 6, 9, 11:
		return 30
	case 2:
		if year%4 == 0 && (year%100 != 0 || year%400 == 0) {
			return 29
		}
		return 28
	}
	return 31
}
