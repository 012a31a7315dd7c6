package hike

import (
	"context"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// AnnouncementStore keeps a decision together with the letters that tell it: both or neither.
type AnnouncementStore interface {
	AnnouncementLog
	// ChangeAndTell applies change with the hike locked, and keeps the hike, what change
	// returns, and the letters. An error of change is returned as it is and nothing is kept.
	ChangeAndAnnounce(ctx context.Context, id ref.Hike, now time.Time, change func(*Hike, []signup.SignUp) (Announcing, []message.Mail, error)) error
}
