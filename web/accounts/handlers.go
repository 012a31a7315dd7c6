package accounts

import (
	"saltbush/internal/account"
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/notify"
	"saltbush/internal/staffing"
	"saltbush/web/kit"
)

// Handlers serves the pages of this area.
type Handlers struct {
	*kit.Kit
	notify   *notify.Notifier
	Accounts account.Store
	Hasher   *account.Hasher
	Hikes    hike.Store
	Outbox   message.Outbox
	People   PeopleImporter
	Staff    staffing.Store
	Samples  []Sample
}

// New returns the handlers of this area.
func New(
	k *kit.Kit,
	n *notify.Notifier,
	accounts account.Store,
	hasher *account.Hasher,
	hikes hike.Store,
	outbox message.Outbox,
	people PeopleImporter,
	staff staffing.Store,
	samples []Sample,
) *Handlers {
	return &Handlers{
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

// Sample is an account of the demo.
type Sample struct{ As, Email, Password string }
