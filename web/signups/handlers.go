package signups

import (
	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/retention"
	"saltbush/internal/ride"
	"saltbush/web/kit"
)

// Handlers serves sign-ups, the private page of a participant, screening, cars and medical cards.
type Handlers struct {
	*kit.Kit
	notify   *notify.Notifier
	Accounts account.Store
	Cards    card.Store
	Choices  message.Choices
	Hikes    hike.Store
	Kept     retention.Store
	Outbox   message.Outbox
	Rides    ride.Store
}

// New returns the handlers of this area.
func New(
	k *kit.Kit,
	n *notify.Notifier,
	accounts account.Store,
	cards card.Store,
	choices message.Choices,
	hikes hike.Store,
	kept retention.Store,
	outbox message.Outbox,
	rides ride.Store,
) *Handlers {
	return &Handlers{
		Kit:      k,
		notify:   n,
		Accounts: accounts,
		Cards:    cards,
		Choices:  choices,
		Hikes:    hikes,
		Kept:     kept,
		Outbox:   outbox,
		Rides:    rides,
	}
}
