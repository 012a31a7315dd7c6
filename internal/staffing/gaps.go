package staffing

import (
	"cmp"
	"fmt"
	"slices"
	"time"

	"saltbush/internal/format"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/unit"
)

// Severity says how soon somebody must act on a gap.
type Severity int

// The severities, the gravest first.
const (
	Grave    Severity = iota // the hike cannot go like this
	Soon                     // somebody must act
	Watchful                 // nothing to do yet
)

// Gap is one thing missing in the staffing of the days ahead.
type Gap struct {
	Severity Severity
	Hike     ref.Hike    // 0 if it is only about a person
	Account  ref.Account // 0 if it is only about a hike
	Day      unit.Date
	What     string // in a few words: no sweep, certificate ends
	Says     string // a sentence
}

// GapsAhead is how many days ahead gaps are listed. Our judgment: hikes are proposed 60 days
// ahead, and the first reminder about a certificate is sent then.
const GapsAhead = 60

// GapsOf lists what the staffing of one hike lacks. Gaps of hikes in the next two weeks are
// graver.
func (c Crew) GapsOf(today unit.Date) []Gap {
	h, day := c.Hike, unit.DateOf(c.Hike.Start)
	near := Soon
	if today.Until(day) <= nearDays {
		near = Grave
	}
	var list []Gap
	add := func(s Severity, what, says string) {
		list = append(list, Gap{Severity: s, Hike: h.ID, Day: day, What: what, Says: says})
	}
	for _, role := range []team.Role{team.Leader, team.Sweep} {
		if s, named := h.StaffOf(role); !named {
			add(near, "no "+string(role), "Nobody is named.")
		} else if !s.Accepted() {
			add(near, string(role)+" not accepted", s.Name+" has been asked and has not said yes.")
		}
	}
	switch h.OnCallAnswer() {
	case "":
		add(near, "no on-call", "Nobody would notice if this party did not come back.")
	case team.AnswerAsked:
		add(near, "on-call not accepted", h.OnCall.Name+" is named and has not said yes.")
	}
	for _, m := range c.Members() {
		switch {
		case m.Role != team.Assistant && len(m.Alone) > 0:
			add(Grave, string(m.Role)+" not qualified", team.SentenceOf(m.Name, m.Alone))
		case !m.Fit.Known:
			add(Soon, "not on record", m.Name+" has no qualification on record: nothing is known.")
		case len(m.Helped) > 0:
			add(Watchful, "only with help", team.SentenceOf(m.Name, m.Helped))
		}
	}
	return append(list, c.numberGaps(day)...)
}

// nearDays is from how many days before a hike its staff should be complete. Our judgment: that
// is when people sign up.
const nearDays = 14

func (c Crew) numberGaps(day unit.Date) (list []Gap) {
	taken := 0
	for _, p := range c.Places {
		if p.State == signup.Confirmed {
			taken++
		}
	}
	party := c.Party(taken)
	if party.Responsible == 0 && party.Minors > 0 {
		list = append(list, Gap{Soon, c.Hike.ID, 0, day, "minors alone",
			fmt.Sprintf("%s a place, and no adult on the hike is named as responsible.",
				format.Count(party.Minors, "minor has", "minors have"))})
		party.Minors = 0
	}
	n := party.Number()
	if n.Short > 0 {
		list = append(list, Gap{Soon, c.Hike.ID, 0, day, "too few staff",
			fmt.Sprintf("%s ask for %d of staff; %d of %d are qualified. With these, %s at most.",
				people(taken), n.Needed, party.Qualified, party.Persons, people(n.Most))})
	}
	if w := n.Permit.Words(party); w != "" {
		list = append(list, Gap{Grave, c.Hike.ID, 0, day, "over the limit", w})
	}
	if why := c.Provisional(); why != "" {
		list = append(list, Gap{Watchful, c.Hike.ID, 0, day, "provisional", "Provisional: " + why + "."})
	}
	return list
}

// CertificateGaps lists the certificates of the staff that ended, or end within 60 days. A
// certificate that was replaced by a later one is not listed.
func CertificateGaps(people []team.Qualification, today unit.Date) (list []Gap) {
	for _, q := range people {
		seen := map[string]bool{}
		for _, c := range q.Certificates {
			last, _ := q.Certificate(c.Kind)
			if seen[c.Kind] || last.Through.IsZero() {
				continue
			}
			seen[c.Kind] = true
			days := today.Until(last.Through)
			switch {
			case days < 0:
				list = append(list, Gap{Soon, 0, q.Account, last.Through, "certificate ended",
					fmt.Sprintf("%s: %s was valid through %s.", q.Name, c.Kind, last.Through.Words())})
			case days <= GapsAhead:
				list = append(list, Gap{Watchful, 0, q.Account, last.Through, "certificate ends",
					fmt.Sprintf("%s: %s is valid through %s, %s from now.",
						q.Name, c.Kind, last.Through.Words(), format.Count(days, "day", "days"))})
			}
		}
	}
	return list
}

// ClashGap returns a clash as a gap.
func ClashGap(c Clash) Gap {
	return Gap{Grave, c.Then.Hike, c.Then.Account, unit.DateOf(c.Then.Meet), "clash",
		fmt.Sprintf("%s as %s and as %s: %s", c.Then.Name, c.First.Role, c.Then.Role, c.Why)}
}

// SortGaps sorts gaps by day, and within a day by severity.
func SortGaps(list []Gap) {
	slices.SortStableFunc(list, func(a, b Gap) int {
		return cmp.Or(a.Day.Time().Compare(b.Day.Time()), cmp.Compare(a.Severity, b.Severity),
			cmp.Compare(a.Hike, b.Hike))
	})
}

// Reminder is a reminder about a certificate. It is sent once.
type Reminder struct {
	Key     string // the same for the same reminder
	Account ref.Account
	Name    string
	Kind    string
	Through unit.Date
	Step    int // 60, 30 or 7: days before the end, or before the hike
	Days    int // left
	Hike    ref.Hike
	Title   string // of the hike; empty if it is only about the certificate
	Role    team.Role
	HikeDay unit.Date
}

// reminderSteps are the days before the end on which people are reminded. Common practice, no
// source.
func reminderSteps() []int { return []int{7, 30, 60} }

// ReminderStep returns the step that is due so many days before: 60, 30 or 7. It is 0 before
// the first step and after the day. A step that was missed is sent late, once.
func ReminderStep(days int) int {
	for _, step := range reminderSteps() {
		if days >= 0 && days <= step {
			return step
		}
	}
	return 0
}

// CertificateReminders lists the reminders due for certificates that end.
func CertificateReminders(people []team.Qualification, today unit.Date) (list []Reminder) {
	for _, q := range people {
		for _, c := range q.Certificates {
			last, _ := q.Certificate(c.Kind)
			days := today.Until(c.Through)
			if step := ReminderStep(days); last == c && !c.Through.IsZero() && step > 0 {
				list = append(list, Reminder{Key: fmt.Sprintf("certificate-%d-%s/%d", c.ID, c.Through, step),
					Account: q.Account, Name: q.Name, Kind: c.Kind, Through: c.Through, Step: step, Days: days})
			}
		}
	}
	return list
}

// Reminders lists the reminders due for certificates that will have ended on the day of this
// hike. They count the days to the hike, in the trailhead's zone.
func (c Crew) Reminders(now time.Time) (list []Reminder) {
	day := unit.DateOf(c.Hike.Start)
	days := unit.DateOf(now.In(c.Hike.Start.Location())).Until(day)
	step := ReminderStep(days)
	if step == 0 {
		return nil
	}
	for _, s := range c.Hike.Staff {
		for _, k := range c.Kinds {
			paper, has := c.People[s.Account].Certificate(k.Name)
			if !has || paper.ValidOn(day) || !k.Asked(AskingOf(c.Hike, c.Trail, s.Role, c.minors() > 0)) {
				continue
			}
			list = append(list,
				Reminder{Key: fmt.Sprintf("hike-%d-certificate-%d-%s/%d", c.Hike.ID, paper.ID, paper.Through, step),
					Account: s.Account, Name: s.Name, Kind: k.Name, Through: paper.Through, Step: step, Days: days,
					Hike: c.Hike.ID, Title: c.Hike.Title, Role: s.Role, HikeDay: day})
		}
	}
	return list
}

// Warnings says what speaks against the staff on the day. Whoever schedules the hike reads it
// at once.
func (c Crew) Warnings() (list []string) {
	for _, m := range c.Members() {
		if why := m.Fit.Why(); m.Role != team.Assistant && len(why) > 0 {
			list = append(list, team.SentenceOf(m.Name, why))
		}
	}
	return list
}

// Says is the reminder in a sentence.
func (r Reminder) Says() string {
	left := format.Count(r.Days, "day", "days")
	if r.Hike != 0 {
		return fmt.Sprintf("%s is %s of %s on %s, %s from now. Their %s is valid through %s only, so it does not "+
			"count that day.",
			r.Name, r.Role, r.Title, r.HikeDay.Words(), left, r.Kind, r.Through.Words())
	}
	return fmt.Sprintf("The %s of %s is valid through %s, %s from now. That day still counts; the next does not.",
		r.Kind, r.Name, r.Through.Words(), left)
}
