package team

import (
	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/notify"
	"saltbush/internal/staffing"
	"saltbush/web/kit"
)

// Handlers serves the pages of this area.
type Handlers struct {
	*kit.Kit
	notify   *notify.Notifier
	Accounts account.Store
	Hikes    hike.Store
	Staff    staffing.Store
}

// New returns the handlers of this area.
func New(
	k *kit.Kit,
	n *notify.Notifier,
	accounts account.Store,
	hikes hike.Store,
	staff staffing.Store,
) *Handlers {
	return &Handlers{
		Kit:      k,
		notify:   n,
		Accounts: accounts,
		Hikes:    hikes,
		Staff:    staff,
	}
}
