package web

import (
	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
	"saltbush/internal/watch"
)

// watchHandlers serves the board, the watch of one hike, its papers and cards in an emergency.
type watchHandlers struct {
	*Kit
	notify    *Notifier
	Accounts  account.Store
	Cards     card.Store
	Changes   Changes
	Ground    hike.GroundStore
	Hikes     hike.Store
	Outbox    message.Outbox
	Rides     hike.RideStore
	Rolls     roll.Store
	Standing  *watch.Standing
	Tell      Teller
	Wakes     WakeStore
	Watch     watch.Store
	LocalPush bool
	board     sharedBoard
}

// newWatchHandlers returns the handlers of this area.
func newWatchHandlers(
	k *Kit,
	n *Notifier,
	accounts account.Store,
	cards card.Store,
	changes Changes,
	ground hike.GroundStore,
	hikes hike.Store,
	outbox message.Outbox,
	rides hike.RideStore,
	rolls roll.Store,
	cases *watch.Standing,
	tell Teller,
	wakes WakeStore,
	watch watch.Store,
	localPush bool,
) *watchHandlers {
	return &watchHandlers{
		Kit:       k,
		notify:    n,
		Accounts:  accounts,
		Cards:     cards,
		Changes:   changes,
		Ground:    ground,
		Hikes:     hikes,
		Outbox:    outbox,
		Rides:     rides,
		Rolls:     rolls,
		Standing:  cases,
		Tell:      tell,
		Wakes:     wakes,
		Watch:     watch,
		LocalPush: localPush,
	}
}
