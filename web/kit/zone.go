package kit

import (
	"context"
	"net/http"
	"time"
)

// Zone is the clock for pages that are about no trailhead: the organisation's own, UTC
// where none is set.
func (s *Kit) Zone(r *http.Request) *time.Location { return s.ZoneIn(r.Context()) }

func (s *Kit) ZoneIn(ctx context.Context) *time.Location {
	house, err := s.hikes.House(ctx)
	if err != nil {
		s.Log.Error("load house", "err", err)
		return time.UTC
	}
	if zone, err := time.LoadLocation(house.Zone); err == nil && house.Zone != "" {
		return zone
	}
	return time.UTC
}
