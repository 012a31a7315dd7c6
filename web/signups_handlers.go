package web

import (
	"saltbush/internal/account"
	"saltbush/internal/card"
	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// signupsHandlers serves asking for a place, the private page of a participant, screening, cars and medical cards.
type signupsHandlers struct {
	*Kit
	notify   *Notifier
	Accounts account.Store
	Cards    card.Store
	Choices  message.Choices
	Hikes    hike.Store
	Kept     hike.RetentionStore
	Outbox   message.Outbox
	Rides    hike.RideStore
}

// newSignupsHandlers returns the handlers of this area.
func newSignupsHandlers(
	k *Kit,
	n *Notifier,
	accounts account.Store,
	cards card.Store,
	choices message.Choices,
	hikes hike.Store,
	kept hike.RetentionStore,
	outbox message.Outbox,
	rides hike.RideStore,
) *signupsHandlers {
	return &signupsHandlers{
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
