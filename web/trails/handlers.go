package trails

import (
	"saltbush/internal/hike"
	"saltbush/internal/trail"
	"saltbush/web/kit"
)

// Handlers serves the trail catalogue.
type Handlers struct {
	*kit.Kit
	Ground trail.GroundStore
	Hikes  hike.Store
}

// New returns the handlers of this area.
func New(
	k *kit.Kit,
	ground trail.GroundStore,
	hikes hike.Store,
) *Handlers {
	return &Handlers{
		Kit:    k,
		Ground: ground,
		Hikes:  hikes,
	}
}
