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

// Announcement is a decision that everybody is told who has or waits for a place, and the
// staff.
type Announcement struct {
	ID      int64
	Hike    ref.Hike
	At      time.Time
	By      string
	Outcome Outcome
	Words   string
	// Consent means that a place is on hold until its person agrees: the trail is harder.
	Consent bool
	// Before is what was published until then. People who have not read the announcement go by
	// it.
	Before Published
	// Stands is who waits at the trailhead for people who may not have read it; "" until
	// somebody is named.
	Stands string
}

// MayLeave reports whether the reader may answer by giving their place back: the decision changed
// the walk, and they have or want a place.
func (t Announcement) MayLeave(p signup.SignUp) bool {
	return t.Outcome != DoesNotGo && (t.Outcome != Goes || t.Consent) && p.OnHike()
}

// Published is when and at which trail a hike was to meet.
type Published struct {
	Meet  time.Time
	Trail string
}

// Recipient is somebody an announcement goes to: SignUp is set for a place, Account for a
// member of the staff.
type Recipient struct {
	SignUp  string
	Account ref.Account
	Name    string
	Mobile  string
	State   signup.State // of the place
	Role    team.Role    // of the staff as it is now; "" once they are off it
	// Read is when they confirmed that they read it; zero until then.
	Read time.Time
	// Remind is when the one reminder is sent; zero if there is no time for one.
	Remind time.Time
	// Link is the hash of the secret with which they answer. Reminder is the key of the
	// reminder, which is removed once they answered.
	Link     []byte
	Reminder string
}

// AnnouncementStatus is an announcement with its recipients.
type AnnouncementStatus struct {
	Announcement
	To []Recipient
}

// Unread lists the recipients who have not read it and whom it still concerns. Somebody phones
// them.
func (h AnnouncementStatus) Unread() []Recipient {
	var list []Recipient
	for _, t := range h.To {
		if t.Read.IsZero() && t.concerned() {
			list = append(list, t)
		}
	}
	return list
}

// concerned reports whether the recipient still has or wants a place, or is still on the staff.
func (t Recipient) concerned() bool {
	if t.Account != 0 {
		return t.Role != ""
	}
	return t.State != signup.Withdrawn && t.State != signup.TurnedAway
}

// AtTrailhead reports whether somebody has to wait at the trailhead at the published time, or
// put up a sign, because a change was not read by everybody.
func (h AnnouncementStatus) AtTrailhead() bool { return h.Outcome != Goes && len(h.Unread()) > 0 }

// StandsAt returns when somebody has to wait there: at the published time, because that is when
// people come who did not read that the hike meets earlier, or not at all. Old announcements
// did not store that time.
func (t Announcement) StandsAt(h Hike) time.Time {
	if t.Before.Meet.IsZero() {
		return h.Meet
	}
	return t.Before.Meet
}

// Near reports whether everybody who looks at the board should chase the unread announcement:
// from the evening before the hike until there is no more reason to wait for those who did not
// read it.
func (t Announcement) Near(h Hike, now time.Time) bool {
	until := t.StandsAt(h).Add(h.Rules().Grace)
	return !now.Before(h.DayBegins()) && (now.Before(until) || now.Before(h.Start))
}

// Reader is who follows the link in an announcement. Place is empty for a member of the staff.
type Reader struct {
	Place   signup.SignUp
	Account ref.Account
	Name    string
}

// StaffToTell lists the staff who are told about a decision, whether they accepted or were only
// asked, once each. Whoever made the decision is left out.
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

// NewsBegins and NewsEnds are how far ahead and back hikes are searched for announcements that
// are Near. Our judgment: a little more than the evening before and the longest walk.
const (
	NewsBegins = dayBegins + 12*time.Hour
	NewsEnds   = dayBegins
)

// CheckStander normalizes the name of who waits at the trailhead. An empty name takes it back.
func CheckStander(name string) (string, error) {
	name = text.Name(name)
	v := fault.Invalid{}
	v.AtMost("stands", name, fault.LongestName)
	return name, v.Err()
}

// Announcing is what a decision changes besides the hike. It is stored together with it.
type Announcing struct {
	Telling Announcement
	To      []Recipient
	// Plan is the new plan of the hike, nil if the old one stays.
	Plan *StoredPlan
	// Places has the sign-ups that the decision changes.
	Places []signup.SignUp
}

// NewAnnouncement announces the hike's decision.
func NewAnnouncement(h Hike, before Published, consent bool) Announcement {
	d := h.Decision
	return Announcement{
		Hike:    h.ID,
		At:      d.At,
		By:      d.By,
		Outcome: d.What(),
		Words:   d.Says(),
		Consent: consent,
		Before:  before,
	}
}

// AnswerAnnouncement records that the person read the announcement and, where it asks for
// consent, that they agree. Answering twice is not an error.
func AnswerAnnouncement(s *signup.SignUp, t Announcement) {
	if t.Consent && s.State == signup.Offered {
		s.State = signup.Confirmed
	}
}

// AnnouncementLog stores who was told what, and who read it.
type AnnouncementLog interface {
	// Announcements lists the announcements of a hike with their recipients, the latest first.
	Announcements(ctx context.Context, id ref.Hike) ([]AnnouncementStatus, error)
	// CountUnread counts who has not read the latest announcement of each hike.
	CountUnread(ctx context.Context, ids []ref.Hike) (map[ref.Hike]int, error)
	// HikesWithUnread lists the hikes that start between two times and whose latest
	// announcement somebody has not read, even if it no longer concerns them.
	HikesWithUnread(ctx context.Context, from, to time.Time) ([]ref.Hike, error)
	// AnnouncementByLink finds an announcement and its reader by the hash of the secret.
	AnnouncementByLink(ctx context.Context, hash []byte) (Announcement, Reader, error)
	// MarkRead records that the person read it, applies answer to their place if they have one,
	// and removes the reminder. A place that is given back is offered to the next person at
	// once. It returns the sign-ups that moved.
	MarkRead(
		ctx context.Context, hash []byte, now time.Time, answer func(Announcement, *signup.SignUp), mails ...Mails,
	) ([]signup.SignUp, error)
	// StandAt sets who waits at the trailhead for the latest announcement of the hike.
	StandAt(ctx context.Context, id ref.Hike, name string) error
}
