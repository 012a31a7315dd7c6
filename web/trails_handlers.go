package web

import "saltbush/internal/hike"

// trailsHandlers serves the trail catalogue.
type trailsHandlers struct {
	*Kit
	Ground hike.GroundStore
	Hikes  hike.Store
}

// newTrailsHandlers returns the handlers of this area.
func newTrailsHandlers(
	k *Kit,
	ground hike.GroundStore,
	hikes hike.Store,
) *trailsHandlers {
	return &trailsHandlers{
		Kit:    k,
		Ground: ground,
		Hikes:  hikes,
	}
}
