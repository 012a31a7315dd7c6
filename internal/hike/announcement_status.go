package hike

import (
	"context"
	"time"

	"saltbush/internal/fault"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
	"saltbush/internal/team"
	"saltbush/internal/text"
)

// Announcement is a decision told to everybody who has or waits for a place, and to the staff.
type Announcement struct {
	ID      int64
	Hike    ref.Hike
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

// Recipient is one person of a telling: SignUp names a place, Account one of the staff.
type Recipient struct {
	SignUp  string
	Account ref.Account
	Name    string
	Mobile  string
	State   signup.State // of the place
	Role    team.Role    // of the staff as it is now; "" once they are off it
	// Read is when they said that they have read it; zero until then.
	Read time.Time
	// Remind is when the one reminder goes out; zero where there is no time for one.
	Remind time.Time
	// Link is the hash of the secret that answers, Reminder the key of the reminder that is
	// taken back once they have.
	Link     []byte
	Reminder string
}

// AnnouncementStatus is a telling with how far it has come.
type AnnouncementStatus struct {
	Announcement
	To []Recipient
}

// Unread lists who has not said that they have read it: they are telephoned.
func (h AnnouncementStatus) Unread() []Recipient {
	var list []Recipient
	for _, t := range h.To {
		if t.Read.IsZero() && t.concerned() {
			list = append(list, t)
		}
	}
	return list
}

// concerned reports whether the news is still the person's.
func (t Recipient) concerned() bool {
	if t.Account != 0 {
		return t.Role != ""
	}
	return t.State != signup.Withdrawn && t.State != signup.TurnedAway
}

// AtTrailhead reports whether somebody stands at the trailhead at the published time, or
// hangs up a sign: while anybody may not know of a change.
func (h AnnouncementStatus) AtTrailhead() bool { return h.Outcome != Goes && len(h.Unread()) > 0 }

// StandsAt is when somebody stands there: whoever has not read that a hike meets earlier, or
// not at all, comes at the hour that they know. Tellings of old did not keep that hour.
func (t Announcement) StandsAt(h Hike) time.Time {
	if t.Before.Meet.IsZero() {
		return h.Meet
	}
	return t.Before.Meet
}

// Near reports whether the news is to be chased by everybody who looks at the board: from
// the evening before the hike until those who do not know have been waited for.
func (t Announcement) Near(h Hike, now time.Time) bool {
	until := t.StandsAt(h).Add(h.Rules().Grace)
	return !now.Before(h.DayBegins()) && (now.Before(until) || now.Before(h.Start))
}

// Reader is who a telling was told to: the place of a person, or one of the staff, whose
// place is empty.
type Reader struct {
	Place   signup.SignUp
	Account ref.Account
	Name    string
}

// StaffToTell lists whom of the staff a decision is told: those asked and those who have
// accepted alike, once each. Whoever took the decision knows.
func (h Hike) StaffToTell(by ref.Account) []team.Staff {
	var list []team.Staff
	seen := map[ref.Account]bool{by: true}
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
	v := fault.Invalid{}
	v.AtMost("stands", name, fault.LongestName)
	return name, v.Err()
}

// Announcing is what a decision changes beside the hike. It is kept with it, or not at all.
type Announcing struct {
	Telling Announcement
	To      []Recipient
	// Plan is the plan that the hike goes by now, nil where the old one stands.
	Plan *StoredPlan
	// Places are those whose state changes.
	Places []signup.SignUp
}

// NewAnnouncement tells the hike's decision to people who know what was published before.
func NewAnnouncement(h Hike, before Published, consent bool) Announcement {
	d := h.Decision
	return Announcement{Hike: h.ID, At: d.At, By: d.By, Outcome: d.What(), Words: d.Says(), Consent: consent, Before: before}
}

// AnswerAnnouncement is what somebody says to what they were told: that they have read it, and with it
// that they agree to a harder trail. It is no fault to say it twice.
func AnswerAnnouncement(s *signup.SignUp, t Announcement) {
	if t.Consent && s.State == signup.Offered {
		s.State = signup.Confirmed
	}
}

// AnnouncementLog keeps who was told what, and who has read it.
type AnnouncementLog interface {
	// Heard lists the tellings of a hike, the latest first, with who has read them.
	Announcements(ctx context.Context, id ref.Hike) ([]AnnouncementStatus, error)
	// Unread counts who has not read the latest telling of each hike.
	CountUnread(ctx context.Context, ids []ref.Hike) (map[ref.Hike]int, error)
	// Unheard lists the hikes that start between two times and whose latest news somebody has
	// not read; of those who are told nothing any more, too.
	HikesWithUnread(ctx context.Context, from, to time.Time) ([]ref.Hike, error)
	// ToldByLink finds a telling and who it was told to by the hash of the secret.
	AnnouncementByLink(ctx context.Context, hash []byte) (Announcement, Reader, error)
	// MarkRead records that the person has read it, applies answer to their place where they
	// have one, and takes the reminder back. A place that is given back is offered on at
	// once: it returns whose place moved.
	MarkRead(
		ctx context.Context, hash []byte, now time.Time, answer func(Announcement, *signup.SignUp), mails ...Mails,
	) ([]signup.SignUp, error)
	// StandAt names who stands at the trailhead for the latest telling of the hike.
	StandAt(ctx context.Context, id ref.Hike, name string) error
}
