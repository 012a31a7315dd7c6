package team

import (
	"time"

	"saltbush/internal/ref"
)

// Answer is where an asking stands. Asked is not accepted. Who declines leaves the staff;
// the decline is kept apart.
type Answer string

const AnswerAsked Answer = "asked"

const AnswerAccepted Answer = "accepted"

// Decline is a part that somebody did not take. On-call has no account.
type Decline struct {
	Hike    ref.Hike
	Account ref.Account
	Name    string
	Role    Role
	Because string
	At      time.Time
}

// Accepted reports whether the person has said yes.
func (s Staff) Accepted() bool { return s.Answer == AnswerAccepted }

// Says is a decline in a line for those who look for somebody else.
func (d Decline) Says() string { return d.Name + " cannot be " + string(d.Role) + ": " + d.Because }

// AcceptFor marks the account's own part as accepted: whoever puts themselves on a hike
// need not be asked.
func AcceptFor(staff []Staff, account ref.Account, now time.Time) {
	for i := range staff {
		if staff[i].Account == account && !staff[i].Accepted() {
			staff[i].Answer, staff[i].Answered = AnswerAccepted, now
		}
	}
}
