package kit

import (
	"context"

	"saltbush/internal/hike"
)

// Tell loads what the pages of one hike need.
func (s *Kit) Tell(ctx context.Context, h hike.Hike) (hike.Data, error) {
	return hike.LoadData(ctx, s.hikes, h, s.Now())
}
