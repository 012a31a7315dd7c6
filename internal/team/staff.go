package team

import (
	"time"

	"saltbush/internal/ref"
)

// Role is what a member of the staff does on a hike.
type Role string

// The roles.
const (
	Leader    Role = "leader"
	Sweep     Role = "sweep"
	Assistant Role = "assistant"
)

// OnCallPart stands for on-call in a Decline. On-call is not on the staff.
const OnCallPart Role = "on-call"

// Roles lists every role in the order that forms offer them.
func Roles() []Role { return []Role{Leader, Sweep, Assistant} }

// Staff is somebody who leads, sweeps or assists. Person identifies them on the roll, Account
// is how they sign in.
type Staff struct {
	Person  string // UUID text
	Account ref.Account
	Name    string
	Phone   string
	Role    Role
	// Answer is AnswerAsked until the person accepts; Answered is when they did.
	Answer   Answer
	Answered time.Time
}
