package web

import (
	"saltbush/internal/account"
	"saltbush/internal/hike"
)

// teamHandlers serves staffing hikes, qualifications and availability.
type teamHandlers struct {
	*Kit
	notify   *Notifier
	Accounts account.Store
	Hikes    hike.Store
	Staff    hike.StaffStore
}

// newTeamHandlers returns the handlers of this area.
func newTeamHandlers(
	k *Kit,
	n *Notifier,
	accounts account.Store,
	hikes hike.Store,
	staff hike.StaffStore,
) *teamHandlers {
	return &teamHandlers{
		Kit:      k,
		notify:   n,
		Accounts: accounts,
		Hikes:    hikes,
		Staff:    staff,
	}
}
