package kit

import (
	"context"
	"net/http"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/staffing"
	"saltbush/internal/watch"
)

// LoadHikeData loads what the pages of one hike need.
func (s *Kit) LoadHikeData(ctx context.Context, h hike.Hike) (hike.Data, error) {
	return watch.LoadData(ctx, s.hikes, s.rolls, h, s.Now())
}

// Book loads what staffing looks at, from two days before a moment to so many days after it.
func (s *Kit) Book(ctx context.Context, at time.Time, days int) (staffing.Book, error) {
	return staffing.OpenBook(ctx, s.hikes, s.staff, at.Add(-hike.ClashesBack), at.AddDate(0, 0, days))
}

// CrewOf loads one hike with its staff, and the book of the days around it.
func (s *Kit) CrewOf(ctx context.Context, h hike.Hike) (staffing.Crew, staffing.Book, error) {
	b, err := s.Book(ctx, h.Start, hike.ClashesAhead)
	if err != nil {
		return staffing.Crew{}, b, err
	}
	c, err := b.CrewOf(h.ID)
	return c, b, err
}

// Zone returns the clock for pages that are not about one trailhead: the house's own, or UTC
// where none is set.
func (s *Kit) Zone(r *http.Request) *time.Location { return s.ZoneIn(r.Context()) }

// ZoneIn is Zone without a request.
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
