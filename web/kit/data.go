package kit

import (
	"context"

	"saltbush/internal/hike"
)

// LoadHikeData loads what the pages of one hike need.
func (s *Kit) LoadHikeData(ctx context.Context, h hike.Hike) (hike.Data, error) {
	return hike.LoadData(ctx, s.hikes, h, s.Now())
}
