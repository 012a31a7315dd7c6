package kit

import (
	"context"
	"time"

	"saltbush/internal/hike"
	"saltbush/internal/staffing"
)

// Book opens what staffing looks at, from two days back to so many ahead of a moment.
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
