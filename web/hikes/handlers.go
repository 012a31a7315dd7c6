package hikes

import (
	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/roll"
	"saltbush/internal/staffing"
	"saltbush/internal/trail"
	"saltbush/web/kit"
)

// Handlers serves scheduling, planning, deciding, announcing and closing hikes.
type Handlers struct {
	*kit.Kit
	notify        *notify.Notifier
	Accounts      account.Store
	Cards         card.Store
	Ground        trail.GroundStore
	Hikes         hike.Store
	Outbox        message.Outbox
	Rolls         roll.Store
	Staff         staffing.Store
	Announcements hike.AnnouncementStore
}

// New returns the handlers of this area.
func New(
	k *kit.Kit,
	n *notify.Notifier,
	accounts account.Store,
	cards card.Store,
	ground trail.GroundStore,
	hikes hike.Store,
	outbox message.Outbox,
	rolls roll.Store,
	staff staffing.Store,
	announcements hike.AnnouncementStore,
) *Handlers {
	return &Handlers{
		Kit:           k,
		notify:        n,
		Accounts:      accounts,
		Cards:         cards,
		Ground:        ground,
		Hikes:         hikes,
		Outbox:        outbox,
		Rolls:         rolls,
		Staff:         staff,
		Announcements: announcements,
	}
}
