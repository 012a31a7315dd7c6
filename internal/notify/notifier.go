package notify

import (
	"context"
	"log/slog"
	"time"

	"saltbush/internal/account"
	"saltbush/internal/calendar"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/ride"
)

// Notifier composes and queues the mail about hikes and the places on them.
type Notifier struct {
	Hikes    hike.Store
	Accounts account.Store
	Outbox   message.Outbox
	// Calendar numbers what calendars are told; nil where nothing is told.
	Calendar calendar.Store
	// Choices are the mails that people do not want.
	Choices message.Choices
	Rides   ride.Store
	// BaseURL is the address that links in messages begin with.
	BaseURL string
	// MailFrom is the address that mail comes from; it is who invites.
	MailFrom string
	Now      func() time.Time
	Log      *slog.Logger
}

// load loads what the mails of one hike need.
func (s *Notifier) load(ctx context.Context, h hike.Hike) (hike.Data, error) {
	return hike.LoadData(ctx, s.Hikes, h, s.Now())
}
