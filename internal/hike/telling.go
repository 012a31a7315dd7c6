package hike

import (
	"context"
	"time"

	"saltbush/internal/text"
)

// Telling is a decision told to everybody who has or waits for a place, and to the staff.
type Telling struct {
	ID      int64
	Hike    HikeID
	At      time.Time
	By      string
	Outcome Outcome
	Words   string
	// Consent says that a place waits until its person agrees: the trail is harder.
	Consent bool
	// Before is what was published until then: those who do not know go by it.
	Before Published
	// Stands is who stands at the trailhead while somebody may not know; "" until one is named.
	Stands string
}

// Published is when, and at which trail, a hike meets for those who know of no change.
type Published struct {
	Meet  time.Time
	Trail string
}

// Told is one person of a telling: SignUp names a place, Account one of the staff.
type Told struct {
	SignUp  string
	Account int64
	Name    string
	Mobile  string
	State   SignUpState // of the place
	Role    Role        // of the staff as it is now; "" once they are off it
	// Read is when they said that they have read it; zero until then.
	Read time.Time
	// Remind is when the one reminder goes out; zero where there is no time for one.
	Remind time.Time
	// Link is the hash of the secret that answers, Reminder the key of the reminder that is
	// taken back once they have.
	Link     []byte
	Reminder string
}

// Heard is a telling with how far it has come.
type Heard struct {
	Telling
	To []Told
}

// Unread lists who has not said that they have read it: they are telephoned.
func (h Heard) Unread() []Told {
	var list []Told
	for _, t := range h.To {
		if t.Read.IsZero() && t.concerned() {
			list = append(list, t)
		}
	}
	return list
}

// concerned reports whether the news is still the person's.
func (t Told) concerned() bool {
	if t.Account != 0 {
		return t.Role != ""
	}
	return t.State != Withdrawn && t.State != TurnedAway
}

// AtTrailhead reports whether somebody stands at the trailhead at the published time, or
// hangs up a sign: while anybody may not know of a change.
func (h Heard) AtTrailhead() bool { return h.Outcome != Goes && len(h.Unread()) > 0 }

// StandsAt is when somebody stands there: whoever has not read that a hike meets earlier, or
// not at all, comes at the hour that they know. Tellings of old did not keep that hour.
func (t Telling) StandsAt(h Hike) time.Time {
	if t.Before.Meet.IsZero() {
		return h.Meet
	}
	return t.Before.Meet
}

// Near reports whether the news is to be chased by everybody who looks at the board: from
// the evening before the hike until those who do not know have been waited for.
func (t Telling) Near(h Hike, now time.Time) bool {
	until := t.StandsAt(h).Add(h.Rules().Grace)
	return !now.Before(h.DayBegins()) && (now.Before(until) || now.Before(h.Start))
}

// Hearer is who a telling was told to: the place of a person, or one of the staff, whose
// place is empty.
type Hearer struct {
	Place   SignUp
	Account int64
	Name    string
}

// ToldStaff lists whom of the staff a decision is told: those asked and those who have
// accepted alike, once each. Whoever took the decision knows.
func (h Hike) ToldStaff(by int64) []Staff {
	var list []Staff
	seen := map[int64]bool{by: true}
	for _, m := range h.Staff {
		if !seen[m.Account] {
			seen[m.Account] = true
			list = append(list, m)
		}
	}
	return list
}

const (
	// NewsBegins and NewsEnds are how far around now hikes are looked through for news that
	// is Near. House judgement: a little more than the evening before and the longest walk.
	NewsBegins = dayBegins + 12*time.Hour
	NewsEnds   = dayBegins
)

// CheckStander is the name of who stands at the trailhead, in the form in which it is kept;
// none takes it back.
func CheckStander(name string) (string, error) {
	name = text.Name(name)
	v := Invalid{}
	v.atMost("stands", name, longestName)
	return name, v.Err()
}

// News is what a decision changes beside the hike. It is kept with it, or not at all.
type News struct {
	Telling Telling
	To      []Told
	// Plan is the plan that the hike goes by now, nil where the old one stands.
	Plan *StoredPlan
	// Places are those whose state changes.
	Places []SignUp
}

// NewTelling tells the hike's decision to people who know what was published before.
func NewTelling(h Hike, before Published, consent bool) Telling {
	d := h.Decision
	return Telling{Hike: h.ID, At: d.At, By: d.By, Outcome: d.What(), Words: d.Says(), Consent: consent, Before: before}
}

// House judgement: nobody is reminded sooner than half an hour after the first mail.
const soonestReminder = 30 * time.Minute

// RemindAt is when those who have not read are reminded, once: after the house's wait, but
// early enough before the meeting time. It is false where that time has passed.
func (r Rules) RemindAt(told, meet time.Time) (time.Time, bool) {
	at := told.Add(r.ChaseAfter)
	if latest := meet.Add(-r.ChaseBefore); at.After(latest) {
		at = latest
	}
	if soonest := told.Add(soonestReminder); at.Before(soonest) {
		at = soonest
	}
	return at, at.Before(meet)
}

// IsTold reports whether a decision is told to the person.
func (s SignUp) IsTold() bool {
	return s.State == Confirmed || s.State == Waiting || s.State == Offered || s.State == Asked
}

// Answer is what somebody says to what they were told: that they have read it, and with it
// that they agree to a harder trail. It is no fault to say it twice.
func (s *SignUp) Answer(t Telling) {
	if t.Consent && s.State == Offered {
		s.State = Confirmed
	}
}

// TellingStore keeps who was told what, and who has read it.
type TellingStore interface {
	// Heard lists the tellings of a hike, the latest first, with who has read them.
	Heard(ctx context.Context, id HikeID) ([]Heard, error)
	// Unread counts who has not read the latest telling of each hike.
	Unread(ctx context.Context, ids []HikeID) (map[HikeID]int, error)
	// Unheard lists the hikes that start between two times and whose latest news somebody has
	// not read; of those who are told nothing any more, too.
	Unheard(ctx context.Context, from, to time.Time) ([]HikeID, error)
	// ToldByLink finds a telling and who it was told to by the hash of the secret.
	ToldByLink(ctx context.Context, hash []byte) (Telling, Hearer, error)
	// MarkRead records that the person has read it, applies answer to their place where they
	// have one, and takes the reminder back. A place that is given back is offered on at
	// once: it returns whose place moved.
	MarkRead(
		ctx context.Context, hash []byte, now time.Time, answer func(Telling, *SignUp), mails ...Mails,
	) ([]SignUp, error)
	// StandAt names who stands at the trailhead for the latest telling of the hike.
	StandAt(ctx context.Context, id HikeID, name string) error
}
