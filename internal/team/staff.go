package team

import (
	"time"

	"saltbush/internal/ref"
)

// Role is what a member of staff does on a hike.
type Role string

// The roles of staff on a hike.
const (
	Leader    Role = "leader"
	Sweep     Role = "sweep"
	Assistant Role = "assistant"
)

// OnCallPart names on-call where a decline names the part; on-call is no role of the staff.
const OnCallPart Role = "on-call"

// Roles lists every role in the order that forms offer them.
func Roles() []Role { return []Role{Leader, Sweep, Assistant} }

// Staff is somebody who leads, sweeps or assists. Person names them on the roll,
// Account is who they sign in as.
type Staff struct {
	Person  string // uuid text
	Account ref.Account
	Name    string
	Phone   string
	Role    Role
	// Answer is asked until the person has said yes; Answered is when they did.
	Answer   Answer
	Answered time.Time
}

// House judgement after the working ratio of the trade: one of staff to eight
// participants on rough, hot or strenuous ground, and never fewer than two.
const ()
