package unit

import (
	"fmt"
	"time"
)

// Date is a day of the calendar, without a zone. Certificates end and people are away by
// dates; which date an instant falls on is for the trailhead's zone to say. The zero value
// is no date.
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf returns the date of an instant in the zone that it carries.
func DateOf(t time.Time) Date {
	if t.IsZero() {
		return Date{}
	}
	y, m, d := t.Date()
	return Date{y, m, d}
}

// ParseDate reads a date as forms and tables write it: 2027-03-14.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return Date{}, fmt.Errorf("date %q: want a day such as 2027-03-14", s)
	}
	return DateOf(t), nil
}

// Time is midnight of the date in UTC, for storing and for counting days.
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

// Add returns the date so many days later.
func (d Date) Add(days int) Date { return DateOf(d.Time().AddDate(0, 0, days)) }

// Until returns how many days lie between d and a later date; less than zero for an
// earlier one.
func (d Date) Until(o Date) int { return int(o.Time().Sub(d.Time()) / (24 * time.Hour)) }

// Weekday returns the day of the week.
func (d Date) Weekday() time.Weekday { return d.Time().Weekday() }

// String writes the date as ParseDate reads it; no date is empty.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format(time.DateOnly)
}

// Words writes the date as people say it: "14 Mar 2027".
func (d Date) Words() string {
	if d.IsZero() {
		return ""
	}
	return d.Time().Format("2 Jan 2006")
}
