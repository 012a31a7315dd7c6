package hike

import (
	"saltbush/internal/fault"
	"saltbush/internal/trail"
	"saltbush/internal/unit"
)

// PostOn makes a draft public unless a closure blocks its trail.
func (h *Hike) PostOn(g trail.Ground) error {
	if closed := g.Closed(unit.DateOf(h.Start)); closed != "" {
		return fault.Refusal(closed)
	}
	return h.Post()
}
