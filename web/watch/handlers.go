package watch

import (
	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/ref"
	"saltbush/internal/ride"
	"saltbush/internal/roll"
	"saltbush/internal/trail"
	"saltbush/internal/watch"
	"saltbush/web/kit"
)

// Handlers serves the board, the watch of a hike, its papers, and medical cards in an
// emergency.
type Handlers struct {
	*kit.Kit
	notify        *notify.Notifier
	Accounts      account.Store
	Cards         card.Store
	Changes       Changes
	Ground        trail.GroundStore
	Hikes         hike.Store
	Outbox        message.Outbox
	Rides         ride.Store
	Rolls         roll.Store
	Cases         *watch.CaseCache
	Announcements hike.AnnouncementStore
	Wakes         kit.PushStore
	Watch         watch.Store
	LocalPush     bool
	board         sharedBoard
}

// New returns the handlers of this area.
func New(
	k *kit.Kit,
	n *notify.Notifier,
	accounts account.Store,
	cards card.Store,
	changes Changes,
	ground trail.GroundStore,
	hikes hike.Store,
	outbox message.Outbox,
	rides ride.Store,
	rolls roll.Store,
	cases *watch.CaseCache,
	announcements hike.AnnouncementStore,
	wakes kit.PushStore,
	watch watch.Store,
	localPush bool,
) *Handlers {
	return &Handlers{
		Kit:           k,
		notify:        n,
		Accounts:      accounts,
		Cards:         cards,
		Changes:       changes,
		Ground:        ground,
		Hikes:         hikes,
		Outbox:        outbox,
		Rides:         rides,
		Rolls:         rolls,
		Cases:         cases,
		Announcements: announcements,
		Wakes:         wakes,
		Watch:         watch,
		LocalPush:     localPush,
	}
}

// Changes reports changes of rolls to many listeners.
type Changes interface {
	// Subscribe returns a channel that holds at most one pending signal, and a function that
	// ends the subscription.
	Subscribe() (signal <-chan struct{}, cancel func())
	// Since returns the current cursor and the hikes that changed after the given one. all
	// means that any hike may have changed.
	Since(cursor uint64) (now uint64, ids []ref.Hike, all bool)
}
