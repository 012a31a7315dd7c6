package hike

import (
	"context"
	"time"

	"saltbush/internal/message"
	"saltbush/internal/ref"
	"saltbush/internal/signup"
)

// AnnouncementStore stores a decision together with the mails that announce it: both or
// neither.
type AnnouncementStore interface {
	AnnouncementLog
	// ChangeAndAnnounce locks the hike, applies change, and stores the hike, what change
	// returns, and the mails. If change returns an error, so does ChangeAndAnnounce, and
	// nothing is stored.
	ChangeAndAnnounce(
		ctx context.Context, id ref.Hike, now time.Time,
		change func(*Hike, []signup.SignUp) (Announcing, []message.Mail, error),
	) error
}
