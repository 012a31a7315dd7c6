package hike

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Absence is when a person cannot. Without weekdays it is every day of the range; without
// a last day it does not end.
type Absence struct {
	ID       int64
	Account  int64
	From, To Date
	Weekdays []time.Weekday
	Note     string
}

// Validate returns an Invalid naming each fault.
func (a Absence) Validate() error {
	v := Invalid{}
	if a.From.IsZero() {
		v.Add("from", "Give the first day, such as 2027-03-14.")
	}
	if !a.To.IsZero() && a.To.Before(a.From) {
		v.Add("to", "The last day is before the first.")
	}
	if a.To.IsZero() && len(a.Weekdays) == 0 {
		v.Add("to", "Give the last day, or the weekdays on which you never can.")
	}
	v.atMost("note", a.Note, 200)
	return v.Err()
}

// Covers reports whether the person cannot on the day. First and last day count.
func (a Absence) Covers(day Date) bool {
	if day.Before(a.From) || !a.To.IsZero() && a.To.Before(day) {
		return false
	}
	return len(a.Weekdays) == 0 || slices.Contains(a.Weekdays, day.Weekday())
}

// Words say the absence: "1 Mar 2027 to 9 Mar 2027, only Sat and Sun".
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

// AwayOn returns the absence that covers the day.
func (q Qualification) AwayOn(day Date) (Absence, bool) {
	for _, a := range q.Absences {
		if a.Covers(day) {
			return a, true
		}
	}
	return Absence{}, false
}

// Fair is how many days back the fair share is counted.
// House judgement: a season of the trade is about three months.
const Fair = 90

// Candidate is somebody who might take a part on a hike.
type Candidate struct {
	Qualification
	Recent int  // hikes led in the last 90 days
	Last   Date // when they last led; zero for never
	// WhyNot are the reasons against; empty for who is free and qualified.
	WhyNot []string
}

// Free reports whether nothing speaks against asking them.
func (c Candidate) Free() bool { return len(c.WhyNot) == 0 }

// Candidates says who is free and qualified for a part on the hike, the fairest first:
// fewest led in the last 90 days, then the longest since they last led. The others follow
// in the same order with the reasons against. Duties are those of the days around.
func (c Crew) Candidates(role Role, people []Qualification, duties []Duty, roads Roads, today Date) []Candidate {
	var list []Candidate
	finish, basis := FinishOf(c.Hike, c.Trail, c.Plan)
	for _, q := range people {
		would := Duty{Account: q.Account, Name: q.Name, Hike: c.Hike.ID, Title: c.Hike.Title, Role: role, Trail: c.Hike.Trail,
			Meet: c.Hike.Meet, Finish: finish, Basis: basis}
		x := Candidate{Qualification: q, Recent: q.ledSince(today.Add(-Fair), today.Add(1)), Last: q.LastLed()}
		x.WhyNot = append(q.Fit(AskingOf(c.Hike, c.Trail, role, c.minors() > 0), c.Kinds).Why(), c.notFree(q, would, duties, roads)...)
		list = append(list, x)
	}
	slices.SortStableFunc(list, fairer)
	return list
}

func fairer(a, b Candidate) int {
	if a.Free() != b.Free() {
		if a.Free() {
			return -1
		}
		return 1
	}
	return cmp.Or(cmp.Compare(a.Recent, b.Recent), a.Last.Time().Compare(b.Last.Time()), cmp.Compare(a.Name, b.Name))
}

// notFree lists what else the person does then.
func (c Crew) notFree(q Qualification, would Duty, duties []Duty, roads Roads) []string {
	var why []string
	for _, s := range c.Hike.Staff {
		if s.Account == q.Account {
			why = append(why, fmt.Sprintf("is on this hike already, as %s, %s", s.Role, s.Answer))
		}
	}
	if who, is := PersonOf(c.Hike.OnCall, []Qualification{q}); is && would.Role != OnCallRole && who.Account == q.Account {
		why = append(why, "is on call for this hike")
	}
	if a, away := q.AwayOn(DateOf(c.Hike.Start)); away {
		why = append(why, strings.TrimSuffix("cannot: "+a.Words()+", "+a.Note, ", "))
	}
	for _, d := range duties {
		if d.Account != q.Account || d.Hike == would.Hike {
			continue
		}
		if clash, is := ClashOf(d, would, roads.Between); is {
			why = append(why, "clashes: "+strings.TrimSuffix(clash.Why, "."))
		}
	}
	return why
}
