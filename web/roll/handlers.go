package roll

import (
	"saltbush/internal/roll"
	"saltbush/web/kit"
)

// Handlers serves the roll.
type Handlers struct {
	*kit.Kit
	Rolls roll.Store
}

// New returns the handlers of this area.
func New(k *kit.Kit, rolls roll.Store) *Handlers { return &Handlers{Kit: k, Rolls: rolls} }
