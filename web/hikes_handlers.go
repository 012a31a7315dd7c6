package web

import (
	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/roll"
)

// hikesHandlers serves scheduling, planning, deciding and announcing hikes.
type hikesHandlers struct {
	*Kit
	notify   *Notifier
	Accounts account.Store
	Cards    card.Store
	Ground   hike.GroundStore
	Hikes    hike.Store
	Outbox   message.Outbox
	Rolls    roll.Store
	Staff    hike.StaffStore
	Tell     Teller
}

// newHikesHandlers returns the handlers of this area.
func newHikesHandlers(
	k *Kit,
	n *Notifier,
	accounts account.Store,
	cards card.Store,
	ground hike.GroundStore,
	hikes hike.Store,
	outbox message.Outbox,
	rolls roll.Store,
	staff hike.StaffStore,
	tell Teller,
) *hikesHandlers {
	return &hikesHandlers{
		Kit:      k,
		notify:   n,
		Accounts: accounts,
		Cards:    cards,
		Ground:   ground,
		Hikes:    hikes,
		Outbox:   outbox,
		Rolls:    rolls,
		Staff:    staff,
		Tell:     tell,
	}
}
