package public

import (
	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/web/kit"
)

// Handlers serves the calendar, the public page of a hike, and calendar feeds.
type Handlers struct {
	*kit.Kit
	notify   *notify.Notifier
	Accounts account.Store
	Hikes    hike.Store
}

// New returns the handlers of this area.
func New(
	k *kit.Kit,
	n *notify.Notifier,
	accounts account.Store,
	hikes hike.Store,
) *Handlers {
	return &Handlers{
		Kit:      k,
		notify:   n,
		Accounts: accounts,
		Hikes:    hikes,
	}
}
