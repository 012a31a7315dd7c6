package settings

import (
	"saltbush/internal/hike"
	"saltbush/internal/message"
	"saltbush/internal/retention"
	"saltbush/web/kit"
)

// Handlers serves the pages of this area.
type Handlers struct {
	*kit.Kit
	Hikes  hike.Store
	Kept   retention.Store
	Outbox message.Outbox
}

// New returns the handlers of this area.
func New(
	k *kit.Kit,
	hikes hike.Store,
	kept retention.Store,
	outbox message.Outbox,
) *Handlers {
	return &Handlers{
		Kit:    k,
		Hikes:  hikes,
		Kept:   kept,
		Outbox: outbox,
	}
}
