package web

import (
	"context"
	"net/http"
	"time"
)

// zone is the clock for pages that are about no trailhead: the organisation's own, UTC
// where none is set.
func (s *Kit) zone(r *http.Request) *time.Location { return s.zoneIn(r.Context()) }

func (s *Kit) zoneIn(ctx context.Context) *time.Location {
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
