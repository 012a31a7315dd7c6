package team

import (
	"slices"
	"strings"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/unit"
)

// Absence is a time when a person is not available. Without weekdays it covers every day of the
// range; without a last day it does not end.
type Absence struct {
	ID       int64
	Account  ref.Account
	From, To unit.Date
	Weekdays []time.Weekday
	Note     string
}

// Validate returns an Invalid that lists each fault.
func (a Absence) Validate() error {
	v := fault.Invalid{}
	if a.From.IsZero() {
		v.Add("from", "Give the first day, such as 2027-03-14.")
	}
	if !a.To.IsZero() && a.To.Before(a.From) {
		v.Add("to", "The last day is before the first.")
	}
	if a.To.IsZero() && len(a.Weekdays) == 0 {
		v.Add("to", "Give the last day, or the weekdays on which you never can.")
	}
	v.AtMost("note", a.Note, 200)
	return v.Err()
}

// Covers reports whether the absence includes the day. The first and last day count.
func (a Absence) Covers(day unit.Date) bool {
	if day.Before(a.From) || !a.To.IsZero() && a.To.Before(day) {
		return false
	}
	return len(a.Weekdays) == 0 || slices.Contains(a.Weekdays, day.Weekday())
}

// Words describes the absence: "1 Mar 2027 to 9 Mar 2027, only Sat and Sun".
func (a Absence) Words() string {
	text := a.From.Words()
	switch {
	case a.To.IsZero():
		text = "from " + text + " on"
	case a.To != a.From:
		text += " to " + a.To.Words()
	}
	var days []string
	for _, d := range a.Weekdays {
		days = append(days, d.String()[:3])
	}
	if len(days) > 0 {
		text += ", " + strings.Join(days, " and ")
	}
	return text
}

// AwayOn returns the absence that covers the day, if there is one.
func (q Qualification) AwayOn(day unit.Date) (Absence, bool) {
	for _, a := range q.Absences {
		if a.Covers(day) {
			return a, true
		}
	}
	return Absence{}, false
}
