package unit

import (
	"fmt"
	"time"
)

// Date is a calendar day without a zone, for things such as the end of a certificate. The zone of the trailhead
// decides on which date an instant falls. The zero value is no date.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf returns the date of an instant in its own zone.
func DateOf(t time.Time) Date {
	if t.IsZero() {
		return Date{}
	}
	y, m, d := t.Date()
	return Date{y, m, d}
}

// ParseDate reads a date as written in forms and tables: 2027-03-14.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return Date{}, fmt.Errorf("date %q: want a day such as 2027-03-14", s)
	}
	return DateOf(t), nil
}

// Time returns midnight of the date in UTC, for storage and for counting days.
func (d Date) Time() time.Time {
	if d == (Date{}) {
		return time.Time{}
	}
	return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC)
}

// IsZero reports whether there is no date.
func (d Date) IsZero() bool { return d == Date{} }

// Before reports whether d is an earlier day than o.
func (d Date) Before(o Date) bool { return d.Time().Before(o.Time()) }

// Add returns the date a number of days later.
func (d Date) Add(days int) Date { return DateOf(d.Time().AddDate(0, 0, days)) }

// Until returns the number of days from d to a later date; negative for an earlier one.
func (d Date) Until(o Date) int { return int(o.Time().Sub(d.Time()) / (24 * time.Hour)) }

// Weekday returns the day of the week.
func (d Date) Weekday() time.Weekday { return d.Time().Weekday() }

// String writes the date in the form of ParseDate; no date is "".
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format(time.DateOnly)
}

// Words writes the date for people: "14 Mar 2027".
func (d Date) Words() string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format("2 Jan 2006")
}
