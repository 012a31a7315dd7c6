package kit

import (
	"context"
	"time"

	"saltbush/internal/hike"
)

// Book opens what staffing looks at, from two days back to so many ahead of a moment.
func (s *Kit) Book(ctx context.Context, at time.Time, days int) (hike.Book, error) {
	return hike.OpenBook(ctx, s.hikes, s.staff, at.Add(-hike.ClashesBack), at.AddDate(0, 0, days))
}

// CrewOf loads one hike with its staff, and the book of the days around it.
func (s *Kit) CrewOf(ctx context.Context, h hike.Hike) (hike.Crew, hike.Book, error) {
	b, err := s.Book(ctx, h.Start, hike.ClashesAhead)
	if err != nil {
		return hike.Crew{}, b, err
	}
	c, err := b.CrewOf(h.ID)
	return c, b, err
}
