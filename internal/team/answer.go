package team

import (
	"time"

	"saltbush/internal/ref"
)

// Answer is whether somebody who was asked has accepted. Whoever declines leaves the staff; a
// Decline records why.
type Answer string

// The answers.
const (
	AnswerAsked    Answer = "asked"
	AnswerAccepted Answer = "accepted"
)

// Decline records that somebody did not take a part. On-call has no account.
type Decline struct {
	Hike    ref.Hike
	Account ref.Account
	Name    string
	Role    Role
	Because string
	At      time.Time
}

// Accepted reports whether the person has accepted.
func (s Staff) Accepted() bool { return s.Answer == AnswerAccepted }

// Says describes a decline in one line, for whoever looks for somebody else.
func (d Decline) Says() string { return d.Name + " cannot be " + string(d.Role) + ": " + d.Because }

// AcceptFor marks the account's own part as accepted: people who put themselves on a hike are
// not asked.
func AcceptFor(staff []Staff, account ref.Account, now time.Time) {
	for i := range staff {
		if staff[i].Account == account && !staff[i].Accepted() {
			staff[i].Answer, staff[i].Answered = AnswerAccepted, now
		}
	}
}
