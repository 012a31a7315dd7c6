package web

import "saltbush/internal/roll"

// rollHandlers serves taking the roll on a phone.
type rollHandlers struct {
	*Kit
	Rolls roll.Store
}

// newRollHandlers returns the handlers of this area.
func newRollHandlers(
	k *Kit,
	rolls roll.Store,
) *rollHandlers {
	return &rollHandlers{
		Kit:   k,
		Rolls: rolls,
	}
}
