package staffing

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
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
	Watchful                 // to be kept in sight
)

// Gap is one thing missing in the staffing of the days ahead.
type Gap struct {
	Severity Severity
	Hike     ref.Hike    // 0 where it is about a person alone
	Account  ref.Account // 0 where it is about a hike alone
	Day      unit.Date
	What     string // in a few words: no sweep, certificate ends
	Says     string // a sentence
}

// GapsAhead is how far the board of gaps looks.
// House judgement: hikes are proposed 60 days ahead, and the first warning of a
// certificate goes out then.
const GapsAhead = 60

// GapsOf lists what the staffing of one hike lacks. Near hikes are graver: within two
// weeks staff should stand.
func (c Crew) GapsOf(today unit.Date) []Gap {
	h, day := c.Hike, unit.DateOf(c.Hike.Start)
	near := Soon
	if today.Until(day) <= standBy {
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

// House judgement: from 14 days before the hike its staff should stand, when sign-up is
// under way.
const standBy = 14

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
			fmt.Sprintf("%s a place, and no adult on the hike is named as responsible.", format.Count(party.Minors, "minor has", "minors have"))})
		party.Minors = 0
	}
	n := party.Number()
	if n.Short > 0 {
		list = append(list, Gap{Soon, c.Hike.ID, 0, day, "too few staff",
			fmt.Sprintf("%s ask for %d of staff; %d of %d are qualified. With these, %s at most.", people(taken), n.Needed, party.Qualified, party.Persons, people(n.Most))})
	}
	if w := n.Permit.Words(party); w != "" {
		list = append(list, Gap{Grave, c.Hike.ID, 0, day, "over the limit", w})
	}
	if why := c.Provisional(); why != "" {
		list = append(list, Gap{Watchful, c.Hike.ID, 0, day, "provisional", "Provisional: " + why + "."})
	}
	return list
}

// CertificateGaps lists the certificates that end within 60 days or have ended, of people
// who act as staff. What has been replaced by a later paper is no gap.
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
				list = append(list, Gap{Soon, 0, q.Account, last.Through, "certificate ended", fmt.Sprintf("%s: %s was valid through %s.", q.Name, c.Kind, last.Through.Words())})
			case days <= GapsAhead:
				list = append(list, Gap{Watchful, 0, q.Account, last.Through, "certificate ends", fmt.Sprintf("%s: %s is valid through %s, %s from now.", q.Name, c.Kind, last.Through.Words(), format.Count(days, "day", "days"))})
			}
		}
	}
	return list
}

// ClashGap is a clash as the board of gaps shows it.
func ClashGap(c Clash) Gap {
	return Gap{Grave, c.Then.Hike, c.Then.Account, unit.DateOf(c.Then.Meet), "clash",
		fmt.Sprintf("%s as %s and as %s: %s", c.Then.Name, c.First.Role, c.Then.Role, c.Why)}
}

// SortGaps puts gaps in the order of the day, and on one day the gravest first.
func SortGaps(list []Gap) {
	slices.SortStableFunc(list, func(a, b Gap) int {
		return cmp.Or(a.Day.Time().Compare(b.Day.Time()), cmp.Compare(a.Severity, b.Severity), cmp.Compare(a.Hike, b.Hike))
	})
}

// Reminder is a warning about a certificate, sent once.
type Reminder struct {
	Key     string // the same for the same warning
	Account ref.Account
	Name    string
	Kind    string
	Through unit.Date
	Step    int // 60, 30 or 7: days before the end, or before the hike
	Days    int // left
	Hike    ref.Hike
	Title   string // of the hike, empty where it is about the certificate alone
	Role    team.Role
	HikeDay unit.Date
}

// reminderSteps are when people are told: common practice of the trade, in days.
func reminderSteps() []int { return []int{7, 30, 60} }

// ReminderStep returns the step that is due so many days before: 60, 30 or 7. It is 0
// before the first and after the day. A step that was missed is told late, once.
func ReminderStep(days int) int {
	for _, step := range reminderSteps() {
		if days >= 0 && days <= step {
			return step
		}
	}
	return 0
}

// CertificateReminders lists the warnings due for papers that end.
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

// Reminders lists the warnings due for papers that will have ended on the day of this
// hike. They are counted from the hike's day, in the trailhead's zone.
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
			list = append(list, Reminder{Key: "hike-" + strconv.FormatInt(int64(c.Hike.ID), 10) + fmt.Sprintf("-certificate-%d-%s/%d", paper.ID, paper.Through, step),
				Account: s.Account, Name: s.Name, Kind: k.Name, Through: paper.Through, Step: step, Days: days,
				Hike: c.Hike.ID, Title: c.Hike.Title, Role: s.Role, HikeDay: day})
		}
	}
	return list
}

// Warnings are what whoever schedules the hike is told at once: what speaks against its
// staff on the day.
func (c Crew) Warnings() (list []string) {
	for _, m := range c.Members() {
		if why := m.Fit.Why(); m.Role != team.Assistant && len(why) > 0 {
			list = append(list, team.SentenceOf(m.Name, why))
		}
	}
	return list
}

// Says is the warning in a sentence.
func (r Reminder) Says() string {
	left := format.Count(r.Days, "day", "days")
	if r.Hike != 0 {
		return fmt.Sprintf("%s is %s of %s on %s, %s from now. Their %s is valid through %s only, so it does not count that day.",
			r.Name, r.Role, r.Title, r.HikeDay.Words(), left, r.Kind, r.Through.Words())
	}
	return fmt.Sprintf("The %s of %s is valid through %s, %s from now. That day still counts; the next does not.", r.Kind, r.Name, r.Through.Words(), left)
}
