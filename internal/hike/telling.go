package hike

import (
	"context"
	"time"
)

// Telling is a decision told to everybody who has or waits for a place.
type Telling struct {
	ID      int64
	Hike    HikeID
	At      time.Time
	By      string
	Outcome Outcome
	Words   string
	// Consent says that a place waits until its person agrees: the trail is harder.
	Consent bool
}

// Told is one person of a telling.
type Told struct {
	SignUp string
	Name   string
	Mobile string
	State  SignUpState
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
		if t.Read.IsZero() && t.State != Withdrawn && t.State != TurnedAway {
			list = append(list, t)
		}
	}
	return list
}

// AtTrailhead reports whether somebody stands at the trailhead at the published time, or
// hangs up a sign: while anybody may not know of a change, and until that time has passed.
func (h Heard) AtTrailhead() bool { return h.Outcome != Goes && len(h.Unread()) > 0 }

// News is what a decision changes beside the hike. It is kept with it, or not at all.
type News struct {
	Telling Telling
	To      []Told
	// Plan is the plan that the hike goes by now, nil where the old one stands.
	Plan *StoredPlan
	// Places are those whose state changes.
	Places []SignUp
}

// NewTelling tells the hike's decision.
func NewTelling(h Hike, consent bool) Telling {
	d := h.Decision
	return Telling{Hike: h.ID, At: d.At, By: d.By, Outcome: d.What(), Words: d.Says(), Consent: consent}
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
	// ToldByLink finds a telling and the person it was told to by the hash of the secret.
	ToldByLink(ctx context.Context, hash []byte) (Telling, SignUp, error)
	// MarkRead records that the person has read it, applies answer to their place, and takes
	// the reminder back.
	MarkRead(ctx context.Context, hash []byte, now time.Time, answer func(Telling, *SignUp)) error
}
