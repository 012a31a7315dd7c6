package card

import (
	"strings"
	"time"
	"unicode/utf8"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// Ground is the reason why somebody may open a card. Its text is stored.
type Ground string

// The grounds.
const (
	AsLeader Ground = "leader on the day"
	AsOnCall Ground = "on-call on an alarm"
	AsSafety Ground = "safety officer after an incident"
)

// Reader is the person who wants to open a card.
type Reader struct {
	Name   string
	Email  string
	Phone  string
	Role   team.Role // on this hike; empty for none
	Safety bool      // a safety officer
	Took   bool      // has taken the current alarm
	OnCall bool      // holds the link of an alarm as on-call or deputy of this hike
}

// ReaderOf returns a reader who has signed in to the account.
func ReaderOf(a account.Account, h hike.Hike) Reader {
	r := Reader{Name: a.Name, Email: a.Email, Phone: a.Phone, Safety: a.Has(account.Safety)}
	for _, m := range h.Staff {
		if m.Account == a.ID {
			r.Role = m.Role
		}
	}
	return r
}

// Situation is the current state of a hike.
type Situation struct {
	Hike hike.Hike
	// Alarm: the watch of the hike is in alarm.
	Alarm bool
	// Incident: help was called, somebody was unwell or handed over, or a call went out.
	Incident bool
}

// MayOpen returns the ground on which the reader may open a whole card now, if there is one.
// It agrees with privacy.Disclosed. A person who took the alarm counts as on-call.
func MayOpen(r Reader, s Situation, now time.Time) (Ground, bool) {
	switch {
	case r.Role == team.Leader && running(s.Hike) && !now.Before(dayOf(s.Hike)):
		return AsLeader, true
	case s.Alarm && (r.Took || r.OnCall || r.is(s.Hike.OnCall) || r.is(s.Hike.Deputy)):
		return AsOnCall, true
	case s.Incident && r.Safety:
		return AsSafety, true
	}
	return "", false
}

// running excludes drafts and hikes that are called off or closed.
func running(h hike.Hike) bool {
	return h.State == hike.Posted || h.State == hike.Out || h.State == hike.Back
}

// dayOf returns midnight at the start of the hike's day, by the clock of the trailhead.
func dayOf(h hike.Hike) time.Time {
	y, m, d := h.Meet.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, h.Meet.Location())
}

// is reports whether the reader is the contact: by mail address if the contact has one, else
// by name and number, because two people may share a name.
func (r Reader) is(c team.Contact) bool {
	switch {
	case c.Name == "":
		return false
	case c.Email != "":
		return strings.EqualFold(c.Email, r.Email)
	}
	number := text.Digits(c.Phone)
	return r.Name == c.Name && text.Digits(r.Phone) == number && number != ""
}

// Opening is one opening of a whole card. Openings are added and never changed.
type Opening struct {
	ID     string // uuid text
	Of     Of
	By     string
	Ground Ground
	Reason string `db:"-"` // encrypted in the store
	At     time.Time
	// Person is whose card it was, and Title the title of the hike; the store sets them.
	Person, Title string
	// Lost: the reason cannot be read, because its key is missing.
	Lost bool `db:"-"`
}

// Length limits of a reason, in characters. Our judgment: about two words at least, and short
// enough to read in a log.
const (
	shortestReason = 8
	longestReason  = 500
)

// Validate returns a fault.Invalid if the reason is too short or too long.
func (o Opening) Validate() error {
	v := fault.Invalid{}
	switch n := utf8.RuneCountInString(strings.TrimSpace(o.Reason)); {
	case n < shortestReason:
		v.Add("reason", "Write why you open it, in a few words: the person reads them.")
	case n > longestReason:
		v.Add("reason", "This is too long. Write why in a sentence.")
	}
	return v.Err()
}
