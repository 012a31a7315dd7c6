package web

import (
	"saltbush/internal/hike"
	"saltbush/internal/message"
)

// settingsHandlers serves the rules of the organization, retention and the outbox.
type settingsHandlers struct {
	*Kit
	Hikes  hike.Store
	Kept   hike.RetentionStore
	Outbox message.Outbox
}

// newSettingsHandlers returns the handlers of this area.
func newSettingsHandlers(
	k *Kit,
	hikes hike.Store,
	kept hike.RetentionStore,
	outbox message.Outbox,
) *settingsHandlers {
	return &settingsHandlers{
		Kit:    k,
		Hikes:  hikes,
		Kept:   kept,
		Outbox: outbox,
	}
}
