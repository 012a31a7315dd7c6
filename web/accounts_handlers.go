package web

import (
	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// accountsHandlers serves signing in, second steps, passkeys, one's own account and everybody's.
type accountsHandlers struct {
	*Kit
	notify   *Notifier
	Accounts account.Store
	Hasher   *account.Hasher
	Hikes    hike.Store
	Outbox   message.Outbox
	People   Bringer
	Staff    hike.StaffStore
	Samples  []Sample
}

// newAccountsHandlers returns the handlers of this area.
func newAccountsHandlers(
	k *Kit,
	n *Notifier,
	accounts account.Store,
	hasher *account.Hasher,
	hikes hike.Store,
	outbox message.Outbox,
	people Bringer,
	staff hike.StaffStore,
	samples []Sample,
) *accountsHandlers {
	return &accountsHandlers{
		Kit:      k,
		notify:   n,
		Accounts: accounts,
		Hasher:   hasher,
		Hikes:    hikes,
		Outbox:   outbox,
		People:   people,
		Staff:    staff,
		Samples:  samples,
	}
}
