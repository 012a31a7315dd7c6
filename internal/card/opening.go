package card

import (
	"strings"
	"time"
	"unicode/utf8"

	"saltbush/internal/account"
	"saltbush/internal/fault"
	"saltbush/internal/hike"
	"saltbush/internal/team"
)

// Ground is what entitles somebody to open a card.
type Ground string

// The grounds.
const (
	AsLeader Ground = "leader on the day"
	AsOnCall Ground = "on-call on an alarm"
	AsSafety Ground = "safety officer after an incident"
)

// Reader is whoever asks to read: an account, or the name in the link of an alarm.
type Reader struct {
	Name  string
	Email string
	Phone string
	// Part is the person's part on this hike, empty for none.
	Part   team.Role
	Safety bool // is the safety officer
	// Took says that they have taken the alarm as it stands.
	Took bool
	// Linked says that the name comes from the link of an alarm of this hike.
	Linked bool
}

// ReaderOf is the reader who has signed in to an account.
func ReaderOf(a account.Account, h hike.Hike) Reader {
	r := Reader{Name: a.Name, Email: a.Email, Phone: a.Phone, Safety: a.Has(account.Safety)}
	for _, m := range h.Staff {
		if m.Account == a.ID {
			r.Part = m.Role
		}
	}
	return r
}

// Situation is how a hike stands when somebody asks.
type Situation struct {
	Hike hike.Hike
	// Alarm says that the watch of the hike is in alarm, Incident that something happened
	// on it: help was asked for, somebody was unwell or handed over, or a call went out.
	Alarm, Incident bool
}

// MayOpen returns the ground on which somebody may open a whole card at a moment, as
// hike.Disclosed has it. Whoever took the alarm is on call for it.
func MayOpen(r Reader, s Situation, now time.Time) (Ground, bool) {
	switch {
	case r.Part == team.Leader && running(s.Hike) && !now.Before(dayOf(s.Hike)):
		return AsLeader, true
	case s.Alarm && (r.Took || r.is(s.Hike.OnCall) || r.is(s.Hike.Deputy)):
		return AsOnCall, true
	case s.Incident && r.Safety:
		return AsSafety, true
	}
	return "", false
}

// running excludes hikes that have not been made public, do not take place, or are over.
func running(h hike.Hike) bool {
	return h.State == hike.Posted || h.State == hike.Out || h.State == hike.Back
}

// dayOf is the beginning of the day of the hike by the clock of the trailhead.
func dayOf(h hike.Hike) time.Time {
	y, m, d := h.Meet.Date()
	return time.Date(y, m, d, 0, 0, 0, 0, h.Meet.Location())
}

// is compares by address where the contact has one, else by name and number: two people
// may share a name.
func (r Reader) is(c team.Contact) bool {
	switch {
	case c.Name == "":
		return false
	case r.Linked:
		return r.Name == c.Name
	case c.Email != "":
		return strings.EqualFold(c.Email, r.Email)
	}
	return r.Name == c.Name && digits(r.Phone) == digits(c.Phone) && digits(c.Phone) != ""
}

func digits(s string) string {
	return strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, s)
}

// Opening is one opening of a whole card. Openings are appended and never changed.
type Opening struct {
	ID     string // uuid text
	Of     Of
	By     string
	Ground Ground
	Reason string `db:"-"` // sealed where it is stored
	At     time.Time
	// Person and Title name whose card it was and of which hike; the store fills them in.
	Person, Title string
	// Lost says that the reason cannot be read any more, because its key is gone.
	Lost bool `db:"-"`
}

// The bounds of a reason, in characters. House judgement: two words at least, and no more
// than a log can be read with.
const (
	shortestReason = 8
	longestReason  = 500
)

// Validate returns a hike.Invalid where the reason will not do.
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
