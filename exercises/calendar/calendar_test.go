package calendar

import (
	"testing"
	"time"
)

// TestAgainstTheStandardLibrary walks every day of four hundred years, a whole
// round of the calendar, beside package time.
func TestAgainstTheStandardLibrary(t *testing.T) {
	start := time.Date(1800, 1, 1, 0, 0, 0, 0, time.UTC)
	first := Day{1800, 1, 1}
	for i := range 146097 {
		at := start.AddDate(0, 0, i)
		d := Day{at.Year(), int(at.Month()), at.Day()}
		if got := d.Number() - first.Number(); got != i {
			t.Fatalf("%v is %d days after %v, not %d", d, got, first, i)
		}
		if d.String() != at.Format(time.DateOnly) {
			t.Fatalf("%v is printed as %v", at, d)
		}
		if back, ok := Parse(d.String()); !ok || back != d {
			t.Fatalf("%v is read as %v, %v", d, back, ok)
		}
		if end := time.Date(d.Year, time.Month(d.Month)+1, 0, 0, 0, 0, 0, time.UTC); d.MonthEnd(0).Day != end.Day() {
			t.Fatalf("the month of %v ends with %v", d, d.MonthEnd(0))
		}
		if i%97 == 0 {
			for _, n := range []int{-800, -31, -1, 0, 1, 30, 366} {
				if got, want := d.Add(n), at.AddDate(0, 0, n); got.String() != want.Format(time.DateOnly) {
					t.Fatalf("%v and %d days give %v", d, n, got)
				}
			}
		}
	}
}

func TestParseRefuses(t *testing.T) {
	for _, s := range []string{"", "2027-02-29", "2100-02-29", "2027-13-01", "2027-00-10", "2027-04-31", "2027-4-1", "27-04-01", "2027-04-01x", "2027/04/01"} {
		if d, ok := Parse(s); ok {
			t.Errorf("%q is read as %v", s, d)
		}
	}
}
