package web

import (
	"saltbush/internal/account"
	"saltbush/internal/hike"
)

// publicHandlers serves the calendar, the public page of a hike, and calendar feeds.
type publicHandlers struct {
	*Kit
	notify   *Notifier
	Accounts account.Store
	Hikes    hike.Store
}

// newPublicHandlers returns the handlers of this area.
func newPublicHandlers(
	k *Kit,
	n *Notifier,
	accounts account.Store,
	hikes hike.Store,
) *publicHandlers {
	return &publicHandlers{
		Kit:      k,
		notify:   n,
		Accounts: accounts,
		Hikes:    hikes,
	}
}
